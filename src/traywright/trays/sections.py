"""Foam that is there at one height of a tray or ply."""

from __future__ import annotations

import math

import numpy as np
import shapely

from traywright.base.tolerance import SAME_MM
from traywright.geometry import Region
from traywright.trays.floor import Ball, Flat, Trough
from traywright.trays.tray import Feature, Ply, Tray

STATIONS = 33  # places along a sloping trough at which its width is taken; a level trough needs two


def outline_of(piece: Tray | Ply) -> Region:
    """The outline of a tray or of one of its plies."""
    return piece.outline if isinstance(piece, Tray) else piece.region


def section_at(piece: Tray | Ply, z_mm: float) -> Region:
    """Foam present at a height above the piece's underside.

    Parameters
    ----------
    piece
        A tray, pad, cap, cover, lid or ply.
    z_mm
        Height above the underside of the piece, mm. At exactly the height of a floor the foam of the floor counts.

    Returns
    -------
    Region
        Empty below the underside and above the top.

    Examples
    --------
    >>> from traywright.trays import Feature, FeatureKind, Flat, Tray, TrayKind
    >>> pocket = Feature(
    ...     id="T1.F1",
    ...     kind=FeatureKind.POCKET,
    ...     side="top",
    ...     region=Region.rectangle(10, 10, 40, 30),
    ...     floor=Flat(z_mm=15),
    ... )
    >>> tray = Tray(
    ...     id="T1",
    ...     name="block",
    ...     kind=TrayKind.TRAY,
    ...     outline=Region.rectangle(0, 0, 60, 40),
    ...     thickness_mm=50,
    ...     foam="pe",
    ...     ply_boards=(("pe-50", 50.0),),
    ...     features=(pocket,),
    ... )
    >>> section_at(tray, 15.0).area_mm2, section_at(tray, 15.1).area_mm2
    (2400.0, 1800.0)
    """
    if z_mm < 0.0 or z_mm > piece.thickness_mm:
        return Region.empty()
    open_here = [recess_at(one, z_mm) for one in piece.features]
    taken = [one for one in open_here if not one.is_empty]
    return outline_of(piece).difference(Region.union_of(taken)) if taken else outline_of(piece)


def recess_at(feature: Feature, z_mm: float) -> Region:
    """The part of a feature's region that is open at a height, heights as its floor counts them."""
    floor = feature.floor
    if feature.side == "underside":
        return feature.region if z_mm < _flat(floor).z_mm - SAME_MM else Region.empty()
    if floor.lowest_mm > z_mm - SAME_MM:
        return Region.empty()
    if isinstance(floor, Flat):
        return feature.region
    if isinstance(floor, Ball):
        return _ball_at(feature.region, floor, z_mm)
    return _trough_at(feature.region, floor, z_mm)


def _flat(floor: Flat | Trough | Ball) -> Flat:
    """The floor, if it is flat: only flat recesses are cut from the underside."""
    if not isinstance(floor, Flat):
        raise TypeError(type(floor).__name__)
    return floor


def _half_width_mm(radius_mm: float, below_axis_mm: float) -> float:
    """Half the width of a lying cylinder at a depth below its axis; negative depths are above the axis."""
    return math.sqrt(max(radius_mm**2 - below_axis_mm**2, 0.0))


def _ball_at(region: Region, floor: Ball, z_mm: float) -> Region:
    """The opening of a ball-bottomed recess at a height."""
    cx, cy, cz = floor.centre_mm
    if z_mm > cz:
        return region
    return region.intersection(Region.disc((cx, cy), _half_width_mm(floor.radius_mm, cz - z_mm)))


def _trough_at(region: Region, floor: Trough, z_mm: float) -> Region:
    """The opening of a trough at a height; its ends run on with the height of the axis end."""
    start, end = np.array(floor.start_mm), np.array(floor.end_mm)
    length = float(np.hypot(*(end - start)[:2]))
    along = (end - start)[:2] / length
    across = np.array([-along[1], along[0]])
    reach = floor.radius_mm + sum(region.size_mm) + length
    level = abs(start[2] - end[2]) < SAME_MM
    shares = np.linspace(0.0, 1.0, 2 if level else STATIONS)
    stations = np.concatenate([[-reach], shares * length, [length + reach]])
    axis_mm = start[2] + (end[2] - start[2]) * np.clip(stations / length, 0.0, 1.0)
    widths = np.array([_open_half_width_mm(floor.radius_mm, one - z_mm, reach) for one in axis_mm])
    middle = start[:2] + stations[:, None] * along
    strip = np.concatenate([middle + widths[:, None] * across, (middle - widths[:, None] * across)[::-1]])
    return region.intersection(Region(shapely.make_valid(shapely.Polygon(strip))))


def _open_half_width_mm(radius_mm: float, below_axis_mm: float, reach_mm: float) -> float:
    """Half the open width; the whole reach above the axis, where the trough's floor no longer counts."""
    return reach_mm if below_axis_mm < 0.0 else _half_width_mm(radius_mm, below_axis_mm)
