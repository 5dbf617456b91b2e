from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from traywright.papers.blocks import Column, flowed, heading, space, table
from traywright.papers.grounds import letter_of
from traywright.papers.lettering import LEAST_PT, fitted, width_of_mm, wrapped
from traywright.papers.marks import Lettering


@given(st.text(alphabet="abc- XYZ", max_size=80), st.floats(6.0, 60.0))
def test_no_line_is_wider_than_its_column(words, within_mm):
    lines = wrapped(words, within_mm, 9.5)
    assert all(width_of_mm(one, 9.5) <= within_mm for one in lines)
    assert "".join("".join(lines).split()) == "".join(words.split()), "no letter is lost"


@given(st.text(alphabet="abcXYZ ", min_size=1, max_size=60), st.floats(10.0, 60.0))
def test_a_fitted_line_fits_and_stays_readable(words, within_mm):
    told, size = fitted(words, within_mm, 14.0)
    assert width_of_mm(told, size) <= within_mm
    assert size >= LEAST_PT


@given(st.lists(st.floats(1.0, 60.0), max_size=40), st.floats(60.0, 90.0))
def test_flow_loses_nothing_and_fills_no_page_too_far(heights, room_mm):
    pages = flowed([space(one) for one in heights], room_mm, room_mm)
    assert all(one.height_mm <= room_mm + 1e-9 for one in pages)
    assert abs(sum(one.height_mm for one in pages) - sum(heights)) < 1e-6


def test_a_heading_stays_with_what_follows():
    pages = flowed([space(80.0), heading("Order"), space(20.0)], 100.0, 100.0)
    assert len(pages) == 2
    assert any(isinstance(one, Lettering) and one.text == "Order" for one in pages[1].marks)


def test_the_head_of_a_table_comes_again():
    rows = table((Column(title="piece", width_mm=40.0),), [[str(number)] for number in range(40)])
    pages = flowed(rows, 60.0, 60.0)
    told = [[one.text for one in page.marks if isinstance(one, Lettering)] for page in pages]
    assert len(told) > 2
    assert all(page[0] == "piece" for page in told)
    assert [word for page in told for word in page[1:]] == [str(number) for number in range(40)]


def test_letters_go_on_after_z():
    assert [letter_of(number) for number in (0, 25, 26, 51, 52, 701, 702)] == ["A", "Z", "AA", "AZ", "BA", "ZZ", "AAA"]
