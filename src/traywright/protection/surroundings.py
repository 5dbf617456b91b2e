"""What stands around each part in the closed pack: foam, other parts, dividers, the box."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from traywright.base import natural_key
from traywright.geometry import Region
from traywright.parts import Pose, silhouette
from traywright.protection.face import turned
from traywright.trays import Pack, Tray

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Slab:
    """One thing of the stack between two heights of the pack; ``tray`` is None for something hard (a divider)."""

    bottom_mm: float
    top_mm: float
    tray: Tray | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A part in its place: ``at_mm`` is the origin of its pose frame in the pack, ``play_mm`` its play a side."""

    cell: str
    part: str
    pose: Pose
    at_mm: tuple[float, float, float]
    turn_deg: float
    play_mm: float = 0.0

    def in_pack(self, spots_mm: Array) -> Array:
        """Spots of the pose frame in the pack's frame."""
        return np.asarray(turned(spots_mm, self.turn_deg) + np.array(self.at_mm))

    def in_pose(self, spots_mm: Array) -> Array:
        """Spots of the pack's frame in the pose frame."""
        return turned(spots_mm - np.array(self.at_mm), -self.turn_deg)

    @property
    def outline(self) -> Region:
        """The part seen from above, in the pack's frame."""
        return silhouette(self.pose).turned(self.turn_deg).moved(self.at_mm[0], self.at_mm[1])


@dataclass(frozen=True, slots=True, kw_only=True)
class Surroundings:
    """The stack from the bottom up and every part in it, by cell id."""

    slabs: tuple[Slab, ...]
    places: tuple[Place, ...]

    @property
    def top_mm(self) -> float:
        """Top of the stack: where the lid presses."""
        return max((one.top_mm for one in self.slabs), default=0.0)


def surroundings_of(pack: Pack, trays: tuple[Tray, ...], poses: dict[str, Pose], foam: str) -> Surroundings:
    """The closed pack as slabs and places.

    Parameters
    ----------
    pack, trays
        The stack and what it is made of; trays of one id may stand in it more than once.
    poses
        Pose of each part id.
    foam
        Card id of the foam whose curve is known; a tray of another foam counts as hard.
    """
    by_id = {one.id: one for one in trays}
    slabs, places = [], []
    for layer in sorted(pack.layers, key=lambda one: one.bottom_mm):
        tray = by_id.get(layer.id)
        known = tray if tray is not None and tray.foam == foam else None
        slabs.append(Slab(bottom_mm=layer.bottom_mm, top_mm=layer.top_mm, tray=known))
        for cell in () if tray is None else tray.cells:
            x_mm, y_mm, z_mm = cell.at_mm
            places.append(
                Place(
                    cell=cell.id,
                    part=cell.part,
                    pose=poses[cell.part],
                    at_mm=(x_mm, y_mm, z_mm + layer.bottom_mm),
                    turn_deg=cell.turn_deg,
                    play_mm=cell.play_mm,
                )
            )
    return Surroundings(slabs=tuple(slabs), places=tuple(sorted(places, key=lambda one: natural_key(one.cell))))


def foam_between(tray: Tray, x_mm: Array, y_mm: Array) -> tuple[Array, Array]:
    """Underside and top of the foam at points of a tray, mm above its underside; equal where there is no foam."""
    inside = shapely.contains_xy(tray.outline.shape, x_mm, y_mm)
    low = np.zeros(x_mm.shape)
    high = np.where(inside, tray.thickness_mm, 0.0)
    for feature in tray.features:
        left, front, right, back = feature.region.bounds_mm
        near = np.flatnonzero((x_mm >= left) & (x_mm <= right) & (y_mm >= front) & (y_mm <= back))
        hit = near[shapely.contains_xy(feature.region.shape, x_mm[near], y_mm[near])]
        floor_mm = feature.floor.z_at(x_mm[hit], y_mm[hit])
        if feature.side == "underside":
            low[hit] = np.maximum(low[hit], floor_mm)
        else:
            high[hit] = np.minimum(high[hit], np.maximum(floor_mm, 0.0))
    return low, np.maximum(high, low)
