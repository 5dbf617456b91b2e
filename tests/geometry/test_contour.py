"""Contours: area and length of arcs are exact, chords keep the area, a turned contour is the same one."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from traywright.base.tolerance import DRAWN_CHORD_MM
from traywright.geometry import Contour

# hand calculation: a capsule of length 200 and width 24 is 176 x 24 and a circle of radius 12
CAPSULE = Contour(corners=((42, 28, 0), (218, 28, 1), (218, 52, 0), (42, 52, 1)))
CAPSULE_MM2 = 176.0 * 24.0 + math.pi * 144.0
# 558 x 398 with four corners of radius 10: each corner loses r²(1 - pi/4)
ROUNDED = Contour(
    corners=(
        *((10, 0, 0), (548, 0, math.tan(math.pi / 8)), (558, 10, 0), (558, 388, math.tan(math.pi / 8))),
        *((548, 398, 0), (10, 398, math.tan(math.pi / 8)), (0, 388, 0), (0, 10, math.tan(math.pi / 8))),
    )
)


def test_area_and_length_of_a_capsule_are_exact():
    assert CAPSULE.area_mm2 == pytest.approx(CAPSULE_MM2, abs=1e-9)
    assert CAPSULE.length_mm == pytest.approx(2 * 176 + 24 * math.pi, abs=1e-9)
    assert CAPSULE.bounds_mm == pytest.approx((30, 28, 230, 52), abs=1e-9)


def test_area_of_a_rectangle_with_round_corners_is_exact():
    assert ROUNDED.area_mm2 == pytest.approx(558 * 398 - 400 + 100 * math.pi, abs=1e-9)


@pytest.mark.parametrize("contour", [CAPSULE, ROUNDED, Contour.circle((3.0, -7.0), 16.5)])
def test_chords_keep_the_area(contour):
    # snapping to 0.001 mm moves each point by at most 0.0005 mm: far under 0.02 mm² on these
    assert contour.region().area_mm2 == pytest.approx(contour.area_mm2, abs=0.02)


@pytest.mark.parametrize("contour", [CAPSULE, ROUNDED, Contour.circle((3.0, -7.0), 16.5)])
def test_a_contour_turned_back_is_the_same_line(contour):
    back = contour.turned_back()
    assert back.signed_area_mm2 == pytest.approx(-contour.signed_area_mm2, abs=1e-9)
    assert back.region() == contour.region() or back.region().area_mm2 == pytest.approx(contour.area_mm2, abs=0.02)
    assert back.turned_back().corners == contour.corners


def test_an_open_contour_turned_back_keeps_its_arcs():
    line = Contour(corners=((0, 0, 1), (10, 0, 0), (20, 5, 0)), closed=False)
    back = line.turned_back()
    assert [one[:2] for one in back.corners] == [(20, 5), (10, 0), (0, 0)]
    assert [one.bulge_ratio for one in back.edges] == [0.0, -1.0]
    assert back.length_mm == pytest.approx(line.length_mm)


@given(st.floats(0.05, 500.0), st.floats(-6.2, 6.2).filter(lambda turn: abs(turn) > 0.05), st.floats(-3.1, 3.1))
def test_every_chord_stays_near_its_arc(radius, turn, first):
    a = (radius * math.cos(first), radius * math.sin(first))
    b = (radius * math.cos(first + turn), radius * math.sin(first + turn))
    edge = Contour(corners=((*a, math.tan(turn / 4)), (*b, 0)), closed=False).edges[0]
    if not edge.is_arc:
        return
    assert edge.radius_mm == pytest.approx(radius, rel=1e-6)
    assert edge.centre_mm == pytest.approx((0, 0), abs=1e-6 * radius)
    points = [a, *edge.points_mm()]
    middles = [((p[0] + q[0]) / 2, (p[1] + q[1]) / 2) for p, q in pairwise(points)]
    for x, y in (*points, *middles):
        assert abs(math.hypot(x, y) - radius) <= DRAWN_CHORD_MM
