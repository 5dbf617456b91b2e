"""Equal rectangles by blocks: rows, two blocks, five blocks as a pinwheel, then pieces with a corner cut off."""

from __future__ import annotations

import numpy as np

from traywright.layout._bounds import Spot, Steps, largest_at_most, sums
from traywright.layout._corners import Corners
from traywright.layout._kernels_blocks import block_counts

POINTS = 250
"""About as many points as are tabled; above, rows and two blocks only."""  # source: own timing, about 0.3 s
PINWHEELS = 100_000_000
"""Pinwheels that are tried, and as many again for the whole room."""  # source: own timing, about 0.5 s
CORNER_CUTS = 20_000_000
"""Staircase cuts that are tried."""  # source: own timing, about 0.6 s


def block_spots(steps: Steps, bound: int) -> tuple[Spot, ...]:
    """Where each rectangle stands in the best layout by blocks, sorted.

    Parameters
    ----------
    steps
        The room and the rectangle in whole steps.
    bound
        Rectangles at which the search stops, since no layout holds more.
    """
    long, a, b = max(steps.width, steps.depth), steps.item_width, steps.item_depth
    plain = two_blocks(steps)
    if len(plain) >= bound or (long // a + 1) * (long // b + 1) > 2 * POINTS:
        return plain
    return Blocks(steps).spots(bound)


def two_blocks(steps: Steps) -> tuple[Spot, ...]:
    """Where each rectangle stands in the best of rows one way, or a block of rows beside or behind another.

    Parameters
    ----------
    steps
        The room and the rectangle in whole steps.
    """
    w, d, a, b = steps.width, steps.depth, steps.item_width, steps.item_depth
    best = row_spots(w, d, a, b)
    for side in sorted({a, b}):
        for x in range(side, w, side):
            if len(best) < row_count(x, d, a, b) + row_count(w - x, d, a, b):
                best = row_spots(x, d, a, b) + [(x + u, v, t) for u, v, t in row_spots(w - x, d, a, b)]
        for y in range(side, d, side):
            if len(best) < row_count(w, y, a, b) + row_count(w, d - y, a, b):
                best = row_spots(w, y, a, b) + [(u, y + v, t) for u, v, t in row_spots(w, d - y, a, b)]
    return tuple(sorted(best))


def row_count(x: int, y: int, a: int, b: int) -> int:
    """Rectangles a x b in rows of one way, the better way."""
    return max((x // a) * (y // b), (x // b) * (y // a))


def row_spots(x: int, y: int, a: int, b: int) -> list[Spot]:
    """Where each of them stands."""
    turned = (x // a) * (y // b) < (x // b) * (y // a)
    w, d = (b, a) if turned else (a, b)
    return [(u * w, v * d, turned) for u in range(x // w) for v in range(y // d)]


class Blocks:
    """The best count by blocks for each room whose sides are sums of the two lengths.

    Parameters
    ----------
    steps
        The room and the rectangle in whole steps.
    """

    __slots__ = ("_a", "_b", "_counts", "_cuts", "_lengths", "_points", "_rest", "_sides")

    def __init__(self, steps: Steps) -> None:
        self._a, self._b = steps.item_width, steps.item_depth
        self._points = sums(max(steps.width, steps.depth), self._a, self._b)
        self._sides = (largest_at_most(self._points, steps.width), largest_at_most(self._points, steps.depth))
        points = np.array(self._points, dtype=np.int64)
        left = np.searchsorted(points, points[:, None] - points[None, :], side="right") - 1
        self._rest = np.maximum(left, 0).astype(np.int32)
        self._counts, self._cuts = block_counts(points, self._rest, self._sides, self._a, self._b, PINWHEELS)
        self._lengths = (points, self._rest, self._counts)

    def spots(self, bound: int) -> tuple[Spot, ...]:
        """Where each rectangle of the whole room stands, by pieces with a corner cut where blocks miss the bound.

        Parameters
        ----------
        bound
            Rectangles that no layout can beat.
        """
        long, short = max(self._sides), min(self._sides)
        best = int(self._counts[long, short])
        if best >= bound:
            return tuple(sorted(self._spots(*self._sides)))
        corners = Corners(self._lengths, (self._a, self._b), CORNER_CUTS)
        room = (long, short, long, short)
        while best < bound and not corners.stopped and corners.reaches(room, best + 1):
            best += 1
        found = corners.spots(room, best, self._spots)
        if self._sides[0] < self._sides[1]:
            found = [(y, x, not turned) for x, y, turned in found]
        return tuple(sorted(found))

    def _spots(self, i: int, j: int) -> list[Spot]:
        if i < j:
            return [(y, x, not turned) for x, y, turned in self._spots(j, i)]
        x1, x2, y1, y2 = (int(number) for number in self._cuts[i, j])
        p, rest = self._points, self._rest
        if x1 < 0:
            return row_spots(p[i], p[j], self._a, self._b)
        if x2 < 0:
            return self._at(0, 0, (x1, j)) + self._at(p[x1], 0, (int(rest[i, x1]), j))
        if y2 < 0:
            return self._at(0, 0, (i, y1)) + self._at(0, p[y1], (i, int(rest[j, y1])))
        return [
            *self._at(0, 0, (x1, y2)),
            *self._at(p[x1], 0, (int(rest[i, x1]), y1)),
            *self._at(p[x2], p[y1], (int(rest[i, x2]), int(rest[j, y1]))),
            *self._at(0, p[y2], (x2, int(rest[j, y2]))),
            *self._at(p[x1], p[y1], (int(rest[x2, x1]), int(rest[y2, y1]))),
        ]

    def _at(self, x: int, y: int, block: tuple[int, int]) -> list[Spot]:
        return [(x + u, y + v, turned) for u, v, turned in self._spots(*block)]
