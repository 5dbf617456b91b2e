"""The cell of one kind of part: its flat-floored recesses, level by level, in the pose frame."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from shapely import affinity

from traywright.base.tolerance import ARC_CHORD_MM, SAME_MM, SNAP_MM
from traywright.catalogue import Table
from traywright.design.corner_relief import relieved
from traywright.design.rules import play_mm, rule
from traywright.design.seats import seats_on
from traywright.geometry import Region
from traywright.parts import hold_plane_mm, opening, seat_levels, silhouette, take_pose
from traywright.parts.part import Pose

SIMPLER_MM = 0.02  # source: a twenty-fifth of what foam holds; halves the points of a turned part's openings
FEW_POINTS = 60  # source: an outline of so few points is quick enough as it is


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """One recess of a cell: what stands open above ``floor_mm`` (pose frame, 0 at the part's lowest point)."""

    floor_mm: float
    region: Region


@dataclass(frozen=True, slots=True, kw_only=True)
class CellShape:
    """What one kind of part wants of its cell, all in the pose frame.

    ``levels`` run from the lowest floor up, each region holding the one before; ``top_mm`` is where the tray ends;
    ``window`` is what a cover frame leaves open over the part and ``cover_mm`` its least thickness (0: a plain cap);
    ``narrow`` is true where a recess had to be widened for the cutter.
    """

    pose: Pose
    silhouette: Region
    play_mm: float
    stand_off_mm: float
    levels: tuple[Level, ...]
    top_mm: float
    held_above: bool
    window: Region
    cover_mm: float
    narrow: bool

    @property
    def lowest_mm(self) -> float:
        """The lowest floor, 0 or below where a relief goes under the part."""
        return self.levels[0].floor_mm

    @property
    def opening(self) -> Region:
        """What stands open at the top of the tray."""
        return self.levels[-1].region


def shape_of(pose: Pose, rules: Table, cutter_radius_mm: float, way: str = "corner") -> CellShape:
    """The recesses that let a part in and out vertically and stand off what must not be touched.

    Parameters
    ----------
    pose
        The part as it lies.
    rules
        Table ``design_rules``.
    cutter_radius_mm
        Radius of the cutter that clears the recesses, above 0.
    way
        Which way corner relief goes: ``corner``, ``x`` or ``y``.

    Notes
    -----
    Between one floor and the next the foam must be free of the opening at the next floor's height; an opening grows
    with height, so whatever is cut so lets the part down vertically. Reliefs that lie close in height, with no seat
    between them, are cut as one, as deep as the lowest. The tray ends at the part's hold plane where something
    stands above it, else over the part.
    """
    air = _Air(play_mm=play_mm(rules, pose.part).value / 2.0, stand_off_mm=rule(rules, "stand_off").value)
    height = round(pose.size_mm[2] / ARC_CHORD_MM) * ARC_CHORD_MM
    hold = hold_plane_mm(pose)
    held = math.isfinite(hold) and hold > SAME_MM
    stands_above = held and height - hold > ARC_CHORD_MM
    top = hold if stands_above else height + rule(rules, "top_clearance").value
    wanted = _cut_together(_wanted(pose, air, top), pose, rules)
    cleared = [relieved(one.region, cutter_radius_mm, way) for one in wanted]
    window = relieved(_window(pose, top, air), cutter_radius_mm, way) if stands_above else None
    return CellShape(
        pose=pose,
        silhouette=silhouette(pose),
        play_mm=air.play_mm,
        stand_off_mm=air.stand_off_mm,
        levels=_levels([one.floor_mm for one in wanted], [one.region for one in cleared]),
        top_mm=round(top, 3),
        held_above=held,
        window=window.region if window else Region.empty(),
        cover_mm=round(height - top + air.stand_off_mm, 3) if stands_above else 0.0,
        narrow=any(one.narrow for one in cleared) or (window is not None and window.narrow),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Air:
    """Air a side to what may touch, and besides it to what may not."""

    play_mm: float
    stand_off_mm: float


def _wanted(pose: Pose, air: _Air, top_mm: float) -> list[Level]:
    """One recess for each height at which a floor should stand, before corner relief."""
    told = sorted({round(one, 3) for one in seat_levels(pose, stand_off_mm=air.stand_off_mm)})
    floors = [one for one in told if one < top_mm - SAME_MM] or [0.0]
    up_to = [*(one - _unsure_mm(pose) for one in floors[1:]), top_mm]
    return [Level(floor_mm=one, region=_free(pose, z_mm, air)) for one, z_mm in zip(floors, up_to, strict=True)]


def _unsure_mm(pose: Pose) -> float:
    """How far the mesh of a face may reach below its height: so much it must not cut away the floor it rests on."""
    return 2.0 * ARC_CHORD_MM + pose.part.chord_mm


def _cut_together(wanted: list[Level], pose: Pose, rules: Table) -> list[Level]:
    """Recesses with neighbouring reliefs joined: the lowest floor, the widest region."""
    seats = seats_on(pose, [(one.floor_mm, one.region) for one in wanted], rules)
    carrying = {one.floor_mm for one in seats.each}
    most = rule(rules, "relief_together").value
    found: list[Level] = []
    for one in wanted:
        both = [*found[-1:], one]
        relief = len(both) > 1 and all(each.floor_mm not in carrying for each in both)
        if relief and one.floor_mm - found[-1].floor_mm <= most:
            found[-1] = Level(floor_mm=found[-1].floor_mm, region=one.region)
        else:
            found.append(one)
    return found


def _free(pose: Pose, z_mm: float, air: _Air) -> Region:
    """Where foam must not stand at a height, with fewer points where the part is round, never smaller."""
    free = opening(pose, z_mm, clearance_mm=air.play_mm, stand_off_mm=air.stand_off_mm)
    points = sum(len(shell) + sum(len(hole) for hole in holes) for shell, holes in free.rings())
    return free if points <= FEW_POINTS else free.grown(SIMPLER_MM).simpler(SIMPLER_MM)


def _window(pose: Pose, top_mm: float, air: _Air) -> Region:
    """What a cover's foam must leave free over the part: the opening of the part laid upside down, turned back."""
    down = (-pose.down[0], -pose.down[1], -pose.down[2])
    over = take_pose(pose.part, down)
    free = _free(over, pose.size_mm[2] - top_mm - _unsure_mm(pose), air)
    turn = np.array(pose.turn) @ np.array(over.turn).T
    shift = np.array(pose.shift_mm) - turn @ np.array(over.shift_mm)
    matrix = [turn[0, 0], turn[0, 1], turn[1, 0], turn[1, 1], shift[0], shift[1]]
    return Region(affinity.affine_transform(free.shape, matrix))


def _levels(floors_mm: list[float], regions: list[Region]) -> tuple[Level, ...]:
    """The recesses, each holding the one below it; a floor that opens nothing more is left out."""
    found: list[Level] = []
    for floor_mm, region in zip(floors_mm, regions, strict=True):
        whole = region.union(found[-1].region) if found else region
        if not whole.is_empty and (not found or whole.area_mm2 - found[-1].region.area_mm2 > SNAP_MM):
            found.append(Level(floor_mm=floor_mm, region=whole))
    return tuple(found)
