"""The customer's page of a drawing that is cut as it is: picture, depths, what was found, price."""

from __future__ import annotations

from traywright.base import Severity, text
from traywright.papers.blocks import SMALL_PT, Block, Cell, Column, heading, paragraph, rule, stacked, table
from traywright.papers.drawing import SCALES, plan, scale_words, size_across, size_up
from traywright.papers.inks import depth_ink
from traywright.papers.marks import Area, Lettering, Marks, box, moved
from traywright.papers.paper import DrawnPapersAsked, DrawnTray, Paper
from traywright.papers.pdf import pdf_of
from traywright.papers.sheet import PORTRAIT_MM, Sheet, framed, paged
from traywright.papers.told import told

PICTURE_MM = (113.0, 84.0)
"""Room of the picture of one tray."""
SIZE_MM = 12.0
"""Room of a size beside it."""
TABLE_MM = 54.0
"""Width of the table of depths, at the right of the picture."""
MOST_LINES = 14
"""Findings that are told in a line each; the rest is counted."""
CM3_MM3 = 1000.0
ROOMS = ("PART", "TRAY", "QUO")
"""Rooms whose findings a customer can answer; what the machine and the boards ask is the shop's."""


def _picture(one: DrawnTray) -> Block:
    """The tray from above at a whole scale, with its size."""
    tray = one.tray
    width, depth = tray.outline.size_mm
    scale = min(PICTURE_MM[0] / width, PICTURE_MM[1] / depth)
    scale = next((each for each in SCALES if each <= scale), scale)
    wide, high = width * scale, depth * scale
    drawn: Marks = moved(plan(tray, {}, scale, labels="cell"), SIZE_MM, -high)
    drawn += size_across(SIZE_MM, SIZE_MM + wide, -high - 6.0, f"{width:.5g}", from_mm=-high)
    drawn += size_up(-high, 0.0, SIZE_MM - 5.0, f"{depth:.5g}", from_mm=SIZE_MM)
    words = text("customer_page", "plan", tray=tray.id, scale=scale_words(scale))
    name = Lettering(text=words, at_mm=(SIZE_MM, -high - 12.0), size_pt=SMALL_PT, ink="ink-2")
    return Block(height_mm=high + 14.0, marks=moved((*drawn, name), 0.0, -2.0))


def _depths(one: DrawnTray) -> Block:
    """Each final depth with its tint, floor and area, and what is taken away in all."""
    tray = one.tray
    shares = (("", 0.16), ("depth", 0.29), ("floor", 0.2), ("area", 0.35))
    columns = tuple(
        Column(
            title=text("customer_page", key) if key else "",
            width_mm=TABLE_MM * share,
            anchor="right" if key == "area" else "left",
        )
        for key, share in shares
    )
    rows: list[tuple[Cell | str, ...]] = []
    for deep_mm, area_mm2 in zip(one.depths_mm, one.ending_mm2, strict=True):
        floor_mm = tray.thickness_mm - deep_mm
        patch = Area(rings_mm=(box(0.0, -3.4, 7.0, -0.8),), fill=depth_ink(deep_mm, tray.thickness_mm), width_mm=0.2)
        through = floor_mm <= 0.0
        rows.append(
            (
                Cell(marks=(patch,), height_mm=3.4),
                text("customer_page", "through") if through else f"{deep_mm:.5g}",
                text("paper", "none") if through else f"{floor_mm:.5g}",
                f"{area_mm2:.2f}",
            )
        )
    total = text("customer_page", "total", area=f"{one.open_mm2:.2f}", volume=f"{one.removed_mm3 / CM3_MM3:.1f}")
    return stacked(
        (
            *table(columns, rows, size_pt=SMALL_PT),
            paragraph(total, TABLE_MM, size_pt=SMALL_PT, voice="strong"),
        )
    )


def _beside(one: DrawnTray, width_mm: float) -> Block:
    """The picture with the table of depths at its right."""
    picture, depths = _picture(one), _depths(one)
    return Block(
        height_mm=max(picture.height_mm, depths.height_mm) + 1.0,
        marks=(*picture.marks, *moved(depths.marks, width_mm - TABLE_MM, 0.0)),
    )


def _facts(asked: DrawnPapersAsked, width_mm: float) -> tuple[Block, ...]:
    """Size, board, corners, and whose the shape is."""
    lines = [paragraph(text("customer_page", asked.shape), width_mm, voice="strong")]
    for one in asked.trays:
        width, depth = one.tray.outline.size_mm
        words = text(
            "customer_page",
            "size",
            width=f"{width:.5g}",
            depth=f"{depth:.5g}",
            thickness=f"{asked.measured_mm:g}",
            board=asked.board.name,
            stuff=asked.stuff,
            colours=_colours(asked),
        )
        lines.append(paragraph(f"{one.tray.id}: {words}", width_mm, size_pt=8.5))
    smallest = min(cutter.diameter_mm for _, cutter in asked.cutters if cutter.form == "flat")
    left = sum(one.corner_left_mm2 for one in asked.trays)
    corner = text("customer_page", "corner", diameter=f"{smallest:g}", area=f"{left:.1f}")
    lines.append(paragraph(corner, width_mm, size_pt=8.5))
    lines.append(paragraph(text("customer_page", "not_asked"), width_mm, size_pt=8.5))
    return tuple(lines)


def _colours(asked: DrawnPapersAsked) -> str:
    """The colours of a two-colour sheet."""
    board = asked.board
    if board.top_colour_mm is None:
        return ""
    return text(
        "customer_page",
        "colours",
        top=board.top_colour,
        top_mm=f"{board.top_colour_mm:g}",
        spread_mm=f"{board.top_colour_tolerance_mm or 0.0:g}",
        base=board.base_colour,
    )


def _told(asked: DrawnPapersAsked, width_mm: float) -> tuple[Block, ...]:
    """Findings, questions and what was left out, a line each."""
    found = [one for one in asked.findings if one.code.partition("-")[0] in ROOMS]
    lines = [
        paragraph(
            f"{text('severity', one.severity.word)}: {told(one).what}",
            width_mm,
            size_pt=SMALL_PT,
            voice="strong" if one.severity is not Severity.NOTE else "facts",
            after_mm=0.3,
        )
        for one in found[:MOST_LINES]
    ]
    more = len(found) - MOST_LINES
    words = [text("customer_page", "asked", words=each, taken=taken) for each, taken in asked.asked]
    things = ", ".join(
        text("customer_page", "thing", count=count, what=what, layer=layer) for layer, what, count in asked.left_out
    )
    words += [text("customer_page", "left_out", things=things)] if things else []
    words += [text("customer_page", "notes", count=more)] if more > 0 else []
    lines += [paragraph(one, width_mm, size_pt=SMALL_PT, ink="ink-2", after_mm=0.3) for one in words]
    return (heading(text("customer_page", "told_head"), size_pt=11.0), *lines)


def _price(asked: DrawnPapersAsked, width_mm: float) -> tuple[Block, ...]:
    """The price and how long it holds."""
    one, head = asked.quote.breaks[0], asked.head
    words = text(
        "customer_page",
        "price",
        quantity=asked.quantity,
        price=one.price,
        currency=asked.quote.currency,
        each=one.per_pack,
    )
    minimum = any(each.code == "QUO-010" for each in asked.quote.findings)
    valid = "valid" if head.dated else "valid_undated"
    lines = [words, *([text("customer_page", "minimum")] if minimum else [])]
    lines.append(text("customer_page", valid, days=head.valid_days, dated=head.dated))
    return (
        heading(text("customer_page", "price_head"), size_pt=11.0),
        paragraph(" ".join(lines), width_mm, voice="strong"),
    )


def customer_page(asked: DrawnPapersAsked) -> Paper:
    """The page for the customer as a PDF: with one tray one page.

    Parameters
    ----------
    asked
        Everything the papers of a drawing show.
    """
    head = asked.head
    sheet = Sheet(
        size_mm=PORTRAIT_MM,
        name=text("paper_name", "customer"),
        lines=(
            f"{head.title} · {head.customer}" if head.customer else head.title,
            text("customer_page", "subtitle", file=asked.file, quantity=asked.quantity),
        ),
        print_name=text("foot", "trays"),
        print_value=head.fingerprint_trays,
    )
    width = sheet.width_mm
    pictures = [_beside(one, width) for one in asked.trays]
    blocks = (
        stacked(_facts(asked, width)),
        *pictures,
        *_price(asked, width),
        rule(width, after_mm=0.5),
        *_told(asked, width),
    )
    content = pdf_of(
        framed(sheet, head, paged(blocks, sheet, head)),
        width_mm=PORTRAIT_MM[0],
        height_mm=PORTRAIT_MM[1],
        title=f"{sheet.name} {head.number} {head.revision}",
        subject=head.verdict,
    )
    return Paper(name="customer", file="papers/customer.pdf", content=content)
