"""What is to be cut away on one setup: recesses in the board frame, their levels and their turn."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass

from traywright.base.errors import CutError
from traywright.base.tolerance import SAME_MM
from traywright.catalogue.cards import Machine
from traywright.geometry import Region
from traywright.nesting import place_on_board
from traywright.nesting.setup import Piece, Setup
from traywright.trays.floor import Flat
from traywright.trays.tray import Feature, FeatureKind, Ply

KINDS = ("slot", "pocket", "hole")
"""The turn within a level.  # source: common practice, no source"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Recess:
    """One recess of one piece, placed.

    ``id`` is ``piece id/feature id``; ``kind`` is slot, pocket or hole; ``floor_mm`` the height the cutter goes to,
    below the spoil board's surface for what goes right through.
    """

    id: str
    piece: str
    kind: str
    region: Region
    floor_mm: float


def _kind(feature: Feature, *, through: bool) -> str:
    """The turn of a feature: slots, then pockets, then what goes right through."""
    if feature.kind is FeatureKind.SLOT:
        return "slot"
    return "hole" if through or feature.kind is FeatureKind.HOLE else "pocket"


def _recess(piece: Piece, feature: Feature, ply: Ply, setup: Setup, machine: Machine) -> Recess:
    """One feature of a ply, placed."""
    name = f"{piece.id}/{feature.id}"
    if not isinstance(feature.floor, Flat):
        raise CutError("CUT-003", feature=name, floor=type(feature.floor).__name__.lower())
    through = feature.floor.z_mm <= SAME_MM
    if feature.side != setup.side_up and not through:
        raise CutError("CUT-004", feature=name, side=feature.side, side_up=setup.side_up)
    return Recess(
        id=name,
        piece=piece.id,
        kind=_kind(feature, through=through),
        region=place_on_board(feature.region, piece, ply),
        floor_mm=-machine.into_spoil_mm if through else float(feature.floor.z_mm),
    )


def _openings(piece: Piece, ply: Ply, machine: Machine) -> tuple[Recess, ...]:
    """Holes that stand in a ply's outline itself, as through recesses."""
    inside = ply.region.filled().difference(ply.region)
    if inside.is_empty:
        return ()
    region = place_on_board(inside, piece, ply)
    return (
        Recess(id=f"{piece.id}/outline", piece=piece.id, kind="hole", region=region, floor_mm=-machine.into_spoil_mm),
    )


def recesses_of(setup: Setup, plies: Mapping[str, Ply], machine: Machine) -> tuple[Recess, ...]:
    """Every recess of every piece of a setup, placed on the board, in piece and feature order.

    Parameters
    ----------
    setup
        The board as clamped.
    plies
        Plies by id.
    machine
        For the depth into the spoil board.

    Returns
    -------
    tuple[Recess, ...]
        Recesses; one without area is left out.

    Raises
    ------
    CutError
        CUT-003 a floor that is not flat, CUT-004 a recess that is cut from the other side.
    """
    found: list[Recess] = []
    for piece in setup.pieces:
        ply = plies[piece.ply]
        found += [_recess(piece, feature, ply, setup, machine) for feature in ply.features]
        found += _openings(piece, ply, machine)
    return tuple(one for one in found if not one.region.is_empty)


def levels_of(recesses: tuple[Recess, ...]) -> tuple[float, ...]:
    """The heights that recesses are cut to, highest (shallowest) first.

    Parameters
    ----------
    recesses
        Recesses of a setup.

    Returns
    -------
    tuple[float, ...]
        Heights in mm; two nearer than a snap step are one.
    """
    found: list[float] = []
    for floor_mm in sorted((one.floor_mm for one in recesses), reverse=True):
        if not found or found[-1] - floor_mm > SAME_MM:
            found.append(floor_mm)
    return tuple(found)


def due(recesses: tuple[Recess, ...], level_mm: float, kind: str) -> tuple[Recess, ...]:
    """The recesses of one kind that are cut down to a level when its turn comes.

    Parameters
    ----------
    recesses
        Recesses of a setup.
    level_mm
        The level, mm above the spoil board.
    kind
        slot, pocket or hole.

    Returns
    -------
    tuple[Recess, ...]
        Those whose floor is the level, and the deeper ones that cross one of that floor: a slot deeper than the
        pocket it crosses is cut to the pocket's depth first. What goes right through waits for its own level.
    """
    here = [one for one in recesses if abs(one.floor_mm - level_mm) <= SAME_MM]
    chosen = []
    for one in recesses:
        if one.kind != kind or one.floor_mm > level_mm + SAME_MM:
            continue
        own = abs(one.floor_mm - level_mm) <= SAME_MM
        crosses = kind != "hole" and any(
            other.piece == one.piece and other.region.overlaps(one.region) for other in here
        )
        if own or crosses:
            chosen.append(one)
    return tuple(chosen)


def skinned(recesses: tuple[Recess, ...], skin_mm: float) -> tuple[tuple[Recess, ...], tuple[Recess, ...]]:
    """Recesses of a solid in two turns: all of them, what goes through only to a skin; then what goes through.

    Parameters
    ----------
    recesses
        Recesses of a setup.
    skin_mm
        What stays under a through cut until all else is cut, mm.
    """
    through = tuple(one for one in recesses if one.floor_mm <= SAME_MM)
    above = tuple(one for one in recesses if one.floor_mm > SAME_MM)
    return (*above, *(dataclasses.replace(one, floor_mm=skin_mm) for one in through)), through
