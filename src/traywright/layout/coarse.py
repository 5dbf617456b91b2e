"""An outline of few corners around one of many: straight sides stay where they are, nothing is cut off."""

from __future__ import annotations

import heapq
from collections.abc import Sequence

import shapely
from shapely.geometry import Polygon

from traywright.base.tolerance import SNAP_MM

THINNED_CORNERS = 5000  # source: own timing
"""Corners above which a snap step is given up first: the scan of a shape has no straight sides to keep."""

LEAST_CORNERS = 4
"""Corners that are kept in any case."""  # source: ours, a box

Point = tuple[float, float]


def coarser(shape: Polygon, most: int, *, free_ratio: float = 0.0) -> Polygon:
    """The outline, or one around it with no more corners than asked.

    Parameters
    ----------
    shape
        An outline; its holes are dropped.
    most
        Corners that it may keep, 4 or more.
    free_ratio
        Share of its area that may be added for fewer corners still.

    Notes
    -----
    Corner by corner the least area is added: a hollow corner is left out, or a side between two bulging corners is
    left out and its neighbours are drawn on until they meet. Where that would cross itself the outline is grown by
    as little as is needed instead.
    """
    shell = Polygon(shape.exterior)
    if len(shell.exterior.coords) - 1 > THINNED_CORNERS:
        shell = _grown(shell, THINNED_CORNERS)
    if len(shell.exterior.coords) - 1 <= most and free_ratio <= 0.0:
        return shell
    ring = [(x, y) for x, y in shell.exterior.coords[:-1]]
    chain = _Chain(ring if shell.exterior.is_ccw else ring[::-1])
    found = Polygon(chain.until(most, free_ratio * float(shell.area)))
    if found.is_valid and found.buffer(SNAP_MM / 10.0).covers(shell):
        return found
    return coarser(shell, most) if free_ratio > 0.0 else _grown(shell, most)


def _grown(shape: Polygon, most: int) -> Polygon:
    by_mm, found = SNAP_MM, shape
    while len(found.exterior.coords) - 1 > most:
        around = shapely.get_exterior_ring(shapely.simplify(shapely.buffer(shape, by_mm, join_style="mitre"), by_mm))
        found = Polygon(around)
        by_mm *= 2.0
    return found


def _cross(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


class _Chain:
    """A closed ring, counter-clockwise, whose corners go one after the other."""

    __slots__ = ("_after", "_age", "_before", "_heap", "_points")

    def __init__(self, ring: Sequence[Point]) -> None:
        count = len(ring)
        self._points = list(ring)
        self._after = [(k + 1) % count for k in range(count)]
        self._before = [(k - 1) % count for k in range(count)]
        self._age = [0] * count
        self._heap: list[tuple[float, int, int]] = []
        for k in range(count):
            self._push(k)

    def until(self, most: int, free_mm2: float) -> list[Point]:
        """The ring with no more corners than asked, and fewer while all that is added is no more than this area."""
        left, added_mm2 = len(self._points), 0.0
        while left > LEAST_CORNERS and self._heap:
            twice_mm2, k, age = heapq.heappop(self._heap)
            if age != self._age[k]:
                continue
            added_mm2 += twice_mm2 / 2.0
            if left <= most and added_mm2 > free_mm2:
                break
            self._leave_out(k)
            left -= 1
        start = next(k for k, age in enumerate(self._age) if age >= 0)
        found, k = [self._points[start]], self._after[start]
        while k != start:
            found.append(self._points[k])
            k = self._after[k]
        return found

    def _around(self, k: int) -> tuple[Point, Point, Point, Point]:
        b = self._before[k]
        n = self._after[k]
        return self._points[b], self._points[k], self._points[n], self._points[self._after[n]]

    def _push(self, k: int) -> None:
        """Offer to leave out corner k, if it is hollow, or else the side from it to the next corner."""
        before, here, after, beyond = self._around(k)
        bulge = _cross(before, here, after)
        if bulge <= 0.0:
            heapq.heappush(self._heap, (-bulge, k, self._age[k]))
            return
        met = self._met(k) if _cross(here, after, beyond) > 0.0 else None
        if met is not None:
            heapq.heappush(self._heap, (_cross(here, met, after), k, self._age[k]))

    def _met(self, k: int) -> Point | None:
        """Where the sides before and after the side from corner k meet when drawn on, if they do."""
        before, here, after, beyond = self._around(k)
        u = (here[0] - before[0], here[1] - before[1])
        v = (beyond[0] - after[0], beyond[1] - after[1])
        across = u[0] * v[1] - u[1] * v[0]
        gap = (after[0] - here[0], after[1] - here[1])
        along = gap[0] * v[1] - gap[1] * v[0]
        if across <= 0.0 or along <= 0.0:
            return None
        return here[0] + u[0] * along / across, here[1] + u[1] * along / across

    def _leave_out(self, k: int) -> None:
        before, here, after, _ = self._around(k)
        b, n = self._before[k], self._after[k]
        if _cross(before, here, after) > 0.0:
            met = self._met(k)
            self._points[n] = met if met is not None else self._points[n]
        self._after[b], self._before[n] = n, b
        self._age[k] = -1
        for one in (self._before[b], b, n):
            self._age[one] += 1
            self._push(one)
