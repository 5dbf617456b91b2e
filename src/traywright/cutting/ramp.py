"""The way down into a solid: along the run's own path, never straight and never steeper than the sheet allows."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import LineString, Point

from traywright.base.tolerance import ARC_CHORD_MM, SAME_MM, SNAP_MM
from traywright.catalogue.cards import Cutter
from traywright.cutting.rings import Line

Points = NDArray[np.float64]
"""Points in space, shape (n, 3)."""

LEAST_ENTRY_RATIO = 0.2
"""Least extent of a path that is ramped along, over the cutter's diameter: a helix is 1.2 to 1.8 diameters wide, so its
path 0.2 to 0.8; on less the middle of the cutter stands still.  # source: common practice, no source"""

RAMP_CHORD_MM = ARC_CHORD_MM / 4.0
"""Chords of a way down may lie this far off its path."""

SHORTEST_LEG_MM = 1.0
"""A ramp is never shorter than this where the path has the room.  # source: common practice, no source"""


def is_closed(path: Line) -> bool:
    """True if a path ends where it starts."""
    return len(path) > 3 and bool(np.hypot(*(path[0] - path[-1])) < SAME_MM)


def turned_to(path: Line, at: Point) -> Line:
    """A closed path started at its point nearest to a place.

    Parameters
    ----------
    path
        A closed path.
    at
        The place.
    """
    ring = LineString(path[:, :2])
    along_mm = ring.project(at)
    start = np.array(ring.interpolate(along_mm).coords[0])
    steps = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(path, axis=0).T))])
    after = int(np.searchsorted(steps, along_mm + SNAP_MM))
    before = int(np.searchsorted(steps, along_mm - SNAP_MM, side="left"))
    return np.vstack([start, path[after:], path[1:before], start])


def part_of(line: LineString, from_mm: float, to_mm: float) -> Line:
    """A path between two lengths along it.

    Parameters
    ----------
    line
        The path.
    from_mm, to_mm
        Lengths along it, the first the smaller.
    """
    points = np.array(line.coords)
    steps = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    inner = points[(steps > from_mm + SNAP_MM) & (steps < to_mm - SNAP_MM)]
    ends = [np.array(line.interpolate(one).coords[0]) for one in (from_mm, to_mm)]
    return np.vstack([ends[0], inner, ends[1]])


def can_enter(path: Line, cutter: Cutter) -> bool:
    """True if a path is large enough for a ramp along it.

    Parameters
    ----------
    path
        Path of the cutter's centre.
    cutter
        The cutter.
    """
    extent_mm = float((path.max(axis=0) - path.min(axis=0)).max())
    return extent_mm >= LEAST_ENTRY_RATIO * cutter.diameter_mm - SAME_MM


def at_height(path: Line, z_mm: float) -> Points:
    """A path in plan at one height."""
    return np.column_stack([path, np.full(len(path), z_mm)])


def _coarse(path: Line) -> Line:
    """A path with fewer points: the way down touches no wall that the round at depth does not cut."""
    return np.array(LineString(path).simplify(RAMP_CHORD_MM, preserve_topology=False).coords)


def _sloped(path: Line, from_mm: float, to_mm: float) -> Points:
    """A path in plan that falls evenly from one height to another."""
    steps = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(path, axis=0).T))])
    heights = from_mm - (from_mm - to_mm) * steps / steps[-1]
    heights[-1] = to_mm
    return np.column_stack([path, heights])


def _spiral(path: Line, way_mm: float) -> tuple[Line, Line]:
    """The way down along a ring, and the full round that follows from where it ends."""
    ring = LineString(path)
    way_mm = max(way_mm, min(SHORTEST_LEG_MM, ring.length / 2.0))
    rounds = math.floor(way_mm / ring.length)
    rest_mm = way_mm - rounds * ring.length
    if rest_mm <= SNAP_MM:
        return np.vstack([path[:1], *[_coarse(path)[1:]] * rounds]), path
    down = part_of(ring, 0.0, rest_mm)
    turns = np.vstack([*[_coarse(path)[:-1]] * rounds, _coarse(down)])
    if ring.length - rest_mm <= SNAP_MM:
        return turns, path
    return turns, np.vstack([part_of(ring, rest_mm, ring.length), down[1:]])


def _to_and_fro(path: Line, way_mm: float) -> tuple[Line, Line]:
    """The way down to and fro over the first stretch of an open path, and the whole path that follows."""
    line = LineString(path)
    pairs = max(1, math.ceil((way_mm - SAME_MM) / (2.0 * line.length)))
    leg_mm = max(way_mm / (2.0 * pairs), min(line.length, SHORTEST_LEG_MM))
    there = _coarse(part_of(line, 0.0, min(leg_mm, line.length)))
    pair = np.vstack([there[1:], there[-2::-1]])
    return np.vstack([there[:1], *[pair] * pairs]), path


def ramped(path: Line, from_mm: float, to_mm: float, slope_ratio: float) -> Points:
    """A path with the way down to it: down along a ring and once round, or to and fro along an open path and once over.

    Parameters
    ----------
    path
        Path of the cutter's centre, two points or more.
    from_mm, to_mm
        Height at which the material begins, and that of the path.
    slope_ratio
        Height over way, above 0.

    Returns
    -------
    Points
        Points in space; what the way down leaves is cut by the round at depth.

    Examples
    --------
    >>> down = ramped(np.array([[0.0, 0.0], [30.0, 0.0]]), 4.0, 0.0, 0.1)
    >>> down.tolist()
    [[0.0, 0.0, 4.0], [20.0, 0.0, 2.0], [0.0, 0.0, 0.0], [30.0, 0.0, 0.0]]
    """
    if from_mm <= to_mm + SAME_MM:
        return at_height(path, to_mm)
    way_mm = (from_mm - to_mm) / slope_ratio
    down, level = _spiral(path, way_mm) if is_closed(path) else _to_and_fro(path, way_mm)
    return np.vstack([_sloped(down, from_mm, to_mm), at_height(level, to_mm)[1:]])
