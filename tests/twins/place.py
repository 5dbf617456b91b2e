"""Plain twin of a ply's place on a board: points as complex numbers, a quarter turn as a factor i."""

from __future__ import annotations


def placed_corners(outline, points, at_mm, turn_deg):
    """Points of a ply on the board: turned about its origin, then moved with the outline's corner to its place."""
    factor = 1j ** (turn_deg // 90)
    turned = [complex(*corner) * factor for corner in outline]
    left, front = min(one.real for one in turned), min(one.imag for one in turned)
    moved = complex(at_mm[0] - left, at_mm[1] - front)
    found = [complex(*point) * factor + moved for point in points]
    return [(one.real, one.imag) for one in found]
