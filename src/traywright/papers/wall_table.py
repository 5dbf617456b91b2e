"""Foam kept beside foam needed: the thinnest wall of each part in each direction."""

from __future__ import annotations

from dataclasses import dataclass

from traywright.base import Figure, Status, natural_key, text
from traywright.base.tolerance import SAME_MM
from traywright.geometry import Region
from traywright.papers.blocks import Block, Cell, Column, heading, paragraph, table
from traywright.papers.grounds import Book, bracketed, told_value
from traywright.papers.hatching import cross_in
from traywright.papers.marks import THICK_MM, Area, Marks, Stroke, area_of, box
from traywright.papers.paper import PapersAsked
from traywright.trays.tray import Cell as TrayCell
from traywright.trays.tray import Wall

SIDES = ("back", "front", "left", "right")
"""Directions in the order in which the walls of a cell stand."""
BAR_MM = 30.0
RIM = "rim:"


@dataclass(frozen=True, slots=True, kw_only=True)
class Thinnest:
    """The wall of a part in one direction that has most missing, and its cell."""

    part: str
    way: str
    cell: str
    wall: Wall


def _way(place: int, wall: Wall) -> str:
    """Direction of a wall: the rim names its own, a neighbour stands at its place in the list."""
    return wall.towards.removeprefix(RIM) if wall.towards.startswith(RIM) else SIDES[place % len(SIDES)]


def _missing(wall: Wall) -> float:
    """Foam that is missing, mm; a wall that no thickness makes good misses most, one without a need least."""
    if wall.needed_mm is not None:
        return wall.needed_mm - wall.kept_mm
    return float("-inf") if wall.without_need == "not calculated" else float("inf")


def thinnest_walls(asked: PapersAsked) -> tuple[Thinnest, ...]:
    """The thinnest wall of each part in each direction against its need, in part order."""
    found: dict[tuple[str, str], Thinnest] = {}
    cells: list[TrayCell] = sorted(
        (cell for tray in asked.trays for cell in tray.cells), key=lambda one: natural_key(one.id)
    )
    for cell in cells:
        for place, wall in enumerate(cell.walls):
            key = (cell.part, _way(place, wall))
            worst = found.get(key)
            rank = (_missing(wall), -wall.kept_mm)
            if worst is None or rank > (_missing(worst.wall), -worst.wall.kept_mm):
                found[key] = Thinnest(part=cell.part, way=key[1], cell=cell.id, wall=wall)
    order = [one.part.id for one in asked.poses]
    return tuple(sorted(found.values(), key=lambda one: (order.index(one.part), SIDES.index(one.way))))


def wall_bar(kept_mm: float, needed_mm: float | None, wide_mm: float = BAR_MM) -> Marks:
    """Solid what is kept, open what is needed, cross-hatched what is missing.

    Parameters
    ----------
    kept_mm, needed_mm
        Foam in one direction, 0 or more; without a need there is no bar.
    wide_mm
        Room on paper, for the longer of the two.
    """
    if needed_mm is None or needed_mm <= 0.0:
        return ()
    unit = wide_mm / max(kept_mm, needed_mm)
    upper, lower, end, need = -1.0, -3.4, kept_mm * unit, needed_mm * unit
    marks: Marks = (
        Area(rings_mm=(box(0.0, lower, need, upper),), width_mm=0.2),
        Area(rings_mm=(box(0.0, lower, end, upper),), fill="ink"),
    )
    if need > end:
        zone = Region.rectangle(end, lower, need, upper)
        marks += (*cross_in(zone, pitch_mm=0.9), area_of(zone, 1.0, ink="red", width_mm=0.2))
    return (*marks, Stroke(points_mm=((need, lower - 0.7), (need, upper + 0.7)), width_mm=THICK_MM))


def _figure(thinnest: Thinnest, book: Book) -> Figure | None:
    """The figure of a wall; none where the design's figure is of another wall than the one shown."""
    figure = book.figures.get(f"design/{thinnest.part}/wall/{thinnest.way}")
    return figure if figure is not None and abs(figure.value - thinnest.wall.kept_mm) < SAME_MM else None


def walls_section(asked: PapersAsked, width_mm: float, book: Book) -> tuple[Block, ...]:
    """The table of walls kept and needed, each with its figure; nothing where no part has a wall."""
    found = thinnest_walls(asked)
    if not found:
        return ()
    shares = (("part", 0.22), ("way", 0.10), ("place", 0.20), ("kept", 0.14), ("needed", 0.14), ("bar", 0.20))
    columns = [Column(title=text("wall_table", key), width_mm=width_mm * share) for key, share in shares]
    need_ground = max((ground.status for _, ground in asked.foam.grounds), default=Status.ASSUMED).word
    names = {one.part.id: one.part.name for one in asked.poses}
    rows, last = [], ""
    for one in found:
        wall = one.wall
        figure = _figure(one, book)
        status = figure.status.word if figure is not None else ""
        kept = told_value(wall.kept_mm, "mm", limit=wall.needed_mm, upper=False)
        needed = (
            wall.without_need if wall.needed_mm is None else bracketed(told_value(wall.needed_mm, "mm"), need_ground)
        )
        rows.append(
            (
                Cell(text=names[one.part] if one.part != last else "", voice="strong"),
                text("way", one.way),
                text("wall_table", "between", cell=one.cell, towards=wall.towards.replace(":", " ")),
                Cell(
                    text=bracketed(kept, status),
                    voice="strong",
                    ground=status,
                    below=book.number(figure.path) if figure is not None else "",
                ),
                Cell(text=needed, ground="" if wall.needed_mm is None else need_ground),
                Cell(marks=wall_bar(wall.kept_mm, wall.needed_mm), height_mm=4.0),
            )
        )
        last = one.part
    note = paragraph(text("wall_table", "note"), width_mm, size_pt=8.0, ink="ink-2")
    return (heading(text("wall_table", "head")), *table(columns, rows, size_pt=8.5), note)
