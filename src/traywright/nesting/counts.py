"""Whole boards of one card: how many, against how many no layout can do without."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from traywright.base import Figure, Given, derive, text
from traywright.base.tolerance import TIE_RATIO
from traywright.catalogue.cards import Board, Machine
from traywright.nesting.setup import BoardNeed

_METHODS = {
    "boards": "blanks of all kinds put together into whole boards",
    "blanks": "each kind on blanks of its own, the last one cut full",
    "shared": "full blanks of one kind, the rests together in shelves",
    "area_bound": "boxes of all pieces with a kerf, over blanks without their edges, rounded up",
    "bound": "the larger of the bound by area and, for one size, by the most that a blank can hold",
    "yield": "area of the pieces asked for over area of the boards bought",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class CardCount:
    """What is cut from one board card.

    ``net_mm2`` is the area of the pieces wanted, ``laid_mm2`` that of their bounding boxes with a kerf,
    ``room_mm2`` that of one blank without its edges and with a kerf; ``most_a_blank`` is how many pieces no layout
    of a blank can beat where all are of one size, else 0.
    """

    board: Board
    per_board: int
    blanks: int
    pieces: int
    spare_pieces: int
    net_mm2: float
    laid_mm2: float
    room_mm2: float
    most_a_blank: int

    @property
    def boards(self) -> int:
        """Whole boards to buy."""
        return -(-self.blanks // self.per_board)

    @property
    def area_bound(self) -> int:
        """Boards that no layout can do without, by area."""
        return math.ceil(self.laid_mm2 / (self.room_mm2 * self.per_board) * (1.0 - TIE_RATIO))

    @property
    def bound(self) -> int:
        """Boards that no layout can do without: by area, and by the most of one size that a blank can hold."""
        by_count = -(-self.pieces // (self.most_a_blank * self.per_board)) if self.most_a_blank else 0
        return max(self.area_bound, by_count)

    @property
    def yield_ratio(self) -> float:
        """Share of the foam bought that becomes pieces which were asked for."""
        return self.net_mm2 / (self.boards * self.board.length_mm * self.board.width_mm)


def board_need(count: CardCount) -> BoardNeed:
    """How many whole boards of the card are needed, and whether no layout needs fewer."""
    return BoardNeed(
        board=count.board.id,
        boards=count.boards,
        blanks=count.blanks,
        pieces=count.pieces,
        spare_pieces=count.spare_pieces,
        bound_boards=count.bound,
        proven=count.boards == count.bound,
    )


def board_grounds(board: Board, machine: Machine) -> tuple[Given, ...]:
    """The numbers of the cards that decide how many pieces come from a board.

    Parameters
    ----------
    board
        The board as bought.
    machine
        The machine it is cut on.
    """
    told = tuple(board.given(key) for key in ("length_mm", "width_mm", "edge_mm"))
    keys = ("kerf_mm", "saw_kerf_mm", "bed_x_mm", "bed_y_mm", "travel_x_mm", "travel_y_mm")
    return (*told, *(machine.given(key) for key in keys))


def board_figures(
    count: CardCount, machine: Machine, wanted: Sequence[Given | Figure], *, shared: bool = False
) -> tuple[Figure, ...]:
    """Boards, blanks, bounds and yield of one card, traced to what was asked for and to the board and machine cards.

    Parameters
    ----------
    count
        What is cut from the card.
    machine
        The machine it is cut on.
    wanted
        What the count of pieces was told by.
    shared
        True where kinds share blanks.

    Notes
    -----
    How large the pieces are comes from the trays, which are not figures.
    """
    given = (*wanted, *board_grounds(count.board, machine))
    told = (
        ("boards", float(count.boards), "boards"),
        ("blanks", float(count.blanks), "blanks"),
        ("area_bound", float(count.area_bound), "boards"),
        ("bound", float(count.bound), "boards"),
        ("yield", count.yield_ratio, "ratio"),
    )
    return tuple(
        derive(
            f"boards/{count.board.id}/{name}",
            value,
            unit,
            what=text("nesting", name),
            of=count.board.id,
            method=_METHODS["shared" if shared and name == "blanks" else name],
            inputs=given,
        )
        for name, value, unit in told
    )
