"""All papers of a drawing job: a page a setup for the machine, one for the customer, the loops as DXF, a picture."""

from __future__ import annotations

import re
from collections.abc import Iterable

from traywright.papers.customer_page import customer_page
from traywright.papers.drawn_overview import drawn_overview
from traywright.papers.machine_sheet import machine_page
from traywright.papers.paper import DrawnPapersAsked, Paper
from traywright.parts import contours_dxf

_NOT_IN_A_NAME = re.compile(r'[<>/\\":;?*|=`\x00-\x1f]')
"""Signs that the name of a DXF layer cannot hold.  # source: DXF reference, symbol table names"""
MOST_SIGNS = 255  # source: DXF reference, symbol table names since AC1015


def draw_drawn_papers(asked: DrawnPapersAsked) -> tuple[Paper, ...]:
    """Every paper of a drawing job.

    Parameters
    ----------
    asked
        Everything that the papers show.

    Returns
    -------
    tuple of Paper
        Name, file below the job's folder and bytes; the same question gives the same bytes.

    Raises
    ------
    PaperError
        PAP-001 if the lettering has no sign for a letter of the job.
    """
    return (
        customer_page(asked),
        *(machine_page(asked, made) for made in asked.made),
        loops_dxf(asked),
        drawn_overview(asked),
    )


def loops_dxf(asked: DrawnPapersAsked) -> Paper:
    """The loops as they were taken, in millimetres, arcs as arcs, each on its own layer.

    Parameters
    ----------
    asked
        Everything that the papers show.

    Notes
    -----
    A layer keeps the customer's name but for signs that a DXF layer cannot hold.
    """
    names = layer_names(layer for layer, _ in asked.loops)
    loops = [(names[layer], contour) for layer, contour in asked.loops]
    return Paper(name="drawing", file="papers/loops.dxf", content=contours_dxf(loops))


def _plain(layer: str) -> str:
    """A name without what a DXF layer cannot hold."""
    return _NOT_IN_A_NAME.sub("_", layer).strip()[: MOST_SIGNS - 8] or "0"


def layer_names(layers: Iterable[str]) -> dict[str, str]:
    """A name that a DXF file can hold for each layer: none twice, upper and lower case alike.

    Parameters
    ----------
    layers
        Names as the drawing has them; an SVG file may have any.

    Examples
    --------
    >>> layer_names(["DEPTH_6", "depth_6", "a:b", ""])
    {'DEPTH_6': 'DEPTH_6', 'depth_6': 'depth_6_2', '': '0', 'a:b': 'a_b'}
    """
    names: dict[str, str] = {}
    taken: set[str] = set()
    for layer, plain in sorted(
        ((one, _plain(one)) for one in set(layers)), key=lambda pair: (pair[0] != pair[1], pair)
    ):
        name, number = plain, 2
        while name.lower() in taken:
            name, number = f"{plain}_{number}", number + 1
        taken.add(name.lower())
        names[layer] = name
    return names
