from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from traywright.cutting.arcs import FIT_MM, arcs_of


def circle(radius, chords, sweep=2.0 * math.pi, centre=(30.0, 20.0)):
    turn = np.linspace(0.3, 0.3 + sweep, chords + 1)
    return np.column_stack([centre[0] + radius * np.cos(turn), centre[1] + radius * np.sin(turn)])


@given(st.floats(1.0, 300.0), st.floats(0.5, 6.28), st.booleans())
def test_chords_of_a_circle_become_arcs_about_its_centre(radius, sweep, clockwise):
    chords = max(4, math.ceil(sweep / (2.0 * math.acos(1.0 - 0.01 / radius))))
    points = circle(radius, chords, sweep)[:: -1 if clockwise else 1]
    found = arcs_of(points)
    assert found[-1][0] == len(points) - 1
    arcs = [one for one in found if one[1] is not None]
    assert sum(1 for one in found if one[1] is None) <= 2  # what is left of a turn may be too short for an arc
    for _, centre, counter_clockwise in arcs:
        assert centre == pytest.approx((30.0, 20.0), abs=max(0.01, radius * 1e-3))
        assert counter_clockwise is not clockwise


def test_no_arc_reaches_a_half_turn():
    points = circle(10.0, 90)
    starts = [0, *[one[0] for one in arcs_of(points)]]
    assert max(b - a for a, b in pairwise(starts)) * 4.0 <= 170.0


@pytest.mark.parametrize(
    "points",
    [
        [(0, 0), (40, 0), (40, 40), (0, 40), (0, 0)],  # a square's corners lie on a circle
        [(0, 0), (30, 0), (60, 0), (90, 0), (120, 0)],  # straight on
        # a bent wall: an arc over its chords of 4 mm would stand 0.11 mm off them
        [(17.0 * math.cos(k * 0.24), 17.0 * math.sin(k * 0.24)) for k in range(6)],
    ],
)
def test_walls_stay_lines(points):
    assert [one[1] for one in arcs_of(np.array(points, dtype=float))] == [None] * (len(points) - 1)


def test_points_off_the_circle_are_not_bent_onto_it():
    points = circle(20.0, 60)
    points[30] += (0.0, 4.0 * FIT_MM)
    ends = [one[0] for one in arcs_of(points)]
    assert any(28 <= end <= 31 for end in ends)


@given(st.floats(1.0, 60.0), st.floats(3.2, 6.28), st.booleans())
def test_a_turn_of_several_arcs_is_cut_into_equal_ones_of_one_radius(radius, sweep, clockwise):
    chords = max(12, math.ceil(sweep / (2.0 * math.acos(1.0 - 0.0015 / radius))))
    points = circle(radius, chords, sweep)[:: -1 if clockwise else 1]
    points = np.round(points, 3)  # as a region snaps them
    found = arcs_of(points, even=True)
    assert found[-1][0] == len(points) - 1
    assert len(found) == math.ceil(sweep / math.radians(121.0))
    for start, (end, centre, counter_clockwise) in zip([0, *[one[0] for one in found]], found, strict=False):
        assert centre is not None
        assert math.dist(points[start], centre) == pytest.approx(radius, abs=0.01)
        assert np.abs(np.hypot(*(points[start : end + 1] - np.array(centre)).T) - radius).max() <= 0.01
        assert counter_clockwise is not clockwise
