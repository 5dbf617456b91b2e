"""Rules of boards that are no foam: ways down, depth of a pass, feed."""

from __future__ import annotations

import math

from traywright.base import Finding, Severity
from traywright.base.tolerance import SAME_MM
from traywright.base.units import S_PER_MIN
from traywright.catalogue.cards import Solid
from traywright.verification.motion import Motion, MotionKind
from traywright.verification.rules import Allowed
from traywright.verification.stock import Bite
from traywright.verification.tell import tell

ANGLE_DEG = 0.2
"""What rounding to the decimals of a program may add to a ramp.  # source: 0.001 mm on a ramp of 0.3 mm"""

DEPTH_MM = 0.05
"""What a pass may be deeper than its step: a cell of the map sees the ramp of its neighbour.  # source: own choice"""


def slope_deg(motion: Motion) -> float:
    """How steep a motion goes down, degrees: 90 straight down, 0 level or up.

    Parameters
    ----------
    motion
        A motion with known ends.
    """
    down_mm = motion.start_mm[2] - motion.end_mm[2]
    return math.degrees(math.atan2(down_mm, motion.plan_mm)) if down_mm > SAME_MM else 0.0


def judge_solid(
    motions: tuple[Motion, ...], bites: tuple[Bite, ...], allowed: Allowed, solid: Solid | None
) -> tuple[Finding, ...]:
    """Every breach of a solid's own rules, in the order of the lines; nothing for foam.

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
    """
    if solid is None:
        return ()
    at = (allowed.setup.id,)
    found = []
    for one in motions:
        if one.kind is not MotionKind.RAPID and one.feed_mm_per_s > solid.feed_mm_per_s + SAME_MM:
            fed, most = (round(each * S_PER_MIN, 1) for each in (one.feed_mm_per_s, solid.feed_mm_per_s))
            words = {"line": one.line, "feed_mm_per_min": fed, "limit_mm_per_min": most}
            found.append(tell("RB-070", at, words, severity=Severity.WARN, point_mm=one.end_mm))
    for bite in bites:
        if bite.motion.kind is not MotionKind.RAPID:
            found += _bite(bite, allowed, solid)
    return tuple(found)


def _bite(bite: Bite, allowed: Allowed, solid: Solid) -> list[Finding]:
    """A way down that is too steep, and a pass that is too deep."""
    motion, at = bite.motion, (allowed.setup.id,)
    point = (*bite.point_mm, min(motion.start_mm[2], motion.end_mm[2]))
    found = []
    steep_deg = slope_deg(motion)
    if steep_deg > solid.ramp_deg + ANGLE_DEG:
        words = {"line": motion.line, "angle_deg": round(steep_deg, 1), "limit_deg": solid.ramp_deg}
        found.append(tell("RB-069", at, words, point_mm=point))
    cutter = allowed.cutters.get(motion.tool)
    if cutter is None:
        return found
    most_mm = solid.step_down_ratio * cutter.diameter_mm
    if bite.deepest_mm > most_mm + DEPTH_MM:
        words = {"line": motion.line, "depth_mm": round(bite.deepest_mm, 3), "limit_mm": round(most_mm, 3)}
        found.append(tell("RB-071", at, words, severity=Severity.WARN, point_mm=point))
    return found
