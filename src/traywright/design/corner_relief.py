"""Corner relief: more room in a corner, so that a round cutter leaves nothing the part would ride up on."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from traywright.base.tolerance import ARC_CHORD_MM, SNAP_MM
from traywright.geometry import Region

ROUNDS = 8  # corners are met in the first round; the rest mends where two reliefs leave a spot between them
CORNER_REACH_RATIO = 3.0  # farther than this many radii from where the cutter fits it is a narrow place, no corner
WAYS = ("corner", "x", "y")
"""Which way corner relief goes: into the corner, or along one axis only, so that the other keeps its width."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Relieved:
    """A region that a cutter can clear, and whether it had to be made wider than corner relief makes it."""

    region: Region
    narrow: bool


def relieved(region: Region, radius_mm: float, way: str = "corner") -> Relieved:
    """A region with room added so that a cutter of a radius clears all that was asked.

    Parameters
    ----------
    region
        What must be free, mm.
    radius_mm
        Cutter radius, above 0.
    way
        ``corner``: into each corner, least foam; ``x`` or ``y``: along that axis where the corner allows it.

    Returns
    -------
    Relieved
        ``region`` holds the one given, and a disc of that radius inside it reaches all of the one given. ``narrow``
        is true where a place is narrower than the cutter, so that it was widened all along.

    Notes
    -----
    From the nearest place where the cutter fits it is swept towards the corner just so far that all the corner is
    taken. A place that is no corner is widened by the radius all round.

    Examples
    --------
    >>> square = Region.rectangle(0, 0, 40, 40)
    >>> told = relieved(square, 6.0)
    >>> told.narrow, told.region.contains(square), round(told.region.bounds_mm[0], 1)
    (False, True, -1.8)
    >>> [round(one) for one in relieved(square, 6.0, "y").region.bounds_mm]
    [0, -6, 40, 46]
    """
    found, narrow = region, False
    for turn in range(ROUNDS):
        core = found.grown(-radius_mm)
        left = _left_behind(core, region, radius_mm)
        if not left:
            break
        added = []
        for piece in left:
            relief = None if turn == ROUNDS - 1 else _relief(piece, core, radius_mm, way)
            narrow = narrow or relief is None
            added.append(relief or Region(piece).grown(radius_mm + ARC_CHORD_MM))
        found = found.union(*added)
    return Relieved(region=found, narrow=narrow)


def _left_behind(core: Region, wanted: Region, radius_mm: float) -> list[BaseGeometry]:
    """Pieces of a region that a cutter whose centre stays in the core leaves, in a fixed order."""
    if core.is_empty:
        return [one.shape for one in wanted.pieces()]
    left = wanted.shape.difference(core.grown(radius_mm + 2.0 * ARC_CHORD_MM).shape)
    pieces = [one for one in shapely.get_parts(left).tolist() if one.area > SNAP_MM]
    return sorted(pieces, key=lambda one: one.bounds)


def _relief(corner: BaseGeometry, core: Region, radius_mm: float, way: str) -> Region | None:
    """What the cutter sweeps to take a corner out; None if the place is no corner."""
    if core.is_empty:
        return None
    # a long edge has its far point between its ends
    places = shapely.get_coordinates(shapely.segmentize(corner, radius_mm / 4.0))
    far = shapely.Point(places[int(shapely.distance(shapely.points(places), core.shape).argmax())])
    line = shapely.shortest_line(far, core.shape)
    if line.length > CORNER_REACH_RATIO * radius_mm:
        return None
    there, near = shapely.get_coordinates(line)
    straight = (there - near) / line.length
    axis = np.array({"corner": straight, "x": (np.sign(straight[0]), 0.0), "y": (0.0, np.sign(straight[1]))}[way])
    reach = _reach_mm(places - near, axis, radius_mm)
    if reach is None:
        axis, reach = straight, _reach_mm(places - near, straight, radius_mm)
    if reach is None:
        reach = line.length - radius_mm
    end = near + axis * reach
    return Region.capsule((near[0], near[1]), (end[0], end[1]), radius_mm + ARC_CHORD_MM)


def _reach_mm(places: NDArray[np.float64], axis: NDArray[np.float64], radius_mm: float) -> float | None:
    """How far the cutter must go along an axis to cover all places; None if some lie too far beside it."""
    along = places @ axis
    aside = places @ np.array([-axis[1], axis[0]])
    if not axis.any() or np.abs(aside).max() > radius_mm + ARC_CHORD_MM:
        return None
    return float((along - np.sqrt(np.maximum(radius_mm**2 - aside**2, 0.0))).max())
