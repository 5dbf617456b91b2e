"""How much foam a tray is, how much is taken away, and how much of it stands open."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from traywright.base.units import MM_PER_M
from traywright.catalogue.cards import Foam
from traywright.geometry import Region
from traywright.trays.floor import Ball, Flat
from traywright.trays.sections import outline_of, recess_at, section_at
from traywright.trays.tray import Feature, Ply, Tray

SLICES = 48  # midpoint slices between two levels of a curved floor; a half cylinder comes out within 0.1 %


def foam_volume_mm3(piece: Tray | Ply) -> float:
    """Volume of the foam that is left, mm³: exact for flat floors, within 0.1 % of a curved recess.

    Examples
    --------
    >>> from traywright.trays import TrayKind
    >>> pad = Tray(
    ...     id="T1",
    ...     name="pad",
    ...     kind=TrayKind.PAD,
    ...     outline=Region.rectangle(0, 0, 100, 50),
    ...     thickness_mm=25,
    ...     foam="pe",
    ...     ply_boards=(("pe-25", 25.0),),
    ... )
    >>> foam_volume_mm3(pad)
    125000.0
    """
    return sum(_band_mm3(piece, low, high) for low, high in pairwise(_levels_mm(piece)))


def removed_mm3(piece: Tray | Ply) -> float:
    """Volume that its features take away, mm³; where they overlap it counts once."""
    return outline_of(piece).area_mm2 * piece.thickness_mm - foam_volume_mm3(piece)


def foam_mass_kg(piece: Tray | Ply, foam: Foam) -> float:
    """Mass of the foam that is left, kg, at the density of its card."""
    return foam_volume_mm3(piece) * foam.density_kg_m3 / MM_PER_M**3


def open_area_mm2(piece: Tray | Ply) -> float:
    """Area through which air passes right through the piece, mm²: what a vacuum table loses."""
    through = [one.region for one in piece.features if _goes_through(one, piece.thickness_mm)]
    return Region.union_of(through).intersection(outline_of(piece)).area_mm2 if through else 0.0


def _goes_through(feature: Feature, thickness_mm: float) -> bool:
    """True if a flat-floored feature leaves no foam."""
    if not isinstance(feature.floor, Flat):
        return False
    return feature.floor.z_mm >= thickness_mm if feature.side == "underside" else feature.floor.z_mm <= 0.0


def _levels_mm(piece: Tray | Ply) -> list[float]:
    """Heights at which a section may jump, underside and top included."""
    top = piece.thickness_mm
    found = {0.0, top}
    for one in piece.features:
        heights = (one.floor.lowest_mm, *_axis_heights_mm(one))
        found.update(min(max(height, 0.0), top) for height in heights)
    return sorted(found)


def _axis_heights_mm(feature: Feature) -> tuple[float, ...]:
    """Heights at which a curved floor ends."""
    floor = feature.floor
    if isinstance(floor, Flat):
        return ()
    return (floor.centre_mm[2],) if isinstance(floor, Ball) else (floor.start_mm[2], floor.end_mm[2])


def _band_mm3(piece: Tray | Ply, low_mm: float, high_mm: float) -> float:
    """Foam between two levels: one section where no curved floor rises, midpoint slices where one does."""
    middle = (low_mm + high_mm) / 2.0
    rising = [one for one in piece.features if not isinstance(one.floor, Flat) and _rises(one, low_mm, high_mm)]
    if not rising:
        return section_at(piece, middle).area_mm2 * (high_mm - low_mm)
    step = (high_mm - low_mm) / SLICES
    heights = low_mm + (np.arange(SLICES) + 0.5) * step
    return float(sum(section_at(piece, float(one)).area_mm2 for one in heights) * step)


def _rises(feature: Feature, low_mm: float, high_mm: float) -> bool:
    """True if the opening of a curved feature changes between two heights."""
    return recess_at(feature, low_mm + 0.01 * (high_mm - low_mm)) != recess_at(feature, high_mm)
