"""What the command line shows of a layout."""

from __future__ import annotations

import math
import sys
from typing import TYPE_CHECKING, Any

from rich.console import Console
from rich.table import Table

from traywright.base import canonical_json, shown, text

if TYPE_CHECKING:
    from traywright.job import LayoutTold
    from traywright.layout import LayoutAsked, Offer, Sides


def _words(key: str, **parameters: Any) -> str:  # noqa: ANN401  # reason: words and numbers of a sentence
    return text("layout_screen", key, **parameters)


def _sides(sides: Sides) -> str:
    """One length, or right, back, left, front."""
    each = sides.each_mm()
    return ",".join(f"{one:g}" for one in (each[:1] if sides.alike else each))


def _table(told: LayoutTold) -> Table:
    """One row an offer."""
    table = Table()
    kits = told.asked.kit_size > 1
    for key in ("offer", "count", *(("kits",) if kits else ()), "bound", "rows", "wall", "fill"):
        first = key == "offer"
        table.add_column(_words(f"column_{key}"), justify="left" if first else "right", no_wrap=first)
    for one in told.offers:
        apart = shown(one.least_wall_mm, 3) if math.isfinite(one.least_wall_mm) else _words("no_rows")
        rows = str(one.rows) if one.rows else _words("no_rows")
        numbers = (str(one.count), *((str(one.kits),) if kits else ()), str(one.bound), rows, apart)
        table.add_row(_words(one.name), *numbers, shown(100.0 * one.fill_ratio, 1))
    return table


def _more(asked: LayoutAsked, one: Offer, most: Offer) -> str:
    """Whether more could go in, as far as that is known."""
    if one.count < most.count:
        key = "fewer"
    elif one.count:
        key = "proven" if one.proven else "open"
        key = "asked_for" if asked.kits_most and one.kits == asked.kits_most else key
    elif one.proven:
        key = "none_proven" if asked.kit_size == 1 else "none_kit_proven"
    else:
        key = "none_open"
    return _words(key, offer=_words(one.name), bound=one.bound)


def show_layout(told: LayoutTold, *, as_json: bool) -> None:
    """Print two offers, or the same as JSON; with JSON the notes of reading go to standard error."""
    if as_json:
        sys.stdout.write(canonical_json(told.plain))
    console = Console(highlight=False, stderr=as_json)
    for note in told.notes:
        console.print(note, markup=False, soft_wrap=True)
    if not as_json:
        box = told.asked.container
        wall, rim = _sides(told.asked.spacing.wall), _sides(told.asked.spacing.rim)
        size = {"width": f"{box.width_mm:g}", "depth": f"{box.depth_mm:g}"}
        console.print(_words("head", wall=wall, rim=rim, **size), style="bold", markup=False, soft_wrap=True)
        console.print(_table(told))
        for one in told.offers:
            console.print(_more(told.asked, one, told.offers[-1]), markup=False, soft_wrap=True)
        console.print(_words("checked"), markup=False, soft_wrap=True)
    if told.picture is not None:
        console.print(_words("picture", file=str(told.picture)), markup=False, soft_wrap=True)
