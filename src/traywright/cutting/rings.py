"""Contour-parallel paths of a cutter's centre inside a region, inside out, the wall last."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, MultiPolygon, Point, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from traywright.base.tolerance import ARC_CHORD_MM, SAME_MM, SNAP_MM

Line = NDArray[np.float64]

THIN_MM = 0.05
"""A place of the centre narrower than this is a line.  # source: a tenth of foam accuracy, common practice"""

EASE_MM = 1.5 * ARC_CHORD_MM
"""A recess as wide as the cutter takes it: its chords lie inside its circle by one chord, and snapping adds to that."""

REST_MM = 0.05
"""Foam left between rings with an inner radius under this is nothing.  # source: as THIN_MM"""

INNER_CHORD_MM = 2.0 * ARC_CHORD_MM
"""Chords of rings that touch no wall may lie this far off, and still become arcs again."""

AIR_LINK_MM = 100.0
"""Longest way at feed through foam that is gone, instead of a lift.  # source: a lift takes about a second"""

MOST_REST_ROUNDS = 6
"""Rounds of extra passes on what rings left.  # source: two are enough where the step is under a diameter"""


def quarter_chords(radius_mm: float, chord_mm: float = ARC_CHORD_MM) -> int:
    """Chords of a quarter circle that stay within a distance of it.

    Parameters
    ----------
    radius_mm
        Radius, 0 or more.
    chord_mm
        Largest distance of a chord from the arc, above 0.

    Examples
    --------
    >>> quarter_chords(6.0)
    14
    """
    if radius_mm <= chord_mm:
        return 2
    return max(2, math.ceil(math.pi / 4.0 / math.acos(1.0 - chord_mm / radius_mm)))


def polygons(shape: BaseGeometry) -> list[Polygon]:
    """The areas of a geometry, left to right and front to back."""
    found = [one for one in shapely.get_parts(shape).tolist() if isinstance(one, Polygon) and one.area > 0.0]
    return sorted(found, key=lambda one: (one.bounds[0], one.bounds[1], one.area))


def lines(shape: BaseGeometry) -> list[LineString]:
    """The lines of a geometry, joined where they meet, left to right and front to back."""
    kinds = {"LineString", "LinearRing"}
    parts = [one for one in shapely.get_parts(shape).tolist() if one.geom_type in kinds and not one.is_empty]
    if not parts:
        return []
    joined = shapely.line_merge(shapely.MultiLineString([one.coords for one in parts]), directed=True)
    found = [one for one in shapely.get_parts(joined).tolist() if one.length > SAME_MM]
    return sorted(found, key=lambda one: (*one.bounds, one.length))


def shrunk(shape: BaseGeometry, by_mm: float, chord_mm: float = ARC_CHORD_MM) -> BaseGeometry:
    """Where a disc's centre may be so that the disc stays inside, convex corners sharp."""
    return shape.buffer(-by_mm, quad_segs=quarter_chords(by_mm, chord_mm))


def _axis(area: Polygon) -> LineString:
    """The long middle line of the smallest rectangle round an area."""
    box: Any = area.minimum_rotated_rectangle
    if not isinstance(box, Polygon):
        return LineString([box.coords[0], box.coords[-1]])
    a, b, c, d = (np.array(one) for one in box.exterior.coords[:4])
    if np.hypot(*(b - a)) < np.hypot(*(c - b)):
        a, b, c, d = b, c, d, a
    return LineString([(a + d) / 2.0, (b + c) / 2.0])


def _thin_path(area: Polygon) -> Line | None:
    """The middle line of a place that is no wider than a line; None if it is wider or bent."""
    if 2.0 * area.area > THIN_MM * area.length:
        return None
    axis = _axis(area)
    if axis.length <= THIN_MM:
        return np.array([axis.interpolate(0.5, normalized=True).coords[0]])
    return np.array(axis.coords) if area.buffer(THIN_MM).covers(axis) else None


def _ring_paths(area: Polygon) -> list[Line]:
    """Shell counter-clockwise, islands clockwise: climb inside a pocket for a spindle that turns clockwise."""
    thin = _thin_path(area)
    if thin is not None:
        return [thin]
    turned = orient(area, 1.0)
    islands = sorted(turned.interiors, key=lambda one: one.bounds)
    return [np.array(one.coords) for one in (*islands, turned.exterior)]


def _inside_out(area: Polygon, place: BaseGeometry, step_mm: float, count: int) -> Iterator[Line]:
    """Rings of an area and of all that lies in it, innermost first; ``count`` rings lie outside of it."""
    chord_mm = ARC_CHORD_MM if count == 0 else INNER_CHORD_MM
    inner = shrunk(place, (count + 1) * step_mm, INNER_CHORD_MM)
    if not inner.is_empty and count < MOST_RINGS:
        grown = area.buffer(chord_mm)
        for child in polygons(inner):
            if grown.covers(child.representative_point()):
                yield from _inside_out(child, place, step_mm, count + 1)
    yield from _ring_paths(area)


MOST_RINGS = 400
"""Depth of the nest of rings, against a step of nearly nothing.  # source: a 2 m board at 2.5 mm"""


def _swept(path: Line, radius_mm: float) -> BaseGeometry:
    """What a cutter covers along a path."""
    line = LineString(path) if len(path) > 1 else Point(path[0])
    return line.buffer(radius_mm, quad_segs=quarter_chords(radius_mm))


def swept_by(paths: list[Line], radius_mm: float) -> BaseGeometry:
    """What a cutter covers along paths.

    Parameters
    ----------
    paths
        Paths of the centre.
    radius_mm
        Cutter radius.
    """
    return shapely.union_all([_swept(one, radius_mm) for one in paths])


def _needed(path: Line, near: BaseGeometry | None) -> list[Line]:
    """The parts of a path from which foam is still reached; a short way through air is not worth a lift."""
    if near is None:
        return [path]
    if len(path) == 1:
        return [path] if near.covers(Point(path[0])) else []
    line = LineString(path)
    if line.intersection(near).length <= SAME_MM:
        return []
    far = [one for one in lines(line.difference(near)) if one.length > AIR_LINK_MM]
    if not far:
        return [path]
    kept = line.difference(shapely.union_all(far))
    return [np.array(one.coords) for one in lines(kept)]


def _rest_path(left: Polygon, place: BaseGeometry) -> list[Line]:
    """Passes over one spot that rings left: its middle line, or round it where it is bent."""
    axis = _axis(left)
    if not left.interiors and left.buffer(THIN_MM).covers(axis):
        inside = axis.intersection(place) if axis.length > THIN_MM else left.representative_point()
        if inside.geom_type == "Point":
            return [np.array(inside.coords)]
        return [np.array(one.coords) for one in lines(inside)]
    kept = left.simplify(THIN_MM).boundary.intersection(place)
    return [np.array(one.coords) for one in lines(kept)]


def _counts(spot: Polygon, place: BaseGeometry) -> bool:
    """True for a spot that is foam: not thin, or a hair in the middle of a ring, where no chord of a wall is near."""
    if not spot.buffer(-REST_MM).is_empty:
        return True
    return spot.area > SNAP_MM * SNAP_MM and place.covers(spot)


def _rest_passes(target: BaseGeometry, place: BaseGeometry, paths: list[Line], radius_mm: float) -> list[Line]:
    """Extra passes until nothing that the cutter reaches is left of the target."""
    reached = target.intersection(place.buffer(radius_mm, quad_segs=quarter_chords(radius_mm)))
    left = reached.difference(swept_by(paths, radius_mm)) if paths else reached
    extra: list[Line] = []
    roomy = place.buffer(THIN_MM)
    for _ in range(MOST_REST_ROUNDS):
        spots = [one for one in polygons(left) if _counts(one, place)]
        fresh = [path for spot in spots for path in _rest_path(spot, roomy)]
        if not fresh:
            break
        extra += fresh
        left = left.difference(swept_by(fresh, radius_mm))
    return extra


def contour_paths(target: BaseGeometry, place: BaseGeometry, *, radius_mm: float, step_mm: float) -> list[list[Line]]:
    """Paths of the cutter's centre that clear a target, one list for each connected place.

    Parameters
    ----------
    target
        Foam to clear.
    place
        Where the centre may be; its edge is the wall path (a direct offset of the wall).
    radius_mm
        Cutter radius.
    step_mm
        Distance of one ring from the next, under the diameter.

    Returns
    -------
    list[list[Line]]
        For each connected place its paths in cutting order: extra passes on what the rings leave, then rings inside
        out, the wall last. A closed path ends where it starts; a path of one point is a plunge.

    Notes
    -----
    Rings with sharp corners leave nothing if step <= r (1 + sin(half the corner's angle)); what they leave at the
    core or between two families of rings is found by subtracting what was swept.

    Examples
    --------
    >>> square = shapely.box(0, 0, 60, 60)
    >>> runs = contour_paths(square, shrunk(square, 6.0), radius_mm=6.0, step_mm=9.0)
    >>> [len(one) for one in runs]
    [3]
    """
    clear = target.area >= place.buffer(radius_mm).area - SAME_MM
    near = None if clear else target.buffer(radius_mm - THIN_MM / 2.0)
    runs: list[list[Line]] = []
    for area in polygons(place):
        own = target.intersection(area.buffer(radius_mm))
        if own.is_empty or own.buffer(-REST_MM / 2.0).is_empty:
            continue
        rings = [part for ring in _inside_out(area, area, step_mm, 0) for part in _needed(ring, near)]
        runs.append([*_rest_passes(own, area, rings, radius_mm), *rings])
    return [one for one in runs if one]


def multi(shape: BaseGeometry) -> MultiPolygon:
    """Only the areas of a geometry."""
    return MultiPolygon(polygons(shape))
