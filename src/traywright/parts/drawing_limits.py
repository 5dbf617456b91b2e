"""What a drawing may hold: limits that no drawing of outlines comes near, so that a hostile file ends early."""

from __future__ import annotations

import math
from collections.abc import Iterable

from traywright.base.errors import PartError

MOST_ENTITIES = 50_000
"""Entities that are read, blocks counted as often as they stand.  # source: a drawing of outlines has some hundreds"""

MOST_BYTES = 32 * 1024 * 1024
"""Largest file that is parsed.  # source: 50 000 entities take about 10 MB"""

MOST_PAIRS = 1_000_000
"""Group codes of a file.  # source: ours: twenty an entity; they take about 10 s and 0.5 GB"""

MOST_POINTS = 100_000
"""Corners of all outlines together.  # source: ours: two a line at the most entities; a spline of 10 m has so many"""

MOST_CHORDS = 3_000_000
"""Chords of all arcs together.  # source: ours: 6000 circles of 200 mm; they take some seconds"""

MOST_PAIRINGS = 1_000_000
"""Pairs of lines and ends that are held against each other.  # source: ours: twenty for each of the most entities"""

Numbers = Iterable[float]
"""Coordinates, angles and scales of a drawing, in its own units."""

FARTHEST = 1e7
"""Largest coordinate, in the file's own unit.  # source: 10 km in millimetres; beyond, digits get lost"""


def check_size(content: bytes) -> None:
    """Refuse a file that is too large to be a drawing of outlines.

    Raises
    ------
    PartError
        PART-029.
    """
    if len(content) > MOST_BYTES:
        raise PartError("PART-029", told=f"{len(content) / 1e6:.0f} MB", most=f"{MOST_BYTES / 1e6:.0f} MB")


def check_count(count: int, most: int = MOST_ENTITIES) -> None:
    """Refuse more things than a drawing of outlines has.

    Raises
    ------
    PartError
        PART-029.
    """
    if count > most:
        raise PartError("PART-029", told=f"{count}", most=f"{most}")


def check_numbers(numbers: Numbers, drawn_as: str) -> None:
    """Refuse a coordinate that is no number, or lies beyond all sense.

    Raises
    ------
    PartError
        PART-031.
    """
    for one in numbers:
        if not math.isfinite(one) or abs(one) > FARTHEST:
            raise PartError("PART-031", drawn_as=drawn_as, value=f"{one:g}")
