"""Copies that overlap are moved apart: each to its best place, pairs that stay in conflict weighing more and more."""

from __future__ import annotations

import numpy as np
from numba import njit
from numpy.typing import NDArray

HEAVIEST = 1e5
"""Weight at which all weights are scaled back: without it the sums would lose their small terms."""
GROWTH, GROWTH_WORST = 1.2, 0.4
"""A pair in conflict weighs so much more after each sweep, the worst pair both together."""  # source: own trials
DECAY = 0.95
"""Share of its weight that a pair out of conflict keeps, down to 1."""  # source: own trials
WIDE, NEAR = 20, 20
"""Places drawn over the whole container and near the copy, for each pose."""  # source: own trials
FIRST_STEP = 8
"""First step of the descent, halved down to one."""  # source: own trials


@njit(cache=True)
def _draw(state: NDArray[np.uint64], below: int) -> int:
    """A whole number from 0 to below - 1 (xorshift64*, Vigna 2016)."""
    x = state[0]
    x ^= x >> np.uint64(12)
    x ^= x << np.uint64(25)
    x ^= x >> np.uint64(27)
    state[0] = x
    return int(np.int64((x * np.uint64(0x2545F4914F6CDD1D)) >> np.uint64(33))) % below


@njit(cache=True)
def _pair(depth: NDArray[np.float32], a: NDArray[np.int64], b: NDArray[np.int64]) -> float:
    """Depth of the overlap of two copies (pose, x, y), mm."""
    half = depth.shape[2] // 2
    dx, dy = b[1] - a[1], b[2] - a[2]
    if dx < -half or dx > half or dy < -half or dy > half:
        return 0.0
    return float(depth[a[0], b[0], dx + half, dy + half])


@njit(cache=True)
def _cost(
    depth: NDArray[np.float32],
    ground: NDArray[np.float32],
    places: NDArray[np.int64],
    copies: NDArray[np.int64],
    weights: NDArray[np.float64],
    begins: NDArray[np.int64],
    follows: NDArray[np.int64],
    k: int,
    pose: int,
    x: int,
    y: int,
    stop: float,
) -> float:
    """Weighted overlap of copy k, were it in this pose and place; counted no further than ``stop``.

    ``begins`` are the first copies of fields as wide as the reach of a map, ``follows`` the next in the same field.
    """
    half = depth.shape[2] // 2
    total = 0.0
    if ground.shape[1] > 0:
        total += weights[k, k] * ground[pose, x - places[pose, 0], y - places[pose, 2]]
    column, row = _field(x, half), _field(y, half)
    for u in range(max(column - 1, 0), min(column + 2, begins.shape[0])):
        for v in range(max(row - 1, 0), min(row + 2, begins.shape[1])):
            j = begins[u, v]
            while j >= 0:
                dx, dy = x - copies[j, 1], y - copies[j, 2]
                if j != k and -half <= dx <= half and -half <= dy <= half:
                    deep = depth[copies[j, 0], pose, dx + half, dy + half]
                    if deep > 0.0:
                        total += weights[k, j] * deep
                        if total >= stop:
                            return float(total)
                j = follows[j]
    return float(total)


@njit(cache=True)
def _field(at: int, half: int) -> int:
    """Number of the field, as wide as the reach of a map, in which a place lies; places below zero lie in the first."""
    return max(0, at) // (half + 1)


@njit(cache=True)
def _enter(begins: NDArray[np.int64], follows: NDArray[np.int64], copies: NDArray[np.int64], k: int, half: int) -> None:
    """Put copy k into its field."""
    u, v = _field(int(copies[k, 1]), half), _field(int(copies[k, 2]), half)
    follows[k] = begins[u, v]
    begins[u, v] = k


@njit(cache=True)
def _leave(begins: NDArray[np.int64], follows: NDArray[np.int64], copies: NDArray[np.int64], k: int, half: int) -> None:
    """Take copy k out of its field."""
    u, v = _field(int(copies[k, 1]), half), _field(int(copies[k, 2]), half)
    if begins[u, v] == k:
        begins[u, v] = follows[k]
        return
    j = begins[u, v]
    while follows[j] != k:
        j = follows[j]
    follows[j] = follows[k]


@njit(cache=True)
def _weigh(
    depth: NDArray[np.float32],
    ground: NDArray[np.float32],
    places: NDArray[np.int64],
    copies: NDArray[np.int64],
    weights: NDArray[np.float64],
    conflict: NDArray[np.bool_],
) -> float:
    """Sum of all overlaps; marks the copies in conflict and makes the weights of their pairs grow, of others fade."""
    count = copies.shape[0]
    deep = np.zeros((count, count))
    worst, total = 0.0, 0.0
    conflict[:] = False
    for i in range(count):
        if ground.shape[1] > 0:
            pose = copies[i, 0]
            deep[i, i] = ground[pose, copies[i, 1] - places[pose, 0], copies[i, 2] - places[pose, 2]]
        for j in range(i + 1, count):
            deep[i, j] = _pair(depth, copies[i], copies[j])
        for j in range(i, count):
            if deep[i, j] > 0.0:
                total += deep[i, j]
                worst = max(worst, deep[i, j])
                conflict[i] = True
                conflict[j] = True
    heaviest = 0.0
    for i in range(count):
        for j in range(i, count):
            if deep[i, j] > 0.0:
                weights[i, j] *= GROWTH + GROWTH_WORST * deep[i, j] / worst
            else:
                weights[i, j] = max(1.0, weights[i, j] * DECAY)
            weights[j, i] = weights[i, j]
            heaviest = max(heaviest, weights[i, j])
    if heaviest > HEAVIEST:
        for i in range(count):
            for j in range(count):
                weights[i, j] = max(1.0, weights[i, j] / HEAVIEST)
    return total


@njit(cache=True)
def separated(
    depth: NDArray[np.float32],
    ground: NDArray[np.float32],
    places: NDArray[np.int64],
    poses: NDArray[np.int64],
    start: NDArray[np.int64],
    sweeps: int,
    most: int,
    seed: int,
) -> tuple[NDArray[np.int64], float, int]:
    """The copies with the least overlap that was found, its sum in mm (0 if all stand apart), and the places weighed.

    It ends after so many sweeps, or with the sweep in which it has weighed ``most`` places.

    ``start[k]`` are pose, x, y of copy k in steps; it may take the poses ``poses[k, 0]`` to ``poses[k, 1]`` - 1.
    ``depth[a, b]`` is how deep pose b at an offset overlaps pose a, ``ground[a]`` how deep a pose at each of its places
    stands in a region that nothing may enter (no columns: there is none).
    """
    state = np.array([np.uint64(seed) * np.uint64(2654435769) + np.uint64(88172645463325252)], dtype=np.uint64)
    half = depth.shape[2] // 2
    count = start.shape[0]
    copies = start.copy()
    weights = np.ones((count, count))
    conflict = np.zeros(count, dtype=np.bool_)
    best, least = copies.copy(), np.inf
    order = np.arange(count)
    reach = half // 4 + 1
    begins = np.full((_field(places[:, 1].max(), half) + 1, _field(places[:, 3].max(), half) + 1), -1, dtype=np.int64)
    follows = np.full(count, -1, dtype=np.int64)
    for k in range(count):
        _enter(begins, follows, copies, k, half)
    weighed = 0
    for _ in range(sweeps):
        total = _weigh(depth, ground, places, copies, weights, conflict)
        if total < least:
            least = total
            best[:] = copies
        if total <= 0.0 or weighed >= most:
            return best, least, weighed
        for i in range(count - 1, 0, -1):
            j = _draw(state, i + 1)
            order[i], order[j] = order[j], order[i]
        for i in range(count):
            k = int(order[i])
            if not conflict[k]:
                continue
            own, own_x, own_y = int(copies[k, 0]), int(copies[k, 1]), int(copies[k, 2])
            now = _cost(depth, ground, places, copies, weights, begins, follows, k, own, own_x, own_y, np.inf)
            if now <= 0.0:
                continue
            found = np.inf
            to_pose, to_x, to_y = own, own_x, own_y
            for pose in range(poses[k, 0], poses[k, 1]):
                x0, x1 = int(places[pose, 0]), int(places[pose, 1])
                y0, y1 = int(places[pose, 2]), int(places[pose, 3])
                if x1 < x0 or y1 < y0:
                    continue
                cost, at_x, at_y = np.inf, x0, y0
                if pose == own:
                    cost, at_x, at_y = now, own_x, own_y
                for draw in range(WIDE + NEAR):
                    if draw < WIDE:
                        x = x0 + _draw(state, x1 - x0 + 1)
                        y = y0 + _draw(state, y1 - y0 + 1)
                    else:
                        x = min(max(own_x + _draw(state, 2 * reach + 1) - reach, x0), x1)
                        y = min(max(own_y + _draw(state, 2 * reach + 1) - reach, y0), y1)
                    tried = _cost(depth, ground, places, copies, weights, begins, follows, k, pose, x, y, cost)
                    weighed += 1
                    if tried < cost:
                        cost, at_x, at_y = tried, x, y
                step = FIRST_STEP
                while step >= 1 and cost > 0.0:
                    better = True
                    while better and cost > 0.0:
                        better = False
                        for move in range(9):
                            x, y = at_x + (move % 3 - 1) * step, at_y + (move // 3 - 1) * step
                            if x < x0 or x > x1 or y < y0 or y > y1:
                                continue
                            tried = _cost(depth, ground, places, copies, weights, begins, follows, k, pose, x, y, cost)
                            weighed += 1
                            if tried < cost:
                                cost, at_x, at_y = tried, x, y
                                better = True
                    step //= 2
                if cost < found:
                    found = cost
                    to_pose, to_x, to_y = pose, at_x, at_y
            _leave(begins, follows, copies, k, half)
            copies[k, 0], copies[k, 1], copies[k, 2] = to_pose, to_x, to_y
            _enter(begins, follows, copies, k, half)
    return best, least, weighed
