"""What is cut away so far in one piece, by height."""

from __future__ import annotations

from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from traywright.base.tolerance import SAME_MM, SNAP_MM
from traywright.catalogue.cards import Cutter
from traywright.cutting.rings import THIN_MM

Cuts = tuple[tuple[float, BaseGeometry], ...]
"""Areas that were swept, each with its height, mm above the spoil board."""


def removed_at(cuts: Cuts, z_mm: float) -> BaseGeometry:
    """Where foam is gone down to a height, mm above the spoil board.

    Parameters
    ----------
    cuts
        What was swept so far, with the height it was swept at.
    z_mm
        The height.
    """
    return shapely.union_all([area for height_mm, area in cuts if height_mm <= z_mm + SAME_MM])


def air_down_to(cuts: Cuts, at: BaseGeometry, cutter: Cutter, thickness_mm: float) -> float:
    """Height down to which a cutter finds nothing at a place, mm.

    Parameters
    ----------
    cuts
        What was swept so far.
    at
        The place, or the path along which it looks.
    cutter
        The cutter.
    thickness_mm
        Board thickness: where nothing was cut.
    """
    disc = at.buffer(cutter.radius_mm - THIN_MM)
    lowest_mm = thickness_mm
    for height_mm in sorted({height_mm for height_mm, _ in cuts}, reverse=True):
        if not removed_at(cuts, height_mm).buffer(2.0 * SNAP_MM).covers(disc):
            break
        lowest_mm = height_mm
    return lowest_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """One pass over one place: where the centre may be, what was swept before, what of that is gone at this height.

    ``air`` is where the centre cuts nothing; ``slope_ratio`` is height over way of an entry into a solid; 0: foam.
    """

    z_mm: float
    place: BaseGeometry
    cuts: Cuts
    gone: BaseGeometry
    air: BaseGeometry
    thickness_mm: float
    slope_ratio: float
    cutter: Cutter
