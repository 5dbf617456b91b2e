"""How many equal rectangles no layout can beat, and the search that settles a small case."""

from __future__ import annotations

import math
from bisect import bisect_right
from dataclasses import dataclass

Spot = tuple[int, int, bool]
"""Lower left corner in steps, and whether the rectangle is turned."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Steps:
    """A room and one rectangle in whole steps, kerf already added to both."""

    width: int
    depth: int
    item_width: int
    item_depth: int


def sums(limit: int, first: int, second: int) -> list[int]:
    """All sums of two lengths up to a limit, ascending: where edges stand in a layout pushed left and front.

    Examples
    --------
    >>> sums(10, 4, 3)
    [0, 3, 4, 6, 7, 8, 9, 10]
    """
    return sorted({a + b for a in range(0, limit + 1, first) for b in range(0, limit + 1 - a, second)})


def largest_sum(limit: int, first: int, second: int) -> int:
    """The largest sum of two lengths up to a limit.

    Examples
    --------
    >>> largest_sum(11, 5, 4)
    10
    """
    return max(a + (limit - a) // second * second for a in range(0, limit + 1, first))


def tight(steps: Steps) -> Steps:
    """The same question with each side of the room cut to what sums of the two lengths can reach."""
    sides = [largest_sum(side, steps.item_width, steps.item_depth) for side in (steps.width, steps.depth)]
    divisor = math.gcd(steps.item_width, steps.item_depth)
    return Steps(
        width=sides[0] // divisor,
        depth=sides[1] // divisor,
        item_width=steps.item_width // divisor,
        item_depth=steps.item_depth // divisor,
    )


def upper_bound(steps: Steps) -> int:
    """Rectangles that no layout can beat: area, less what the colouring shows must stay empty.

    Notes
    -----
    Any layout can be pushed left and front until every edge stands at a sum of the two lengths, so each side of the
    room may be cut to the largest such sum. In whole steps each rectangle is made of strips n long and 1 wide, for
    n = either side; colour the cell (i, j) by (i + j) mod n: each strip covers every colour once, so the rarest
    colour limits them. With r, s the rests of the room's sides by n the cells left empty number at least r s, or
    (n - r)(n - s) where r + s exceeds n.
    """
    small = tight(steps)
    area = small.width * small.depth
    empty = max(_left_empty(small, small.item_width), _left_empty(small, small.item_depth))
    return (area - empty) // (small.item_width * small.item_depth)


def _left_empty(steps: Steps, n: int) -> int:
    r, s = steps.width % n, steps.depth % n
    return r * s if r + s <= n else (n - r) * (n - s)


class Search:
    """Looks for a layout of a given count, or shows that there is none, within a limit of tries.

    Parameters
    ----------
    steps
        The room and the rectangle.
    tries
        Places tried before the search gives up and shows nothing.
    """

    __slots__ = ("_left", "_spots", "_steps", "settled")

    def __init__(self, steps: Steps, tries: int) -> None:
        small = tight(steps)
        self._steps = small
        self._left = tries
        self.settled = True
        a, b = small.item_width, small.item_depth
        xs, ys = sums(small.width, a, b), sums(small.depth, a, b)
        turns = (False, True) if a != b else (False,)
        self._spots = [
            (x, y, turned)
            for x in xs
            for y in ys
            for turned in turns
            if x + (b if turned else a) <= small.width and y + (a if turned else b) <= small.depth
        ]

    def find(self, count: int) -> tuple[Spot, ...] | None:
        """A layout of that many rectangles in steps, or None: no layout if ``settled``, else not known."""
        return self._place((), 0, count)

    def _place(self, placed: tuple[Spot, ...], start: int, wanted: int) -> tuple[Spot, ...] | None:
        if wanted == 0:
            return placed
        for number in range(start, len(self._spots)):
            if self._left <= 0:
                self.settled = False
                return None
            self._left -= 1
            spot = self._spots[number]
            if self._wasted(placed, spot[0], wanted):
                return None
            if all(self._apart(spot, one) for one in placed):
                found = self._place((*placed, spot), number + 1, wanted - 1)
                if found is not None:
                    return found
        return None

    def _size(self, spot: Spot) -> tuple[int, int]:
        a, b = self._steps.item_width, self._steps.item_depth
        return (b, a) if spot[2] else (a, b)

    def _apart(self, one: Spot, other: Spot) -> bool:
        (w, d), (v, e) = self._size(one), self._size(other)
        beside = one[0] + w <= other[0] or other[0] + v <= one[0]
        return beside or one[1] + d <= other[1] or other[1] + e <= one[1]

    def _wasted(self, placed: tuple[Spot, ...], x: int, wanted: int) -> bool:
        """True if what lies right of x, less what already reaches there, cannot take the rest."""
        over = sum(max(0, one[0] + self._size(one)[0] - x) * self._size(one)[1] for one in placed)
        right = (self._steps.width - x) * self._steps.depth - over
        return right < wanted * self._steps.item_width * self._steps.item_depth


def largest_at_most(points: list[int], value: int) -> int:
    """Number of the largest point that is not above the value."""
    return bisect_right(points, value) - 1
