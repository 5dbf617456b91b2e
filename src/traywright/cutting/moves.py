"""Runs written out as moves: up, across, down, and arcs for chords; their lengths and their time."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

import numpy as np

from traywright.base.tolerance import SAME_MM, SNAP_MM
from traywright.catalogue.cards import Machine
from traywright.cutting.arcs import arcs_of
from traywright.cutting.cut_plan import XYZ, Move, MoveKind
from traywright.cutting.run import Run
from traywright.motion import travel_time_s

APPROACH_MM = 2.0
"""A rapid down ends this far above foam.  # source: common practice, no source"""

DIGITS = 4
"""Decimals of a move's millimetres.  # source: what a program prints, NISTIR 6556 3.5.3 arc limit"""

CHORD_RAD = math.radians(5.0)
"""Turn of one chord where an arc is timed.  # source: the curvature limit holds from a few degrees on"""


def _at(point: XYZ) -> XYZ:
    """A point as it will be printed."""
    x, y, z = (round(one, DIGITS) + 0.0 for one in point)
    return (x, y, z)


def clear_height_mm(thickness_mm: float, machine: Machine) -> float:
    """Height of every rapid across, mm above the spoil board.

    Parameters
    ----------
    thickness_mm
        Board thickness.
    machine
        For its clearance.
    """
    return thickness_mm + machine.clearance_mm


def _level_moves(points: list[XYZ], feed_mm_per_s: float, *, even: bool) -> Iterator[Move]:
    """Lines and arcs along a stretch of one height."""
    plan = np.array([one[:2] for one in points])
    for end, centre, counter_clockwise in arcs_of(plan, even=even):
        if centre is None:
            yield Move(kind=MoveKind.LINE, to_mm=_at(points[end]), feed_mm_per_s=feed_mm_per_s)
            continue
        kind = MoveKind.ARC_CCW if counter_clockwise else MoveKind.ARC_CW
        x, y = (round(one, DIGITS) + 0.0 for one in centre)
        yield Move(kind=kind, to_mm=_at(points[end]), feed_mm_per_s=feed_mm_per_s, centre_mm=(x, y))


def _path_moves(points: tuple[XYZ, ...], machine: Machine, *, even: bool) -> Iterator[Move]:
    """A path at feed; straight down at plunge feed."""
    stretch = [points[0]]
    for point in points[1:]:
        if abs(point[2] - stretch[-1][2]) <= SAME_MM:
            stretch.append(point)
            continue
        yield from _level_moves(stretch, machine.feed_mm_per_s, even=even)
        straight = math.dist(point[:2], stretch[-1][:2]) <= SNAP_MM and point[2] < stretch[-1][2]
        feed_mm_per_s = machine.feed_mm_per_s * (machine.plunge_ratio if straight else 1.0)
        yield Move(kind=MoveKind.LINE, to_mm=_at(point), feed_mm_per_s=feed_mm_per_s)
        stretch = [point]
    yield from _level_moves(stretch, machine.feed_mm_per_s, even=even)


def run_moves(run: Run, *, thickness_mm: float, machine: Machine, even: bool = False) -> tuple[Move, ...]:
    """One run as moves: across at clearance, down, along, and up again.

    Parameters
    ----------
    run
        The run.
    thickness_mm
        Board thickness: no rapid goes down under it.
    machine
        For feeds and clearance.
    even
        True: a turn is cut into equal arcs.

    Returns
    -------
    tuple[Move, ...]
        Moves, from and to the clearance height.
    """
    x, y, z = run.points_mm[0]
    clear_mm = clear_height_mm(thickness_mm, machine)
    approach_mm = min(APPROACH_MM, machine.clearance_mm)
    down: list[tuple[float, float]] = []
    if run.air_to_mm < thickness_mm - SAME_MM:
        down.append((run.air_to_mm + approach_mm, machine.feed_mm_per_s))
    down.append((z, machine.feed_mm_per_s * machine.plunge_ratio))
    x_last, y_last, _ = run.points_mm[-1]
    return (
        Move(kind=MoveKind.RAPID, to_mm=_at((x, y, clear_mm)), feed_mm_per_s=0.0),
        Move(kind=MoveKind.RAPID, to_mm=_at((x, y, thickness_mm + approach_mm)), feed_mm_per_s=0.0),
        *(Move(kind=MoveKind.LINE, to_mm=_at((x, y, height_mm)), feed_mm_per_s=feed) for height_mm, feed in down),
        *_path_moves(run.points_mm, machine, even=even),
        Move(kind=MoveKind.RAPID, to_mm=_at((x_last, y_last, clear_mm)), feed_mm_per_s=0.0),
    )


def points_along(start: XYZ, move: Move) -> tuple[XYZ, ...]:
    """The points that stand for a move in time and pictures: its end, with chords before it for an arc.

    Parameters
    ----------
    start
        Where the move starts.
    move
        The move.
    """
    if move.kind not in {MoveKind.ARC_CW, MoveKind.ARC_CCW}:
        return (move.to_mm,)
    cx, cy = move.centre_mm
    first = math.atan2(start[1] - cy, start[0] - cx)
    last = math.atan2(move.to_mm[1] - cy, move.to_mm[0] - cx)
    turn = (last - first) % (2.0 * math.pi)
    if move.kind is MoveKind.ARC_CW:
        turn -= 2.0 * math.pi
    radius_mm = math.hypot(start[0] - cx, start[1] - cy)
    count = max(1, math.ceil(abs(turn) / CHORD_RAD))
    inner = (first + turn * one / count for one in range(1, count))
    bent = tuple((cx + radius_mm * math.cos(one), cy + radius_mm * math.sin(one), move.to_mm[2]) for one in inner)
    return (*bent, move.to_mm)


def walked(start: XYZ, moves: Iterable[Move]) -> Iterator[tuple[XYZ, Move, XYZ]]:
    """Each straight step of moves: where from, as part of which move, where to.

    Parameters
    ----------
    start
        Where the first move starts.
    moves
        Moves in order.
    """
    here = start
    for move in moves:
        for point in points_along(here, move):
            yield here, move, point
            here = point


def lengths_and_time(start: XYZ, moves: tuple[Move, ...], machine: Machine) -> tuple[float, float, float, float]:
    """Length at feed, length at rapid, time with look-ahead, and plain length over feed.

    Parameters
    ----------
    start
        Where the first move starts.
    moves
        Moves in order.
    machine
        For speeds and acceleration (each axis' own).

    Returns
    -------
    tuple[float, float, float, float]
        mm, mm, s, s.
    """
    points, feeds = [start], []
    cut_mm = rapid_mm = plain_s = 0.0
    for here, move, point in walked(start, moves):
        length_mm = math.dist(here, point)
        rapid = move.kind is MoveKind.RAPID
        feed_mm_per_s = machine.rapid_mm_per_s if rapid else move.feed_mm_per_s
        cut_mm += 0.0 if rapid else length_mm
        rapid_mm += length_mm if rapid else 0.0
        plain_s += length_mm / feed_mm_per_s
        points.append(point)
        feeds.append(feed_mm_per_s)
    time_s = travel_time_s(
        np.array(points),
        np.array(feeds),
        acceleration_mm_per_s2=machine.acceleration_mm_per_s2,
        junction_mm=machine.junction_mm,
        each_axis=True,
    )
    return cut_mm, rapid_mm, time_s, plain_s
