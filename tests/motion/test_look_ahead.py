from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from traywright.motion import travel_time_s, vertex_speeds_mm_per_s

LIMITS = {"acceleration_mm_per_s2": 1000.0, "junction_mm": 0.02}
coordinate = st.integers(-500, 500).map(lambda value: value / 5.0)


@given(st.lists(st.tuples(coordinate, coordinate, coordinate), min_size=2, max_size=20), st.floats(5.0, 300.0))
def test_time_is_never_under_length_over_feed_and_the_same_backward(points, feed):
    points = np.array(points)
    feeds = np.full(len(points) - 1, feed)
    time_s = travel_time_s(points, feeds, **LIMITS)
    length_mm = float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())
    assert time_s >= length_mm / feed - 1e-9
    assert travel_time_s(points[::-1], feeds, **LIMITS) == pytest.approx(time_s, rel=1e-6, abs=1e-9)


@given(st.lists(st.tuples(coordinate, coordinate), min_size=2, max_size=20))
def test_no_vertex_needs_more_than_the_acceleration(points):
    points = np.array([(x, y, 0.0) for x, y in points])
    feeds = np.full(len(points) - 1, 200.0)
    speeds = vertex_speeds_mm_per_s(points, feeds, **LIMITS)
    lengths = np.linalg.norm(np.diff(points, axis=0), axis=1)
    assert (np.abs(np.diff(speeds**2)) <= 2.0 * 1000.0 * lengths + 1e-6).all()
    assert speeds.max() <= 200.0 + 1e-9


def test_an_axis_limit_lets_a_diagonal_accelerate_faster():
    diagonal = np.array([[0.0, 0, 0], [10, 10, 0]])
    along, each = (travel_time_s(diagonal, np.array([500.0]), each_axis=each, **LIMITS) for each in (False, True))
    assert each == pytest.approx(along / 2.0**0.25)


def test_nothing_takes_no_time():
    assert travel_time_s(np.zeros((1, 3)), np.zeros(0), **LIMITS) == 0.0
    assert travel_time_s(np.zeros((3, 3)), np.ones(2), **LIMITS) == 0.0


@pytest.mark.parametrize(("points", "feeds"), [((3, 3), 3), ((3, 2), 2)])
def test_shapes_that_do_not_fit_are_refused(points, feeds):
    with pytest.raises(ValueError):
        travel_time_s(np.zeros(points), np.ones(feeds), **LIMITS)


def test_a_feed_of_nothing_is_refused():
    with pytest.raises(ValueError):
        travel_time_s(np.array([[0.0, 0, 0], [1, 0, 0]]), np.array([0.0]), **LIMITS)
