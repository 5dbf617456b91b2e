"""Loops over a part's points, triangles and hull."""

from __future__ import annotations

import numpy as np
from numba import njit
from numpy.typing import NDArray


@njit(cache=True)
def basins(
    heights: NDArray[np.float64],
    ends: NDArray[np.int64],
    barriers: NDArray[np.float64],
    least_depth_mm: float,
) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """Basin of each facet of a hull, and how high the lowest way out of each basin lies (inf where there is none).

    ``ends`` are the two facets of each edge, ``barriers`` what must be climbed to roll over it, both in rising order.
    Water rises: at each edge two flooded areas meet; one shallower than ``least_depth_mm`` joins the other.
    """
    count = len(heights)
    flooded = np.arange(count)
    owner = np.arange(count)
    lowest = heights.copy()
    several = np.zeros(count, dtype=np.bool_)
    ways_out = np.full(count, np.inf)
    for k in range(len(barriers)):
        one, other = ends[k, 0], ends[k, 1]
        a = one
        while flooded[a] != a:
            flooded[a] = flooded[flooded[a]]
            a = flooded[a]
        b = other
        while flooded[b] != b:
            flooded[b] = flooded[flooded[b]]
            b = flooded[b]
        if a == b:
            continue
        if lowest[b] < lowest[a] or (lowest[b] == lowest[a] and b < a):
            a, b = b, a
            one, other = other, one
        # a is the deeper of the two, b may be absorbed
        shallow = not several[b] and barriers[k] - lowest[b] < least_depth_mm
        if not shallow and not several[a] and barriers[k] - lowest[a] < least_depth_mm:
            a, b = b, a
            one, other = other, one
            shallow = True
        root = one
        while owner[root] != root:
            owner[root] = owner[owner[root]]
            root = owner[root]
        if shallow:
            owner[b] = root
        else:
            if not several[a]:
                ways_out[a] = barriers[k]
            if not several[b]:
                ways_out[b] = barriers[k]
            several[a] = True
        flooded[b] = a
        lowest[a] = min(lowest[a], lowest[b])
    for k in range(count):
        root = k
        while owner[root] != root:
            root = owner[root]
        owner[k] = root
    return owner, ways_out
