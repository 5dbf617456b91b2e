"""Which cells of a board's map lie inside a region, also of a ply that lies turned on the board."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from traywright.geometry import Grid, Region
from traywright.nesting.setup import Piece
from traywright.trays.tray import Ply

Mask = NDArray[np.bool_]
Coordinates = NDArray[np.float64]
_TURNS = {0: (1, 0), 90: (0, 1), 180: (-1, 0), 270: (0, -1)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Placement:
    """From a ply's frame to the board's: a quarter turn (cosine, sine), then a shift."""

    turn: tuple[int, int]
    shift_mm: tuple[float, float]

    def to_board(self, x_mm: Coordinates, y_mm: Coordinates) -> tuple[Coordinates, Coordinates]:
        """Board coordinates of points of the ply."""
        c, s = self.turn
        return c * x_mm - s * y_mm + self.shift_mm[0], s * x_mm + c * y_mm + self.shift_mm[1]

    def to_ply(self, x_mm: Coordinates, y_mm: Coordinates) -> tuple[Coordinates, Coordinates]:
        """Ply coordinates of points of the board."""
        c, s = self.turn
        dx, dy = x_mm - self.shift_mm[0], y_mm - self.shift_mm[1]
        return c * dx + s * dy, -s * dx + c * dy


ON_BOARD = Placement(turn=(1, 0), shift_mm=(0.0, 0.0))
"""The placement of what is already in the board's frame."""


def placement_of(piece: Piece, ply: Ply) -> Placement:
    """Where a piece's ply lies: turned about the ply's origin, then its lower left corner put at the place asked.

    Worked out here from the Setup alone; the tests hold it against nesting's own.
    """
    c, s = _TURNS[piece.turn_deg % 360]
    left, front, right, back = ply.region.bounds_mm
    corners = [(c * x - s * y, s * x + c * y) for x in (left, right) for y in (front, back)]
    low_x, low_y = min(one[0] for one in corners), min(one[1] for one in corners)
    return Placement(turn=(c, s), shift_mm=(piece.at_mm[0] - low_x, piece.at_mm[1] - low_y))


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """Where a map's cells lie."""

    left_mm: float
    front_mm: float
    cell_mm: float
    rows: int
    columns: int


def frame_of(grid: Grid) -> Frame:
    """The frame of a map."""
    rows, columns = grid.values.shape
    return Frame(
        left_mm=grid.origin_mm[0], front_mm=grid.origin_mm[1], cell_mm=grid.cell_mm, rows=rows, columns=columns
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Cells:
    """Marked cells in a window of a board's map."""

    window: tuple[slice, slice]
    mask: Mask

    def full(self, shape: tuple[int, int]) -> Mask:
        """The marks on the whole map."""
        marks = np.zeros(shape, dtype=np.bool_)
        marks[self.window] = self.mask
        return marks

    def centres_mm(self, frame: Frame) -> tuple[Coordinates, Coordinates]:
        """X and y of the marked cells' centres, row by row."""
        j, i = np.nonzero(self.mask)
        x = frame.left_mm + (i + (self.window[1].start + 0.5)) * frame.cell_mm
        y = frame.front_mm + (j + (self.window[0].start + 0.5)) * frame.cell_mm
        return x, y


def _edges(region: Region, placement: Placement) -> Coordinates:
    """Both ends of every edge of a region, on the board; shape (n, 4)."""
    found = []
    for shell, holes in region.rings():
        for ring in (shell, *holes):
            x, y = placement.to_board(*np.array(ring, dtype=np.float64).T)
            found.append(np.column_stack([x, y, np.roll(x, -1), np.roll(y, -1)]))
    return np.concatenate(found) if found else np.zeros((0, 4))


def cells_inside(region: Region, frame: Frame, placement: Placement = ON_BOARD) -> Cells:
    """The cells whose centre lies inside a region of a ply that lies on the board.

    Parameters
    ----------
    region
        In the frame of the ply (or of the board, without a placement).
    frame
        The board's map.
    placement
        How the ply lies.

    Returns
    -------
    Cells
        Marks in the smallest window of the map that holds the region.
    """
    from traywright.verification._kernels import mark_inside  # noqa: PLC0415  # reason: numba is loaded when needed

    edges = _edges(region, placement)
    if not len(edges):
        return Cells(window=(slice(0, 0), slice(0, 0)), mask=np.zeros((0, 0), dtype=np.bool_))
    low = edges[:, :2].min(axis=0)
    high = edges[:, :2].max(axis=0)
    columns = _span(low[0] - frame.left_mm, high[0] - frame.left_mm, frame.cell_mm, frame.columns)
    rows = _span(low[1] - frame.front_mm, high[1] - frame.front_mm, frame.cell_mm, frame.rows)
    marks = np.zeros((rows.stop - rows.start, columns.stop - columns.start), dtype=np.bool_)
    left_mm = frame.left_mm + columns.start * frame.cell_mm
    front_mm = frame.front_mm + rows.start * frame.cell_mm
    mark_inside(marks, np.array([left_mm, front_mm, frame.cell_mm]), edges)
    return Cells(window=(rows, columns), mask=marks)


def _span(low_mm: float, high_mm: float, cell_mm: float, count: int) -> slice:
    """The cells between two distances, kept on the map."""
    first = min(max(math.floor(low_mm / cell_mm), 0), count)
    last = min(max(math.ceil(high_mm / cell_mm), first), count)
    return slice(first, last)
