"""The sheet: frame, head with what it is, foot with whose it is; the same places on every paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from traywright.base import text
from traywright.geometry import Region
from traywright.papers.blocks import SMALL_PT, Block, flowed
from traywright.papers.hatching import lines_in
from traywright.papers.lettering import PAIR_JOINT, fitted, fitted_pair, width_of_mm
from traywright.papers.marks import THICK_MM, THIN_MM, Area, Lettering, Marks, Stroke, box, moved
from traywright.papers.paper import PaperHead

PORTRAIT_MM = (210.0, 297.0)  # source: ISO 216, A4
LANDSCAPE_MM = (297.0, 210.0)  # source: ISO 216, A4
MARGIN_MM = 10.0  # source: look of the house
INSET_MM = 4.0  # source: look of the house
HEAD_MM = 24.0  # source: look of the house
BAND_MM = 6.4  # source: own choice: a line of 9.5 pt with room
FOOT_MM = 12.0  # source: look of the house
CONTINUES_MM = 2.5  # source: own choice: a line of 8 pt above the foot
CODE_MM = 18.0  # source: own choice: read from arm's length
QUIET_MM = 3.0  # source: QR code, ISO/IEC 18004: four modules stay empty around; a code of 29 modules has 0.62 each
SIDE_MM = 34.0
"""Room of the lines at the head's right end, beside the quiet zone of the code."""
PRINT_SIGNS = 12  # source: look of the house: signs of a fingerprint that people read


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One kind of paper: its size, its name in the head, lines below it, what stands at the head's ends.

    ``big`` is a word in large letters at the left end (a board's number), ``side`` are lines at the right end before
    the code; ``unit`` is the unit of its lengths where it is not the job's; ``print_name`` and ``print_value`` name the
    fingerprint of the foot.
    """

    size_mm: tuple[float, float]
    name: str
    lines: tuple[str, ...]
    print_name: str
    print_value: str
    big: str = ""
    side: tuple[str, ...] = ()
    unit: str = ""

    @property
    def width_mm(self) -> float:
        """Width between the insets."""
        return self.size_mm[0] - 2.0 * (MARGIN_MM + INSET_MM)


def short_print(fingerprint: str) -> str:
    """The signs of a fingerprint that people read, in groups of four.

    Examples
    --------
    >>> short_print("sha256:0123456789abcdef")
    '0123 4567 89ab'
    """
    signs = fingerprint.rpartition(":")[2][:PRINT_SIGNS]
    return " ".join(signs[at : at + 4] for at in range(0, len(signs), 4))


def band_words(head: PaperHead) -> str:
    """What must be seen before anything else: draft, invented; empty where neither holds."""
    words = []
    if head.draft:
        words.append(text("paper", "draft", verdict=head.verdict))
    if head.invented:
        words.append(text("paper", "invented"))
    return " · ".join(words)


def body_mm(sheet: Sheet, head: PaperHead) -> tuple[float, float]:
    """Lowest and highest y of the body on a page."""
    band = BAND_MM if band_words(head) else 0.0
    return MARGIN_MM + FOOT_MM, sheet.size_mm[1] - MARGIN_MM - HEAD_MM - band


def _code(words: str, side_mm: float) -> Marks:
    """A square code that leads back to the job, from its lower left corner."""
    import segno  # noqa: PLC0415  # reason: --help stays quick

    rows = [tuple(one) for one in segno.make(words, error="m", micro=False, boost_error=False).matrix]
    step = side_mm / len(rows)
    bars = tuple(
        box(
            round(first * step, 3),
            round(side_mm - (line + 1) * step, 3),
            round(end * step, 3),
            round(side_mm - line * step, 3),
        )
        for line, bits in enumerate(rows)
        for first, end in _runs(bits)
    )
    return (Area(rings_mm=bars, fill="ink"),)


def _runs(bits: Sequence[int]) -> tuple[tuple[int, int], ...]:
    """Stretches of dark squares in a row of the code, first and one past the last."""
    steps = [after - before for before, after in zip((0, *map(bool, bits)), (*map(bool, bits), 0), strict=True)]
    starts = [at for at, step in enumerate(steps) if step > 0]
    return tuple(zip(starts, [at for at, step in enumerate(steps) if step < 0], strict=True))


def _band(sheet: Sheet, head: PaperHead) -> Marks:
    """The hatched strip under the head that says draft or invented."""
    words = band_words(head)
    if not words:
        return ()
    high = sheet.size_mm[1] - MARGIN_MM - HEAD_MM
    left, right = MARGIN_MM, sheet.size_mm[0] - MARGIN_MM
    strip = Region.rectangle(left, high - BAND_MM, right, high)
    hatch = lines_in(strip, pitch_mm=2.2, angle_deg=45.0, ink="red" if head.draft else "ochre", width_mm=0.3)
    told, size = fitted(words, right - left - 30.0, 10.5, "strong")
    middle = (left + right) / 2.0
    half = width_of_mm(told, size, "strong") / 2.0 + 3.0
    return (
        *hatch,
        Area(rings_mm=(box(middle - half, high - BAND_MM, middle + half, high),), fill="sheet"),
        Lettering(text=told, at_mm=(middle, high - BAND_MM + 1.9), size_pt=size, voice="strong", anchor="middle"),
        Stroke(points_mm=((left, high - BAND_MM), (right, high - BAND_MM)), width_mm=THICK_MM),
    )


def _fitted_line(words: str, within_mm: float, size_pt: float) -> tuple[str, float]:
    """A line that fits; of two things joined by a point both stay seen."""
    first, _, last = words.rpartition(PAIR_JOINT)
    return fitted_pair(first, last, within_mm, size_pt) if first else fitted(words, within_mm, size_pt)


def _head(sheet: Sheet, head: PaperHead) -> Marks:
    """What it is, the code, and the lines that belong to it."""
    left, right, top = MARGIN_MM, sheet.size_mm[0] - MARGIN_MM, sheet.size_mm[1] - MARGIN_MM
    low = top - HEAD_MM
    marks: list[Lettering | Stroke] = [Stroke(points_mm=((left, low), (right, low)), width_mm=THICK_MM)]
    start = left + INSET_MM
    if sheet.big:
        told, size = fitted(sheet.big, 26.0, 40.0, "strong")
        marks.append(
            Lettering(text=told, at_mm=(left + 16.0, low + 7.4), size_pt=size, voice="strong", anchor="middle")
        )
        marks.append(Stroke(points_mm=((left + 32.0, low), (left + 32.0, top)), width_mm=THIN_MM))
        start = left + 36.0
    code_left = right - QUIET_MM - CODE_MM
    side_left = code_left - (SIDE_MM if sheet.side else 0.0)
    room = side_left - start - QUIET_MM
    told, size = fitted(sheet.name, room, 16.0, "judgement")
    marks.append(Lettering(text=told, at_mm=(start, top - 8.0), size_pt=size, voice="judgement"))
    for number, words in enumerate(sheet.lines[:2]):
        told, size = _fitted_line(words, room, 9.5)
        marks.append(Lettering(text=told, at_mm=(start, top - 14.0 - 5.2 * number), size_pt=size, ink="ink-2"))
    if sheet.side:
        marks.append(Stroke(points_mm=((side_left, low), (side_left, top)), width_mm=THIN_MM))
    for number, words in enumerate(sheet.side[:3]):
        voice, wanted = ("strong", 14.0) if number == 1 else ("facts", 9.5)
        told, size = fitted(words, SIDE_MM - 2.5 - QUIET_MM, wanted, voice)
        marks.append(Lettering(text=told, at_mm=(side_left + 2.5, top - 6.4 - 6.6 * number), size_pt=size, voice=voice))
    words = text("paper", "code", number=head.number, revision=head.revision, paper=sheet.name, print=sheet.print_value)
    return (*marks, *moved(_code(words, CODE_MM), code_left, low + QUIET_MM))


def _foot(sheet: Sheet, head: PaperHead, page: int, pages: int) -> Marks:
    """The title block: job and revision, fingerprint, verdict, date, release, unit, page."""
    left, right = MARGIN_MM, sheet.size_mm[0] - MARGIN_MM
    top = MARGIN_MM + FOOT_MM
    cells = (
        (text("foot", "job"), f"{head.number}{PAIR_JOINT}{head.revision}", 0.20),
        (sheet.print_name, short_print(sheet.print_value), 0.19),
        (text("foot", "verdict"), head.verdict, 0.26),
        (text("foot", "dated"), head.dated or text("customer_page", "undated"), 0.125),
        (text("foot", "release"), head.release, 0.085),
        (text("foot", "units"), text("foot", sheet.unit or head.length_shown), 0.06),
        (text("foot", "page"), f"{page} / {pages}", 0.08),
    )
    marks: list[Lettering | Stroke] = [Stroke(points_mm=((left, top), (right, top)), width_mm=THICK_MM)]
    at = left
    for name, value, share in cells:
        wide = (right - left) * share
        label, size = fitted(name, wide - 3.0, 8.0)
        marks.append(Lettering(text=label, at_mm=(at + 2.0, top - 4.2), size_pt=size, ink="ink-2"))
        told, size = _fitted_line(value, wide - 3.0, 9.5)
        marks.append(Lettering(text=told, at_mm=(at + 2.0, top - 9.2), size_pt=size))
        at += wide
        if at < right - 1.0:
            marks.append(Stroke(points_mm=((at, MARGIN_MM), (at, top)), width_mm=THIN_MM))
    return tuple(marks)


def framed(sheet: Sheet, head: PaperHead, bodies: Sequence[Marks]) -> tuple[Marks, ...]:
    """Whole pages: frame, head, band, foot, and the body in page coordinates."""
    frame = Area(
        rings_mm=(box(MARGIN_MM, MARGIN_MM, sheet.size_mm[0] - MARGIN_MM, sheet.size_mm[1] - MARGIN_MM),),
        width_mm=THICK_MM,
    )
    above = (*_head(sheet, head), *_band(sheet, head))
    return tuple(
        (frame, *above, *body, *_foot(sheet, head, number, len(bodies))) for number, body in enumerate(bodies, start=1)
    )


def put(block: Block, sheet: Sheet, head: PaperHead) -> Marks:
    """A block at the top of the body."""
    _, top = body_mm(sheet, head)
    return moved(block.marks, MARGIN_MM + INSET_MM, top - 2.5)


def room_mm(sheet: Sheet, head: PaperHead) -> float:
    """Height that blocks may take on a page."""
    low, high = body_mm(sheet, head)
    return high - low - 5.0


def paged(blocks: Sequence[Block], sheet: Sheet, head: PaperHead) -> tuple[Marks, ...]:
    """Blocks on as many pages as they take; each page but the last says that it goes on.

    Parameters
    ----------
    blocks
        What is to be placed, in reading order.
    sheet, head
        Kind of paper and whose it is; they decide how much room a page has.
    """
    room = room_mm(sheet, head) - CONTINUES_MM
    bodies = [put(one, sheet, head) for one in flowed(blocks, room, room)]
    at = (sheet.size_mm[0] - MARGIN_MM - INSET_MM, MARGIN_MM + FOOT_MM + 1.3)
    words = text("paper", "continues")
    onward = Lettering(text=words, at_mm=at, size_pt=SMALL_PT, ink="ink-2", anchor="right")
    return (*((*one, onward) for one in bodies[:-1]), *bodies[-1:])
