"""What lies on the bed: the whole board, or what is left of it after sawing in half."""

from __future__ import annotations

from dataclasses import dataclass

from traywright.base.tolerance import SAME_MM
from traywright.catalogue.cards import Board, Machine
from traywright.geometry import Region
from traywright.layout import RectangleLayout, pack_rectangles

_WORDS = {1: "whole", 2: "half", 4: "quarter"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Blank:
    """One blank of a board as it lies on the bed, ``per_board`` of them from each."""

    width_mm: float
    depth_mm: float
    per_board: int

    @property
    def cut_from(self) -> str:
        """How the blank comes from the board: ``whole``, or a share and its size such as ``half 600x800``."""
        if self.per_board == 1:
            return _WORDS[1]
        return f"{_WORDS.get(self.per_board, f'1/{self.per_board}')} {self.size}"

    @property
    def size(self) -> str:
        """Width x depth as printed."""
        return f"{self.width_mm:g}x{self.depth_mm:g}"

    @property
    def region(self) -> Region:
        """The blank with its front left corner at the datum."""
        return Region.rectangle(0.0, 0.0, self.width_mm, self.depth_mm)


def bed_mm(machine: Machine) -> tuple[float, float]:
    """Width and depth that both the bed and the travel of the machine take."""
    return min(machine.bed_x_mm, machine.travel_x_mm), min(machine.bed_y_mm, machine.travel_y_mm)


def blank_of(board: Board, machine: Machine) -> Blank:
    """The blank that lies on the bed: the board sawn in half along its longer side until it does.

    Parameters
    ----------
    board
        The board as bought.
    machine
        Its bed, travel and saw kerf decide.

    Notes
    -----
    A blank that fits both ways lies with its first side along x. A board is sawn in equal halves only; a larger piece
    and a narrow rest are not tried.
    """
    width, depth, per_board = board.length_mm, board.width_mm, 1
    bed_x, bed_y = bed_mm(machine)
    while not (_lies(width, depth, bed_x, bed_y) or _lies(depth, width, bed_x, bed_y)):
        if width >= depth:
            width = (width - machine.saw_kerf_mm) / 2.0
        else:
            depth = (depth - machine.saw_kerf_mm) / 2.0
        per_board *= 2
    if not _lies(width, depth, bed_x, bed_y):
        width, depth = depth, width
    return Blank(width_mm=width, depth_mm=depth, per_board=per_board)


def _lies(width_mm: float, depth_mm: float, bed_x_mm: float, bed_y_mm: float) -> bool:
    return width_mm <= bed_x_mm + SAME_MM and depth_mm <= bed_y_mm + SAME_MM


def fill_blank(size_mm: tuple[float, float], blank: Blank, board: Board, machine: Machine) -> RectangleLayout:
    """Pieces of one size on a blank, a kerf apart and clear of its edges."""
    return pack_rectangles(
        width_mm=blank.width_mm,
        depth_mm=blank.depth_mm,
        item_width_mm=size_mm[0],
        item_depth_mm=size_mm[1],
        kerf_mm=machine.kerf_mm,
        edge_mm=board.edge_mm,
    )
