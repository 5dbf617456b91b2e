"""Loops in loops: what they enclose together, a loop in a loop being a hole, an island in a hole standing again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from traywright.base.tolerance import DRAWN_CHORD_MM, SNAP_MM
from traywright.geometry import Contour, Region
from traywright.parts.drawing_limits import MOST_PAIRINGS, check_count

AT_A_TIME = 64
"""Loops held against all others at once.  # source: ours: with the most loops of a drawing some 50 MB"""

Shapes = NDArray[np.object_]
Pairs = NDArray[np.int64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Nested:
    """What loops enclose together.

    ``area_mm2`` is exact for true arcs where no two loops cross; ``solid`` tells of each loop, in the order given,
    whether it stands or is a hole; ``crossing`` is True where two loops cross.
    """

    region: Region
    area_mm2: float
    solid: tuple[bool, ...]
    crossing: bool


def shapes_of(loops: Sequence[Contour], chord_mm: float = DRAWN_CHORD_MM) -> Shapes:
    """What each loop encloses, by the even-odd rule where it crosses itself; not snapped.

    Parameters
    ----------
    loops
        Closed contours.
    chord_mm
        Largest distance of chords from arcs.
    """
    points = [one.points_mm(chord_mm) for one in loops]
    found: Shapes = np.array([shapely.Polygon(one if len(one) > 2 else None) for one in points], dtype=object)
    crossed = ~shapely.is_valid(found)
    found[crossed] = [shapely.make_valid(one) for one in found[crossed]]
    return found


def _pairs(shapes: Shapes) -> tuple[Pairs, Pairs]:
    """Numbers of shapes that meet: the later, the earlier.

    Raises
    ------
    PartError
        PART-029 if more loops lie over each other than in any drawing.
    """
    tree, count = shapely.STRtree(shapes), 0
    laters, earliers = [], []
    for start in range(0, len(shapes), AT_A_TIME):
        later, earlier = tree.query(shapes[start : start + AT_A_TIME], predicate="intersects")
        later += start
        before = earlier < later
        count += int(before.sum())
        check_count(count, MOST_PAIRINGS)
        laters.append(later[before])
        earliers.append(earlier[before])
    return np.concatenate(laters), np.concatenate(earliers)


def _parents(shapes: Shapes, later: Pairs, earlier: Pairs) -> Pairs:
    """The smallest shape that holds each one, -1 for none; to two snap steps."""
    inner = shapely.buffer(shapes, -2.0 * SNAP_MM)
    thin = shapely.is_empty(inner)
    inner[thin] = shapely.point_on_surface(shapes[thin])
    shapely.prepare(shapes)
    holds = shapely.covers(shapes[earlier], inner[later])
    parents = np.full(len(shapes), -1, dtype=np.int64)
    np.maximum.at(parents, later[holds], earlier[holds])
    return parents


def _standing(parents: Pairs) -> NDArray[np.bool_]:
    """Which shapes stand: those in none, and those whose holder is a hole."""
    solid = np.ones(len(parents), dtype=bool)
    for number, parent in enumerate(parents.tolist()):
        solid[number] = parent < 0 or not solid[parent]
    return solid


def _united(shapes: Shapes, parents: Pairs, solid: NDArray[np.bool_], later: Pairs, earlier: Pairs) -> Region:
    """Every spot as the smallest loop round it says.

    From a loop that stands all smaller holes are taken that meet it; those within a hole that is itself smaller than
    the loop need not be taken again.
    """
    grand = np.where(parents >= 0, parents[parents], -1)
    cuts = solid[earlier] & ~solid[later] & (grand[later] <= earlier)
    order = np.argsort(earlier[cuts], kind="stable")
    owners, holes = earlier[cuts][order], later[cuts][order]
    standing = []
    for number in np.flatnonzero(solid).tolist():
        own = holes[np.searchsorted(owners, number) : np.searchsorted(owners, number, side="right")]
        whole = shapes[number]
        standing.append(shapely.difference(whole, shapely.union_all(shapes[own])) if len(own) else whole)
    return Region(shapely.union_all(standing))


def nested(loops: Sequence[Contour], chord_mm: float = DRAWN_CHORD_MM) -> Nested:
    """What loops enclose together: every spot is as the smallest loop round it says.

    Parameters
    ----------
    loops
        Closed contours, at least one, in any order.
    chord_mm
        Largest distance of chords from arcs.

    Raises
    ------
    PartError
        PART-029 if more loops lie over each other than in any drawing.

    Examples
    --------
    >>> rings = [Contour.circle((0.0, 0.0), radius) for radius in (3.0, 2.0, 1.0)]
    >>> told = nested(rings)
    >>> told.solid, round(told.area_mm2, 3)
    ((True, False, True), 18.85)
    """
    areas = [one.area_mm2 for one in loops]
    order = sorted(range(len(loops)), key=lambda number: (-areas[number], loops[number].corners))
    shapes = shapes_of([loops[number] for number in order], chord_mm)
    later, earlier = _pairs(shapes)
    parents = _parents(shapes, later, earlier)
    solid = _standing(parents)
    region = _united(shapes, parents, solid, later, earlier)
    exact_mm2 = sum(areas[number] if up else -areas[number] for number, up in zip(order, solid.tolist(), strict=True))
    told = dict(zip(order, solid.tolist(), strict=True))
    crossing = abs(exact_mm2 - region.area_mm2) > SNAP_MM * sum(one.length_mm for one in loops)
    return Nested(
        region=region,
        area_mm2=region.area_mm2 if crossing else exact_mm2,
        solid=tuple(told[number] for number in range(len(loops))),
        crossing=crossing,
    )
