"""The opening of a part as it lies, told from the bottom up at the heights where it changes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from traywright.base import Finding, Severity, finding
from traywright.base.tolerance import SNAP_MM
from traywright.geometry import Region
from traywright.parts.faces import normals_of
from traywright.parts.openings import envelope, envelope_ends_mm, governing_state, material_mm
from traywright.parts.part import Pose, Rule
from traywright.parts.standing import larger_states, lift_mm
from traywright.parts.states import RAW, PartState

LEVEL_RATIO = 0.9999  # source: ours: a face that leans by less than a degree is a level
BESIDE_MM = 2.0 * SNAP_MM
"""A height is asked this far above and below: what happens on it has happened, or has not yet."""
AREA_RATIO = 0.02  # source: ours: between two rows the area grows by no more than a fiftieth of the whole
MOST_LEVELS = 60  # source: ours: the largest levels of a part; between them it is searched as if it were curved
BETWEEN = 24  # source: ours: heights at which a curved part is asked for the state that governs it
MOST_ROWS = 120  # source: ours: so many openings a part of 200 000 triangles can be asked in seconds


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningAt:
    """The opening just above a height, pose frame, and the state that governs it.

    ``area_mm2`` holds at ``z_mm``; up to the next row it grows to ``until_mm2``.
    """

    z_mm: float
    area_mm2: float
    until_mm2: float
    state: str


def _levels(pose: Pose) -> tuple[float, ...]:
    """Heights of the largest level faces, rising."""
    corners = pose.solid.corners_mm
    normals, areas = normals_of(corners)
    level = np.abs(normals[:, 2]) > LEVEL_RATIO
    heights, where = np.unique(np.round(corners[level][:, :, 2].max(axis=1), 3), return_inverse=True)
    sums = np.bincount(where.reshape(-1), weights=areas[level], minlength=len(heights))
    largest = np.argsort(-sums, kind="stable")[:MOST_LEVELS]
    return tuple(sorted({0.0, pose.size_mm[2], *(float(one) for one in heights[largest])}))


def _shifts(pose: Pose, state: PartState, stand_off_mm: float) -> Iterator[float]:
    """How far below a face its opening begins in a state, the part's lift taken off."""
    forbids = bool((pose.surface.rules > Rule.ALLOWED).any())
    local = {one.added_mm for one in pose.part.grown if one.state == state.name}
    lift = 0.0 if state.name == RAW else lift_mm(pose, state)
    for added_mm in sorted({0.0, *local}):
        shift = material_mm(pose) + state.wider_mm + added_mm - lift
        yield shift
        if forbids:
            yield shift + stand_off_mm


def _changes(pose: Pose, stand_off_mm: float) -> list[float]:
    """Heights at which the opening may jump, rising, none nearer to the next than two snap steps."""
    found = set()
    for state in (PartState(name=RAW), *larger_states(pose)):
        shifts = list(_shifts(pose, state, stand_off_mm))
        found |= {round(one * state.size_ratio - shift, 6) for one in _levels(pose) for shift in shifts}
    kept: list[float] = []
    for one in sorted(found):
        if not kept or one - kept[-1] > 2.0 * BESIDE_MM:
            kept.append(one)
    return kept


def opening_by_depth(pose: Pose, *, clearance_mm: float = 0.0, stand_off_mm: float = 0.0) -> tuple[OpeningAt, ...]:
    """The opening at maximum material at each height where it changes, rising, with the state that governs it.

    Parameters
    ----------
    pose
        The part as it lies.
    clearance_mm
        As for ``opening``.
    stand_off_mm
        As for ``opening``.

    Returns
    -------
    tuple
        Rows from the lowest height at which anything must stay free. Level faces have a row of their own; where the
        part is curved, rows are put between until the area grows by at most a fiftieth of the whole from row to
        row, or 120 rows are reached (``until_mm2`` tells what is left).

    Notes
    -----
    The opening only grows with the height, so between two rows its area lies between ``area_mm2`` and ``until_mm2``.
    Heights are told to 0.004 mm.

    Examples
    --------
    >>> from traywright.base import Given, Status
    >>> from traywright.parts import PartAsked, Plate, build_part, take_pose
    >>> kg = Given(ref="enquiry:part.a.mass_kg", value=1.0, unit="kg", status=Status.STATED, source="customer")
    >>> plate = Plate(length_mm=60.0, width_mm=40.0, thickness_mm=20.0)
    >>> part, _ = build_part(PartAsked(id="a", name="Plate", dimensions=plate, mass=kg))
    >>> [(one.z_mm, one.area_mm2, one.state) for one in opening_by_depth(take_pose(part, (0.0, 0.0, -1.0)))]
    [(0.0, 2400.0, 'raw')]
    """

    def asked(z_mm: float) -> Region:
        return envelope(pose, z_mm, clearance_mm=clearance_mm, stand_off_mm=stand_off_mm)

    jumps = _changes(pose, stand_off_mm)
    stretches = [
        _Stretch(
            low_mm=low,
            high_mm=high,
            area_mm2=asked(low + BESIDE_MM).area_mm2,
            until_mm2=asked(high - BESIDE_MM).area_mm2,
        )
        for low, high in zip(jumps, [*jumps[1:], jumps[-1] + 1.0], strict=True)
    ]
    most_mm2 = AREA_RATIO * max(one.until_mm2 for one in stretches)
    while len(stretches) < MOST_ROWS:
        place = max(range(len(stretches)), key=lambda number: stretches[number].grows_mm2)
        one = stretches[place]
        if one.grows_mm2 <= most_mm2:
            break
        middle = round((one.low_mm + one.high_mm) / 2.0, 3)
        area_mm2 = asked(middle).area_mm2
        stretches[place : place + 1] = [
            replace(one, high_mm=middle, until_mm2=area_mm2),
            replace(one, low_mm=middle, area_mm2=area_mm2),
        ]
    return tuple(_rows(pose, stretches, clearance_mm, stand_off_mm))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stretch:
    """Two heights with the area just above the lower and just below the upper one."""

    low_mm: float
    high_mm: float
    area_mm2: float
    until_mm2: float

    @property
    def grows_mm2(self) -> float:
        """By how much the area grows between, 0 where the heights are too near to look between."""
        near = self.high_mm - self.low_mm <= 4.0 * BESIDE_MM
        return 0.0 if near else self.until_mm2 - self.area_mm2


def _rows(pose: Pose, stretches: list[_Stretch], clearance_mm: float, stand_off_mm: float) -> Iterator[OpeningAt]:
    """A row for each stretch, but for those that change nothing."""
    before_mm2, before = 0.0, ""
    for one in stretches:
        if one.until_mm2 <= SNAP_MM:
            continue
        z_mm = one.low_mm + BESIDE_MM
        state = governing_state(pose, z_mm, clearance_mm=clearance_mm, stand_off_mm=stand_off_mm)
        same = abs(one.area_mm2 - before_mm2) <= SNAP_MM and one.until_mm2 - one.area_mm2 <= SNAP_MM
        if not same or state != before:
            yield OpeningAt(
                z_mm=round(one.low_mm, 3) + 0.0,
                area_mm2=round(one.area_mm2, 3),
                until_mm2=round(one.until_mm2, 3),
                state=state,
            )
        before_mm2, before = one.until_mm2, state


def governing_findings(pose: Pose, *, clearance_mm: float = 0.0, stand_off_mm: float = 0.0) -> tuple[Finding, ...]:
    """A note for each state that governs the opening anywhere, with the height from which on it does.

    Asked at each level face and at 24 heights between the lowest and the highest.

    Parameters
    ----------
    pose
        The part as it lies; one without a state larger than raw costs nothing.
    clearance_mm
        As for ``opening``.
    stand_off_mm
        As for ``opening``.
    """
    if not larger_states(pose):
        return ()
    part_id = pose.part.id
    jumps = _changes(pose, stand_off_mm)
    between = np.linspace(jumps[0], jumps[-1], BETWEEN, endpoint=False).tolist()
    firsts: dict[str, float] = {}
    for jump in sorted({*jumps, *between}):
        z_mm = jump + BESIDE_MM
        state = governing_state(pose, z_mm, clearance_mm=clearance_mm, stand_off_mm=stand_off_mm)
        firsts.setdefault(state, round(jump, 3) + 0.0)
    low_mm, high_mm = envelope_ends_mm(pose)
    return tuple(
        finding(
            "PART-117",
            Severity.NOTE,
            (part_id,),
            part=part_id,
            state=state,
            z_mm=z_mm,
            low_mm=round(low_mm, 3),
            high_mm=round(high_mm, 3),
        )
        for state, z_mm in firsts.items()
        if state != RAW
    )
