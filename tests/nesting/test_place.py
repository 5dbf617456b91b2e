"""The place of a ply on the board, against a twin written with complex numbers."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.shop_floor import ply
from traywright.base.errors import NestError
from traywright.geometry import Region
from traywright.nesting import Piece, place_on_board, point_on_board
from twins.place import placed_corners

OUTLINE = [(3.0, -2.0), (43.0, -2.0), (43.0, 8.0), (20.0, 18.0), (3.0, 18.0)]
steps = st.integers(-500_000, 500_000).map(lambda n: n / 1000)
quarters = st.sampled_from([0, 90, 180, 270])


@settings(max_examples=50)
@given(quarters, steps, steps, steps, steps)
def test_points_and_regions_go_where_the_twin_puts_them(turn, at_x, at_y, x, y):
    one = ply(region=Region.polygon(OUTLINE))
    piece = Piece(id="B1.1", ply=one.id, at_mm=(at_x, at_y), turn_deg=turn)
    (twin,) = placed_corners(OUTLINE, [(x, y)], (at_x, at_y), turn)
    assert point_on_board((x, y), piece, one) == pytest.approx(twin, abs=1e-6)
    spot = Region.rectangle(x, y, x + 4, y + 2)
    wanted = Region.polygon(
        placed_corners(OUTLINE, [(x, y), (x + 4, y), (x + 4, y + 2), (x, y + 2)], (at_x, at_y), turn)
    )
    assert place_on_board(spot, piece, one).bounds_mm == pytest.approx(wanted.bounds_mm, abs=1e-6)


@settings(max_examples=20)
@given(quarters, steps, steps)
def test_the_outline_s_lower_left_corner_stands_at_its_place_and_its_area_is_kept(turn, at_x, at_y):
    one = ply(region=Region.polygon(OUTLINE))
    placed = place_on_board(one.region, Piece(id="B1.1", ply=one.id, at_mm=(at_x, at_y), turn_deg=turn), one)
    assert placed.bounds_mm[:2] == pytest.approx((at_x, at_y), abs=1e-6)
    assert placed.area_mm2 == pytest.approx(one.region.area_mm2)


@pytest.mark.parametrize(("turn", "side"), [(45, "top"), (0, "underside"), (360, "top")])
def test_other_turns_and_sides_are_refused(turn, side):
    one = ply()
    with pytest.raises(NestError) as refused:
        place_on_board(one.region, Piece(id="B1.1", ply=one.id, at_mm=(0, 0), turn_deg=turn, side_up=side), one)
    assert refused.value.code == "NEST-008"
