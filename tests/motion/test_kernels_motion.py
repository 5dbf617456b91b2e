"""The compiled look-ahead against its plain twin."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from traywright.motion._kernels import look_ahead
from twins import motion_look_ahead

coordinate = st.integers(-200, 200).map(lambda value: value / 4.0)
spots = st.lists(st.tuples(coordinate, coordinate, coordinate), min_size=2, max_size=30)


@given(spots, st.integers(0, 10_000), st.booleans())
def test_twins_agree_on_any_path(points, seed, each_axis):
    points = np.array(points)
    feeds = np.random.default_rng(seed).uniform(1.0, 400.0, len(points) - 1)
    time, speeds = look_ahead(points, feeds, 1000.0, 0.02, each_axis)
    plain_time, plain_speeds = motion_look_ahead.look_ahead(points, feeds, 1000.0, 0.02, each_axis)
    assert time == pytest.approx(plain_time, rel=1e-6, abs=1e-9)
    # straight back or on, the corner's angle is noise: compare speeds where they are above a creep
    assert speeds == pytest.approx(np.array(plain_speeds), rel=1e-5, abs=1e-3)


@pytest.mark.parametrize("look", [look_ahead, motion_look_ahead.look_ahead])
def test_both_take_a_path_with_a_point_twice(look):
    points = np.array([[0.0, 0, 0], [50, 0, 0], [50, 0, 0], [100, 0, 0]])
    time, speeds = look(points, np.full(3, 100.0), 1000.0, 0.02, False)
    assert time == pytest.approx(1.1)
    assert speeds[1] == pytest.approx(speeds[2]) == pytest.approx(100.0)


@pytest.mark.parametrize("look", [look_ahead, motion_look_ahead.look_ahead])
def test_both_stop_where_a_path_turns_straight_back(look):
    points = np.array([[0.0, 0, 0], [100, 0, 0], [0, 0, 0]])
    time, speeds = look(points, np.full(2, 100.0), 1000.0, 0.02, False)
    assert speeds[1] == pytest.approx(0.0, abs=1e-6)
    assert time == pytest.approx(2.2)
