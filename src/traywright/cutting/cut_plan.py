"""Operations in their order and the paths that do them."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

XYZ = tuple[float, float, float]


class MoveKind(StrEnum):
    """How the cutter goes; every rapid is one axis group at a time: up, across, down."""

    RAPID = "rapid"
    LINE = "line"
    ARC_CW = "arc cw"
    ARC_CCW = "arc ccw"


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """One move to ``to_mm`` (board frame); arcs lie in the horizontal plane about ``centre_mm``.

    ``feed_mm_per_s`` is 0 for a rapid.
    """

    kind: MoveKind
    to_mm: XYZ
    feed_mm_per_s: float
    centre_mm: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Operation:
    """All cuts of one kind at one level over all pieces with one cutter.

    ``kind`` is slot, pocket, hole or outline; ``level_mm`` the height of the cut's floor above the spoil board
    (lowest floor for an outline); ``features`` are ``piece id/feature id``.
    """

    id: str
    kind: str
    level_mm: float
    cutter: int
    features: tuple[str, ...]
    moves: tuple[Move, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CutPlan:
    """What one setup is cut by, with the time it takes and the lengths.

    ``time_s`` comes from look-ahead motion, ``length_over_feed_s`` is the simple figure beside it.
    """

    setup: str
    start_mm: XYZ
    operations: tuple[Operation, ...]
    time_s: float
    length_over_feed_s: float
    cut_length_mm: float
    rapid_length_mm: float
    air_length_mm: float
