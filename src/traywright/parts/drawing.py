"""A customer's drawing as it was read: loops and open lines by layer and colour, in mm, nothing moved."""

from __future__ import annotations

from dataclasses import dataclass

from traywright.base import Finding
from traywright.geometry import Contour


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnLine:
    """One loop or one open line of a drawing.

    ``id`` is ``L1`` … for loops and ``K1`` … for open lines, in the order of layer, then place (left, front), so that
    it does not hang on the order of the file; ``colour`` is the number that is seen (by layer: the layer's own),
    1 to 255 as in DXF group code 62, 0 where the file gives none (SVG: the nearest of DXF 1 to 9); ``drawn_as`` names
    the entities it came from (``CIRCLE``, ``LINE``, ``path``).
    """

    id: str
    layer: str
    colour: int
    contour: Contour
    drawn_as: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """Things of one layer that are no outline: words, dimensions, title blocks, hatches, points."""

    layer: str
    drawn_as: str
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class StrokesRead:
    """What a reader of one format found, before anything is joined: one stroke an entity, in the file's own unit.

    A stroke is a ``DrawnLine`` whose id is its number in the file; ``unit_told`` is mm, cm, m, inch or empty;
    ``findings`` tell what the reader itself mended or could not take.
    """

    unit_told: str
    strokes: tuple[DrawnLine, ...]
    left_out: tuple[LeftOut, ...]
    mirrored_words: bool
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawingQuestion:
    """What must be asked about a drawing, with the answer that was taken.

    ``field`` is the place in ``enquiry.toml`` that answers it (``drawing.length_unit``), ``asks`` a key of the message
    group ``question``, ``taken`` the answer taken in words of the file.
    """

    field: str
    asks: str
    parameters: tuple[tuple[str, str], ...]
    taken: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """A drawing as read, mm, in the drawing's own place.

    ``unit_told`` is the unit that the file states, or empty; ``unit_read`` the one taken: mm, cm, m or inch;
    ``layers`` are all layers with something on them, sorted; ``mirrored_words`` is True where a text reads mirrored:
    the drawing may be seen from below.
    """

    file_name: str
    sha256: str
    unit_told: str
    unit_read: str
    loops: tuple[DrawnLine, ...]
    lines: tuple[DrawnLine, ...]
    left_out: tuple[LeftOut, ...]
    layers: tuple[str, ...]
    mirrored_words: bool
    findings: tuple[Finding, ...]
    questions: tuple[DrawingQuestion, ...]
