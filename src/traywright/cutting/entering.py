"""Runs that clear a solid: down through air where something is cut already, else by a ramp along the run's own path."""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry import LineString, Point
from shapely.geometry.base import BaseGeometry

from traywright.base.tolerance import ARC_CHORD_MM, SAME_MM, SNAP_MM
from traywright.catalogue.cards import Cutter
from traywright.cutting.gone import Layer, air_down_to
from traywright.cutting.ramp import Points, at_height, can_enter, is_closed, ramped, turned_to
from traywright.cutting.rings import Line
from traywright.cutting.run import Run


def _entry_first(paths: list[Line], cutter: Cutter) -> list[Line]:
    """Paths with one in front along which the cutter has room for a ramp: the first of a diameter, else the longest."""
    lengths = [float(np.hypot(*np.diff(one, axis=0).T).sum()) for one in paths]
    roomy = [index for index, length in enumerate(lengths) if length >= cutter.diameter_mm]
    first = roomy[0] if roomy else lengths.index(max(lengths))
    return [paths[first], *paths[:first], *paths[first + 1 :]]


def _from_air(path: Line, free: BaseGeometry) -> Line | None:
    """A path started where the cutter goes down through air, or scrapes a wall by a hair; None if it nowhere does."""
    if is_closed(path):
        place = LineString(path).intersection(free)
        if place.length <= SAME_MM:
            return None
        longest = max(shapely.get_parts(place).tolist(), key=lambda one: (one.length, one.bounds))
        return turned_to(path, longest.interpolate(0.5, normalized=True))
    starts = [free.covers(Point(one)) for one in (path[0], path[-1])]
    return path if starts[0] else path[::-1] if starts[1] else None


def _entered(path: Line, layer: Layer) -> tuple[Points, float] | None:
    """A path with its way down, and the height down to which that is air; None where there is no room for one."""
    loose = _from_air(path, layer.air)
    if loose is not None:
        return at_height(loose, layer.z_mm), layer.z_mm
    if len(path) < 2 or not can_enter(path, layer.cutter):
        return None
    from_mm = air_down_to(layer.cuts, LineString(path), layer.cutter, layer.thickness_mm)
    return ramped(path, from_mm, layer.z_mm, layer.slope_ratio), from_mm


def as_run(parts: list[Points], air_to_mm: float, air: BaseGeometry) -> Run:
    """Points in space as a run.

    Parameters
    ----------
    parts
        Points, part by part.
    air_to_mm
        Height down to which the way to the first point is through air.
    air
        Where the centre cuts nothing.
    """
    flat = np.vstack(parts)
    fresh = np.concatenate([[True], np.sqrt((np.diff(flat, axis=0) ** 2).sum(axis=1)) > SNAP_MM])
    points = tuple((float(x), float(y), float(z)) for x, y, z in flat[fresh])
    length_mm = 0.0 if air.is_empty or len(points) < 2 else LineString(points).intersection(air).length
    return Run(points_mm=points, air_to_mm=air_to_mm, air_mm=float(length_mm))


def solid_runs(paths: list[Line], layer: Layer) -> tuple[Run, ...]:
    """Runs along the paths of one place at one height, none of which plunges into material.

    Parameters
    ----------
    paths
        Paths of the centre in cutting order.
    layer
        The pass: links at depth stay in its place.

    Returns
    -------
    tuple[Run, ...]
        Runs in order. A path without room for a ramp is left out where no link leads to it: the read-back tells it.
    """
    roomy = layer.place.buffer(ARC_CHORD_MM)
    shapely.prepare(roomy)
    found: list[tuple[list[Points], float]] = []
    for path in _entry_first(paths, layer.cutter):
        if found:
            end = found[-1][0][-1][-1][:2]
            turned = turned_to(path, Point(end)) if is_closed(path) else path
            if roomy.covers(LineString([end, turned[0]])):
                found[-1][0].append(at_height(turned, layer.z_mm))
                continue
        entered = _entered(path, layer)
        if entered is not None:
            found.append(([entered[0]], entered[1]))
    return tuple(as_run(parts, air_to_mm, layer.air) for parts, air_to_mm in found)
