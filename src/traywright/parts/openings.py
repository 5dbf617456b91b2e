"""Plan regions of a part as it lies: shadow, section, and where foam must not stand at a height."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import shapely

from traywright.base.tolerance import SAME_MM
from traywright.geometry import Region, section_at, shadow, shadow_below, split_by_plane
from traywright.parts.part import Pose, Rule

KEPT_ANSWERS = 512
"""Answers kept: the design asks for the same heights of the same pose again and again."""
UP = (0.0, 0.0, 1.0)


@lru_cache(maxsize=KEPT_ANSWERS)
def silhouette(pose: Pose) -> Region:
    """Region that the part covers seen from above; what can be looked through is a hole.

    Parameters
    ----------
    pose
        The part as it lies.

    Notes
    -----
    Exact for the part's mesh, whose chords lie up to ``part.chord_mm`` inside round faces.
    """
    return shadow(pose.solid)


@lru_cache(maxsize=KEPT_ANSWERS)
def section(pose: Pose, z_mm: float) -> Region:
    """Region in which the plane at a height cuts the part.

    Parameters
    ----------
    pose
        The part as it lies.
    z_mm
        Height in the pose frame.
    """
    return section_at(pose.solid, z_mm)


@lru_cache(maxsize=KEPT_ANSWERS)
def _shadow_under(pose: Pose, z_mm: float) -> Region:
    return shadow_below(pose.solid, z_mm)


@lru_cache(maxsize=KEPT_ANSWERS)
def _forbidden_under(pose: Pose, z_mm: float, grown_mm: float) -> Region:
    """What lies within a distance, in plan, of spots below a height that must not be touched at rest."""
    corners = pose.surface.mesh.corners_mm[pose.surface.rules > Rule.ALLOWED]
    corners = corners[corners[:, :, 2].min(axis=1) < z_mm]
    if not len(corners):
        return Region.empty()
    low, _, _, _ = split_by_plane(corners, UP, z_mm)
    around = low[:, [0, 1, 2, 0], :2]
    across = (around[:, 1, 0] - around[:, 0, 0]) * (around[:, 2, 1] - around[:, 0, 1]) - (
        around[:, 2, 0] - around[:, 0, 0]
    ) * (around[:, 1, 1] - around[:, 0, 1])
    # a wall seen from above is a line, which has no area but keeps foam away as well
    flat = np.abs(across) > SAME_MM * SAME_MM
    areas = shapely.union_all(shapely.polygons(around[flat]))
    lines = shapely.union_all(shapely.linestrings(around[~flat]))
    return Region.near(shapely.union(areas, lines), grown_mm)


@lru_cache(maxsize=KEPT_ANSWERS)
def opening(pose: Pose, z_mm: float, *, clearance_mm: float, stand_off_mm: float) -> Region:
    """Plan region in which foam must not stand at a height, so that the part goes in and rests as it may.

    Parameters
    ----------
    pose
        The part as it lies.
    z_mm
        Height in the pose frame, any number.
    clearance_mm
        Least distance in plan of foam from every spot below that height, from 0 up; the part's tolerance and the
        chord of its mesh are added.
    stand_off_mm
        Further distance, in plan and in height, from spots ruled never or not_at_rest, from 0 up.

    Returns
    -------
    Region
        Grows with the height; empty below the part.

    Notes
    -----
    A part goes in straight down, so foam at a height must clear all that passes it: every spot of the part below
    that height. A spot that must not be touched at rest is cleared by ``clearance + stand_off`` from ``stand_off``
    below it upward.
    """
    own_mm = clearance_mm + pose.part.tolerance_mm + pose.part.chord_mm
    whole = _shadow_under(pose, z_mm)
    whole = whole.grown(own_mm) if own_mm > 0.0 else whole
    return whole.union(_forbidden_under(pose, z_mm + stand_off_mm, own_mm + stand_off_mm))
