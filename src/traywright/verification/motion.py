"""One motion of a program as the machine would make it, in millimetres."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum

from traywright.base import Finding
from traywright.base.tolerance import SAME_MM

XYZ = tuple[float, float, float]
UNKNOWN: XYZ = (math.nan, math.nan, math.nan)
"""The place of a cutter before any word has named it."""

_QUARTER_DEG = 90.0


class MotionKind(StrEnum):
    """What kind of motion a line asks for."""

    RAPID = "rapid"
    FEED = "feed"
    ARC_CW = "arc clockwise"
    ARC_CCW = "arc counter-clockwise"

    @property
    def is_arc(self) -> bool:
        """True for both kinds of arc."""
        return self in {MotionKind.ARC_CW, MotionKind.ARC_CCW}


@dataclass(frozen=True, slots=True, kw_only=True)
class Motion:
    """One motion with everything that holds while it runs.

    A coordinate that no word has named yet is ``nan``; Z after a retract to the machine's own top is infinite.
    ``axes`` are the axis letters that the line names. ``sweep_deg`` is positive counter-clockwise. ``spindle_line`` is
    the line that started the spindle, 0 if it stands; ``spun_s`` is the dwell since then. ``unit`` is ``mm``, ``inch``
    or empty (no unit word yet).
    """

    line: int
    kind: MotionKind
    axes: str
    start_mm: XYZ
    end_mm: XYZ
    centre_mm: tuple[float, float]
    sweep_deg: float
    feed_mm_per_s: float
    spindle_line: int
    spindle_rpm: float
    spun_s: float
    tool: int
    length_offset: int
    unit: str

    @property
    def is_known(self) -> bool:
        """True if both ends are known."""
        return all(math.isfinite(one) for one in (*self.start_mm, *self.end_mm))

    @property
    def radius_mm(self) -> float:
        """Radius of the arc at its start."""
        return math.hypot(self.start_mm[0] - self.centre_mm[0], self.start_mm[1] - self.centre_mm[1])

    @property
    def plan_mm(self) -> float:
        """Length seen from above; 0 if an end is unknown."""
        if not self.is_known:
            return 0.0
        if self.kind.is_arc:
            return self.radius_mm * math.radians(abs(self.sweep_deg))
        return math.hypot(self.end_mm[0] - self.start_mm[0], self.end_mm[1] - self.start_mm[1])

    @property
    def length_mm(self) -> float:
        """Length of the motion; 0 if an end is unknown."""
        return math.hypot(self.plan_mm, self.end_mm[2] - self.start_mm[2]) if self.is_known else 0.0

    def goes(self, axis: int) -> bool:
        """True if the motion moves along an axis (0 x, 1 y, 2 z), also from an unknown place."""
        if "XYZ"[axis] not in self.axes and not self.kind.is_arc:
            return False
        gone_mm = abs(self.end_mm[axis] - self.start_mm[axis])
        return not gone_mm <= SAME_MM  # an unknown start is nan and counts as moved

    @property
    def goes_across(self) -> bool:
        """True if the motion moves in the horizontal plane."""
        return self.kind.is_arc or self.goes(0) or self.goes(1)

    def box_mm(self) -> tuple[XYZ, XYZ]:
        """Least and largest x, y, z that the cutter's centre and tip take; unknown ends are left out."""
        points = [self.end_mm, self.start_mm, *self._quadrant_points()]
        low = tuple(min((one[axis] for one in points if not math.isnan(one[axis])), default=0.0) for axis in range(3))
        high = tuple(max((one[axis] for one in points if not math.isnan(one[axis])), default=0.0) for axis in range(3))
        return (low[0], low[1], low[2]), (high[0], high[1], high[2])

    def _quadrant_points(self) -> list[XYZ]:
        """Where an arc crosses the axes' directions."""
        if not self.kind.is_arc or not self.is_known:
            return []
        (cx, cy), radius = self.centre_mm, self.radius_mm
        first_deg = math.degrees(math.atan2(self.start_mm[1] - cy, self.start_mm[0] - cx))
        found = []
        for quarter in range(4):
            sign = 1.0 if self.sweep_deg >= 0 else -1.0
            gone_deg = (sign * (quarter * _QUARTER_DEG - first_deg)) % 360.0
            if gone_deg <= abs(self.sweep_deg):
                angle = math.radians(quarter * _QUARTER_DEG)
                found.append((cx + radius * math.cos(angle), cy + radius * math.sin(angle), self.start_mm[2]))
        return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """What the reader understood of a text: motions in their order, and what it refused.

    ``changes`` are the lines and the place of cutter changes; ``ended`` is true if an end word was read;
    ``unit_line`` is the line of the last unit word, 0 if there is none.
    """

    motions: tuple[Motion, ...]
    findings: tuple[Finding, ...]
    changes: tuple[tuple[int, XYZ], ...]
    ended: bool
    unit_line: int
    lines: int


def on_board(motions: tuple[Motion, ...], zero_mm: float) -> tuple[Motion, ...]:
    """The motions in the board's frame, whose z 0 is the spoil board's surface.

    Parameters
    ----------
    motions
        As read.
    zero_mm
        Height of the program's Z0 above the spoil board.
    """
    if abs(zero_mm) <= SAME_MM:
        return motions
    return tuple(
        replace(
            one,
            start_mm=(*one.start_mm[:2], one.start_mm[2] + zero_mm),
            end_mm=(*one.end_mm[:2], one.end_mm[2] + zero_mm),
        )
        for one in motions
    )


def plan_distance_mm(motion: Motion, point_mm: tuple[float, float]) -> float:
    """Least distance of a motion's path from a point, seen from above; infinite if an end is unknown."""
    if not motion.is_known:
        return math.inf
    start, end = motion.start_mm[:2], motion.end_mm[:2]
    ends_mm = min(math.dist(start, point_mm), math.dist(end, point_mm))
    if motion.kind.is_arc:
        centre = motion.centre_mm
        there = math.atan2(point_mm[1] - centre[1], point_mm[0] - centre[0])
        first = math.atan2(start[1] - centre[1], start[0] - centre[0])
        sign = 1.0 if motion.sweep_deg >= 0 else -1.0
        met = math.degrees((sign * (there - first)) % math.tau) <= abs(motion.sweep_deg)
        return abs(math.dist(centre, point_mm) - motion.radius_mm) if met else ends_mm
    length_mm = math.dist(start, end)
    if length_mm <= SAME_MM:
        return ends_mm
    ux, uy = (end[0] - start[0]) / length_mm, (end[1] - start[1]) / length_mm
    dx, dy = point_mm[0] - start[0], point_mm[1] - start[1]
    inside = 0.0 <= dx * ux + dy * uy <= length_mm
    return abs(dy * ux - dx * uy) if inside else ends_mm
