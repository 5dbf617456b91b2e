"""The unit of a drawing's numbers: told, or read off its size and asked."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from traywright.base import Finding, Severity, finding
from traywright.base.errors import PartError
from traywright.parts.drawing import DrawnLine

RATIOS = {"mm": 1.0, "inch": 25.4, "cm": 10.0, "m": 1000.0}
"""Millimetres of a unit, in the order in which they are tried.  # source: the inch is 25.4 mm exactly, ISO 80000-3"""

LEAST_MM = 20.0
"""A drawing smaller than this is a slip of the unit.  # source: common practice, no source"""

ROOM_RATIO = 1.05
"""A drawing a little larger than the board is told when it is laid.  # source: common practice, no source"""

Length = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitRead:
    """The unit taken, whether it must be asked, and its readings in words."""

    unit: str
    ratio: float
    asked: bool
    readings: tuple[tuple[str, str], ...]
    findings: tuple[Finding, ...]


def unit_of_drawing(strokes: Iterable[DrawnLine], told: str, asked_for: str, board_mm: Length) -> UnitRead:
    """The unit of a drawing.

    Parameters
    ----------
    strokes
        The strokes in the file's own unit.
    told
        The unit that the file states, or empty.
    asked_for
        ``file``, or the unit that the enquiry states: then nothing is asked.
    board_mm
        Length and width of the board.

    Raises
    ------
    PartError
        PART-034 if it is a believable size in no unit.
    """
    bounds = [one.contour.bounds_mm for one in strokes]
    width = max(one[2] for one in bounds) - min(one[0] for one in bounds)
    depth = max(one[3] for one in bounds) - min(one[1] for one in bounds)
    readings = tuple((f"as_{unit}", f"{width * one:.1f} x {depth * one:.1f}") for unit, one in RATIOS.items())
    if asked_for != "file":
        return UnitRead(unit=asked_for, ratio=RATIOS[asked_for], asked=False, readings=readings, findings=())
    fits = [unit for unit, one in RATIOS.items() if _believable((width * one, depth * one), board_mm)]
    if told and told in fits:
        return UnitRead(unit=told, ratio=RATIOS[told], asked=False, readings=readings, findings=())
    if not fits:
        size, board = f"{width:.6g} x {depth:.6g}", f"{board_mm[0]:g} x {board_mm[1]:g}"
        raise PartError("PART-034", size=size, told=told or "none", board=board)
    unit = fits[0]
    words: dict[str, Any] = {"told": told, "taken": unit, **dict(readings)}
    mended = finding("PART-040", Severity.WARN, ("drawing",), cause="unit", **words)
    return UnitRead(unit=unit, ratio=RATIOS[unit], asked=True, readings=readings, findings=(mended,) if told else ())


def _believable(size_mm: Length, board_mm: Length) -> bool:
    """True if a thing of this size can lie on the board, one way or the other, and is no speck."""
    (long, short), (board_long, board_short) = sorted(size_mm, reverse=True), sorted(board_mm, reverse=True)
    return long >= LEAST_MM and long <= board_long * ROOM_RATIO and short <= board_short * ROOM_RATIO
