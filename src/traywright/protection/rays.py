"""What each outermost spot of a part meets on its way out in one direction."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from traywright.base.tolerance import SAME_MM, SNAP_MM
from traywright.parts.part import Rule
from traywright.protection.face import AXES, OPPOSITE, face_of, own_direction, sampled
from traywright.protection.landing import Columns, columns_of
from traywright.protection.scan import Scans
from traywright.protection.surroundings import Place, Slab, Surroundings, foam_between

Array = NDArray[np.float64]

BOX, HARD = -1, -2
"""Ends of a ray that are no part: the edge of the stack, and a divider."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Rays:
    """One ray a spot: ``near_mm`` to the first foam, ``foam_mm`` of foam in all, ``end_mm`` to something hard.

    ``end`` is the index of the part it ends at, or ``BOX`` or ``HARD``; ``rules`` is the spot's contact rule. A ray
    that meets no foam has an infinite ``near_mm``. ``spots_mm`` are in the pack's frame, ``area_mm2`` is what each one
    stands for.
    """

    spots_mm: Array
    rules: NDArray[np.int8]
    near_mm: Array
    foam_mm: Array
    end_mm: Array
    end: NDArray[np.int64]
    area_mm2: Array

    @property
    def air_mm(self) -> Array:
        """Air of each ray in all, which must close before its foam presses."""
        return np.asarray(np.maximum(self.end_mm - self.foam_mm, 0.0))

    def columns(self) -> Columns:
        """The columns: foam ahead of any spot; ahead of one ruled never it carries nothing, but it does not vanish."""
        return columns_of(self.air_mm, self.foam_mm, np.where(self.rules == Rule.NEVER, 0.0, self.area_mm2))

    def resting(self) -> Columns:
        """The columns that carry at rest: a floor over air bears a weight by bending, so only near air counts."""
        carries = (self.rules != Rule.NEVER) & np.isfinite(self.near_mm)
        return columns_of(self.near_mm[carries], self.foam_mm[carries], self.area_mm2[carries])

    def key(self) -> bytes:
        """Equal for equal surroundings: the rays in steps of 0.001 mm."""
        finite = np.where(np.isfinite(self.near_mm), self.near_mm, -1.0)
        parts = [self.end >= 0, self.rules]
        steps = [np.round(one / SNAP_MM).astype(np.int64) for one in (finite, self.foam_mm, self.end_mm)]
        return b"".join(np.ascontiguousarray(one).tobytes() for one in (*steps, *parts))


def rays_of(place: Place, direction: str, around: Surroundings, *, scans: Scans, cell_mm: float) -> Rays | None:
    """What each outermost spot of a part meets in one direction of the tray frame.

    Parameters
    ----------
    place
        The part.
    direction
        One of the six directions, tray frame.
    around
        The pack.
    scans
        Sections of the trays, worked out once.
    cell_mm
        Cell of the maps.

    Returns
    -------
    Rays or None
        None where a level direction is asked of a part that is not turned by quarters.
    """
    own = own_direction(direction, place.turn_deg)
    if own is None:
        return None
    face = face_of(place.pose, own, cell_mm)
    spots = place.in_pack(face.spots_mm)
    if AXES[direction][0] == 2:
        near, foam, end_mm, end = _upright(place, spots, direction, around, cell_mm)
    else:
        near, foam, end_mm, end = _level(place, spots, direction, around, scans=scans, cell_mm=cell_mm)
    return Rays(
        spots_mm=spots, rules=face.rules, near_mm=near, foam_mm=foam, end_mm=end_mm, end=end, area_mm2=face.area_mm2
    )


_Met = tuple[Array, Array, Array, NDArray[np.int64]]


def _upright(place: Place, spots: Array, direction: str, around: Surroundings, cell_mm: float) -> _Met:
    """Near, foam, end and what ends it, up or down through the stack."""
    sign = AXES[direction][1]
    x_mm, y_mm, z_mm = spots[:, 0], spots[:, 1], spots[:, 2]
    wall_mm = around.top_mm if sign > 0 else 0.0
    end_mm = np.maximum((wall_mm - z_mm) * sign, 0.0)
    end = np.full(z_mm.shape, BOX, dtype=np.int64)
    for slab in (one for one in around.slabs if one.tray is None):
        _shorten(end_mm, end, _ahead((slab.bottom_mm if sign > 0 else slab.top_mm) - z_mm, sign), HARD)
    for index, other in enumerate(around.places):
        if other is not place:  # a tray may stand twice in the stack, with equal cell ids
            _shorten(end_mm, end, _to_part(other, spots, direction, cell_mm), index)
    near, foam = np.full(z_mm.shape, np.inf), np.zeros(z_mm.shape)
    for slab in around.slabs:
        if slab.tray is not None:
            low, high = foam_between(slab.tray, x_mm, y_mm)
            faces = (low + slab.bottom_mm - z_mm, high + slab.bottom_mm - z_mm)
            first, last = faces if sign > 0 else (-faces[1], -faces[0])
            add_foam(near, foam, np.maximum(first, 0.0), np.minimum(last, end_mm))
    return near, foam, end_mm, end


def _level(place: Place, spots: Array, direction: str, around: Surroundings, *, scans: Scans, cell_mm: float) -> _Met:
    """Near, foam, end and what ends it, sideways through the slab at each spot's height."""
    axis, sign = AXES[direction]
    near, foam = np.full(spots.shape[0], np.inf), np.zeros(spots.shape[0])
    end_mm, end = np.zeros(spots.shape[0]), np.full(spots.shape[0], BOX, dtype=np.int64)
    slabs = [(one, _of_slab(spots, one, around)) for one in around.slabs]
    for slab, held in slabs:
        end_mm[held] = _to_edge_mm(slab, axis, sign, spots[held, axis])
    for index, other in enumerate(around.places):
        if other is not place:  # a tray may stand twice in the stack, with equal cell ids
            _shorten(end_mm, end, _to_part(other, spots, direction, cell_mm), index)
    for slab, held in slabs:
        if slab.tray is not None and held.size:
            first, last = scans.foam_mm(slab, axis, sign, spots[held])
            for one in range(first.shape[1]):
                met_near, met_foam = near[held], foam[held]
                add_foam(met_near, met_foam, np.maximum(first[:, one], 0.0), np.minimum(last[:, one], end_mm[held]))
                near[held], foam[held] = met_near, met_foam
    return near, foam, end_mm, end


def add_foam(near: Array, foam: Array, first: Array, last: Array) -> None:
    """Add one piece of foam between two distances to each ray, in place of the arrays made for it."""
    thick = np.maximum(last - first, 0.0)
    there = thick > SAME_MM
    near[there] = np.minimum(near[there], first[there])
    foam[there] += thick[there]


def _of_slab(spots: Array, slab: Slab, around: Surroundings) -> NDArray[np.int64]:
    """Spots at the height of a slab; spots above the stack belong to the last one."""
    z_mm = np.minimum(spots[:, 2], around.top_mm - SNAP_MM)
    return np.flatnonzero((z_mm >= slab.bottom_mm) & (z_mm < slab.top_mm))


def _to_edge_mm(slab: Slab, axis: int, sign: int, from_mm: Array) -> Array:
    """Distance along an axis to the edge of a slab's tray, which stands at the box; 0 in what is hard."""
    if slab.tray is None:
        return np.zeros(from_mm.shape)
    edge_mm = slab.tray.outline.bounds_mm[axis + 2 if sign > 0 else axis]
    return np.asarray(np.maximum((edge_mm - from_mm) * sign, 0.0))


def _ahead(along_mm: Array, sign: int) -> Array:
    """Distances along a direction; infinite for what lies behind."""
    distance = along_mm * sign
    return np.where(distance >= -SAME_MM, np.maximum(distance, 0.0), np.inf)


def _shorten(end_mm: Array, end: NDArray[np.int64], distance_mm: Array, what: int) -> None:
    """End rays at something nearer, in place of the arrays made for it."""
    nearer = distance_mm < end_mm
    end_mm[nearer] = distance_mm[nearer]
    end[nearer] = what


def _to_part(other: Place, spots: Array, direction: str, cell_mm: float) -> Array:
    """Distance from each spot to another part, straight along a direction; infinite where it is not met."""
    axis, sign = AXES[direction]
    own = own_direction(OPPOSITE[direction], other.turn_deg)
    if own is None:
        return np.full(spots.shape[0], np.inf)
    reach = face_of(other.pose, own, cell_mm).reach
    own_axis, own_sign = AXES[own]
    local = other.in_pose(spots)
    first, second = (one for one in range(3) if one != own_axis)
    met = sampled(reach, local[:, first], local[:, second])
    at_mm = other.at_mm[axis] + met * own_sign * -sign
    distance = (at_mm - spots[:, axis]) * sign
    return np.where(np.isfinite(distance) & (distance >= -SAME_MM), np.maximum(distance, 0.0), np.inf)
