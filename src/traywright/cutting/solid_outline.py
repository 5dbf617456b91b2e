"""The cut round a piece of a solid: pass by pass, each entered by a ramp, and straight up and over every bridge."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from shapely.geometry import LineString, Point
from shapely.geometry.base import BaseGeometry

from traywright.base.tolerance import SNAP_MM
from traywright.catalogue.cards import Cutter
from traywright.cutting.entering import as_run
from traywright.cutting.outline import Keeps, from_free_place, lifts_of, outline_paths
from traywright.cutting.ramp import (
    LEAST_ENTRY_RATIO,
    Points,
    at_height,
    is_closed,
    part_of,
    ramped,
    turned_to,
)
from traywright.cutting.rings import Line
from traywright.cutting.run import Run

Lift = tuple[float, float, float]
"""Lengths along a path between which it is lifted, and the height."""


def _stretch(line: LineString, from_mm: float, to_mm: float) -> Line:
    """A part of a path; one that ends beyond the path's end goes on at its start."""
    over_mm = to_mm - line.length
    if over_mm <= SNAP_MM:
        return part_of(line, from_mm, min(to_mm, line.length))
    if line.length - from_mm <= SNAP_MM:
        return part_of(line, 0.0, over_mm)
    return np.vstack([part_of(line, from_mm, line.length), part_of(line, 0.0, over_mm)[1:]])


def _spans(line: LineString, lifts: list[Lift], *, closed: bool) -> list[tuple[float, float, Lift | None]]:
    """Lengths between which a path is at depth, each with the bridge that comes then."""
    if closed:
        starts = [*(one[0] for one in lifts[1:]), lifts[0][0] + line.length]
        return [
            (here[1], to_mm, there) for here, to_mm, there in zip(lifts, starts, (*lifts[1:], lifts[0]), strict=True)
        ]
    ends = [0.0, *(one[1] for one in lifts)]
    starts = [*(one[0] for one in lifts), line.length]
    return list(zip(ends, starts, (*lifts, None), strict=True))


def _bridged(
    line: LineString, lifts: list[Lift], heights_mm: tuple[float, float], *, slope_ratio: float, least_mm: float
) -> Points:
    """One pass of a path with bridges: down along each stretch, along it, straight up, over the bridge."""
    above_mm, z_mm = heights_mm
    found: list[Points] = []
    over_mm = above_mm
    for from_mm, to_mm, lift in _spans(line, lifts, closed=is_closed(np.array(line.coords))):
        if to_mm - from_mm >= least_mm:
            # what the last pass left, or the bridge itself where this pass is the first below its top
            found.append(ramped(_stretch(line, from_mm, to_mm), min(above_mm, over_mm), z_mm, slope_ratio))
        elif to_mm - from_mm > SNAP_MM and found:
            found.append(at_height(_stretch(line, from_mm, to_mm), over_mm))
        if lift is not None and lift[1] - lift[0] > SNAP_MM:
            found.append(at_height(part_of(line, lift[0], lift[1]), lift[2]))
            over_mm = lift[2]
    return np.vstack(found) if found else np.empty((0, 3))


def _passes(
    path: Line, keeps: Keeps, heights_mm: tuple[float, ...], *, cutter: Cutter, slope_ratio: float
) -> list[Run]:
    """Runs of one path, from the material's top down through its heights."""
    least_mm = LEAST_ENTRY_RATIO * cutter.diameter_mm
    rounds: list[Points] = []
    runs: list[Run] = []
    for above_mm, z_mm in pairwise(heights_mm):
        lifts = lifts_of(LineString(path), keeps, z_mm, 0.0)
        if not lifts and is_closed(path):
            start = turned_to(path, Point(rounds[-1][-1][:2])) if rounds else path
            rounds.append(ramped(start, above_mm, z_mm, slope_ratio))
            continue
        points = _bridged(LineString(path), lifts, (above_mm, z_mm), slope_ratio=slope_ratio, least_mm=least_mm)
        runs += [as_run([points], above_mm, Point())] if len(points) else []
    return [*([as_run(rounds, heights_mm[0], Point())] if rounds else []), *runs]


def solid_outline_runs(
    outline: BaseGeometry,
    done: tuple[Line, ...],
    keeps: Keeps,
    *,
    cutter: Cutter,
    heights_mm: tuple[float, ...],
    slope_ratio: float,
) -> tuple[tuple[Run, ...], tuple[Line, ...]]:
    """Runs round one piece of a solid and the paths they follow.

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
    heights_mm
        Where the material begins, then the heights of the passes, mm above the spoil board.
    slope_ratio
        Height over way of the steepest entry, above 0.

    Returns
    -------
    tuple[tuple[Run, ...], tuple[Line, ...]]
        Runs pass by pass, and the paths.
    """
    paths = [
        from_free_place(one, keeps, 0.0) if is_closed(one) else one for one in outline_paths(outline, done, cutter)
    ]
    runs = [run for path in paths for run in _passes(path, keeps, heights_mm, cutter=cutter, slope_ratio=slope_ratio)]
    return tuple(runs), tuple(paths)
