"""The packing card: layers spread upward by number, each tray from above with its parts, ticks, mass, people."""

from __future__ import annotations

from traywright.base import Finding, natural_key, shown, text
from traywright.papers.drawing import plan
from traywright.papers.grounds import Book, book_of, bracketed, counted
from traywright.papers.lettering import fitted, wrapped
from traywright.papers.marks import THIN_MM, Area, Lettering, Marks, Stroke, box, moved
from traywright.papers.paper import Paper, PapersAsked
from traywright.papers.pdf import pdf_of
from traywright.papers.sheet import LANDSCAPE_MM, MARGIN_MM, Sheet, body_mm, framed
from traywright.papers.signs import handling_marks, lifting_sign, one_person_crossed
from traywright.papers.stack import layer_words, spread_stack, stack_size_mm
from traywright.trays.tray import Tray

STACK_WIDE_MM = 104.0
TICK_MM = 5.2
TICK_STEP_MM = 7.4
PANELS = 4
FEW_PANELS = 2
"""So many panels take the whole width each."""
AID_CODES = frozenset({"PRO-051", "PRO-053"})
TWO_CODES = frozenset({"PRO-050"})


def _panel_mm(height_mm: float, count: int) -> tuple[float, float]:
    """Width and height of a panel, if there are so many."""
    wide = LANDSCAPE_MM[0] - 2.0 * MARGIN_MM - STACK_WIDE_MM
    return wide if count <= FEW_PANELS else wide / 2.0, height_mm / 2.0


def _ticks(count: int, wide_mm: float) -> tuple[Marks, float]:
    """One square a part, in rows, from the upper left corner; and their height."""
    a_row = max(1, int((wide_mm + TICK_STEP_MM - TICK_MM) / TICK_STEP_MM))
    step = TICK_STEP_MM if count <= 2 * a_row else TICK_STEP_MM * 0.62
    side = TICK_MM if count <= 2 * a_row else TICK_MM * 0.62
    a_row = max(1, int((wide_mm + step - side) / step))
    marks = tuple(
        Area(
            rings_mm=(
                box(
                    number % a_row * step,
                    -(number // a_row) * step - side,
                    number % a_row * step + side,
                    -(number // a_row) * step,
                ),
            ),
            width_mm=0.4,
        )
        for number in range(count)
    )
    return marks, (-(-count // a_row)) * step


def _panel(tray: Tray, number: str, asked: PapersAsked, size_mm: tuple[float, float]) -> Marks:
    """One tray from above with its parts and ticks, from the lower left corner of its panel."""
    wide, high = size_mm
    room = wide - 12.0
    ticks, deep = _ticks(len(tray.cells), room)
    width, depth = tray.outline.size_mm
    scale = min(room / width, (high - deep - 21.0) / depth)
    poses = {one.part.id: one for one in asked.poses}
    name, size = fitted(f"{tray.id} {tray.name}", room - 34.0, 9.5)
    top = high - 10.0
    drawn = moved(plan(tray, poses, scale), (wide - width * scale) / 2.0, top - 3.5 - depth * scale)
    return (
        Lettering(text=number, at_mm=(6.0, top), size_pt=20.0, voice="strong"),
        Lettering(text=name, at_mm=(20.0, top + 0.6), size_pt=size),
        Lettering(
            text=text("packing_card", "count", count=len(tray.cells)),
            at_mm=(wide - 6.0, top),
            size_pt=16.0,
            voice="strong",
            anchor="right",
        ),
        *drawn,
        *moved(ticks, 6.0, top - 3.5 - depth * scale - 3.0),
    )


def _indices(asked: PapersAsked) -> tuple[str, ...]:
    """Lifting index at each place, in words."""
    found = [one for one in asked.figures if one.path.startswith("protection/lift/") and one.path.endswith("/index")]
    book = dict(asked.numbers)
    return tuple(
        text(
            "packing_card",
            "index",
            index=bracketed(shown(one.value, 2, limit=1.0), one.status.word),
            place=one.path.split("/")[2],
        )
        + f" ({book.get(one.path, '')})"
        for one in found
    )


def _lift_words(asked: PapersAsked, codes: set[str]) -> tuple[str, int]:
    """How it is lifted and by how many."""
    if not any(one.path.startswith("protection/lift/") for one in asked.figures):
        return text("packing_card", "lift_unknown"), 1
    if codes & AID_CODES:
        return text("packing_card", "aid"), 2
    return (text("packing_card", "people"), 2) if codes & TWO_CODES else (text("packing_card", "one"), 1)


def _codes(findings: tuple[Finding, ...]) -> set[str]:
    """Codes of all findings."""
    return {one.code for one in findings}


def _mass_panel(asked: PapersAsked, book: Book, size_mm: tuple[float, float]) -> Marks:
    """Gross mass, people, marks for handling, from the lower left corner of the panel."""
    wide, high = size_mm
    words, people = _lift_words(asked, _codes(asked.findings))
    gross = book.figures.get("design/pack/gross")
    status = gross.status.word if gross is not None else ""
    mass = text("packing_card", "gross", mass=bracketed(shown(asked.pack.gross_kg + 0.049, 1), status))
    middle = wide / 2.0
    marks: Marks = (
        Lettering(text=mass, at_mm=(middle, high - 12.0), size_pt=22.0, voice="strong", anchor="middle"),
        Lettering(
            text=f"{words} · {book.number('design/pack/gross')}",
            at_mm=(middle, high - 17.6),
            size_pt=9.5,
            anchor="middle",
        ),
        *moved(lifting_sign(people), middle - 15.0, high - 42.0),
        *moved(handling_marks(), wide - 29.0, high - 42.0),
    )
    if people > 1:
        marks += moved(one_person_crossed(), 6.0, 4.0)
    left = 34.0 if people > 1 else 6.0
    told = (*_indices(asked), text("packing_card", "lifting"))
    lines = [line for one in told for line in wrapped(one, wide - left - 4.0, 8.0)]
    marks += tuple(
        Lettering(text=one, at_mm=(left, 27.5 - 3.6 * number), size_pt=8.0) for number, one in enumerate(lines)
    )
    return marks


def _stack(asked: PapersAsked, high_mm: float) -> Marks:
    """The stack with its numbers and names, from the lower left corner of its field."""
    width, height = stack_size_mm(asked)
    names = layer_words(asked)
    room = high_mm - 12.0 - 4.4 * len(names)
    scale = min((STACK_WIDE_MM - 28.0) / width, room / height)
    marks: Marks = moved(spread_stack(asked, scale), 10.0, 8.0 + 4.4 * len(names))
    up = (Stroke(points_mm=((5.0, 8.0 + 4.4 * len(names)), (5.0, high_mm - 9.0)), width_mm=1.0),)
    head = ((5.0, high_mm - 3.0), (3.2, high_mm - 9.0), (6.8, high_mm - 9.0))
    marks += (*up, Area(rings_mm=(head,), fill="ink"))
    for number, (word, name, thick) in enumerate(reversed(names)):
        y = 4.4 * (len(names) - number - 1) + 4.0
        told, size = fitted(name, STACK_WIDE_MM - 32.0, 8.5)
        marks += (
            Lettering(text=word, at_mm=(9.0, y), size_pt=8.5, voice="strong", anchor="right"),
            Lettering(text=told, at_mm=(11.0, y), size_pt=size),
            Lettering(text=f"{thick:g} mm", at_mm=(STACK_WIDE_MM - 6.0, y), size_pt=8.5, anchor="right"),
        )
    return marks


def _celled(asked: PapersAsked) -> list[tuple[str, Tray]]:
    """Trays with cells and the number of their layer, from the bottom up."""
    numbers = {one.id: str(number) for number, one in enumerate(asked.pack.layers, start=1)}
    found = [one for one in asked.trays if one.cells]
    ordered = sorted(found, key=lambda one: natural_key(numbers.get(one.id, one.id)))
    return [(numbers.get(one.id, one.id), one) for one in ordered]


def _sheet(asked: PapersAsked) -> Sheet:
    """Head and foot of the card."""
    counts: dict[str, int] = {}
    for tray in asked.trays:
        for cell in tray.cells:
            counts[cell.part] = counts.get(cell.part, 0) + tray.per_pack
    names = {one.part.id: one.part.name for one in asked.poses}
    parts = ", ".join(text("packing_card", "parts_of", name=names[key], count=count) for key, count in counts.items())
    return Sheet(
        size_mm=LANDSCAPE_MM,
        name=f"{text('paper_name', 'packing')} · {asked.pack.kits} ×",
        lines=(
            f"{asked.head.title} · {asked.head.customer}" if asked.head.customer else asked.head.title,
            text("packing_card", "subtitle", kits=counted("kits", asked.pack.kits), parts=parts),
        ),
        print_name=text("foot", "trays"),
        print_value=asked.head.fingerprint_trays,
    )


def packing_card(asked: PapersAsked) -> Paper:
    """The packing card as a PDF: a page for each four panels, mass and people in the last."""
    head, sheet, book = asked.head, _sheet(asked), book_of(asked)
    low, top = body_mm(sheet, head)
    trays = _celled(asked)
    size = _panel_mm(top - low, len(trays) + 1)
    panels = [_panel(tray, number, asked, size) for number, tray in trays]
    panels.append(_mass_panel(asked, book, size))
    start, right = MARGIN_MM + STACK_WIDE_MM, LANDSCAPE_MM[0] - MARGIN_MM
    columns = round((right - start) / size[0])
    lines: Marks = (
        *(
            Stroke(points_mm=((start + number * size[0], low), (start + number * size[0], top)), width_mm=THIN_MM)
            for number in range(columns)
        ),
        Stroke(points_mm=((start, low + size[1]), (right, low + size[1])), width_mm=THIN_MM),
    )
    stack = moved(_stack(asked, top - low), MARGIN_MM, low)
    bodies = []
    for first in range(0, len(panels), PANELS):
        body: Marks = (*stack, *lines)
        for number, one in enumerate(panels[first : first + PANELS]):
            body += moved(one, start + number % columns * size[0], low + (1 - number // columns) * size[1])
        bodies.append(body)
    content = pdf_of(
        framed(sheet, head, bodies),
        width_mm=LANDSCAPE_MM[0],
        height_mm=LANDSCAPE_MM[1],
        title=f"{text('paper_name', 'packing')} {head.number} {head.revision}",
        subject=head.verdict,
    )
    return Paper(name="packing", file="papers/packing.pdf", content=content)
