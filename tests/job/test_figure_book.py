"""Figures are numbered by path, each path once."""

from __future__ import annotations

import pytest

from traywright.base import Given, Status, derive
from traywright.base.errors import JobError
from traywright.job.figure_book import book_of

SAID = Given(ref="enquiry:a", value=1.0, unit="mm", status=Status.STATED, source="customer")


def _figure(path, value=1.0):
    return derive(path, value, "mm", what="a", method="b", inputs=(SAID,))


def test_numbers_follow_the_paths_in_natural_order():
    book = book_of([_figure("tray/10"), _figure("tray/9"), _figure("tray/9")])
    assert book.numbers() == {"tray/9": "G-0001", "tray/10": "G-0002"}
    assert book.number_of("card:foam#density_kg_m3") == "card:foam#density_kg_m3"


def test_two_values_under_one_path_are_a_fault():
    with pytest.raises(JobError) as refused:
        book_of([_figure("a"), _figure("a", 2.0)])
    assert refused.value.code == "JOB-006"


def test_a_figure_takes_the_weakest_status():
    weak = Given(ref="card:x#y", value=1.0, unit="mm", status=Status.MEMORY, source="memory")
    assert derive("a", 1.0, "mm", what="a", method="b", inputs=(SAID, weak)).status is Status.MEMORY
