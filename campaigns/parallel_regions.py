"""Grown convex regions against Steiner's formula: area + perimeter x r + pi r^2."""

from __future__ import annotations

import math
import random

from traywright.base.tolerance import ARC_CHORD_MM, SNAP_MM
from traywright.geometry import Region

TITLE = "The area of a grown convex region against Steiner's formula (1840), within the chord and snap tolerance."
COUNT = 4000


def judge(draw: random.Random) -> str:
    """Nothing if the area of one grown hull is right, else by how much it is not."""
    points = [(draw.uniform(0.0, 300.0), draw.uniform(0.0, 200.0)) for _ in range(draw.randint(3, 12))]
    hull = Region.polygon(points).hull()
    by_mm = draw.choice((0.5, 3.0, 6.0, 12.0, 40.0))
    exact_mm2 = hull.area_mm2 + hull.perimeter_mm * by_mm + math.pi * by_mm * by_mm
    # the whole edge may lie off by one chord error and one snap step
    bound_mm2 = (hull.perimeter_mm + 2.0 * math.pi * by_mm) * (1.5 * ARC_CHORD_MM + SNAP_MM)
    off_mm2 = hull.grown(by_mm).area_mm2 - exact_mm2
    return "" if abs(off_mm2) <= bound_mm2 else f"off by {off_mm2:.3f} mm2, bound {bound_mm2:.3f}"
