"""The picture of the whole pack: the stack spread, the closed box cut open, the heaviest tray from above."""

from __future__ import annotations

import math

from traywright.base import text
from traywright.papers.drawing import plan, scale_words, section, size_across, size_up
from traywright.papers.grounds import length
from traywright.papers.lettering import fitted
from traywright.papers.marks import THICK_MM, Area, Lettering, Marks, box, moved
from traywright.papers.paper import Paper, PapersAsked
from traywright.papers.sheet import band_words
from traywright.papers.stack import layer_words, spread_stack, stack_size_mm
from traywright.papers.svg import svg_of
from traywright.papers.views import middle_of, pack_cut
from traywright.trays.tray import Tray

SIZE_MM = (280.0, 190.0)
STACK_MM = (108.0, 164.0)
SECTION_MM = (128.0, 84.0)
PLAN_MM = (66.0, 62.0)


def _heaviest(asked: PapersAsked) -> Tray:
    """The tray with the greatest mass of parts; of equal ones the first."""
    masses_kg = {one.part.id: one.part.mass_kg for one in asked.poses}
    return max(asked.trays, key=lambda tray: math.fsum(masses_kg[one.part] for one in tray.cells))


def _stack(asked: PapersAsked) -> Marks:
    """The layers spread upward."""
    width, height = stack_size_mm(asked)
    scale = min(STACK_MM[0] / width, STACK_MM[1] / height)
    return moved(spread_stack(asked, scale, size_pt=11.0), 8.0, 10.0)


def _section(asked: PapersAsked) -> Marks:
    """The closed pack in its box, cut along x through the first cell of the heaviest tray."""
    poses = {one.part.id: one for one in asked.poses}
    at = middle_of(_heaviest(asked), poses, "x")
    cut = pack_cut(asked.pack, asked.trays, poses, "x", at)
    wide, high = asked.box.inside_length_mm, asked.box.inside_height_mm
    scale = min(SECTION_MM[0] / wide, SECTION_MM[1] / high)
    slack = (wide - max(one.outline.bounds_mm[2] for one in asked.trays)) / 2.0
    inside = Area(rings_mm=(box(0.0, 0.0, wide * scale, high * scale),), fill="sheet", width_mm=0.7)
    plain = frozenset({asked.divider.id}) if asked.divider else frozenset()
    drawn = moved(section(cut, scale, dividers=plain), slack * scale, 0.0)
    unit = asked.head.length_shown
    sizes = size_across(0.0, wide * scale, -6.0, length(wide, unit), from_mm=0.0)
    sizes += size_up(0.0, high * scale, wide * scale + 7.0, length(high, unit), from_mm=wide * scale)
    words = Lettering(
        text=text("drawing", "box_section", scale=scale_words(scale)), at_mm=(0.0, high * scale + 3.0), size_pt=9.5
    )
    return moved((inside, *drawn, *sizes, words), 136.0, 96.0 + (SECTION_MM[1] - high * scale) / 2.0 - 8.0)


def _plan(asked: PapersAsked) -> Marks:
    """The heaviest tray from above."""
    poses = {one.part.id: one for one in asked.poses}
    tray = _heaviest(asked)
    width, depth = tray.outline.size_mm
    scale = min(PLAN_MM[0] / width, PLAN_MM[1] / depth)
    words = text("drawing", "plan_of", name=f"{tray.id} {tray.name}", scale=scale_words(scale))
    told, size = fitted(words, 68.0, 9.5)
    title = Lettering(text=told, at_mm=(0.0, depth * scale + 3.0), size_pt=size)
    return moved((*plan(tray, poses, scale), title), 136.0, 12.0)


def _layers(asked: PapersAsked) -> Marks:
    """Numbers and names of the layers from the top down."""
    marks: Marks = ()
    for line, (number, name, thick) in enumerate(reversed(layer_words(asked))):
        y = 66.0 - 6.2 * line
        told, size = fitted(name, 52.0, 8.5)
        marks += (
            Lettering(text=number, at_mm=(211.5, y), size_pt=9.5, voice="strong", anchor="right"),
            Lettering(text=told, at_mm=(214.0, y), size_pt=size),
            Lettering(
                text=length(thick, asked.head.length_shown),
                at_mm=(275.0, y),
                size_pt=8.5,
                voice="strong",
                anchor="right",
            ),
        )
    return marks


def overview(asked: PapersAsked) -> Paper:
    """The stack spread, the closed box cut open and the heaviest tray from above, true to scale, as an SVG."""
    head = asked.head
    title = text("drawing", "overview", number=head.number, revision=head.revision, title=head.title)
    frame = Area(rings_mm=(box(1.5, 1.5, SIZE_MM[0] - 1.5, SIZE_MM[1] - 1.5),), width_mm=THICK_MM)
    told, size = fitted(title, SIZE_MM[0] - 16.0, 12.0, "judgement")
    marks: Marks = (frame, Lettering(text=told, at_mm=(8.0, 180.5), size_pt=size, voice="judgement"))
    band, size = fitted(band_words(head), SIZE_MM[0] - 16.0, 9.5, "strong")
    marks += (Lettering(text=band, at_mm=(272.0, 4.5), size_pt=size, voice="strong", ink="red", anchor="right"),)
    marks += _stack(asked) + _section(asked) + _plan(asked) + _layers(asked)
    content = svg_of(marks, width_mm=SIZE_MM[0], height_mm=SIZE_MM[1], title=title)
    return Paper(name="overview", file="papers/overview.svg", content=content)
