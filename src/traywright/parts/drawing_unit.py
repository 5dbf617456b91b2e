"""The unit of a drawing's numbers: told, or read off its size and asked."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from traywright.base import Finding, Severity, finding
from traywright.base.errors import PartError
from traywright.base.units import MM_PER_INCH, MM_PER_M
from traywright.parts.drawing import DrawnLine

MM_OF: dict[str, float] = {"mm": 1.0, "inch": MM_PER_INCH, "cm": MM_PER_M / 100.0, "m": MM_PER_M}
"""Millimetres of a unit, in the order in which units are tried."""

LEAST_MM = 20.0
"""Longest side below which a drawing without a unit is a slip of the unit.  # source: common practice, no source"""

LEAST_TOLD_MM = 5.0
"""The same where the file states its unit.  # source: common practice, no source"""

ROOM_RATIO = 1.05
"""A drawing a little larger than the board is told when it is laid.  # source: common practice, no source"""

MOST_TOLD_RATIO = 3.0
"""Over the board's length, where the file states its unit.  # source: common practice, no source"""

Length = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitRead:
    """The unit taken, whether it must be asked, and its readings in words."""

    unit: str
    mm_per_number_mm: float
    asked: bool
    readings: tuple[tuple[str, str], ...]
    findings: tuple[Finding, ...]


def unit_of_drawing(strokes: Iterable[DrawnLine], told: str, asked_for: str, board_mm: Length) -> UnitRead:
    """The unit of a drawing.

    Parameters
    ----------
    strokes
        The strokes in the file's own unit, at least one.
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
    sizes = {unit: (width * each, depth * each) for unit, each in MM_OF.items()}
    readings = tuple((f"as_{unit}", f"{size[0]:.1f} x {size[1]:.1f}") for unit, size in sizes.items())
    if asked_for != "file":
        return _taken(asked_for, readings, asked=False)
    if told and LEAST_TOLD_MM <= max(sizes[told]) <= MOST_TOLD_RATIO * max(board_mm):
        return _taken(told, readings, asked=False)
    fits = [unit for unit, size in sizes.items() if _believable(size, board_mm)]
    if not fits:
        board = f"{board_mm[0]:g} x {board_mm[1]:g}"
        raise PartError("PART-034", size=f"{width:.6g} x {depth:.6g}", told=told or "-", board=board)
    words: dict[str, Any] = {"told": told, "taken": fits[0], **dict(readings)}
    slip = finding("PART-040", Severity.WARN, ("drawing",), cause="unit", **words)
    return _taken(fits[0], readings, asked=True, findings=(slip,) if told else ())


def _taken(
    unit: str, readings: tuple[tuple[str, str], ...], *, asked: bool, findings: tuple[Finding, ...] = ()
) -> UnitRead:
    """One unit, with what is told of it."""
    return UnitRead(unit=unit, mm_per_number_mm=MM_OF[unit], asked=asked, readings=readings, findings=findings)


def _believable(size_mm: Length, board_mm: Length) -> bool:
    """True if a thing of this size can lie on the board, one way or the other, and is no speck."""
    (long, short), (board_long, board_short) = sorted(size_mm, reverse=True), sorted(board_mm, reverse=True)
    return long >= LEAST_MM and long <= board_long * ROOM_RATIO and short <= board_short * ROOM_RATIO
