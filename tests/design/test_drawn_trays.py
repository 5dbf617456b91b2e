"""A drawing as trays: exact areas, floors as measured, loops in loops, corners, thin walls, two colours."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from tests.jobs.conftest import ROOT

from traywright.base import Given, Severity, Status
from traywright.base.errors import DesignError
from traywright.catalogue import load_cards
from traywright.design import DepthAsked, DrawnAsked, DrawnTrays, draw_as_drawn
from traywright.geometry import Contour
from traywright.parts import Drawing, DrawnLine, read_drawing
from traywright.trays import FeatureKind

CARDS = load_cards()
DRAWER = ROOT / "examples" / "drawer_as_drawn" / "files" / "drawer_as_drawn.dxf"


def mm(value, ref="enquiry:drawing.thickness_mm"):
    return Given(ref=ref, value=value, unit="mm", status=Status.MEASURED, source="caliper")


def asked(drawing, board="demo-2000x1000x50", **changes) -> DrawnAsked:
    card = CARDS.board(board)
    given = {
        "drawing": drawing,
        "outline_layer": "",
        "depths": (),
        "engrave": (),
        "board": card,
        "stuff": CARDS.stuff_of(card),
        "thickness": card.given("thickness_mm"),
        "keep": "floor",
        "corner": "leave",
        "cutters": (CARDS.cutter("flat-8"),),
    }
    return DrawnAsked(**{**given, **changes})


def box(layer, left, front, right, back, colour=7):
    points = ((left, front), (right, front), (right, back), (left, back))
    return layer, colour, Contour.polygon(points), "LWPOLYLINE"


def circle(layer, x, y, radius, colour=7):
    return layer, colour, Contour.circle((x, y), radius), "CIRCLE"


def drawing(*loops, lines=(), mirrored=False) -> Drawing:
    def drawn(letter, found):
        return tuple(
            DrawnLine(id=f"{letter}{number}", layer=layer, colour=colour, contour=contour, drawn_as=kind)
            for number, (layer, colour, contour, kind) in enumerate(found, start=1)
        )

    return Drawing(
        file_name="x.dxf",
        sha256="",
        unit_told="mm",
        unit_read="mm",
        loops=drawn("L", loops),
        lines=drawn("K", lines),
        left_out=(),
        layers=tuple(sorted({one[0] for one in (*loops, *lines)})),
        mirrored_words=mirrored,
        findings=(),
        questions=(),
    )


FRAME = box("OUTLINE", 0, 0, 300, 200)


def codes(drawn: DrawnTrays) -> list[str]:
    return [one.code for one in drawn.findings]


@pytest.fixture(scope="module")
def drawer() -> DrawnTrays:
    card = CARDS.board("two-colour-1200x600x30")
    read = read_drawing(DRAWER.read_bytes(), "d.dxf", length_unit="file", leave_out=(), board_mm=(1200, 600))
    return draw_as_drawn(asked(read, "two-colour-1200x600x30", stuff=CARDS.stuff_of(card)))


def test_areas_of_the_drawer_are_those_worked_by_hand(drawer):
    # hand calculation from the sizes of the drawing: rectangles, circles and circular segments, deepest first
    areas = drawer.areas[0]
    assert areas.depths_mm == (24, 20, 18, 14, 12, 6)
    assert areas.ending_mm2 == pytest.approx((3740.00, 6283.72, 23378.42, 16209.56, 3897.93, 6720.00), abs=0.01)
    assert areas.outline_mm2 == pytest.approx(558 * 398 - 400 + 100 * math.pi, abs=1e-6)
    assert areas.open_mm2 == pytest.approx(60229.62, abs=0.01)
    assert areas.removed_mm3 == pytest.approx(950274.8, rel=1e-6)


def test_the_tray_itself_says_the_same(drawer):
    """Two ways: exact lines and arcs, and the regions that are cut."""
    from traywright.trays import corner_left_mm2, open_area_mm2, removed_mm3

    tray, areas = drawer.trays[0], drawer.areas[0]
    assert open_area_mm2(tray) == pytest.approx(areas.open_mm2, abs=0.1)
    assert removed_mm3(tray) == pytest.approx(areas.removed_mm3, rel=1e-5)
    assert corner_left_mm2(tray, 4.0) == pytest.approx(areas.corner_left_mm2, abs=0.6)


def test_corners_of_the_drawer(drawer):
    # r² (1 - pi/4) in a square corner, (r² - R²)(1 - pi/4) in one of radius R: 14 square, four R3, cutter 8
    square, rounded = 16 * (1 - math.pi / 4), (16 - 9) * (1 - math.pi / 4)
    left = [dict(one.parameters)["left_mm2"] for one in drawer.findings if one.code == "TRAY-037"]
    assert sorted(left) == pytest.approx([rounded] * 4 + [square] * 14, abs=0.002)
    assert drawer.areas[0].corner_left_mm2 == pytest.approx(14 * square + 4 * rounded, abs=0.02)
    assert drawer.areas[0].corner_left_mm2 == pytest.approx(54.1, abs=0.05)


def test_a_smaller_cutter_leaves_only_the_square_corners():
    read = read_drawing(DRAWER.read_bytes(), "d.dxf", length_unit="mm", leave_out=("TEXT", "DIM"), board_mm=(1200, 600))
    cutters = (CARDS.cutter("flat-8"), CARDS.cutter("flat-6"))
    drawn = draw_as_drawn(asked(read, "two-colour-1200x600x30", cutters=cutters, corner="smaller_cutter"))
    assert drawn.corner_cutter == "flat-6"
    assert drawn.areas[0].corner_left_mm2 == pytest.approx(14 * 1.93, abs=0.05)


def test_thin_walls_of_the_drawer(drawer):
    walls = [(dict(one.parameters), one) for one in drawer.findings if one.code == "TRAY-038"]
    fins = [one for words, one in walls if words["wide_mm"] == pytest.approx(2.0, abs=0.01)]
    assert len(fins) == 1
    assert dict(fins[0].parameters)["high_mm"] == 2.0
    assert fins[0].point_mm == pytest.approx((170, 265), abs=0.6)
    assert [words["wide_mm"] for words, one in walls if one.fix == "rim"] == pytest.approx([7.0], abs=0.01)
    assert [words["wide_mm"] for words, one in walls if one.fix == "web"] == pytest.approx([8.0] * 7, abs=0.01)


def test_colours_of_the_drawer(drawer):
    patchy = [dict(one.parameters) for one in drawer.findings if one.code == "TRAY-039"]
    assert [(one["deep_mm"], one["margin_mm"]) for one in patchy] == [(6.0, 0.5)]
    # four notches and the slot reach the light ground
    assert codes(drawer).count("TRAY-041") == 5


def test_the_slot_is_a_slot_and_the_notches_are_notches(drawer):
    kinds = {}
    for one in drawer.trays[0].features:
        kinds.setdefault(one.kind, []).append(one)
    assert len(kinds[FeatureKind.SLOT]) == 1
    assert len(kinds[FeatureKind.FINGER_NOTCH]) == 4


def test_an_island_stands_and_a_raised_step_stands_lower():
    drawn = draw_as_drawn(
        asked(
            drawing(
                FRAME,
                box("D_20", 20, 20, 120, 120),
                box("D_20", 40, 40, 60, 60),  # island
                box("D_10", 70, 70, 100, 100),  # raised step in the deeper pocket
                box("D_5", 150, 20, 250, 120),
                box("D_8", 160, 30, 200, 60),  # step down
            )
        )
    )
    areas = dict(zip(drawn.areas[0].depths_mm, drawn.areas[0].ending_mm2, strict=True))
    assert areas == pytest.approx({20: 10000 - 400 - 900, 10: 900, 8: 1200, 5: 10000 - 1200})
    assert codes(drawn).count("TRAY-025") == 3
    assert {one.fix for one in drawn.findings if one.code == "TRAY-025"} == {"island", "raised", "step"}


@pytest.mark.parametrize(
    ("keep", "floor", "depth"),
    [("floor", 6.0, 42.6), ("depth", 4.6, 44.0)],
)
def test_a_board_measured_thin_keeps_floor_or_depth(keep, floor, depth):
    # nominal 50, measured 48.6, pocket 44: the floor of 6 stays, or the depth of 44
    card = CARDS.board("demo-2000x1000x50")
    ground = ("floor_least_mm", dict(CARDS.board("two-colour-1200x600x30").grounds)["floor_least_mm"])
    thin = replace(card, floor_least_mm=4.0, grounds=(*card.grounds, ground))
    pocket = drawing(FRAME, box("D_44", 20, 20, 120, 120))
    drawn = draw_as_drawn(replace(asked(pocket, keep=keep, thickness=mm(48.6)), board=thin))
    tray = drawn.trays[0]
    assert tray.thickness_mm == 48.6
    assert tray.keep == keep
    assert tray.features[0].floor.z_mm == pytest.approx(floor)
    assert drawn.areas[0].depths_mm == pytest.approx((depth,))


def test_a_floor_thinner_than_the_sheet_s_least_is_refused_as_measured():
    with pytest.raises(DesignError) as refused:
        draw_as_drawn(asked(drawing(FRAME, box("D_39", 20, 20, 120, 120)), keep="depth", thickness=mm(48.6)))
    assert refused.value.code == "TRAY-027"
    assert dict(refused.value.parameters)["floor_mm"] == pytest.approx(9.6)
    # the nominal board keeps 11 and passes
    drawn = draw_as_drawn(asked(drawing(FRAME, box("D_39", 20, 20, 120, 120)), keep="depth"))
    assert "TRAY-031" not in codes(drawn)


def test_depths_come_from_the_table_before_the_name_and_from_colour():
    rows = (DepthAsked(layer="d_20", colour=0, depth=mm(12, "x")), DepthAsked(layer="", colour=5, depth=None))
    drawn = draw_as_drawn(
        asked(drawing(FRAME, box("D_20", 20, 20, 60, 60), box("Y", 80, 80, 100, 100, colour=5)), depths=rows)
    )
    assert drawn.areas[0].depths_mm == (50, 12)
    assert {one.kind for one in drawn.trays[0].features} == {FeatureKind.POCKET, FeatureKind.WINDOW}


def test_a_layer_without_depth_is_refused_with_all_of_them():
    with pytest.raises(DesignError) as refused:
        draw_as_drawn(
            asked(drawing(FRAME, box("A", 20, 20, 60, 60), box("Layer 3", 80, 80, 100, 100), box("0", 9, 9, 15, 15)))
        )
    assert refused.value.code == "TRAY-026"
    assert all(one in str(refused.value) for one in ("A (colour 7)", "Layer 3", "0 (colour"))


def test_loops_outside_and_over_the_edge_are_told_with_place():
    drawn = draw_as_drawn(asked(drawing(FRAME, box("D_9", 400, 20, 460, 60), box("D_9", 280, 20, 320, 60))))
    told = {one.code: one for one in drawn.findings}
    assert told["TRAY-023"].severity is Severity.STOP
    assert told["TRAY-023"].point_mm == (400, 20)
    assert dict(told["TRAY-024"].parameters)["far_mm"] == 20


def test_a_pocket_through_the_sheet_is_told_and_not_cut():
    drawn = draw_as_drawn(asked(drawing(FRAME, box("D_50", 20, 20, 60, 60), circle("D_9", 100, 100, 10))))
    assert "TRAY-030" in codes(drawn)
    assert len(drawn.trays[0].features) == 1


def test_a_recess_narrower_than_the_cutter_is_told_with_its_width():
    drawn = draw_as_drawn(asked(drawing(FRAME, box("D_9", 20, 20, 26, 120), circle("D_9", 100, 100, 4))))
    narrow = [dict(one.parameters) for one in drawn.findings if one.code == "TRAY-036"]
    assert [one["wide_mm"] for one in narrow] == pytest.approx([6.0], abs=0.01)


def test_two_outlines_are_two_trays_left_to_right():
    drawn = draw_as_drawn(
        asked(drawing(box("OUTLINE", 500, 0, 700, 100), box("OUTLINE", 0, 0, 200, 100), circle("D_9", 600, 50, 20)))
    )
    assert [one.id for one in drawn.trays] == ["T1", "T2"]
    assert [len(one.features) for one in drawn.trays] == [0, 1]
    assert drawn.trays[1].features[0].region.centre_mm == pytest.approx((100, 50), abs=0.01)


def test_open_lines_are_told_and_cut_on_request():
    line = ("MARK", 3, Contour.polygon(((50, 50), (150, 50)), closed=False), "LINE")
    told = draw_as_drawn(asked(drawing(FRAME, lines=(line,))))
    assert codes(told) == ["TRAY-035"]
    row = DepthAsked(layer="MARK", colour=0, depth=mm(1.5, "x"))
    drawn = draw_as_drawn(asked(drawing(FRAME, lines=(line,)), engrave=(row,)))
    groove = drawn.trays[0].features[0]
    assert groove.kind is FeatureKind.ENGRAVING
    told_wide = [dict(one.parameters)["diameter_mm"] for one in drawn.findings if one.code == "TRAY-074"]
    assert told_wide == [8.0]
    assert groove.floor.z_mm == 48.5
    assert groove.region.area_mm2 == pytest.approx(100 * 8 + math.pi * 16, rel=0.002)


def test_relief_is_the_only_change_and_told():
    drawn = draw_as_drawn(asked(drawing(FRAME, box("D_9", 20, 20, 60, 60)), corner="relief"))
    assert "TRAY-034" in codes(drawn)
    assert "TRAY-037" not in codes(drawn)
    assert drawn.trays[0].features[0].region.area_mm2 > 1600
    # what is left of the square itself is less than a tenth of one corner
    assert drawn.areas[0].corner_left_mm2 < 0.35


def test_mirror_images_are_told_and_turned_copies_are_not():
    hook = ((0, 0), (40, 0), (40, 10), (10, 10), (10, 30), (0, 30))
    left = ("D_9", 7, Contour.polygon(hook).moved(20, 20), "LWPOLYLINE")
    right = ("D_9", 7, Contour.polygon(tuple((100 - x, y) for x, y in hook)).moved(20, 20), "LWPOLYLINE")
    turned = ("D_9", 7, Contour.polygon(tuple((100 - x, 80 - y) for x, y in hook)).moved(20, 20), "LWPOLYLINE")
    assert codes(draw_as_drawn(asked(drawing(FRAME, left, right)))).count("TRAY-042") == 1
    assert codes(draw_as_drawn(asked(drawing(FRAME, left, turned)))).count("TRAY-042") == 0


def test_mirrored_words_are_a_question():
    drawn = draw_as_drawn(asked(drawing(FRAME, mirrored=True)))
    assert [one.field for one in drawn.questions] == ["drawing.seen_from"]


@pytest.mark.parametrize(
    "lines", [(), (("OUT", 7, Contour.polygon(((0, 0), (200, 0), (200, 200)), closed=False), "LINE"),)]
)
def test_a_pocket_is_never_taken_for_a_missing_or_open_outline(lines):
    """A fault: with the outline open, the pocket itself was cut free and priced, without a warning."""
    with pytest.raises(DesignError) as refused:
        draw_as_drawn(asked(drawing(box("P_10", 20, 20, 120, 120), lines=lines)))
    assert refused.value.code == "TRAY-022"


def test_a_pocket_that_is_drawn_open_is_a_stop():
    """A fault: it was left out with a note, and the bare block was priced."""
    line = ("P_10", 7, Contour.polygon(((50, 50), (150, 50), (150, 100)), closed=False), "LINE")
    drawn = draw_as_drawn(asked(drawing(FRAME, lines=(line,))))
    assert Severity.STOP in [one.severity for one in drawn.findings if one.code == "TRAY-035"]
