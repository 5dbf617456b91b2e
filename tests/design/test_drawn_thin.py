"""Thin walls of a drawing, and places too narrow for the cutter."""

from __future__ import annotations

import pytest
from tests.design.test_drawn_trays import CARDS, FRAME, asked, box, circle, codes, drawing

from traywright.base import Severity
from traywright.design import draw_as_drawn
from traywright.geometry import Contour


def loop(layer, *points):
    return layer, 7, Contour.polygon(points), "LWPOLYLINE"


def told(code, *loops, **changes):
    return [one for one in draw_as_drawn(asked(drawing(FRAME, *loops), **changes)).findings if one.code == code]


def words(one):
    return dict(one.parameters)


U = loop("D_20", (20, 20), (120, 20), (120, 120), (74, 120), (74, 60), (66, 60), (66, 120), (20, 120))


def test_a_tongue_in_one_loop_is_told_with_its_width_and_height():
    # a tongue 8 wide between the arms of a U, 20 deep; the sheet's least wall is 12
    found = told("TRAY-038", U)
    assert [(one.fix, words(one)["wide_mm"], words(one)["high_mm"]) for one in found] == [
        ("tongue", pytest.approx(8.0, abs=0.01), pytest.approx(20.0))
    ]
    assert 66 <= found[0].point_mm[0] <= 74


def test_an_island_thinner_than_the_least_wall_is_told():
    found = told("TRAY-038", box("D_20", 20, 20, 120, 120), box("D_20", 60, 40, 65, 100))
    assert [words(one)["wide_mm"] for one in found] == [pytest.approx(5.0, abs=0.01)]


def test_corners_of_what_stands_are_no_tongues():
    assert told("TRAY-038", box("D_20", 40, 40, 120, 120), box("D_20", 60, 60, 90, 90)) == []


def test_a_slender_fin_is_a_warning():
    found = told("TRAY-038", box("D_20", 20, 20, 60, 100), box("D_20", 62, 20, 100, 100))
    assert [(one.fix, one.severity) for one in found] == [("fin", Severity.WARN)]
    assert words(found[0])["count"] == 1


def test_a_wall_of_the_least_width_is_no_finding():
    assert told("TRAY-038", box("D_20", 20, 20, 60, 100), box("D_20", 72, 20, 110, 100)) == []


def test_a_neck_narrower_than_the_cutter_is_a_stop_with_place_and_width():
    right = ((60, 37), (100, 37), (100, 20), (140, 20), (140, 60), (100, 60), (100, 43), (60, 43))
    bone = loop("D_20", (20, 20), (60, 20), *right, (60, 60), (20, 60))
    found = told("TRAY-036", bone)
    assert [(one.severity, words(one)["wide_mm"]) for one in found] == [(Severity.STOP, pytest.approx(6.0, abs=0.01))]
    assert found[0].point_mm[1] == pytest.approx(40.0, abs=0.1)
    assert told("TRAY-036", bone, cutters=(CARDS.cutter("flat-6"),)) == []


def test_a_slot_as_wide_as_the_cutter_is_entered():
    assert told("TRAY-036", box("D_20", 20, 20, 120, 28)) == []


def test_a_circle_as_wide_as_the_cutter_is_entered():
    assert told("TRAY-036", circle("D_20", 60, 60, 4)) == []


def test_a_sharp_corner_is_a_corner_with_its_angle():
    # 45 degrees: r² (cot 22.5 - 67.5 degrees in radians) = 16 (2.414214 - 1.178097) = 19.778
    found = told("TRAY-037", loop("D_20", (20, 20), (120, 20), (120, 120)))
    sizes = {words(one)["size"]: words(one)["left_mm2"] for one in found}
    assert set(sizes) == {"45°", "90°"}
    assert sizes["45°"] == pytest.approx(19.778, abs=0.02)
    assert "TRAY-036" not in codes(draw_as_drawn(asked(drawing(FRAME, loop("D_20", (20, 20), (120, 20), (120, 120))))))
