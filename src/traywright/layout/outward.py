"""An outline of fewer corners that holds the one given."""

from __future__ import annotations

import heapq
import math

import shapely
from shapely.geometry import Polygon

CORNERS_MOST = 120
"""Corners of an outline that is laid out in lattices."""  # source: own timing
AREA_RATIO = 0.0002
"""Area that may be added below that count, as a share."""  # source: a fifth of what a lattice is held to

Corner = tuple[float, float]


def _cross(a: Corner, b: Corner, c: Corner) -> float:
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])


def _meeting(a: Corner, b: Corner, c: Corner, d: Corner) -> Corner | None:
    """Where a to b, run on, meets d to c, run on; nothing if they run apart."""
    cross = (b[0] - a[0]) * (d[1] - c[1]) - (b[1] - a[1]) * (d[0] - c[0])
    if cross <= 0.0:
        return None
    share = ((c[0] - b[0]) * (d[1] - c[1]) - (c[1] - b[1]) * (d[0] - c[0])) / cross
    return (b[0] + share * (b[0] - a[0]), b[1] + share * (b[1] - a[1]))


class _Ring:
    """A ring, its area to the left, that loses corners at the least cost of area."""

    def __init__(self, corners: list[Corner]) -> None:
        n = len(corners)
        self.at = corners
        self.after = [(i + 1) % n for i in range(n)]
        self.before = [(i - 1) % n for i in range(n)]
        self.age = [0] * n
        self.count = n
        self.queue: list[tuple[float, int, int, Corner | None]] = []
        for i in range(n):
            self._offer(i)

    def _offer(self, i: int) -> None:
        """Queue the loss of corner i (an inner one) or of the edge from i on (between two outer ones)."""
        h, j = self.before[i], self.after[i]
        a, b, c, d = self.at[h], self.at[i], self.at[j], self.at[self.after[j]]
        if _cross(a, b, c) <= 0.0:
            heapq.heappush(self.queue, (-_cross(a, b, c) / 2.0, i, self.age[i], None))
        elif _cross(b, c, d) > 0.0:
            tip = _meeting(a, b, c, d)
            if tip is not None:
                heapq.heappush(self.queue, (abs(_cross(b, tip, c)) / 2.0, i, self.age[i], tip))

    def _renew(self, i: int) -> None:
        for one in (self.before[self.before[i]], self.before[i], i, self.after[i]):
            self.age[one] += 1
            self._offer(one)

    def _drop(self, i: int) -> None:
        self.age[i] = -1
        self.after[self.before[i]], self.before[self.after[i]] = self.after[i], self.before[i]
        self.count -= 1

    def lose(self, corners_most: int, area_mm2: float) -> None:
        """Lose corners until so few are left, and on while all losses together add no more than this area."""
        added = 0.0
        while self.queue and self.count > 4:
            cost, i, age, tip = heapq.heappop(self.queue)
            if age != self.age[i]:
                continue
            added += cost
            if self.count <= corners_most and added > area_mm2:
                return
            if tip is None:
                self._drop(i)
                self._renew(self.before[i])
            else:
                self._drop(self.after[i])
                self.at[i] = tip
                self._renew(i)

    def left(self) -> list[Corner]:
        start = next(i for i in range(len(self.at)) if self.age[i] >= 0)
        found, i = [self.at[start]], self.after[start]
        while i != start:
            found.append(self.at[i])
            i = self.after[i]
        return found


def outward(outline: Polygon, corners_most: int = CORNERS_MOST, added_ratio: float = AREA_RATIO) -> Polygon:
    """An outline of fewer corners that holds the one given; holes are filled.

    Parameters
    ----------
    outline
        One polygon.
    corners_most
        Corners wanted at most; reached unless the simpler outline would cross itself.
    added_ratio
        Share of the area that may be added while fewer corners are there already.
    """
    solid = shapely.geometry.polygon.orient(Polygon(outline.exterior), 1.0)
    corners = [(float(x), float(y)) for x, y in solid.exterior.coords[:-1]]
    ring = _Ring(corners)
    ring.lose(corners_most, added_ratio * float(solid.area))
    simpler = Polygon(ring.left())
    if not simpler.is_valid or not math.isfinite(simpler.area):
        return outward(solid, corners_most, added_ratio / 8.0) if _few(solid, corners_most, added_ratio) else solid
    if simpler.difference(solid).area + solid.area > simpler.area + solid.area * added_ratio / 8.0:
        return solid
    return simpler


def _few(solid: Polygon, corners_most: int, added_ratio: float) -> bool:
    """True if another try with less area added can help."""
    return len(solid.exterior.coords) <= corners_most and added_ratio > AREA_RATIO / 100.0
