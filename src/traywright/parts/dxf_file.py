"""A DXF drawing as strokes: lines, true arcs and curves, blocks taken apart, words and dimensions left out."""

from __future__ import annotations

import io
import math
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from traywright.base import Finding, Severity, finding
from traywright.base.errors import PartError
from traywright.base.tolerance import DRAWN_CHORD_MM, SAME_MM
from traywright.geometry import Contour, Corner
from traywright.parts.curves import ellipse_corners, points_as_corners
from traywright.parts.drawing import DrawnLine, LeftOut, StrokesRead
from traywright.parts.drawing_limits import check_count, check_numbers, check_size

UNITS = {1: "inch", 4: "mm", 5: "cm", 6: "m"}
"""Drawing units that are taken.  # source: DXF reference, header variable $INSUNITS"""

BY_LAYER, BY_BLOCK = 256, 0
"""# source: DXF reference, group code 62"""

DEEPEST_BLOCK = 32
"""Blocks within blocks.  # source: real drawings nest two or three deep"""

LINES = frozenset({"LINE", "ARC", "CIRCLE", "ELLIPSE", "SPLINE", "LWPOLYLINE", "POLYLINE"})
WORDS = frozenset({"TEXT", "MTEXT", "ATTRIB", "ATTDEF"})
BACKWARD = 2
"""# source: DXF reference, TEXT group code 71, bit 2: backward, mirrored in x"""

Entity = Any
"""An entity of the drawing library, which has no types."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Place:
    """What an entity inherits from the block it stands in."""

    layer: str = ""
    colour: int = 0
    deep: int = 0


class _Reader:
    """Walks through a drawing and collects strokes."""

    def __init__(self, drawing: Any) -> None:  # noqa: ANN401  # reason: the library's own object
        self._drawing = drawing
        self.strokes: list[DrawnLine] = []
        self.left_out: Counter[tuple[str, str]] = Counter()
        self.off: Counter[str] = Counter()
        self.mirrored_words = False
        self.tilted = 0
        self.heights: set[float] = set()

    def take(self, entities: Iterator[Entity], place: _Place) -> None:
        """Take every entity of a layout or a block."""
        for one in entities:
            kind = one.dxftype()
            layer = self._layer(one, place)
            if kind == "INSERT":
                self._take_block(one, place, layer)
            elif self._is_off(layer):
                self.off[layer] += 1
            elif kind in LINES:
                self._take_line(one, kind, layer, self._colour(one, place, layer))
            else:
                self.left_out[(layer, kind)] += 1
                self.mirrored_words |= kind in WORDS and _is_mirrored(one)

    def _take_block(self, insert: Entity, place: _Place, layer: str) -> None:
        """Take a block apart, once for each place of its array."""
        if place.deep >= DEEPEST_BLOCK:
            raise PartError("PART-030", block=insert.dxf.name)
        inner = _Place(layer=layer, colour=self._colour(insert, place, layer), deep=place.deep + 1)
        for one in insert.multi_insert() if insert.mcount > 1 else (insert,):
            self.take(one.virtual_entities(), inner)
        for word in insert.attribs:
            self.left_out[(self._layer(word, inner), "ATTRIB")] += 1

    def _layer(self, entity: Entity, place: _Place) -> str:
        """The layer of an entity; what a block draws on layer 0 lies on the layer of the block."""
        own = str(entity.dxf.layer)
        return place.layer if own == "0" and place.layer else own

    def _is_off(self, layer: str) -> bool:
        """True for a layer that nobody sees."""
        if layer not in self._drawing.layers:
            return False
        found = self._drawing.layers.get(layer)
        return bool(found.is_off() or found.is_frozen())

    def _colour(self, entity: Entity, place: _Place, layer: str) -> int:
        """The colour number that is seen."""
        own = int(entity.dxf.get("color", BY_LAYER))
        if own == BY_BLOCK:
            return place.colour
        if own == BY_LAYER:
            return abs(int(self._drawing.layers.get(layer).color)) if layer in self._drawing.layers else 0
        return own

    def _take_line(self, entity: Entity, kind: str, layer: str, colour: int) -> None:
        """Take one entity as a stroke."""
        way = entity.dxf.get("extrusion", (0.0, 0.0, 1.0))
        if kind not in {"LINE", "SPLINE"} and abs(abs(float(way[2])) - 1.0) > SAME_MM:
            self.tilted += 1
            self.left_out[(layer, kind)] += 1
            return
        drawn = _contour_of(entity, kind, self.heights)
        if drawn is None:
            self.left_out[(layer, kind)] += 1
            return
        check_numbers((number for corner in drawn.corners for number in corner), kind)
        number = len(self.strokes) + 1
        self.strokes.append(DrawnLine(id=str(number), layer=layer, colour=colour, contour=drawn, drawn_as=kind))
        check_count(number)


def _is_mirrored(word: Entity) -> bool:
    """True if a text reads backward."""
    backward = int(word.dxf.get("text_generation_flag", 0)) & BACKWARD if word.dxftype() != "MTEXT" else 0
    return bool(backward) != (float(word.dxf.get("extrusion", (0.0, 0.0, 1.0))[2]) < 0.0)


def _contour_of(entity: Entity, kind: str, heights: set[float]) -> Contour | None:
    """One entity as it is drawn; None for a surface or for what has no length."""
    if kind == "LINE":
        start, end = entity.dxf.start, entity.dxf.end
        heights.update((round(float(start[2]), 3), round(float(end[2]), 3)))
        return _open(((start[0], start[1], 0.0), (end[0], end[1], 0.0)))
    if kind == "CIRCLE":
        centre = entity.ocs().to_wcs(entity.dxf.center)
        heights.add(round(float(centre[2]), 3))
        radius = float(entity.dxf.radius)
        return Contour.circle((float(centre[0]), float(centre[1])), radius) if radius > 0.0 else None
    if kind == "ARC":
        return _arc(entity)
    if kind == "ELLIPSE":
        return _ellipse(entity)
    if kind == "SPLINE":
        return _spline(entity)
    return _lw_polyline(entity) if kind == "LWPOLYLINE" else _polyline(entity)


def _sense(entity: Entity) -> float:
    """1, or -1 where the entity is seen from behind and turns the other way."""
    return 1.0 if float(entity.dxf.get("extrusion", (0.0, 0.0, 1.0))[2]) > 0.0 else -1.0


def _open(corners: tuple[Corner, ...]) -> Contour | None:
    """An open chain; one whose ends meet is closed."""
    told = tuple((float(x), float(y), float(bulge)) for x, y, bulge in corners)
    return _clean(told, closed=False, true_arcs=True)


def _clean(corners: tuple[Corner, ...], *, closed: bool, true_arcs: bool) -> Contour | None:
    """A chain without corners that stand twice; None where nothing is left."""
    kept: list[Corner] = []
    for one in corners:
        if kept and math.dist(kept[-1][:2], one[:2]) == 0.0:
            kept[-1] = one
        else:
            kept.append(one)
    if len(kept) > 2 and math.dist(kept[0][:2], kept[-1][:2]) == 0.0:
        kept, closed = kept[:-1], True
    if len(kept) < 2:
        return None
    if not closed:
        kept[-1] = (*kept[-1][:2], 0.0)
    return Contour(corners=tuple(kept), closed=closed, true_arcs=true_arcs)


def _arc(entity: Entity) -> Contour | None:
    """A true arc."""
    turn = math.radians((float(entity.dxf.end_angle) - float(entity.dxf.start_angle)) % 360.0)
    ocs, (cx, cy, cz) = entity.ocs(), entity.dxf.center
    radius = float(entity.dxf.radius)
    if turn == 0.0:
        centre = ocs.to_wcs(entity.dxf.center)
        return Contour.circle((float(centre[0]), float(centre[1])), radius) if radius > 0.0 else None
    # two halves, so that an arc of nearly a full turn keeps a bulge of at most 1
    first = math.radians(float(entity.dxf.start_angle))
    angles = (first, first + turn / 2.0, first + turn)
    spots = [ocs.to_wcs((cx + radius * math.cos(one), cy + radius * math.sin(one), cz)) for one in angles]
    bulge = math.tan(turn / 8.0) * _sense(entity)
    return _open(tuple((spot[0], spot[1], bulge) for spot in spots))


def _ellipse(entity: Entity) -> Contour | None:
    """An ellipse or a part of one; a round one as true arcs."""
    centre, major, minor = entity.dxf.center, entity.dxf.major_axis, entity.minor_axis
    first, last = float(entity.dxf.start_param), float(entity.dxf.end_param)
    turn = (last - first) % (2.0 * math.pi) or 2.0 * math.pi
    axes = tuple((float(one[0]), float(one[1])) for one in (centre, major, minor))
    corners, closed, true_arcs = ellipse_corners(axes[0], axes[1], axes[2], first_rad=first, turn_rad=turn)
    return _clean(corners, closed=closed, true_arcs=true_arcs)


def _spline(entity: Entity) -> Contour | None:
    """A spline as chords."""
    try:
        found = [(float(one[0]), float(one[1])) for one in entity.flattening(DRAWN_CHORD_MM / 8.0, segments=8)]
    except (ValueError, TypeError, IndexError, ZeroDivisionError) as refused:
        raise PartError("PART-032", place="SPLINE") from refused
    return _clean(points_as_corners(found), closed=bool(entity.closed) and len(found) > 2, true_arcs=False)


def _lw_polyline(entity: Entity) -> Contour | None:
    """A light polyline with its bulges."""
    ocs, high, sense = entity.ocs(), float(entity.dxf.elevation), _sense(entity)
    corners = []
    for x, y, bulge in entity.get_points("xyb"):
        spot = ocs.to_wcs((float(x), float(y), high))
        corners.append((float(spot[0]), float(spot[1]), float(bulge) * sense))
    return _clean(tuple(corners), closed=bool(entity.closed), true_arcs=True)


def _polyline(entity: Entity) -> Contour | None:
    """An old polyline, flat or in space; a mesh is none."""
    if not (entity.is_2d_polyline or entity.is_3d_polyline):
        return None
    ocs = entity.ocs() if entity.is_2d_polyline else None
    sense, corners = _sense(entity), []
    for one in entity.vertices:
        if int(one.dxf.get("flags", 0)) & SPLINE_FRAME:
            continue
        spot = one.dxf.location if ocs is None else ocs.to_wcs(one.dxf.location)
        corners.append((float(spot[0]), float(spot[1]), float(one.dxf.get("bulge", 0.0)) * sense))
    return _clean(tuple(corners), closed=bool(entity.is_closed), true_arcs=True)


SPLINE_FRAME = 16
"""# source: DXF reference, VERTEX group code 70, bit 16: control point of a spline's frame"""

_PAIR = re.compile(rb"[ \t]*(\d*)[^\n]*\n[^\n]*\n?")
"""A group code and its value, each on a line of its own."""
BINARY = b"AutoCAD Binary DXF"
"""Sign at the start of a binary file.  # source: DXF reference, binary DXF files"""


def _loaded(content: bytes) -> Any:  # noqa: ANN401  # reason: the library's own object
    """The drawing in the library's hands."""
    from ezdxf import recover  # noqa: PLC0415  # reason: --help stays quick
    from ezdxf.lldxf.const import DXFError  # noqa: PLC0415  # reason: --help stays quick

    faults = (DXFError, ValueError, TypeError, KeyError, IndexError, AttributeError, OverflowError, EOFError)
    try:
        drawing, _ = recover.read(io.BytesIO(content))
    except faults as refused:  # reason: a damaged file fails anywhere inside the library
        raise PartError("PART-032", place=type(refused).__name__) from refused
    return drawing


def _check_blocks(drawing: Any) -> None:  # noqa: ANN401  # reason: the library's own object
    """Refuse a block that holds itself, and blocks that unfold into too many entities."""
    counted: dict[str, int] = {}

    def count(name: str, above: tuple[str, ...]) -> int:
        if name in above or len(above) > DEEPEST_BLOCK:
            raise PartError("PART-030", block=name)
        if name not in counted:
            block = drawing.blocks.get(name)
            counted[name] = 0 if block is None else sum(of(one, (*above, name)) for one in block)
        return counted[name]

    def of(entity: Entity, above: tuple[str, ...]) -> int:
        if entity.dxftype() != "INSERT":
            return 1
        return max(1, int(entity.mcount)) * max(1, count(str(entity.dxf.name).lower(), above))

    total = 0
    for one in drawing.modelspace():
        total += of(one, ())
        check_count(total)


def dxf_strokes(content: bytes) -> StrokesRead:
    """The strokes of a DXF drawing, one an entity, in the drawing's own unit.

    Parameters
    ----------
    content
        Bytes of the file, text or binary.

    Returns
    -------
    StrokesRead
        Lines and arcs of model space as they are drawn: bulges, arcs and circles true, ellipses and splines as chords
        within 0.002 of a unit; blocks taken apart. Layers that are off or frozen, paper space, words, dimensions,
        hatching and everything else that is no line is left out and told.

    Raises
    ------
    PartError
        PART-029 too large, PART-030 a block that holds itself, PART-031 a coordinate that is no number, PART-032 a
        damaged file.
    """
    check_size(content)
    if not content.startswith(BINARY):
        check_count(sum(1 for pair in _PAIR.finditer(content) if pair[1] == b"0"))
    drawing = _loaded(content)
    _check_blocks(drawing)
    reader = _Reader(drawing)
    try:
        reader.take(iter(drawing.modelspace()), _Place())
    except (ValueError, TypeError, KeyError, IndexError, AttributeError, OverflowError, ZeroDivisionError) as refused:
        raise PartError("PART-032", place=type(refused).__name__) from refused
    return StrokesRead(
        unit_told=UNITS.get(int(drawing.header.get("$INSUNITS", 0)), ""),
        strokes=tuple(reader.strokes),
        left_out=tuple(
            LeftOut(layer=layer, drawn_as=kind, count=count) for (layer, kind), count in sorted(reader.left_out.items())
        ),
        mirrored_words=reader.mirrored_words,
        findings=tuple(_findings(drawing, reader)),
    )


def _findings(drawing: Any, reader: _Reader) -> Iterator[Finding]:  # noqa: ANN401  # reason: the library's own object
    """What was left out besides words, and what was flattened."""
    paper = sum(len(layout) for layout in drawing.layouts if layout.name != "Model")
    if paper:
        yield finding("PART-041", Severity.NOTE, ("drawing",), cause="paper space", count=paper)
    for layer, count in sorted(reader.off.items()):
        yield finding("PART-042", Severity.WARN, (layer,), cause="layers off", layer=layer, count=count)
    if reader.tilted or len(reader.heights) > 1:
        yield finding("PART-043", Severity.NOTE, ("drawing",), cause="heights", count=reader.tilted)
