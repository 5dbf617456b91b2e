from __future__ import annotations

from dataclasses import replace

import pytest

from papers.drawn import a_finding, drawn_asked
from papers.reading import pages, words
from traywright.base import Severity, finding
from traywright.papers.customer_page import customer_page


def told(asked):
    return words(customer_page(asked).content)


def test_the_customer_reads_what_is_cut_and_whose_the_shape_is():
    page = told(drawn_asked())
    for wanted in (
        "Cut as drawn: the shape is not ours.",
        "T1: 558 × 398 mm, 30 mm thick.",
        "dark 5 ± 0.5 mm on light",
        "Parts, protection and loop: not asked.",
        "Corners: the Ø 8 mm cutter leaves 54.1 mm².",
        "Open in all 60229.62 mm², 950.3 cm³ taken away.",
        "1 for 1 120.00 EUR, 1 120.00 each; tax not included.",
        "Holds 30 days from 2026-11-25.",
        "Asked: Which unit has the drawing? Taken: mm.",
        "Not cut: 4 TEXT on TEXT, 2 DIMENSION on DIM.",
        "Drawing as received: drawer.dxf.",
        "drawer.dxf · quantity 1",
    ):
        assert wanted in page


def test_each_final_depth_has_its_area():
    page = told(drawn_asked())
    for number, deep in enumerate((24, 20, 18, 14, 12, 6)):
        assert f"{deep} {30 - deep} {1000 + number}.00" in page


def test_a_shape_of_the_shop_says_so():
    page = told(drawn_asked(shape="shop"))
    assert "Shape by us from the sizes told; check it against the part." in page
    assert "not ours" not in page


@pytest.mark.parametrize(
    ("corner", "wanted"),
    [
        ("leave", "They are left so."),
        ("smaller_cutter", "A smaller cutter has gone in after the others."),
        ("relief", "They are over-cut, and the shape is changed there."),
    ],
)
def test_the_choice_for_corners_is_told(corner, wanted):
    page = told(drawn_asked(corner=corner))
    assert wanted in page
    assert ("Nothing was moved" in page) == (corner != "relief"), "an over-cut shape is no longer only the customer's"


def test_an_over_cut_that_was_found_is_told_without_the_choice():
    over = finding("TRAY-034", Severity.WARN, ("T1",), count=4, added_mm2="12", radius_mm="4")
    page = told(drawn_asked(findings=(over,)))
    assert "Only its corners are over-cut for the cutter." in page


def test_no_corner_is_tighter_than_the_cutter():
    asked = drawn_asked()
    sharp = replace(asked, trays=tuple(replace(one, corner_left_mm2=0.0) for one in asked.trays))
    assert "Corners: none is tighter than the Ø 8 mm cutter." in told(sharp)


def test_depths_and_the_sum_of_the_drawing_where_they_are_told():
    depths = (("DEPTH_6", 6.0, "name of the layer"), ("HOLES", None, ""))
    page = told(drawn_asked(depths=depths, file_sha256="sha256:0123456789abcdef"))
    assert "Depths taken: DEPTH_6 6 mm (name of the layer), HOLES through." in page
    assert "Drawing as received: drawer.dxf, sum 0123 4567 89ab." in page


@pytest.mark.parametrize("count", [0, 5, 15, 60])
def test_one_tray_one_page(count):
    findings = tuple(a_finding(number, Severity.WARN if number < 5 else Severity.NOTE) for number in range(count))
    asked = tuple(
        (f"Question {number} in a line that is rather long, so that it wraps?" * 2, "yes") for number in range(count)
    )
    left_out = tuple((f"LAYER_{number}", "TEXT", number) for number in range(count))
    content = customer_page(drawn_asked(findings=findings, asked=asked, left_out=left_out)).content
    assert len(pages(content)) == 1
    page = words(content)
    for number in range(min(count, 5)):
        assert f"at ({number}.0, 265.0)" in page, "warnings are never counted away"
    if count == 60:
        assert "lines more in result.json" in page


def test_many_depths_all_stand_in_a_table():
    asked = drawn_asked()
    deep = tuple(float(29 - number) for number in range(25))
    trays = (replace(asked.trays[0], depths_mm=deep, ending_mm2=tuple(1000.0 + one for one in deep)),)
    page = told(replace(asked, trays=trays))
    assert "All depths of T1" in page
    for one in deep:
        assert f"{1000.0 + one:.2f}" in page


def test_several_trays_are_all_drawn():
    asked = drawn_asked()
    first = asked.trays[0]
    trays = tuple(replace(first, tray=replace(first.tray, id=f"T{number}")) for number in range(1, 5))
    content = customer_page(replace(asked, trays=trays)).content
    assert len(pages(content)) > 1
    for number in range(1, 5):
        assert f"T{number} from above" in words(content)


def test_the_foot_tells_the_unit_of_the_page():
    page = told(drawn_asked(head={"length_shown": "inch"}))
    assert "units mm" in page
