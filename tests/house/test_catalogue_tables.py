"""Every row of a table names its source and status; every number's column names its unit."""

from __future__ import annotations

import csv

import pytest

from house.source import CARDS
from traywright.base.figure import Status
from traywright.base.units import NAMES_WITHOUT_UNIT, SUFFIXES

COUNTED = {"count", "level", "year"}  # whole numbers of things
TABLES = sorted(CARDS.rglob("*.csv"))


def is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def rows(path):
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


every_table = pytest.mark.parametrize("path", TABLES, ids=lambda path: path.stem)


@every_table
def test_every_row_names_source_and_status(path):
    words = {status.name.lower() for status in Status}
    for number, row in enumerate(rows(path), start=2):
        assert row["source"].strip(), f"line {number}"
        assert row["status"] in words, f"line {number}: {row['status']}"
        assert row["source"].strip().lower() != "same", f"line {number}"


@every_table
def test_every_number_names_its_unit(path):
    told = rows(path)
    assert told, "a table without rows"
    for column in told[0]:
        values = [row[column] for row in told if row[column]]
        if values and all(is_number(value) for value in values):
            has_unit = any(column == suffix or column.endswith(f"_{suffix}") for suffix in SUFFIXES)
            assert has_unit or column in NAMES_WITHOUT_UNIT | COUNTED, column
