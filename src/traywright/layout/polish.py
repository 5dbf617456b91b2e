"""From a layout that nearly stands to one that does: all copies are moved a little at once, by linear programs."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.optimize import linprog
from scipy.sparse import coo_array
from shapely import affinity
from shapely.geometry.base import BaseGeometry
from shapely.strtree import STRtree

from traywright.base.tolerance import SAME_MM, SNAP_MM
from traywright.layout.asked import LayoutAsked
from traywright.layout.coarse import coarser
from traywright.layout.offer import Placement
from traywright.layout.place import snapped_mm

ROUNDS = 15
"""Programs solved before a layout is given up."""  # source: own trials
PATIENCE, GAINED_RATIO = 4, 0.7
"""In so many programs what is missing must fall to this share."""  # source: own trials
MOVE_MM = 2.0
"""Farthest that a copy moves in one program, halved towards the end."""  # source: own trials
RESERVE_MM = 2.0 * SNAP_MM
"""What is asked for beyond the spacing: places are rounded to the snap step afterwards."""
INSET_MM = 0.5
"""How far outlines that touch are drawn in, so that a direction between them can be told."""
MOST_CORNERS = 400
"""Corners of an outline; one with more is drawn coarser, from outside."""  # source: own timing


class _Push(NamedTuple):
    """Copy ``there`` must move from copy ``here`` by so much along a direction."""

    here: int
    there: int
    axis: tuple[float, float]
    by_mm: float


def polished(asked: LayoutAsked, placements: Sequence[Placement]) -> tuple[Placement, ...]:
    """The copies moved until all stand apart, or nothing if they do not come to it.

    Parameters
    ----------
    asked
        The question; with unequal sides, or with regions that nothing may enter, nothing is tried.
    placements
        Copies that nearly stand.

    Notes
    -----
    Between two copies that are too near, each corner near the other outline gives one condition: along the line to
    the nearest point they must part by what is missing. A linear program finds the least sum of what stays missing,
    within a short way for each copy; then distances are measured anew.
    """
    walls = [asked.spacing.wall, *(one.wall for one in asked.spacing.pairs)]
    if asked.container.no_go or not all(one.alike for one in walls):
        return ()
    cells = {kind.id: coarser(kind.cell().shape.geoms[0], MOST_CORNERS) for kind in asked.kinds}
    shapes = [_stood(cells[one.kind], one) for one in placements]
    moved = np.zeros((len(placements), 2))
    missing = [math.inf] * PATIENCE
    for number in range(ROUNDS):
        here = [affinity.translate(one, x, y) for one, (x, y) in zip(shapes, moved, strict=True)]
        pushes = list(_pushes(asked, placements, here))
        if not any(one.by_mm > SAME_MM for one in pushes):
            return tuple(
                one._replace(x_mm=snapped_mm(one.x_mm + x), y_mm=snapped_mm(one.y_mm + y))
                for one, (x, y) in zip(placements, moved.tolist(), strict=True)
            )
        missing.append(max(one.by_mm for one in pushes))
        if missing[-1] > GAINED_RATIO * missing[-1 - PATIENCE]:
            return ()
        reach = MOVE_MM / (1.0 if number < ROUNDS // 2 else 4.0)
        step = _solved(pushes, _rooms(asked, placements, here), reach)
        if step is None:
            return ()
        moved += step
    return ()


def _stood(cell: BaseGeometry, one: Placement) -> BaseGeometry:
    return affinity.translate(affinity.rotate(cell, one.turn_deg, origin=(0.0, 0.0)), one.x_mm, one.y_mm)


def _pushes(asked: LayoutAsked, placements: Sequence[Placement], shapes: Sequence[BaseGeometry]) -> Iterator[_Push]:
    """Conditions between all copies that stand near each other; a negative push is room that is left."""
    widest = max([asked.spacing.wall.left_mm, *(one.wall.left_mm for one in asked.spacing.pairs)])
    tree = STRtree(shapes)
    for here, shape in enumerate(shapes):
        near = tree.query(shapely.box(*shape.bounds).buffer(widest + 2.0 * MOVE_MM, join_style="mitre"))
        for there in sorted(int(one) for one in near):
            if there > here:
                a, b = placements[here].kind, placements[there].kind
                wall = max(asked.spacing.beside(a, b).left_mm, asked.spacing.beside(b, a).left_mm) + RESERVE_MM
                yield from _between(here, there, (shape, shapes[there]), wall)


def _between(here: int, there: int, shapes: tuple[BaseGeometry, BaseGeometry], wall_mm: float) -> Iterator[_Push]:
    own, other = shapes
    if own.distance(other) <= SNAP_MM:
        own, other = (one.buffer(-INSET_MM, join_style="mitre") for one in shapes)
        wall_mm += 2.0 * INSET_MM
        if own.is_empty or other.is_empty or own.distance(other) <= 0.0:
            yield _Push(here, there, _apart(shapes), MOVE_MM)
            return
    for first, second, sign in ((own, other, 1.0), (other, own, -1.0)):
        corners = np.asarray(shapely.points(shapely.get_coordinates(first)[:-1]))
        near = shapely.distance(corners, second) < wall_mm + 2.0 * MOVE_MM
        lines = shapely.get_coordinates(shapely.shortest_line(corners[near], second)).reshape(-1, 4).tolist()
        for x, y, u, v in lines:
            length = math.hypot(u - x, v - y)
            if length > 0.0:
                yield _Push(here, there, (sign * (u - x) / length, sign * (v - y) / length), wall_mm - length)


def _apart(shapes: tuple[BaseGeometry, BaseGeometry]) -> tuple[float, float]:
    """The direction between two centres, for copies that overlap deeply."""
    a, b = (one.centroid for one in shapes)
    way = np.array([b.x - a.x, b.y - a.y])
    length = float(np.hypot(*way))
    return (float(way[0] / length), float(way[1] / length)) if length > SNAP_MM else (1.0, 0.0)


def _rooms(asked: LayoutAsked, placements: Sequence[Placement], shapes: Sequence[BaseGeometry]) -> NDArray[np.float64]:
    """Least and most that each copy may move along x, then along y."""
    found = []
    for one, shape in zip(placements, shapes, strict=True):
        rim, (left, front, right, back) = asked.spacing.rim_of(one.kind), shape.bounds
        found += [
            (rim.left_mm - left, asked.container.width_mm - rim.right_mm - right),
            (rim.front_mm - front, asked.container.depth_mm - rim.back_mm - back),
        ]
    return np.array(found)


def _solved(pushes: Sequence[_Push], rooms: NDArray[np.float64], reach_mm: float) -> NDArray[np.float64] | None:
    """How each copy moves: least sum of what stays missing, then least way."""
    moves = len(rooms)
    pairs = {pair: k for k, pair in enumerate(sorted({(one.here, one.there) for one in pushes}))}
    rows, columns, values = [], [], []
    for row, one in enumerate(pushes):
        rows += [row] * 5
        columns += [
            2 * one.here,
            2 * one.here + 1,
            2 * one.there,
            2 * one.there + 1,
            moves + pairs[one.here, one.there],
        ]
        values += [one.axis[0], one.axis[1], -one.axis[0], -one.axis[1], -1.0]
    matrix = coo_array((values, (rows, columns)), shape=(len(pushes), moves + len(pairs)))
    low = np.minimum(np.maximum(rooms[:, 0], -reach_mm), np.maximum(rooms[:, 1], -reach_mm))
    high = np.maximum(np.minimum(rooms[:, 1], reach_mm), low)
    bounds = [*zip(low.tolist(), high.tolist(), strict=True), *[(0.0, None)] * len(pairs)]
    told = linprog(
        np.concatenate([np.zeros(moves), np.ones(len(pairs))]),
        A_ub=matrix.tocsr(),
        b_ub=np.array([-one.by_mm for one in pushes]),
        bounds=bounds,
        method="highs",
    )
    return told.x[:moves].reshape(-1, 2) if told.status == 0 else None
