"""Height maps of a part as it lies, from below, above and the four sides, with the rule of the spot that is met."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from traywright.base.tolerance import ARC_CHORD_MM
from traywright.geometry import Grid, Mesh, highest, highest_marks, lowest, lowest_marks
from traywright.parts.faces import FLAT_RATIO, normals_of
from traywright.parts.part import Pose, Rule

LEVEL_CELL_MM = 0.5  # source: ours: spots narrower than what foam holds are no seat and no relief
SIDES: dict[str, tuple[int, int, bool]] = {
    "left": (0, 1, False),
    "right": (0, 1, True),
    "front": (1, 0, False),
    "back": (1, 0, True),
}
"""For each side of the tray frame: the axis looked along, the axis across, and whether the far end is met."""


def underside(pose: Pose, cell_mm: float) -> Grid:
    """Map of the part's lowest height over each cell centre (pose frame, mm), infinite outside the part.

    Parameters
    ----------
    pose
        The part as it lies.
    cell_mm
        Side of a cell, above 0; cell borders are whole multiples of it.
    """
    return lowest(pose.solid, cell_mm)


def topside(pose: Pose, cell_mm: float) -> Grid:
    """Map of the part's largest height over each cell centre (pose frame, mm), minus infinity outside the part.

    Parameters
    ----------
    pose
        The part as it lies.
    cell_mm
        Side of a cell, above 0; cell borders are whole multiples of it.
    """
    return highest(pose.solid, cell_mm)


def _rules(told: Grid) -> Grid:
    return Grid(told.origin_mm, told.cell_mm, told.values.astype(np.int8))


def underside_rules(pose: Pose, cell_mm: float) -> Grid:
    """Map of the strictest rule of the spots met from below, -1 outside the part; cells as in ``underside``.

    Parameters
    ----------
    pose
        The part as it lies.
    cell_mm
        Side of a cell, above 0.
    """
    return _rules(lowest_marks(pose.surface.mesh, pose.surface.rules, cell_mm))


def topside_rules(pose: Pose, cell_mm: float) -> Grid:
    """Map of the strictest rule of the spots met from above, -1 outside the part; cells as in ``topside``.

    Parameters
    ----------
    pose
        The part as it lies.
    cell_mm
        Side of a cell, above 0.
    """
    return _rules(highest_marks(pose.surface.mesh, pose.surface.rules, cell_mm))


def _seen_from(mesh: Mesh, direction: str) -> tuple[Mesh, bool]:
    """The mesh in the frame of a side: across, height, depth."""
    along, across, far = SIDES[direction]
    return Mesh(mesh.points_mm[:, [across, 2, along]], mesh.triangles), far


def side_reach(pose: Pose, direction: str, cell_mm: float) -> Grid:
    """Map of how far the part reaches towards a side, over place across (columns) and height (rows).

    Parameters
    ----------
    pose
        The part as it lies.
    direction
        left, right (x is reached, y lies across), front or back (y is reached, x lies across).
    cell_mm
        Side of a cell, above 0.

    Returns
    -------
    Grid
        The extreme coordinate in mm, pose frame: the least x or y for left and front (infinite where the part is
        not), the largest for right and back (minus infinity).

    Raises
    ------
    KeyError
        If the direction is none of the four: a bug in us.
    """
    seen, far = _seen_from(pose.solid, direction)
    return highest(seen, cell_mm) if far else lowest(seen, cell_mm)


def side_rules(pose: Pose, direction: str, cell_mm: float) -> Grid:
    """Map of the strictest rule of the spots met from a side, -1 outside the part; cells as in ``side_reach``.

    Parameters
    ----------
    pose
        The part as it lies.
    direction
        left, right, front or back.
    cell_mm
        Side of a cell, above 0.

    Raises
    ------
    KeyError
        If the direction is none of the four: a bug in us.
    """
    seen, far = _seen_from(pose.surface.mesh, direction)
    marks = pose.surface.rules
    return _rules(highest_marks(seen, marks, cell_mm) if far else lowest_marks(seen, marks, cell_mm))


def _patches(pose: Pose) -> NDArray[np.int64]:
    """Number of each triangle's patch: one face under one rule, carrying or not."""
    keys = np.column_stack([pose.surface.faces, pose.surface.rules, pose.surface.carries])
    _, patch = np.unique(keys, axis=0, return_inverse=True)
    return patch.reshape(-1)


def _met(pose: Pose, patch: NDArray[np.int64], *, below: bool) -> dict[int, float]:
    """For each patch that is met on a cell centre the lowest height from below, or the highest from above, there."""
    heights, marks = (lowest, lowest_marks) if below else (highest, highest_marks)
    mesh, most = pose.surface.mesh, int(patch.max())
    there = heights(mesh, LEVEL_CELL_MM).values.ravel()
    # a cell shared by two patches has the larger number: ask a second time with the numbers turned over
    largest = marks(mesh, patch, LEVEL_CELL_MM).values.ravel()
    least = most - marks(mesh, most - patch, LEVEL_CELL_MM).values.ravel()
    sign = 1.0 if below else -1.0
    ends = np.full(most + 1, np.inf)
    for told in (largest, least):
        inside = np.isfinite(there)
        np.minimum.at(ends, told[inside], sign * there[inside])
    return {number: sign * float(end) for number, end in enumerate(ends.tolist()) if np.isfinite(end)}


def _end_of(corners: NDArray[np.float64], met_mm: float, *, below: bool) -> float:
    """The exact end of a patch: its last corner no further than a cell beyond what is met at a cell centre."""
    heights = corners[:, :, 2].ravel()
    if below:
        return float(heights[heights >= met_mm - LEVEL_CELL_MM].min())
    return float(heights[heights <= met_mm + LEVEL_CELL_MM].max())


def _bottoms(pose: Pose) -> Iterator[tuple[float, Rule, bool]]:
    """Lowest spot of each face that is met from below, its rule, and whether it may carry."""
    surface = pose.surface
    patch = _patches(pose)
    corners = surface.mesh.corners_mm
    downward = normals_of(corners)[0][:, 2] < -FLAT_RATIO
    for number, met_mm in _met(pose, patch, below=True).items():
        own = (patch == number) & downward
        if own.any():
            first = int(np.argmax(own))
            bottom = _end_of(corners[own], met_mm, below=True)
            yield bottom, Rule(int(surface.rules[first])), bool(surface.carries[first])


def _resting(bottoms: tuple[tuple[float, Rule, bool], ...]) -> set[float]:
    return {_told_mm(bottom) for bottom, rule, carries in bottoms if rule is Rule.ALLOWED and carries}


def resting_levels(pose: Pose) -> tuple[float, ...]:
    """Heights at which the part may rest: of each face met from below that may be touched and carry, rising.

    Parameters
    ----------
    pose
        The part as it lies.
    """
    return tuple(sorted(_resting(tuple(_bottoms(pose)))))


def seat_levels(pose: Pose, *, stand_off_mm: float) -> tuple[float, ...]:
    """Heights at which a flat floor should stand: where the part may rest, and where a relief must reach.

    Parameters
    ----------
    pose
        The part as it lies.
    stand_off_mm
        Distance foam keeps at rest from spots ruled never or not_at_rest, from 0 up.

    Returns
    -------
    tuple
        Heights in the pose frame, mm, rising, may be negative: for each face that is met from below its lowest
        spot if it may be touched and carry, its lowest spot less the stand-off if it may not be touched at rest.

    Notes
    -----
    A spot narrower than half a millimetre in plan may go unseen; the opening still clears it. Heights are told to
    0.01 mm, since the mesh of a round face does not know its bottom better. In its other states the part stands on
    the same floors, higher by what is added under its seats (``lift_mm``).
    """
    bottoms = tuple(_bottoms(pose))
    reliefs = {_told_mm(bottom - stand_off_mm) for bottom, rule, _ in bottoms if rule > Rule.ALLOWED}
    return tuple(sorted(reliefs | _resting(bottoms)))


def hold_plane_mm(pose: Pose) -> float:
    """Height of the highest spot met from above that may be touched and carry, minus infinity if there is none.

    Parameters
    ----------
    pose
        The part as it lies.
    """
    surface = pose.surface
    patch = _patches(pose)
    corners = surface.mesh.corners_mm
    able = (surface.rules == Rule.ALLOWED) & surface.carries & (normals_of(corners)[0][:, 2] > FLAT_RATIO)
    ends = [
        _end_of(corners[able & (patch == number)], met_mm, below=False)
        for number, met_mm in _met(pose, patch, below=False).items()
        if (able & (patch == number)).any()
    ]
    return _told_mm(max(ends)) if ends else -np.inf


def _told_mm(height_mm: float) -> float:
    """A height to one chord step: the mesh of a round face does not know its bottom better."""
    return round(round(height_mm / ARC_CHORD_MM) * ARC_CHORD_MM, 6) + 0.0
