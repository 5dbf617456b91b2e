"""Engraving, cutters, relief, mirrored silhouettes and the tray's zero."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from tests.design.test_drawn_trays import CARDS, FRAME, asked, box, circle, codes, drawing, mm

from traywright.base import Severity
from traywright.base.errors import DesignError
from traywright.design import DepthAsked, draw_as_drawn
from traywright.geometry import Contour
from traywright.trays import FeatureKind, open_area_mm2, removed_mm3

SQUARE = box("D_9", 20, 20, 60, 60)
MARK = ("MARK", 3, Contour.polygon(((50, 150), (150, 150)), closed=False), "LINE")


def engrave(layer, depth_mm):
    return DepthAsked(layer=layer, colour=0, depth=mm(depth_mm, "enquiry:drawing.engrave.1.mm"))


def told(drawn, code):
    return [one for one in drawn.findings if one.code == code]


def test_engraving_counts_in_open_area_and_volume():
    areas = draw_as_drawn(asked(drawing(FRAME, lines=(MARK,)), engrave=(engrave("mark", 1.5),))).areas[0]
    groove = 100 * 8 + math.pi * 16
    assert areas.open_mm2 == pytest.approx(groove, abs=0.01)
    assert areas.removed_mm3 == pytest.approx(1.5 * groove, abs=0.02)
    assert areas.corner_left_mm2 == 0.0


def test_a_loop_on_an_engraved_layer_is_followed_and_asks_no_depth():
    drawn = draw_as_drawn(asked(drawing(FRAME, box("MARK", 50, 50, 150, 100)), engrave=(engrave("MARK", 1.5),)))
    assert [one.kind for one in drawn.trays[0].features] == [FeatureKind.ENGRAVING]
    # a frame 8 wide: round outside, square inside
    assert drawn.areas[0].open_mm2 == pytest.approx(300 * 8 - 4 * 16 + math.pi * 16, abs=0.01)


def test_a_line_is_cut_on_the_tray_it_lies_on_only():
    frames = (box("OUTLINE", 0, 0, 200, 200), box("OUTLINE", 300, 0, 500, 200))
    drawn = draw_as_drawn(asked(drawing(*frames, lines=(MARK,)), engrave=(engrave("MARK", 1.5),)))
    assert [len(one.features) for one in drawn.trays] == [1, 0]


def test_lines_of_layers_not_engraved_are_told_beside_those_that_are():
    other = ("FOLD", 3, Contour.polygon(((50, 50), (150, 50)), closed=False), "LINE")
    drawn = draw_as_drawn(asked(drawing(FRAME, lines=(MARK, other)), engrave=(engrave("MARK", 1.5),)))
    assert [(one.at, dict(one.parameters)["count"]) for one in told(drawn, "TRAY-035")] == [(("FOLD",), 1)]


@pytest.mark.parametrize(("deep_mm", "word", "severity"), [(1.5, "shallower", 2), (8, "deeper", 2), (5.2, "both", 1)])
def test_engraving_of_two_colours_says_what_it_shows(deep_mm, word, severity):
    drawn = draw_as_drawn(
        asked(drawing(FRAME, lines=(MARK,)), "two-colour-1200x600x30", engrave=(engrave("MARK", deep_mm),))
    )
    assert [(one.fix, one.severity) for one in told(drawn, "TRAY-040")] == [(word, severity)]


def cutters(*sizes):
    return tuple(CARDS.cutter(f"flat-{one}") for one in sizes)


def test_a_cutter_that_does_not_reach_is_not_mounted():
    # flat-3 reaches 12, flat-6 25: a pocket of 20 gets the 6, one of 9 the 3
    deep = asked(drawing(FRAME, box("D_20", 20, 20, 60, 60)), cutters=cutters(12, 8, 6, 3), corner="smaller_cutter")
    drawn = draw_as_drawn(deep)
    assert (drawn.cutters, drawn.corner_cutter) == (("flat-12", "flat-8", "flat-6"), "flat-6")
    assert drawn.areas[0].corner_left_mm2 == pytest.approx(4 * 9 * (1 - math.pi / 4), abs=0.01)
    assert draw_as_drawn(replace(deep, drawing=drawing(FRAME, SQUARE))).corner_cutter == "flat-3"


def test_a_smaller_cutter_that_is_not_there_is_told():
    drawn = draw_as_drawn(asked(drawing(FRAME, box("D_20", 20, 20, 60, 60)), corner="smaller_cutter"))
    assert drawn.corner_cutter == ""
    assert [one.severity for one in told(drawn, "TRAY-043")] == [Severity.WARN]


def test_relief_is_in_the_tray_and_in_its_areas_and_leaves_no_corner():
    plain = draw_as_drawn(asked(drawing(FRAME, SQUARE)))
    drawn = draw_as_drawn(asked(drawing(FRAME, SQUARE), corner="relief"))
    tray, areas = drawn.trays[0], drawn.areas[0]
    added = dict(told(drawn, "TRAY-034")[0].parameters)["added_mm2"]
    assert areas.open_mm2 - plain.areas[0].open_mm2 == pytest.approx(added, abs=0.1)
    assert added > 0.0
    assert areas.corner_left_mm2 == pytest.approx(0.0, abs=0.01)
    assert open_area_mm2(tray) == pytest.approx(areas.open_mm2, abs=0.05)
    assert removed_mm3(tray) == pytest.approx(areas.removed_mm3, rel=1e-4)


def test_relief_changes_nothing_where_no_corner_is_tighter_than_the_cutter():
    drawn = draw_as_drawn(asked(drawing(FRAME, circle("D_9", 100, 100, 20)), corner="relief"))
    assert drawn.trays == draw_as_drawn(asked(drawing(FRAME, circle("D_9", 100, 100, 20)))).trays
    assert "TRAY-034" not in codes(drawn)


HOOK = ((0, 0), (40, 0), (40, 10), (10, 10), (10, 30), (0, 30))


def hook(turn_deg, right, back, *, mirror=False):
    cos, sin = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    flat = [(-x if mirror else x, y) for x, y in HOOK]
    points = tuple((x * cos - y * sin + right, x * sin + y * cos + back) for x, y in flat)
    return "D_9", 7, Contour.polygon(points), "LWPOLYLINE"


@pytest.mark.parametrize("turn_deg", [0, 33, 90, 211.7])
def test_mirror_images_are_told_however_they_are_turned(turn_deg):
    pair = drawing(FRAME, hook(0, 60, 60), hook(turn_deg, 200, 100, mirror=True))
    copies = drawing(FRAME, hook(0, 60, 60), hook(turn_deg, 200, 100))
    assert len(told(draw_as_drawn(asked(pair)), "TRAY-042")) == 1
    assert told(draw_as_drawn(asked(copies)), "TRAY-042") == []


def test_shapes_that_are_their_own_mirror_image_are_no_pair():
    loops = (circle("D_9", 60, 60, 15), circle("D_9", 120, 60, 15), SQUARE, box("D_9", 200, 20, 240, 60))
    assert told(draw_as_drawn(asked(drawing(FRAME, *loops))), "TRAY-042") == []


def test_the_tray_s_zero_is_told_where_it_is_not_the_drawing_s():
    there = drawing(box("OUTLINE", 1000, 500, 1300, 700), box("D_9", 1020, 520, 1060, 560))
    drawn = draw_as_drawn(asked(there))
    words = dict(told(drawn, "TRAY-044")[0].parameters)
    assert (words["x_mm"], words["y_mm"]) == (1000, 500)
    assert drawn.trays[0].features[0].region.bounds_mm == (20, 20, 60, 60)
    assert "TRAY-044" not in codes(draw_as_drawn(asked(drawing(FRAME, SQUARE))))


def test_a_circle_of_arcs_is_a_hole():
    rows = (DepthAsked(layer="A", colour=0, depth=None),)
    corners = tuple(
        (60 + 9 * math.cos(a), 60 + 9 * math.sin(a), math.tan(math.pi / 6)) for a in (0, 2.0943951, 4.1887902)
    )
    three = ("A", 7, Contour(corners=corners), "ARC")
    assert draw_as_drawn(asked(drawing(FRAME, three), depths=rows)).trays[0].features[0].kind is FeatureKind.HOLE


def test_a_kept_floor_above_a_thin_board_is_refused():
    with pytest.raises(DesignError) as refused:
        draw_as_drawn(asked(drawing(FRAME, box("D_1", 20, 20, 60, 60)), thickness=mm(48.6)))
    assert refused.value.code == "TRAY-029"


def test_two_colours_and_engraving_keep_their_depth_whatever_was_asked():
    deep = drawing(FRAME, box("D_20", 20, 20, 60, 60), lines=(MARK,))
    drawn = draw_as_drawn(
        asked(deep, "two-colour-1200x600x30", thickness=mm(29.4), engrave=(engrave("MARK", 1.5),), keep="floor")
    )
    assert [one.floor.z_mm for one in drawn.trays[0].features] == pytest.approx([9.4, 27.9])
    assert "TRAY-033" in codes(drawn)
    foam = draw_as_drawn(asked(deep, thickness=mm(48.6), engrave=(engrave("MARK", 1.5),)))
    assert [one.floor.z_mm for one in foam.trays[0].features] == pytest.approx([30.0, 47.1])
