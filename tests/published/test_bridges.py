"""Bridges in a kerf, hand calculation 2026 (no table to cite); places of bridges: common practice, no source."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
import shapely

from cutting.bench import CUTTERS, MACHINE, bridge, ply, setup, swept
from traywright.cutting import plan_cuts


def test_lift_and_footprint():
    """Waist 12, cutter 12: lift 24 on the centre path, (w + 2r) 2r - pi r^2 = 174.90 mm2 are left. Tolerance: the
    chords of 0.01 mm."""
    one = bridge((140.0, 40.0), (1.0, 0.0))
    plan = plan_cuts(setup(bridges=(one,)), {"T1.P1": ply()}, MACHINE, CUTTERS)
    moves = plan.operations[-1].moves
    pairs = [(a.to_mm, b.to_mm) for a, b in pairwise(moves)]
    (lift,) = [math.dist(a, b) for a, b in pairs if a[2] == b[2] == one.height_mm]
    assert lift == pytest.approx(24.0, abs=0.02)
    full = shapely.LineString([(70.0, 34.0), (128.0, 34.0)]).union(shapely.LineString([(152.0, 34.0), (210.0, 34.0)]))
    left = shapely.box(70, 28, 210, 40).difference(full.buffer(6.0, quad_segs=64))
    middle = max(shapely.get_parts(left), key=lambda part: part.area)
    assert middle.area == pytest.approx(174.90, abs=0.1)
    # ramps lie outside the lift, so the plan leaves at least that much at the spoil board
    stands = shapely.box(70, 28, 210, 40).difference(swept(plan, 6.0, down_to_mm=one.height_mm - 1e-3))
    assert stands.area >= 12.0 * 12.0
