"""The board as it is clamped, from above: pieces, loops with their step, screws, bridges, datum, sizes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from traywright.base import natural_key, text
from traywright.cutting.cut_plan import CutPlan
from traywright.geometry import Region
from traywright.nesting import place_on_board
from traywright.nesting.setup import Setup
from traywright.papers.drawing import is_free, size_across, size_up
from traywright.papers.inks import depth_ink
from traywright.papers.lettering import LEAST_PT, MM_PER_PT, PAIR_JOINT, width_of_mm
from traywright.papers.marks import THICK_MM, Lettering, Marks, area_of, moved
from traywright.papers.signs import bridge, datum, screw
from traywright.trays.tray import Ply

BOARD_HIGH_MM = 94.0
KEY_MM = 8.0
SIZES_MM = 13.0
NAME_PT = 10.0  # source: own choice: read at arm's length on a board of 94 mm
NUMBER_HIGH_MM = 3.2
"""Room that a step's number needs in a loop."""


def _steps(plan: CutPlan) -> dict[str, list[int]]:
    """Which steps cut a feature, by ``piece/feature``."""
    found: dict[str, list[int]] = {}
    for number, one in enumerate(plan.operations, start=1):
        for name in one.features:
            found.setdefault(name, []).append(number)
    return found


def _pieces(
    setup: Setup, plan: CutPlan, plies: Mapping[str, Ply], scale_ratio: float, names: Sequence[Lettering]
) -> Marks:
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
        word = Lettering(text=told, at_mm=at, size_pt=8.0, voice="strong", anchor="middle", halo=True)
        if told and has_room and is_free(at, words) and not any(_meet(word, one) for one in names):
            words.append(word)
    return (*shapes, *words)


def _spread(word: Lettering) -> tuple[float, float, float, float]:
    """Left, low, right and high of a level word on paper."""
    wide, high = width_of_mm(word.text, word.size_pt, word.voice), word.size_pt * MM_PER_PT
    left = word.at_mm[0] - (wide / 2.0 if word.anchor == "middle" else 0.0)
    return left, word.at_mm[1] - 0.2 * high, left + wide, word.at_mm[1] + 0.8 * high


def _meet(word: Lettering, other: Lettering) -> bool:
    """True if two level words stand on one another."""
    a, b = _spread(word), _spread(other)
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _named(name: str, last: str, wide_mm: float, high_mm: float) -> tuple[tuple[str, float, float], ...]:
    """The lines of a piece's name with their size and height above its corner; none where the piece is too small."""
    whole = f"{name}{PAIR_JOINT}{last}" if last else name
    for size in (NAME_PT, LEAST_PT):
        if width_of_mm(whole, size, "strong") <= wide_mm:
            return ((whole, size, 0.0),) if size * MM_PER_PT <= high_mm else ()
    step = LEAST_PT * MM_PER_PT * 1.2
    lines = (f"{PAIR_JOINT.lstrip()}{last}", name)
    if high_mm < step + LEAST_PT * MM_PER_PT or any(width_of_mm(one, LEAST_PT, "strong") > wide_mm for one in lines):
        return ()
    return tuple((one, LEAST_PT, step * row) for row, one in enumerate(lines))


def _names(setup: Setup, plan: CutPlan, plies: Mapping[str, Ply], scale_ratio: float) -> tuple[Lettering, ...]:
    """Piece numbers in their lower left corners, with the step that cuts them out, never wider than the piece."""
    steps = _steps(plan)
    words: list[Lettering] = []
    for piece in setup.pieces:
        ply = plies[piece.ply]
        left, front, right, back = (one * scale_ratio for one in place_on_board(ply.region, piece, ply).bounds_mm)
        last = ", ".join(str(one) for one in steps.get(f"{piece.id}/outline", []))
        for told, size, up in _named(piece.id, last, right - left - 2.0, back - front - 2.4):
            at = (left + 1.4, front + 1.6 + up)
            words.append(Lettering(text=told, at_mm=at, size_pt=size, voice="strong", halo=True))
    return tuple(words)


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
    names = _names(setup, plan, plies, scale)
    marks += _pieces(setup, plan, plies, scale, names)
    for one in setup.bridges:
        marks += moved(bridge(), one.at_mm[0] * scale, one.at_mm[1] * scale)
    for x, y in setup.screws_mm:
        marks += moved(screw(), x * scale, y * scale)
    marks += names
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
