"""Hollows of a part as it lies that foam cannot fill: under one piece of it and over another."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from traywright.base import Finding, Severity, finding
from traywright.geometry import Mesh, SolidColumns, solid_columns
from traywright.parts.part import Pose

UNDERCUT_CELL_MM = 0.25  # source: ours: half of what foam holds
MOST_CELLS = 2_000_000  # source: ours: 350 x 350 mm at the finest cell; what is larger is looked at more coarsely
LEAST_HOLLOW_MM = 0.1  # source: ours: a hollow so low is a chord of a round or a joint, foam does not show it
LEAST_CELLS = 4  # source: ours: fewer cells are the noise of an edge
MOST_TOLD = 5  # source: ours: the largest are told one by one, the others counted
KEPT_ANSWERS = 64


@dataclass(frozen=True, slots=True, kw_only=True)
class Undercut:
    """A hollow under a piece of the part and over another: a groove, a cross hole, a bore that lies flat.

    Pose frame, mm: ``place_mm`` is the middle of its bounding box and ``size_mm`` that box; ``area_mm2`` is its plan;
    ``deepest_mm`` the largest hollow height in one column.
    """

    place_mm: tuple[float, float, float]
    size_mm: tuple[float, float, float]
    area_mm2: float
    volume_mm3: float
    deepest_mm: float


def undercut_cell_mm(mesh: Mesh) -> float:
    """Side of the cells in which a part is searched: 0.25 mm, doubled until two million cells hold the part.

    Parameters
    ----------
    mesh
        Closed mesh as it lies.
    """
    low, high = mesh.bounds_mm
    cell_mm = UNDERCUT_CELL_MM
    while math.ceil((high[0] - low[0]) / cell_mm) * math.ceil((high[1] - low[1]) / cell_mm) > MOST_CELLS:
        cell_mm *= 2.0
    return cell_mm


def _undercuts_in(columns: SolidColumns) -> tuple[Undercut, ...]:
    """Each hollow of the columns, largest first."""
    order = np.argsort(columns.group, kind="stable")
    found = []
    for own in np.split(order, np.flatnonzero(np.diff(columns.group[order])) + 1):
        if len(own) < LEAST_CELLS:
            continue
        cell_mm, (left_mm, front_mm) = columns.cell_mm, columns.origin_mm
        across, along = columns.column[own], columns.row[own]
        bottom, top = columns.bottom_mm[own], columns.top_mm[own]
        low = np.array([left_mm + cell_mm * across.min(), front_mm + cell_mm * along.min(), bottom.min()])
        high = np.array([left_mm + cell_mm * (across.max() + 1), front_mm + cell_mm * (along.max() + 1), top.max()])
        cells = np.unique(along.astype(np.int64) * columns.solid_mm.shape[1] + across)
        found.append(
            Undercut(
                place_mm=_rounded((low + high) / 2.0),
                size_mm=_rounded(high - low),
                area_mm2=round(len(cells) * cell_mm * cell_mm, 3),
                volume_mm3=round(float((top - bottom).sum()) * cell_mm * cell_mm, 3),
                deepest_mm=round(float((top - bottom).max()), 3),
            )
        )
    return tuple(sorted(found, key=lambda one: (-one.volume_mm3, one.place_mm)))


def _rounded(row: np.ndarray[tuple[int], np.dtype[np.float64]]) -> tuple[float, float, float]:
    x_mm, y_mm, z_mm = (round(float(one), 3) + 0.0 for one in row)
    return (x_mm, y_mm, z_mm)


def undercuts_of_mesh(mesh: Mesh) -> tuple[Undercut, ...]:
    """Hollows of a closed mesh as it lies, largest first.

    Parameters
    ----------
    mesh
        Closed mesh, z up.

    Returns
    -------
    tuple
        In the mesh's own frame.

    Notes
    -----
    A column that passes through the part, out of it and in again is hollow between. What lies under the part's lowest
    face, or above its highest, is none: foam reaches it from below, and the opening is free above. A void that is
    closed all round is told as well. Columns stand over cell centres (``undercut_cell_mm``); hollows of less than
    0.1 mm or of less than four cells are left out, so that a slot narrower than a cell may go unseen.

    Examples
    --------
    >>> from traywright.geometry import Region, combined, extruded
    >>> block = extruded(Region.rectangle(0, 0, 20, 10), 0.0, 10.0)
    >>> slot = extruded(Region.rectangle(5, -1, 15, 11), 4.0, 7.0)
    >>> undercuts_of_mesh(combined([block], [slot]))[0].volume_mm3
    300.0
    """
    return _undercuts_in(solid_columns(mesh, undercut_cell_mm(mesh), least_mm=LEAST_HOLLOW_MM))


@lru_cache(maxsize=KEPT_ANSWERS)
def undercuts(pose: Pose) -> tuple[Undercut, ...]:
    """Hollows of a part as it lies that foam from below cannot fill and the part would cut on its way out.

    Parameters
    ----------
    pose
        The part as it lies.

    Returns
    -------
    tuple
        In the pose frame, largest first; see ``undercuts_of_mesh`` for what counts.
    """
    return undercuts_of_mesh(pose.solid)


def undercut_findings(part_id: str, found: Sequence[Undercut]) -> tuple[Finding, ...]:
    """A note for each of the largest hollows, and one that counts the others.

    Parameters
    ----------
    part_id
        Named in the findings.
    found
        As ``undercuts`` tells them.
    """
    told = [
        finding(
            "PART-110",
            Severity.NOTE,
            (part_id,),
            point_mm=one.place_mm,
            part=part_id,
            length_mm=one.size_mm[0],
            width_mm=one.size_mm[1],
            height_mm=one.size_mm[2],
            deepest_mm=one.deepest_mm,
            x_mm=one.place_mm[0],
            y_mm=one.place_mm[1],
            z_mm=one.place_mm[2],
        )
        for one in found[:MOST_TOLD]
    ]
    if len(found) > MOST_TOLD:
        more = finding("PART-111", Severity.NOTE, (part_id,), part=part_id, count=len(found) - MOST_TOLD)
        return (*told, more)
    return tuple(told)
