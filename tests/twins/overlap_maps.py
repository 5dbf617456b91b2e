"""Plain twins of the rasters of offsets: what they say, by shapely and by counting."""

from __future__ import annotations

import numpy as np
from shapely.affinity import translate
from shapely.geometry import Polygon


def overlap_map(rings, there, step_mm, half):
    """Whether an area (shell, then holes) and a ring meet, for each offset of the ring on the grid."""
    area, moving = Polygon(rings[0], rings[1:]), Polygon(there)
    size = range(-half, half + 1)
    return np.array([[area.intersects(translate(moving, i * step_mm, j * step_mm)) for j in size] for i in size])


def lifts(marks):
    """For each step along x the least step along y above all that is taken."""
    half = marks.shape[0] // 2
    taken = [[j - half for j in range(marks.shape[1]) if line[j]] for line in marks]
    return np.array([max(line) + 1 if line else -(10**6) for line in taken])


def taken_map(marks, placed, first_x, first_y, taken):
    """Add to ``taken`` each place that one placed copy forbids."""
    half = marks.shape[0] // 2
    for i, j in np.argwhere(marks):
        x, y = placed[0] + i - half - first_x, placed[1] + j - half - first_y
        if 0 <= x < taken.shape[0] and 0 <= y < taken.shape[1]:
            taken[x, y] = True
