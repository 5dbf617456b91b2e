"""What a drawing may hold: limits that no drawing of outlines comes near, so that a hostile file ends early."""

from __future__ import annotations

import math
from collections.abc import Iterable

from traywright.base.errors import PartError

MOST_ENTITIES = 50_000
"""Entities that are read, blocks counted as often as they stand.  # source: a drawing of outlines has some hundreds"""

MOST_BYTES = 32 * 1024 * 1024
"""Largest file that is parsed.  # source: 50 000 entities take about 10 MB"""

MOST_POINTS = 400_000
"""Corners of all outlines together.  # source: eight an entity, at the most entities"""

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


def check_count(count: int) -> None:
    """Refuse more entities than a drawing of outlines has.

    Raises
    ------
    PartError
        PART-029.
    """
    if count > MOST_ENTITIES:
        raise PartError("PART-029", told=f"{count} entities", most=f"{MOST_ENTITIES} entities")


def check_numbers(numbers: Iterable[float], drawn_as: str) -> None:
    """Refuse a coordinate that is no number, or lies beyond all sense.

    Raises
    ------
    PartError
        PART-031.
    """
    for one in numbers:
        if not math.isfinite(one) or abs(one) > FARTHEST:
            raise PartError("PART-031", drawn_as=drawn_as, value=str(one))
