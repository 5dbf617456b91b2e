"""The compiled loops against their plain twins, and what any sweep must keep."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from traywright.geometry import Region
from traywright.verification import _kernels
from twins import height_map

CELL = 1.0
SIDE = 24
ORIGIN = np.array([0.0, 0.0, CELL])
DEEP_MM = 0.02  # the twin's points are up to 0.03 mm apart; slopes here are under 1 in 2

DEEP_FROM_MM = 11.0


def swept(kernel, moves):
    heights = np.full((SIDE, SIDE), 20.0, dtype=np.float32)
    lines = np.zeros((SIDE, SIDE), dtype=np.int32)
    bites = np.zeros((len(moves), 5))
    rows = np.array([(*one, DEEP_FROM_MM) for one in moves])
    kernel(heights, lines, ORIGIN, rows, np.arange(1, len(moves) + 1, dtype=np.int32), bites)
    return heights, lines, bites


def straight(x0, y0, z0, x1, y1, z1, radius=4.0, ball=0.0):
    return (0.0, x0, y0, z0, x1, y1, z1, 0.0, 0.0, 0.0, radius, ball)


def arc(cx, cy, radius, first_deg, sweep_deg, z0, z1, cutter=3.0, ball=0.0):
    first, sweep = math.radians(first_deg), math.radians(sweep_deg)
    start = (cx + radius * math.cos(first), cy + radius * math.sin(first), z0)
    end = (cx + radius * math.cos(first + sweep), cy + radius * math.sin(first + sweep), z1)
    return (1.0, *start, *end, cx, cy, sweep, cutter, ball)


MOVES = {
    "level": straight(5.1, 6.2, 8.0, 18.3, 14.4, 8.0),
    "along x": straight(5.1, 6.2, 8.0, 18.3, 6.2, 8.0),
    "along y": straight(5.1, 6.2, 8.0, 5.1, 18.2, 8.0),
    "ramp": straight(5.1, 6.2, 12.0, 18.3, 14.4, 6.0),
    "plunge": straight(11.3, 12.2, 15.0, 11.3, 12.2, 6.0),
    "ball level": straight(5.1, 6.2, 8.0, 18.3, 14.4, 8.0, ball=1.0),
    "ball ramp": straight(5.1, 6.2, 12.0, 18.3, 14.4, 7.0, ball=1.0),
    "ball plunge": straight(11.3, 12.2, 15.0, 11.3, 12.2, 6.0, ball=1.0),
    "quarter": arc(12.1, 11.9, 7.0, 20.0, 90.0, 8.0, 8.0),
    "clockwise": arc(12.1, 11.9, 7.0, 20.0, -200.0, 8.0, 8.0),
    "full turn": arc(12.1, 11.9, 6.0, -30.0, 360.0, 8.0, 8.0),
    "helix": arc(12.1, 11.9, 6.0, 200.0, 300.0, 12.0, 6.0),
    "tight": arc(12.1, 11.9, 1.0, 40.0, 250.0, 9.0, 7.0, cutter=4.0),
    "ball arc": arc(12.1, 11.9, 6.0, 40.0, -140.0, 8.0, 8.0, ball=1.0),
}


@pytest.mark.parametrize("name", MOVES)
def test_kernels_leave_what_the_twin_leaves(name):
    fast, fast_lines, fast_bites = swept(_kernels.sweep_motions, [MOVES[name]])
    plain, plain_lines, plain_bites = swept(height_map.sweep_motions, [MOVES[name]])
    far = np.abs(fast - plain) > DEEP_MM
    assert far.sum() == 0
    assert np.array_equal(fast_lines, plain_lines)
    assert fast_bites[0, 0] == plain_bites[0, 0] > 0
    assert fast_bites[0, 1] == pytest.approx(plain_bites[0, 1], abs=DEEP_MM)
    near = np.abs(20.0 - plain - DEEP_FROM_MM) < DEEP_MM
    assert abs(fast_bites[0, 4] - plain_bites[0, 4]) <= near.sum()


def test_kernels_name_the_line_that_cut_last():
    moves = [straight(5.0, 12.0, 8.0, 19.0, 12.0, 8.0), straight(12.0, 5.0, 6.0, 12.0, 19.0, 6.0)]
    _, lines, _ = swept(_kernels.sweep_motions, [*moves, moves[0]])
    assert lines[12, 6] == 1  # the third pass takes nothing
    assert lines[12, 12] == 2


def test_kernels_count_what_is_bitten_deep():
    _, _, bites = swept(_kernels.sweep_motions, [MOVES["level"], MOVES["tight"]])
    assert bites[0, 4] == bites[0, 0] > 0  # 12 deep all along
    _, _, shallow = swept(_kernels.sweep_motions, [straight(5.0, 6.0, 9.5, 18.0, 6.0, 9.5)])
    assert shallow[0, 4] == 0.0


RINGS = [
    Region.rectangle(2.0, 3.0, 20.0, 15.0),
    Region.polygon([(1.2, 1.3), (22.1, 4.4), (12.3, 21.7)]),
    Region.disc((12.0, 12.0), 9.0).difference(Region.rectangle(8.0, 9.0, 15.0, 14.0)),
]


@pytest.mark.parametrize("region", RINGS)
def test_kernels_mark_what_the_twin_marks(region):
    from traywright.verification.raster import ON_BOARD, _edges

    edges = _edges(region.moved(0.013, 0.017), ON_BOARD)
    fast, plain = np.zeros((SIDE, SIDE), dtype=bool), np.zeros((SIDE, SIDE), dtype=bool)
    _kernels.mark_inside(fast, ORIGIN, edges)
    height_map.mark_inside(plain, ORIGIN, edges)
    assert np.array_equal(fast, plain)
    assert fast.sum() == pytest.approx(region.area_mm2, rel=0.05)


places = st.floats(2.0, 22.0)


@settings(max_examples=40)
@given(places, places, places, places, st.floats(0.0, 19.0), st.floats(0.0, 19.0))
def test_kernels_never_raise_foam_and_a_second_pass_takes_nothing(x0, y0, x1, y1, z0, z1):
    move = straight(x0, y0, z0, x1, y1, z1)
    once, _, _ = swept(_kernels.sweep_motions, [move])
    twice, _, bites = swept(_kernels.sweep_motions, [move, move])
    assert (once <= 20.0).all()
    assert np.array_equal(once, twice)
    assert bites[1, 0] == 0


@settings(max_examples=40)
@given(places, places, places, places, st.floats(5.0, 19.0), st.floats(5.0, 19.0))
def test_kernels_do_not_care_which_way_a_cut_is_made(x0, y0, x1, y1, z0, z1):
    there, _, _ = swept(_kernels.sweep_motions, [straight(x0, y0, z0, x1, y1, z1)])
    back, _, _ = swept(_kernels.sweep_motions, [straight(x1, y1, z1, x0, y0, z0)])
    different = np.abs(there - back) > 0.001
    # a centre that lies on the rim to the last digit may fall either way
    assert different.sum() <= 2
