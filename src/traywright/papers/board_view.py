"""The board as it is clamped, from above: pieces, loops with their step, screws, bridges, datum, sizes."""

from __future__ import annotations

from collections.abc import Mapping

from traywright.base import natural_key, text
from traywright.cutting.cut_plan import CutPlan
from traywright.geometry import Region
from traywright.nesting import place_on_board
from traywright.nesting.setup import Setup
from traywright.papers.drawing import is_free, size_across, size_up
from traywright.papers.inks import depth_ink
from traywright.papers.lettering import width_of_mm
from traywright.papers.marks import THICK_MM, Lettering, Marks, area_of, moved
from traywright.papers.signs import bridge, datum, screw
from traywright.trays.tray import Ply

BOARD_HIGH_MM = 94.0
KEY_MM = 8.0
SIZES_MM = 13.0
NUMBER_HIGH_MM = 3.2
"""Room that a step's number needs in a loop."""


def _steps(plan: CutPlan) -> dict[str, list[int]]:
    """Which steps cut a feature, by ``piece/feature``."""
    found: dict[str, list[int]] = {}
    for number, one in enumerate(plan.operations, start=1):
        for name in one.features:
            found.setdefault(name, []).append(number)
    return found


def _pieces(setup: Setup, plan: CutPlan, plies: Mapping[str, Ply], scale_ratio: float) -> Marks:
    """Every piece with its loops, the number of the step in each loop that has room, first steps first."""
    steps = _steps(plan)
    shapes: Marks = ()
    wanted: list[tuple[list[int], str, Region]] = []
    for piece in setup.pieces:
        ply = plies[piece.ply]
        shapes += (area_of(place_on_board(ply.region, piece, ply), scale_ratio, fill="foam", width_mm=THICK_MM),)
        for feature in sorted(ply.features, key=lambda one: -one.floor.lowest_mm):
            region = place_on_board(feature.region, piece, ply)
            ink = depth_ink(ply.thickness_mm - max(feature.floor.lowest_mm, 0.0), ply.thickness_mm)
            shapes += (area_of(region.simpler(0.2), scale_ratio, fill=ink, width_mm=0.15),)
            wanted.append((steps.get(f"{piece.id}/{feature.id}", []), f"{piece.id}/{feature.id}", region))
    words: list[Lettering] = []
    for numbers, _, region in sorted(wanted, key=lambda one: (one[0], natural_key(one[1]))):
        told = ", ".join(str(one) for one in numbers)
        wide, high = (one * scale_ratio for one in region.size_mm)
        x, y = region.centre_mm
        at = (x * scale_ratio, y * scale_ratio - 1.0)
        has_room = wide > width_of_mm(told, 8.0, "strong") + 0.6 and high > NUMBER_HIGH_MM
        if told and has_room and is_free(at, words):
            words.append(Lettering(text=told, at_mm=at, size_pt=8.0, voice="strong", anchor="middle", halo=True))
    return (*shapes, *words)


def _names(setup: Setup, plan: CutPlan, plies: Mapping[str, Ply], scale_ratio: float) -> Marks:
    """Piece numbers in their lower left corners, with the step that cuts them out."""
    steps = _steps(plan)
    marks: Marks = ()
    for piece in setup.pieces:
        ply = plies[piece.ply]
        left, front, _, _ = place_on_board(ply.region, piece, ply).bounds_mm
        last = ", ".join(str(one) for one in steps.get(f"{piece.id}/outline", []))
        told = f"{piece.id} · {last}" if last else piece.id
        at = (left * scale_ratio + 1.4, front * scale_ratio + 1.6)
        marks += (Lettering(text=told, at_mm=at, size_pt=10.0, voice="strong", halo=True),)
    return marks


def board_view(setup: Setup, plan: CutPlan, plies: Mapping[str, Ply], width_mm: float) -> Marks:
    """The board from above with its key, from the lower left corner of a field ``BOARD_HIGH_MM`` high.

    Parameters
    ----------
    setup, plan, plies
        The board as clamped, what is cut in which order, and the plies by id.
    width_mm
        Width of the field.
    """
    wide, deep = setup.blank.size_mm
    left, front, _, _ = setup.blank.bounds_mm
    scale = min((width_mm - SIZES_MM - 4.0) / wide, (BOARD_HIGH_MM - SIZES_MM - KEY_MM - 3.0) / deep)
    marks: Marks = (area_of(setup.blank, scale, fill="foam-1", width_mm=0.7),)
    marks += _pieces(setup, plan, plies, scale)
    for one in setup.bridges:
        marks += moved(bridge(), one.at_mm[0] * scale, one.at_mm[1] * scale)
    for x, y in setup.screws_mm:
        marks += moved(screw(), x * scale, y * scale)
    marks += _names(setup, plan, plies, scale)
    marks += moved(datum(), left * scale, front * scale)
    right, back = (left + wide) * scale, (front + deep) * scale
    marks += size_across(left * scale, right, back + 4.5, f"{wide:g}", from_mm=back)
    marks += size_up(front * scale, back, left * scale - 6.0, f"{deep:g}", from_mm=left * scale)
    room = (width_mm - wide * scale) / 2.0
    return moved(marks, room, KEY_MM + 4.5) + _key(setup, width_mm)


def _key(setup: Setup, width_mm: float) -> Marks:
    """What the signs mean."""
    signs = (
        (screw(), text("machine_sheet", "screw_key", count=len(setup.screws_mm))),
        (bridge(), text("machine_sheet", "bridge_key", count=len(setup.bridges))),
        (datum(2.4), text("machine_sheet", "datum_key")),
    )
    marks: Marks = ()
    at = width_mm / 2.0 - 52.0
    for sign, words in signs:
        marks += (*moved(sign, at, 4.0), Lettering(text=words, at_mm=(at + 4.2, 2.7), size_pt=10.0))
        at += 10.0 + width_of_mm(words, 10.0)
    return marks
