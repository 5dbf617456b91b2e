"""Exact areas of a drawn tray: by final depth, open from above, and what a cutter leaves in corners."""

from __future__ import annotations

import math
from collections.abc import Sequence

import shapely
from shapely.geometry.base import BaseGeometry

from traywright.base.tolerance import DRAWN_CHORD_MM, SAME_MM, TIE_RATIO
from traywright.design.drawn_shapes import Outlined, Shape, fine_of

QUARTER_CHORDS = 128
"""Chords of a quarter where a disc runs round a corner: they lie within 0.0002 of its radius."""

SLIVER_MM = 0.02
"""Mean width under which what a disc leaves is a chord of an arc, no corner.  # source: ten times DRAWN_CHORD_MM"""

Deep = tuple[tuple[Shape, float], ...]
"""Shapes with the depth at which they end, mm."""

Levels = tuple[tuple[float, BaseGeometry], ...]
"""For each depth, shallowest first, what is open down to it."""


def outline_fine(outlined: Outlined) -> BaseGeometry:
    """The outline in tray millimetres, exact in area."""
    left, front, _, _ = outlined.outline.contour.bounds_mm
    return shapely.affinity.translate(fine_of(outlined.outline), -left, -front)


def opened_at(outlined: Outlined, deep: Deep) -> Levels:
    """What is open down to each depth inside the outline, shallowest first.

    Parameters
    ----------
    outlined
        The outline.
    deep
        Shapes with the depth at which they end.
    """
    outline = outline_fine(outlined)
    depths = sorted({round(each, 6) for _, each in deep})
    return tuple(
        (depth, shapely.union_all([one.fine for one, each in deep if each >= depth - SAME_MM]).intersection(outline))
        for depth in depths
    )


def areas_of(outlined: Outlined, deep: Deep) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Final depths, deepest first, and the area that ends at each, mm²; where loops overlap the deepest counts.

    Parameters
    ----------
    outlined
        The outline.
    deep
        Shapes with the depth at which they end.
    """
    levels = opened_at(outlined, deep)[::-1]
    depths, areas, above = [], [], 0.0
    for depth, shape in levels:
        ending = float(shape.area) - above
        if ending > TIE_RATIO:
            depths.append(depth)
            areas.append(ending)
        above = float(shape.area)
    return tuple(depths), tuple(areas)


def remains_of(levels: Levels, radius_mm: float) -> tuple[BaseGeometry, ...]:
    """What a disc leaves in corners at any level, each place once, left to right.

    Parameters
    ----------
    levels
        What is open down to each depth.
    radius_mm
        Radius of the cutter.
    """
    left = []
    for _, shape in levels:
        for part in shapely.get_parts(shape).tolist():
            left += _left_in(part, radius_mm)
    found = shapely.get_parts(shapely.union_all(left)).tolist() if left else []
    areas = [one for one in found if one.area > 0.0]
    return tuple(sorted(areas, key=lambda one: tuple(round(each, 3) for each in one.bounds)))


def _left_in(part: BaseGeometry, radius_mm: float) -> list[BaseGeometry]:
    """What a disc leaves in the corners of one connected shape."""
    inside = part.buffer(-radius_mm, quad_segs=QUARTER_CHORDS)
    shapely.prepare(inside)
    # a shape whose corners are all within reach keeps nothing; the overlay of two like circles is slow
    corners = shapely.points(shapely.get_coordinates(part))
    if not inside.is_empty and shapely.dwithin(inside, corners, radius_mm + DRAWN_CHORD_MM).all():
        return []
    reached = inside.buffer(radius_mm / math.cos(math.pi / 4.0 / QUARTER_CHORDS), quad_segs=QUARTER_CHORDS)
    spots = shapely.get_parts(part.difference(reached))
    kept: list[BaseGeometry] = spots[2.0 * shapely.area(spots) > SLIVER_MM * shapely.length(spots)].tolist()
    return kept


def within(spots: Sequence[BaseGeometry], shapes: Sequence[BaseGeometry]) -> tuple[BaseGeometry, ...]:
    """The parts of spots that lie in what was drawn, slivers left out.

    Parameters
    ----------
    spots
        What a disc leaves.
    shapes
        What was drawn.
    """
    drawn = shapely.union_all(list(shapes))
    parts = [part for spot in spots for part in shapely.get_parts(spot.intersection(drawn)).tolist()]
    return tuple(one for one in parts if one.area > 0.0 and 2.0 * one.area > SLIVER_MM * one.length)


def air_around(outlined: Outlined, radius_mm: float) -> BaseGeometry:
    """A ring of air outside an outline: from there a cutter enters what is open at the edge.

    Parameters
    ----------
    outlined
        The outline.
    radius_mm
        Radius of the cutter.
    """
    outline = outline_fine(outlined)
    return outline.buffer(AIR_RATIO * radius_mm, join_style="mitre").difference(outline)


AIR_RATIO = 4.0
"""Width of the ring over the cutter's radius: the cutter stands in it whole."""


def with_air(levels: Levels, air: BaseGeometry) -> Levels:
    """What is open down to each depth, with the air outside the outline.

    Parameters
    ----------
    levels
        What is open inside the outline.
    air
        The ring outside.
    """
    return tuple((depth, shapely.union_all([shape, air])) for depth, shape in levels)
