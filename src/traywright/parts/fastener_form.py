"""What a body looks like about its axis: screw, nut, washer or pin, and of which thread."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from traywright.base.tolerance import SNAP_MM
from traywright.catalogue import Table
from traywright.parts.congruent import Array, Measured, flats_of, spots_of
from traywright.parts.spread import spread_over

WALL_RATIO = 0.1  # source: ours: sine of what still stands along the axis
ROUND_LEAN_RATIO = 0.25  # source: ours: sine of half the widest chord of a round (0.5 rad)
ROUND_STEP_RAD = 0.6  # source: ours: wider chords are the flats of a hexagon (1.05 rad), not of a round
SIXTH_RATIO = 0.85  # source: ours: so much of a screw, slot and lettering left out, comes back on itself after a sixth
POINTS = 400  # source: ours: points that are turned by a sixth
NEAR_MM, NEAR_RATIO = 0.12, 0.02  # source: ours: clearances and chords on a thread's diameter
MINOR_RATIO = 1.0825  # source: ISO 68-1: minor diameter of a nut = d - 1.0825 P; from memory
BORED_RATIO = 0.8  # source: ours: a bore or shank over this part of the length goes through
HEAD_RATIO = (1.25, 2.7)  # source: common practice, no source: widest head over the thread, from set to pan heads
NUT_HIGH_RATIO, NUT_WIDE_RATIO = (0.35, 2.2), (1.3, 2.7)  # source: common practice, no source: over the thread
WASHER_THICK_RATIO, WASHER_WIDE_RATIO = 0.45, (1.4, 4.2)  # source: common practice, no source: over the bore
WASHER_BORE_RATIO = (1.0, 1.25)  # source: common practice, no source: bore over the thread
PIN_LONG_RATIO = 1.5  # source: ours: shorter ones are discs


@dataclass(frozen=True, slots=True, kw_only=True)
class FastenerForm:
    """A form of fastener with its thread as the table names it."""

    form: str
    thread: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Round:
    """A round wall about the axis."""

    diameter_mm: float
    low_mm: float
    high_mm: float
    inside: bool

    @property
    def length_mm(self) -> float:
        return self.high_mm - self.low_mm


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Seen:
    """A body about an axis: its round walls, height, greatest diameter, and whether it has flats along the axis."""

    rounds: tuple[_Round, ...]
    low_mm: float
    high_mm: float
    wide_mm: float
    has_flats: bool

    @property
    def length_mm(self) -> float:
        return self.high_mm - self.low_mm

    def through(self, *, inside: bool) -> _Round | None:
        """The bore, or the outer wall, that runs over most of the length; the narrowest bore, the widest wall."""
        found = [one for one in self.rounds if one.inside is inside and one.length_mm >= BORED_RATIO * self.length_mm]
        found.sort(key=lambda one: one.diameter_mm if inside else -one.diameter_mm)
        return found[0] if found else None


def _frame(axis: Array) -> Array:
    side = np.cross(axis, np.eye(3)[int(np.argmin(np.abs(axis)))])
    side = side / np.linalg.norm(side)
    return np.array([side, np.cross(axis, side), axis])


def _sixth_share(one: Measured, frame: Array) -> float:
    """Share of the surface that comes to lie on the surface after a sixth of a turn."""
    points, _ = spread_over(one.corners, one.areas, POINTS)
    cos, sin = 0.5, np.sqrt(0.75)
    turn = frame.T @ np.array([[cos, -sin, 0.0], [sin, cos, 0.0], [0.0, 0.0, 1.0]]) @ frame
    return float(np.isfinite(spots_of(points @ turn.T, NEAR_MM, one.corners)[0]).mean())


def _rounds(corners: Array, walls: NDArray[np.bool_], out: Array) -> list[_Round]:
    """Round walls by diameter: triangles of one wall have corners at one distance from the axis."""
    found = []
    for inside in (False, True):
        own = corners[walls & ((out < 0.0) if inside else (out > 0.0))]
        far = np.hypot(own[:, :, 0], own[:, :, 1]).max(axis=1)
        for radius in np.unique(np.round(far / NEAR_MM)):
            heights = own[np.abs(far - radius * NEAR_MM) <= NEAR_MM, :, 2]
            exact = float(np.median(far[np.abs(far - radius * NEAR_MM) <= NEAR_MM]))
            found.append(
                _Round(
                    diameter_mm=2.0 * exact, low_mm=float(heights.min()), high_mm=float(heights.max()), inside=inside
                )
            )
    return found


def _seen(one: Measured, frame: Array) -> _Seen:
    corners, normals = one.corners @ frame.T, one.normals @ frame.T
    middles = corners.mean(axis=1)
    far = np.hypot(middles[:, 0], middles[:, 1])
    ways = middles[:, :2] / np.where(far > 0.0, far, 1.0)[:, None]
    out = np.einsum("ij,ij->i", ways, normals[:, :2])
    lean = np.abs(ways[:, 0] * normals[:, 1] - ways[:, 1] * normals[:, 0])
    flat_ways = corners[:, :, :2] / np.maximum(np.linalg.norm(corners[:, :, :2], axis=2), SNAP_MM)[:, :, None]
    step = np.einsum("ijk,ijk->ij", flat_ways, np.roll(flat_ways, -1, axis=1)).min(axis=1)
    is_round = (lean <= ROUND_LEAN_RATIO) & (step >= np.cos(ROUND_STEP_RAD))
    upright = np.abs(normals[:, 2]) <= WALL_RATIO
    heights = corners[:, :, 2]
    return _Seen(
        rounds=tuple(_rounds(corners, upright & is_round, out)),
        low_mm=float(heights.min()),
        high_mm=float(heights.max()),
        wide_mm=2.0 * float(np.hypot(corners[:, :, 0], corners[:, :, 1]).max()),
        has_flats=bool((upright & ~is_round).any()),
    )


def _thread(diameter_mm: float, threads: Table, *, minor: bool = False) -> str:
    """The thread whose diameter, or that of its nut or tapped hole, is nearest, if it is near."""
    best, name = max(NEAR_MM, NEAR_RATIO * diameter_mm), ""
    for row in threads.rows:
        own = row.number("diameter_mm")
        pitch = row.number("pitch_mm")
        for size in (own, own - pitch, own - MINOR_RATIO * pitch) if minor else (own,):
            if abs(size - diameter_mm) < best:
                best, name = abs(size - diameter_mm), row.id
    return name


def _between(value: float, limits: tuple[float, float]) -> bool:
    return limits[0] <= value <= limits[1]


def _screw(seen: _Seen, threads: Table) -> str:
    """The thread of a shank that ends the body, with a head at its other end."""
    for one in sorted(seen.rounds, key=lambda each: -each.length_mm):
        slack = 0.6 * one.diameter_mm
        ends = one.low_mm - seen.low_mm <= slack or seen.high_mm - one.high_mm <= slack
        head = _between(seen.wide_mm / one.diameter_mm, HEAD_RATIO)
        thread = _thread(one.diameter_mm, threads)
        if not one.inside and ends and head and thread and one.length_mm >= 0.7 * one.diameter_mm:
            return thread
    return ""


def _washer(bore: _Round, seen: _Seen, threads: Table) -> str:
    wide = _between(seen.wide_mm / bore.diameter_mm, WASHER_WIDE_RATIO)
    if not wide or seen.length_mm > WASHER_THICK_RATIO * bore.diameter_mm:
        return ""
    for series in dict.fromkeys(row.text("series") for row in threads.rows):
        sizes = [(row.number("diameter_mm"), row.id) for row in threads.having("series", series)]
        fitting = [each for each in sizes if _between(bore.diameter_mm / each[0], WASHER_BORE_RATIO)]
        if fitting:
            return max(fitting)[1]
    return ""


def _form(seen: _Seen, threads: Table) -> FastenerForm | None:
    bore, wall = seen.through(inside=True), seen.through(inside=False)
    if bore is not None:
        nut = (
            _between(seen.length_mm / bore.diameter_mm, NUT_HIGH_RATIO)
            and _between(seen.wide_mm / bore.diameter_mm, NUT_WIDE_RATIO)
            and seen.has_flats
        )
        tried = (
            ("nut", _thread(bore.diameter_mm, threads, minor=True) if nut else ""),
            ("washer", _washer(bore, seen, threads)),
        )
    else:
        is_pin = wall is not None and seen.wide_mm <= wall.diameter_mm + NEAR_MM
        long = wall is not None and seen.length_mm >= PIN_LONG_RATIO * wall.diameter_mm
        pin = _thread(wall.diameter_mm, threads) if wall is not None and is_pin and long else ""
        tried = (("screw", _screw(seen, threads)), ("pin", pin))
    return next((FastenerForm(form=form, thread=thread) for form, thread in tried if thread), None)


def fastener_form(one: Measured, threads: Table) -> FastenerForm | None:
    """The form of fastener that a body has, None if it has none.

    Parameters
    ----------
    one
        The body.
    threads
        The table ``fasteners``: diameters and pitches of threads.

    Notes
    -----
    The axis is the most distinct principal axis or the direction of a large flat; about it the body must come back on
    itself after a sixth of a turn, as round things and hexagons do. Threads drawn as helices are not known as round
    walls, so such a screw is known by its name only.
    """
    gaps = np.diff(one.spread_mm2)
    for axis in (np.eye(3)[0 if gaps[0] > gaps[1] else 2], *flats_of(one)[:2]):
        frame = _frame(axis)
        if _sixth_share(one, frame) >= SIXTH_RATIO:
            found = _form(_seen(one, frame), threads)
            if found is not None:
                return found
    return None
