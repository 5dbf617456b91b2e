"""Ellipses and other curves as corners of a contour: true arcs where they are round, chords elsewhere."""

from __future__ import annotations

import math

from traywright.base.tolerance import DRAWN_CHORD_MM, SAME_MM
from traywright.geometry import Contour, Corner, Point


def points_as_corners(points_mm: list[Point]) -> tuple[Corner, ...]:
    """Points of a curve as corners with straight edges."""
    return tuple((x, y, 0.0) for x, y in points_mm)


def ellipse_corners(
    centre_mm: Point, major_mm: Point, minor_mm: Point, *, first_rad: float, turn_rad: float
) -> tuple[tuple[Corner, ...], bool, bool]:
    """Corners of an ellipse or a part of one, whether it is closed, and whether its arcs are true.

    Parameters
    ----------
    centre_mm
        Its centre.
    major_mm, minor_mm
        Its half axes as vectors; any two conjugate half diameters will do.
    first_rad, turn_rad
        Parameter of its start and how far the parameter runs, rad, above 0 and at most a full turn.

    Notes
    -----
    An ellipse is a circle seen askew: chords of equal area on the circle are chords of equal area on the ellipse.
    """
    (cx, cy), (ax, ay), (bx, by) = centre_mm, major_mm, minor_mm
    full = turn_rad > 2.0 * math.pi - SAME_MM
    along, across = math.hypot(ax, ay), math.hypot(bx, by)
    square = abs(ax * bx + ay * by) <= SAME_MM * max(along, across, SAME_MM)
    pieces = 4
    step = turn_rad / pieces
    angles = [first_rad + step * one for one in range(pieces if full else pieces + 1)]

    def at(x: float, y: float) -> Point:
        return (cx + ax * x + bx * y, cy + ay * x + by * y)

    if square and abs(along - across) <= SAME_MM / 10.0:
        sense = 1.0 if ax * by - ay * bx > 0.0 else -1.0
        bulge = sense * math.tan(step / 4.0)
        return tuple((*at(math.cos(one), math.sin(one)), bulge) for one in angles), full, True
    # the unit circle, with chords as fine as the longer axis asks for
    unit = Contour(corners=tuple((math.cos(one), math.sin(one), math.tan(step / 4.0)) for one in angles), closed=full)
    chord = DRAWN_CHORD_MM / max(along, across, DRAWN_CHORD_MM)
    return tuple((*at(x, y), 0.0) for x, y in unit.points_mm(chord)), full, False
