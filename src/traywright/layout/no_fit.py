"""Each outline in each turn, and on a raster where no copy may stand by another."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry import MultiPoint, Polygon
from shapely.geometry.base import BaseGeometry

from traywright.base.tolerance import SAME_MM, SNAP_MM
from traywright.layout._kernels_maps import lifts, overlap_map
from traywright.layout.asked import LayoutAsked, Sides
from traywright.layout.coarse import coarser
from traywright.layout.offer import Placement
from traywright.layout.place import same_turn, snapped_mm
from traywright.layout.spacing_ring import spacing_ring

ROUND_CORNERS = 32
"""Corners of the ring that stands for a round spacing; sides along the axes are exact."""  # source: own trials
MOST_CORNERS = 160
"""Corners of an outline on the raster; one with more is drawn coarser, from outside."""  # source: own timing
SHRUNK_MM = SAME_MM / 2.0
"""What outlines are drawn smaller by on the raster, so that exact touching counts as free."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pose:
    """One kind in one turn, about the centre of its cell's bounding box at turn 0.

    ``from_centre_mm`` leads from that centre to where the outline's frame origin then stands.
    """

    kind: int
    turn_deg: float
    shape: Polygon
    from_centre_mm: tuple[float, float]


def poses_of(asked: LayoutAsked, turns_deg: Sequence[float], *, bodies: bool = False) -> tuple[Pose, ...]:
    """Each kind in each turn, kind by kind; as bodies alone where slots run through rows."""
    found = []
    for number, kind in enumerate(asked.kinds):
        cell = kind.body() if bodies else kind.cell()
        left, front, right, back = cell.bounds_mm
        middle = (snapped_mm((left + right) / 2.0), snapped_mm((front + back) / 2.0))
        shape = coarser(affinity.translate(cell.shape.geoms[0], -middle[0], -middle[1]), MOST_CORNERS)
        for turn in turns_deg:
            turned = affinity.rotate(shape, turn, origin=(0.0, 0.0))
            origin = affinity.rotate(shapely.Point(-middle[0], -middle[1]), turn, origin=(0.0, 0.0))
            # on the snap step, so that the rounding of a place moves no copy against another
            x, y = snapped_mm(origin.x), snapped_mm(origin.y)
            moved = affinity.translate(turned, x - origin.x, y - origin.y)
            found.append(Pose(kind=number, turn_deg=turn, shape=moved, from_centre_mm=(x, y)))
    return tuple(found)


def spacing_body(sides: Sides, turn_deg: float) -> BaseGeometry | None:
    """The convex area around a point that a spacing keeps free, never too small; nothing where no spacing is asked."""
    if max(sides.each_mm()) < SNAP_MM:
        return None
    hull = MultiPoint(spacing_ring(sides, ROUND_CORNERS)).convex_hull
    return affinity.rotate(hull, turn_deg, origin=(0.0, 0.0))


def grown(shape: Polygon, sides: Sides, turn_deg: float) -> BaseGeometry:
    """The outline with the spacing around it, smaller by ``SHRUNK_MM`` so that touching is free."""
    body = spacing_body(sides, turn_deg)
    if body is None:
        return _shrunk(shape)
    corners = shapely.get_coordinates(body)
    swept = [
        MultiPoint(np.vstack([start + corners, end + corners])).convex_hull
        for ring in (shape.exterior, *shape.interiors)
        for start, end in pairwise(np.array(ring.coords))
    ]
    return _shrunk(shapely.union_all([shape, *swept]))


def _shrunk(shape: BaseGeometry) -> BaseGeometry:
    # the library divides by zero at a corner without a turn and says so; what comes back is right
    with np.errstate(divide="ignore", invalid="ignore"):
        return shape.buffer(-SHRUNK_MM, join_style="mitre")


class Raster:
    """What the searches work on: the offsets forbidden to each two poses and the places each pose has, in steps.

    ``maps[a, b, i, j]`` is true if pose b at offset (i - half, j - half) from pose a stands too near. ``places[a]`` are
    first and last x, then first and last y, that the container leaves to pose a. ``ends[a]`` are where a pose's bare
    box ends, left, right, front, back of its centre. ``ground[a]`` is true at each of those places where pose a would
    stand too near to a region that nothing may enter; it is empty if there is no such region.

    Parameters
    ----------
    step_mm
        The raster's step.
    maps, places, ends, ground
        As told above.
    origin_mm
        Where place (0, 0) lies in the container.
    """

    __slots__ = ("_lift", "ends", "ground", "maps", "origin_mm", "places", "step_mm")

    def __init__(
        self,
        step_mm: float,
        maps: NDArray[np.bool_],
        places: NDArray[np.int64],
        ends: NDArray[np.float64],
        ground: tuple[NDArray[np.bool_], ...] = (),
        origin_mm: tuple[float, float] = (0.0, 0.0),
    ) -> None:
        self.step_mm, self.maps, self.places, self.ends, self.ground = step_mm, maps, places, ends, ground
        self.origin_mm = origin_mm
        self._lift: NDArray[np.int64] | None = None

    @property
    def half(self) -> int:
        """Steps of an offset either way."""
        return int(self.maps.shape[2] // 2)

    @property
    def lift(self) -> NDArray[np.int64]:
        """The lifts of each pose over each other."""
        if self._lift is None:
            size = range(self.maps.shape[0])
            self._lift = np.array([[lifts(self.maps[a, b]) for b in size] for a in size])
        return self._lift

    def across(self) -> Raster:
        """The same question with x and y changed over: its rows are columns here."""
        maps = np.ascontiguousarray(self.maps.transpose(0, 1, 3, 2))
        ground = tuple(np.ascontiguousarray(one.T) for one in self.ground)
        origin = (self.origin_mm[1], self.origin_mm[0])
        return Raster(self.step_mm, maps, self.places[:, [2, 3, 0, 1]], self.ends[:, [2, 3, 0, 1]], ground, origin)

    def narrowed(self, lowest: Sequence[int], highest: Sequence[int]) -> Raster:
        """The same question with places along y from and to a step of each pose's own at most."""
        places = self.places.copy()
        places[:, 2] = np.maximum(places[:, 2], lowest)
        places[:, 3] = np.minimum(places[:, 3], highest)
        cut = zip(self.places[:, 2].tolist(), places[:, 2:].tolist(), self.ground, strict=True) if self.ground else ()
        ground = tuple(one[:, low - first : max(low, high + 1) - first] for first, (low, high), one in cut)
        return Raster(self.step_mm, self.maps, places, self.ends, ground, self.origin_mm)

    def stands_free(self, pose: int, x: int, y: int) -> bool:
        """True if the pose keeps clear of every region that nothing may enter."""
        return not self.ground or not self.ground[pose][x - self.places[pose, 0], y - self.places[pose, 2]]


def raster_of(asked: LayoutAsked, poses: Sequence[Pose], step_mm: float) -> Raster:
    """The raster of a question at one step.

    Parameters
    ----------
    asked
        The question.
    poses
        The poses that take part.
    step_mm
        The raster's step, above 0.
    """
    bounds = np.array([one.shape.bounds for one in poses])
    widest = max(max(asked.spacing.beside(a.id, b.id).each_mm()) for a in asked.kinds for b in asked.kinds)
    half = math.ceil((2.0 * float(np.abs(bounds).max()) + widest) / step_mm) + 1
    maps = _Maps(asked, poses, step_mm, half)
    size = range(len(poses))
    # the first pose stands exactly at the rim: a container that just takes it is not lost between two steps
    rim = asked.spacing.rim_of(asked.kinds[poses[0].kind].id)
    origin = (rim.left_mm - float(bounds[0, 0]), rim.front_mm - float(bounds[0, 1]))
    origin = (snapped_mm(origin[0] % step_mm), snapped_mm(origin[1] % step_mm))
    return Raster(
        step_mm,
        np.array([[maps.between(a, b) for b in size] for a in size]),
        np.array([_places(asked, one, step_mm, origin) for one in poses]),
        bounds[:, [0, 2, 1, 3]],
        _ground(asked, poses, step_mm, origin),
        origin,
    )


def _ground(
    asked: LayoutAsked, poses: Sequence[Pose], step_mm: float, origin_mm: tuple[float, float]
) -> tuple[NDArray[np.bool_], ...]:
    """Of each pose's places those too near to a region that nothing may enter."""
    if not asked.container.no_go:
        return ()
    areas = [
        affinity.translate(grown(piece.shape.geoms[0], Sides.all_round(one.wall_mm), 0.0), -origin_mm[0], -origin_mm[1])
        for one in asked.container.no_go
        for piece in one.region.pieces()
    ]
    half = math.ceil(max(asked.container.width_mm, asked.container.depth_mm) / step_mm) + 1
    found = []
    for one in poses:
        x0, x1, y0, y1 = _places(asked, one, step_mm, origin_mm)
        marks = np.zeros((max(0, x1 - x0 + 1), max(0, y1 - y0 + 1)), dtype=np.bool_)
        for area in areas if marks.size else ():
            marks |= forbidden(area, one.shape, step_mm, half)[x0 + half : x1 + half + 1, y0 + half : y1 + half + 1]
        found.append(marks)
    return tuple(found)


def on_raster(asked: LayoutAsked, poses: Sequence[Pose], raster: Raster, copy: tuple[int, int, int]) -> Placement:
    """The placement of a copy given as pose, x and y in steps."""
    pose = poses[copy[0]]
    dx, dy = pose.from_centre_mm
    x_mm, y_mm = (at + one * raster.step_mm for at, one in zip(raster.origin_mm, copy[1:], strict=True))
    turn_deg = round(pose.turn_deg % 360.0, 6) + 0.0
    return Placement(asked.kinds[pose.kind].id, snapped_mm(x_mm + dx), snapped_mm(y_mm + dy), turn_deg)


def to_raster(asked: LayoutAsked, poses: Sequence[Pose], raster: Raster, placed: Placement) -> tuple[int, int, int]:
    """Pose and nearest x and y in steps of a placement."""
    number = next(
        k
        for k, one in enumerate(poses)
        if asked.kinds[one.kind].id == placed.kind and same_turn(one.turn_deg, placed.turn_deg)
    )
    dx, dy = poses[number].from_centre_mm
    x0, x1, y0, y1 = (int(one) for one in raster.places[number])
    left, front = raster.origin_mm
    x, y = round((placed.x_mm - dx - left) / raster.step_mm), round((placed.y_mm - dy - front) / raster.step_mm)
    return number, min(max(x, x0), x1), min(max(y, y0), y1)


def _places(
    asked: LayoutAsked, pose: Pose, step_mm: float, origin_mm: tuple[float, float]
) -> tuple[int, int, int, int]:
    """First and last x, first and last y of a pose within the rims, in steps from the raster's origin."""
    x, y = origin_mm
    rim = asked.spacing.rim_of(asked.kinds[pose.kind].id)
    left, front, right, back = pose.shape.bounds
    slack = SHRUNK_MM / step_mm
    return (
        math.ceil((rim.left_mm - left - x) / step_mm - slack),
        math.floor((asked.container.width_mm - rim.right_mm - right - x) / step_mm + slack),
        math.ceil((rim.front_mm - front - y) / step_mm - slack),
        math.floor((asked.container.depth_mm - rim.back_mm - back - y) / step_mm + slack),
    )


class _Maps:
    """Overlap maps of one raster; what a quarter turn or a change of sides makes of another map is not made anew."""

    __slots__ = ("_asked", "_found", "_grown", "_half", "_poses", "_step_mm")

    def __init__(self, asked: LayoutAsked, poses: Sequence[Pose], step_mm: float, half: int) -> None:
        self._asked, self._poses, self._step_mm, self._half = asked, poses, step_mm, half
        self._found: dict[tuple[int, int, float, float], NDArray[np.bool_]] = {}
        self._grown: dict[tuple[int, Sides], BaseGeometry] = {}

    def between(self, a: int, b: int) -> NDArray[np.bool_]:
        """Where pose b may not stand by pose a."""
        here, there = self._poses[a], self._poses[b]
        turn, apart = here.turn_deg % 360.0, (there.turn_deg - here.turn_deg) % 360.0
        for quarters in range(4):
            same = self._found.get((here.kind, there.kind, (turn - 90.0 * quarters) % 360.0, apart))
            if same is not None:
                return np.rot90(same, quarters)
            seen = ((there.turn_deg - 90.0 * quarters) % 360.0, -apart % 360.0)
            back = self._found.get((there.kind, here.kind, *seen))
            if back is not None:
                return np.rot90(back, quarters)[::-1, ::-1]
        made = self._made(a, b)
        self._found[here.kind, there.kind, turn, apart] = made
        return made

    def _made(self, a: int, b: int) -> NDArray[np.bool_]:
        ids = [self._asked.kinds[self._poses[one].kind].id for one in (a, b)]
        forth, back = self._asked.spacing.beside(*ids), self._asked.spacing.beside(*ids[::-1])
        marks = self._marks(a, b, forth)
        if not (forth.alike and back == forth):
            marks = marks | self._marks(b, a, back)[::-1, ::-1]
        return marks

    def _marks(self, a: int, b: int, sides: Sides) -> NDArray[np.bool_]:
        if (a, sides) not in self._grown:
            self._grown[a, sides] = grown(self._poses[a].shape, sides, self._poses[a].turn_deg)
        return forbidden(self._grown[a, sides], self._poses[b].shape, self._step_mm, self._half)


def forbidden(area: BaseGeometry, shape: Polygon, step_mm: float, half: int) -> NDArray[np.bool_]:
    """The offsets, in steps from -half to half along x and y, at which a shape meets an area."""
    there = np.array(shape.exterior.coords)[:-1]
    rings = [
        np.array(ring.coords)
        for piece in shapely.get_parts(area).tolist()
        for ring in (piece.exterior, *piece.interiors)
    ]
    sides = np.vstack([np.hstack([one[:-1], one[1:]]) for one in rings])
    return overlap_map(sides, np.array([one[0] for one in rings]), there, step_mm, half)
