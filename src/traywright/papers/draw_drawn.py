"""All papers of a drawing job: one page a setup for the machine, one for the customer, the loops as DXF."""

from __future__ import annotations

from traywright.papers.customer_page import customer_page
from traywright.papers.machine_sheet import machine_page
from traywright.papers.paper import DrawnPapersAsked, Paper
from traywright.parts import contours_dxf


def draw_drawn_papers(asked: DrawnPapersAsked) -> tuple[Paper, ...]:
    """Every paper of a drawing job.

    Parameters
    ----------
    asked
        Everything that the papers show.

    Raises
    ------
    PaperError
        PAP-001 if the lettering has no sign for a letter of the job.
    """
    return (customer_page(asked), *(machine_page(asked, made) for made in asked.made), loops_dxf(asked))


def loops_dxf(asked: DrawnPapersAsked) -> Paper:
    """The loops as they were taken, in millimetres, arcs as arcs, each on its own layer.

    Parameters
    ----------
    asked
        Everything that the papers show.
    """
    return Paper(name="drawing", file="papers/loops.dxf", content=contours_dxf(asked.loops))
