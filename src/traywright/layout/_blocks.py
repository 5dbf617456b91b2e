"""Equal rectangles by blocks: rows, two blocks side by side, and five blocks as a pinwheel, each block so again."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from traywright.layout._bounds import Spot, Steps, largest_at_most, sums, upper_bound

Counts = NDArray[np.int64]
Cut = tuple[int, int, int, int]
"""Numbers of the points x1, x2, y1, y2 of a pinwheel; x2 = -1: one cut across at x1; y2 = -1: one cut at y1."""

FULL_POINTS = 36
"""Points up to which every block is again tried as a pinwheel."""  # source: own timing, about 2 s on one core
TOP_POINTS = 90
"""Points up to which blocks are tabled and the whole room is a pinwheel; above: two blocks."""  # source: own timing


def block_spots(steps: Steps) -> tuple[Spot, ...]:
    """Where each rectangle stands in the best layout by blocks, sorted.

    Parameters
    ----------
    steps
        The room and the rectangle in whole steps.
    """
    long, a, b = max(steps.width, steps.depth), steps.item_width, steps.item_depth
    if (long // a + 1) * (long // b + 1) > 2 * TOP_POINTS:
        return two_blocks(steps)
    return Blocks(steps).spots()


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

    __slots__ = ("_a", "_b", "_counts", "_cuts", "_points", "_rest", "_sides")

    def __init__(self, steps: Steps) -> None:
        self._a, self._b = steps.item_width, steps.item_depth
        long, short = max(steps.width, steps.depth), min(steps.width, steps.depth)
        self._points = sums(long, self._a, self._b)
        self._sides = (largest_at_most(self._points, steps.width), largest_at_most(self._points, steps.depth))
        points = np.array(self._points, dtype=np.int64)
        left = points[:, None] - points[None, :]
        self._rest = np.maximum(np.searchsorted(points, left, side="right") - 1, 0)
        self._counts = np.zeros((len(points), len(points)), dtype=np.int64)
        self._cuts: dict[tuple[int, int], Cut] = {}
        self._fill(largest_at_most(self._points, short))

    def spots(self) -> tuple[Spot, ...]:
        """Where each rectangle of the whole room stands."""
        return tuple(sorted(self._spots(*self._sides)))

    # -- the table ----------------------------------------------------------------------------------------------

    def _fill(self, short: int) -> None:
        full = len(self._points) <= FULL_POINTS
        for i in range(1, len(self._points)):
            for j in range(1, min(i, short) + 1):
                self._counts[i, j] = self._counts[j, i] = row_count(self._points[i], self._points[j], self._a, self._b)
                whole = i == max(self._sides) and j == min(self._sides)
                self._improve(i, j, pinwheel=full or whole)

    def _improve(self, i: int, j: int, *, pinwheel: bool) -> None:
        steps = Steps(width=self._points[i], depth=self._points[j], item_width=self._a, item_depth=self._b)
        bound = upper_bound(steps)
        for cut in (self._across, self._along, self._pinwheel if pinwheel else None):
            if cut is None or self._counts[i, j] >= bound:
                return
            count, where = cut(i, j)
            if count > self._counts[i, j]:
                self._counts[i, j] = self._counts[j, i] = count
                self._cuts[i, j] = where

    def _across(self, i: int, j: int) -> tuple[int, Cut]:
        cut = np.arange(1, i)
        if not len(cut):
            return 0, (0, -1, 0, 0)
        both = self._counts[cut, j] + self._counts[self._rest[i, cut], j]
        return int(both.max()), (int(cut[both.argmax()]), -1, 0, 0)

    def _along(self, i: int, j: int) -> tuple[int, Cut]:
        cut = np.arange(1, j)
        if not len(cut):
            return 0, (0, 0, 0, -1)
        both = self._counts[i, cut] + self._counts[i, self._rest[j, cut]]
        return int(both.max()), (0, 0, int(cut[both.argmax()]), -1)

    def _pinwheel(self, i: int, j: int) -> tuple[int, Cut]:
        """The best five blocks: front left, front right, back right, back left, and the middle."""
        best, where = 0, (0, 0, 0, 0)
        if i < 3 or j < 3:
            return best, where
        lower, upper = np.triu_indices(j - 1)
        y1, y2 = lower + 1, upper + 1
        for x1 in range(1, i):
            x2 = np.arange(x1, i)[:, None]
            five = self._five(i, j, (x1, x2, y1[None, :], y2[None, :]))
            flat = int(five.argmax())
            row, column = divmod(flat, five.shape[1])
            if five[row, column] > best:
                best, where = int(five[row, column]), (x1, x1 + row, int(y1[column]), int(y2[column]))
        return best, where

    def _five(self, i: int, j: int, cut: tuple[int, Counts, Counts, Counts]) -> Counts:
        x1, x2, y1, y2 = cut
        f, rest = self._counts, self._rest
        outer = f[x1, y2] + f[rest[i, x1], y1] + f[rest[i, x2], rest[j, y1]] + f[x2, rest[j, y2]]
        five: Counts = outer + f[rest[x2, x1], rest[y2, y1]]
        return five

    # -- the places ---------------------------------------------------------------------------------------------

    def _spots(self, i: int, j: int) -> list[Spot]:
        if i < j:
            return [(y, x, not turned) for x, y, turned in self._spots(j, i)]
        if (i, j) not in self._cuts:
            return row_spots(self._points[i], self._points[j], self._a, self._b)
        x1, x2, y1, y2 = self._cuts[i, j]
        p, rest = self._points, self._rest
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
