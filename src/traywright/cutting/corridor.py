"""The kerf corridor round a piece: how far a cutter may run out of an open recess, and what bridges keep there."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from traywright.base.errors import CutError
from traywright.base.tolerance import ARC_CHORD_MM, SNAP_MM
from traywright.cutting.rings import lines
from traywright.nesting.setup import Bridge

RUN_OUT_MM = 1.5
"""How far the centre passes an open edge.  # source: common practice, 1 to 2 mm"""

KEPT_FROM_NEIGHBOUR_MM = 1.0
"""Foam kept between a run-out and the next piece.  # source: common practice, no source"""

FREE_MM = 1e4  # source: no neighbour: farther than any board


def link_of(bridge: Bridge, outline: BaseGeometry, corridor_mm: float) -> Polygon:
    """The foam of a bridge in plan: its waist wide, from the piece's edge across the kerf.

    Parameters
    ----------
    bridge
        The bridge.
    outline
        The piece's outline, to tell which side is outside.
    corridor_mm
        Width of the kerf.
    """
    at, along = np.array(bridge.at_mm), np.array(bridge.along)
    out = np.array([along[1], -along[0]])
    if outline.covers(shapely.Point(at + out)):
        out = -out
    half = along * bridge.waist_mm / 2.0
    return Polygon([at - half, at + half, at + half + out * corridor_mm, at - half + out * corridor_mm])


def _open_edges(void: BaseGeometry, outline: BaseGeometry) -> Iterable[tuple[np.ndarray, np.ndarray]]:
    """The straight parts of a piece's edge at which a void is open."""
    touching = outline.boundary.intersection(void.buffer(SNAP_MM, join_style="mitre"))
    for line in lines(touching):
        points = np.array(line.coords)
        for start, end in pairwise(points):
            if np.hypot(*(end - start)) > 2.0 * ARC_CHORD_MM:
                yield start, end


def run_outs(
    void: BaseGeometry,
    outline: BaseGeometry,
    *,
    others: BaseGeometry,
    radius_mm: float,
    name: str,
) -> BaseGeometry:
    """The ground outside a piece that the cutter may sweep to leave an open recess cleanly.

    Parameters
    ----------
    void
        The recess.
    outline
        Outline of its piece.
    others
        Outlines of the other pieces.
    radius_mm
        Cutter radius.
    name
        Recess id, for the error.

    Returns
    -------
    BaseGeometry
        Strips outside the open edges, as deep as run-out and radius; empty for a closed recess.

    Raises
    ------
    CutError
        CUT-005 if the corridor to the next piece is too narrow for the cutter to pass the edge at all.

    Notes
    -----
    The centre passes the edge by 1.5 mm and never more than corridor - radius - 1.
    """
    strips = []
    for start, end in _open_edges(void, outline):
        along = (end - start) / np.hypot(*(end - start))
        out = np.array([along[1], -along[0]])
        if outline.covers(shapely.Point((start + end) / 2.0 + out * 2.0 * ARC_CHORD_MM)):
            out = -out
        ahead = Polygon([start, end, end + out * FREE_MM, start + out * FREE_MM]).intersection(others)
        corridor_mm = FREE_MM if ahead.is_empty else float(LineString([start, end]).distance(ahead))
        beyond_mm = min(RUN_OUT_MM, corridor_mm - radius_mm - KEPT_FROM_NEIGHBOUR_MM)
        if beyond_mm <= 0.0:
            raise CutError("CUT-005", feature=name, corridor_mm=round(corridor_mm, 3), radius_mm=radius_mm)
        depth = out * (beyond_mm + radius_mm)
        back = -out * ARC_CHORD_MM
        strips.append(Polygon([start + back, end + back, end + depth, start + depth]))
    return shapely.union_all(strips) if strips else Polygon()
