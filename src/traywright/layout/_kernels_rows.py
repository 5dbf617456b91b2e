"""Rows of copies: least pitches of motifs, how high one row must stand over another, and the best stack of rows."""

from __future__ import annotations

import numpy as np
from numba import njit
from numpy.typing import NDArray

FAR = -(10**6)
"""Lift of an outline that never meets the other, in steps."""
NOWHERE = 10**9
"""Height of a stack that cannot be."""
TRIED = 6
"""Free stretches tried for the second copy of a motif on one line."""  # source: own trials, more gave no more
REACH = 3
"""Repeats of a motif that are held against the first; further ones stand clear."""  # source: own trials; checked later


@njit(cache=True)
def _free(maps: NDArray[np.bool_], one: int, other: int, dx: int, dy: int) -> bool:
    half = maps.shape[2] // 2
    if dx < -half or dx > half or dy < -half or dy > half:
        return True
    return not maps[one, other, dx + half, dy + half]


@njit(cache=True)
def pair_motifs(
    maps: NDArray[np.bool_], one: int, other: int, offsets: NDArray[np.int64], most: int
) -> NDArray[np.int64]:
    """Rows (along y, along x, pitch) in steps: where the second copy may stand by the first, and the least pitch then.

    ``offsets`` are the steps along y tried; at each the start of every free stretch along x, up to TRIED.
    """
    half = maps.shape[2] // 2
    found = np.empty((len(offsets) * TRIED, 3), dtype=np.int64)
    count = 0
    for dy in offsets:
        before, tried = False, 0
        for dx in range(half + 1):
            free = _free(maps, one, other, dx, dy)
            if free and not before and tried < TRIED:
                tried += 1
                for pitch in range(max(1, dx), most):
                    apart = True
                    for k in range(1, REACH + 1):
                        if not (
                            _free(maps, one, one, k * pitch, 0)
                            and _free(maps, other, other, k * pitch, 0)
                            and _free(maps, one, other, dx + k * pitch, dy)
                            and _free(maps, one, other, dx - k * pitch, dy)
                        ):
                            apart = False
                            break
                    if apart:
                        found[count] = (dy, dx, pitch)
                        count += 1
                        break
            before = free
    return found[:count]


@njit(cache=True)
def row_lifts(lift: NDArray[np.int64], counts: NDArray[np.int64], rows: NDArray[np.int64]) -> NDArray[np.int64]:
    """How far over each row each other row must stand at least, in steps, 0 or more.

    ``rows[s, k]`` are pose, x and y of copy k of row s by rising x, ``lift[a, b]`` the lifts of pose b over pose a.
    """
    size = len(counts)
    half = lift.shape[2] // 2
    found = np.zeros((size, size), dtype=np.int64)
    for s in range(size):
        for t in range(size):
            most = 0
            begin = 0
            for i in range(counts[s]):
                while begin < counts[t] and rows[t, begin, 1] - rows[s, i, 1] < -half:
                    begin += 1
                for j in range(begin, counts[t]):
                    dx = rows[t, j, 1] - rows[s, i, 1]
                    if dx > half:
                        break
                    up = lift[rows[s, i, 0], rows[t, j, 0], dx + half]
                    if up > FAR:
                        most = max(most, up + rows[s, i, 2] - rows[t, j, 2])
            found[s, t] = most
    return found


@njit(cache=True)
def stacks(
    counts: NDArray[np.int64],
    first: NDArray[np.int64],
    highest: NDArray[np.int64],
    between: NDArray[np.int64],
    most: int,
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Least height of the top row by copies so far and top row, NOWHERE if it cannot be; and the row under it.

    A row may stand from ``first`` to ``highest``; ``between[s, t]`` is what row t needs over row s.
    """
    size = len(counts)
    best = np.full((most + 1, size), NOWHERE, dtype=np.int64)
    under = np.full((most + 1, size), -1, dtype=np.int64)
    for s in range(size):
        if first[s] <= highest[s] and counts[s] <= most:
            best[counts[s], s] = first[s]
    for c in range(most + 1):
        for s in range(size):
            y = best[c, s]
            if y >= NOWHERE:
                continue
            for t in range(size):
                n = c + counts[t]
                if n > most:
                    continue
                high = max(y + between[s, t], first[t])
                if high <= highest[t] and high < best[n, t]:
                    best[n, t] = high
                    under[n, t] = s
    return best, under
