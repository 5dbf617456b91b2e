"""Compiled loops of a published method: equal rectangles by five blocks, then by pieces in the shape of an L.

Arrays and whole numbers in and out. ``points`` holds all sums of the two sides, ascending, from 0; a length is told by
its number in ``points``. ``rest[i, j]`` is the number of the largest point that is not above points[i] - points[j].
An L is (w, d, x, y): the room w by d less its corner right of x and behind y; a rectangle has x = w and y = d.
"""

from __future__ import annotations

import numpy as np
from numba import njit
from numpy.typing import NDArray

Wholes = NDArray[np.int64]
Numbers = NDArray[np.int32]

KINDS = 9
"""Ways in which one staircase cut makes two Ls: two of a rectangle, seven of an L."""
BASE = 512
"""Points must be fewer: five numbers make one key."""
PROBES = 64
"""Neighbouring places of the memory that are looked at before it counts as full."""
STEPS, LIMIT, CUT_SHORT, STOPPED, AREA = 0, 1, 2, 3, 4
"""Places of ``work``: cuts tried, most of them, 1 if a depth was used up, 1 if the limit was hit, a times b."""


@njit(cache=True)
def _left_empty(width: int, depth: int, n: int) -> int:
    """Cells of a rectangle that strips n long must leave empty."""
    r = width % n
    s = depth % n
    return r * s if r + s <= n else (n - r) * (n - s)


@njit(cache=True)
def _most(width: int, depth: int, a: int, b: int) -> int:
    """Rectangles a by b that no layout in a rectangle can beat."""
    empty = max(_left_empty(width, depth, a), _left_empty(width, depth, b))
    return (width * depth - empty) // (a * b)


@njit(cache=True)
def block_counts(
    points: Wholes, rest: Numbers, sides: tuple[int, int], a: int, b: int, limit: int
) -> tuple[Numbers, Numbers]:
    """Best count by blocks of every rectangle up to the largest point by the shorter of ``sides``.

    Returns the counts by numbers of the two sides, and where the best cuts lie (x1, x2, y1, y2; x2 = -1: one cut across
    at x1; y2 = -1: one cut along at y1; x1 = -1: rows), for the longer side along x. After ``limit`` pinwheels no
    further one is tried, but for the rectangle of both ``sides``, which has as many again.
    """
    size = len(points)
    counts = np.zeros((size, size), np.int32)
    cuts = np.full((size, size, 4), -1, np.int32)
    tried = 0
    area = a * b
    short = min(sides)
    for i in range(1, size):
        for j in range(1, min(i, short) + 1):
            width = points[i]
            depth = points[j]
            best = max((width // a) * (depth // b), (width // b) * (depth // a))
            most = _most(width, depth, a, b)
            cut = cuts[i, j]
            for x in range(1, i):
                both = counts[x, j] + counts[rest[i, x], j]
                if both > best:
                    best = both
                    cut[0], cut[1], cut[2], cut[3] = x, -1, 0, 0
            for y in range(1, j):
                both = counts[i, y] + counts[i, rest[j, y]]
                if both > best:
                    best = both
                    cut[0], cut[1], cut[2], cut[3] = 0, 0, y, -1
            # five blocks: front left, front right, back right, back left, middle. What they may leave empty together
            # is known, so a choice that already leaves more is dropped with all that follows from it.
            spare = width * depth - area * (best + 1)
            if i == max(sides) and j == short:
                tried = 0
            for x1 in range(1, i):
                if best >= most or tried >= limit:
                    break
                for y2 in range(1, j):
                    left_a = points[x1] * points[y2] - area * counts[x1, y2]
                    if left_a > spare:
                        continue
                    for y1 in range(1, y2 + 1):
                        tried += 1
                        right = rest[i, x1]
                        left_b = left_a + (width - points[x1]) * points[y1] - area * counts[right, y1]
                        if left_b > spare:
                            continue
                        back = rest[j, y1]
                        up = rest[j, y2]
                        middle = rest[y2, y1]
                        for x2 in range(x1, i):
                            tried += 1
                            five = (
                                counts[x1, y2]
                                + counts[right, y1]
                                + counts[rest[i, x2], back]
                                + counts[x2, up]
                                + counts[rest[x2, x1], middle]
                            )
                            if five > best:
                                best = five
                                spare = width * depth - area * (best + 1)
                                cut[0], cut[1], cut[2], cut[3] = x1, x2, y1, y2
            counts[i, j] = best
            counts[j, i] = best
    return counts, cuts


@njit(cache=True)
def colour_tables(n: int) -> Numbers:
    """Cells that strips n long must leave empty in an L, by the rests of w, d, x, y by n.

    Cell (i, j) has colour i + j, or i - j, modulo n: the rarer colour of the two colourings counts.
    """
    plus = np.zeros((n, n, n), np.int32)
    minus = np.zeros((n, n, n), np.int32)
    for r in range(n):
        for s in range(n):
            for u in range(r):
                for v in range(s):
                    plus[r, s, (u + v) % n] += 1
                    minus[r, s, (u - v) % n] += 1
    empty = np.zeros((n, n, n, n), np.int32)
    for w in range(n):
        for d in range(n):
            for x in range(n):
                for y in range(n):
                    up = (d - y) % n
                    cells = w * y + x * up
                    most = 0
                    for c in range(n):
                        one = plus[w, y, c] + plus[x, up, (c - y) % n]
                        other = minus[w, y, c] + minus[x, up, (c + y) % n]
                        most = max(most, cells - n * min(one, other))
                    empty[w, d, x, y] = most
    return empty


@njit(cache=True)
def halve(kind: int, piece: Wholes, cut: tuple[int, int, int], rest: Numbers, pair: Wholes) -> None:
    """The two Ls that a cut at the numbers u, v, t makes, in ``pair``, not yet in order."""
    u, v, t = cut
    w, d, x, y = piece[0], piece[1], piece[2], piece[3]
    if kind == 0:  # a rectangle: up at u to v, along to t, up
        pair[0], pair[1], pair[2], pair[3] = t, d, u, rest[d, v]
        pair[4], pair[5], pair[6], pair[7] = rest[w, u], d, rest[w, t], v
    elif kind == 1:  # a rectangle: along at u to v, up to t, along
        pair[0], pair[1], pair[2], pair[3] = w, t, rest[w, v], u
        pair[4], pair[5], pair[6], pair[7] = w, rest[d, u], v, rest[d, t]
    elif kind == 2:  # from the left side at v along to u, up to the notch
        pair[0], pair[1], pair[2], pair[3] = u, rest[d, v], x, rest[y, v]
        pair[4], pair[5], pair[6], pair[7] = w, y, rest[w, u], v
    elif kind == 3:  # from the front at u up to v, along to the notch
        pair[0], pair[1], pair[2], pair[3] = rest[w, u], v, rest[x, u], y
        pair[4], pair[5], pair[6], pair[7] = x, d, u, rest[d, v]
    elif kind == 4:  # from the back at u down to v, along to the right side
        pair[0], pair[1], pair[2], pair[3] = rest[w, u], rest[d, v], rest[x, u], rest[y, v]
        pair[4], pair[5], pair[6], pair[7] = w, d, u, v
    elif kind == 5:  # from the inner corner left to u, down to v, left
        pair[0], pair[1], pair[2], pair[3] = x, rest[d, v], u, rest[d, y]
        pair[4], pair[5], pair[6], pair[7] = w, y, rest[w, u], v
    elif kind == 6:  # from the inner corner left to u, up to v, left
        pair[0], pair[1], pair[2], pair[3] = x, rest[d, y], rest[x, u], rest[d, v]
        pair[4], pair[5], pair[6], pair[7] = w, v, u, y
    elif kind == 7:  # from the inner corner down to v, left to u, down
        pair[0], pair[1], pair[2], pair[3] = rest[w, u], y, rest[w, x], v
        pair[4], pair[5], pair[6], pair[7] = x, d, u, rest[d, v]
    else:  # from the inner corner down to v, right to u, down
        pair[0], pair[1], pair[2], pair[3] = rest[w, x], y, rest[w, u], rest[y, v]
        pair[4], pair[5], pair[6], pair[7] = u, d, x, v


@njit(cache=True)
def _order(piece: Wholes, at: int) -> None:
    """Make an L that lost an arm a rectangle, and lay the longer side along x; in place."""
    w, d, x, y = piece[at], piece[at + 1], piece[at + 2], piece[at + 3]
    if x == 0 or y == 0:
        w, d = (w, y) if x == 0 else (x, d)
        x, y = w, d
    elif x >= w or y >= d:
        x, y = w, d
    if w * d == 0:
        w, d, x, y = 0, 0, 0, 0
    if d > w or (w == d and y > x):
        w, d, x, y = d, w, y, x
    piece[at], piece[at + 1], piece[at + 2], piece[at + 3] = w, d, x, y


@njit(cache=True)
def _spans(kind: int, piece: Wholes) -> tuple[int, int, int, int]:
    """First and last but one numbers u and v of a cut."""
    w, d, x, y = piece[0], piece[1], piece[2], piece[3]
    if kind == 0:
        return 0, w, 0, d
    if kind == 1:
        return 0, d, 0, w
    if kind in {2, 8}:
        return x + 1, w + 1, 0, y
    if kind in {3, 6}:
        return 0, x, y + 1, d + 1
    return 0, x, 0, y


@njit(cache=True)
def _least(piece: Wholes, at: int, counts: Numbers, rest: Numbers) -> int:
    """What an L holds for sure: two rectangles, the cut going on from one side of the notch."""
    w, d, x, y = piece[at], piece[at + 1], piece[at + 2], piece[at + 3]
    if x == w:
        return int(counts[w, d])
    return int(max(counts[w, y] + counts[x, rest[d, y]], counts[x, d] + counts[rest[w, x], y]))


@njit(cache=True)
def _at_most(piece: Wholes, at: int, points: Wholes, empty_a: Numbers, empty_b: Numbers, area: int) -> int:
    """What no layout in an L can beat: area less what the colourings leave empty."""
    w, d, x, y = points[piece[at]], points[piece[at + 1]], points[piece[at + 2]], points[piece[at + 3]]
    n = len(empty_a)
    m = len(empty_b)
    left = max(empty_a[w % n, d % n, x % n, y % n], empty_b[w % m, d % m, x % m, y % m])
    return int((w * y + x * (d - y) - left) // area)


@njit(cache=True)
def _slot(keys: Wholes, key: int) -> int:
    """Where a key is kept, or the free place for it; -1 if the memory is full."""
    size = len(keys)
    at = (key % 1_000_003 * 7919 + key // 1_000_003) % size
    for _ in range(PROBES):
        if keys[at] == key or keys[at] == 0:
            return at
        at = (at + 1) % size
    return -1


@njit(cache=True)
def _recall(key: int, depth: int, keys: Wholes, kept: Numbers, work: Wholes) -> int:
    """Whether the question was settled: 1 reached, 0 not within that depth, -1 not known."""
    slot = _slot(keys, key)
    if slot < 0:
        work[STOPPED] = 1
        return 0
    if keys[slot] != key:
        return -1
    if kept[slot, 0] > 0:
        return 1
    if -kept[slot, 0] >= depth or kept[slot, 6] == 0:
        work[CUT_SHORT] = max(work[CUT_SHORT], kept[slot, 6])
        return 0
    return -1


@njit(cache=True)
def _keep(
    key: int, answer: int, cut: tuple[int, int, int, int, int], keys: Wholes, kept: Numbers, work: Wholes
) -> bool:
    """Keep an answer and its cut; true if it was reached."""
    slot = _slot(keys, key)
    if slot < 0:
        work[STOPPED] = 1
        return False
    keys[slot] = key
    kept[slot, 0] = answer
    kept[slot, 1], kept[slot, 2], kept[slot, 3], kept[slot, 4], kept[slot, 5] = cut
    kept[slot, 6] = work[CUT_SHORT]
    return answer > 0


@njit(cache=True)
def reach(
    piece: Wholes,
    wanted: int,
    depth: int,
    points: Wholes,
    rest: Numbers,
    counts: Numbers,
    empty_a: Numbers,
    empty_b: Numbers,
    keys: Wholes,
    kept: Numbers,
    work: Wholes,
) -> bool:
    """True if an L in order holds that many by at most ``depth`` staircase cuts one inside the other.

    ``counts`` by ``block_counts``; ``empty_a``, ``empty_b`` by ``colour_tables``. ``keys`` and ``kept`` are the memory,
    zeros at first: a key is ((((wanted BASE + w) BASE + d) BASE + x) BASE + y); kept are 1 and then kind, u, v, t of
    the cut and the count asked of its first half, or - depth in vain and, last, whether the depth was used up.
    ``work`` is told at ``STEPS``.
    """
    if _least(piece, 0, counts, rest) >= wanted:
        return True
    if depth == 0:
        work[CUT_SHORT] = 1
        return False
    key = (((wanted * BASE + piece[0]) * BASE + piece[1]) * BASE + piece[2]) * BASE + piece[3]
    known = _recall(key, depth, keys, kept, work)
    if known >= 0:
        return known == 1
    outer = work[CUT_SHORT]
    work[CUT_SHORT] = 1 if depth == 1 else 0
    pair = np.zeros(8, np.int64)
    first = 0
    last = 2
    if piece[2] < piece[0]:
        first = 2
        last = KINDS
    elif piece[0] == piece[1]:
        last = 1
    # first what both halves hold for sure, through all cuts; only then the halves' own cuts
    for look in range(min(depth, 2)):
        for kind in range(first, last):
            u_first, u_last, v_first, v_last = _spans(kind, piece)
            for u in range(u_first, u_last):
                for v in range(v_first, v_last):
                    for t in range(u + 1 if kind < 2 else 0, u_last if kind < 2 else 1):
                        work[STEPS] += 1
                        if work[STEPS] > work[LIMIT]:
                            work[STOPPED] = 1
                        halve(kind, piece, (u, v, t), rest, pair)
                        _order(pair, 0)
                        _order(pair, 4)
                        one = _least(pair, 0, counts, rest)
                        found = False
                        if look == 0:
                            found = one + _least(pair, 4, counts, rest) >= wanted
                        else:
                            most = _at_most(pair, 0, points, empty_a, empty_b, work[AREA])
                            other = _at_most(pair, 4, points, empty_a, empty_b, work[AREA])
                            one = max(one, wanted - other)
                            while one <= most and not found:
                                if not reach(
                                    pair[:4], one, depth - 1, points, rest, counts, empty_a, empty_b, keys, kept, work
                                ):
                                    break
                                found = reach(
                                    pair[4:],
                                    wanted - one,
                                    depth - 1,
                                    points,
                                    rest,
                                    counts,
                                    empty_a,
                                    empty_b,
                                    keys,
                                    kept,
                                    work,
                                )
                                if not found:
                                    one += 1
                        if found:
                            work[CUT_SHORT] = outer
                            return _keep(key, 1, (kind, u, v, t, one), keys, kept, work)
                        if work[STOPPED] == 1:
                            return False
    _keep(key, -depth, (0, 0, 0, 0, 0), keys, kept, work)
    work[CUT_SHORT] = max(work[CUT_SHORT], outer)
    return False
