"""The cut round a piece: outside, in climb, lifted over every bridge, nothing cut twice along a shared kerf."""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from traywright.base.tolerance import SAME_MM, SNAP_MM
from traywright.catalogue.cards import Cutter
from traywright.cutting.clearing import steps_down
from traywright.cutting.ramp import is_closed, part_of
from traywright.cutting.rings import THIN_MM, Line, lines, quarter_chords
from traywright.cutting.run import XYZ, Run

RAMP_RATIO = 1.0
"""Way along for one of height when the cutter rises over a bridge.  # source: 45°, common practice, no stop"""

SHORTEST_MM = 0.5
"""A leftover of a shared kerf shorter than this is cut already.  # source: foam accuracy, common practice"""

Keeps = tuple[tuple[BaseGeometry, float], ...]


def keeps_of(links: tuple[tuple[BaseGeometry, float], ...], cutter: Cutter) -> Keeps:
    """Where a cutter's centre must be lifted, and how high: each link grown by the cutter's radius.

    Parameters
    ----------
    links
        Links of all bridges in plan and their height, mm above the spoil board.
    cutter
        The cutter.

    Notes
    -----
    Along a straight path the lift is waist + 2 r long, so that the waist stays.
    """
    radius_mm = cutter.radius_mm
    return tuple((link.buffer(radius_mm, quad_segs=quarter_chords(radius_mm)), height_mm) for link, height_mm in links)


def outline_paths(outline: BaseGeometry, done: tuple[Line, ...], cutter: Cutter) -> list[Line]:
    """Paths of the centre round a piece, clockwise, without what an earlier path along the same kerf has cut.

    Parameters
    ----------
    outline
        The piece.
    done
        Paths round earlier pieces.
    cutter
        The cutter.

    Returns
    -------
    list[Line]
        One closed path, or the open parts that are left.
    """
    radius_mm = cutter.radius_mm
    found: list[Line] = []
    grown = outline.buffer(radius_mm, quad_segs=quarter_chords(radius_mm))
    for area in shapely.get_parts(grown).tolist():
        ring: BaseGeometry = LineString(orient(area, -1.0).exterior.coords)
        if done:
            ring = ring.difference(shapely.union_all([LineString(one).buffer(THIN_MM) for one in done]))
        found += [np.array(one.coords) for one in lines(ring) if one.length > SHORTEST_MM]
    return found


def from_free_place(path: Line, keeps: Keeps, reach_mm: float) -> Line:
    """A closed path started where no bridge is near.

    Parameters
    ----------
    path
        A closed path.
    keeps
        Where the centre must be lifted.
    reach_mm
        Free way to keep from each, mm.
    """
    ring = LineString(path)
    busy = shapely.union_all([area.buffer(reach_mm) for area, _ in keeps]) if keeps else Polygon()
    free = [one for one in lines(ring.difference(busy)) if one.length > SNAP_MM]
    if not free:
        return path
    longest = max(free, key=lambda one: (one.length, one.bounds))
    start_mm = ring.project(longest.interpolate(0.5, normalized=True))
    return np.vstack([part_of(ring, start_mm, ring.length), part_of(ring, 0.0, start_mm)[1:]])


def lifts_of(
    line: LineString, keeps: Keeps, z_mm: float, ramp_ratio: float = RAMP_RATIO
) -> list[tuple[float, float, float]]:
    """Lengths along a path between which it is lifted, and how high; near ones joined to the higher.

    Parameters
    ----------
    line
        The path.
    keeps
        Where the centre must be lifted and how high.
    z_mm
        Height of the path elsewhere.
    ramp_ratio
        Way along for one of height beside a bridge; 0 where the cutter rises straight.
    """
    found = []
    for area, height_mm in keeps:
        if height_mm <= z_mm + SAME_MM:
            continue
        for part in lines(line.intersection(area)):
            ends = sorted(line.project(Point(one)) for one in (part.coords[0], part.coords[-1]))
            found.append((ends[0], ends[1], height_mm))
    joined: list[tuple[float, float, float]] = []
    for start, end, height_mm in sorted(found):
        gap_mm = 2.0 * (height_mm - z_mm) * ramp_ratio
        if joined and start - joined[-1][1] <= gap_mm:
            last = joined.pop()
            joined.append((last[0], max(last[1], end), max(last[2], height_mm)))
        else:
            joined.append((start, end, height_mm))
    return joined


def lifted(path: Line, keeps: Keeps, z_mm: float) -> tuple[XYZ, ...]:
    """A path at a height, with a ramp up before and down after each bridge.

    Parameters
    ----------
    path
        Path in plan.
    keeps
        Where the centre must be lifted and how high.
    z_mm
        Height of the path elsewhere.

    Returns
    -------
    tuple[XYZ, ...]
        Points; at a bridge the full height holds over the whole keep-out, ramps lie outside of it.
    """
    line = LineString(path)
    marks: list[tuple[float, float]] = []
    for start, end, height_mm in lifts_of(line, keeps, z_mm):
        ramp_mm = (height_mm - z_mm) * RAMP_RATIO
        marks += [(start - ramp_mm, z_mm), (start, height_mm), (end, height_mm), (end + ramp_mm, z_mm)]
    if not marks:
        return tuple((float(x), float(y), z_mm) for x, y in path)
    places, heights = (np.array(one) for one in zip(*marks, strict=True))
    steps = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(path, axis=0).T))])
    inner = [one for one in places if SNAP_MM < one < line.length - SNAP_MM]
    every = np.unique(np.concatenate([steps, inner]))
    every = every[np.concatenate([[True], np.diff(every) > SNAP_MM])]
    z = np.interp(every, places, heights, left=None, right=None)
    spots = [line.interpolate(float(one)).coords[0] for one in every]
    return tuple((float(x), float(y), float(height)) for (x, y), height in zip(spots, z, strict=True))


def outline_runs(
    outline: BaseGeometry, done: tuple[Line, ...], keeps: Keeps, *, cutter: Cutter, depth_mm: tuple[float, float]
) -> tuple[tuple[Run, ...], tuple[Line, ...]]:
    """Runs round one piece and the paths they follow.

    Parameters
    ----------
    outline
        The piece.
    done
        Paths round earlier pieces.
    keeps
        Where the centre must be lifted and how high.
    cutter
        The cutter.
    depth_mm
        Board thickness and lowest height (negative: into the spoil board).

    Returns
    -------
    tuple[tuple[Run, ...], tuple[Line, ...]]
        Runs pass by pass, and the paths.
    """
    top_mm, lowest_mm = depth_mm
    heights = steps_down(top_mm, lowest_mm, cutter)
    highest_mm = max((height_mm for _, height_mm in keeps), default=lowest_mm)
    ramp_mm = max(0.0, highest_mm - lowest_mm) * RAMP_RATIO
    paths = [
        from_free_place(one, keeps, ramp_mm) if is_closed(one) else one for one in outline_paths(outline, done, cutter)
    ]
    runs = []
    for path in paths:
        passes = [lifted(path, keeps, z_mm) for z_mm in heights]
        grouped = [tuple(point for one in passes for point in one)] if is_closed(path) else passes
        tops = [top_mm, *heights[:-1]] if len(grouped) > 1 else [top_mm]
        runs += [Run(points_mm=one, air_to_mm=top, air_mm=0.0) for one, top in zip(grouped, tops, strict=True)]
    return tuple(runs), tuple(paths)
