"""The board as it is clamped, from above: pieces, loops with their step, screws, bridges, datum, sizes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from traywright.base import natural_key, text
from traywright.cutting.cut_plan import CutPlan, Operation
from traywright.nesting import place_on_board
from traywright.nesting.setup import Setup
from traywright.papers.board_words import board_words
from traywright.papers.drawing import scale_for, scale_words, size_across, size_up
from traywright.papers.inks import depth_ink
from traywright.papers.lettering import width_of_mm
from traywright.papers.marks import THICK_MM, THIN_MM, Disc, Lettering, Marks, Stroke, area_of, moved
from traywright.papers.signs import bridge, datum, screw
from traywright.trays.tray import Ply

BOARD_HIGH_MM = 94.0
KEY_MM = 8.0
SIZES_MM = 13.0
DATUM_MM = 3.2
"""Radius of the datum's sign on the board."""
ASIDE_MM = 3.6
"""How far the datum's sign moves out where a screw stands at its corner."""
SCREW_MM = 1.9
"""Half the field of a screw's sign."""


BESIDE_MM = 14.0
"""Between the board and a piece drawn larger beside it."""
LARGER_RATIO = 1.6  # source: own choice: less is no help to the eye


def _pieces(setup: Setup, plies: Mapping[str, Ply], scale_ratio: float) -> Marks:
    """Every piece with its loops, the deepest on top."""
    shapes: Marks = ()
    for piece in setup.pieces:
        ply = plies[piece.ply]
        shapes += (area_of(place_on_board(ply.region, piece, ply), scale_ratio, fill="foam", width_mm=THICK_MM),)
        for feature in sorted(ply.features, key=lambda one: -one.floor.lowest_mm):
            region = place_on_board(feature.region, piece, ply)
            ink = depth_ink(ply.thickness_mm - max(feature.floor.lowest_mm, 0.0), ply.thickness_mm)
            shapes += (area_of(region.simpler(0.2), scale_ratio, fill=ink, width_mm=0.15),)
    return shapes


def _datum(corner_mm: tuple[float, float], screws_mm: Sequence[tuple[float, float]]) -> Marks:
    """The datum at its corner; where it would hide a screw it stands outside, with a line to the corner."""
    if all(math.dist(corner_mm, one) > DATUM_MM + SCREW_MM for one in screws_mm):
        return moved(datum(DATUM_MM), *corner_mm)
    x, y = corner_mm
    line = Stroke(points_mm=((x - ASIDE_MM, y - ASIDE_MM), corner_mm), width_mm=THIN_MM)
    spot = Disc(centre_mm=corner_mm, radius_mm=0.5, fill="ink")
    return (line, spot, *moved(datum(DATUM_MM - 0.6), x - ASIDE_MM, y - ASIDE_MM))


def _square(at_mm: tuple[float, float], half_mm: float) -> tuple[float, float, float, float]:
    """The field of a sign."""
    return at_mm[0] - half_mm, at_mm[1] - half_mm, at_mm[0] + half_mm, at_mm[1] + half_mm


def _board(setup: Setup, plan: CutPlan, plies: Mapping[str, Ply], scale_ratio: float, *, blank: bool) -> Marks:
    """Pieces, bridges and words at a scale; with ``blank`` the board around them with its screws and datum."""
    left, front, _, _ = setup.blank.bounds_mm
    screws = tuple((x * scale_ratio, y * scale_ratio) for x, y in setup.screws_mm) if blank else ()
    bridges = tuple((one.at_mm[0] * scale_ratio, one.at_mm[1] * scale_ratio) for one in setup.bridges)
    signs = [_square(one, SCREW_MM) for one in screws] + [_square(one, 1.3) for one in bridges]
    marks: Marks = (area_of(setup.blank, scale_ratio, fill="foam-1", width_mm=0.7),) if blank else ()
    marks += _pieces(setup, plies, scale_ratio)
    for x, y in bridges:
        marks += moved(bridge(), x, y)
    if blank:
        marks += _datum((left * scale_ratio, front * scale_ratio), screws)
    for x, y in screws:
        marks += moved(screw(), x, y)
    return marks + board_words(setup, plan, plies, scale_ratio, signs)


def board_view(
    setup: Setup,
    plan: CutPlan,
    plies: Mapping[str, Ply],
    size_mm: tuple[float, float],
    *,
    enlarged: bool = False,
) -> Marks:
    """The board from above with its key, from the lower left corner of a field.

    Parameters
    ----------
    setup, plan, plies
        The board as clamped, what is cut in which order, and the plies by id.
    size_mm
        Width and height of the field.
    enlarged
        True to draw a piece larger beside the board, with the steps in its loops, where all pieces are of one kind and
        there is room.
    """
    wide, deep = setup.blank.size_mm
    left, front, _, _ = setup.blank.bounds_mm
    width_mm, high_mm = size_mm
    scale = min((width_mm - SIZES_MM - 4.0) / wide, (high_mm - SIZES_MM - KEY_MM - 3.0) / deep)
    room_mm = (width_mm - SIZES_MM - wide * scale, high_mm - KEY_MM - 20.0)
    beside = _beside(setup, plan, plies, room_mm, scale) if enlarged else ()
    outlines = tuple(one for one in plan.operations if one.kind == "outline")
    # the steps of the large piece are the steps of all
    numbered = replace(plan, operations=tuple(_named_only(plan, outlines))) if beside else plan
    marks = _board(setup, numbered, plies, scale, blank=True)
    right, back = (left + wide) * scale, (front + deep) * scale
    marks += size_across(left * scale, right, back + 4.5, f"{wide:g}", from_mm=back)
    marks += size_up(front * scale, back, left * scale - 6.0, f"{deep:g}", from_mm=left * scale)
    room = SIZES_MM if beside else (width_mm - wide * scale) / 2.0
    at_right = moved(beside, SIZES_MM + wide * scale, 0.0)
    return moved(marks, room - left * scale, KEY_MM + 4.5 - front * scale) + at_right + _key(setup, width_mm)


def _named_only(plan: CutPlan, kept: Sequence[Operation]) -> Iterator[Operation]:
    """The operations, those that are not kept without what they cut, so that each keeps its number."""
    for one in plan.operations:
        yield one if one in kept else replace(one, features=())


def _beside(
    setup: Setup, plan: CutPlan, plies: Mapping[str, Ply], room_mm: tuple[float, float], scale_ratio: float
) -> Marks:
    """The first piece enlarged, in a room beside the board; nothing where it would not be clearly larger."""
    if len({(one.ply, one.turn_deg) for one in setup.pieces}) != 1:
        return ()
    first = min(setup.pieces, key=lambda one: natural_key(one.id))
    region = place_on_board(plies[first.ply].region, first, plies[first.ply])
    width, depth = region.size_mm
    scale = scale_for((width, depth), (room_mm[0] - BESIDE_MM, room_mm[1]))
    if room_mm[0] < 3.0 * BESIDE_MM or scale < LARGER_RATIO * scale_ratio:
        return ()
    own = replace(
        setup, pieces=(first,), bridges=tuple(one for one in setup.bridges if one.piece == first.id), screws_mm=()
    )
    x, y = region.bounds_mm[0] * scale, region.bounds_mm[1] * scale
    at = (BESIDE_MM, KEY_MM + 4.5)
    words = text("machine_sheet", "enlarged", piece=first.id, scale=scale_words(scale))
    title = Lettering(text=words, at_mm=(at[0], at[1] + depth * scale + 3.0), size_pt=9.5)
    return (*moved(_board(own, plan, plies, scale, blank=False), at[0] - x, at[1] - y), title)


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
