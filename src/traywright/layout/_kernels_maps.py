"""Rasters of offsets at which two outlines overlap, and what is read off them."""

from __future__ import annotations

import math

import numpy as np
from numba import njit
from numpy.typing import NDArray

FAR = -(10**6)
"""Lift of an outline that never meets the other, in steps."""


@njit(cache=True)
def _fill_quad(
    marks: NDArray[np.bool_], half: int, step_mm: float, px: NDArray[np.float64], py: NDArray[np.float64]
) -> None:
    """Mark the grid points of a closed parallelogram."""
    low, high = min(px[0], px[1], px[2], px[3]), max(px[0], px[1], px[2], px[3])
    first = max(-half, math.ceil(low / step_mm - 1e-9))  # source: float noise of a quotient
    last = min(half, math.floor(high / step_mm + 1e-9))  # source: float noise of a quotient
    for i in range(first, last + 1):
        x = min(max(i * step_mm, low), high)
        bottom, top = np.inf, -np.inf
        for k in range(4):
            xa, ya, xb, yb = px[k], py[k], px[(k + 1) % 4], py[(k + 1) % 4]
            if xa > xb:
                xa, ya, xb, yb = xb, yb, xa, ya
            if x < xa or x > xb:
                continue
            if xb - xa < 1e-12:  # source: float noise, an upright side
                bottom, top = min(bottom, ya, yb), max(top, ya, yb)
            else:
                y = ya + (yb - ya) * (x - xa) / (xb - xa)
                bottom, top = min(bottom, y), max(top, y)
        if top < bottom:
            continue
        lowest = max(-half, math.ceil(bottom / step_mm - 1e-9))  # source: float noise of a quotient
        highest = min(half, math.floor(top / step_mm + 1e-9))  # source: float noise of a quotient
        for j in range(lowest, highest + 1):
            marks[i + half, j + half] = True


@njit(cache=True)
def _fill_inside(marks: NDArray[np.bool_], half: int, step_mm: float, sides: NDArray[np.float64]) -> None:
    """Mark the grid points inside closed rings, given by their sides, by the even-odd rule."""
    count = sides.shape[0]
    low = min(sides[:, 0].min(), sides[:, 2].min())
    high = max(sides[:, 0].max(), sides[:, 2].max())
    first, last = max(-half, math.ceil(low / step_mm)), min(half, math.floor(high / step_mm))
    crossed = np.empty(count)
    for i in range(first, last + 1):
        x = i * step_mm + 1e-7  # source: own, off the corners, which tend to lie on the grid
        found = 0
        for k in range(count):
            xa, ya, xb, yb = sides[k, 0], sides[k, 1], sides[k, 2], sides[k, 3]
            if (xa <= x) != (xb <= x):
                crossed[found] = ya + (yb - ya) * (x - xa) / (xb - xa)
                found += 1
        ordered = np.sort(crossed[:found])
        for k in range(0, found - 1, 2):
            lowest = max(-half, math.ceil(ordered[k] / step_mm))
            highest = min(half, math.floor(ordered[k + 1] / step_mm))
            for j in range(lowest, highest + 1):
                marks[i + half, j + half] = True


@njit(cache=True)
def overlap_map(
    here: NDArray[np.float64],
    corners: NDArray[np.float64],
    there: NDArray[np.float64],
    step_mm: float,
    half: int,
) -> NDArray[np.bool_]:
    """Whether an area and a closed ring meet, for each offset of the ring on the grid (i - half, j - half) * step_mm.

    ``here`` are the area's sides (x, y, x, y), holes too, ``corners`` one corner of each of its rings. The offsets are
    those of the difference of the two areas: the parallelograms that each pair of sides sweeps, and the insides.
    """
    marks = np.zeros((2 * half + 1, 2 * half + 1), dtype=np.bool_)
    m, n = here.shape[0], there.shape[0]
    px, py = np.empty(4), np.empty(4)
    for i in range(m):
        for j in range(n):
            o = (j + 1) % n
            px[0], py[0] = here[i, 0] - there[j, 0], here[i, 1] - there[j, 1]
            px[1], py[1] = here[i, 2] - there[j, 0], here[i, 3] - there[j, 1]
            px[2], py[2] = here[i, 2] - there[o, 0], here[i, 3] - there[o, 1]
            px[3], py[3] = here[i, 0] - there[o, 0], here[i, 1] - there[o, 1]
            _fill_quad(marks, half, step_mm, px, py)
    moved = np.empty((m, 4))
    for i in range(m):
        moved[i, 0], moved[i, 1] = here[i, 0] - there[0, 0], here[i, 1] - there[0, 1]
        moved[i, 2], moved[i, 3] = here[i, 2] - there[0, 0], here[i, 3] - there[0, 1]
    _fill_inside(marks, half, step_mm, moved)
    turned = np.empty((n, 4))
    for k in range(corners.shape[0]):
        for j in range(n):
            o = (j + 1) % n
            turned[j, 0], turned[j, 1] = corners[k, 0] - there[j, 0], corners[k, 1] - there[j, 1]
            turned[j, 2], turned[j, 3] = corners[k, 0] - there[o, 0], corners[k, 1] - there[o, 1]
        _fill_inside(marks, half, step_mm, turned)
    return marks


@njit(cache=True)
def lifts(marks: NDArray[np.bool_]) -> NDArray[np.int64]:
    """For each step along x the least step along y from which on every higher offset is free; FAR if none is taken."""
    half = marks.shape[0] // 2
    found = np.full(marks.shape[0], FAR, dtype=np.int64)
    for i in range(marks.shape[0]):
        for j in range(marks.shape[1] - 1, -1, -1):
            if marks[i, j]:
                found[i] = j - half + 1
                break
    return found


@njit(cache=True)
def taken_map(
    marks: NDArray[np.bool_], placed: NDArray[np.int64], first_x: int, first_y: int, taken: NDArray[np.bool_]
) -> None:
    """Add to ``taken`` each place of a pose, from (first_x, first_y), that one placed copy forbids.

    ``marks`` is the overlap map of the placed copy's pose with the pose, ``placed`` the copy's place in steps.
    """
    half = marks.shape[0] // 2
    wide, deep = taken.shape
    for x in range(max(first_x, placed[0] - half), min(first_x + wide - 1, placed[0] + half) + 1):
        for y in range(max(first_y, placed[1] - half), min(first_y + deep - 1, placed[1] + half) + 1):
            if marks[x - placed[0] + half, y - placed[1] + half]:
                taken[x - first_x, y - first_y] = True
