"""All papers of a drawing job: one page a setup for the machine, one for the customer, the loops as DXF."""

from __future__ import annotations

from typing import Any

from traywright.papers.customer_page import customer_page
from traywright.papers.machine_sheet import machine_page
from traywright.papers.paper import DrawnPapersAsked, Paper
from traywright.papers.tray_dxf import MILLIMETRES, RELEASE, dxf_bytes


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
    return Paper(name="drawing", file="papers/loops.dxf", content=dxf_bytes(_drawn(asked)))


def _drawn(asked: DrawnPapersAsked) -> Any:  # noqa: ANN401  # reason: drawing library's own object
    """The drawing in memory."""
    from ezdxf.filemanagement import new  # noqa: PLC0415  # reason: --help stays quick

    drawing = new(RELEASE, units=MILLIMETRES)
    drawing.header["$INSUNITS"] = MILLIMETRES
    drawing.header["$MEASUREMENT"] = 1
    for name in sorted({layer for layer, _ in asked.loops} - {"0"}):
        drawing.layers.add(name, color=7)
    space = drawing.modelspace()
    for layer, contour in asked.loops:
        space.add_lwpolyline(contour.corners, format="xyb", close=contour.closed, dxfattribs={"layer": layer})
    return drawing
