"""From a layout that nearly stands to one that does, by no-fit regions: unequal sides and no-go regions included."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from traywright.base.tolerance import SAME_MM, SNAP_MM
from traywright.geometry import Region
from traywright.layout.asked import LayoutAsked
from traywright.layout.check import check_layout
from traywright.layout.no_fit_polygon import NODE_MM, Cell, minkowski_sum, no_fit_region
from traywright.layout.offer import Placement

Points = NDArray[np.float64]

MOVE_MM = 2.0
"""Farthest that a copy moves along x or y in one program."""  # source: own trials
RESERVE_MM = 1.5 * SNAP_MM
"""Wished for beyond the spacing: rounding two places takes at most 1.42 snap steps off a distance."""
RESERVE_COST, MOVE_COST = 0.02, 0.001
"""Cost of a reserve that is not kept and of a way moved, against one of spacing that is missing."""  # source: ours
ROUNDS = 20
"""Programs solved before a layout is given up."""  # source: own trials
PATIENCE = 4
"""Programs without gain before a layout is given up."""  # source: own trials
PLANES_MOST = 12
"""Conditions between two copies in one program."""  # source: own trials


class _Border(NamedTuple):
    """The edge of a no-fit region: edges with the region on their left, and the way out of each."""

    region: BaseGeometry
    starts: Points
    ends: Points
    out: Points


class _Plane(NamedTuple):
    """The offset, or place, must lie beyond a line: so far along a direction."""

    x_ratio: float
    y_ratio: float
    far_mm: float


class _Terms(NamedTuple):
    """Conditions of one pair, or of one copy and what it must not enter (``here`` is -1)."""

    here: int
    there: int
    planes: tuple[_Plane, ...]


class Settle:
    """Layouts of one question brought to stand; what is worked out for its pairs is kept from layout to layout.

    Parameters
    ----------
    asked
        The question.
    """

    __slots__ = ("_asked", "_table")

    def __init__(self, asked: LayoutAsked) -> None:
        self._asked, self._table = asked, _Table(asked)

    def settled(self, placements: Sequence[Placement], *, rounds: int = ROUNDS) -> tuple[Placement, ...]:
        """The copies moved, none turned, until all stand apart; empty if they do not come to it.

        Parameters
        ----------
        placements
            Copies that nearly stand.
        rounds
            Linear programs at most.

        Notes
        -----
        Two copies stand apart where their offset lies outside their no-fit region. Around the present offset, or the
        free one nearest to it, a convex piece of the free offsets is cut out: half-planes along the nearest edges until
        no part of the region is left within reach. A linear program moves all copies at once, each a short way, so that
        as little as can be is missing; then the pieces are cut out anew. A reserve for rounding is given up before
        spacing.

        References
        ----------
        Li & Milenkovic 1995, *Compaction and separation algorithms for non-convex polygons and their applications*,
        European Journal of Operational Research 84 (from memory).
        """
        low, high = self._table.rooms(placements)
        if len(placements) == 0 or bool((low > high).any()):
            return ()
        spots = np.clip(np.array([(one.x_mm, one.y_mm) for one in placements]), low, high)
        least, stale = math.inf, 0
        for _ in range(rounds):
            told = _solved(list(self._table.terms(placements, spots)), spots, low, high)
            if told is None:
                return ()
            spots, missing = told
            if missing <= SAME_MM:
                found = _snapped(placements, spots, low, high)
                if not any(one.kind in {"pair", "rim", "no-go"} for one in check_layout(self._asked, found).faults):
                    return found
            stale = 0 if missing < least - SAME_MM else stale + 1
            least = min(least, missing)
            if stale >= PATIENCE:
                return ()
        return ()


def _snapped(placements: Sequence[Placement], spots: Points, low: Points, high: Points) -> tuple[Placement, ...]:
    rounded = np.clip(np.round(spots / SNAP_MM), np.ceil(low / SNAP_MM - SAME_MM), np.floor(high / SNAP_MM + SAME_MM))
    places = np.round(rounded * SNAP_MM, 6) + 0.0
    return tuple(
        one._replace(x_mm=float(x), y_mm=float(y)) for one, (x, y) in zip(placements, places.tolist(), strict=True)
    )


class _Table:
    """No-fit regions of one layout's pairs, each worked out once."""

    __slots__ = ("_asked", "_borders")

    def __init__(self, asked: LayoutAsked) -> None:
        self._asked = asked
        self._borders: dict[tuple[str, str, float, float], _Border] = {}

    def rooms(self, placements: Sequence[Placement]) -> tuple[Points, Points]:
        """Least and most x and y of each copy by the rims."""
        container, low, high = self._asked.container, [], []
        for one in placements:
            rim = self._asked.spacing.rim_of(one.kind)
            left, front, right, back = self._outline(one).bounds
            low.append((rim.left_mm - left, rim.front_mm - front))
            high.append((container.width_mm - rim.right_mm - right, container.depth_mm - rim.back_mm - back))
        least, most = np.array(low).reshape(-1, 2), np.array(high).reshape(-1, 2)
        middle = (least + most) / 2.0  # a room that is short by rounding only is a point
        short = (least > most) & (least < most + SAME_MM)
        return np.where(short, middle, least), np.where(short, middle, most)

    def terms(self, placements: Sequence[Placement], spots: Points) -> Iterator[_Terms]:
        """Conditions of all pairs, and of all copies and no-go regions, that come near within one move."""
        from scipy.spatial import cKDTree  # noqa: PLC0415  # reason: heavy, waits until a layout is settled

        corners = [shapely.get_coordinates(self._outline(one)) for one in placements]
        widest = max(float(np.hypot(*one.T).max()) for one in corners)
        spaces = [self._asked.spacing.wall, *(one.wall for one in self._asked.spacing.pairs)]
        reach = 2.0 * widest + max(max(one.each_mm()) for one in spaces) + 3.0 * MOVE_MM
        for here, there in sorted(cKDTree(spots).query_pairs(reach)):
            border = self._between(placements[here], placements[there])
            planes = _free_planes(border, spots[there] - spots[here], 2.0 * MOVE_MM)
            if planes:
                yield _Terms(here, there, planes)
        for number in range(len(self._asked.container.no_go)):
            for copy, one in enumerate(placements):
                planes = _free_planes(self._beside(number, one), spots[copy], MOVE_MM)
                if planes:
                    yield _Terms(-1, copy, planes)

    def _outline(self, one: Placement, more_deg: float = 0.0) -> Polygon:
        cell = Polygon(self._asked.kind(one.kind).cell().shape.geoms[0].exterior)
        return affinity.rotate(cell, one.turn_deg + more_deg, origin=(0.0, 0.0))

    def _between(self, own: Placement, other: Placement) -> _Border:
        """No-fit edge of a pair; turning both turns it, and the other way round it is turned over."""
        turn = (other.turn_deg - own.turn_deg) % 360.0
        key = (own.kind, other.kind, own.turn_deg, other.turn_deg)
        base = (own.kind, other.kind, 0.0, turn)
        back = (other.kind, own.kind, 0.0, -turn % 360.0)
        if key not in self._borders:
            if base not in self._borders and back in self._borders:
                self._borders[base] = _moved_border(self._borders[back], 180.0 - own.turn_deg + other.turn_deg)
            elif base not in self._borders:
                self._borders[base] = _border(self._region(own.kind, other.kind, turn))
            self._borders[key] = _moved_border(self._borders[base], own.turn_deg)
        return self._borders[key]

    def _region(self, own: str, other: str, turn_deg: float) -> Region:
        spacing = self._asked.spacing
        walls = spacing.beside(own, other), spacing.beside(other, own)
        if walls[0].alike and walls[1].alike:
            walls = (max(walls, key=lambda one: one.left_mm),) * 2
        cells = [self._asked.kind(one).cell().shape.geoms[0] for one in (own, other)]
        return no_fit_region(Cell(cells[0], 0.0, walls[0]), Cell(cells[1], turn_deg, walls[1]))

    def _beside(self, number: int, one: Placement) -> _Border:
        key = (one.kind, "", one.turn_deg, float(number))
        if key not in self._borders:
            no_go = self._asked.container.no_go[number]
            near = Region.near(no_go.region.shape, no_go.wall_mm).shape
            self._borders[key] = _border(Region(minkowski_sum(near, self._outline(one, 180.0))))
        return self._borders[key]


def _moved_border(border: _Border, turn_deg: float) -> _Border:
    return _border(Region(border.region).turned(turn_deg))


def _border(region: Region) -> _Border:
    starts, ends = [], []
    for shell, holes in region.rings():
        for ring in (shell, *holes):
            points = np.array(ring)
            starts.append(points)
            ends.append(np.roll(points, -1, axis=0))
    first, last = np.concatenate(starts), np.concatenate(ends)
    way = (last - first) / np.maximum(np.hypot(*(last - first).T), NODE_MM)[:, None]
    shape = region.shape
    shapely.prepare(shape)
    return _Border(shape, first, last, np.column_stack([way[:, 1], -way[:, 0]]))


def _nearest(point: Points, starts: Points, ends: Points) -> tuple[Points, Points]:
    """The nearest point of each line to a point, and how far it is."""
    along = ends - starts
    share = ((point - starts) * along).sum(1) / np.maximum((along * along).sum(1), NODE_MM * NODE_MM)
    near = starts + np.clip(share, 0.0, 1.0)[:, None] * along
    return near, np.hypot(*(near - point).T)


def _free_planes(border: _Border, at: Points, reach_mm: float) -> tuple[_Plane, ...]:
    """Half-planes whose common part, within reach, holds no point of the region; none if the region is out of reach."""
    near, far = _nearest(at, border.starts, border.ends)
    inside = bool(shapely.contains_xy(border.region, at[0], at[1]))
    if not inside and far.min() > math.sqrt(2.0) * reach_mm:
        return ()
    planes, middle = [], at
    if inside:
        first = int(far.argmin())
        planes.append(_plane(border.out[first], near[first]))
        middle = near[first] + SNAP_MM * border.out[first]
    ways = np.array([(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)])
    box = [_Plane(float(x), float(y), float(x * at[0] + y * at[1]) - reach_mm) for x, y in ways]
    close = far < math.sqrt(2.0) * reach_mm + NODE_MM
    left = border.starts[close], border.ends[close], border.out[close]
    for one in (*box, *planes):
        left = _beyond(left, one)
    while len(left[0]) and len(planes) < PLANES_MOST:
        spots, ways_off = _nearest(middle, left[0], left[1])
        best = int(ways_off.argmin())
        off = float(ways_off[best])
        planes.append(_plane((middle - spots[best]) / off if off > SNAP_MM else left[2][best], spots[best]))
        left = _beyond(left, planes[-1])
    return tuple(planes)


def _plane(way: Points, through: Points) -> _Plane:
    return _Plane(float(way[0]), float(way[1]), float(way @ through))


def _beyond(lines: tuple[Points, Points, Points], plane: _Plane) -> tuple[Points, Points, Points]:
    """What of each line lies beyond a half-plane's edge."""
    starts, ends, out = lines
    way = np.array([plane.x_ratio, plane.y_ratio])
    first, last = starts @ way - plane.far_mm, ends @ way - plane.far_mm
    keep = np.maximum(first, last) > SNAP_MM
    starts, ends, out, first, last = starts[keep], ends[keep], out[keep], first[keep], last[keep]
    cut = np.clip(first / np.where(np.abs(first - last) < NODE_MM, 1.0, first - last), 0.0, 1.0)[:, None]
    crossing = starts + cut * (ends - starts)
    return np.where(first[:, None] < 0.0, crossing, starts), np.where(last[:, None] < 0.0, crossing, ends), out


def _solved(terms: Sequence[_Terms], spots: Points, low: Points, high: Points) -> tuple[Points, float] | None:
    """The copies moved, and the sum of what is missing afterwards."""
    from scipy.optimize import linprog  # noqa: PLC0415  # reason: heavy, waits until a layout is settled
    from scipy.sparse import coo_array  # noqa: PLC0415

    moves, pairs = spots.size, len(terms)
    rows, limits = _conditions(terms, spots)
    row, column, value = zip(*rows, strict=True)
    flat, least, most = spots.ravel(), low.ravel(), high.ravel()
    bounds = np.zeros((2 * moves + 2 * pairs, 2))
    bounds[:moves] = np.column_stack([np.maximum(least - flat, -MOVE_MM), np.minimum(most - flat, MOVE_MM)])
    bounds[moves:, 1] = np.repeat([np.inf, RESERVE_MM, np.inf], [moves, pairs, pairs])
    cost = np.repeat([0.0, MOVE_COST, RESERVE_COST, 1.0], [moves, moves, pairs, pairs])
    matrix = coo_array((value, (row, column)), shape=(len(limits), len(cost))).tocsr()
    told = linprog(cost, A_ub=matrix, b_ub=np.array(limits), bounds=bounds, method="highs-ds")
    if told.status != 0:
        return None
    moved = np.clip(flat + told.x[:moves], least, most)
    return moved.reshape(-1, 2), float(told.x[2 * moves + pairs :].sum())


def _conditions(terms: Sequence[_Terms], spots: Points) -> tuple[list[tuple[int, int, float]], list[float]]:
    """Entries of the program and its limits; columns: moves, ways moved, reserves not kept, spacing missing."""
    moves, pairs = spots.size, len(terms)
    rows: list[tuple[int, int, float]] = []
    limits: list[float] = []
    for number, one in enumerate(terms):
        offset = spots[one.there] - (spots[one.here] if one.here >= 0 else 0.0)
        for plane in one.planes:
            row, ratios = len(limits), (plane.x_ratio, plane.y_ratio)
            rows += [(row, 2 * one.there + axis, -ratio) for axis, ratio in enumerate(ratios)]
            if one.here >= 0:
                rows += [(row, 2 * one.here + axis, ratio) for axis, ratio in enumerate(ratios)]
            rows += [(row, 2 * moves + number, -1.0), (row, 2 * moves + pairs + number, -1.0)]
            limits.append(float(np.array(ratios) @ offset) - plane.far_mm - RESERVE_MM)
    for move in range(moves):  # the way moved is at least the move, forward and back
        for sign in (1.0, -1.0):
            rows += [(len(limits), move, sign), (len(limits), moves + move, -1.0)]
            limits.append(0.0)
    return rows, limits
