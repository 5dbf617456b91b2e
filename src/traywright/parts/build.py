"""Closed meshes of parts told by their dimensions."""

from __future__ import annotations

import math
from collections.abc import Iterator

from traywright.base.errors import PartError
from traywright.base.tolerance import ARC_CHORD_MM, SAME_MM
from traywright.geometry import Mesh, Region, combined, extruded, segments_of_circle, turned_about_x
from traywright.parts.dimensions import (
    ArcTo,
    Boss,
    Dimensions,
    Disc,
    Hole,
    Level,
    Plate,
    Point,
    Step,
    Tube,
    Turned,
)
from traywright.parts.size_limits import LARGEST_MM


def _sized(part_id: str, *lengths: tuple[str, float], zero: bool = False) -> None:
    """Refuse a length that is not above 0 (or not from 0 up) or larger than any part.

    Raises
    ------
    PartError
        PART-006 with the name of the length.
    """
    for name, length_mm in lengths:
        least_met = length_mm >= 0.0 if zero else length_mm > 0.0
        if not (math.isfinite(length_mm) and least_met and length_mm <= LARGEST_MM):
            raise PartError("PART-006", part=part_id, key=name, value=str(length_mm), most_mm=LARGEST_MM)


def _fits(part_id: str, name: str, length_mm: float, most_mm: float) -> None:
    """Refuse a length that leaves nothing standing.

    Raises
    ------
    PartError
        PART-007 with the name of the length.
    """
    if not length_mm < most_mm - SAME_MM:
        raise PartError("PART-007", part=part_id, key=name, value=str(length_mm), most_mm=most_mm)


def _profile(part_id: str, at_mm: float, step: Step) -> Region:
    """Half section of one step from its place along x."""
    _sized(part_id, ("length_mm", step.length_mm), ("diameter_mm", step.diameter_mm))
    _sized(part_id, ("bore_mm", step.bore_mm), ("chamfer_mm", step.chamfer_mm), zero=True)
    _fits(part_id, "bore_mm", step.bore_mm, step.diameter_mm - 2.0 * step.chamfer_mm)
    _fits(part_id, "chamfer_mm", 2.0 * step.chamfer_mm, step.length_mm)
    left, right, inner, outer = at_mm, at_mm + step.length_mm, step.bore_mm / 2.0, step.diameter_mm / 2.0
    cut = step.chamfer_mm
    return Region.polygon(
        [
            (left, inner),
            (right, inner),
            (right, outer - cut),
            (right - cut, outer),
            (left + cut, outer),
            (left, outer - cut),
        ]
    )


def _turned(part_id: str, asked: Turned) -> Mesh:
    at_mm, profiles = 0.0, []
    for step in asked.steps:
        profiles.append(_profile(part_id, at_mm, step))
        at_mm += step.length_mm
    _sized(part_id, ("step", at_mm))
    return turned_about_x(Region.union_of(profiles))


def _rounded(part_id: str, plate: Plate) -> Region:
    """Outline of a plate with its corner radius."""
    sharp = Region.rectangle(0.0, 0.0, plate.length_mm, plate.width_mm)
    radius = plate.corner_radius_mm
    if radius < SAME_MM:
        return sharp
    _fits(part_id, "corner_radius_mm", 2.0 * radius, min(plate.length_mm, plate.width_mm))
    return sharp.grown(-radius).grown(radius).intersection(sharp)


def _drilled(part_id: str, plate: Plate, hole: Hole) -> Mesh:
    """What a hole takes away."""
    _sized(part_id, ("hole.diameter_mm", hole.diameter_mm))
    top_mm = plate.thickness_mm + sum(boss.height_mm for boss in plate.bosses) + 1.0
    bottom_mm = plate.thickness_mm - top_mm if hole.depth_mm is None else plate.thickness_mm - hole.depth_mm
    if hole.depth_mm is not None:
        _sized(part_id, ("hole.depth_mm", hole.depth_mm))
        _fits(part_id, "hole.depth_mm", hole.depth_mm, plate.thickness_mm)
    return extruded(Region.disc((hole.x_mm, hole.y_mm), hole.diameter_mm / 2.0), bottom_mm, top_mm)


def _boss(part_id: str, plate: Plate, boss: Boss) -> Mesh:
    """What stands on the block's top or hangs under its bottom."""
    _sized(part_id, ("boss.height_mm", boss.height_mm), *(("boss.size", size) for size in boss.size_mm))
    if len(boss.size_mm) == 1:
        flat = Region.disc((boss.x_mm, boss.y_mm), boss.size_mm[0] / 2.0)
    else:
        half_x, half_y = boss.size_mm[0] / 2.0, boss.size_mm[1] / 2.0
        flat = Region.rectangle(boss.x_mm - half_x, boss.y_mm - half_y, boss.x_mm + half_x, boss.y_mm + half_y)
    if boss.on_top:
        return extruded(flat, plate.thickness_mm, plate.thickness_mm + boss.height_mm)
    return extruded(flat, -boss.height_mm, 0.0)


def _plate(part_id: str, asked: Plate) -> Mesh:
    _sized(part_id, ("length_mm", asked.length_mm), ("width_mm", asked.width_mm), ("thickness_mm", asked.thickness_mm))
    _sized(part_id, ("corner_radius_mm", asked.corner_radius_mm), zero=True)
    body = extruded(_rounded(part_id, asked), 0.0, asked.thickness_mm)
    bosses = [_boss(part_id, asked, one) for one in asked.bosses]
    return combined([body, *bosses], [_drilled(part_id, asked, one) for one in asked.holes])


def _tube(part_id: str, asked: Tube) -> Mesh:
    _sized(part_id, ("length_mm", asked.length_mm), ("width_mm", asked.width_mm))
    _sized(part_id, ("height_mm", asked.height_mm), ("wall_mm", asked.wall_mm))
    _fits(part_id, "wall_mm", 2.0 * asked.wall_mm, min(asked.width_mm, asked.height_mm))
    wall = asked.wall_mm
    ring = Region.rectangle(0.0, 0.0, asked.width_mm, asked.height_mm).difference(
        Region.rectangle(wall, wall, asked.width_mm - wall, asked.height_mm - wall)
    )
    upright = extruded(ring, 0.0, asked.length_mm)
    # width, height, length become y, z, x: a turn, not a mirror
    return Mesh(upright.points_mm[:, [2, 0, 1]], upright.triangles)


def _disc(part_id: str, asked: Disc) -> Mesh:
    _sized(part_id, ("diameter_mm", asked.diameter_mm), ("thickness_mm", asked.thickness_mm))
    _sized(part_id, ("bore_mm", asked.bore_mm), zero=True)
    _fits(part_id, "bore_mm", asked.bore_mm, asked.diameter_mm)
    flat = Region.disc((0.0, 0.0), asked.diameter_mm / 2.0)
    if asked.bore_mm > SAME_MM:
        flat = flat.difference(Region.disc((0.0, 0.0), asked.bore_mm / 2.0))
    return extruded(flat, 0.0, asked.thickness_mm)


def _arc(part_id: str, start_mm: Point, arc: ArcTo) -> Iterator[Point]:
    """Points of an arc behind its start, its end exactly.

    Raises
    ------
    PartError
        PART-008 if start and end are not equally far from the centre.
    """
    (cx, cy), (ex, ey) = arc.centre_mm, arc.to_mm
    radius = math.hypot(start_mm[0] - cx, start_mm[1] - cy)
    if not (abs(math.hypot(ex - cx, ey - cy) - radius) <= ARC_CHORD_MM and radius > SAME_MM):
        raise PartError("PART-008", part=part_id, x_mm=ex, y_mm=ey)
    first = math.atan2(start_mm[1] - cy, start_mm[0] - cx)
    sweep = (math.atan2(ey - cy, ex - cx) - first) % (2.0 * math.pi)
    sweep = sweep if arc.counter_clockwise else sweep - 2.0 * math.pi
    count = max(1, math.ceil(abs(sweep) / (2.0 * math.pi) * segments_of_circle(radius)))
    for number in range(1, count):
        angle = first + sweep * number / count
        yield (cx + radius * math.cos(angle), cy + radius * math.sin(angle))
    yield arc.to_mm


def _level(part_id: str, level: Level) -> Mesh:
    _sized(part_id, ("thickness_mm", level.top_mm - level.bottom_mm))
    ring: list[Point] = []
    for one in level.points_mm:
        if isinstance(one, ArcTo):
            start = ring[-1] if ring else (math.nan, math.nan)
            ring += list(_arc(part_id, start, one))
        else:
            ring.append(one)
    _sized(part_id, *(("points_mm", abs(value) + 1.0) for point in ring for value in point))
    flat = Region.polygon(ring) if len(ring) > 2 else Region.empty()
    if flat.is_empty:
        raise PartError("PART-009", part=part_id)
    if Region.crosses_itself(ring):
        raise PartError("PART-027", part=part_id)
    return extruded(flat, level.bottom_mm, level.top_mm)


def solid_of_dimensions(part_id: str, asked: Dimensions) -> Mesh:
    """Closed mesh of a part told by its dimensions.

    Parameters
    ----------
    part_id
        Named in errors.
    asked
        Any kind of dimensions, mm.

    Returns
    -------
    Mesh
        Corners of round faces lie on the true surface, chords at most ``ARC_CHORD_MM`` inside it.

    Raises
    ------
    PartError
        PART-006 to PART-009 if a number is zero, negative, not finite, too large, or leaves nothing standing.

    Examples
    --------
    >>> from traywright.geometry import mass_properties
    >>> tube = solid_of_dimensions("rail", Tube(length_mm=100, width_mm=40, height_mm=20, wall_mm=2))
    >>> round(mass_properties(tube).volume_mm3, 6)
    22400.0
    """
    if isinstance(asked, Turned):
        return _turned(part_id, asked)
    if isinstance(asked, Plate):
        return _plate(part_id, asked)
    if isinstance(asked, Tube):
        return _tube(part_id, asked)
    if isinstance(asked, Disc):
        return _disc(part_id, asked)
    return combined([_level(part_id, one) for one in asked.levels])
