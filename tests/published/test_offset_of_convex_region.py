"""Steiner's formula for the parallel body of a convex region in the plane.

SOURCE: Steiner, J. (1840): Über parallele Flächen, Monatsbericht der Akademie der Wissenschaften zu Berlin, 114-118.
The area within a distance r of a convex region of area A and perimeter P is A + P r + pi r²; its perimeter is
P + 2 pi r. Inward, a polygon whose edges all stay loses P r and gains r² times the sum of cot(half the inner angle).
"""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from traywright.base.tolerance import ARC_CHORD_MM, SNAP_MM
from traywright.geometry import Region


def convex(seed):
    points = np.random.default_rng(seed).uniform(-100, 100, (12, 2))
    return Region(shapely.MultiPoint(points).convex_hull)


@given(st.integers(0, 10_000), st.floats(0.5, 40.0))
@settings(max_examples=40)
def test_area_of_the_parallel_region(seed, r):
    """Steiner 1840: A + P r + pi r². The offset is enlarged by one chord at most, so that the chords of its corners
    lie outside the arcs; each coordinate may be a snap step off all round."""
    region = convex(seed)
    exact = region.area_mm2 + region.perimeter_mm * r + math.pi * r * r
    got = region.grown(r).area_mm2
    around = region.perimeter_mm + 2 * math.pi * r
    assert exact - around * SNAP_MM <= got <= exact + around * (ARC_CHORD_MM * 1.1 + SNAP_MM)


@pytest.mark.parametrize("r", [1.0, 7.5, 30.0])
def test_perimeter_of_the_parallel_region(r):
    """Steiner 1840: P + 2 pi r, corner by corner within two chords."""
    square = Region.rectangle(0, 0, 80, 50)
    exact = 260 + 2 * math.pi * r
    assert square.grown(r).perimeter_mm == pytest.approx(exact, abs=2 * math.pi * ARC_CHORD_MM + 8 * SNAP_MM)


@pytest.mark.parametrize("r", [1.0, 7.5, 20.0])
def test_area_of_the_inner_parallel_region(r):
    """A - P r + r² sum cot(angle / 2): a rectangle has four right angles, cot 45 degrees = 1; exact to a snap step."""
    got = Region.rectangle(0, 0, 80, 50).grown(-r).area_mm2
    assert got == pytest.approx(80 * 50 - 260 * r + 4 * r * r, abs=260 * SNAP_MM)
