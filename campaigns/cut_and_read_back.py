"""Drawn boards cut, written and read back; in some of them one slip, which must be told unless it changes nothing."""

from __future__ import annotations

import random
import sys
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from traywright.base import Severity
from traywright.base.errors import TraywrightError
from traywright.base.tolerance import READ_BACK_MM, SAME_MM
from traywright.cutting import plan_cuts
from traywright.geometry import Region
from traywright.nc import ProgramHead, write_program
from traywright.verification import ReadBack, cut_away, first_stock, read_back

sys.path.insert(0, str(Path(__file__).resolve().parent))
from cases.random_boards import DIALECT, Board, drawn_board, on_board  # after the path, since this folder is no package
from cases.slips import slipped

TITLE = (
    "Drawn boards of one to four pieces are planned, written and read back: each must read true. "
    "Every other program gets one slip: it must be told, unless no foam that is asked for changes by it."
)
COUNT = 1000
HEAD = ProgramHead(job="c", revision="A", release="0", cut="sha256:0")
GRID_MM = 0.25
BLOCK = np.ones((4, 4))
"""Cells in a block whose outer middles lie 0.75 mm apart: wider than the tolerance and the bound of 0.5 mm together."""
ALWAYS = (
    "feed 0",
    "spindle off",
    "a rapid down into foam",
    "a move past travel",
    "G20 for G21",
    "a bridge cut through",
)
"""Slips that must be told whatever foam they leave."""

Mask = NDArray[np.bool_]


def _read(board: Board, text: str) -> ReadBack:
    """What the witness says of a text."""
    told = {"setup": board.setup, "plies": board.plies, "machine": board.machine, "cutters": board.cutters}
    return read_back(text, name="B1-S1", **told)


def _inside(region: Region, shape: tuple[int, int]) -> Mask:
    """Cells of the board's map whose middle lies in a region."""
    import shapely  # noqa: PLC0415  # reason: only cases with a slip ask

    y, x = (np.arange(count) * GRID_MM + GRID_MM / 2.0 for count in shape)
    return shapely.contains_xy(region.shape, *np.meshgrid(x, y))


def _asked_for(board: Board, shape: tuple[int, int]) -> Mask:
    """Cells where foam is asked to stand or to be gone: pieces and the kerf round them, less walls and bridges."""
    setup, width_mm = board.setup, min(board.machine.kerf_mm, board.cutters[1].diameter_mm)
    found = np.zeros(shape, dtype=np.bool_)
    for piece in setup.pieces:
        found |= _inside(on_board(piece, board.plies[piece.ply]).grown(width_mm - READ_BACK_MM - GRID_MM), shape)
    reach_mm = setup.bridges[0].waist_mm / 2.0 + 2.0 * (width_mm + setup.bridges[0].height_mm) if setup.bridges else 0.0
    pieces = Region.union_of(on_board(one, board.plies[one.ply]).grown(-READ_BACK_MM) for one in setup.pieces)
    for bridge in setup.bridges:
        found &= ~_inside(Region.disc(bridge.at_mm, reach_mm).difference(pieces), shape)
    return found


def _changes(board: Board, good: str, bad: str) -> bool:
    """Whether a slip changes foam that is asked for, by more than the tolerance and over more than its bound."""
    before = first_stock(board.setup, GRID_MM)
    one, other = (cut_away(before, text, board.machine, board.cutters).upper.values for text in (good, bad))
    spoil = np.float32(0.0)
    off = np.abs(np.maximum(one, spoil) - np.maximum(other, spoil)) > READ_BACK_MM + SAME_MM
    wide = ndimage.binary_erosion(off & _asked_for(board, off.shape), BLOCK)
    return bool(wide.any())


def _slip_case(draw: random.Random, board: Board, good: str) -> tuple[str, str]:
    """The fault of a case with a slip, if any, and what it is counted as."""
    name, bad = slipped(draw, good, board.setup, board.machine)
    told = not _read(board, bad).true
    if told:
        return "", f"{name}: told"
    if name in ALWAYS or _changes(board, good, bad):
        return f"not told: {name}", f"{name}: not told"
    return "", f"{name}: changes nothing"


def judge(draw: random.Random) -> tuple[str, str]:
    """Nothing if one drawn board reads back true and its slip is told, else what does not hold; what is counted."""
    board = drawn_board(draw)
    try:
        plan = plan_cuts(board.setup, board.plies, board.machine, board.cutters)
        program = write_program(plan, board.setup, board.machine, DIALECT, board.cutters, HEAD)
    except TraywrightError as refused:
        return f"refused: {refused.code}", "refused"
    result = _read(board, program.text)
    stops = sorted({one.code for one in result.findings if one.severity is Severity.STOP})
    if not result.true or stops:
        return f"not true: {' '.join(stops)}", "no slip: not true"
    if draw.choice((False, True)):
        return _slip_case(draw, board, program.text)
    warned = "with a warning of corners" if result.findings else "nothing found"
    return "", f"no slip: true, {warned}"
