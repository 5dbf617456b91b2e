"""Cells of one tray: rows of parts, their recesses, and whether the asked count goes in."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from traywright.base import Finding, Given, Severity, finding
from traywright.base.tolerance import SAME_MM
from traywright.catalogue import Table
from traywright.design.asked import PackAsked
from traywright.design.layers import Storey
from traywright.design.openings import CellShape
from traywright.design.rules import QUARTERS, needed_mm, rule, wall_least_mm
from traywright.design.walls import Placed
from traywright.geometry import Region
from traywright.layout import RowLayout, fill_rows
from traywright.trays import Cell, Feature, FeatureKind, Flat

WALL_STEP_MM = 1.0  # source: a wall that nobody asked for is found to a whole millimetre


@dataclass(frozen=True, slots=True, kw_only=True)
class Rows:
    """A layout of one kind of part, with the wall and rim it was asked to keep."""

    layout: RowLayout
    wall: Given
    wall_mm: float
    rim_mm: float


def outline_of_trays(inside_mm: tuple[float, float], rules: Table) -> Region:
    """Outline of every tray of a box: its usable inside less the air a side, down to whole millimetres."""
    air = 2.0 * rule(rules, "side_clearance").value
    width, depth = (math.floor(one - air + SAME_MM) for one in inside_mm)
    return Region.rectangle(0.0, 0.0, float(max(width, 1)), float(max(depth, 1)))


def rows_of(asked: PackAsked, storey: Storey, outline: Region) -> Rows:
    """Rows of all parts of one kind in a tray.

    Notes
    -----
    Where a wall is asked for, it is kept and the rest goes to the rims. Where none is asked, the wall is the widest,
    in whole millimetres, from the largest finite need sideways down to the least of the trade, at which all parts go
    in; if none does, the layout at the least wall says how many would.
    """
    part = storey.kind.pose.part
    if asked.wall_mm is not None:
        wall = asked.wall_mm.value
        return Rows(layout=_fill(asked, storey, outline, wall, wall), wall=asked.wall_mm, wall_mm=wall, rim_mm=wall)
    ground = wall_least_mm(asked.rules, part)
    needs = [needed_mm(asked.needs, part.id, one) for one in QUARTERS]
    most = max([one for one in needs if one is not None and math.isfinite(one)], default=ground.value)
    low, high = 0, max(0, math.ceil((min(most, max(outline.size_mm)) - ground.value) / WALL_STEP_MM))
    found = _asked_none(asked, storey, outline, ground, ground.value)
    while found.layout.fits and low < high:
        middle = (low + high + 1) // 2
        tried = _asked_none(asked, storey, outline, ground, ground.value + middle * WALL_STEP_MM)
        found, low, high = (tried, middle, high) if tried.layout.fits else (found, low, middle - 1)
    return found


def _asked_none(asked: PackAsked, storey: Storey, outline: Region, ground: Given, wall_mm: float) -> Rows:
    """Rows at a wall of our own choice; the rim is then at least the outer rail of the trade."""
    rim = max(wall_mm, rule(asked.rules, "rim_least").value)
    layout = _fill(asked, storey, outline, wall_mm, rim)
    return Rows(layout=layout, wall=ground, wall_mm=wall_mm, rim_mm=rim)


def _fill(asked: PackAsked, storey: Storey, outline: Region, wall_mm: float, rim_mm: float) -> RowLayout:
    """Rows of the opening at the tray's top."""
    width, depth = outline.size_mm
    return fill_rows(
        storey.shape.opening,
        width_mm=width,
        depth_mm=depth,
        wall_mm=wall_mm,
        rim_mm=rim_mm,
        count=asked.kit_count * storey.kind.per_kit,
        turns_deg=storey.kind.turns_deg,
    )


def judge_rows(asked: PackAsked, storey: Storey, rows: Rows, outline: Region) -> tuple[Finding, ...]:
    """A stop where the asked count does not go in, told apart from a part that does not go in at all."""
    if rows.layout.fits:
        return ()
    part, (width, depth) = storey.kind.pose.part, outline.size_mm
    one = storey.shape.opening.size_mm
    room = (width - 2.0 * rows.rim_mm, depth - 2.0 * rows.rim_mm)
    alone = any(max(a - room[0], b - room[1]) <= SAME_MM for a, b in (one, one[::-1]))
    return (
        finding(
            "TRAY-001" if alone else "TRAY-002",
            Severity.STOP,
            (part.id,),
            part=part.name,
            wall_mm=rows.wall_mm,
            rim_mm=rows.rim_mm,
            width_mm=width,
            depth_mm=depth,
            long_mm=max(one),
            wide_mm=min(one),
            count=asked.kit_count * storey.kind.per_kit,
            most=rows.layout.most,
        ),
    )


def placed_of(tray_id: str, storey: Storey, rows: Rows) -> tuple[Placed, ...]:
    """Cells in the order of the rows, ``C1`` front left; the parts of a kit stand side by side."""
    shape = storey.shape
    found = []
    for number, (x_mm, y_mm, turn) in enumerate(rows.layout.placements):
        cell = Cell(
            id=f"{tray_id}.C{number + 1}",
            part=storey.kind.pose.part.id,
            pose=storey.kind.pose.index,
            at_mm=(x_mm, y_mm, round(storey.part_zero_mm, 3)),
            turn_deg=float(turn),
            kit_no=number // storey.kind.per_kit + 1,
            play_mm=shape.play_mm,
        )
        opening, silhouette = (_put(one, cell) for one in (shape.opening, shape.silhouette))
        found.append(Placed(cell=cell, opening=opening, silhouette=silhouette))
    return tuple(found)


def _put(region: Region, cell: Cell) -> Region:
    """A region of the pose frame where a cell stands."""
    return region.turned(cell.turn_deg).moved(cell.at_mm[0], cell.at_mm[1])


def recesses_of(cell: Cell, shape: CellShape, seat_floors_mm: Sequence[float]) -> tuple[Feature, ...]:
    """The recesses of a cell: a pocket on each floor that carries, a relief on each that does not.

    Parameters
    ----------
    cell
        Where the part stands.
    shape
        What its cell looks like in the pose frame.
    seat_floors_mm
        Floors on which the part rests, pose frame.
    """
    return tuple(
        Feature(
            id=f"{cell.id}.F{number}",
            kind=FeatureKind.POCKET if level.floor_mm in seat_floors_mm else FeatureKind.RELIEF,
            side="top",
            region=_put(level.region, cell),
            floor=Flat(z_mm=round(cell.at_mm[2] + level.floor_mm, 3)),
            for_cell=cell.id,
        )
        for number, level in enumerate(shape.levels, start=1)
    )


def window_of(cell: Cell, shape: CellShape, feature_id: str) -> Feature:
    """The window of a cover frame over a cell."""
    return Feature(
        id=feature_id,
        kind=FeatureKind.WINDOW,
        side="top",
        region=_put(shape.window, cell),
        floor=Flat(z_mm=0.0),
        for_cell=cell.id,
    )
