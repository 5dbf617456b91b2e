"""Chords of a circle turned back into arcs."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from traywright.base.tolerance import ARC_CHORD_MM

Line = NDArray[np.float64]
Centre = tuple[float, float]
Found = tuple[int, Centre | None, bool]

FIT_MM = ARC_CHORD_MM / 2.0
"""Largest distance of a point from the arc that takes its place: half of what a chord may be off."""

SAG_MM = 3.0 * ARC_CHORD_MM
"""Largest height of an arc above one chord: what a chord may be off, grown by a radius. A square's corners are on a
circle too, and an arc over a long chord would cut into the wall."""

LARGEST_RADIUS_MM = 2000.0
"""A flatter arc is cut as lines.  # source: beyond the bed, its centre word says nothing more"""

WIDEST_RAD = math.radians(170.0)
"""An arc stays under a half circle, where its sense of turning cannot be mistaken.  # source: NISTIR 6556, 3.5.3"""

EVEN_RAD = math.radians(121.0)
"""Arcs of one turn are of equal size and no larger: a full circle is three.  # source: from 90° on three points fix a
radius to three times what they are off"""

LEAST_CHORDS = 3
"""An arc takes the place of at least so many chords."""


def _circle(a: Line, b: Line, c: Line) -> tuple[Centre, float] | None:
    """Circle through three points; None if they are in line."""
    ux, uy = b - a
    vx, vy = c - a
    cross = 2.0 * (ux * vy - uy * vx)
    if abs(cross) < ARC_CHORD_MM * ARC_CHORD_MM:
        return None
    u, v = ux * ux + uy * uy, vx * vx + vy * vy
    centre = (float(a[0] + (vy * u - uy * v) / cross), float(a[1] + (ux * v - vx * u) / cross))
    return centre, math.hypot(a[0] - centre[0], a[1] - centre[1])


def _arc(points: Line) -> tuple[Centre, bool] | None:
    """Centre and sense (True: counter-clockwise) of the arc that all points are on; None if there is none."""
    found = _circle(points[0], points[len(points) // 2], points[-1])
    if found is None or found[1] > LARGEST_RADIUS_MM:
        return None
    centre, radius_mm = found
    from_centre = points - np.array(centre)
    if np.abs(np.hypot(*from_centre.T) - radius_mm).max() > FIT_MM:
        return None
    cross = from_centre[:-1, 0] * from_centre[1:, 1] - from_centre[:-1, 1] * from_centre[1:, 0]
    turns = np.arctan2(cross, (from_centre[:-1] * from_centre[1:]).sum(axis=1))
    one_way = bool((turns > 0.0).all() or (turns < 0.0).all())
    sag_mm = radius_mm * (1.0 - math.cos(float(np.abs(turns).max()) / 2.0))
    if not one_way or sag_mm > SAG_MM or abs(float(turns.sum())) > WIDEST_RAD:
        return None
    return centre, bool(turns[0] > 0.0)


def _longest(points: Line, start: int) -> tuple[int, tuple[Centre, bool] | None]:
    """Last point of the longest arc from a point on, and the arc; the next point if there is none."""
    least = start + LEAST_CHORDS
    if least >= len(points):
        return start + 1, None
    best = _arc(points[start : least + 1])
    if best is None:
        return start + 1, None
    end, step = least, 1
    while step > 0:
        further = min(end + step, len(points) - 1)
        wider = _arc(points[start : further + 1]) if further > end else None
        if wider is not None:
            best, end, step = wider, further, step * 2
        else:
            step //= 2
    return end, best


def _off_mm(points: Line, centre: Centre, radius_mm: float) -> float:
    """Largest distance of points from a circle."""
    return float(np.abs(np.hypot(*(points - np.array(centre)).T) - radius_mm).max())


def _turn_end(points: Line, start: int, found: list[Found], at: int) -> int:
    """Number of the last of the arcs and chords that go on along the circle of one arc."""
    first_end, centre, way = found[at]
    if centre is None:
        return at
    radius_mm = float(np.hypot(*(points[start] - np.array(centre))))
    longest_mm = 2.0 * float(np.hypot(*np.diff(points[start : first_end + 1], axis=0).T).max())
    last = at
    for end, bent, turns in found[at + 1 :]:
        own = points[found[last][0] : end + 1]
        one_way = bent is None or turns is way
        near = float(np.hypot(*np.diff(own, axis=0).T).max()) <= longest_mm
        if not (one_way and near) or _off_mm(own, centre, radius_mm) > FIT_MM:
            break
        last += 1
    return last


def _even_parts(points: Line, start: int, end: int, centre: Centre) -> list[Found] | None:
    """A turn as arcs of one size, each under a half circle; None if one of them does not fit."""
    out = points[start : end + 1] - np.array(centre)
    angles = np.unwrap(np.arctan2(out[:, 1], out[:, 0])) - math.atan2(out[0, 1], out[0, 0])
    count = math.ceil(abs(float(angles[-1])) / EVEN_RAD)
    shares = np.abs(angles - angles[0]) / abs(float(angles[-1] - angles[0]))
    marks = [0, *(int(np.searchsorted(shares, one / count)) for one in range(1, count)), len(out) - 1]
    found: list[Found] = []
    for here, there in pairwise(marks):
        arc = _arc(points[start + here : start + there + 1]) if there - here >= LEAST_CHORDS else None
        if arc is None:
            return None
        found.append((start + there, *arc))
    return found


def _evened(points: Line, found: list[Found]) -> list[Found]:
    """Arcs with each turn along one circle cut into equal parts, not into long ones and a short rest.

    Three points near each other say little of a circle's radius, so a short rest has its centre off.
    """
    even: list[Found] = []
    start = at = 0
    while at < len(found):
        last = _turn_end(points, start, found, at)
        centre = found[at][1]
        parts = None
        if last > at and centre is not None:
            parts = _even_parts(points, start, found[last][0], centre)
        even += parts or found[at : last + 1]
        start, at = found[last][0], last + 1
    return even


def arcs_of(points_mm: Line, *, even: bool = False) -> list[Found]:
    """A path in plan as lines and arcs.

    Parameters
    ----------
    points_mm
        Vertices, shape (n, 2).
    even
        True: a turn that needs several arcs is cut into equal ones, so that each has the circle's radius.

    Returns
    -------
    list[tuple[int, Centre | None, bool]]
        For each line or arc the index of its last vertex, the centre (None: a line) and whether it turns
        counter-clockwise.

    Notes
    -----
    An arc takes the place of at least three chords, stays under 170° and within 0.005 mm of each vertex.

    Examples
    --------
    >>> turn = np.linspace(0.0, np.pi / 2.0, 12)
    >>> arcs_of(np.column_stack([10.0 * np.cos(turn), 10.0 * np.sin(turn)]))[0][0]
    11
    """
    found: list[Found] = []
    here = 0
    while here < len(points_mm) - 1:
        here, arc = _longest(points_mm, here)
        found.append((here, arc[0] if arc else None, arc[1] if arc else False))
    return _evened(points_mm, found) if even else found
