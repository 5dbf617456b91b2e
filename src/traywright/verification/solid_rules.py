"""Rules of boards that are no foam: ways down, depth of a pass, feed and spindle speed, skin under the outline."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from traywright.base import Finding, Severity
from traywright.base.finding import Parameter
from traywright.base.tolerance import SAME_MM
from traywright.base.units import S_PER_MIN
from traywright.catalogue.cards import Cutter, Solid
from traywright.verification.motion import Motion, MotionKind
from traywright.verification.raster import Frame
from traywright.verification.rules import Allowed
from traywright.verification.stock import Bite
from traywright.verification.tell import tell

ANGLE_DEG = 0.2
"""What rounding to the decimals of a program may add to a ramp.  # source: 0.001 mm on a ramp of 0.3 mm"""

DEPTH_MM = 0.05
"""What a pass may be deeper than its step: a cell of the map sees the ramp of its neighbour.  # source: own choice"""

SCRAPE_RATIO = 0.05
"""Share of the cutter's circle that a way down through air may scrape off a wall: what chords, snapping and the side
tolerance of two paths along one wall leave between them.  # source: own choice"""

SPEED_RATIO = 0.1
"""A spindle speed nearer than this to the sheet's is the sheet's.  # source: common practice, no source"""

FREE_RATIO = 0.5
"""A piece is as good as free when this share of its outline is cut through.  # source: common practice, no source"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """Where the pieces lie: number of the piece that holds a cell, -1 for none; and the shortest outline of a piece."""

    frame: Frame
    piece: NDArray[np.int32]
    least_round_mm: float

    @property
    def cell_mm(self) -> float:
        """Side of a cell."""
        return self.frame.cell_mm

    def piece_at(self, x_mm: float, y_mm: float) -> int:
        """Number of the piece that holds a place in plan, -1 outside of all."""
        column = math.floor((x_mm - self.frame.left_mm) / self.cell_mm)
        row = math.floor((y_mm - self.frame.front_mm) / self.cell_mm)
        on_board = 0 <= row < self.piece.shape[0] and 0 <= column < self.piece.shape[1]
        return int(self.piece[row, column]) if on_board else -1


def slope_deg(motion: Motion) -> float:
    """How steep a motion goes down, degrees: 90 straight down, 0 level or up.

    Parameters
    ----------
    motion
        A motion with known ends.
    """
    down_mm = motion.start_mm[2] - motion.end_mm[2]
    return math.degrees(math.atan2(down_mm, motion.plan_mm)) if down_mm > SAME_MM else 0.0


def step_mm(cutter: Cutter, solid: Solid) -> float:
    """Deepest pass of a cutter in a solid, mm.

    Parameters
    ----------
    cutter
        The cutter.
    solid
        What the board is of.
    """
    return solid.step_down_ratio * cutter.diameter_mm


def deep_from_mm(cutters: Mapping[int, Cutter], solid: Solid | None) -> dict[int, float]:
    """Depth from which on a bite of each cutter is told as deep, by its number; none for foam.

    Parameters
    ----------
    cutters
        Cutters by their number.
    solid
        What the board is of; None for foam.
    """
    if solid is None:
        return {}
    return {number: step_mm(one, solid) + DEPTH_MM for number, one in cutters.items()}


def judge_solid(
    motions: tuple[Motion, ...], bites: tuple[Bite, ...], allowed: Allowed, solid: Solid | None, ground: Ground
) -> tuple[Finding, ...]:
    """Every breach of a solid's own rules, rule by rule in the order of the lines; nothing for foam.

    Parameters
    ----------
    motions
        Motions in the board's frame.
    bites
        What each took.
    allowed
        What setup and machine allow.
    solid
        What the board is of; None for foam.
    ground
        Where the pieces lie on it.
    """
    if solid is None:
        return ()
    feeds = tuple(one for one in motions if one.kind is not MotionKind.RAPID)
    taken = tuple(one for one in bites if one.motion.kind is not MotionKind.RAPID)
    cut = tuple(finding for one in taken for finding in _bite(one, allowed, solid, ground))
    return (
        *_feeds(feeds, allowed, solid),
        *_speeds(feeds, allowed, solid),
        *cut,
        *_freed_early(taken, allowed, ground),
    )


def _feeds(motions: tuple[Motion, ...], allowed: Allowed, solid: Solid) -> Iterator[Finding]:
    """Feeds above the sheet's."""
    for one in motions:
        if one.feed_mm_per_s > solid.feed_mm_per_s + SAME_MM:
            fed, most = (round(each * S_PER_MIN, 1) for each in (one.feed_mm_per_s, solid.feed_mm_per_s))
            words = {"line": one.line, "feed_mm_per_min": fed, "limit_mm_per_min": most}
            yield tell("RB-070", (allowed.setup.id,), words, severity=Severity.WARN, point_mm=one.end_mm)


def _speeds(motions: tuple[Motion, ...], allowed: Allowed, solid: Solid) -> Iterator[Finding]:
    """Spindle speeds off the sheet's, or off the machine's where that turns slower; each start is told once."""
    asked_rpm = min(solid.spindle_rpm, allowed.spindle_rpm)
    seen: set[tuple[int, float]] = set()
    for one in motions:
        key = (one.spindle_line, one.spindle_rpm)
        if not one.spindle_line or key in seen:
            continue
        seen.add(key)
        if abs(one.spindle_rpm - asked_rpm) > SPEED_RATIO * asked_rpm:
            words = {"line": one.line, "rpm": one.spindle_rpm, "asked_rpm": asked_rpm}
            yield tell("RB-072", (allowed.setup.id,), words, severity=Severity.WARN, point_mm=one.end_mm)


def _bite(bite: Bite, allowed: Allowed, solid: Solid, ground: Ground) -> Iterator[Finding]:
    """A way down that is too steep, and a pass that is too deep."""
    motion, at = bite.motion, (allowed.setup.id,)
    cutter = allowed.cutters.get(motion.tool)
    if cutter is None:
        return
    point = (*bite.point_mm, min(motion.start_mm[2], motion.end_mm[2]))
    scrape_mm2 = SCRAPE_RATIO * math.pi * cutter.radius_mm**2
    steep_deg = slope_deg(motion)
    if steep_deg > solid.ramp_deg + ANGLE_DEG and bite.cells * ground.cell_mm**2 > scrape_mm2:
        words = {"line": motion.line, "angle_deg": round(steep_deg, 1), "limit_deg": solid.ramp_deg}
        yield tell("RB-069", at, words, point_mm=point)
    most_mm = step_mm(cutter, solid)
    if bite.deep_cells * ground.cell_mm**2 > scrape_mm2:
        words = {"line": motion.line, "depth_mm": round(bite.deepest_mm, 3), "limit_mm": round(most_mm, 3)}
        yield tell("RB-071", at, words, severity=Severity.WARN, point_mm=point)


def _freed_early(bites: tuple[Bite, ...], allowed: Allowed, ground: Ground) -> Iterator[Finding]:
    """Cuts inside a piece after the cut round the pieces has gone right through: no skin held it any more."""
    through_mm, freed_line = 0.0, 0
    told: set[int] = set()
    for bite in bites:
        motion = bite.motion
        number = ground.piece_at(*motion.end_mm[:2])
        if number < 0:
            through_mm += motion.plan_mm if motion.end_mm[2] <= SAME_MM else 0.0
            freed_line = freed_line or (motion.line if through_mm > FREE_RATIO * ground.least_round_mm else 0)
        elif freed_line and number not in told:
            told.add(number)
            piece = allowed.setup.pieces[number].id
            words: dict[str, Parameter] = {"line": motion.line, "free_line": freed_line, "place": piece}
            yield tell("RB-073", (piece, allowed.setup.id), words, severity=Severity.WARN, point_mm=motion.end_mm)
