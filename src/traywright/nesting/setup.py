"""Boards as they are cut: what lies where, and one board clamped once."""

from __future__ import annotations

from dataclasses import dataclass

from traywright.geometry import Grid, Point, Region


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A ply on a board: the ply's lower left corner goes to ``at_mm`` after a turn by ``turn_deg`` (0, 90, 180, 270).

    The turn is about the ply's frame origin, then the turned outline's lower left corner is put at ``at_mm``.
    ``id`` is ``B1.1`` …; ``ply`` is the id of a ply (``T1.P2``); equal plies of other trays may share the kind.
    """

    id: str
    ply: str
    at_mm: tuple[float, float]
    turn_deg: int
    side_up: str = "top"


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardLayout:
    """One kind of board layout and how many boards are cut so.

    ``cut_from`` says how the blank comes from the board card: ``whole`` or ``half 998x1000``;
    ``bound_boards`` is the area bound of the whole kind and ``proven`` true where the count equals a proven bound.
    """

    id: str
    board: str
    cut_from: str
    blank: Region
    thickness_mm: float
    count: int
    pieces: tuple[Piece, ...]
    spare_pieces: int
    yield_ratio: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardNeed:
    """How many whole boards of one card are needed, against the area bound."""

    board: str
    boards: int
    blanks: int
    pieces: int
    spare_pieces: int
    bound_boards: int
    proven: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Bridge:
    """An uncut link that holds a piece: on the cutter-centre path of the piece's outline.

    ``at_mm`` is the middle of the link on the piece's edge (board frame), ``along`` the unit vector of the edge,
    ``waist_mm`` its width at the narrowest, ``height_mm`` its height above the spoil board.
    """

    id: str
    piece: str
    at_mm: tuple[float, float]
    along: Point
    waist_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Setup:
    """One board clamped once: cutting, machine sheet and read-back all read this.

    ``cutters`` maps the number on the machine to a cutter card; ``screws_mm`` are x, y of screw heads.
    """

    id: str
    board_layout: str
    board: str
    blank: Region
    thickness_mm: float
    side_up: str
    datum: str
    z_zero: str
    pieces: tuple[Piece, ...]
    bridges: tuple[Bridge, ...]
    screws_mm: tuple[tuple[float, float], ...]
    zones: tuple[str, ...]
    cutters: tuple[tuple[int, str], ...]
    program: str
    runs: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """What foam is there now: the first stock is the board as clamped. Heights in the board frame, mm.

    ``upper`` is the top surface; a cell without foam has an upper height of 0 or less.
    """

    blank: Region
    thickness_mm: float
    upper: Grid


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardPlan:
    """All boards of the job: layouts, setups, counts."""

    layouts: tuple[BoardLayout, ...]
    needs: tuple[BoardNeed, ...]
    setups: tuple[Setup, ...]
