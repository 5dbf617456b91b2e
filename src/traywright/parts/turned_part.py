"""A turned part from the drawing of its half section: the axis, the solid, and its exact volume."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from traywright.base.errors import PartError
from traywright.base.tolerance import ARC_CHORD_MM, DRAWN_CHORD_MM, DRAWN_MM
from traywright.geometry import Mesh, Region, Ring, mass_properties, turned_about_x
from traywright.parts.drawing import DrawnLine
from traywright.parts.true_volume import Missing

FINE_MM = 1e-4  # source: ours: chords of equal area this close to their arcs give the volume to one in ten million
SAME_HALF_RATIO = 0.001  # source: ours: two halves that differ by less are drawn as mirror images

Line = tuple[tuple[float, float], tuple[float, float]]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TurnedPart:
    """The solid along x, its axis on y = z = 0, what its mesh lacks, and how the axis was found.

    ``axis_from`` is line, edge (the drawing's y = 0) or halves (a full section, taken as half).
    """

    mesh: Mesh
    missing: Missing
    chord_mm: float
    axis_from: str


def _straight(lines: Sequence[DrawnLine]) -> list[Line]:
    """Open lines that run straight, the longest first."""
    found = []
    for one in lines:
        points = np.array(one.contour.points_mm())
        start, end = points[0], points[-1]
        length = float(np.linalg.norm(end - start))
        if length <= DRAWN_MM:
            continue
        across = np.array([start[1] - end[1], end[0] - start[0]]) / length
        if np.abs((points - start) @ across).max() <= DRAWN_MM:
            found.append((length, ((float(start[0]), float(start[1])), (float(end[0]), float(end[1])))))
    return [line for _, line in sorted(found, key=lambda one: (-one[0], one[1]))]


def _about(points: NDArray[np.float64], line: Line) -> NDArray[np.float64]:
    """Points with x along a line, to the right or upward, and y off it."""
    start, end = sorted(line)
    way = np.array(end) - np.array(start)
    way = way / np.linalg.norm(way)
    off = points - np.array(start)
    base = float(np.array(start) @ way)
    return np.column_stack([off @ way + base, off @ np.array([-way[1], way[0]])])


def _one_side(loops: Sequence[NDArray[np.float64]]) -> bool:
    """True if all points lie on one side of y = 0, or on it."""
    y = np.concatenate(loops)[:, 1]
    return bool(y.min() >= -DRAWN_MM or y.max() <= DRAWN_MM)


def axis_of(loops: Sequence[DrawnLine], lines: Sequence[DrawnLine]) -> tuple[Line, str] | None:
    """The axis about which a section can be turned, and how it was found; None if there is none.

    Parameters
    ----------
    loops, lines
        Closed loops and open lines of the drawing, mm.

    Notes
    -----
    A straight open line with all loops on one side of it; else one that parts every loop into mirror images; else the
    drawing's y = 0 if all loops lie on one side of it.
    """
    points = [np.array(one.contour.points_mm()) for one in loops]
    for line in _straight(lines):
        if _one_side([_about(one, line) for one in points]):
            return line, "line"
    for line in _straight(lines):
        if all(_mirrored(_about(one, line)) for one in points):
            return line, "halves"
    edge: Line = ((0.0, 0.0), (1.0, 0.0))
    return (edge, "edge") if _one_side(points) else None


def _mirrored(points: NDArray[np.float64]) -> bool:
    """True if a loop is its own mirror image about y = 0."""
    here = Region.polygon([(float(x), float(y)) for x, y in points])
    there = Region.polygon([(float(x), -float(y)) for x, y in points[::-1]])
    both = here.intersection(there).area_mm2
    return here.area_mm2 - both <= SAME_HALF_RATIO * here.area_mm2


def bounded_by_axis(loops: Sequence[DrawnLine], lines: Sequence[DrawnLine]) -> bool:
    """True if a straight open line bounds the loops on one side, as the axis of a half section does."""
    found = axis_of(loops, lines)
    return found is not None and found[1] == "line"


def _moments(ring: Ring) -> tuple[float, float]:
    """Volume of a ring turned about y = 0 and its first moment along x, both above 0 for a ring that encloses area.

    Pappus and Guldin: 2 pi times the first moment of the area about the axis; for a polygon in closed form.
    """
    points = np.array(ring)
    after = np.roll(points, -1, axis=0)
    x, y, u, v = points[:, 0], points[:, 1], after[:, 0], after[:, 1]
    cross = x * v - u * y
    volume = 2.0 * math.pi * float((cross * (y + v)).sum()) / 6.0
    moment = 2.0 * math.pi * float((cross * (2.0 * x * y + x * v + u * y + 2.0 * u * v)).sum()) / 24.0
    return (volume, moment) if volume >= 0.0 else (-volume, -moment)


def _exact(profile: Region) -> tuple[float, float]:
    """Volume of a profile turned about y = 0, and its first moment along x."""
    volume_mm3, moment_mm4 = 0.0, 0.0
    for shell, holes in profile.rings():
        for sign, ring in ((1.0, shell), *((-1.0, hole) for hole in holes)):
            own, along = _moments(ring)
            volume_mm3, moment_mm4 = volume_mm3 + sign * own, moment_mm4 + sign * along
    return volume_mm3, moment_mm4


def _profile(loops: Sequence[DrawnLine], line: Line, chord_mm: float) -> Region:
    """What the loops enclose on one side of the axis, a loop in a loop being a hole; x along the axis, y the radius."""
    profile = Region.empty()
    for one in sorted(loops, key=lambda each: (-each.contour.area_mm2, each.id)):
        around = _about(np.array(one.contour.points_mm(chord_mm)), line)
        upward = around if around[:, 1].mean() >= -DRAWN_MM else around[::-1] * np.array([1.0, -1.0])
        own = Region.polygon([(float(x), float(y)) for x, y in upward])
        profile = profile.difference(own) if profile.contains(own) else profile.union(own)
    if profile.is_empty:
        return profile
    left, _, right, top = profile.bounds_mm
    return profile.intersection(Region.rectangle(left - 1.0, 0.0, right + 1.0, max(top, 0.0) + 1.0))


def turned_part(part_id: str, loops: Sequence[DrawnLine], lines: Sequence[DrawnLine]) -> TurnedPart:
    """The solid of a half section turned about its axis.

    Parameters
    ----------
    part_id
        Named in errors.
    loops, lines
        Closed loops and open lines of the drawing, mm.

    Raises
    ------
    PartError
        PART-091 if there is no axis, PART-009 if nothing is left on one side of it.

    Notes
    -----
    The mesh has its corners on the true circles. Its volume lacks what its chords cut off; the exact volume and centre
    follow from the section by the theorem of Pappus and Guldin.

    References
    ----------
    Pappus and Guldin on solids of revolution: common practice in handbooks, from memory.
    """
    found = axis_of(loops, lines)
    if found is None:
        raise PartError("PART-091", part=part_id)
    line, axis_from = found
    profile = _profile(loops, line, DRAWN_CHORD_MM)
    if profile.is_empty:
        raise PartError("PART-009", part=part_id)
    mesh = turned_about_x(profile)
    told = mass_properties(mesh)
    volume_mm3, moment_mm4 = _exact(_profile(loops, line, FINE_MM))
    lacks = Missing(
        volume_mm3=volume_mm3 - told.volume_mm3,
        moment_mm4=(moment_mm4 - told.volume_mm3 * told.centre_mm[0], 0.0, 0.0),
    )
    return TurnedPart(mesh=mesh, missing=lacks, chord_mm=ARC_CHORD_MM, axis_from=axis_from)
