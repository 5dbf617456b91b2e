"""Distances where the spacing needed differs by direction: in multiples of what is needed."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from traywright.layout.asked import Sides

BLOCK = 32
"""Neighbouring sides of a ring that share a box."""
CHUNK = 16
"""Pairs of blocks that are measured at once."""

Points = NDArray[np.float64]


class Gauged(NamedTuple):
    """The least gauge of two rings, and the difference there minus here of the two points where it was found."""

    ratio: float
    x_mm: float
    y_mm: float


NOTHING = Gauged(math.inf, math.inf, math.inf)
"""What is told where no spacing is needed."""


def gauge_ratio(here: Points, there: Points, sides: Sides) -> Gauged:
    """How far one closed ring stands from another that it does not meet, over the spacing needed in that direction.

    Parameters
    ----------
    here, there
        Corners of both rings, shape (n, 2), mm, in the frame of ``sides``; the spacing stands beside ``here``.
    sides
        The spacing; between two sides it follows a quarter of an ellipse. A side of 0 needs none: what lies beyond it
        has a ratio without bound, what lies straight before or behind is measured.

    Returns
    -------
    Gauged
        The ratio is 1 or more if the spacing is kept, infinite if nothing lies where any is needed.

    Notes
    -----
    The gauge of a convex body is convex, and so is it over the differences of the points of two sides, a parallelogram
    that does not hold the origin: its least value lies on the border, where one of the two points is a corner. Each
    difference segment is cut at the axes; in each quadrant both axes are scaled so that the ellipse becomes a circle.
    The gauge grows with either coordinate's size, so boxes round blocks of sides bound it from below: pairs of blocks
    are measured from the least bound on, until no bound is below what was found.

    Examples
    --------
    >>> square = np.array([(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)])
    >>> gauge_ratio(square, square + (14.0, 0.0), Sides(right_mm=8.0, back_mm=2.0, left_mm=0.0, front_mm=2.0))
    Gauged(ratio=0.5, x_mm=4.0, y_mm=0.0)
    """
    own, other = _blocks(here), _blocks(there)
    bounds = _bounds(own, other, sides)
    least = _measured(own, other, np.argmin(bounds, keepdims=True).ravel(), sides)
    nearer = np.flatnonzero(bounds < least.ratio)
    order = nearer[np.argsort(bounds.ravel()[nearer], kind="stable")]
    for first in range(0, len(order), CHUNK):
        if bounds.flat[order[first]] >= least.ratio:
            break
        least = min(least, _measured(own, other, order[first : first + CHUNK], sides))
    return least


def _measured(own: Points, other: Points, which: NDArray[np.intp], sides: Sides) -> Gauged:
    """The least gauge within pairs of blocks, numbered along the blocks of the other first."""
    a, b = np.divmod(which, len(other))
    return min(_least(*_differences(own[a], other[b]), sides), default=NOTHING)


def _blocks(ring: Points) -> Points:
    """Sides of a ring in blocks, shape (blocks, BLOCK, 2 ends, 2); the last side is repeated to fill the last."""
    lines = np.stack([ring, np.roll(ring, -1, axis=0)], axis=1)
    size = min(BLOCK, len(ring))
    filled = np.concatenate([lines, np.repeat(lines[-1:], -len(lines) % size, axis=0)])
    return filled.reshape(-1, size, 2, 2)


def _bounds(own: Points, other: Points, sides: Sides) -> NDArray[np.float64]:
    """No gauge between two blocks is below that of the difference of their boxes nearest to the origin."""
    low = other.min(axis=(1, 2))[None] - own.max(axis=(1, 2))[:, None]
    high = other.max(axis=(1, 2))[None] - own.min(axis=(1, 2))[:, None]
    total = np.zeros(low.shape[:2])
    for axis, (above, below) in enumerate(((sides.right_mm, sides.left_mm), (sides.back_mm, sides.front_mm))):
        total += _over(np.maximum(low[..., axis], 0.0), above) ** 2
        total += _over(np.maximum(-high[..., axis], 0.0), below) ** 2
    return np.sqrt(total)


def _over(length_mm: NDArray[np.float64], half_axis_mm: float) -> NDArray[np.float64]:
    """Lengths over a half axis; over none, any length is beyond all bounds."""
    if half_axis_mm > 0.0:
        return length_mm / half_axis_mm
    return np.where(length_mm > 0.0, np.inf, 0.0)


def _differences(own: Points, other: Points) -> tuple[Points, Points]:
    """Ends of all segments from a corner of one block to a side of the other, as differences there minus here."""
    forward = other[:, None] - own[:, :, None, :1]
    backward = other[:, None, :, :1] - own[:, :, None]
    both = np.concatenate([forward.reshape(-1, 2, 2), backward.reshape(-1, 2, 2)])
    return both[:, 0], both[:, 1]


def _least(starts: Points, ends: Points, sides: Sides) -> Iterator[Gauged]:
    """The least gauge of the segments in each quadrant."""
    for x_sign, wide in ((1.0, sides.right_mm), (-1.0, sides.left_mm)):
        for y_sign, deep in ((1.0, sides.back_mm), (-1.0, sides.front_mm)):
            if max(wide, deep) > 0.0:
                found = _least_in_quadrant(starts * (x_sign, y_sign), ends * (x_sign, y_sign), (wide, deep))
                yield Gauged(found.ratio, x_sign * found.x_mm, y_sign * found.y_mm)


def _least_in_quadrant(starts: Points, ends: Points, half_axes_mm: tuple[float, float]) -> Gauged:
    ways = ends - starts
    low, high = _within(starts, ways, half_axes_mm)
    kept = low <= high
    if not kept.any():
        return NOTHING
    start, way, low, high = starts[kept], ways[kept], low[kept], high[kept]
    scale = np.array([1.0 / one if one > 0.0 else 0.0 for one in half_axes_mm])  # on an axis without need nothing lies
    a, b = start * scale, way * scale
    length = np.maximum((b * b).sum(axis=1), np.finfo(float).tiny)
    at = np.clip(-(a * b).sum(axis=1) / length, low, high)
    gauges = np.linalg.norm(a + at[:, None] * b, axis=1)
    k = int(np.argmin(gauges))
    x_mm, y_mm = start[k] + at[k] * way[k] + 0.0
    return Gauged(float(gauges[k]), float(x_mm), float(y_mm))


def _within(
    starts: Points, ways: Points, half_axes_mm: tuple[float, float]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """First and last share of each segment where both coordinates are 0 or more, and 0 where nothing is needed."""
    low, high = np.zeros(len(starts)), np.ones(len(starts))
    for axis, half_axis_mm in enumerate(half_axes_mm):
        s, w = starts[:, axis], ways[:, axis]
        with np.errstate(divide="ignore", invalid="ignore"):
            cut = -s / w
        for sign in (1.0,) if half_axis_mm > 0.0 else (1.0, -1.0):
            low = np.where(sign * w > 0.0, np.maximum(low, cut), low)
            high = np.where(sign * w < 0.0, np.minimum(high, cut), high)
            low = np.where((w == 0.0) & (sign * s < 0.0), np.inf, low)
    return low, high
