"""Where one copy of an outline stands, and what every layout refuses."""

from __future__ import annotations

import math
from typing import NamedTuple

from traywright.base.errors import LayoutError
from traywright.base.tolerance import SNAP_MM, TURN_DEG


class Place(NamedTuple):
    """Where one outline stands in the container: ``x, y, turn = place`` also works.

    The outline is turned counter-clockwise about its own frame origin by a quarter turn; then that origin stands at
    ``x_mm``, ``y_mm`` (rows), or the turned rectangle's lower left corner stands there (rectangles).
    """

    x_mm: float
    y_mm: float
    turn_deg: int


def snapped_mm(length_mm: float) -> float:
    """The length on the nearest snap step, without minus zero.

    Examples
    --------
    >>> snapped_mm(12.34567)
    12.346
    """
    return round(round(length_mm / SNAP_MM) * SNAP_MM, 6) + 0.0


def same_turn(one_deg: float, other_deg: float) -> bool:
    """True if two turns are one, whole turns aside.

    Examples
    --------
    >>> same_turn(-90.0, 270.0)
    True
    """
    return abs((one_deg - other_deg + 180.0) % 360.0 - 180.0) < TURN_DEG


def refuse_lengths(above_zero: dict[str, float], zero_or_more: dict[str, float]) -> None:
    """Nothing, if every length can be worked with.

    Parameters
    ----------
    above_zero, zero_or_more
        Lengths by name, mm; each must be finite and in that range.

    Raises
    ------
    LayoutError
        LAY-001, naming the first length that cannot be worked with.
    """
    for name, value in (*above_zero.items(), *zero_or_more.items()):
        if not math.isfinite(value) or value < 0.0 or (name in above_zero and value < SNAP_MM):
            raise LayoutError("LAY-001", name=name, value=value)
