"""Closed forms of motion under constant acceleration and constant jerk, hand calculation 2026 (no table to cite).

The rule for the speed at a corner is published in the comments of open motion control sources: a circle tangent to
both moves that passes at a given distance from the corner.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from traywright.motion import (
    jerk_limited_s,
    junction_speed_mm_per_s,
    trapezoid_s,
    travel_time_s,
    vertex_speeds_mm_per_s,
)

LIMITS = {"acceleration_mm_per_s2": 1000.0, "junction_mm": 0.02}


@pytest.mark.parametrize(("length_mm", "time_s"), [(100.0, 1.1), (5.0, 0.141421356)])
def test_trapezoid(length_mm, time_s):
    """Closed form: 100/100 + 100/1000 = 1.1; 2 sqrt(5/1000) = 0.14142. Tolerance: digits shown."""
    found = trapezoid_s(length_mm, feed_mm_per_s=100.0, acceleration_mm_per_s2=1000.0)
    assert found == pytest.approx(time_s, abs=1e-8)


@pytest.mark.parametrize(("length_mm", "time_s"), [(0.5, 0.0928318), (2.0, 0.1473613), (20.0, 0.35), (100.0, 1.15)])
def test_jerk_limited(length_mm, time_s):
    """Closed form, v 100, a 1000, j 20000: 4(L/2j)^(1/3), a/j + sqrt((a/j)^2 + 4L/a), L/v + v/a + a/j. Digits shown."""
    found = jerk_limited_s(length_mm, feed_mm_per_s=100.0, acceleration_mm_per_s2=1000.0, jerk_mm_per_s3=20000.0)
    assert found == pytest.approx(time_s, abs=5e-8)


def test_speed_at_a_right_angle():
    """v^2 = a d s/(1-s), s = sin 45 deg: sqrt(1000 x 0.02 x 2.41421) = 6.94869. Tolerance: digits shown."""
    assert junction_speed_mm_per_s(90.0, **LIMITS) == pytest.approx(6.94869, abs=5e-6)
    corner = np.array([[0.0, 0, 0], [100, 0, 0], [100, 100, 0]])
    assert vertex_speeds_mm_per_s(corner, np.full(2, 100.0), **LIMITS)[1] == pytest.approx(6.94869, abs=5e-6)


def circle(chords, laps=3):
    turn = np.linspace(0.0, 2.0 * math.pi * laps, laps * chords + 1)
    return np.column_stack([10.0 * np.cos(turn), 10.0 * np.sin(turn), 0.0 * turn])


@pytest.mark.parametrize(("chords", "speed"), [(36, 72.36), (360, 100.0), (3600, 100.0)])
def test_chords_of_a_circle_do_not_outrun_its_curvature(chords, speed):
    """R 10, a 1000: sqrt(aR) = 100; the corner rule alone allows 72.36 on 36 chords and 724.7 on 360 (hand: N/pi
    sqrt(2ad)). Tolerance: digits shown."""
    speeds = vertex_speeds_mm_per_s(circle(chords), np.full(3 * chords, 500.0), **LIMITS)
    assert speeds.max() == pytest.approx(speed, abs=0.005)


def rings():
    spots = [(0.0, 0.0, 0.0)]
    for half in (25.0, 20.0, 15.0, 10.0, 5.0):
        spots += [(half, -half, 0), (half, half, 0), (-half, half, 0), (-half, -half, 0), (half, -half, 0)]
    return np.array(spots)


@pytest.mark.parametrize(("feed", "ratio"), [(50.0, 1.07), (100.0, 1.31), (200.0, 2.19), (400.0, 4.37)])
def test_length_over_feed_is_too_short_in_a_small_pocket(feed, ratio):
    """Hand script: 60 mm square pocket, five rings, a 1000 each axis, d 0.02, 3 to 24 m/min. Digits shown."""
    spots = rings()
    plain_s = float(np.linalg.norm(np.diff(spots, axis=0), axis=1).sum()) / feed
    time_s = travel_time_s(spots, np.full(len(spots) - 1, feed), each_axis=True, **LIMITS)
    assert time_s / plain_s == pytest.approx(ratio, abs=0.005)
