"""Plain twin of the rays through a solid: every ray against every triangle, by the signed volumes of the corners."""

from __future__ import annotations

import math


def _minus(one, other):
    return [a - b for a, b in zip(one, other, strict=True)]


def _volume(one, two, three):
    return (
        one[0] * (two[1] * three[2] - two[2] * three[1])
        + one[1] * (two[2] * three[0] - two[0] * three[2])
        + one[2] * (two[0] * three[1] - two[1] * three[0])
    )


def exits(starts, ways, reach_mm, miss_mm, corners):
    """How far each ray runs until it leaves the solid, and through which triangle."""
    far, through = [], []
    for start, way in zip(starts, ways, strict=True):
        best = (math.inf, -1)
        for number, triangle in enumerate(corners):
            a, b, c = (_minus(corner, start) for corner in triangle)
            # a ray that leaves sees the corners turn with it
            parts = [_volume(way, b, c), _volume(way, c, a), _volume(way, a, b)]
            if sum(parts) <= 0.0 or min(parts) < -miss_mm:
                continue
            run = _volume(a, b, c) / sum(parts)
            if 0.0 < run <= reach_mm and run < best[0]:
                best = (run, number)
        far.append(best[0])
        through.append(best[1])
    return far, through
