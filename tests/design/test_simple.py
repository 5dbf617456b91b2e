"""Rows of pockets for one part: the drawing by hand, walls kept, nothing lost."""

from __future__ import annotations

import io
import math
from itertools import combinations

import ezdxf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from traywright.base import message
from traywright.base.errors import DesignError
from traywright.catalogue import load_cards
from traywright.design.simple import SimpleAsked, SimplePart, draw_simple, simple_part, simple_size
from traywright.geometry import Contour, Region

CARDS = load_cards()
SHEETS = ("two-colour-1200x600x30", "demo-2000x1000x50", "hdpe-1000x1000x12")
WITHIN_MM = 0.005


def ask(part, count, *, card="demo-2000x1000x50", grip="none", **more):
    board = CARDS.board(card)
    told = {
        "part": simple_part(part) if isinstance(part, str) else part,
        "count": count,
        "grip": grip,
        "board": board,
        "stuff": CARDS.stuff_of(board),
        "thickness_mm": board.thickness_mm,
        "room_mm": (978.0, 980.0),
    }
    return SimpleAsked(**{**told, **more})


def loops_of(drawn):
    """The layer and contour of each closed line, read by the drawing library."""
    drawing = ezdxf.read(io.StringIO(drawn.content.decode("utf-8")))
    assert drawing.header["$INSUNITS"] == 4
    return [
        (one.dxf.layer, Contour(corners=tuple((x, y, bulge) for x, y, bulge in one.get_points("xyb"))))
        for one in drawing.modelspace().query("LWPOLYLINE")
        if one.closed
    ]


def tray_of(drawn):
    """Outline and recesses of a drawing."""
    loops = loops_of(drawn)
    (outline,) = [one for layer, one in loops if layer == "OUTLINE"]
    return outline, [one for layer, one in loops if layer != "OUTLINE"]


def told(drawn, code):
    return [message(one.code, dict(one.parameters), one.fix).what for one in drawn.findings if one.code == code]


def test_one_box_by_hand():
    # pocket 102 x 52 (play 2), rim 25 all round: 152 x 102; floor 10 of 50 leaves 40, the part is 30 high
    drawn = draw_simple(ask("100x50x30", 1))
    (layer_a, outline), (layer_b, pocket) = loops_of(drawn)
    assert (layer_a, layer_b) == ("OUTLINE", "DEPTH_30")
    assert outline.bounds_mm == (0.0, 0.0, 152.0, 102.0)
    assert pocket.bounds_mm == (25.0, 25.0, 127.0, 77.0)
    assert (drawn.trays, drawn.pockets) == (1, 1)


def test_four_boxes_stand_in_a_near_square():
    # two columns 2 x 102 + 12 + 50 = 266, two rows 2 x 52 + 12 + 50 = 166: 432 of edge; four rows 152 + 294 = 446
    outline, pockets = tray_of(draw_simple(ask("100x50x30", 4)))
    assert outline.bounds_mm == (0.0, 0.0, 266.0, 166.0)
    assert sorted(one.bounds_mm[:2] for one in pockets) == [(25.0, 25.0), (25.0, 89.0), (139.0, 25.0), (139.0, 89.0)]


def test_a_last_row_may_be_short():
    drawn = draw_simple(ask("d40x20", 7))
    outline, pockets = tray_of(drawn)
    # pockets of 42, gaps of 12: four columns 254, two rows 146
    assert (len(pockets), sorted(outline.bounds_mm[2:])) == (7, [146.0, 254.0])
    assert drawn.pockets == 7


def test_notches_lie_in_the_middle_of_the_longer_sides_and_are_exact_arcs():
    # notch 25 wide, 20 beyond the pocket, its end a half circle of 12.5
    outline, (pocket,) = tray_of(draw_simple(ask("100x50x30", 1, grip="each")))
    assert pocket.area_mm2 == pytest.approx(102 * 52 + 2 * (25 * 7.5 + math.pi * 12.5**2 / 2), abs=1e-6)
    left, front, right, back = pocket.bounds_mm
    assert (right - left, back - front) == pytest.approx((102.0, 92.0))
    assert outline.bounds_mm == pytest.approx((0.0, 0.0, 152.0, 142.0))


def test_the_notches_of_a_round_part_by_area():
    # a disc of 82 and two notches of 25: the foot of a notch stands at sqrt(41² - 12.5²), its end's middle at 48.5
    (pocket,) = tray_of(draw_simple(ask("d80x20", 1, grip="each")))[1]
    foot, half = math.sqrt(41**2 - 12.5**2), 12.5
    cap = 41**2 * math.asin(half / 41) - half * foot
    notch = 25 * (48.5 - foot) + math.pi * half**2 / 2 - cap
    assert pocket.area_mm2 == pytest.approx(math.pi * 41**2 + 2 * notch, abs=1e-6)


def test_a_row_is_one_loop_with_its_slot_through_all_pockets():
    # pockets 102 x 52, 20 between them for fingers, the slot 25 wide and 20 beyond the outer ones
    (row,) = tray_of(draw_simple(ask("100x50x30", 2, grip="row", size_mm=(320.0, 120.0))))[1]
    left, front, right, back = row.bounds_mm
    assert (right - left, back - front) == pytest.approx((2 * 102 + 20 + 40, 52.0))
    ends = 2 * (25 * 7.5 + math.pi * 12.5**2 / 2)
    assert row.area_mm2 == pytest.approx(2 * 102 * 52 + 20 * 25 + ends, abs=1e-6)


def test_parts_are_spread_evenly_over_as_few_trays_as_possible():
    # a tray of 280 x 180 takes 2 x 2: nine parts take three trays of three
    drawn = draw_simple(ask("100x50x30", 9, size_mm=(280.0, 180.0)))
    assert (drawn.trays, drawn.pockets) == (3, 3)
    assert not told(drawn, "TRAY-069")
    spare = draw_simple(ask("100x50x30", 5, size_mm=(280.0, 180.0)))
    assert (spare.trays, spare.pockets) == (2, 3)
    assert told(spare, "TRAY-069") == ["Pockets more than parts: 1."]


def test_rows_run_along_y_where_they_do_not_go_in_along_x():
    # 110 wide less two rims of 25 takes a pocket of 52, not one of 102; along y (500 - 50 + 12) / 114 are four
    drawn = draw_simple(ask("100x50x30", 4, size_mm=(110.0, 500.0), grip="none"))
    _, pockets = tray_of(drawn)
    assert [tuple(round(one) for one in pocket.bounds_mm[:2]) for pocket in pockets] == [
        (29, 28),
        (29, 142),
        (29, 256),
        (29, 370),
    ]


def test_pockets_stand_in_the_middle_of_a_tray_that_is_asked_for():
    outline, (pocket,) = tray_of(draw_simple(ask("100x50x30", 1, size_mm=(200.0, 160.0))))
    assert outline.bounds_mm == (0.0, 0.0, 200.0, 160.0)
    assert pocket.bounds_mm == (49.0, 54.0, 151.0, 106.0)


def test_a_part_higher_than_the_board_allows_stands_out_and_that_is_told():
    drawn = draw_simple(ask("180x120x62", 1))
    assert loops_of(drawn)[1][0] == "DEPTH_40"
    assert told(drawn, "TRAY-068") == ["The part stands 22.0 mm out of its pocket of 40.0 mm."]


def test_a_thin_board_as_measured_makes_the_pocket_shallower_and_a_thick_one_does_not_make_it_deeper():
    assert loops_of(draw_simple(ask("180x120x62", 1, thickness_mm=48.6)))[1][0] == "DEPTH_38.6"
    assert loops_of(draw_simple(ask("180x120x62", 1, thickness_mm=51.0)))[1][0] == "DEPTH_40"


def test_over_cut_corners_leave_the_least_wall():
    # each corner of a cutter of 12 goes 6 x 0.2929 = 1.757 beyond its walls, taken as 1.8
    outline, pockets = tray_of(draw_simple(ask("100x50x30", 2, cutter_mm=12.0, size_mm=(300.0, 150.0))))
    left, right = sorted(one.bounds_mm for one in pockets)
    assert right[0] - left[2] == pytest.approx(12 + 2 * 1.8, abs=WITHIN_MM)
    assert outline.bounds_mm[2] == 300.0


def test_room_for_fingers_is_narrower_at_a_small_part_and_that_is_told():
    drawn = draw_simple(ask("d22x15", 2, grip="each"))
    assert told(drawn, "TRAY-070") == ["Room for fingers is 12.0 mm wide; a finger wants 25.0 mm."]
    # but no narrower than the cutter: 1.1 x 12
    wider = draw_simple(ask("d22x15", 2, grip="each", cutter_mm=12.0))
    assert told(wider, "TRAY-070") == ["Room for fingers is 13.2 mm wide; a finger wants 25.0 mm."]
    assert not told(draw_simple(ask("100x50x30", 2, grip="each")), "TRAY-070")


def test_the_mass_that_was_not_asked_is_told():
    assert told(draw_simple(ask("100x50x30", 1)), "TRAY-067")


@pytest.mark.parametrize(
    ("asked", "code"),
    [
        ({"size_mm": (1200.0, 300.0)}, "TRAY-062"),
        ({"size_mm": (100.0, 100.0)}, "TRAY-063"),
        ({"depth_mm": 50.0}, "TRAY-064"),
        ({"depth_mm": -1.0}, "TRAY-064"),
        ({"grip": "both"}, "TRAY-065"),
        ({"count": 0}, "TRAY-066"),
        ({"count": 100_001}, "TRAY-066"),
    ],
)
def test_what_cannot_be_drawn_is_refused(asked, code):
    with pytest.raises(DesignError) as refused:
        draw_simple(ask("100x50x30", **{"count": 1, **asked}))
    assert refused.value.code == code


@pytest.mark.parametrize("words", ["", "180", "180x120", "180x120x62x3", "axbxc", "0x1x1", "-1x2x3", "d40", "nanx1x1"])
def test_a_size_that_is_none_is_refused(words):
    with pytest.raises(DesignError) as refused:
        simple_part(words)
    assert refused.value.code == "TRAY-060"
    if words != "180x120":
        with pytest.raises(DesignError):
            simple_size(words)


def test_sizes_are_read_the_longer_side_first():
    assert simple_part("120X180.5x62") == SimplePart(length_mm=180.5, width_mm=120.0, height_mm=62.0)
    assert simple_part(" d40x20 ") == SimplePart(length_mm=40.0, width_mm=40.0, height_mm=20.0, is_round=True)


def test_the_same_question_is_the_same_bytes():
    assert draw_simple(ask("180x120x62", 12, grip="each")) == draw_simple(ask("180x120x62", 12, grip="each"))


lengths = st.floats(8, 250).map(lambda one: round(one, 2))
parts = st.builds(
    lambda one, other, height: SimplePart(length_mm=max(one, other), width_mm=min(one, other), height_mm=height),
    lengths,
    lengths,
    st.floats(2, 80).map(lambda one: round(one, 1)),
)
discs = (
    st.floats(8, 250)
    .map(lambda one: round(one, 2))
    .map(lambda one: SimplePart(length_mm=one, width_mm=one, height_mm=15.0, is_round=True))
)


@settings(max_examples=60)
@given(
    st.one_of(parts, discs),
    st.integers(1, 40),
    st.sampled_from(("each", "row", "none")),
    st.sampled_from(SHEETS),
    st.sampled_from((None, (560.0, 400.0))),
    st.sampled_from((0.0, 6.0, 12.0)),
)
def test_no_wall_is_thinner_than_the_sheet_s_least_and_no_part_is_lost(part, count, grip, card, size, cutter):
    asked = ask(part, count, card=card, grip=grip, size_mm=size, cutter_mm=cutter, room_mm=(970.0, 580.0))
    drawn = draw_simple(asked)
    outline, recesses = tray_of(drawn)
    least = asked.stuff.wall_least_mm if card.startswith("hdpe") else asked.board.wall_least_mm or 12.0
    regions = [one.region() for one in recesses]
    assert all(one.signed_area_mm2 > 0 for one in recesses)
    for here, there in combinations(regions, 2):
        assert here.distance_mm(there) >= least - WITHIN_MM
    left, front, right, back = outline.bounds_mm
    inner = Region.rectangle(left + least, front + least, right - least, back - least).grown(WITHIN_MM)
    assert all(inner.contains(one) for one in regions)
    assert (right, back) == size or (right <= 970.001 and back <= 580.001) or (back <= 970.001 and right <= 580.001)
    pockets = drawn.trays * drawn.pockets
    assert count <= pockets < count + drawn.trays
    if grip != "row":
        assert len(recesses) == drawn.pockets
    # each part with its play goes into what is cut
    area = math.pi / 4 if part.is_round else 1.0
    own = drawn.pockets * area * (part.length_mm + 2) * (part.width_mm + 2)
    assert math.fsum(one.area_mm2 for one in recesses) >= own - WITHIN_MM
