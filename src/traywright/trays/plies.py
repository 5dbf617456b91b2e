"""Plies of a tray: what each board of it gives, cut before bonding."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from traywright.base import fingerprint, natural_key
from traywright.base.tolerance import SAME_MM
from traywright.trays.floor import Ball, Flat, Floor, Trough
from traywright.trays.tray import Feature, Ply, Tray


def plies_of(tray: Tray) -> tuple[Ply, ...]:
    """Plies of a tray from the underside up, ``T1.P1`` first, each with its own clipped features.

    A feature whose floor lies at or above the ply's top is left out; one whose floor lies at or below the ply's
    underside goes right through it (floor 0). Equal plies, in whatever tray, have an equal ``kind``.

    Examples
    --------
    >>> from traywright.geometry import Region
    >>> from traywright.trays import FeatureKind, TrayKind
    >>> pocket = Feature(
    ...     id="T1.F1", kind=FeatureKind.POCKET, side="top", region=Region.rectangle(9, 9, 40, 30), floor=Flat(z_mm=30)
    ... )
    >>> tray = Tray(
    ...     id="T1",
    ...     name="block",
    ...     kind=TrayKind.TRAY,
    ...     outline=Region.rectangle(0, 0, 60, 40),
    ...     thickness_mm=125,
    ...     foam="pe",
    ...     ply_boards=(("pe-25", 25.0), ("pe-50", 50.0), ("pe-50", 50.0)),
    ...     features=(pocket,),
    ... )
    >>> [(ply.id, [one.floor.z_mm for one in ply.features]) for ply in plies_of(tray)]
    [('T1.P1', []), ('T1.P2', [5.0]), ('T1.P3', [0.0])]
    """
    return tuple(_plies(tray))


def _plies(tray: Tray) -> Iterator[Ply]:
    from_mm = 0.0
    for number, (board, thickness_mm) in enumerate(tray.ply_boards, start=1):
        to_mm = from_mm + thickness_mm
        clipped = (clipped_to(one, from_mm, to_mm) for one in tray.features)
        features = tuple(sorted((one for one in clipped if one), key=lambda one: natural_key(one.id)))
        yield Ply(
            id=f"{tray.id}.P{number}",
            kind=_kind(tray, board, thickness_mm, features),
            from_mm=from_mm,
            to_mm=to_mm,
            board=board,
            region=tray.outline,
            features=features,
            sides=tuple(sorted({one.side for one in features} | {"top"})),
        )
        from_mm = to_mm


def clipped_to(feature: Feature, from_mm: float, to_mm: float) -> Feature | None:
    """What a feature takes between two heights of its tray, counted from the lower; None if nothing."""
    if feature.side == "underside":
        return _clipped_from_below(feature, from_mm, to_mm)
    if feature.floor.lowest_mm > to_mm - SAME_MM:
        return None
    return replace(feature, floor=_lowered(feature.floor, from_mm))


def _clipped_from_below(feature: Feature, from_mm: float, to_mm: float) -> Feature | None:
    """The same for a recess that is cut from the underside; right through, it may as well be cut from the top."""
    if not isinstance(feature.floor, Flat):
        raise TypeError(type(feature.floor).__name__)
    if feature.floor.z_mm < from_mm + SAME_MM:
        return None
    if feature.floor.z_mm > to_mm - SAME_MM:
        return replace(feature, side="top", floor=Flat(z_mm=0.0))
    return replace(feature, floor=Flat(z_mm=feature.floor.z_mm - from_mm))


def _lowered(floor: Floor, by_mm: float) -> Floor:
    """The floor counted from a higher underside; flat floors stop at 0, which is right through."""
    if isinstance(floor, Flat):
        left_mm = floor.z_mm - by_mm
        return Flat(z_mm=left_mm if left_mm > SAME_MM else 0.0)
    if isinstance(floor, Ball):
        x_mm, y_mm, z_mm = floor.centre_mm
        return replace(floor, centre_mm=(x_mm, y_mm, z_mm - by_mm))
    ends = [(x_mm, y_mm, z_mm - by_mm) for x_mm, y_mm, z_mm in (floor.start_mm, floor.end_mm)]
    return replace(floor, start_mm=ends[0], end_mm=ends[1])


def _floor_words(floor: Floor) -> list[Any]:
    """A floor as JSON values."""
    if isinstance(floor, Flat):
        return ["flat", floor.z_mm]
    if isinstance(floor, Trough):
        return ["trough", floor.start_mm, floor.end_mm, floor.radius_mm]
    return ["ball", floor.centre_mm, floor.radius_mm]


def _kind(tray: Tray, board: str, thickness_mm: float, features: tuple[Feature, ...]) -> str:
    """Fingerprint of what is cut; ids and cells do not enter, so that equal plies of other trays share it."""
    cuts = sorted([one.kind.value, one.side, repr(one.region), *_floor_words(one.floor)] for one in features)
    return fingerprint([tray.foam, board, thickness_mm, repr(tray.outline), cuts])
