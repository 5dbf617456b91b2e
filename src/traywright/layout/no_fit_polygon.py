"""Where one cell must not stand beside another: exact regions of offsets, pockets that a cell could sit in included."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from traywright.base.tolerance import ARC_CHORD_MM, SAME_MM, SNAP_MM
from traywright.geometry import Region
from traywright.layout.asked import Sides
from traywright.layout.coarse import coarser
from traywright.layout.spacing_ring import spacing_ring

Points = NDArray[np.float64]

NODE_MM = SNAP_MM / 20.0
"""Step on which crossing lines are joined: far below the snap step."""
SIDES_LEAST, SIDES_MOST = 32, 128
"""Sides of the polygon that stands for a spacing; a multiple of four, so that four of them lie along the axes."""
MOST_CORNERS = 200
"""Corners of an outline; one with more is drawn coarser, from outside."""  # source: own timing


class Cell(NamedTuple):
    """An outline at a turn about its own frame origin, and the spacing that it asks for by its own sides."""

    outline: Polygon
    turn_deg: float
    wall: Sides


def spacing_body(wall: Sides, turn_deg: float = 0.0) -> Polygon:
    """The spacing around a point as a polygon that is nowhere too thin, turned with its frame.

    Notes
    -----
    Four quarters of ellipses with the two spacings as half axes, each between tangents: along the four axes of the
    frame the polygon is exact, elsewhere it lies at most about ``ARC_CHORD_MM`` outside. Spacings of zero collapse it.

    Examples
    --------
    >>> body = spacing_body(Sides.all_round(8.0))
    >>> body.bounds
    (-8.0, -8.0, 8.0, 8.0)
    """
    right, back, left, front = (max(one, NODE_MM) for one in wall.each_mm())
    widest = max(right, back, left, front)
    wanted = math.pi / math.acos(1.0 / (1.0 + ARC_CHORD_MM / max(widest, ARC_CHORD_MM)))
    sides = min(SIDES_MOST, max(SIDES_LEAST, 4 * math.ceil(wanted / 4.0)))
    body = spacing_ring(Sides(right_mm=right, back_mm=back, left_mm=left, front_mm=front), sides)
    return affinity.rotate(Polygon(np.round(body / NODE_MM) * NODE_MM), turn_deg, origin=(0.0, 0.0))


def grown_cell(cell: Cell) -> Region:
    """The cell at its turn with the spacing that it asks for, in which no outline of another may lie.

    Examples
    --------
    >>> square = Polygon([(0, 0), (10, 0), (10, 10), (0, 10)])
    >>> walls = Sides(right_mm=5, back_mm=4, left_mm=3, front_mm=2)
    >>> grown_cell(Cell(outline=square, turn_deg=90.0, wall=walls)).bounds_mm
    (-14.0, -3.0, 2.0, 15.0)
    """
    return Region(_grown(_turned(cell), cell))


def no_fit_region(here: Cell, there: Cell) -> Region:
    """Offsets of ``there``'s origin from ``here``'s at which the two stand too near; its edge is free.

    Notes
    -----
    ``here`` grown by its spacing, plus ``there`` turned over; united with ``here`` plus ``there`` grown and turned
    over. A pocket of ``here`` into which ``there`` goes is a hole of the region. Holes of outlines count as filled; an
    outline of many corners is drawn coarser from outside.
    """
    own, other = _turned(here), affinity.scale(_turned(there), -1.0, -1.0, origin=(0.0, 0.0))
    found = minkowski_sum(_grown(own, here), other)
    if here.wall.alike and there.wall.alike and abs(here.wall.left_mm - there.wall.left_mm) < SAME_MM:
        return Region(found)
    grown = affinity.scale(_grown(_turned(there), there), -1.0, -1.0, origin=(0.0, 0.0))
    return Region(shapely.union_all([found, minkowski_sum(own, grown)], grid_size=NODE_MM))


def minkowski_sum(one: BaseGeometry, other: BaseGeometry) -> BaseGeometry:
    """All sums of a point of one area and a point of the other, holes kept.

    Notes
    -----
    The edge of a sum consists of edges of one carried to corners of the other where both turn the same way (their
    convolution). All such edges are crossed with each other; of the faces between them those belong to the sum for
    which one area meets the other, turned over and carried there.

    References
    ----------
    Guibas, Ramshaw & Stolfi 1983, *A kinetic framework for computational geometry* (from memory).
    """
    lines = np.concatenate([_carried(one, other), _carried(other, one)])
    noded = shapely.union_all(shapely.linestrings(lines), grid_size=NODE_MM)
    faces = shapely.get_parts(shapely.polygonize([noded]))
    over = affinity.scale(other, -1.0, -1.0, origin=(0.0, 0.0))
    spots = shapely.get_coordinates(shapely.point_on_surface(faces))
    shapely.prepare(one)
    meets = [bool(shapely.intersects(one, affinity.translate(over, x, y))) for x, y in spots.tolist()]
    return shapely.union_all(faces[np.array(meets, dtype=bool)], grid_size=NODE_MM)


def _turned(cell: Cell) -> Polygon:
    shape = coarser(Polygon(cell.outline.exterior), MOST_CORNERS)
    return affinity.rotate(shape, cell.turn_deg, origin=(0.0, 0.0))


def _grown(shape: Polygon, cell: Cell) -> BaseGeometry:
    if max(cell.wall.each_mm()) < SNAP_MM:
        return shape
    return minkowski_sum(shape, spacing_body(cell.wall, cell.turn_deg))


def _carried(one: BaseGeometry, other: BaseGeometry) -> Points:
    """Edges of one at those corners of the other that turn through the edge's direction, a row of two points each."""
    starts, ends = _edges(one)
    corners, after = _edges(other)
    before = np.concatenate([np.roll(part, 1, axis=0) for part in _rings(other)])
    way, came, goes = ends - starts, corners - before, after - corners
    left, right = _crossed(came[None], way[:, None]), _crossed(way[:, None], goes[None])
    turns = _crossed(came, goes)[None] >= 0.0
    passes = np.where(turns, (left >= 0.0) & (right >= 0.0), (left <= 0.0) & (right <= 0.0))
    edge, corner = np.nonzero(passes)
    return np.stack([starts[edge] + corners[corner], ends[edge] + corners[corner]], axis=1)


def _crossed(one: Points, other: Points) -> Points:
    return np.asarray(one[..., 0] * other[..., 1] - one[..., 1] * other[..., 0])


def _edges(shape: BaseGeometry) -> tuple[Points, Points]:
    """Start and end of every edge, the area on its left."""
    rings = _rings(shape)
    return np.concatenate(rings), np.concatenate([np.roll(one, -1, axis=0) for one in rings])


def _rings(shape: BaseGeometry) -> list[Points]:
    """Corners of each ring, shells counter-clockwise and holes clockwise, none repeated."""
    found = []
    for part in shapely.get_parts(shape).tolist():
        turned = orient(part, 1.0)
        found += [np.asarray(ring.coords)[:-1, :2] for ring in (turned.exterior, *turned.interiors)]
    return found
