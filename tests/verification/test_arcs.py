"""Arcs by centre and by radius tell the same story."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from traywright.verification import read_program
from traywright.verification.arcs import arc_about, arc_of_radius
from traywright.verification.motion import plan_distance_mm

angles = st.floats(0.0, 359.0)
sweeps = st.floats(5.0, 340.0)


@given(st.floats(1.0, 60.0), angles, sweeps, st.booleans())
def test_an_arc_by_radius_is_the_arc_about_its_centre(radius, first_deg, sweep_deg, clockwise):
    assume(not 170.0 < sweep_deg < 190.0)
    sign = -1.0 if clockwise else 1.0
    first, last = math.radians(first_deg), math.radians(first_deg + sign * sweep_deg)
    start = (5.0 + radius * math.cos(first), 7.0 + radius * math.sin(first))
    end = (5.0 + radius * math.cos(last), 7.0 + radius * math.sin(last))
    by_centre = arc_about(start, end, (5.0, 7.0), clockwise=clockwise)
    by_radius = arc_of_radius(start, end, radius if sweep_deg < 180 else -radius, clockwise=clockwise)
    assert by_centre.sweep_deg == pytest.approx(sign * sweep_deg, abs=1e-6)
    assert by_radius.sweep_deg == pytest.approx(by_centre.sweep_deg, abs=1e-4)
    assert by_radius.centre_mm == pytest.approx((5.0, 7.0), abs=1e-5)


@given(st.floats(1.0, 60.0), angles, sweeps, st.booleans(), st.integers(3, 4))
def test_arcs_printed_with_four_decimals_are_always_accepted(radius, first_deg, sweep_deg, clockwise, decimals):
    # three decimals mismatch by up to 0.00283 mm, so only four are sure to be read
    sign = -1.0 if clockwise else 1.0
    first, last = math.radians(first_deg), math.radians(first_deg + sign * sweep_deg)
    start, end = ((radius * math.cos(one), radius * math.sin(one)) for one in (first, last))
    sx, sy, ex, ey = (round(one, decimals) for one in (*start, *end))
    i, j = round(-sx, decimals), round(-sy, decimals)
    word = "G2" if clockwise else "G3"
    text = f"G21 G0 Z0\nX{sx} Y{sy}\nF60 {word} X{ex:.4f} Y{ey:.4f} I{i:.4f} J{j:.4f}\nM2\n"
    codes = [one.code for one in read_program(text).findings]
    assert codes == [] or (decimals == 3 and codes == ["RB-020"])


@given(st.floats(-30.0, 30.0), st.floats(-30.0, 30.0), angles, sweeps)
def test_distance_from_an_arc_is_that_from_many_points_on_it(x, y, first_deg, sweep_deg):
    first = math.radians(first_deg)
    start = (10.0 * math.cos(first), 10.0 * math.sin(first))
    last = math.radians(first_deg + sweep_deg)
    end = (10.0 * math.cos(last), 10.0 * math.sin(last))
    words = f"X{end[0]:.9f} Y{end[1]:.9f} I{-start[0]:.9f} J{-start[1]:.9f}"
    text = f"G21 G0 Z0\nX{start[0]:.9f} Y{start[1]:.9f}\nF60 G3 {words}\nM2\n"
    motion = read_program(text).motions[-1]
    steps = [first + math.radians(sweep_deg) * k / 2000 for k in range(2001)]
    plain = min(math.hypot(x - 10.0 * math.cos(one), y - 10.0 * math.sin(one)) for one in steps)
    assert plan_distance_mm(motion, (x, y)) == pytest.approx(plain, abs=0.02)
    low, high = motion.box_mm()
    assert low[0] == pytest.approx(min(10.0 * math.cos(one) for one in steps), abs=1e-4)
    assert high[1] == pytest.approx(max(10.0 * math.sin(one) for one in steps), abs=1e-4)
