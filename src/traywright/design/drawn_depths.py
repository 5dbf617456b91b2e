"""How deep each loop is cut: by the depth table, or by the number that ends its layer's name."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping

from traywright.base import Finding, Given, Severity, Status, finding, nearest, text
from traywright.base.errors import DesignError
from traywright.design.drawn_asked import DepthAsked, DrawnAsked
from traywright.design.drawn_lines import is_engraved, row_for
from traywright.design.drawn_shapes import Outlined
from traywright.parts import DrawnLine, is_named

_ENDS = re.compile(r"[^\d.,]\s*(\d+(?:[.,]\d+)?)\s*(?:mm)?$", re.IGNORECASE)
"""A number at the end of a name, with something before it."""

_SIZE = re.compile(r"(?:^|[\W_])[dmrø]\d+(?:[.,]\d+)?\s*(?:mm)?$", re.IGNORECASE)
"""A diameter, thread or radius at the end of a name: ``HOLES_D20``, ``Screws M8``; that is no depth."""


def depth_in_name(layer: str) -> float | None:
    """The depth that a layer's name ends in, mm; None where it does not, or where the number counts layers.

    Examples
    --------
    >>> depth_in_name("DEPTH_14"), depth_in_name("pocket 12,5mm"), depth_in_name("Layer 3"), depth_in_name("0")
    (14.0, 12.5, None, None)
    >>> depth_in_name("HOLES_D20"), depth_in_name("Screws M8")
    (None, None)
    """
    found = _ENDS.search(layer)
    if found is None or is_named(layer, "no_depth") or _SIZE.search(layer):
        return None
    return float(found[1].replace(",", ".")) or None


def depths_of(asked: DrawnAsked, loops: Iterable[DrawnLine]) -> dict[str, DepthAsked]:
    """The depth of each loop by its id.

    Raises
    ------
    DesignError
        TRAY-026 with every layer that has no depth.
    """
    found: dict[str, DepthAsked] = {}
    without: list[str] = []
    for one in loops:
        depth = _depth_of(one, asked)
        if depth is None:
            without.append(f"{one.layer} (colour {one.colour})" if one.colour else one.layer)
        else:
            found[one.id] = depth
    if without:
        names = sorted(set(without))
        raise DesignError("TRAY-026", layers=", ".join(names), first=names[0].split(" (")[0])
    return found


def _depth_of(line: DrawnLine, asked: DrawnAsked) -> DepthAsked | None:
    """The row that holds for a loop: its layer's, its colour's, or what its layer's name says."""
    row = row_for(line, asked.depths)
    if row is not None:
        return row
    if is_named(line.layer, "through"):
        return DepthAsked(layer=line.layer, colour=0, depth=None)
    depth_mm = depth_in_name(line.layer)
    if depth_mm is None:
        # an opening drawn on the layer of outlines goes right through
        return DepthAsked(layer=line.layer, colour=0, depth=None) if is_named(line.layer, "outline") else None
    told = Given(
        ref="enquiry:drawing.depth",
        value=depth_mm,
        unit="mm",
        status=Status.STATED,
        source=text("source", "layer_name"),
    )
    return DepthAsked(layer=line.layer, colour=0, depth=told)


def depths_from_names(depths: Mapping[str, DepthAsked]) -> Iterator[Finding]:
    """A note of the depths that were read from the names of layers.

    Parameters
    ----------
    depths
        The depth of each loop by its id.
    """
    told = text("source", "layer_name")
    rows = {one.layer: one.depth.value for one in depths.values() if one.depth is not None and one.depth.source == told}
    if rows:
        words = ", ".join(f"{layer}: {depth_mm:g}" for layer, depth_mm in sorted(rows.items()))
        yield finding("TRAY-072", Severity.NOTE, tuple(sorted(rows)), cause="names", depths=words)


def rows_without_use(asked: DrawnAsked) -> Iterator[Finding]:
    """Rows of the tables that met nothing on the drawing.

    Parameters
    ----------
    asked
        The drawing and its tables.
    """
    every = (*asked.drawing.loops, *asked.drawing.lines)
    for row in (*asked.depths, *asked.engrave):
        if not any(row_for(one, (row,)) for one in every):
            place = row.layer or str(row.colour)
            close = nearest(place, asked.drawing.layers)
            yield finding("TRAY-073", Severity.WARN, (place,), cause=f"row {place}", place=place, nearest=close)


def has_depth(line: DrawnLine, asked: DrawnAsked) -> bool:
    """True for a line on a layer that is told a depth, or whose name ends in one: a pocket, no outline.

    Parameters
    ----------
    line
        A loop or an open line.
    asked
        The drawing and its tables.
    """
    row = row_for(line, asked.depths)
    return row.depth is not None if row is not None else depth_in_name(line.layer) is not None


def check_outlines(outlined: Iterable[Outlined], asked: DrawnAsked) -> None:
    """Refuse a pocket that would be taken for the outline because the outline is missing or open.

    Raises
    ------
    DesignError
        TRAY-022.
    """
    for one in outlined:
        chosen = asked.outline_layer or is_named(one.outline.layer, "outline")
        if not chosen and has_depth(one.outline, asked):
            raise DesignError("TRAY-022", layer="-", layers=", ".join(asked.drawing.layers) or "-")


def open_pockets(asked: DrawnAsked) -> Iterator[Finding]:
    """Open lines on a layer that has a depth: a pocket was meant, and it is not cut.

    Parameters
    ----------
    asked
        The drawing and its tables.
    """
    left = [one for one in asked.drawing.lines if not is_engraved(one, asked) and has_depth(one, asked)]
    for one in left:
        x, y, _ = one.contour.corners[0]
        point, layers = (round(x, 3), round(y, 3)), ", ".join(sorted({each.layer for each in left}))
        yield finding(
            "TRAY-035", Severity.STOP, (one.layer,), point_mm=point, cause="open pocket", count=len(left), layers=layers
        )
