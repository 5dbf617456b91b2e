"""The picture of the whole pack for those who see it first."""

from __future__ import annotations

from traywright.base import text
from traywright.papers.marks import THICK_MM, Area, Marks, box
from traywright.papers.paper import Paper, PapersAsked
from traywright.papers.svg import svg_of


def overview(asked: PapersAsked) -> Paper:
    """The stack from the side as an SVG."""
    marks: Marks = tuple(
        Area(rings_mm=(box(20.0, 20.0 + one.bottom_mm / 3, 220.0, 20.0 + one.top_mm / 3),), fill="foam", width_mm=THICK_MM)
        for one in asked.pack.layers
    )
    told = svg_of(marks, width_mm=240.0, height_mm=160.0, title=text("paper_name", "overview"))
    return Paper(name="overview", file="papers/overview.svg", content=told)
