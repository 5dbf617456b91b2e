from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Point

from traywright.cutting.ramp import is_closed, ramped

SLOPE = math.tan(math.radians(5.0))


def ring(radius, count=90):
    turn = np.linspace(0.0, 2.0 * np.pi, count + 1)
    points = np.column_stack([radius * np.cos(turn), radius * np.sin(turn)])
    points[-1] = points[0]
    return points


@given(st.floats(0.5, 60.0), st.floats(0.05, 12.0), st.booleans())
def test_a_ramp_is_never_too_steep_and_the_whole_path_is_then_run_at_depth(size, drop, closed):
    path = ring(size) if closed else np.array([[0.0, 0.0], [size, 0.0], [size, size / 2.0]])
    points = ramped(path, drop, 0.0, SLOPE)
    assert points[0, 2] == drop
    steps = np.diff(points, axis=0)
    ways = np.hypot(steps[:, 0], steps[:, 1])
    assert (-steps[:, 2] <= ways * SLOPE * 1.005 + 1e-9).all()
    level = LineString(points[points[:, 2] < 1e-9][:, :2])
    assert level.length == pytest.approx(LineString(path).length, rel=1e-6)
    assert level.buffer(0.004).covers(LineString(path))
    assert LineString(path).buffer(0.004).covers(LineString(points[:, :2]))
    assert is_closed(path) is closed


def test_a_path_in_air_is_not_ramped():
    path = np.array([[0.0, 0.0], [10.0, 0.0]])
    assert ramped(path, 2.0, 2.0, SLOPE).tolist() == [[0.0, 0.0, 2.0], [10.0, 0.0, 2.0]]


def test_a_spiral_goes_one_way_round():
    points = ramped(ring(5.0), 6.0, 0.0, SLOPE)
    angle = np.unwrap(np.arctan2(points[:, 1], points[:, 0]))
    assert (np.diff(angle) > 0.0).all()
    assert Point(points[-1, :2]).distance(LineString(ring(5.0))) < 0.001
