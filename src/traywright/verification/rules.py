"""Rules on motions as read: what must not happen whatever the tray looks like."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from traywright.base import Finding, Severity
from traywright.base.tolerance import SAME_MM, SNAP_MM
from traywright.base.units import S_PER_MIN
from traywright.catalogue.cards import Cutter, Machine
from traywright.nesting.setup import Setup
from traywright.verification.motion import XYZ, Heard, Motion, MotionKind, plan_distance_mm
from traywright.verification.stock import Bite
from traywright.verification.tell import known_point, tell

SCREW_HEAD_RADIUS_MM = 5.0  # source: common practice, no source: a 5 mm screw with a pan head of 10 mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowed:
    """The space and speeds that a program on this setup must keep to, board frame.

    ``clear_mm`` is the least height of a crossing at rapid: the board's top and the card's clearance above it.
    """

    setup: Setup
    name: str
    top_mm: float
    clear_mm: float
    lowest_mm: float
    least_mm: XYZ
    most_mm: XYZ
    feed_mm_per_s: float
    spindle_rpm: float
    spin_up_s: float
    cutters: Mapping[int, Cutter]


def allowed_on(setup: Setup, machine: Machine, cutters: Mapping[int, Cutter], name: str) -> Allowed:
    """What a setup and a machine card allow.

    Notes
    -----
    The card does not say where the datum corner lies in the travel: the bed is taken to lie in the middle of it, the
    datum corner on the bed's corner, and Z is taken to reach from the spoil board upwards by the whole travel.
    """
    spare_x = max(machine.travel_x_mm - machine.bed_x_mm, 0.0) / 2.0
    spare_y = max(machine.travel_y_mm - machine.bed_y_mm, 0.0) / 2.0
    numbers = {number for number, _ in setup.cutters}
    return Allowed(
        setup=setup,
        name=name,
        top_mm=setup.thickness_mm,
        clear_mm=setup.thickness_mm + machine.clearance_mm,
        lowest_mm=-machine.into_spoil_mm,
        least_mm=(-spare_x, -spare_y, -math.inf),
        most_mm=(machine.travel_x_mm - spare_x, machine.travel_y_mm - spare_y, machine.travel_z_mm),
        feed_mm_per_s=machine.feed_mm_per_s,
        spindle_rpm=machine.spindle_rpm,
        spin_up_s=machine.spin_up_s,
        cutters={number: cutter for number, cutter in sorted(cutters.items()) if number in numbers},
    )


def _told(
    code: str, motion: Motion, allowed: Allowed, severity: Severity = Severity.STOP, **parameters: str | float
) -> Finding:
    """A finding at the end of a motion."""
    point = known_point(motion.end_mm) or known_point(motion.start_mm)
    told = {"line": motion.line, **parameters}
    return tell(code, (allowed.setup.id,), told, severity=severity, point_mm=point)


def _spindle(motion: Motion, allowed: Allowed) -> Iterator[Finding]:
    """Feeding with the spindle standing, or faster than the card says."""
    if motion.kind is not MotionKind.RAPID and not motion.spindle_line:
        yield _told("RB-040", motion, allowed)
    if motion.spindle_rpm > allowed.spindle_rpm:
        yield _told("RB-043", motion, allowed, Severity.WARN, rpm=motion.spindle_rpm, limit_rpm=allowed.spindle_rpm)


def _feed(motion: Motion, allowed: Allowed) -> Iterator[Finding]:
    """Feed 0 or missing, or above the card's."""
    if motion.kind is MotionKind.RAPID:
        return
    if motion.feed_mm_per_s <= 0.0:
        yield _told("RB-041", motion, allowed)
    if motion.feed_mm_per_s > allowed.feed_mm_per_s + SAME_MM:
        fed, most = (round(one * S_PER_MIN, 1) for one in (motion.feed_mm_per_s, allowed.feed_mm_per_s))
        yield _told("RB-042", motion, allowed, feed_mm_per_min=fed, limit_mm_per_min=most)


def _cutter(motion: Motion, allowed: Allowed) -> Iterator[Finding]:
    """A cutter that the setup does not list, the wrong length offset, or too deep for its reach."""
    cutter = allowed.cutters.get(motion.tool)
    if cutter is None:
        yield _told("RB-045", motion, allowed, tool=motion.tool)
        return
    if motion.length_offset not in {0, motion.tool}:
        yield _told("RB-046", motion, allowed, tool=motion.tool, offset=motion.length_offset)
    depth_mm = allowed.top_mm - motion.box_mm()[0][2]
    if depth_mm > cutter.reach_mm + SAME_MM:
        yield _told("RB-047", motion, allowed, depth_mm=round(depth_mm, 3), reach_mm=cutter.reach_mm)


def _space(motion: Motion, allowed: Allowed) -> Iterator[Finding]:
    """Outside the travel, or deeper in the spoil board than allowed."""
    low, high = motion.box_mm()
    if low[2] < allowed.lowest_mm - SAME_MM:
        yield _told("RB-051", motion, allowed, z_mm=round(low[2], 4), limit_mm=allowed.lowest_mm)
    for axis, letter in enumerate("XYZ"):
        under = low[axis] < allowed.least_mm[axis] - SAME_MM
        over = math.isfinite(high[axis]) and high[axis] > allowed.most_mm[axis] + SAME_MM
        if under or over:
            place = low[axis] if under else high[axis]
            yield _told("RB-050", motion, allowed, axis=letter, place_mm=round(place, 4))


def _rapid(motion: Motion, allowed: Allowed) -> Iterator[Finding]:
    """The one shape of a rapid: up, across, down; never across low, never down into the board."""
    if motion.kind is not MotionKind.RAPID:
        return
    z0, z1 = motion.start_mm[2], motion.end_mm[2]
    down = motion.goes(2) and not z1 > z0
    if motion.goes_across and motion.goes(2):
        yield _told("RB-053", motion, allowed)
    elif motion.goes_across and not min(z0, z1) >= allowed.clear_mm - SAME_MM:  # an unknown height is not clear
        yield _told("RB-052", motion, allowed, limit_mm=allowed.clear_mm)
    elif down and z1 < allowed.top_mm + SAME_MM:
        yield _told("RB-053", motion, allowed)


def _screws(motion: Motion, allowed: Allowed) -> Iterator[Finding]:
    """A cutter that comes near a screw head, at any speed."""
    cutter = allowed.cutters.get(motion.tool)
    if cutter is None or motion.box_mm()[0][2] >= allowed.clear_mm - SAME_MM:
        return
    for x, y in allowed.setup.screws_mm:
        near_mm = plan_distance_mm(motion, (x, y))
        if near_mm < cutter.radius_mm + SCREW_HEAD_RADIUS_MM - SNAP_MM:
            yield _told("RB-055", motion, allowed, x_mm=x, y_mm=y, distance_mm=round(near_mm, 2))


_RULES: tuple[Callable[[Motion, Allowed], Iterator[Finding]], ...] = (
    _spindle,
    _feed,
    _cutter,
    _space,
    _rapid,
    _screws,
)


def _spin_ups(motions: tuple[Motion, ...], allowed: Allowed) -> Iterator[Finding]:
    """The first feed after each start of the spindle, if the dwell before it is shorter than the card's."""
    seen: set[int] = set()
    for motion in motions:
        if motion.kind is MotionKind.RAPID or motion.spindle_line in seen | {0}:
            continue
        seen.add(motion.spindle_line)
        if round(motion.spun_s, 1) < round(allowed.spin_up_s, 1):  # programs print a dwell to a tenth
            dwelt, needed = motion.spun_s, allowed.spin_up_s
            yield _told("RB-044", motion, allowed, Severity.WARN, dwell_s=dwelt, limit_s=needed)


def _changes(heard: Heard, allowed: Allowed) -> Iterator[Finding]:
    """Cutter changes while the cutter stands low."""
    for line, place in heard.changes:
        if place[2] < allowed.clear_mm - SAME_MM:
            yield tell("RB-056", (allowed.setup.id,), {"line": line}, point_mm=place)


def judge_motions(heard: Heard, motions: tuple[Motion, ...], allowed: Allowed) -> tuple[Finding, ...]:
    """Every breach of the rules on motions, in the order of the lines.

    Parameters
    ----------
    heard
        What the reader understood.
    motions
        Its motions in the board's frame.
    allowed
        What setup and machine allow.
    """
    found = [one for motion in motions for rule in _RULES for one in rule(motion, allowed)]
    return (*found, *_spin_ups(motions, allowed), *_changes(heard, allowed))


def judge_bites(bites: tuple[Bite, ...], allowed: Allowed) -> tuple[Finding, ...]:
    """Rapids that took foam, and straight plunges of cutters that do not cut at their centre."""
    found = []
    for bite in bites:
        motion = bite.motion
        point = (*bite.point_mm, min(motion.start_mm[2], motion.end_mm[2]))
        at, depth = (allowed.setup.id,), round(bite.deepest_mm, 3)
        if motion.kind is MotionKind.RAPID:
            found.append(tell("RB-054", at, {"line": motion.line, "depth_mm": depth}, point_mm=point))
        elif not motion.goes_across and not allowed.cutters[motion.tool].centre_cutting:
            found.append(tell("RB-048", at, {"line": motion.line, "tool": motion.tool}, point_mm=point))
    return tuple(found)
