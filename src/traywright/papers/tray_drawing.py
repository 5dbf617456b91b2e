"""The drawing of one tray: from above, two sections in line with it, sizes, floors, cells."""

from __future__ import annotations

import math
from collections.abc import Sequence

import shapely

from traywright.base import file_name, text
from traywright.geometry import Region
from traywright.papers.blocks import Block, Cell, Column, heading, paragraph, stacked, table
from traywright.papers.drawing import SCALES, graduated_edge, plan, scale_words, section, size_across, size_up
from traywright.papers.grounds import length
from traywright.papers.inks import depth_ink
from traywright.papers.marks import THIN_MM, Area, Lettering, Marks, Stroke, box, moved
from traywright.papers.paper import Paper, PapersAsked
from traywright.papers.sheet import Sheet, body_mm, framed
from traywright.papers.svg import svg_of
from traywright.papers.views import Cut, floors, middle_of, tray_cut
from traywright.parts import Pose
from traywright.trays.tray import Tray

A3_MM = (420.0, 297.0)  # source: ISO 216, A3
SIDE_MM = 112.0
SIZES_MM = 17.0
EDGE_MM = 4.8
"""Room that the graduated edge takes beside the plan, with its numbers."""
MOST_CELLS = 14
"""Rows of the table of cells; the rest is counted."""
AXIS_DASH_MM = (4.0, 1.0, 0.6, 1.0)


def _joints(tray: Tray, cut: Cut, scale_ratio: float) -> Marks:
    """Ply joints as long dashes across a section."""
    left, _, right, _ = cut.foam[0][1].bounds_mm
    marks: Marks = ()
    height = 0.0
    for _, thick in tray.ply_boards[:-1]:
        height += thick
        line = ((left * scale_ratio, height * scale_ratio), (right * scale_ratio, height * scale_ratio))
        marks += (Stroke(points_mm=line, width_mm=0.2, dash_mm=(3.0, 1.2)),)
    return marks


def _cut_line(words: str, start: tuple[float, float], end: tuple[float, float]) -> Marks:
    """Where a section runs: dash-dot with its letter at both ends."""
    across = start[1] == end[1]
    marks: Marks = (Stroke(points_mm=(start, end), width_mm=0.2, dash_mm=AXIS_DASH_MM),)
    for (x, y), way in ((start, -1.0), (end, 1.0)):
        at = (x + way * 3.2, y - 1.2) if across else (x, y + (1.0 if way > 0.0 else -3.8))
        marks += (Lettering(text=words, at_mm=at, size_pt=10.0, voice="strong", anchor="middle", halo=True),)
    return marks


def _views(tray: Tray, asked: PapersAsked, room_mm: tuple[float, float]) -> Marks:
    """Plan with section A–A below and B–B at the right, all in line, from the lower left corner of the room."""
    poses: dict[str, Pose] = {one.part.id: one for one in asked.poses}
    width, depth = tray.outline.size_mm
    unit = asked.head.length_shown
    thick = tray.thickness_mm
    scale = min(
        (room_mm[0] - 2 * SIZES_MM - 12.0) / (width + thick), (room_mm[1] - 2 * SIZES_MM - 14.0) / (depth + thick)
    )
    scale = next((one for one in SCALES if one <= scale), scale)
    along, across = middle_of(tray, poses, "x"), middle_of(tray, poses, "y")
    a_cut, b_cut = tray_cut(tray, poses, "x", along), tray_cut(tray, poses, "y", across)
    left, low = SIZES_MM, SIZES_MM + thick * scale + 14.0
    wide, high, tall = width * scale, depth * scale, thick * scale
    drawn = plan(tray, poses, scale, labels="cell", unit=unit) + graduated_edge((width, depth), scale, unit)
    marks: Marks = moved([one for one in drawn if not isinstance(one, Lettering)], left, low)
    marks += moved((*section(a_cut, scale), *_joints(tray, a_cut, scale)), left, SIZES_MM - 3.0)
    b_marks = section(_swapped(b_cut), scale)
    b_left = left + wide + 14.0
    marks += moved(b_marks, b_left, low)
    marks += _cut_line("A", (left - EDGE_MM, low + along * scale), (left + wide + 2.0, low + along * scale))
    marks += _cut_line("B", (left + across * scale, low - EDGE_MM), (left + across * scale, low + high + 2.0))
    # words come after the section lines, so that no line runs through a number
    marks += moved([one for one in drawn if isinstance(one, Lettering)], left, low)
    marks += size_across(left, left + wide, low + high + 9.0, length(width, unit), from_mm=low + high)
    marks += size_up(low, low + high, left - 12.0, length(depth, unit), from_mm=left)
    marks += size_up(SIZES_MM - 3.0, SIZES_MM - 3.0 + tall, left - 12.0, length(thick, unit), from_mm=left)
    marks += size_across(b_left, b_left + tall, low + high + 9.0, length(thick, unit), from_mm=low + high)
    names = (
        (text("tray_drawing", "plan", scale=scale_words(scale)), left, low + high + 15.0),
        (
            text("tray_drawing", "section", name=text("drawing", "section_a"), scale=scale_words(scale)),
            left,
            SIZES_MM - 9.0,
        ),
        (
            text("tray_drawing", "section", name=text("drawing", "section_b"), scale=scale_words(scale)),
            b_left,
            low - 7.0,
        ),
    )
    return marks + tuple(Lettering(text=words, at_mm=(x, y), size_pt=9.5, voice="strong") for words, x, y in names)


def _swapped(cut: Cut) -> Cut:
    """A section along y with its axes swapped: height to the right, y up, in line with the plan."""
    return Cut(
        foam=tuple((name, _swap(region)) for name, region in cut.foam),
        parts=tuple((name, _swap(region)) for name, region in cut.parts),
    )


def _swap(region: Region) -> Region:
    """The region mirrored on the line x = y."""
    return Region(shapely.transform(region.shape, lambda xy: xy[:, ::-1]))


def _floor_table(tray: Tray, width_mm: float, unit: str) -> tuple[Block, ...]:
    """Every floor with its tint, height, depth and area."""
    shares = (("thing", 0.3), ("depth", 0.22), ("deep", 0.22), ("area", 0.26))
    columns = [Column(title=text("tray_drawing", key), width_mm=width_mm * share) for key, share in shares]
    rows = []
    for height, region in floors(tray):
        ink = depth_ink(tray.thickness_mm - height, tray.thickness_mm)
        patch = Area(rings_mm=(box(0.0, -4.0, 12.0, -0.6),), fill=ink, width_mm=0.2)
        is_through = height <= 0.0
        rows.append(
            (
                Cell(marks=(patch,), height_mm=4.0),
                text("drawing", "through") if is_through else length(height, unit),
                text("paper", "none") if is_through else length(tray.thickness_mm - height, unit),
                f"{region.area_mm2 / 100.0:.1f}",
            )
        )
    if not rows:
        return ()
    return (heading(text("tray_drawing", "floors", unit=unit)), *table(columns, rows))


def _cell_table(tray: Tray, asked: PapersAsked, width_mm: float) -> tuple[Block, ...]:
    """Cells with their least wall kept beside what is needed."""
    if not tray.cells:
        return ()
    unit = asked.head.length_shown
    shares = (("cell", 0.2), ("part", 0.32), ("kept", 0.24), ("needed", 0.24))
    columns = [Column(title=text("tray_drawing", key), width_mm=width_mm * share) for key, share in shares]
    rows = []
    for cell in tray.cells[:MOST_CELLS]:
        worst = max(
            cell.walls,
            key=lambda one: ((one.needed_mm if one.needed_mm is not None else math.inf) - one.kept_mm, one.towards),
            default=None,
        )
        kept = text("paper", "none") if worst is None else f"{length(worst.kept_mm, unit)} ({worst.towards})"
        needed = text("paper", "none")
        if worst is not None:
            needed = length(worst.needed_mm, unit) if worst.needed_mm is not None else worst.without_need
        rows.append((Cell(text=cell.id, voice="strong"), cell.part, kept, needed))
    blocks = (heading(text("tray_drawing", "cells")), *table(columns, rows, size_pt=8.5))
    left = len(tray.cells) - MOST_CELLS
    more = (paragraph(text("tray_drawing", "more_cells", count=left), width_mm),) if left > 0 else ()
    return (*blocks, *more)


def equal_trays(trays: Sequence[Tray]) -> tuple[tuple[Tray, ...], ...]:
    """Trays that are cut alike together, so that equal pads have one drawing; a tray with cells stands alone.

    Examples
    --------
    >>> from traywright.trays.tray import TrayKind
    >>> pads = [
    ...     Tray(
    ...         id=f"T{number}",
    ...         name="pad",
    ...         kind=TrayKind.PAD,
    ...         outline=Region.rectangle(0, 0, 60, 40),
    ...         thickness_mm=thick,
    ...         foam="pe",
    ...         ply_boards=(("pe", thick),),
    ...     )
    ...     for number, thick in enumerate((25.0, 50.0, 25.0), start=1)
    ... ]
    >>> [[one.id for one in alike] for alike in equal_trays(pads)]
    [['T1', 'T3'], ['T2']]
    """
    found: dict[object, list[Tray]] = {}
    for tray in trays:
        cuts = tuple((one.kind, one.side, one.region, one.floor) for one in tray.features)
        alike = (tray.outline, tray.thickness_mm, tray.foam, tray.ply_boards, tray.keep, cuts)
        found.setdefault(tray.id if tray.cells else alike, []).append(tray)
    return tuple(tuple(one) for one in found.values())


def _names(alike: Sequence[Tray]) -> str:
    """The name of a tray; of trays that are cut alike the id and name of each."""
    return alike[0].name if len(alike) == 1 else ", ".join(f"{one.id} {one.name}" for one in alike)


def tray_sheet(asked: PapersAsked, alike: Sequence[Tray]) -> Paper:
    """The drawing of a tray, or of trays cut alike, as an SVG, A3: plan, sections A–A and B–B, sizes, floors, cells.

    The file bears the first one's id, the head names all of them.
    """
    tray = alike[0]
    head, unit = asked.head, asked.head.length_shown
    width, depth = tray.outline.size_mm
    subtitle = text(
        "tray_drawing",
        "subtitle",
        name=_names(alike),
        width=length(width, unit),
        depth=length(depth, unit),
        thickness=length(tray.thickness_mm, unit),
        unit=unit,
        foam=tray.foam,
        count=sum(one.per_pack for one in alike),
    )
    plies = ", ".join(f"{board} ({thick:g} mm)" for board, thick in tray.ply_boards)
    sheet = Sheet(
        size_mm=A3_MM,
        name=f"{text('paper_name', 'tray')} {tray.id}",
        lines=(f"{head.title} · {subtitle}", text("tray_drawing", "plies", plies=plies)),
        print_name=text("foot", "trays"),
        print_value=head.fingerprint_trays,
        big=tray.id,
    )
    low, top = body_mm(sheet, head)
    split = A3_MM[0] - 10.0 - SIDE_MM
    keep = text("tray_drawing", "floor_word" if tray.keep == "floor" else "depth_word")
    side = stacked(
        (
            *_floor_table(tray, SIDE_MM - 8.0, unit),
            *_cell_table(tray, asked, SIDE_MM - 8.0),
            paragraph(text("tray_drawing", "keep", keep=keep), SIDE_MM - 8.0),
        )
    )
    body: Marks = (
        *moved(_views(tray, asked, (split - 14.0, top - low)), 12.0, low),
        Stroke(points_mm=((split, low), (split, top)), width_mm=THIN_MM),
        *moved(side.marks, split + 4.0, top - 2.5),
    )
    pages = framed(sheet, head, (body,))
    content = svg_of(pages[0], width_mm=A3_MM[0], height_mm=A3_MM[1], title=f"{sheet.name} {head.number}")
    return Paper(name="tray", file=f"papers/tray-{file_name(tray.id)}.svg", content=content)
