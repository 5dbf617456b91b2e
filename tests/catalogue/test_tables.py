"""Tables: units in the header, a source and a status on every row, finite numbers."""

from __future__ import annotations

import pytest

from house.source import CARDS
from traywright.base.errors import CatalogueError
from traywright.catalogue import read_table, table

GOOD = b"id,drop_mm,kind,source,status\nlight,760,parcel,a page,published\nheavy,,parcel,a page,memory\n"


def test_a_number_comes_with_its_ground():
    told = read_table("drops", GOOD).given("light", "drop_mm")
    assert (told.ref, told.value, told.unit) == ("table:drops#light.drop_mm", 760.0, "mm")
    assert (told.status.word, told.source) == ("published", "a page")


def test_rows_keep_the_order_of_the_file_and_are_found_by_text():
    told = read_table("drops", GOOD)
    assert [row.id for row in told.having("kind", "parcel")] == ["light", "heavy"]
    assert told.row("heavy").has("drop_mm") is False
    with pytest.raises(KeyError):
        told.row("heavy").number("drop_mm")


def test_value_low_and_high_take_their_unit_from_its_column():
    content = b"id,value,low,high,unit,source,status\nweb,12,10,14,mm,bench,measured\n"
    told = read_table("rules", content).given("web", "value")
    assert (told.value, told.low, told.high, told.unit) == (12.0, 10.0, 14.0, "mm")


@pytest.mark.parametrize(
    ("content", "column"),
    [
        (b"", "id"),
        (b"name,source,status\na,b,memory\n", "id"),
        (b"id,status\na,memory\n", "source"),
        (b"id,source\na,b\n", "status"),
        (b"id,drop_mm,source,status\na,1,,memory\n", "source"),
        (b"id,drop_mm,source,status\na,1,b,guessed\n", "status"),
        (b"id,drop_mm,source,status\na,1,b,memory\na,2,b,memory\n", "id"),
        (b"id,drop_mm,source,status\na,inf,b,memory\n", "drop_mm"),
        (b"id,drop_mm,source,status\na,nan,b,memory\n", "drop_mm"),
        (b"id,drop_mm,source,status\na,tall,b,memory\n", "drop_mm"),
        (b"id,drop,source,status\na,1,b,memory\n", "drop"),
        (b"id,drop_mm,source,status\na,1,b\n", "status"),
    ],
)
def test_a_fault_names_its_column(content, column):
    with pytest.raises(CatalogueError) as refusal:
        read_table("t", content)
    assert refusal.value.code == "CAT-010"
    assert refusal.value.parameters["column"] == column


def test_what_is_not_there_names_the_nearest():
    for ask, near in [
        (lambda: table("input_limit"), "input_limits"),
        (lambda: read_table("d", GOOD).row("lihgt"), "light"),
        (lambda: read_table("d", GOOD).given("light", "dropp_mm"), "drop_mm"),
    ]:
        with pytest.raises(CatalogueError) as refusal:
            ask()
        assert refusal.value.parameters["nearest"] == near


@pytest.mark.parametrize("path", sorted(CARDS.glob("*.csv")), ids=lambda path: path.stem)
def test_every_table_of_the_catalogue_is_read(path):
    assert table(path.stem).rows
