"""How far apart any two copies stand, and whether that is what each asks for towards the other."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from traywright.base.tolerance import SAME_MM, SNAP_MM
from traywright.layout.asked import LayoutAsked, Sides
from traywright.layout.gauge import NOTHING, Gauged, gauge_ratio

REACH_MM = 1.0
"""Distance up to which neighbours are looked for at first, where no wall asks for more."""  # source: own timing
MOST_CORNER_PAIRS = 4_000_000
"""Corners times corners up to which all are held against all."""  # source: own timing
SOME_CORNERS = 500
"""Corners that give a first distance."""  # source: own timing
KEY_DIGITS = 6
"""Two pairs that stand alike to this many digits of a millimetre are measured once."""


class Fault(NamedTuple):
    """One thing that a layout does not keep: ``pair``, ``rim``, ``no-go``, ``slot``, ``turn`` or ``kit``.

    ``here`` and ``there`` are numbers of placements; slots count on after them; for a ``no-go`` ``there`` is the
    number of the region, for a ``rim`` 0 to 3 is left, front, right, back; -1 where there is none. The lengths are
    what ``here`` asks for towards ``there`` where it is missed most, and what is there: below zero if the two share
    area, by how thick that is. Both are 0 for ``turn`` and ``kit``.
    """

    kind: str
    here: int
    there: int
    needed_mm: float
    actual_mm: float


class Standing(NamedTuple):
    """A bare outline as it stands, with its number, its kind, its turn and where its frame origin lies."""

    number: int
    kind: str
    turn_deg: float
    at_mm: tuple[float, float]
    shape: BaseGeometry


class Missed(NamedTuple):
    """A need that is not kept, from the first towards the second or back; what is needed and what is there."""

    forward: bool
    needed_mm: float
    actual_mm: float


class Between(NamedTuple):
    """The distance of two that stand; what is there beyond what is needed; and the needs that are missed."""

    apart_mm: float
    spare_mm: float
    missed_mm: tuple[Missed, ...]


class Apart(NamedTuple):
    """The faults of all pairs, the least distance of any two, and the least spare of any two."""

    faults: tuple[Fault, ...]
    least_mm: float
    spare_mm: float


def turned(points: NDArray[np.float64], turn_deg: float) -> NDArray[np.float64]:
    """Points turned counter-clockwise about the origin, quarter turns exactly."""
    quarter, rest = divmod(turn_deg, 90.0)
    angle = math.radians(rest)
    cos, sin = math.cos(angle), math.sin(angle)
    for _ in range(int(quarter) % 4):
        cos, sin = -sin, cos
    return np.asarray(points @ np.array([[cos, sin], [-sin, cos]]))


def shared_mm(here: BaseGeometry, there: BaseGeometry) -> float:
    """How thick the area is that two shapes share; 0 if they only touch, or overlap by the tolerance."""
    if not here.intersects(there) or not _inner(here).intersects(there):
        return 0.0
    both = here.intersection(there)
    return max(SNAP_MM, 2.0 * float(both.area) / float(both.length))


def _inner(shape: BaseGeometry) -> BaseGeometry:
    """A shape without its outer half snap step; the shape itself if nothing else is left."""
    inner = shape.buffer(-SAME_MM, join_style="mitre")
    return shape if inner.is_empty else inner


def between(asked: LayoutAsked, here: Standing, there: Standing, within_mm: float = math.inf) -> Between:
    """What stands between two, by what each asks for towards the other.

    Where sides differ the distance itself is told only if it is within a limit, else it is infinite: it is slow.
    """
    needs = (asked.spacing.beside(here.kind, there.kind), asked.spacing.beside(there.kind, here.kind))
    alike = needs[0].alike and needs[1].alike
    told_apart = alike or math.isinf(within_mm) or shapely.dwithin(here.shape, there.shape, within_mm)
    apart = distance_mm(here.shape, there.shape) if told_apart else math.inf
    shared = shared_mm(here.shape, there.shape) if apart <= 0.0 else 0.0
    if shared:
        widest = max(max(one.each_mm()) for one in needs)
        return Between(apart, -shared - widest, (Missed(forward=True, needed_mm=widest, actual_mm=-shared),))
    if alike:
        first = needs[0].right_mm >= needs[1].right_mm
        told = [(first, *_evenly(max(one.right_mm for one in needs), apart))]
    else:
        told = [(True, *_kept(here, there, needs[0], apart)), (False, *_kept(there, here, needs[1], apart))]
    missed = tuple(Missed(first, needed, actual) for first, needed, actual, holds in told if not holds)
    return Between(apart, min(actual - needed for _, needed, actual, _ in told), missed)


def distance_mm(here: BaseGeometry, there: BaseGeometry) -> float:
    """The distance of two shapes; of shapes with very many corners by a tree of their sides."""
    if int(shapely.get_num_coordinates(here)) * int(shapely.get_num_coordinates(there)) <= MOST_CORNER_PAIRS:
        return float(here.distance(there))
    if here.intersects(there):
        return 0.0
    return min(_nearest_mm(here, there), _nearest_mm(there, here))


def _nearest_mm(here: BaseGeometry, there: BaseGeometry) -> float:
    """The least distance of a corner of one shape from the sides of another."""
    corners = shapely.get_coordinates(here)
    rings = shapely.get_rings(shapely.get_parts(there))
    ends = [shapely.get_coordinates(one) for one in rings]
    sides = np.concatenate([np.asarray(shapely.linestrings(np.stack([one[:-1], one[1:]], axis=1))) for one in ends])
    tree = shapely.STRtree(sides)
    some = shapely.points(corners[:: max(1, len(corners) // SOME_CORNERS)])
    first = float(tree.query_nearest(some, return_distance=True, all_matches=False)[1].min())
    near = shapely.box(*there.bounds).buffer(first, join_style="mitre")
    left, front, right, back = near.bounds
    x, y = corners[:, 0], corners[:, 1]
    kept = corners[(x >= left) & (x <= right) & (y >= front) & (y <= back)]
    return min(
        first,
        float(tree.query_nearest(shapely.points(kept), return_distance=True, all_matches=False)[1].min(initial=first)),
    )


def _evenly(needed_mm: float, apart_mm: float) -> tuple[float, float, bool]:
    return needed_mm, apart_mm, apart_mm >= needed_mm - SAME_MM


def _kept(own: Standing, other: Standing, sides: Sides, apart_mm: float) -> tuple[float, float, bool]:
    """What is needed where it is kept least, what is there, and whether it is enough."""
    if min(sides.each_mm()) <= SAME_MM:
        # beside a side without spacing they may touch: what then holds is told by the outline half a snap step inside
        found = _least_gauge(_inner(own.shape), other.shape, sides, own.turn_deg)
    elif apart_mm <= 0.0:
        return min(sides.each_mm()), 0.0, False
    else:
        found = _least_gauge(own.shape, other.shape, _less(sides), own.turn_deg)
    if math.isinf(found.ratio):
        return 0.0, math.inf, True
    length = math.hypot(found.x_mm, found.y_mm)
    needed = length / found.ratio + (SAME_MM if min(sides.each_mm()) > SAME_MM else 0.0)
    return needed, length, found.ratio >= 1.0


def _less(sides: Sides) -> Sides:
    right, back, left, front = (one - SAME_MM for one in sides.each_mm())
    return Sides(right_mm=right, back_mm=back, left_mm=left, front_mm=front)


def _least_gauge(own: BaseGeometry, other: BaseGeometry, sides: Sides, turn_deg: float) -> Gauged:
    """The least gauge of any two pieces, in the frame of the first."""
    rings = [
        [turned(shapely.get_coordinates(one.exterior)[:-1], -turn_deg) for one in shapely.get_parts(shape)]
        for shape in (own, other)
    ]
    return min((gauge_ratio(here, there, sides) for here in rings[0] for there in rings[1]), default=NOTHING)


class _Search:
    """Measures pairs and keeps the least of what it found; pairs that stand alike are measured once."""

    __slots__ = ("_asked", "_known", "_seen", "_stands", "faults", "least_mm", "spare_mm", "widest_mm")

    def __init__(self, asked: LayoutAsked, stands: Sequence[Standing]) -> None:
        walls = (asked.spacing.wall, *(one.wall for one in asked.spacing.pairs))
        self._asked, self._stands = asked, stands
        self._known: dict[tuple[str, float, str, float, float, float], Between] = {}
        self._seen: set[tuple[int, int]] = set()
        self.widest_mm = max(side for wall in walls for side in wall.each_mm())
        self.least_mm = self.spare_mm = math.inf
        self.faults: list[Fault] = []
        shapely.prepare([one.shape for one in stands])

    @property
    def wanted_mm(self) -> float:
        """Distance from which on no pair can fail, stand nearer or have less to spare."""
        return max(self.least_mm, self.widest_mm + max(SNAP_MM, min(self.spare_mm, self.least_mm)))

    def look(self, first: int, second: int, gap_mm: float) -> None:
        """Take a pair into account, unless its boxes or the two themselves stand too far apart to matter."""
        if gap_mm > self.wanted_mm or (first, second) in self._seen:
            return
        self._seen.add((first, second))
        here, there = self._stands[first], self._stands[second]
        if math.isfinite(self.wanted_mm) and not shapely.dwithin(here.shape, there.shape, self.wanted_mm):
            return
        found = self._between(here, there)
        self.least_mm = min(self.least_mm, found.apart_mm)
        self.spare_mm = min(self.spare_mm, found.spare_mm)
        for forward, needed, actual in found.missed_mm:
            numbers = (here.number, there.number) if forward else (there.number, here.number)
            self.faults.append(Fault("pair", *numbers, needed, actual))

    def _between(self, here: Standing, there: Standing) -> Between:
        x, y = (there.at_mm[k] - here.at_mm[k] for k in (0, 1))
        key = (here.kind, here.turn_deg, there.kind, there.turn_deg, round(x, KEY_DIGITS), round(y, KEY_DIGITS))
        if key not in self._known:
            self._known[key] = between(self._asked, here, there, self.least_mm)
        return self._known[key]


def distances(asked: LayoutAsked, stands: Sequence[Standing]) -> Apart:
    """The faults, the least distance and the least spare of all pairs.

    Notes
    -----
    Pairs are taken by the distance of their boxes, within a reach that grows until no pair farther off can fail, stand
    nearer or have less to spare than what was found.
    """
    search = _Search(asked, stands)
    if len(stands) < 2:
        return Apart((), math.inf, math.inf)
    boxes = np.array([shapely.box(*one.shape.bounds) for one in stands])
    left, front, right, back = shapely.total_bounds(boxes).tolist()
    whole = math.hypot(right - left, back - front)
    tree, reach = shapely.STRtree(boxes), max(REACH_MM, search.widest_mm + SNAP_MM)
    while True:
        first, second = tree.query(boxes, predicate="dwithin", distance=reach)
        once = first < second
        first, second = first[once], second[once]
        gaps = shapely.distance(boxes[first], boxes[second])
        for k in np.lexsort((second, first, gaps)).tolist():
            search.look(int(first[k]), int(second[k]), float(gaps[k]))
        if reach >= min(search.wanted_mm, whole):
            break
        reach = min(search.wanted_mm, max(2.0 * reach, REACH_MM))
    return Apart(tuple(sorted(search.faults)), search.least_mm, search.spare_mm)
