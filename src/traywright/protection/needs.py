"""Foam that each part needs on each side, before a tray is drawn."""

from __future__ import annotations

import math

import numpy as np

from traywright.base import Given
from traywright.base.tolerance import PROTECTION_CELL_MM, SNAP_MM
from traywright.catalogue import Foam, table
from traywright.parts import Pose
from traywright.parts.part import Rule
from traywright.protection.face import Face, face_of
from traywright.protection.gas_model import QUICK_RATIO, SLOW_RATIO, curve_of
from traywright.protection.landing import Columns, land
from traywright.protection.wall_need import DIRECTIONS, WallNeed


def wall_needs(poses: tuple[Pose, ...], foam: Foam, drops: tuple[Given, ...]) -> tuple[WallNeed, ...]:
    """Least foam on each side of each part, per drop height, that keeps acceleration and strain within limits.

    Parameters
    ----------
    poses
        The parts as they lie.
    foam
        The grade; without a curve ``by_drop_mm`` stays empty.
    drops
        Drop heights, mm.

    Returns
    -------
    tuple of WallNeed
        By pose, then direction (pose frame). Thickness counts from the outermost spot of that side outwards;
        infinite where no wall up to ``thickest_wall`` (table ``protection_rules``) does it or no spot may be touched.

    Notes
    -----
    The pocket is taken as conforming: every spot that is allowed to be touched rests on foam at once, and foam behind a
    recessed spot is thicker by its recess. Spots ruled never or not at rest carry nothing, and one ruled never must not
    reach what is hard behind the wall (its relief is as deep as the travel). The part falls alone: no neighbour presses
    on it. Strain and travel are judged at the slow rate, acceleration at the worse one; a part of unknown fragility is
    judged by strain alone.
    """
    heights = tuple(one.value for one in drops)
    found = []
    for pose in poses:
        for direction in DIRECTIONS:
            by_drop = tuple((drop_mm, need_mm(pose, direction, foam, drop_mm=drop_mm)) for drop_mm in heights)
            found.append(
                WallNeed(
                    part=pose.part.id,
                    direction=direction,
                    foam=foam.id,
                    by_drop_mm=by_drop if foam.has_curve else (),
                )
            )
    return tuple(found)


def need_mm(pose: Pose, direction: str, foam: Foam, *, drop_mm: float) -> float:
    """Least foam on one side of one part for one drop height, mm; infinite where there is none.

    Parameters
    ----------
    pose
        The part as it lies.
    direction
        Side of the part, pose frame.
    foam
        The grade.
    drop_mm
        Height of the fall, above 0.

    Notes
    -----
    Method and a worked example: ``wall_needs`` and ``docs/protection.md``.
    """
    if not foam.has_curve:
        return math.inf
    face = face_of(pose, direction, PROTECTION_CELL_MM)
    columns = conforming(face)
    never = face.recess_mm[face.rules == Rule.NEVER]
    free_mm = float(never.min()) if never.size else math.inf
    fragility = math.inf if pose.part.fragility is None else pose.part.fragility.value
    slow, quick = curve_of(foam, SLOW_RATIO), curve_of(foam, QUICK_RATIO)

    def holds(wall_mm: float) -> bool:
        behind = columns.deeper(wall_mm)
        deep, sharp = (land(behind, one, mass_kg=pose.part.mass_kg, drop_mm=drop_mm) for one in (slow, quick))
        kept = deep.strain_ratio <= foam.strain_limit_ratio and deep.travel_mm <= free_mm + wall_mm
        return kept and not (deep.spent or sharp.spent) and max(deep.peak_gn, sharp.peak_gn) <= fragility

    most_mm = table("protection_rules").row("thickest_wall").number("value")
    if not columns.total_mm2 > 0.0 or not holds(most_mm):
        return math.inf
    low_mm, high_mm = SNAP_MM, most_mm
    while high_mm - low_mm > SNAP_MM:
        middle_mm = (low_mm + high_mm) / 2.0
        low_mm, high_mm = (low_mm, middle_mm) if holds(middle_mm) else (middle_mm, high_mm)
    return high_mm


def conforming(face: Face) -> Columns:
    """Columns of a pocket that fits the allowed spots of a side, with no foam behind the outermost one yet."""
    allowed = face.rules == Rule.ALLOWED
    steps, place = np.unique(np.round(face.recess_mm[allowed] / SNAP_MM).astype(np.int64), return_inverse=True)
    areas = np.bincount(place, weights=face.area_mm2[allowed], minlength=steps.size)
    return Columns(air_mm=np.zeros(steps.size), foam_mm=steps * SNAP_MM, area_mm2=areas.astype(np.float64))
