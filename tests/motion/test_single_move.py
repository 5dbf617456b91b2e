from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from traywright.motion import jerk_limited_s, junction_speed_mm_per_s, trapezoid_s

lengths = st.floats(0.0, 2000.0)
feeds = st.floats(1.0, 500.0)
pulls = st.floats(50.0, 5000.0)


@given(lengths, feeds, pulls)
def test_a_move_takes_at_least_length_over_feed(length_mm, feed, pull):
    time_s = trapezoid_s(length_mm, feed_mm_per_s=feed, acceleration_mm_per_s2=pull)
    assert time_s >= length_mm / feed - 1e-12


@given(lengths, feeds, pulls)
def test_much_jerk_is_a_trapezoid(length_mm, feed, pull):
    jerky = jerk_limited_s(length_mm, feed_mm_per_s=feed, acceleration_mm_per_s2=pull, jerk_mm_per_s3=1e12)
    assert jerky == pytest.approx(
        trapezoid_s(length_mm, feed_mm_per_s=feed, acceleration_mm_per_s2=pull), rel=1e-3, abs=1e-3
    )


@given(feeds, pulls, st.floats(1000.0, 1e6))
def test_jerk_limited_time_has_no_steps(feed, pull, jerk):
    limits = {"feed_mm_per_s": feed, "acceleration_mm_per_s2": pull, "jerk_mm_per_s3": jerk}
    ramp = math.sqrt(feed / jerk)
    for edge in (feed**2 / pull + feed * pull / jerk, 2.0 * pull**3 / jerk**2, 2.0 * feed * ramp):
        below = jerk_limited_s(edge * (1.0 - 1e-9), **limits)
        above = jerk_limited_s(edge * (1.0 + 1e-9), **limits)
        assert above == pytest.approx(below, rel=1e-6)


def test_a_corner_is_slower_the_sharper_it_is():
    speeds = [
        junction_speed_mm_per_s(angle, acceleration_mm_per_s2=1000.0, junction_mm=0.02) for angle in range(0, 181, 15)
    ]
    assert speeds == sorted(speeds)
    assert speeds[0] == 0.0
    assert math.isinf(speeds[-1])
