"""A customer's drawing, whatever its format: in millimetres, joined, words and dimensions left out."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import cache

from traywright.base import Finding, Severity, finding, nearest, sha256_of_bytes, text
from traywright.base.errors import PartError
from traywright.base.tolerance import DRAWN_CHORD_MM
from traywright.catalogue import table
from traywright.parts.drawing import Drawing, DrawingQuestion, DrawnLine, LeftOut, StrokesRead
from traywright.parts.drawing_unit import UnitRead, unit_of_drawing
from traywright.parts.dxf_loaded import BINARY
from traywright.parts.joined import Joined, joined

WORDS = "drawing_words"
LONGEST_NAME = 255
"""Characters of a file's name in a sentence.  # source: what file systems allow, from memory"""
MOST_LISTED = 30
"""Layers that a sentence names.  # source: ours"""
GZIP = b"\x1f\x8b"
"""How a packed SVG begins.  # source: RFC 1952, 2.3.1"""
_WORD = re.compile(r"[^\W\d_]+")
_SIGNS = {
    b"AC10": "DWG",
    b"%PDF": "PDF",
    b"PK\x03\x04": "ZIP",
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
        PART-028 no drawing, PART-029 too large, PART-030 to PART-032 damaged or hostile, PART-033 and PART-039 nothing
        to cut, PART-034 no unit in which it is as large as a thing; PART-050 to PART-055 the same for SVG.
    """
    read = _strokes(content, file_name, DRAWN_CHORD_MM)
    proposed = _proposed(read, leave_out, keep_layers)
    kept = _kept(read, proposed)
    if not kept:
        raise PartError("PART-033", file=_short(file_name), layers=_listed(proposed) or "-")
    unit = unit_of_drawing(kept, read.unit_told, length_unit, board_mm)
    if unit.mm_per_number_mm > 1.0 and not all(one.contour.true_arcs for one in kept):
        # chords are as fine as the file's unit asks for: 0.002 of an inch would be 0.05 mm
        read = _strokes(content, file_name, DRAWN_CHORD_MM / unit.mm_per_number_mm)
        kept = _kept(read, proposed)
    found = joined(replace(one, contour=one.contour.scaled(unit.mm_per_number_mm)) for one in kept)
    return Drawing(
        file_name=file_name,
        sha256=sha256_of_bytes(content),
        unit_told=read.unit_told,
        unit_read=unit.unit,
        loops=found.loops,
        lines=found.lines,
        left_out=tuple(_left_out(read, proposed)),
        layers=tuple(sorted({one.layer for one in (*found.loops, *found.lines)})),
        mirrored_words=read.mirrored_words,
        findings=(*read.findings, *unit.findings, *found.findings, *_curves(found), *_misnamed(read, leave_out)),
        questions=tuple(_questions(unit, _not_cut(read, kept, keep_layers), leave_out)),
    )


def _short(file_name: str) -> str:
    """A file's name as a sentence can carry it."""
    return "".join(one if one.isprintable() else "?" for one in file_name)[:LONGEST_NAME]


def _strokes(content: bytes, file_name: str, chord_mm: float) -> StrokesRead:
    """The strokes of a file by what it holds, not by its name."""
    start = content[:1024].lstrip(b"\xef\xbb\xbf \t\r\n")
    kind = next((told for sign, told in _SIGNS.items() if start.startswith(sign)), "")
    if start.startswith((b"<", GZIP)):
        from traywright.parts.svg_file import svg_strokes  # noqa: PLC0415  # reason: --help stays quick

        return svg_strokes(content)
    if kind or (b"SECTION" not in content and not content.startswith(BINARY)):
        kind = kind or text("drawing_kind", "unknown" if start else "empty")
        raise PartError("PART-028", file=_short(file_name), kind=kind)
    from traywright.parts.dxf_file import dxf_strokes  # noqa: PLC0415  # reason: --help stays quick

    return dxf_strokes(content, chord_mm=chord_mm)


def _kept(read: StrokesRead, proposed: frozenset[str]) -> tuple[DrawnLine, ...]:
    """Strokes on layers that are cut."""
    return tuple(one for one in read.strokes if one.layer not in proposed)


def _listed(layers: Iterable[str]) -> str:
    """Layers in one line; a drawing of very many layers names the first."""
    told = sorted(layers)
    return ", ".join(told[:MOST_LISTED]) + (" …" if len(told) > MOST_LISTED else "")


@cache
def _words(kind: str) -> frozenset[str]:
    """Words of one kind that layers are called by."""
    return frozenset(row.id.casefold() for row in table(WORDS).having("kind", kind))


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
    return any(one.casefold() in _words(kind) for one in _WORD.findall(layer))


def _proposed(read: StrokesRead, told: tuple[str, ...], kept: tuple[str, ...]) -> frozenset[str]:
    """Layers that are not cut: those told, and where none is told those called by such a word."""
    layers = {one.layer for one in read.strokes}
    out, cut = {one.casefold() for one in told}, {one.casefold() for one in kept}
    if told:
        return frozenset(one for one in layers if one.casefold() in out)
    return frozenset(one for one in layers if is_named(one, "leave_out") and one.casefold() not in cut)


def _not_cut(read: StrokesRead, kept: tuple[DrawnLine, ...], asked: tuple[str, ...]) -> frozenset[str]:
    """Layers of which nothing is cut: those proposed, and those that hold words only."""
    cut = {one.layer for one in kept}
    named = {one.casefold() for one in asked}
    layers = {one.layer for one in read.left_out} | {one.layer for one in read.strokes}
    return frozenset(one for one in layers if one not in cut and one.casefold() not in named)


def _misnamed(read: StrokesRead, told: tuple[str, ...]) -> Iterator[Finding]:
    """Layers that were to be left out and are not there."""
    layers = sorted({one.layer for one in read.left_out} | {one.layer for one in read.strokes})
    known = {one.casefold() for one in layers}
    for one in told:
        if one.casefold() not in known:
            near = nearest(one, layers)
            yield finding("PART-046", Severity.NOTE, ("drawing",), cause="leave_out", layer=one, near=near)


def _left_out(read: StrokesRead, proposed: frozenset[str]) -> Iterator[LeftOut]:
    """Everything that is not cut, by layer and sort."""
    yield from read.left_out
    lines = [(one.layer, one.drawn_as) for one in read.strokes if one.layer in proposed]
    for layer, kind in sorted(set(lines)):
        yield LeftOut(layer=layer, drawn_as=kind, count=lines.count((layer, kind)))


def _curves(found: Joined) -> Iterator[Finding]:
    """Curves that are no arcs were taken as chords."""
    smooth = [one for one in found.loops if not one.contour.true_arcs]
    for one in smooth:
        yield finding("PART-044", Severity.NOTE, (one.id,), cause="chords", count=len(smooth), layer=one.layer)


def _questions(unit: UnitRead, not_cut: frozenset[str], told: tuple[str, ...]) -> Iterator[DrawingQuestion]:
    """What must be asked, with the answer that was taken."""
    if unit.asked:
        yield DrawingQuestion(
            field="drawing.length_unit", asks="length_unit", parameters=unit.readings, taken=unit.unit
        )
    if not_cut and not told:
        layers = ", ".join(sorted(not_cut))
        shown = (("layers", _listed(not_cut)),)
        yield DrawingQuestion(field="drawing.leave_out", asks="leave_out", parameters=shown, taken=layers)
