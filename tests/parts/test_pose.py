from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from parts.asked import SPINDLE, demo, demo_lying, lying, plate
from traywright.base.errors import PartError
from traywright.geometry import mass_properties

AXES = [(1, 0, 0), (-1, 0, 0), (0, 1, 0), (0, -1, 0), (0, 0, 1), (0, 0, -1)]


@given(st.tuples(*[st.floats(-1, 1)] * 3).filter(lambda down: math.hypot(*down) > 0.01))
@settings(max_examples=25)
def test_the_direction_points_down_and_nothing_is_mirrored(down):
    pose = lying(plate()[0], down)
    turn = np.array(pose.turn)
    np.testing.assert_allclose(turn @ (np.array(down) / math.hypot(*down)), [0, 0, -1], atol=1e-9)
    np.testing.assert_allclose(turn @ turn.T, np.eye(3), atol=1e-9)
    assert np.linalg.det(turn) == pytest.approx(1.0)
    low, high = pose.solid.bounds_mm
    np.testing.assert_allclose([low[2], low[0] + high[0], low[1] + high[1]], 0.0, atol=2e-6)
    told = mass_properties(pose.solid)
    np.testing.assert_allclose(told.centre_mm, pose.centre_of_gravity_mm, atol=1e-4)


@pytest.mark.parametrize("down", AXES)
def test_a_quarter_turn_is_exact(down):
    pose = lying(plate()[0], down)
    assert set(np.abs(pose.turn).ravel().tolist()) == {0.0, 1.0}
    assert sorted(pose.size_mm) == [10.0, 60.0, 100.0]


def test_a_part_that_lies_right_is_not_turned():
    pose = demo_lying(SPINDLE)
    assert np.array_equal(pose.turn, np.eye(3))
    # centre of gravity 56.716 from the flange face, 84 from it to the middle
    assert pose.centre_of_gravity_mm[0] == pytest.approx(56.716 - 84.0, abs=0.003)


def test_the_surface_goes_with_the_solid():
    pose = demo_lying(SPINDLE, (1.0, 0.0, 0.0))
    np.testing.assert_allclose(pose.surface.mesh.bounds_mm, pose.solid.bounds_mm, atol=1e-6)
    assert np.array_equal(pose.surface.rules, demo(SPINDLE)[0].surface.rules)


@pytest.mark.parametrize("down", [(0, 0, 0), (math.nan, 0, 1), (math.inf, 0, 0)])
def test_no_direction_is_refused(down):
    with pytest.raises(PartError) as caught:
        lying(plate()[0], down)
    assert caught.value.code == "PART-017"
