"""Plan regions of a part as it lies: shadow, section, and where foam must not stand at a height."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity

from traywright.base.tolerance import SAME_MM, SNAP_MM
from traywright.geometry import Region, section_at, shadow, shadow_below, split_by_plane
from traywright.parts.part import Pose, Rule
from traywright.parts.standing import larger_states, lift_mm, placed_mm
from traywright.parts.states import RAW, PartState

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


def _near_below(corners: NDArray[np.float64], z_mm: float, grown_mm: float) -> Region:
    """What lies within a distance, in plan, of the pieces of triangles below a height."""
    corners = corners[corners[:, :, 2].min(axis=1, initial=np.inf) < z_mm]
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
def _forbidden_under(pose: Pose, z_mm: float, grown_mm: float) -> Region:
    """What lies within a distance, in plan, of spots below a height that must not be touched at rest."""
    corners = pose.surface.mesh.corners_mm[pose.surface.rules > Rule.ALLOWED]
    return _near_below(corners, z_mm, grown_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class Air:
    """What is asked of an opening: clearance in plan and further distance from spots that must not be touched, mm."""

    clearance_mm: float
    stand_off_mm: float


def _raw_opening(pose: Pose, z_mm: float, air: Air) -> Region:
    """The opening of the part as its file tells it."""
    own_mm = air.clearance_mm + pose.part.tolerance_mm + pose.part.chord_mm
    whole = _shadow_under(pose, z_mm)
    whole = whole.grown(own_mm) if own_mm > 0.0 else whole
    return whole.union(_forbidden_under(pose, z_mm + air.stand_off_mm, own_mm + air.stand_off_mm))


def material_mm(pose: Pose) -> float:
    """How far the part's surface may stand outside its mesh: tolerance and chord.

    Parameters
    ----------
    pose
        The part as it lies.
    """
    return pose.part.tolerance_mm + pose.part.chord_mm


def _enlarged(region: Region, ratio: float) -> Region:
    """A region enlarged about the pose's origin."""
    return region if ratio <= 1.0 else Region(affinity.scale(region.shape, ratio, ratio, origin=(0.0, 0.0)))


def _state_opening(pose: Pose, state: PartState, z_mm: float, air: Air) -> Region:
    """The opening of the part in another state, which stands higher than raw by what is added under its seats.

    What is added stands out by its thickness in plan and in height, not as a ball: at edges that is more than the
    part needs. A hot part is larger about the middle of its plan and its lowest spot.
    """
    ratio, out_mm, off_mm = state.size_ratio, state.wider_mm, air.stand_off_mm
    own_mm = air.clearance_mm + material_mm(pose) + out_mm
    # the lift first: what a coating adds below and lifts the part by is no more than a clean zero
    lift = lift_mm(pose, state)
    up_to_mm = z_mm + (out_mm - lift)
    found = [
        _enlarged(_shadow_under(pose, up_to_mm / ratio), ratio).grown(own_mm),
        _enlarged(_forbidden_under(pose, (up_to_mm + off_mm) / ratio, own_mm + off_mm), ratio),
    ]
    for one in pose.part.grown:
        if one.state == state.name:
            corners = ratio * placed_mm(pose, one.corners_mm)
            never = one.rules > Rule.ALLOWED
            below_mm = z_mm + (out_mm + one.added_mm - lift)
            found += [
                _near_below(corners, below_mm, own_mm + one.added_mm),
                _near_below(corners[never], below_mm + off_mm, own_mm + one.added_mm + off_mm),
            ]
    return Region.union_of(found)


def _union(pose: Pose, z_mm: float, air: Air) -> Region:
    """The union of the openings in all states."""
    raw = _raw_opening(pose, z_mm, air)
    others = [_state_opening(pose, one, z_mm, air) for one in larger_states(pose)]
    return raw.union(*others) if others else raw


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
        Grows with the height; empty below the part. The union over the part's states; those that are no larger than
        raw change nothing.

    Notes
    -----
    A part goes in straight down, so foam at a height must clear all that passes it: every spot of the part below
    that height. A spot that must not be touched at rest is cleared by ``clearance + stand_off`` from ``stand_off``
    below it upward. Tolerance and chord are added in plan only, since floors are made for the nominal heights of the
    raw part; ``envelope`` adds them in height as well.
    """
    return _union(pose, z_mm, Air(clearance_mm=clearance_mm, stand_off_mm=stand_off_mm))


@lru_cache(maxsize=KEPT_ANSWERS)
def envelope(pose: Pose, z_mm: float, *, clearance_mm: float, stand_off_mm: float) -> Region:
    """The opening of the part at its maximum material: tolerance and chord all round, in plan and in height.

    Parameters
    ----------
    pose
        The part as it lies.
    z_mm
        Height in the pose frame, any number.
    clearance_mm
        Least distance in plan of foam from every spot below that height, from 0 up.
    stand_off_mm
        Further distance, in plan and in height, from spots ruled never or not_at_rest, from 0 up.

    Returns
    -------
    Region
        Holds ``opening`` at the same height and grows with the height.
    """
    return _union(pose, z_mm + material_mm(pose), Air(clearance_mm=clearance_mm, stand_off_mm=stand_off_mm))


def envelope_ends_mm(pose: Pose) -> tuple[float, float]:
    """Lowest and highest spot of the part over all its states, tolerance and chord added, pose frame.

    Parameters
    ----------
    pose
        The part as it lies.
    """
    low, high = 0.0, pose.size_mm[2]
    for state in larger_states(pose):
        most = max((one.added_mm for one in pose.part.grown if one.state == state.name), default=0.0)
        out_mm, lift = state.wider_mm + most, lift_mm(pose, state)
        low, high = min(low, lift - out_mm), max(high, pose.size_mm[2] * state.size_ratio + out_mm + lift)
    return low - material_mm(pose), high + material_mm(pose)


def governing_state(pose: Pose, z_mm: float, *, clearance_mm: float = 0.0, stand_off_mm: float = 0.0) -> str:
    """Name of the state whose envelope at a height reaches outside those of all others by the largest area.

    Parameters
    ----------
    pose
        The part as it lies.
    z_mm
        Height in the pose frame, any number.
    clearance_mm
        As for ``opening``.
    stand_off_mm
        As for ``opening``.

    Returns
    -------
    str
        ``raw`` where no state reaches outside the others. States with equal openings count as the first of them.
    """
    if not larger_states(pose):
        return RAW
    air = Air(clearance_mm=clearance_mm, stand_off_mm=stand_off_mm)
    raised_mm = z_mm + material_mm(pose)
    raw = _raw_opening(pose, raised_mm, air)
    told: list[tuple[str, Region]] = [(RAW, raw)]
    for state in larger_states(pose):
        region = _state_opening(pose, state, raised_mm, air)
        if all(region != known for _, known in told):
            told.append((state.name, region))
    governing, most_mm2 = RAW, SNAP_MM * raw.perimeter_mm + SNAP_MM
    for name, region in told:
        others = Region.union_of([one for other, one in told if other != name])
        outside = region.difference(others).area_mm2
        if outside > most_mm2:
            governing, most_mm2 = name, outside
    return governing
