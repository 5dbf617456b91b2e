"""Compiled look-ahead: speeds at every vertex of a path, backward and forward, and the time along it."""

from __future__ import annotations

import math

import numpy as np
from numba import njit
from numpy.typing import NDArray

Array = NDArray[np.float64]

STILL = 1e-12  # source: below this a move has no length and a direction no angle (mm, float noise)


@njit(cache=True)
def look_ahead(
    points: Array,
    feeds: Array,
    acceleration_mm_per_s2: float,
    junction_mm: float,
    each_axis: bool,  # noqa: FBT001  # reason: compiled code is called by place
) -> tuple[float, Array]:
    """Time and vertex speeds of a path: (s, array of n speeds)."""
    n = points.shape[0] - 1
    length = np.empty(n)
    limit = np.empty(n)
    unit = np.zeros((n, 3))
    speed = np.zeros(n + 1)
    for i in range(n):
        total = 0.0
        for k in range(3):
            unit[i, k] = points[i + 1, k] - points[i, k]
            total += unit[i, k] * unit[i, k]
        length[i] = math.sqrt(total)
        limit[i] = acceleration_mm_per_s2
        if length[i] > STILL:
            most = 0.0
            for k in range(3):
                unit[i, k] /= length[i]
                most = max(most, abs(unit[i, k]))
            if each_axis:
                limit[i] = acceleration_mm_per_s2 / most
    last = -1  # the last move before this vertex that has a length
    for i in range(n):
        if length[i] <= STILL:
            continue
        if last >= 0:
            straight = 0.0
            for k in range(3):
                straight += unit[last, k] * unit[i, k]
            straight = min(1.0, max(-1.0, straight))
            top = min(feeds[last], feeds[i])
            low = min(limit[last], limit[i])
            s = math.sqrt(0.5 * (1.0 + straight))  # sine of half the included angle
            bend = math.sqrt(0.5 * (1.0 - straight))  # sine of half the turn
            if s < STILL:
                top = 0.0
            elif bend > STILL:
                top = min(top, math.sqrt(low * junction_mm * s / max(1.0 - s, STILL)))
                radius = min(length[last], length[i]) / (2.0 * bend)
                top = min(top, math.sqrt(low * radius))
            speed[i] = top
        last = i
    # a vertex before a move without length takes the speed of the next one
    for i in range(n - 1, -1, -1):
        if length[i] <= STILL:
            speed[i] = speed[i + 1]
        else:
            speed[i] = min(speed[i], math.sqrt(speed[i + 1] ** 2 + 2.0 * limit[i] * length[i]))
    if n > 0:
        speed[0] = 0.0
    time = 0.0
    for i in range(n):
        if length[i] <= STILL:
            speed[i + 1] = speed[i]
            continue
        speed[i + 1] = min(speed[i + 1], math.sqrt(speed[i] ** 2 + 2.0 * limit[i] * length[i]))
        v0, v1, a, top = speed[i], speed[i + 1], limit[i], feeds[i]
        peak = math.sqrt(0.5 * (v0 * v0 + v1 * v1) + a * length[i])
        if peak <= top:
            time += (2.0 * peak - v0 - v1) / a
        else:
            ramps = (2.0 * top * top - v0 * v0 - v1 * v1) / (2.0 * a)
            time += (2.0 * top - v0 - v1) / a + (length[i] - ramps) / top
    return time, speed
