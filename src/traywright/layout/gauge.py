"""Distances where the spacing needed differs by direction: in multiples of what is needed."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from traywright.base.tolerance import SNAP_MM
from traywright.layout.asked import Sides

CHUNK = 400_000
"""Pairs of a corner and a side that are held in memory at once."""

Points = NDArray[np.float64]


def gauge_ratio(here: Points, there: Points, sides: Sides) -> float:
    """How far one closed ring stands from another that it does not meet, over the spacing needed in that direction.

    Parameters
    ----------
    here, there
        Corners of both rings, shape (n, 2), mm, in the frame of ``sides``; the spacing stands beside ``here``.
    sides
        The spacing; between two sides it follows a quarter of an ellipse. A side of 0 needs none: there the ratio is
        that of a spacing of a snap step.

    Returns
    -------
    float
        1 or more if the spacing is kept.

    Notes
    -----
    The gauge of a convex body is convex, and so is it over the differences of the points of two sides, a parallelogram
    that does not hold the origin: its least value lies on the border, where one of the two points is a corner. Each
    difference segment is cut at the axes; in each quadrant both axes are scaled so that the ellipse becomes a circle.

    Examples
    --------
    >>> square = np.array([(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)])
    >>> gauge_ratio(square, square + (14.0, 0.0), Sides(right_mm=8.0, back_mm=2.0, left_mm=0.0, front_mm=2.0))
    0.5
    """
    least = math.inf
    for points, ring, sign in ((there, here, 1.0), (here, there, -1.0)):
        rows = max(1, CHUNK // len(ring))
        starts, ends = ring, np.roll(ring, -1, axis=0)
        for first in range(0, len(points), rows):
            some = points[first : first + rows, None, :]
            a, b = sign * (some - starts[None]), sign * (some - ends[None])
            least = min(least, _least(a.reshape(-1, 2), b.reshape(-1, 2), sides))
    return least


def _least(a: Points, b: Points, sides: Sides) -> float:
    """The least gauge of the segments from a to b."""
    found = math.inf
    for x_sign, y_sign in ((1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)):
        wide = max(sides.right_mm if x_sign > 0.0 else sides.left_mm, SNAP_MM)
        deep = max(sides.back_mm if y_sign > 0.0 else sides.front_mm, SNAP_MM)
        signs = np.array([x_sign, y_sign])
        low, high = _within(a * signs, (b - a) * signs)
        kept = low <= high
        if kept.any():
            scale = np.array([wide, deep])
            start, way = a[kept] / scale, (b[kept] - a[kept]) / scale
            length = np.maximum((way * way).sum(axis=1), np.finfo(float).tiny)
            at = np.clip(-(start * way).sum(axis=1) / length, low[kept], high[kept])
            nearest = start + at[:, None] * way
            found = min(found, float(np.sqrt((nearest * nearest).sum(axis=1)).min()))
    return found


def _within(start: Points, way: Points) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """First and last share of each segment that lies where both coordinates are 0 or more."""
    low, high = np.zeros(len(start)), np.ones(len(start))
    for axis in (0, 1):
        s, w = start[:, axis], way[:, axis]
        with np.errstate(divide="ignore", invalid="ignore"):
            cut = -s / w
        low = np.where(w > 0.0, np.maximum(low, cut), low)
        high = np.where(w < 0.0, np.minimum(high, cut), high)
        low = np.where((w == 0.0) & (s < 0.0), np.inf, low)
    return low, high
