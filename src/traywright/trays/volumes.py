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

SLIVER_MM = 0.05
"""Mean width under which what a disc leaves is a chord of an arc, no corner: five times what a chord may be off."""

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
    """Area that stands open seen from above, mm²: where the top surface is cut away, whatever the depth."""
    open_at_top = [one.region for one in piece.features if _opens_the_top(one, piece.thickness_mm)]
    return Region.union_of(open_at_top).intersection(outline_of(piece)).area_mm2 if open_at_top else 0.0


def _opens_the_top(feature: Feature, thickness_mm: float) -> bool:
    """True if a feature takes away some of the top surface."""
    if feature.side == "underside":
        return isinstance(feature.floor, Flat) and feature.floor.z_mm >= thickness_mm
    return feature.floor.lowest_mm < thickness_mm


def corner_left_mm2(piece: Tray | Ply, radius_mm: float) -> float:
    """Area that a cutter's radius leaves in the corners of recesses, seen from above, mm².

    Parameters
    ----------
    piece
        A tray or ply.
    radius_mm
        Radius of the smallest flat cutter.

    Notes
    -----
    At every level the open area less what a disc that stays inside it reaches; a corner that several levels share
    counts once. Slivers along the chords of arcs are no corners. A place that the cutter cannot enter at all counts
    whole.

    Examples
    --------
    >>> from traywright.trays import Feature, FeatureKind, Ply
    >>> square = Feature(
    ...     id="T1.F1", kind=FeatureKind.POCKET, side="top", region=Region.rectangle(5, 5, 45, 25), floor=Flat(z_mm=5)
    ... )
    >>> ply = Ply(
    ...     id="T1.P1",
    ...     kind="",
    ...     from_mm=0,
    ...     to_mm=25,
    ...     board="pe-25",
    ...     region=Region.rectangle(0, 0, 50, 30),
    ...     features=(square,),
    ... )
    >>> round(corner_left_mm2(ply, 4.0), 1)  # four square corners: 4 x 0.2146 r²
    13.7
    """
    heights = sorted({one.floor.lowest_mm for one in piece.features if one.side == "top"}, reverse=True)
    # beyond the edge there is air: a recess that is open there has no corner
    air = outline_of(piece).grown(3.0 * radius_mm).difference(outline_of(piece)) if heights else Region.empty()
    left = []
    for height_mm in heights:
        below = (one.region for one in piece.features if one.side == "top" and one.floor.lowest_mm <= height_mm)
        open_here = air.union(*below)
        kept = open_here.difference(open_here.opened(radius_mm))
        left += [one for one in kept.pieces() if 2.0 * one.area_mm2 > SLIVER_MM * one.perimeter_mm]
    return Region.union_of(left).intersection(outline_of(piece)).area_mm2 if left else 0.0


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
