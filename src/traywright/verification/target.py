"""What the trays ask of every cell of a board: how low it may be, how high it may stand, and for which feature."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from traywright.base.tolerance import READ_BACK_MM, SAME_MM
from traywright.geometry import Region
from traywright.nesting.setup import Piece, Setup
from traywright.trays.floor import Flat
from traywright.trays.tray import Feature, Ply
from traywright.verification.raster import Cells, Frame, Placement, cells_inside, placement_of

Heights = NDArray[np.float32]
Numbers = NDArray[np.int32]


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One feature's regions in its ply's frame, each drawn once for all equal pieces.

    ``core`` must be cut down to the floor: the region that the cutter can enter, less the side tolerance; ``rim`` may
    be cut down to it: the region and the side tolerance; ``nook`` is what the cutter cannot enter.
    """

    feature: Feature
    core: Region
    rim: Region
    nook: Region


@dataclass(frozen=True, slots=True, kw_only=True)
class Corner:
    """Cells of a feature that no cutter of the setup can enter."""

    piece: str
    feature: str
    cells: Cells
    highest_mm: NDArray[np.float64]
    share_ratio: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """What is asked of every cell of the map.

    ``lowest`` is minus infinity where any depth will do; ``highest`` is infinite where nothing need be cut;
    ``owner`` is the number in ``names`` (piece, feature) that asks for ``highest``, -1 for none; ``piece`` the
    number of the piece whose outline (and side tolerance) holds the cell, -1 for none.
    """

    lowest: Heights
    highest: Heights
    owner: Numbers
    piece: Numbers
    names: tuple[tuple[str, str], ...]
    corners: tuple[Corner, ...]
    left_for_later: tuple[tuple[str, str], ...]


def _drawn(feature: Feature, radius_mm: float) -> Part:
    """The regions of a feature for the smallest cutter."""
    # a slot exactly as wide as the cutter must not vanish when it is shrunk by the cutter's radius
    open_region = feature.region.opened(radius_mm - READ_BACK_MM / 2.0)
    return Part(
        feature=feature,
        core=open_region.grown(-READ_BACK_MM),
        rim=feature.region.grown(READ_BACK_MM, square=True),
        nook=feature.region.grown(-READ_BACK_MM).difference(open_region.grown(READ_BACK_MM)),
    )


def drawn_parts(ply: Ply, radius_mm: float, side_up: str) -> tuple[Part, ...]:
    """The features of a ply that this setup cuts: those of the side that is up, and those right through."""
    cut = (one for one in ply.features if one.side == side_up or one.floor.lowest_mm <= SAME_MM)
    return tuple(_drawn(one, radius_mm) for one in cut)


def _floor_range(
    feature: Feature, cells: Cells, frame: Frame, placement: Placement
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Lowest and highest floor within the side tolerance of each cell's centre; through is minus infinity, 0."""
    x, y = placement.to_ply(*cells.centres_mm(frame))
    steps = (0.0,) if isinstance(feature.floor, Flat) else (0.0, -READ_BACK_MM, READ_BACK_MM)
    maps = [feature.floor.z_at(x + step, y) for step in steps] + [feature.floor.z_at(x, y + step) for step in steps]
    low, high = np.minimum.reduce(maps), np.maximum.reduce(maps)
    through = high <= SAME_MM
    return np.where(through, -np.inf, low), np.where(through, 0.0, high)


class _Canvas:
    """The maps while they are drawn."""

    def __init__(self, frame: Frame, thickness_mm: float) -> None:
        shape = (frame.rows, frame.columns)
        self.frame = frame
        self.thickness_mm = thickness_mm
        self.lowest: Heights = np.full(shape, -np.inf, dtype=np.float32)
        self.highest: Heights = np.full(shape, np.inf, dtype=np.float32)
        self.owner: Numbers = np.full(shape, -1, dtype=np.int32)
        self.piece: Numbers = np.full(shape, -1, dtype=np.int32)
        self.names: list[tuple[str, str]] = []
        self.corners: list[Corner] = []
        self.later: list[tuple[str, str]] = []

    def add_piece(self, number: int, piece: Piece, ply: Ply, parts: tuple[Part, ...]) -> None:
        """Draw one piece: its solid foam, then its features."""
        placement = placement_of(piece, ply)
        wide = cells_inside(ply.region.grown(READ_BACK_MM, square=True), self.frame, placement)
        self.piece[wide.window][wide.mask] = number
        solid = cells_inside(ply.region.grown(-READ_BACK_MM), self.frame, placement)
        own = np.full(solid.mask.shape, self.thickness_mm, dtype=np.float32)
        for part in parts:
            self._lower(own, solid, part, placement)
            self._ask(piece, part, placement)
        self.lowest[solid.window] = np.where(solid.mask, own, self.lowest[solid.window])
        drawn = {part.feature.id for part in parts}
        self.later += [(piece.id, one.id) for one in ply.features if one.id not in drawn]

    def _lower(self, own: Heights, solid: Cells, part: Part, placement: Placement) -> None:
        """Allow a piece's foam to be as low as a feature's floor within the side tolerance."""
        cells = cells_inside(part.rim, self.frame, placement)
        low, _ = _floor_range(part.feature, cells, self.frame, placement)
        whole: NDArray[np.float64] = np.full(cells.mask.shape, np.inf)
        whole[cells.mask] = low
        rows, columns = (
            slice(max(a.start, b.start), max(min(a.stop, b.stop), a.start, b.start))
            for a, b in zip(solid.window, cells.window, strict=True)
        )
        inner = (_shifted(rows, solid.window[0]), _shifted(columns, solid.window[1]))
        theirs = whole[_shifted(rows, cells.window[0]), _shifted(columns, cells.window[1])]
        own[inner] = np.minimum(own[inner], theirs)

    def _ask(self, piece: Piece, part: Part, placement: Placement) -> None:
        """Ask that a feature's core be cut down to its floor."""
        self.names.append((piece.id, part.feature.id))
        cells = cells_inside(part.core, self.frame, placement)
        _, high = _floor_range(part.feature, cells, self.frame, placement)
        asked = np.full(cells.mask.shape, np.inf, dtype=np.float32)
        asked[cells.mask] = high
        deeper = asked < self.highest[cells.window]
        self.highest[cells.window][deeper] = asked[deeper]
        self.owner[cells.window][deeper] = len(self.names) - 1
        nook = cells_inside(part.nook, self.frame, placement)
        if nook.mask.any():
            _, nook_high = _floor_range(part.feature, nook, self.frame, placement)
            share = float(nook.mask.sum()) / float(nook.mask.sum() + cells.mask.sum())
            self.corners.append(
                Corner(piece=piece.id, feature=part.feature.id, cells=nook, highest_mm=nook_high, share_ratio=share)
            )


def _shifted(inner: slice, outer: slice) -> slice:
    """A stretch of cells counted from the start of a window."""
    return slice(inner.start - outer.start, inner.stop - outer.start)


def target_of(setup: Setup, plies: Mapping[str, Ply], frame: Frame, radius_mm: float) -> Target:
    """What the plies as they lie on the board ask of every cell.

    Parameters
    ----------
    setup
        The board clamped once.
    plies
        Ply by id.
    frame
        The board's map.
    radius_mm
        Radius of the smallest cutter of the setup, above 0.

    Notes
    -----
    Floors are heights above the ply's underside, which lies on the spoil board. A wall may stand off by the side
    tolerance (``READ_BACK_MM``) either way before it is a fault.
    """
    canvas = _Canvas(frame, setup.thickness_mm)
    drawn: dict[tuple[str, str], tuple[Part, ...]] = {}
    for number, piece in enumerate(setup.pieces):
        ply = plies[piece.ply]
        key = (piece.ply, piece.side_up)
        if key not in drawn:
            drawn[key] = drawn_parts(ply, radius_mm, piece.side_up)
        canvas.add_piece(number, piece, ply, drawn[key])
    return Target(
        lowest=canvas.lowest,
        highest=canvas.highest,
        owner=canvas.owner,
        piece=canvas.piece,
        names=tuple(canvas.names),
        corners=tuple(canvas.corners),
        left_for_later=tuple(canvas.later),
    )
