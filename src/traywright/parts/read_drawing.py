"""A customer's drawing, whatever its format: in millimetres, joined, words and dimensions left out."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import cache

from traywright.base import Finding, Severity, finding, sha256_of_bytes
from traywright.base.errors import PartError
from traywright.catalogue import table
from traywright.parts.drawing import Drawing, DrawingQuestion, DrawnLine, LeftOut, StrokesRead
from traywright.parts.drawing_unit import UnitRead, unit_of_drawing
from traywright.parts.dxf_file import dxf_strokes
from traywright.parts.joined import joined

WORDS = "drawing_words"
_WORD = re.compile(r"[^\W\d_]+")
_SIGNS = {
    b"AC10": "DWG",
    b"%PDF": "PDF",
    b"PK\x03\x04": "ZIP",
    b"\x1f\x8b": "GZIP",
    b"\x89PNG": "PNG",
    b"ISO-10303": "STEP",
}
"""How files of other kinds begin.  # source: their own specifications, from memory"""


def read_drawing(
    content: bytes,
    file_name: str,
    *,
    length_unit: str,
    leave_out: tuple[str, ...],
    keep_layers: tuple[str, ...] = (),
    board_mm: tuple[float, float],
) -> Drawing:
    """A drawing as loops and open lines in millimetres; nothing is moved, rounded or improved.

    Parameters
    ----------
    content
        Bytes of a DXF or SVG file.
    file_name
        Its name, for the record.
    length_unit
        ``file``, or the unit of its numbers: mm, cm, m, inch.
    leave_out
        Layers that are not cut; once told, nothing is asked about layers of words and dimensions.
    keep_layers
        Layers that are cut whatever they are called.
    board_mm
        Length and width of the board: by it a size is believed or not.

    Returns
    -------
    Drawing
        With findings of what was mended and left out, and questions with the answers that were taken.

    Raises
    ------
    PartError
        PART-028 no drawing, PART-029 too large, PART-030 to PART-032 damaged or hostile, PART-033 nothing to cut,
        PART-034 no unit in which it is as large as a thing.
    """
    read = _strokes(content, file_name)
    proposed = _proposed(read.strokes, leave_out, keep_layers)
    kept = tuple(one for one in read.strokes if one.layer not in proposed)
    if not kept:
        raise PartError("PART-033", file=file_name, layers=", ".join(sorted(proposed)) or "-")
    unit = unit_of_drawing(kept, read.unit_told, length_unit, board_mm)
    found = joined(replace(one, contour=one.contour.scaled(unit.ratio)) for one in kept)
    out = tuple(_left_out(read, proposed))
    return Drawing(
        file_name=file_name,
        sha256=sha256_of_bytes(content),
        unit_told=read.unit_told,
        unit_read=unit.unit,
        loops=found.loops,
        lines=found.lines,
        left_out=out,
        layers=tuple(sorted({one.layer for one in (*found.loops, *found.lines)})),
        mirrored_words=read.mirrored_words,
        findings=(*read.findings, *unit.findings, *found.findings, *_curves(found.loops)),
        questions=tuple(_questions(unit, proposed | {one.layer for one in read.left_out}, leave_out)),
    )


def _strokes(content: bytes, file_name: str) -> StrokesRead:
    """The strokes of a file by what it holds, not by its name."""
    start = content[:1024].lstrip(b"\xef\xbb\xbf \t\r\n")
    for sign, kind in _SIGNS.items():
        if start.startswith(sign):
            raise PartError("PART-028", file=file_name, kind=kind)
    if start.startswith(b"<"):
        from traywright.parts.svg_file import svg_strokes  # noqa: PLC0415  # reason: --help stays quick

        return svg_strokes(content)
    if b"SECTION" not in content and not content.startswith(b"AutoCAD Binary DXF"):
        raise PartError("PART-028", file=file_name, kind="?")
    return dxf_strokes(content)


@cache
def _words(kind: str) -> frozenset[str]:
    """Words of one kind that layers are called by."""
    return frozenset(row.id for row in table(WORDS).having("kind", kind))


def is_named(layer: str, kind: str) -> bool:
    """True if a layer's name holds a word of a kind: ``leave_out``, ``outline`` or ``no_depth``.

    Parameters
    ----------
    layer
        Name of the layer.
    kind
        A kind of the table ``drawing_words``.

    Examples
    --------
    >>> is_named("A-DIM_25", "leave_out"), is_named("DIMPLE", "leave_out")
    (True, False)
    """
    return any(one.lower() in _words(kind) for one in _WORD.findall(layer))


def _proposed(strokes: Iterable[DrawnLine], told: tuple[str, ...], kept: tuple[str, ...]) -> frozenset[str]:
    """Layers that are not cut: those told, and where none is told those called by such a word."""
    cut = {one.lower() for one in kept}
    out = {one.lower() for one in told}
    layers = {one.layer for one in strokes}
    if told:
        return frozenset(one for one in layers if one.lower() in out)
    return frozenset(one for one in layers if is_named(one, "leave_out") and one.lower() not in cut)


def _left_out(read: StrokesRead, proposed: frozenset[str]) -> Iterator[LeftOut]:
    """Everything that is not cut, by layer and sort."""
    yield from read.left_out
    lines = [(one.layer, one.drawn_as) for one in read.strokes if one.layer in proposed]
    for layer, kind in sorted(set(lines)):
        yield LeftOut(layer=layer, drawn_as=kind, count=lines.count((layer, kind)))


def _curves(loops: tuple[DrawnLine, ...]) -> Iterator[Finding]:
    """Curves that are no arcs were taken as chords."""
    smooth = [one for one in loops if not one.contour.true_arcs]
    for one in smooth:
        yield finding("PART-044", Severity.NOTE, (one.id,), cause="chords", count=len(smooth), layer=one.layer)


def _questions(unit: UnitRead, proposed: frozenset[str], told: tuple[str, ...]) -> Iterator[DrawingQuestion]:
    """What must be asked, with the answer that was taken."""
    if unit.asked:
        yield DrawingQuestion(
            field="drawing.length_unit", asks="length_unit", parameters=unit.readings, taken=unit.unit
        )
    if proposed and not told:
        layers = ", ".join(sorted(proposed))
        yield DrawingQuestion(
            field="drawing.leave_out", asks="leave_out", parameters=(("layers", layers),), taken=layers
        )
