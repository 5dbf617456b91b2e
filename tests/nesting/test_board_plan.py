"""Plies on boards: none overlaps, none outside, kerf and edge kept, all that was asked for is cut."""

from __future__ import annotations

import math
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.shop_floor import board, machine, ply
from traywright.base import Severity, message
from traywright.base.errors import NestError
from traywright.geometry import Region
from traywright.nesting import PlyCount, place_on_board, plan_boards

WITHIN_MM = 0.0015


def plan(*counted, boards=None, bed=None):
    plies = tuple(PlyCount(ply=one, count=count) for one, count in counted)
    return plan_boards(plies, boards or (board(),), bed or machine(), job_number="job-7")


def codes(result):
    return [one.code for one in result.findings]


def readable(result):
    return [message(one.code, dict(one.parameters), one.fix).what for one in result.findings]


sizes = st.floats(60, 700)


@settings(max_examples=30)
@given(sizes, sizes, st.integers(1, 40), st.floats(3, 20), st.floats(0, 25))
def test_pieces_keep_kerf_and_edge_and_all_are_cut(width, depth, count, kerf, edge):
    one = ply(size=(round(width, 3), round(depth, 3)))
    result = plan((one, count), boards=(board(edge=edge),), bed=machine(kerf=kerf))
    (layout,), (need,) = result.plan.layouts, result.plan.needs
    placed = [place_on_board(one.region, piece, one) for piece in layout.pieces]
    right, back = layout.blank.size_mm
    for each in placed:
        x0, y0, x1, y1 = each.bounds_mm
        assert min(x0, y0, right - x1, back - y1) >= edge - WITHIN_MM
    for here, there in combinations(placed, 2):
        assert here.distance_mm(there) >= kerf - WITHIN_MM
    assert layout.count * len(layout.pieces) == count + layout.spare_pieces
    assert 0 <= layout.spare_pieces < len(layout.pieces)
    assert need.bound_boards <= need.boards
    assert 0 < layout.yield_ratio <= 1
    for screw in result.plan.setups[0].screws_mm:
        head = Region.disc(screw, 5.0)
        assert layout.blank.contains(head)
        assert all(head.distance_mm(each) >= kerf - WITHIN_MM for each in placed)
    assert readable(result)


@settings(max_examples=20)
@given(sizes, sizes, st.integers(1, 40))
def test_turning_the_board_or_the_ply_changes_nothing_in_the_count(width, depth, count):
    asked = plan((ply(size=(width, depth)), count)).plan.needs
    turned_board = plan((ply(size=(width, depth)), count), boards=(board(length=1000.0, width=2000.0),)).plan.needs
    turned_ply = plan((ply(size=(depth, width)), count)).plan.needs
    assert asked == turned_board == turned_ply


def test_a_board_longer_than_the_bed_is_sawn_in_half_first():
    # (2000 - 4) / 2 = 998 along the longer side
    (layout,) = plan((ply(), 4)).plan.layouts
    assert layout.cut_from == "half 998x1000"
    assert layout.blank.bounds_mm == (0.0, 0.0, 998.0, 1000.0)


def test_a_board_is_sawn_again_until_it_lies_on_bed_and_travel():
    # 998 x 1000 does not go through a travel of 900 in y: (1000 - 4) / 2 = 498, and 998 x 498 lies along x
    (layout,) = plan((ply(size=(300.0, 200.0)), 4), bed=machine(travel=(1300.0, 900.0))).plan.layouts
    assert layout.cut_from == "quarter 998x498"


def test_a_board_that_lies_on_the_bed_is_not_sawn_but_may_be_turned():
    result = plan((ply(), 4), bed=machine(bed=(1000.0, 2000.0), travel=(1000.0, 2000.0)))
    assert result.plan.layouts[0].cut_from == "whole"
    assert result.plan.layouts[0].blank.size_mm == (1000.0, 2000.0)
    assert "NEST-010" not in codes(result)


def test_the_survey_kit_s_boards():
    # the expert's table: 90 plies of 25 -> 12 boards (6 pieces over), 60 of 50 -> 8 boards (4 over), four a half board;
    # four kinds of 15 at four a blank are 4 x 4 blanks, and each kind has one piece over
    thin = [(ply(f"T{n}.P1", kind="pad", card="b25", size=(556.0, 356.0), thickness=25.0), 15) for n in range(1, 7)]
    thick = [(ply(f"T{n}.P2", card="b50", size=(556.0, 356.0), thickness=50.0), 15) for n in range(1, 5)]
    cards = (board("b25", thickness=25.0), board("b50", thickness=50.0))
    result = plan(*thin, *thick, boards=cards)
    first, second = result.plan.needs
    assert (first.pieces, first.boards, first.bound_boards, first.proven) == (90, 12, 12, True)
    assert (second.pieces, second.boards, second.spare_pieces, second.proven) == (60, 8, 4, True)
    assert {len(layout.pieces) for layout in result.plan.layouts} == {4}
    assert [layout.yield_ratio for layout in result.plan.layouts] == pytest.approx([0.793] * 5, abs=0.001)


def test_equal_plies_are_one_kind_under_the_first_id():
    result = plan((ply("T10.P1", kind="k"), 2), (ply("T9.P1", kind="k"), 3), (ply("T1.P1", kind="other"), 1))
    assert [(one.id, one.pieces[0].ply) for one in result.plan.layouts] == [("B1", "T1.P1"), ("B2", "T9.P1")]
    assert result.plan.layouts[1].count * len(result.plan.layouts[1].pieces) - result.plan.layouts[1].spare_pieces == 5


def test_blanks_of_two_kinds_share_a_whole_board():
    result = plan((ply("T1.P1"), 1), (ply("T2.P1"), 1))
    assert [(one.blanks, one.boards) for one in result.plan.needs] == [(2, 1)]


def test_a_setup_says_what_cutting_needs():
    (setup,) = plan((ply(), 5)).plan.setups
    assert (setup.id, setup.board_layout, setup.side_up, setup.program) == ("B1.S1", "B1", "top", "JOB-7-B1-S1")
    assert (setup.datum, setup.z_zero) == ("front left", "bed")
    assert setup.cutters == ((1, "flat-12"), (2, "ball-12"))
    assert setup.zones == ("left", "right")
    assert (setup.thickness_mm, setup.runs) == (30.0, 2)
    assert [one.id for one in setup.pieces] == ["B1.1", "B1.2", "B1.3", "B1.4"]


def test_pieces_stand_in_the_middle_of_the_blank():
    (layout,) = plan((ply(size=(300.0, 700.0)), 1)).plan.layouts
    left = min(piece.at_mm[0] for piece in layout.pieces)
    right = max(piece.at_mm[0] + (700.0 if piece.turn_deg else 300.0) for piece in layout.pieces)
    assert left == pytest.approx(998.0 - right, abs=WITHIN_MM)


def test_four_screws_stand_where_the_waste_is_wide_enough():
    # two of 400 x 900: 812 wide in 998, so 93 of waste at each side
    result = plan((ply(size=(400.0, 900.0)), 2))
    assert len(result.plan.setups[0].screws_mm) == 4
    assert "NEST-004" not in codes(result)


def test_no_screws_and_a_finding_where_the_waste_is_narrow():
    result = plan((ply(size=(978.0, 980.0)), 1))
    assert result.plan.setups[0].screws_mm == ()
    assert "NEST-004" in codes(result)


@pytest.mark.parametrize(
    ("asked", "code", "fix"),
    [
        ({"card": "no-such"}, "NEST-001", ""),
        ({"thickness": 25.0}, "NEST-002", ""),
        ({"size": (990.0, 500.0)}, "NEST-003", "bed"),
        ({"size": (2100.0, 500.0)}, "NEST-003", ""),
        ({"sides": ("top", "underside")}, "NEST-007", ""),
    ],
)
def test_a_ply_that_cannot_be_cut_stops_with_its_code_and_the_rest_is_laid(asked, code, fix):
    result = plan((ply("T1.P1", **asked), 3), (ply("T2.P1"), 1))
    (stop,) = [one for one in result.findings if one.severity is Severity.STOP]
    assert (stop.code, stop.at, stop.fix) == (code, ("T1.P1",), fix)
    assert [layout.pieces[0].ply for layout in result.plan.layouts] == ["T2.P1"]
    assert readable(result)


def test_an_outline_that_is_no_rectangle_is_said_to_be_laid_by_its_box():
    corner = Region.polygon([(0, 0), (400, 0), (400, 100), (100, 100), (100, 300), (0, 300)])
    assert "NEST-011" in codes(plan((ply(region=corner), 1)))
    assert "NEST-011" not in codes(plan((ply(), 1)))


def test_nothing_asked_for_is_nothing_planned():
    result = plan()
    assert (result.plan.layouts, result.plan.needs, result.findings, result.figures) == ((), (), (), ())


def test_a_count_below_one_is_refused():
    with pytest.raises(NestError) as refused:
        plan((ply(), 0))
    assert refused.value.code == "NEST-009"


def test_figures_end_at_the_cards():
    figures = {one.path: one for one in plan((ply(), 5)).figures}
    assert sorted(figures) == [
        f"boards/slab-30/{name}" for name in ("area_bound", "blanks", "boards", "bound", "yield")
    ]
    assert all(ref.startswith("card:") for one in figures.values() for ref in one.inputs)
    # 5 of 500 x 300 from one board of 2000 x 1000
    assert figures["boards/slab-30/yield"].value == pytest.approx(5 * 0.15 / 2)
    # boxes with kerf 512 x 312, room of a half 990 x 992: 5 of them are 0.41 boards
    area = 5 * 512 * 312 / (2 * 990 * 992)
    assert figures["boards/slab-30/area_bound"].value == math.ceil(area)


def test_the_same_question_in_another_order_has_the_same_answer():
    one, other = (ply("T1.P1"), 3), (ply("T2.P1", size=(200.0, 100.0)), 7)
    assert plan(one, other) == plan(other, one)
