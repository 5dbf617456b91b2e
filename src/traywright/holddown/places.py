"""Where a bridge may stand: straight runs of a piece's edge with foam behind them on both sides."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations, pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LinearRing, Point, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from traywright.base.tolerance import ARC_CHORD_MM, SNAP_MM

Vector = NDArray[np.float64]
Way = tuple[float, float]

SHARES = (0.5, 0.25, 0.75, 0.0, 1.0)
"""Places tried along a straight run, the middle first.  # source: common practice, no source"""

MOST_RUNS = 6
"""Straight runs looked at, longest first.  # source: keeps the choice of sets small"""

ROUND_PLACES = 8
"""Places tried round an edge without a straight run.  # source: common practice, no source"""


SHARP_DEG = 20.0
"""A turn of the edge from which it is a corner.  # source: chords of a curve in use turn by less than 10 degrees"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """The foam round one piece.

    ``blank`` is the board, ``pieces`` the other pieces as they will stand, ``own`` this one, each without what is
    cut from it; ``spare`` the board that stays when all pieces are cut free; ``screws`` the screw heads' middles.
    """

    outline: BaseGeometry
    own: BaseGeometry
    pieces: BaseGeometry
    spare: BaseGeometry
    screws: tuple[Point, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Measures:
    """Lengths that decide where a bridge may stand."""

    waist_mm: float
    corner_mm: float
    kerf_mm: float
    grip_mm: float
    from_screw_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A place for a bridge: middle on the edge, the edge's direction, which way out, and whether the rim is there."""

    at_mm: tuple[float, float]
    along: Way
    out: Way
    to_rim: bool


def _pad(at: Vector, along: Vector, out: Vector, *, near_mm: float, far_mm: float, width_mm: float) -> Polygon:
    """A rectangle beside an edge, from one distance outward to another."""
    half = along * width_mm / 2.0
    return Polygon(
        [at - half + out * near_mm, at + half + out * near_mm, at + half + out * far_mm, at - half + out * far_mm]
    )


def _spot(at: Vector, along: Vector, ground: Ground, measures: Measures) -> Spot | None:
    """A place for a bridge, or None if there is no foam on one of its sides."""
    out = np.array([along[1], -along[0]])
    width_mm = measures.waist_mm + 2.0 * measures.grip_mm
    inner = _pad(at, along, out, near_mm=-measures.grip_mm, far_mm=-SNAP_MM, width_mm=width_mm + measures.kerf_mm)
    far_mm = measures.kerf_mm + measures.grip_mm
    outer = _pad(at, along, out, near_mm=measures.kerf_mm + SNAP_MM, far_mm=far_mm, width_mm=width_mm)
    # a curved edge leaves the corners of the pad outside the piece
    if not ground.own.buffer(ARC_CHORD_MM).covers(inner.intersection(ground.outline)):
        return None
    if any(one.distance(Point(at)) < measures.from_screw_mm for one in ground.screws):
        return None
    to_rim = ground.spare.buffer(ARC_CHORD_MM).covers(outer)
    if not to_rim and not ground.pieces.buffer(ARC_CHORD_MM).covers(outer):
        return None
    x, y, dx, dy = (round(float(one), 6) + 0.0 for one in (*at, *along))
    return Spot(at_mm=(x, y), along=(dx, dy), out=(dy + 0.0, -dx + 0.0), to_rim=to_rim)


def _straight_runs(outline: BaseGeometry, least_mm: float) -> list[tuple[Vector, Vector]]:
    """Straight runs of an edge, counter-clockwise, longest first."""
    found = []
    for area in shapely.get_parts(outline).tolist():
        ring = orient(area.simplify(SNAP_MM), 1.0).exterior
        found += [(np.array(a), np.array(b)) for a, b in pairwise(ring.coords) if math.dist(a, b) >= least_mm]
    return sorted(found, key=lambda one: (-round(float(np.hypot(*(one[1] - one[0]))), 3), tuple(one[0])))


def _on_runs(ground: Ground, measures: Measures) -> Iterator[Spot]:
    """Places on straight runs, clear of corners."""
    least_mm = 2.0 * measures.corner_mm
    for start, end in _straight_runs(ground.outline, least_mm)[:MOST_RUNS]:
        length_mm = float(np.hypot(*(end - start)))
        along = (end - start) / length_mm
        for share in SHARES:
            at = start + along * (measures.corner_mm + (length_mm - least_mm) * share)
            spot = _spot(at, along, ground, measures)
            if spot is not None:
                yield spot


def _sharp_corners(ring: LinearRing) -> shapely.MultiPoint:
    """Corners of an edge; the chords of a curve turn too little to be one."""
    corners = np.array(ring.simplify(SNAP_MM).coords)[:-1]
    ahead, behind = np.roll(corners, -1, axis=0) - corners, corners - np.roll(corners, 1, axis=0)
    along, across = (behind * ahead).sum(axis=1), behind[:, 0] * ahead[:, 1] - behind[:, 1] * ahead[:, 0]
    return shapely.MultiPoint(corners[np.abs(np.degrees(np.arctan2(across, along))) > SHARP_DEG])


def _round_the_edge(ground: Ground, measures: Measures) -> Iterator[Spot]:
    """Places round an edge that has no straight run long enough."""
    for area in shapely.get_parts(ground.outline).tolist():
        ring = orient(area, 1.0).exterior
        sharp = _sharp_corners(ring)
        for index in range(ROUND_PLACES):
            before, at, after = (
                np.array(ring.interpolate((index + shift) / ROUND_PLACES % 1.0, normalized=True).coords[0])
                for shift in (-0.01, 0.0, 0.01)  # source: a direction over a fiftieth of the edge
            )
            spot = _spot(at, (after - before) / np.hypot(*(after - before)), ground, measures)
            clear = sharp.is_empty or sharp.distance(Point(at)) > measures.waist_mm / 2.0 + measures.grip_mm
            if spot is not None and clear:
                yield spot


def spots(ground: Ground, measures: Measures) -> tuple[Spot, ...]:
    """All places of one piece where a bridge may stand.

    Parameters
    ----------
    ground
        The foam round the piece.
    measures
        Lengths of the rule.

    Returns
    -------
    tuple[Spot, ...]
        Places on straight runs, longest run first; places round the edge where there is no such run.
    """
    found = {one.at_mm: one for one in _on_runs(ground, measures)}
    if not found:
        found = {one.at_mm: one for one in _round_the_edge(ground, measures)}
    return tuple(found.values())


def _merit(chosen: tuple[Spot, ...], to_rim: int) -> tuple[float, float, float]:
    """What makes a set of places good: the rim first, then opposite sides, then distance."""
    rims = min(sum(1 for one in chosen if one.to_rim), to_rim)
    pull = math.hypot(sum(one.out[0] for one in chosen), sum(one.out[1] for one in chosen))
    apart = _apart(chosen) if len(chosen) > 1 else 0.0
    return (float(rims), -round(pull, 3), round(apart, 3))


def _apart(chosen: tuple[Spot, ...]) -> float:
    """Least distance of two places, mm; infinite where there are no two."""
    return min((math.dist(a.at_mm, b.at_mm) for a, b in combinations(chosen, 2)), default=math.inf)


def best_set(found: tuple[Spot, ...], count: int, to_rim: int, apart_mm: float = 0.0) -> tuple[Spot, ...]:
    """The places that bridges are put at.

    Parameters
    ----------
    found
        Places where a bridge may stand.
    count
        How many are wanted.
    to_rim
        How many of them should lead to the rim.
    apart_mm
        Least distance of two bridges: nearer ones are one.

    Returns
    -------
    tuple[Spot, ...]
        As many as wanted, or as can stand so far apart: first those that lead to the rim, then on opposite sides,
        then far apart; the first such set in the order of places.
    """
    for size in range(min(count, len(found)), -1, -1):
        sets = [one for one in combinations(found, size) if _apart(one) >= apart_mm]
        if sets:
            break
    merits = [_merit(one, to_rim) for one in sets]
    return sets[merits.index(max(merits))]
