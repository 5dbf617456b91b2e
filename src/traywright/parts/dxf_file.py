"""A DXF drawing as strokes: lines, true arcs and curves, blocks taken apart, words and dimensions left out."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Any

from traywright.base import Finding, Severity, finding
from traywright.base.errors import PartError
from traywright.base.tolerance import DRAWN_CHORD_MM, DRAWN_MM
from traywright.parts.drawing import DrawnLine, LeftOut, StrokesRead
from traywright.parts.drawing_limits import MOST_ENTITIES, MOST_POINTS, check_count, check_numbers
from traywright.parts.dxf_loaded import Library, loaded
from traywright.parts.dxf_shapes import SHAPES, Lying, shape_of

UNITS = {1: "inch", 4: "mm", 5: "cm", 6: "m"}
"""Drawing units that are taken.  # source: DXF reference, header variable $INSUNITS"""

BY_LAYER, BY_BLOCK = 256, 0
"""# source: DXF reference, group code 62"""

DEEPEST_BLOCK = 32
"""Blocks within blocks.  # source: real drawings nest two or three deep"""

LONGEST_NAME = 255
"""Characters of a layer's name.  # source: DXF reference, symbol names"""

WORDS = frozenset({"TEXT", "MTEXT", "ATTRIB", "ATTDEF"})
BACKWARD, UPSIDE_DOWN = 2, 4
"""# source: DXF reference, TEXT group code 71: mirrored in x, mirrored in y"""

BODIES = frozenset({"3DSOLID", "BODY", "MESH", "MLINE", "POLYLINE", "REGION", "SOLID", "SURFACE", "TRACE", "HELIX"})
"""Entities that have a shape, but none that is read.  # source: DXF reference, entities section"""

FAULTS = (ArithmeticError, AssertionError, AttributeError, LookupError, TypeError, ValueError)
"""What the library raises on an entity that does not agree with the format."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Place:
    """What an entity inherits from the block it stands in, and how that block lies."""

    lying: Lying
    layer: str = ""
    colour: int = 0
    deep: int = 0


class _Reader:
    """Walks through a drawing and collects strokes."""

    def __init__(self, drawing: Library) -> None:
        self._drawing = drawing
        self._names: dict[str, str] = {}
        self._unseen = _unseen_layers(drawing)
        self._colours = {str(one.dxf.name).casefold(): abs(int(one.color)) for one in drawing.layers}
        self._points = 0
        self.strokes: list[DrawnLine] = []
        self.left_out: Counter[tuple[str, str]] = Counter()
        self.off: Counter[str] = Counter()
        self.mirrored_words = False
        self.tilted = 0
        self.heights: set[float] = set()

    def take(self, entities: Iterable[Library], place: _Place) -> None:
        """Take every entity of a layout or a block."""
        for one in entities:
            kind = str(one.dxftype())
            layer = self._layer(one, place)
            if kind == "INSERT":
                self._take_block(one, place, layer)
            elif self._is_off(one, layer):
                self.off[layer] += 1
            elif kind in SHAPES:
                self._take_line(one, kind, layer, place)
            elif kind in WORDS:
                self._take_word(one, kind, layer, place)
            else:
                self.left_out[(layer, kind)] += 1

    def _take_block(self, insert: Library, place: _Place, layer: str) -> None:
        """Take a block apart, once for each place of its array."""
        block = insert.block()
        if place.deep >= DEEPEST_BLOCK:
            raise PartError("PART-030", block=_plain(insert.dxf.name))
        if self._unseen.get(layer.casefold()) == "frozen" or insert.dxf.get("invisible", 0):
            self.off[layer] += 1
            return
        if block is None or block.block.is_xref:
            self.left_out[(layer, "INSERT")] += 1
            return
        colour = self._colour(insert, place, layer)
        matrix = _matrix_of(insert)
        for shift in _array_of(insert):
            lying = replace(place.lying, matrix=matrix * shift * place.lying.matrix)
            inner = _Place(layer=layer, colour=colour, deep=place.deep + 1, lying=lying)
            self.take((one for one in block if one.dxftype() != "ATTDEF"), inner)
        for word in insert.attribs:
            self._take_word(word, "ATTRIB", self._layer(word, place), place)

    def _layer(self, entity: Library, place: _Place) -> str:
        """The layer of an entity; what a block draws on layer 0 lies on the layer of the block."""
        own = _plain(entity.dxf.get("layer", "0"))
        own = self._names.setdefault(own.casefold(), own)
        return place.layer if own == "0" and place.layer else own

    def spell(self, layers: Iterable[str]) -> None:
        """Spell layers one way: upper and lower case are one layer."""
        for one in sorted(_plain(each) for each in layers):
            self._names.setdefault(one.casefold(), one)

    def _is_off(self, entity: Library, layer: str) -> bool:
        """True for what nobody sees."""
        return layer.casefold() in self._unseen or bool(entity.dxf.get("invisible", 0))

    def _colour(self, entity: Library, place: _Place, layer: str) -> int:
        """The colour number that is seen, 0 where none is given."""
        own = abs(int(entity.dxf.get("color", BY_LAYER)))
        if own == BY_BLOCK:
            return place.colour
        found = self._colours.get(layer.casefold(), 0) if own == BY_LAYER else own
        return found if found < BY_LAYER else 0

    def _take_word(self, entity: Library, kind: str, layer: str, place: _Place) -> None:
        """Leave a text out, and see whether it reads mirrored."""
        self.left_out[(layer, kind)] += 1
        flags = int(entity.dxf.get("text_generation_flag", 0)) if kind != "MTEXT" else 0
        turned = bool(flags & BACKWARD) != bool(flags & UPSIDE_DOWN)
        lies = place.lying.frame(entity)
        self.mirrored_words |= turned != (lies is not None and lies[0].is_mirrored)

    def _take_line(self, entity: Library, kind: str, layer: str, place: _Place) -> None:
        """Take one entity as a stroke."""
        found = shape_of(entity, kind, place.lying)
        tilted = found.tilted or place.lying.is_tilted
        self.tilted += tilted
        if found.contour is None or tilted:
            self.left_out[(layer, kind)] += 1
            return
        self.heights.update(round(one / DRAWN_MM) * DRAWN_MM for one in found.heights_mm)
        self._points += len(found.contour.corners)
        check_count(self._points, MOST_POINTS)
        number, colour = len(self.strokes) + 1, self._colour(entity, place, layer)
        stroke = DrawnLine(id=str(number), layer=layer, colour=colour, contour=found.contour, drawn_as=kind)
        self.strokes.append(stroke)


def _plain(name: object) -> str:
    """A name as it can be printed: bytes of another encoding read as Western European, nothing unprintable."""
    told = str(name)
    if any("\ud800" <= one <= "\udfff" for one in told):
        told = told.encode("utf-8", "surrogateescape").decode("cp1252", "replace")
    return "".join(one if one.isprintable() else "?" for one in told[:LONGEST_NAME])


def _unseen_layers(drawing: Library) -> dict[str, str]:
    """Layers that nobody sees, and whether they are frozen or off."""
    found = {}
    for one in drawing.layers:
        if one.is_frozen() or one.is_off():
            found[_plain(one.dxf.name).casefold()] = "frozen" if one.is_frozen() else "off"
    return found


def _matrix_of(insert: Library) -> Library:
    """How a block lies where it stands."""
    told = insert.dxf
    spots = (told.get("insert", (0.0, 0.0, 0.0)), told.extrusion, (told.xscale, told.yscale, told.zscale))
    check_numbers((float(one) for spot in spots for one in spot), "INSERT")
    check_numbers((float(told.rotation), float(told.row_spacing), float(told.column_spacing)), "INSERT")
    return insert.matrix44()


def _counts_of(insert: Library) -> tuple[int, int]:
    """Rows and columns of an array of a block; places that fall together count once."""
    told = insert.dxf
    rows = abs(int(told.row_count)) if told.row_spacing else 1
    columns = abs(int(told.column_count)) if told.column_spacing else 1
    return max(rows, 1), max(columns, 1)


def _array_of(insert: Library) -> Iterator[Library]:
    """The shift to each place of an array of a block: it turns with the block and is not scaled."""
    from ezdxf.math import Matrix44  # noqa: PLC0415  # reason: --help stays quick

    rows, columns = _counts_of(insert)
    turn, ocs = math.radians(float(insert.dxf.rotation)), insert.ocs()
    across, up = float(insert.dxf.column_spacing), float(insert.dxf.row_spacing)
    for row in range(rows):
        for column in range(columns):
            x, y = column * across, row * up
            turned = (x * math.cos(turn) - y * math.sin(turn), x * math.sin(turn) + y * math.cos(turn), 0.0)
            yield Matrix44.translate(*ocs.to_wcs(turned))


def _check_blocks(drawing: Library) -> None:
    """Refuse a block that holds itself, and blocks that unfold into too many entities, before any is unfolded."""
    counted: dict[str, int] = {}

    def count(name: str, above: tuple[str, ...]) -> int:
        if name in above or len(above) >= DEEPEST_BLOCK:
            raise PartError("PART-030", block=_plain(name))
        if name not in counted:
            block = drawing.blocks.get(name)
            inner = 0 if block is None else sum(count_of(one, (*above, name)) for one in block)
            counted[name] = min(inner, MOST_ENTITIES + 1)
        return counted[name]

    def count_of(entity: Library, above: tuple[str, ...]) -> int:
        if entity.dxftype() != "INSERT":
            return 1
        rows, columns = _counts_of(entity)
        return rows * columns * max(1, count(str(entity.dxf.name).casefold(), above))

    total = 0
    for one in drawing.modelspace():
        total += count_of(one, ())
        check_count(total)


def dxf_strokes(content: bytes, *, chord_mm: float = DRAWN_CHORD_MM) -> StrokesRead:
    """The strokes of a DXF drawing, one an entity, in the drawing's own unit.

    Parameters
    ----------
    content
        Bytes of the file, text or binary.
    chord_mm
        Largest distance of a chord from a curve that is no arc, above 0, in the drawing's own unit.

    Returns
    -------
    StrokesRead
        Lines and arcs of model space as they are drawn: bulges, arcs and circles true, ellipses and splines as chords;
        blocks taken apart. Layers that are off or frozen, paper space, words, dimensions, hatching and everything else
        that is no line is left out and told.

    Raises
    ------
    PartError
        PART-029 too large, PART-030 a block that holds itself, PART-031 a coordinate that is no number, PART-032 a
        damaged file, PART-039 nothing in model space.
    """
    drawing, lost = loaded(content)
    try:
        reader, paper = _read(drawing, chord_mm), _on_paper(drawing)
    except FAULTS as refused:  # reason: an entity that does not agree with the format fails anywhere in the library
        raise PartError("PART-032", place=type(refused).__name__) from refused
    if not len(drawing.modelspace()):
        raise PartError("PART-039", count=paper)
    return StrokesRead(
        unit_told=UNITS.get(_unit_number(drawing), ""),
        strokes=tuple(reader.strokes),
        left_out=tuple(
            LeftOut(layer=layer, drawn_as=kind, count=count) for (layer, kind), count in sorted(reader.left_out.items())
        ),
        mirrored_words=reader.mirrored_words,
        findings=tuple(_findings(reader, paper, lost)),
    )


def _unit_number(drawing: Library) -> int:
    """The unit as the header numbers it, 0 for none."""
    told = drawing.header.get("$INSUNITS", 0)
    return told if isinstance(told, int) else 0


def _read(drawing: Library, chord_mm: float) -> _Reader:
    """Everything in model space."""
    from ezdxf.math import Matrix44  # noqa: PLC0415  # reason: --help stays quick

    _check_blocks(drawing)
    reader = _Reader(drawing)
    blocks = (one for block in drawing.blocks for one in block)
    reader.spell([str(one.dxf.name) for one in drawing.layers])
    reader.spell({str(one.dxf.get("layer", "0")) for one in blocks})
    reader.take(drawing.modelspace(), _Place(lying=Lying(matrix=Matrix44(), chord_mm=chord_mm)))
    return reader


def _on_paper(drawing: Library) -> int:
    """How many things stand in paper space, its views not counted."""
    layouts = (one for one in drawing.layouts if one.name != "Model")
    return sum(one.dxftype() != "VIEWPORT" for layout in layouts for one in layout)


def _findings(reader: _Reader, paper: int, lost: int) -> Iterator[Finding]:
    """What was left out besides words, and what was flattened."""
    if paper:
        yield finding("PART-041", Severity.NOTE, ("drawing",), cause="paper space", count=paper)
    for layer, count in sorted(reader.off.items()):
        yield finding("PART-042", Severity.WARN, (layer,), cause="layers off", layer=layer, count=count)
    if reader.tilted:
        yield finding("PART-047", Severity.WARN, ("drawing",), cause="tilted", count=reader.tilted)
    if len(reader.heights) > 1:
        low, high = min(reader.heights), max(reader.heights)
        words: dict[str, Any] = {"low": f"{low:g}", "high": f"{high:g}"}
        yield finding("PART-043", Severity.NOTE, ("drawing",), cause="heights", **words)
    if lost:
        yield finding("PART-048", Severity.WARN, ("drawing",), cause="damaged", count=lost)
    bodies = sorted((layer, kind, count) for (layer, kind), count in reader.left_out.items() if kind in BODIES)
    for layer, kind, count in bodies:
        yield finding("PART-049", Severity.WARN, (layer,), cause=kind, layer=layer, kind=kind, count=count)
