"""What one DXF entity draws, seen from above: lines, true arcs, and curves as chords."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from traywright.base.tolerance import ROUND_RATIO
from traywright.geometry import Contour, Corner, Point
from traywright.parts.curves import Frame, distinct, ellipse, placed, spline, through
from traywright.parts.drawing_limits import MOST_POINTS, check_count, check_numbers
from traywright.parts.dxf_loaded import Library

SPLINE_FRAME = 16
"""# source: DXF reference, VERTEX group code 70, bit 16: control point of a spline's frame"""

Flat = tuple[float, float, float]
"""A spot of space; its height is dropped and told."""

Spot = Sequence[float]
"""A spot or a direction as the library holds it: x, y, z in the drawing's own unit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lying:
    """How what stands in a block lies in the drawing."""

    matrix: Library
    chord_mm: float

    def frame(self, entity: Library, high: Sequence[float] = (0.0, 0.0, 0.0)) -> tuple[Frame, float] | None:
        """The plane of a flat entity and its height; None if it does not lie flat."""
        ocs = entity.ocs()
        origin = self.matrix.transform(ocs.to_wcs((0.0, 0.0, float(high[2]))))
        along = self.matrix.transform_direction(ocs.to_wcs((1.0, 0.0, 0.0)))
        across = self.matrix.transform_direction(ocs.to_wcs((0.0, 1.0, 0.0)))
        if _rises(along) or _rises(across):
            return None
        frame = Frame(origin=_plan(origin), along=_plan(along), across=_plan(across))
        return frame, float(origin[2])

    @property
    def is_tilted(self) -> bool:
        """True if a block stands up or leans."""
        ways = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
        return any(_rises(self.matrix.transform_direction(one)) for one in ways)

    def spots(self, given: Sequence[Spot]) -> list[Flat]:
        """Spots of a block as they lie in the drawing."""
        moved = [self.matrix.transform(tuple(float(each) for each in one)) for one in given]
        return [(float(one[0]), float(one[1]), float(one[2])) for one in moved]

    def ways(self, given: Sequence[Spot]) -> list[Flat]:
        """Directions of a block as they lie in the drawing."""
        turned = [self.matrix.transform_direction(tuple(float(each) for each in one)) for one in given]
        return [(float(one[0]), float(one[1]), float(one[2])) for one in turned]


def _plan(spot: Sequence[float]) -> Point:
    """A spot seen from above."""
    return (float(spot[0]), float(spot[1]))


def _rises(way: Sequence[float]) -> bool:
    """True if a direction does not lie flat."""
    return abs(way[2]) > ROUND_RATIO * math.hypot(way[0], way[1], way[2])


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """What an entity draws; no contour where it draws nothing that can be cut."""

    contour: Contour | None
    heights_mm: tuple[float, ...] = ()
    tilted: bool = False


NOTHING = Shape(contour=None)
TILTED = Shape(contour=None, tilted=True)


def shape_of(entity: Library, kind: str, lying: Lying) -> Shape:
    """What a line, arc or curve draws.

    Parameters
    ----------
    entity
        The library's own object.
    kind
        One of the keys of ``SHAPES``.
    lying
        How its block lies.

    Raises
    ------
    PartError
        PART-029 too many points, PART-031 a coordinate that is no number or beyond all sense.
    """
    found = SHAPES[kind](entity, lying)
    if found.contour is not None:
        check_numbers((number for corner in found.contour.corners for number in corner), kind)
    check_numbers(found.heights_mm, kind)
    return found


def _line(entity: Library, lying: Lying) -> Shape:
    """A straight line."""
    ends = lying.spots((entity.dxf.start, entity.dxf.end))
    corners = tuple((x, y, 0.0) for x, y, _ in ends)
    return Shape(contour=distinct(corners, closed=False, true_arcs=True), heights_mm=tuple(one[2] for one in ends))


def _in_plane(entity: Library, lying: Lying, contour: Contour | None, high: Sequence[float]) -> Shape:
    """A contour in the plane of its entity, as it lies in the drawing."""
    check_numbers((float(high[2]),), entity.dxftype())
    lies = lying.frame(entity, high)
    if contour is None or lies is None:
        return NOTHING if lies is not None else TILTED
    check_numbers((number for corner in contour.corners for number in corner), entity.dxftype())
    found = placed(contour, lies[0], lying.chord_mm)
    chain = distinct(found.corners, closed=found.closed, true_arcs=found.true_arcs)
    return Shape(contour=chain, heights_mm=(lies[1],))


def _circle(entity: Library, lying: Lying) -> Shape:
    """A full circle."""
    radius, centre = float(entity.dxf.radius), entity.dxf.center
    contour = Contour.circle(_plan(centre), radius) if radius > 0.0 else None
    return _in_plane(entity, lying, contour, centre)


def _arc(entity: Library, lying: Lying) -> Shape:
    """A true arc; one that starts where it ends is a full circle."""
    first, last = math.radians(float(entity.dxf.start_angle)), math.radians(float(entity.dxf.end_angle))
    check_numbers((first, last), "ARC")
    turn, radius = (last - first) % (2.0 * math.pi), float(entity.dxf.radius)
    if turn <= ROUND_RATIO or turn >= 2.0 * math.pi - ROUND_RATIO or not radius > 0.0:
        return _circle(entity, lying)
    (cx, cy), bulge = _plan(entity.dxf.center), math.tan(turn / 8.0)
    # two halves, so that an arc of nearly a full turn keeps a bulge of at most 1
    angles = (first, first + turn / 2.0, first + turn)
    corners: list[Corner] = [(cx + radius * math.cos(one), cy + radius * math.sin(one), bulge) for one in angles]
    corners[-1] = (*corners[-1][:2], 0.0)
    return _in_plane(entity, lying, Contour(corners=tuple(corners), closed=False), entity.dxf.center)


def _ellipse(entity: Library, lying: Lying) -> Shape:
    """An ellipse or a part of one."""
    major, ratio, up = entity.dxf.major_axis, float(entity.dxf.ratio), entity.dxf.extrusion
    (first, last), centre = (float(entity.dxf.start_param), float(entity.dxf.end_param)), entity.dxf.center
    check_numbers((*centre, *major, ratio, first, last, *up), "ELLIPSE")
    minor = up.cross(major) * ratio / up.magnitude if up.magnitude > 0.0 else up
    half = lying.ways((major, minor))
    if any(_rises(one) for one in half):
        return TILTED
    if not all(math.hypot(*one) > 0.0 for one in half):
        return NOTHING
    turn = (last - first) % (2.0 * math.pi)
    turn = 2.0 * math.pi if turn <= ROUND_RATIO else turn
    spot = lying.spots((centre,))[0]
    axes = (_plan(half[0]), _plan(half[1]))
    found = ellipse(_plan(spot), axes, first_rad=first, turn_rad=turn, chord_mm=lying.chord_mm)
    chain = distinct(found.corners, closed=found.closed, true_arcs=found.true_arcs)
    return Shape(contour=chain, heights_mm=(spot[2],))


def _spline(entity: Library, lying: Lying) -> Shape:
    """A spline by control points, or through fit points where it has no others."""
    check_count(len(entity.control_points) + len(entity.fit_points), MOST_POINTS)
    control, fit = list(entity.control_points), list(entity.fit_points)
    check_numbers((float(one) for spot in (*control, *fit) for one in spot), "SPLINE")
    knots, weights, degree = list(entity.knots), list(entity.weights), int(entity.dxf.degree)
    if not control and bool(entity.closed):
        spots = lying.spots(fit)
        return Shape(contour=through([_plan(one) for one in spots], lying.chord_mm) if len(spots) > 2 else None)
    if not control:
        if len(fit) < 2:
            return NOTHING
        curve = entity.construction_tool()
        control, knots, weights, degree = list(curve.control_points), list(curve.knots()), [], curve.order - 1
    spots = lying.spots(control)
    plan = [_plan(one) for one in spots]
    found = spline(plan, knots, weights, degree=degree, chord_mm=lying.chord_mm)
    if found is None:
        return NOTHING
    chain = distinct(found.corners, closed=found.closed, true_arcs=found.true_arcs)
    return Shape(contour=chain, heights_mm=tuple({one[2] for one in spots}))


def _light_polyline(entity: Library, lying: Lying) -> Shape:
    """A light polyline with its bulges."""
    corners = [(float(x), float(y), float(bulge)) for x, y, bulge in entity.get_points("xyb")]
    check_count(len(corners), MOST_POINTS)
    contour = distinct(corners, closed=bool(entity.closed), true_arcs=True)
    return _in_plane(entity, lying, contour, (0.0, 0.0, float(entity.dxf.elevation)))


def _polyline(entity: Library, lying: Lying) -> Shape:
    """An old polyline, flat or in space; a mesh is none."""
    drawn = [one for one in entity.vertices if not int(one.dxf.get("flags", 0)) & SPLINE_FRAME]
    closed = bool(entity.is_closed)
    if entity.is_2d_polyline:
        told = [(one.dxf.location, float(one.dxf.get("bulge", 0.0))) for one in drawn]
        corners = [(float(spot[0]), float(spot[1]), bulge) for spot, bulge in told]
        contour = distinct(corners, closed=closed, true_arcs=True)
        return _in_plane(entity, lying, contour, entity.dxf.get("elevation", (0.0, 0.0, 0.0)))
    if not entity.is_3d_polyline:
        return NOTHING
    spots = lying.spots([one.dxf.location for one in drawn])
    flat = [(x, y, 0.0) for x, y, _ in spots]
    heights = tuple({one[2] for one in spots})
    return Shape(contour=distinct(flat, closed=closed, true_arcs=True), heights_mm=heights)


SHAPES: dict[str, Callable[[Library, Lying], Shape]] = {
    "ARC": _arc,
    "CIRCLE": _circle,
    "ELLIPSE": _ellipse,
    "LINE": _line,
    "LWPOLYLINE": _light_polyline,
    "POLYLINE": _polyline,
    "SPLINE": _spline,
}
"""Entities that draw a line, and how each is read."""
