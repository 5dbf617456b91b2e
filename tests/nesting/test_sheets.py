"""Pieces of a drawing on sheets: exactly what is wanted, from the front left corner, the rest a remnant."""

from __future__ import annotations

from collections import Counter
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.shop_floor import board, machine, ply
from traywright.base import Severity, message
from traywright.base.errors import NestError
from traywright.geometry import Region
from traywright.nesting import PlyCount, lay_on_sheets, place_on_board

WITHIN_MM = 0.0015
SHEET = board("two-colour", length=1200.0, width=600.0)


def lay(*counted, sheet=SHEET, bed=None):
    plies = tuple(PlyCount(ply=one, count=count) for one, count in counted)
    return lay_on_sheets(plies, sheet, bed or machine(), job_number="job-9")


def drawer(ply_id="T1.P1", size=(558.0, 398.0), **more):
    return ply(ply_id, card="two-colour", size=size, **more)


def told(result, code):
    return [message(one.code, dict(one.parameters), one.fix).what for one in result.findings if one.code == code]


def lies(layout):
    return [(piece.ply, piece.at_mm, piece.turn_deg) for piece in layout.pieces]


def test_one_drawer_stands_in_the_corner_clear_of_cutter_and_screw():
    # a kerf of 12 and a screw head of 10 off the edges; right of it stays 1200 - 22 - 558 - 12 = 608
    result = lay((drawer(), 1))
    (layout,), (setup,) = result.plan.layouts, result.plan.setups
    assert lies(layout) == [("T1.P1", (22.0, 22.0), 0)]
    assert (layout.count, layout.spare_pieces, layout.cut_from) == (1, 0, "whole")
    # heads in the corners of the way around the piece: 22 + 558 + 12 + 5 = 597, 22 + 398 + 12 + 5 = 437
    assert setup.screws_mm == ((5.0, 5.0), (597.0, 5.0), (597.0, 437.0), (5.0, 437.0))
    (left,) = result.remnants
    assert (left.side, left.width_mm, left.depth_mm, left.count) == ("right", 608.0, 600.0, 1)
    assert left.less == "1200x600 less 558x398"
    assert told(result, "NEST-012") == ["Remnants of B1: 1 of 608 x 600 mm, along the right (1200x600 less 558x398)."]


def test_two_drawers_share_a_sheet_and_leave_its_back():
    # 22 + 558 + 12 = 592, and 592 + 558 + 22 = 1172 of 1200; behind them stays 600 - 22 - 398 - 12 = 168
    result = lay((drawer(), 2))
    (layout,), (left,) = result.plan.layouts, result.remnants
    assert lies(layout) == [("T1.P1", (22.0, 22.0), 0), ("T1.P1", (592.0, 22.0), 0)]
    assert (left.side, left.width_mm, left.depth_mm) == ("back", 1200.0, 168.0)
    assert left.less == "1200x600 less 2 of 558x398"


def test_full_sheets_are_one_layout_and_the_last_holds_what_is_left():
    result = lay((drawer(), 7))
    assert [(one.id, one.count, len(one.pieces)) for one in result.plan.layouts] == [("B1", 3, 2), ("B2", 1, 1)]
    assert [(one.program, one.runs) for one in result.plan.setups] == [("JOB-9-B1-S1", 3), ("JOB-9-B2-S1", 1)]
    (need,) = result.plan.needs
    assert (need.boards, need.pieces, need.spare_pieces, need.bound_boards, need.proven) == (4, 7, 0, 4, True)


def test_pieces_go_to_the_board_s_edge_where_that_saves_a_sheet():
    # 10 + 584 + 12 + 584 + 10 = 1200: two go on at an edge of 10, one at 22
    (layout,) = lay((drawer(size=(584.0, 398.0)), 2)).plan.layouts
    assert lies(layout) == [("T1.P1", (10.0, 10.0), 0), ("T1.P1", (606.0, 10.0), 0)]


def test_a_piece_that_goes_on_only_turned_is_turned():
    (layout,) = lay((drawer(size=(500.0, 1100.0)), 1)).plan.layouts
    assert lies(layout) == [("T1.P1", (22.0, 22.0), 90)]


def test_the_last_sheet_is_laid_so_that_the_most_is_left():
    # flat side by side leaves 1200 x 466; upright side by side 212 wide leaves 1200 - 22 - 212 - 12 = 954 x 600
    result = lay((drawer(size=(400.0, 100.0)), 2))
    assert [turn for _, _, turn in lies(result.plan.layouts[0])] == [90, 90]
    assert (result.remnants[0].side, result.remnants[0].width_mm) == ("right", 954.0)


def test_several_outlines_share_a_sheet_the_deepest_first():
    large, small = drawer("T1.P1", size=(558.0, 398.0)), drawer("T2.P1", size=(200.0, 100.0))
    result = lay((large, 2), (small, 5))
    (layout,) = result.plan.layouts
    assert Counter(piece.ply for piece in layout.pieces) == {"T1.P1": 2, "T2.P1": 5}
    # the second shelf stands behind the first: 22 + 398 + 12 = 432
    assert {piece.at_mm[1] for piece in layout.pieces if piece.ply == "T2.P1"} == {432.0}


def test_sheets_are_shared_where_that_takes_fewer():
    # alone three of 700 x 400 take three sheets and six of 380 x 250 a fourth; beside each large one two small ones go
    result = lay((drawer("T1.P1", size=(700.0, 400.0)), 3), (drawer("T2.P1", size=(380.0, 250.0)), 6))
    (layout,) = result.plan.layouts
    assert layout.count == 3
    assert Counter(piece.ply for piece in layout.pieces) == {"T1.P1": 1, "T2.P1": 2}


def test_a_sheet_larger_than_the_bed_is_sawn_first():
    result = lay((drawer(size=(500.0, 300.0)), 1), sheet=board("two-colour"))
    (layout,) = result.plan.layouts
    assert layout.cut_from == "half 998x1000"
    assert {"NEST-010", "NEST-012", "NEST-013"} == {one.code for one in result.findings}
    assert "1 blanks stay whole" in told(result, "NEST-013")[0]


def test_the_sheet_is_as_thick_as_it_was_measured():
    result = lay((drawer(thickness=28.6), 1), sheet=board("two-colour", length=1200.0, width=600.0, thickness=28.6))
    assert result.plan.setups[0].thickness_mm == 28.6
    assert not [one for one in result.findings if one.severity is Severity.STOP]


@pytest.mark.parametrize(
    ("asked", "code"),
    [
        ({"card": "no-such"}, "NEST-001"),
        ({"card": "two-colour", "thickness": 25.0}, "NEST-002"),
        ({"card": "two-colour", "size": (1190.0, 500.0)}, "NEST-003"),
        ({"card": "two-colour", "sides": ("top", "underside")}, "NEST-007"),
    ],
)
def test_what_cannot_be_laid_stops_and_the_rest_is_laid(asked, code):
    result = lay((ply("T1.P1", **asked), 2), (drawer("T2.P1"), 1))
    (stop,) = [one for one in result.findings if one.severity is Severity.STOP]
    assert (stop.code, stop.at) == (code, ("T1.P1",))
    assert [piece.ply for piece in result.plan.layouts[0].pieces] == ["T2.P1"]
    nothing = lay((ply("T1.P1", **asked), 2))
    assert (nothing.plan.layouts, nothing.figures) == ((), ())


def test_a_count_below_one_is_refused():
    with pytest.raises(NestError) as refused:
        lay((drawer(), 0))
    assert refused.value.code == "NEST-009"


def test_rounded_corners_are_not_told_but_a_hollow_outline_is():
    corner = Region.polygon([(0, 0), (400, 0), (400, 100), (100, 100), (100, 300), (0, 300)])
    assert told(lay((drawer(region=corner), 1)), "NEST-011")
    rounded = Region.rectangle(10, 10, 390, 290).grown(10)
    assert not told(lay((drawer(region=rounded), 1)), "NEST-011")


def test_a_sheet_filled_to_its_edges_has_no_screws_and_says_so():
    result = lay((drawer(size=(1180.0, 580.0)), 1))
    assert result.plan.setups[0].screws_mm == ()
    assert told(result, "NEST-004")
    assert result.remnants == ()


def test_figures_stand_on_what_was_asked_and_on_the_cards():
    figures = {one.path: one for one in lay((drawer(), 3)).figures}
    assert figures["boards/two-colour/boards"].value == 2.0
    assert figures["boards/two-colour/yield"].value == pytest.approx(3 * 558 * 398 / (2 * 1200 * 600))
    assert all(ref.startswith("card:") for one in figures.values() for ref in one.inputs)


def test_the_same_question_in_another_order_has_the_same_answer():
    one, other = (drawer("T1.P1"), 3), (drawer("T2.P1", size=(200.0, 100.0)), 7)
    assert lay(one, other) == lay(other, one)


kinds = st.lists(st.tuples(st.floats(40, 560), st.floats(40, 560), st.integers(1, 12)), min_size=1, max_size=3)


@settings(max_examples=40)
@given(kinds, st.floats(3, 16), st.floats(0, 15))
def test_pieces_keep_kerf_and_edge_screws_stand_in_waste_and_the_counts_are_exact(asked, kerf, edge):
    plies = {f"T{n}.P1": drawer(f"T{n}.P1", size=(round(w, 3), round(d, 3))) for n, (w, d, _) in enumerate(asked, 1)}
    sheet = board("two-colour", length=1200.0, width=600.0, edge=edge)
    counted = zip(plies.values(), (count for _, _, count in asked), strict=True)
    result = lay(*counted, sheet=sheet, bed=machine(kerf=kerf))
    cut = Counter()
    for layout, setup in zip(result.plan.layouts, result.plan.setups, strict=True):
        placed = [place_on_board(plies[piece.ply].region, piece, plies[piece.ply]) for piece in layout.pieces]
        for piece in layout.pieces:
            cut[piece.ply] += layout.count
        for x0, y0, x1, y1 in (each.bounds_mm for each in placed):
            assert min(x0, y0, 1200.0 - x1, 600.0 - y1) >= edge - WITHIN_MM
        for here, there in combinations(placed, 2):
            assert here.distance_mm(there) >= kerf - WITHIN_MM
        for screw in setup.screws_mm:
            head = Region.disc(screw, 5.0)
            assert layout.blank.grown(WITHIN_MM).contains(head)
            assert all(head.distance_mm(each) >= kerf - WITHIN_MM for each in placed)
    assert cut == {f"T{n}.P1": count for n, (_, _, count) in enumerate(asked, 1)}
    (need,) = result.plan.needs
    assert need.bound_boards <= need.boards == sum(one.count for one in result.plan.layouts)
    for left in result.remnants:
        layout = next(one for one in result.plan.layouts if one.id == left.layout)
        x0, y0 = (1200.0 - left.width_mm, 0.0) if left.side == "right" else (0.0, 600.0 - left.depth_mm)
        rest = Region.rectangle(x0, y0, 1200.0, 600.0)
        placed = [place_on_board(plies[piece.ply].region, piece, plies[piece.ply]) for piece in layout.pieces]
        assert all(rest.distance_mm(each) >= kerf - WITHIN_MM for each in placed)
