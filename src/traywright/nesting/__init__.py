"""Plies on boards: what is cut from which board, and how each board is clamped."""

from traywright.nesting.blank import blank_of
from traywright.nesting.board_plan import plan_boards
from traywright.nesting.counts import board_grounds
from traywright.nesting.kinds import NestResult, PlyCount, Remnant
from traywright.nesting.place import place_on_board, point_on_board
from traywright.nesting.setup import BoardLayout, BoardNeed, BoardPlan, Bridge, Piece, Setup, Stock
from traywright.nesting.sheets import lay_on_sheets

__all__ = [
    "BoardLayout",
    "BoardNeed",
    "BoardPlan",
    "Bridge",
    "NestResult",
    "Piece",
    "PlyCount",
    "Remnant",
    "Setup",
    "Stock",
    "blank_of",
    "board_grounds",
    "lay_on_sheets",
    "place_on_board",
    "plan_boards",
    "point_on_board",
]
