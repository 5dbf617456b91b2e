"""One tray as a DXF file: closed loops, a layer for each floor, the parts and the words on layers of their own."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from traywright.base import file_name
from traywright.geometry import Region
from traywright.papers.paper import Paper, PapersAsked
from traywright.papers.views import lying
from traywright.parts.dxf_written import MILLIMETRES, RELEASE, dxf_bytes
from traywright.trays.tray import Feature, Tray

TEXT_HIGH_MM = 5.0
COLOURS = (1, 30, 2, 3, 4, 5, 6)
"""AutoCAD colour numbers of floors, highest first."""
OUTLINE_LAYER, PART_LAYER, TEXT_LAYER = "OUTLINE", "PART", "TEXT"


def layer_of(feature: Feature) -> str:
    """The layer of a feature: its side where it is not the top, and its floor above the underside or THROUGH.

    Examples
    --------
    >>> from traywright.trays import FeatureKind, Flat
    >>> layer_of(
    ...     Feature(
    ...         id="T1.F1",
    ...         kind=FeatureKind.POCKET,
    ...         side="top",
    ...         region=Region.rectangle(0, 0, 9, 9),
    ...         floor=Flat(z_mm=30),
    ...     )
    ... )
    'FLOOR_30.000'
    """
    height = feature.floor.lowest_mm
    word = "THROUGH" if height <= 0.0 else f"FLOOR_{height:.3f}"
    return word if feature.side == "top" else f"UNDERSIDE_{word}"


def _loops(space: Any, region: Region, layer: str) -> None:  # noqa: ANN401  # reason: drawing library's own object
    """Each ring as one closed line, shells counter-clockwise, holes clockwise."""
    for shell, holes in region.rings():
        for ring in (shell, *holes):
            space.add_lwpolyline(ring, close=True, dxfattribs={"layer": layer})


def _drawn(asked: PapersAsked, alike: Sequence[Tray]) -> Any:  # noqa: ANN401  # reason: drawing library's own object
    """The drawing in memory."""
    tray = alike[0]
    from ezdxf.filemanagement import new  # noqa: PLC0415  # reason: --help stays quick

    drawing = new(RELEASE, units=MILLIMETRES)
    drawing.header["$INSUNITS"] = MILLIMETRES
    drawing.header["$MEASUREMENT"] = 1
    layers = sorted({layer_of(one) for one in tray.features}, reverse=True)
    drawing.layers.add(OUTLINE_LAYER, color=7)
    for number, name in enumerate(layers):
        drawing.layers.add(name, color=COLOURS[number % len(COLOURS)])
    drawing.layers.add(PART_LAYER, color=8)
    drawing.layers.add(TEXT_LAYER, color=7)
    space = drawing.modelspace()
    _loops(space, tray.outline, OUTLINE_LAYER)
    for feature in tray.features:
        _loops(space, feature.region, layer_of(feature))
    poses = {one.part.id: one for one in asked.poses}
    for cell in tray.cells:
        outline = lying(cell, poses)
        _loops(space, outline, PART_LAYER)
        x, y = outline.centre_mm
        words = {"layer": TEXT_LAYER, "height": TEXT_HIGH_MM, "insert": (round(x, 3), round(y, 3))}
        space.add_text(f"{cell.id} {cell.part} kit {cell.kit_no}", dxfattribs=words)
    left, front, _, _ = tray.outline.bounds_mm
    head = asked.head
    names = ", ".join(one.id for one in alike)
    title = f"{head.number} {head.revision} {names} {tray.thickness_mm:g} mm {tray.foam} {head.fingerprint_trays}"
    words = {"layer": TEXT_LAYER, "height": TEXT_HIGH_MM, "insert": (left, front - 2.0 * TEXT_HIGH_MM)}
    space.add_text(title, dxfattribs=words)
    return drawing


def tray_dxf(asked: PapersAsked, alike: Sequence[Tray]) -> Paper:
    """A tray, or trays cut alike, as a DXF in millimetres, with neither date nor number of chance in it.

    Notes
    -----
    Features overlap as they do in the tray: each is one set of loops on the layer of its floor, and a curved floor
    stands on the layer of its lowest height.
    """
    content = dxf_bytes(lambda: _drawn(asked, alike))
    return Paper(name="tray", file=f"papers/tray-{file_name(alike[0].id)}.dxf", content=content)
