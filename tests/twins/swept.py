"""Plain twin of an opening: points of a surface that passed, cell by cell."""

from __future__ import annotations

import math


def lowest_passed(points, cells, within):
    """Height of the lowest point within a distance in plan of each cell's centre; foam may stand up to it."""
    found = []
    for x, y in cells:
        near = [z for px, py, z in points if math.hypot(px - x, py - y) <= within]
        found.append(min(near, default=math.inf))
    return found
