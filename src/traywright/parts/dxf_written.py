"""Contours as the bytes of a DXF file: arcs as arcs, each on its layer, no date and no number of chance in it."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterable
from typing import Any

from traywright.geometry import Contour

RELEASE = "R2010"
FORBIDDEN = frozenset('<>/\\":;?*|=`')
"""Signs that a layer's name must not hold.  # source: DXF reference, symbol names"""
MILLIMETRES = 4  # source: DXF reference, header variable $INSUNITS


def contours_dxf(loops: Iterable[tuple[str, Contour]]) -> bytes:
    """A drawing in millimetres of contours, each with the name of its layer.

    Parameters
    ----------
    loops
        Layer and contour, in the order in which they are written.

    Examples
    --------
    >>> contours_dxf([("OUTLINE", Contour.circle((0.0, 0.0), 5.0))])[:3]
    b'  0'
    """
    return dxf_bytes(lambda: _drawn(tuple(loops)))


def _drawn(loops: tuple[tuple[str, Contour], ...]) -> Any:  # noqa: ANN401  # reason: drawing library's own object
    """The drawing in memory."""
    from ezdxf.filemanagement import new  # noqa: PLC0415  # reason: --help stays quick

    drawing = new(RELEASE, units=MILLIMETRES)
    drawing.header["$INSUNITS"] = MILLIMETRES
    drawing.header["$MEASUREMENT"] = 1
    names = layer_names(layer for layer, _ in loops)
    for name in sorted(set(names.values()) - {"0"}):
        drawing.layers.add(name, color=7)
    space = drawing.modelspace()
    for layer, contour in loops:
        space.add_lwpolyline(contour.corners, format="xyb", close=contour.closed, dxfattribs={"layer": names[layer]})
    return drawing


def layer_names(layers: Iterable[str]) -> dict[str, str]:
    """The names under which layers are written: signs that DXF does not take become an underline, no name twice.

    Parameters
    ----------
    layers
        Names as a customer gave them, also from SVG.

    Examples
    --------
    >>> layer_names(["a=b", "Pocket", "POCKET"])
    {'POCKET': 'POCKET', 'Pocket': 'Pocket_2', 'a=b': 'a_b'}
    """
    found: dict[str, str] = {}
    taken: set[str] = set()
    for layer in sorted(set(layers)):
        plain = "".join("_" if one in FORBIDDEN or not one.isprintable() else one for one in layer).strip() or "_"
        name, number = plain, 1
        while name.lower() in taken:
            number += 1
            name = f"{plain}_{number}"
        taken.add(name.lower())
        found[layer] = name
    return found


def dxf_bytes(draw: Callable[[], Any]) -> bytes:
    """A drawing as the bytes of its file; the same drawing is the same bytes.

    Parameters
    ----------
    draw
        Makes the drawing library's own object; called while the library deals no dates and no numbers of chance.
    """
    from ezdxf._options import options  # noqa: PLC0415  # reason: --help stays quick

    kept = io.StringIO()
    was = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        drawing = draw()
        drawing.classes.add_required_classes(drawing.dxfversion)
        # the library keeps them in a set: one order, one file
        ordered = sorted(drawing.classes.classes.items())
        drawing.classes.classes.clear()
        drawing.classes.classes.update(ordered)
        drawing.write(kept)
    finally:
        options.write_fixed_meta_data_for_testing = was
    return kept.getvalue().encode("utf-8")
