"""The board as it is clamped, from above: pieces, loops with their step, screws, bridges, datum, sizes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from traywright.base import text
from traywright.cutting.cut_plan import CutPlan
from traywright.nesting import place_on_board
from traywright.nesting.setup import Setup
from traywright.papers.board_words import board_words, least_gap_mm
from traywright.papers.drawing import size_across, size_up
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
    if least_gap_mm(corner_mm, screws_mm) > DATUM_MM + SCREW_MM:
        return moved(datum(DATUM_MM), *corner_mm)
    x, y = corner_mm
    line = Stroke(points_mm=((x - ASIDE_MM, y - ASIDE_MM), corner_mm), width_mm=THIN_MM)
    spot = Disc(centre_mm=corner_mm, radius_mm=0.5, fill="ink")
    return (line, spot, *moved(datum(DATUM_MM - 0.6), x - ASIDE_MM, y - ASIDE_MM))


def _square(at_mm: tuple[float, float], half_mm: float) -> tuple[float, float, float, float]:
    """The field of a sign."""
    return at_mm[0] - half_mm, at_mm[1] - half_mm, at_mm[0] + half_mm, at_mm[1] + half_mm


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
    screws = tuple((x * scale, y * scale) for x, y in setup.screws_mm)
    bridges = tuple((one.at_mm[0] * scale, one.at_mm[1] * scale) for one in setup.bridges)
    signs = [_square(one, SCREW_MM) for one in screws] + [_square(one, 1.3) for one in bridges]
    marks += _pieces(setup, plies, scale)
    for x, y in bridges:
        marks += moved(bridge(), x, y)
    marks += _datum((left * scale, front * scale), screws)
    for x, y in screws:
        marks += moved(screw(), x, y)
    marks += board_words(setup, plan, plies, scale, signs)
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
