"""Foam that stands beside each cell, against what the part needs there."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from traywright.base import Figure, Finding, Given, Limit, Severity, Status, derive, finding, natural_key
from traywright.base.tolerance import SAME_MM
from traywright.catalogue import Foam
from traywright.design.rules import QUARTERS, needed_mm, side_of_pose
from traywright.geometry import Region
from traywright.parts.part import Part
from traywright.protection.wall_need import WallNeed
from traywright.trays import Cell, Wall

DIRECTIONS = tuple(sorted(QUARTERS))


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A cell with its opening at the top and its part's silhouette, tray frame."""

    cell: Cell
    opening: Region
    silhouette: Region


def walls_of(
    placed: Sequence[Placed], outline: Region, holes: Sequence[Region], needs: tuple[WallNeed, ...]
) -> tuple[Cell, ...]:
    """The cells with a wall towards the nearest neighbour, or else the rim, in each sideways direction.

    Parameters
    ----------
    placed
        Cells of one tray.
    outline
        Outline of the tray.
    holes
        Lightening holes: where one stands in a wall, only the foam on both its sides counts.
    needs
        What protection asks, by part and direction of the pose.
    """
    return tuple(replace(one.cell, walls=_walls(one, placed, outline, holes, needs)) for one in placed)


def _walls(
    here: Placed,
    placed: Sequence[Placed],
    outline: Region,
    holes: Sequence[Region],
    needs: tuple[WallNeed, ...],
) -> tuple[Wall, ...]:
    nearest = _neighbours(here, placed)
    found = []
    for direction in DIRECTIONS:
        needed = needed_mm(needs, here.cell.part, side_of_pose(here.cell, direction))
        there = nearest.get(direction)
        if there is None:
            edge = _edge(outline, direction)
            towards, kept, gap = f"rim:{direction}", _kept(here.opening, edge, holes), here.silhouette.distance_mm(edge)
        else:
            towards, kept = there.cell.id, _kept(here.opening, there.opening, holes)
            gap = here.silhouette.distance_mm(there.silhouette)
        found.append(_wall(towards, needed, kept, gap))
    return tuple(found)


def _wall(towards: str, needed_mm: float | None, kept_mm: float, gap_mm: float) -> Wall:
    """A wall whose need is a length or a word."""
    word = "not calculated" if needed_mm is None else "" if math.isfinite(needed_mm) else "no thickness"
    return Wall(
        towards=towards,
        needed_mm=None if word else needed_mm,
        kept_mm=round(kept_mm, 3),
        gap_mm=round(gap_mm, 3),
        without_need=word,
    )


def _edge(outline: Region, direction: str) -> Region:
    """A thin strip outside the tray along one of its edges: what a rim ends at."""
    left, front, right, back = outline.bounds_mm
    return {
        "left": Region.rectangle(left - 1.0, front, left, back),
        "right": Region.rectangle(right, front, right + 1.0, back),
        "front": Region.rectangle(left, front - 1.0, right, front),
        "back": Region.rectangle(left, back, right, back + 1.0),
    }[direction]


def _kept(here: Region, there: Region, holes: Sequence[Region]) -> float:
    """Foam between two openings along its thinnest line, a hole on the way not counted."""
    through = [here.distance_mm(one) + one.distance_mm(there) for one in holes]
    return min([here.distance_mm(there), *through])


def _neighbours(here: Placed, placed: Sequence[Placed]) -> dict[str, Placed]:
    """The nearest other cell in each direction in which one stands."""
    found: dict[str, tuple[float, Placed]] = {}
    for there in sorted(placed, key=lambda one: natural_key(one.cell.id)):
        if there.cell.id != here.cell.id:
            direction = _direction(here.opening, there.opening)
            distance = here.opening.distance_mm(there.opening)
            if direction not in found or distance < found[direction][0] - SAME_MM:
                found[direction] = (distance, there)
    return {direction: there for direction, (_, there) in found.items()}


def _direction(here: Region, there: Region) -> str:
    """The side on which another opening stands: the axis on which the two overlap least."""
    a, b = here.bounds_mm, there.bounds_mm
    gap_x, gap_y = max(a[0] - b[2], b[0] - a[2]), max(a[1] - b[3], b[1] - a[3])
    if gap_x > gap_y:
        return "right" if b[0] + b[2] > a[0] + a[2] else "left"
    return "back" if b[1] + b[3] > a[1] + a[3] else "front"


def foam_limit(foam: Foam, value: float) -> Limit:
    """A needed thickness as a limit, on the ground of the foam's weakest number."""
    weakest = max((ground for _, ground in foam.grounds), key=lambda one: one.status, default=None)
    return Limit(
        value=value,
        unit="mm",
        status=weakest.status if weakest else Status.ASSUMED,
        source=weakest.source if weakest else "",
    )


def judge_walls(
    cells: Sequence[Cell], part: Part, foam: Foam, inputs: Sequence[Given]
) -> tuple[tuple[Finding, ...], tuple[Figure, ...]]:
    """A figure for the thinnest wall of a part in each direction, and a finding where it is less than needed."""
    findings, figures = [], []
    for number, direction in enumerate(DIRECTIONS):
        told = [(one, one.walls[number]) for one in cells]
        cell, wall = min(told, key=lambda one: (one[1].kept_mm - (one[1].needed_mm or 0.0), natural_key(one[0].id)))
        figure = derive(
            f"design/{part.id}/wall/{direction}",
            wall.kept_mm,
            "mm",
            what="wall kept",
            of=part.id,
            case=direction,
            method="distance of openings",
            inputs=inputs,
        )
        figures.append(figure)
        findings += _judged(cell, wall, direction, part, foam)
    return tuple(findings), tuple(figures)


def _judged(cell: Cell, wall: Wall, direction: str, part: Part, foam: Foam) -> list[Finding]:
    """The finding of one wall, if it is too thin."""
    if wall.without_need != "no thickness" and (wall.needed_mm is None or wall.kept_mm >= wall.needed_mm - SAME_MM):
        return []
    return [
        finding(
            "TRAY-004" if wall.needed_mm is not None else "TRAY-005",
            Severity.WARN,
            (cell.id, wall.towards),
            figure=f"design/{part.id}/wall/{direction}",
            limit=None if wall.needed_mm is None else foam_limit(foam, wall.needed_mm),
            cause=f"wall {part.id}",
            part=part.name,
            direction=direction,
            towards=wall.towards,
            kept_mm=wall.kept_mm,
            needed_mm=0.0 if wall.needed_mm is None else wall.needed_mm,
        )
    ]
