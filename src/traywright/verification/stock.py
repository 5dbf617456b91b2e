"""Foam as it stands: the board as clamped, and what a program leaves of it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from traywright.base.tolerance import ARC_CHORD_MM, GRID_MM, SNAP_MM
from traywright.catalogue.cards import Cutter, Machine
from traywright.geometry import Grid
from traywright.nesting.setup import Setup, Stock
from traywright.verification.motion import Motion, on_board
from traywright.verification.raster import cells_inside, frame_of
from traywright.verification.reader import read_program

Moves = NDArray[np.float64]
TOP = "top"
"""Word of a card or setup whose Z0 is the board's top; every other word means the spoil board."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bite:
    """Foam that one motion took: how many cells, how deep at most, and where; ``deep_cells``: how many of them deep."""

    motion: Motion
    cells: int
    deepest_mm: float
    point_mm: tuple[float, float]
    deep_cells: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Swept:
    """Stock after a program; ``lines_cut`` is the program line that cut each cell last, 0 for none."""

    stock: Stock
    lines_cut: Grid
    bites: tuple[Bite, ...]


def first_stock(setup: Setup, grid_mm: float = GRID_MM) -> Stock:
    """The board as clamped: its true thickness inside the blank, nothing outside.

    Parameters
    ----------
    setup
        The board clamped once.
    grid_mm
        Side of a cell of the height map, above 0.

    Returns
    -------
    Stock
        Heights in the board frame; the map covers the blank's bounding box.
    """
    left, front, right, back = setup.blank.bounds_mm
    shape = (max(1, math.ceil((back - front) / grid_mm)), max(1, math.ceil((right - left) / grid_mm)))
    upper = Grid((left, front), grid_mm, np.zeros(shape, dtype=np.float32))
    inside = cells_inside(setup.blank, frame_of(upper))
    heights = np.where(inside.full(shape), np.float32(setup.thickness_mm), np.float32(0.0))
    return Stock(blank=setup.blank, thickness_mm=setup.thickness_mm, upper=Grid((left, front), grid_mm, heights))


def volume_mm3(stock: Stock) -> float:
    """Foam above the spoil board, mm³, by the height map."""
    return float(np.maximum(stock.upper.values, 0.0).sum(dtype=np.float64)) * stock.upper.cell_mm**2


def _row(motion: Motion, cutter: Cutter, deep_mm: float) -> tuple[float, ...]:
    """One motion as a row of numbers for the kernel."""
    form = 1.0 if cutter.form == "ball" else 0.0
    kind = 1.0 if motion.kind.is_arc else 0.0
    sweep = math.radians(motion.sweep_deg)
    return (kind, *motion.start_mm, *motion.end_mm, *motion.centre_mm, sweep, cutter.radius_mm, form, deep_mm)


def _as_chords(row: tuple[float, ...]) -> list[tuple[float, ...]]:
    """Straight pieces of a ball's helix, none further from it than the chord tolerance."""
    cx, cy, sweep = row[7:10]
    radius = math.hypot(row[1] - cx, row[2] - cy)
    step = 2.0 * math.acos(max(1.0 - ARC_CHORD_MM / radius, 0.0))
    count = max(1, math.ceil(abs(sweep) / step))
    first = math.atan2(row[2] - cy, row[1] - cx)
    shares = [k / count for k in range(count + 1)]
    points = [
        (
            cx + radius * math.cos(first + sweep * share),
            cy + radius * math.sin(first + sweep * share),
            row[3] + (row[6] - row[3]) * share,
        )
        for share in shares
    ]
    return [(0.0, *one, *two, cx, cy, 0.0, *row[10:]) for one, two in pairwise(points)]


def _rows_of(
    motions: tuple[Motion, ...], cutters: Mapping[int, Cutter], deep_mm: Mapping[int, float]
) -> tuple[Moves, list[int]]:
    """All motions that can touch foam, and which motion each row came from."""
    rows: list[tuple[float, ...]] = []
    owners: list[int] = []
    for index, motion in enumerate(motions):
        cutter = cutters.get(motion.tool)
        if cutter is None or not motion.is_known:
            continue
        row = _row(motion, cutter, deep_mm.get(motion.tool, math.inf))
        helix = row[0] > 0.0 and row[11] > 0.0 and abs(row[6] - row[3]) > SNAP_MM
        pieces = _as_chords(row) if helix else [row]
        rows += pieces
        owners += [index] * len(pieces)
    return np.array(rows, dtype=np.float64).reshape(-1, 13), owners


def sweep(
    stock: Stock,
    motions: tuple[Motion, ...],
    cutters: Mapping[int, Cutter],
    deep_mm: Mapping[int, float] = MappingProxyType({}),
) -> Swept:
    """What is left after motions, with the line that cut each cell and the bite of each motion.

    Parameters
    ----------
    stock
        Foam before; not changed.
    motions
        As read, in the board's frame (``on_board``).
    cutters
        Cutter card by number; a motion with another number takes nothing.
    deep_mm
        Depth from which on a cutter's bite is deep, by its number; left out: none is.

    Notes
    -----
    Heights at cell centres are exact to 0.001 mm for straight motions of flat and ball cutters, for arcs and helices
    of flat cutters and level arcs of ball cutters; a ball's helix is cut in chords at most 0.01 mm off.
    """
    from traywright.verification._kernels import sweep_motions  # noqa: PLC0415  # reason: numba is loaded when needed

    rows, owners = _rows_of(motions, cutters, deep_mm)
    heights = stock.upper.values.astype(np.float32)
    lines_cut = np.zeros(heights.shape, dtype=np.int32)
    lines = np.array([motions[owner].line for owner in owners], dtype=np.int32)
    taken = np.zeros((len(rows), 5))
    origin = np.array([*stock.upper.origin_mm, stock.upper.cell_mm])
    sweep_motions(heights, lines_cut, origin, rows, lines, taken)
    bites = tuple(
        Bite(motion=motions[owner], cells=int(cells), deepest_mm=deepest, point_mm=(x, y), deep_cells=int(deep))
        for owner, (cells, deepest, x, y, deep) in zip(owners, taken.tolist(), strict=True)
        if cells
    )
    upper = Grid(stock.upper.origin_mm, stock.upper.cell_mm, heights)
    after = Stock(blank=stock.blank, thickness_mm=stock.thickness_mm, upper=upper)
    return Swept(stock=after, lines_cut=Grid(upper.origin_mm, upper.cell_mm, lines_cut), bites=bites)


def zero_above_bed_mm(z_zero: str, thickness_mm: float) -> float:
    """Height of the program's Z0 above the spoil board."""
    return thickness_mm if z_zero == TOP else 0.0


def cut_away(stock: Stock, program_text: str, machine: Machine, cutters: Mapping[int, Cutter]) -> Stock:
    """The stock that a program leaves, whatever stood there before.

    Parameters
    ----------
    stock
        Foam before: a board as clamped, a flipped side, a remnant, or what a broken-off program left.
    program_text
        The text as the machine gets it.
    machine
        For the zero that its programs are written from.
    cutters
        Cutter card by the number on the machine.

    Returns
    -------
    Stock
        Foam after; lines that the reader refuses cut nothing (``read_back`` tells of them).

    Examples
    --------
    See docs/verification.md.
    """
    heard = read_program(program_text)
    zero_mm = zero_above_bed_mm(machine.z_zero, stock.thickness_mm)
    return sweep(stock, on_board(heard.motions, zero_mm), cutters).stock
