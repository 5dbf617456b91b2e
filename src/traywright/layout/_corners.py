"""Equal rectangles by pieces in the shape of an L: the search for one more than blocks hold, and its places."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from traywright.layout._bounds import Spot
from traywright.layout._kernels_blocks import BASE, CUT_SHORT, STOPPED, colour_tables, halve, reach

Numbers = NDArray[np.int32]
Piece = tuple[int, int, int, int]
"""An L as (w, d, x, y): the room w by d less its corner right of x and behind y, by numbers of points."""
Fill = Callable[[int, int], list[Spot]]
"""Where the rectangles of a block stand, by the numbers of its two sides."""

DEEPEST = 5
"""Cuts one inside the other."""  # source: own timing; three reach every bound of the published tests
MEMORY = 1 << 17
"""Answers that are kept."""  # source: own timing; the hardest published instance keeps 6000
COLOURS = 20
"""Longest side for which an L is coloured; above, area alone bounds it."""  # source: own timing, 20 ms

HALVES: tuple[tuple[tuple[str, str], tuple[str, str]], ...] = (
    (("y", "00td"), ("x", "u0wd")),
    (("x", "00wt"), ("y", "0uwd")),
    (("", "0vud"), ("x", "00wy")),
    (("", "u0wv"), ("y", "00xd")),
    (("", "uvwd"), ("", "00wd")),
    (("y", "0vxd"), ("x", "00wy")),
    (("xy", "0yxd"), ("", "00wv")),
    (("x", "u0wy"), ("y", "00xd")),
    (("xy", "x0wy"), ("", "00ud")),
)
"""The halves of each kind of cut: along which axes its L is mirrored, and left, front, right, back of its box."""


class Corners:
    """The search for more than blocks hold, by staircase cuts into two Ls, each cut so again.

    Parameters
    ----------
    lengths
        The points, the rest of each pair of them, and the best count by blocks of each pair.
    item
        The rectangle's two sides.
    limit
        Cuts tried before the search stops.
    """

    __slots__ = ("_counts", "_empty", "_item", "_kept", "_keys", "_points", "_rest", "_work")

    def __init__(self, lengths: tuple[NDArray[np.int64], Numbers, Numbers], item: tuple[int, int], limit: int) -> None:
        self._points, self._rest, self._counts = lengths
        self._item = item
        one, other = (colour_tables(side if max(item) <= COLOURS else 1) for side in item)
        self._empty = (one, other)
        self._keys = np.zeros(MEMORY, dtype=np.int64)
        self._kept = np.zeros((MEMORY, 7), dtype=np.int32)
        self._work = np.array([0, limit, 0, 0, item[0] * item[1]], dtype=np.int64)

    def reaches(self, piece: Piece, wanted: int) -> bool:
        """True if the piece, its longer side along x, was found to hold that many."""
        shape = np.array(piece, dtype=np.int64)
        lengths = (self._points, self._rest, self._counts)
        for depth in range(1, DEEPEST + 1):
            self._work[CUT_SHORT] = 0
            if reach(shape, wanted, depth, *lengths, *self._empty, self._keys, self._kept, self._work):
                return True
            if self._work[STOPPED] or not self._work[CUT_SHORT]:
                return False
        return False

    @property
    def stopped(self) -> bool:
        """True if the limit ended the search."""
        return bool(self._work[STOPPED])

    def spots(self, piece: Piece, wanted: int, fill: Fill) -> list[Spot]:
        """Where that many stand in a piece that was found to hold them."""
        w, d, x, y = piece
        if wanted <= 0:
            return []
        counts, rest = self._counts, self._rest
        if x == w and counts[w, d] >= wanted:
            return fill(w, d)
        if x < w and counts[w, y] + counts[x, rest[d, y]] >= wanted:
            return fill(w, y) + _moved(fill(x, int(rest[d, y])), 0, int(self._points[y]))
        if x < w and counts[x, d] + counts[rest[w, x], y] >= wanted:
            return fill(x, d) + _moved(fill(int(rest[w, x]), y), int(self._points[x]), 0)
        return self._halved(piece, wanted, fill)

    def _halved(self, piece: Piece, wanted: int, fill: Fill) -> list[Spot]:
        key = 0
        for number in (wanted, *piece):
            key = key * BASE + number
        row = int(np.nonzero(self._keys == key)[0][0])
        _, kind, u, v, t, first, _ = (int(one) for one in self._kept[row])
        numbers = dict(zip("wdxyuvt", (*piece, u, v, t), strict=True))
        ends = {"0": 0} | {letter: int(self._points[number]) for letter, number in numbers.items()}
        pair = np.zeros(8, dtype=np.int64)
        halve(kind, np.array(piece, dtype=np.int64), (u, v, t), self._rest, pair)
        found: list[Spot] = []
        for half, count in enumerate((first, wanted - first)):
            mirrored, corners = HALVES[kind][half]
            left, front, right, back = (ends[letter] for letter in corners)
            w, d, x, y = (int(one) for one in pair[4 * half : 4 * half + 4])
            ordered, swapped = in_order((w, d, x, y))
            spots = self.spots(ordered, count, fill)
            if swapped:
                spots = [(v, u, not turned) for u, v, turned in spots]
            found += _moved(self._mirrored(spots, mirrored, (right - left, back - front)), left, front)
        return found

    def _mirrored(self, spots: list[Spot], axes: str, box: tuple[int, int]) -> list[Spot]:
        for axis in axes:
            flipped = []
            for x, y, turned in spots:
                w, d = self._item[::-1] if turned else self._item
                flipped.append((box[0] - x - w, y, turned) if axis == "x" else (x, box[1] - y - d, turned))
            spots = flipped
        return spots


def _moved(spots: list[Spot], right: int, back: int) -> list[Spot]:
    return [(x + right, y + back, turned) for x, y, turned in spots]


def in_order(piece: Piece) -> tuple[Piece, bool]:
    """An L that lost an arm as a rectangle, its longer side along x; and whether its axes were swapped for that."""
    w, d, x, y = piece
    if x == 0 or y == 0:
        w, d = (w, y) if x == 0 else (x, d)
        x, y = w, d
    elif x >= w or y >= d:
        x, y = w, d
    if w == 0 or d == 0:
        return (0, 0, 0, 0), False
    if (d, y) > (w, x):
        return (d, w, y, x), True
    return (w, d, x, y), False
