"""Boards of a tray and the order of the stack."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from design.jobs import block, needs, pack
from traywright.base.errors import DesignError
from traywright.catalogue import load_cards
from traywright.design import draw_pack, ply_boards

CARDS = load_cards()
BOARDS = [CARDS.board("demo-2000x1000x25"), CARDS.board("demo-2000x1000x50")]


@pytest.mark.parametrize(
    ("least", "plies"),
    [(1.0, [25]), (25.0, [25]), (25.1, [50]), (75.0, [25, 50]), (110.0, [25, 50, 50]), (100.0, [50, 50])],
)
def test_least_height_in_the_fewest_plies(least, plies):
    assert [thickness for _, thickness in ply_boards(BOARDS, least)] == plies


@settings(max_examples=30)
@given(st.floats(1.0, 300.0))
def test_the_height_is_reached_by_less_than_the_thinnest_board(least):
    total = sum(thickness for _, thickness in ply_boards(BOARDS, least))
    assert least - 0.001 <= total < least + 25.0


def test_no_board_no_tray():
    with pytest.raises(DesignError):
        ply_boards([], 25.0)


def test_spare_height_goes_under_the_part_that_lacks_most():
    told = (*needs("first", under=40.0), *needs("second", under=200.0))
    drawn = draw_pack(pack(block("first"), block("second"), kits=2, needs=told))
    floors = {one.cells[0].part: one.cells[0].at_mm[2] for one in drawn.trays if one.cells}
    assert floors["second"] > 3 * floors["first"]


def test_a_part_that_thickness_helps_comes_before_one_that_it_does_not():
    told = (*needs("first", under=float("inf")), *needs("second", under=90.0))
    drawn = draw_pack(pack(block("first"), block("second"), kits=2, needs=told))
    floors = {one.cells[0].part: one.cells[0].at_mm[2] for one in drawn.trays if one.cells}
    assert floors["second"] >= 90.0
    assert floors["first"] > 2 * 25.0  # what is left


def test_where_nothing_lacks_foam_the_base_pad_fills_the_box():
    drawn = draw_pack(pack(block(), kits=2, needs=needs("block", under=20.0)))
    thick = {one.kind.value: one.thickness_mm for one in drawn.trays}
    assert thick == {"tray": 50.0, "pad": 275.0, "lid": 25.0}
    assert len(next(one for one in drawn.trays if one.kind.value == "pad").ply_boards) == 6


def test_a_thin_floor_comes_before_the_base_pad():
    # 30 high and 3 of air in a board of 50 leave 17 of floor; a board more leaves 42
    thick = {one.kind.value: one.thickness_mm for one in draw_pack(pack(block(size=(80.0, 50.0, 30.0)), kits=2)).trays}
    assert thick == {"tray": 75.0, "pad": 250.0, "lid": 25.0}


def test_heavy_lies_low():
    drawn = draw_pack(pack(block("light", mass_kg=0.2), block("heavy", mass_kg=1.5), kits=2))
    bottoms = {one.id: one.bottom_mm for one in drawn.pack.layers}
    cells = {one.cells[0].part: one.id for one in drawn.trays if one.cells}
    assert bottoms[cells["heavy"]] < bottoms[cells["light"]]
    assert cells["heavy"] == "T1"
