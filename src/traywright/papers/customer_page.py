"""The customer's page of a drawing that is cut as it is: picture, depths, price, what was found."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby
from pathlib import PurePosixPath

from traywright.base import Finding, Severity, text
from traywright.base.tolerance import SAME_MM
from traywright.papers.blocks import SMALL_PT, Block, Cell, Column, heading, indented, paragraph, rule, stacked, table
from traywright.papers.drawing import SCALES, plan, scale_words, size_across, size_up
from traywright.papers.grounds import lettered
from traywright.papers.inks import depth_ink
from traywright.papers.marks import Area, Lettering, Marks, box, moved
from traywright.papers.paper import DrawnPapersAsked, DrawnTray, Paper
from traywright.papers.pdf import pdf_of
from traywright.papers.quote_sheet import money
from traywright.papers.sheet import PORTRAIT_MM, Sheet, framed, paged, short_print
from traywright.papers.signs import placed_sign
from traywright.papers.told import told

SIZE_MM = 12.0
"""Room of a size beside the picture."""
TABLE_MM = 54.0
"""Width of the table of depths, at the right of the picture."""
PICTURE_WIDE_MM = 113.0
MOST_ROWS = 16
"""Depths that go beside a picture; where there are more, all stand in a table of their own."""
MOST_THINGS = 12
"""Kinds of things left out that are named."""
SIGN_MM = 9.0
CM3_MM3 = 1000.0
ROOMS = ("PART", "TRAY", "QUO")
"""Rooms whose findings a customer can answer; what the machine and the boards ask is the shop's."""
SAID = ("QUO-010",)
"""Findings that the price says itself."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Room:
    """How much is told: height of a picture, lines of findings and questions, with what to do or without."""

    picture_mm: float
    lines: int
    with_fix: bool


ROOM = (
    _Room(picture_mm=84.0, lines=16, with_fix=True),
    _Room(picture_mm=84.0, lines=16, with_fix=False),
    _Room(picture_mm=72.0, lines=10, with_fix=False),
    _Room(picture_mm=60.0, lines=5, with_fix=False),
)
"""From the roomiest to what one tray always has on one page."""


def _picture(one: DrawnTray, high_mm: float) -> Block:
    """The tray from above at a whole scale, with its size and the depth of each floor."""
    tray = one.tray
    width, depth = tray.outline.size_mm
    left, front, _, _ = tray.outline.bounds_mm
    scale = min(PICTURE_WIDE_MM / width, high_mm / depth)
    scale = next((each for each in SCALES if each <= scale), scale)
    wide, high = width * scale, depth * scale
    drawn: Marks = moved(plan(tray, {}, scale, labels="depth"), SIZE_MM - left * scale, -high - front * scale)
    drawn += size_across(SIZE_MM, SIZE_MM + wide, -high - 6.0, f"{width:.6g}", from_mm=-high)
    drawn += size_up(-high, 0.0, SIZE_MM - 5.0, f"{depth:.6g}", from_mm=SIZE_MM)
    words = text("customer_page", "plan", tray=tray.id, scale=scale_words(scale))
    name = Lettering(text=words, at_mm=(SIZE_MM, -high - 11.0), size_pt=SMALL_PT, ink="ink-2")
    return Block(height_mm=high + 14.0, marks=moved((*drawn, name), 0.0, -2.0))


def _depth_rows(one: DrawnTray) -> list[tuple[Cell | str, ...]]:
    """Each final depth with its tint, floor and area."""
    tray = one.tray
    rows: list[tuple[Cell | str, ...]] = []
    for deep_mm, area_mm2 in zip(one.depths_mm, one.ending_mm2, strict=True):
        floor_mm = tray.thickness_mm - deep_mm
        patch = Area(rings_mm=(box(0.0, -3.4, 5.0, -0.8),), fill=depth_ink(deep_mm, tray.thickness_mm), width_mm=0.2)
        through = floor_mm <= SAME_MM
        deep = text("customer_page", "through") if through else f"{round(deep_mm, 3):g}"
        floor = text("paper", "none") if through else f"{round(floor_mm, 3):g}"
        rows.append((Cell(marks=(patch,), height_mm=3.4), Cell(text=deep, voice="strong"), floor, f"{area_mm2:.2f}"))
    return rows


def _columns(width_mm: float) -> tuple[Column, ...]:
    """Columns of the table of depths."""
    shares = (("", 0.12), ("depth", 0.31), ("floor", 0.19), ("area", 0.38))
    return tuple(
        Column(
            title=text("customer_page", key) if key else "",
            width_mm=width_mm * share,
            anchor="right" if key == "area" else "left",
        )
        for key, share in shares
    )


def _total(one: DrawnTray, width_mm: float) -> Block:
    """What is open and taken away in all."""
    words = text("customer_page", "total", area=f"{one.open_mm2:.2f}", volume=f"{one.removed_mm3 / CM3_MM3:.1f}")
    return paragraph(words, width_mm, size_pt=SMALL_PT, voice="strong")


def _tray(one: DrawnTray, picture: Block, width_mm: float) -> tuple[Block, ...]:
    """The picture with its table of depths at the right; a long table stands below."""
    rows = _depth_rows(one)
    air = Block(height_mm=1.0, marks=())
    if len(rows) > MOST_ROWS:
        beside = _total(one, TABLE_MM)
        more: tuple[Block, ...] = (
            heading(text("customer_page", "more_depths", tray=one.tray.id), size_pt=11.0),
            *table(_columns(width_mm * 0.6), rows, size_pt=SMALL_PT),
        )
    else:
        beside = stacked((*table(_columns(TABLE_MM), rows, size_pt=SMALL_PT), air, _total(one, TABLE_MM)))
        more = ()
    at_right = moved(beside.marks, width_mm - TABLE_MM, 0.0)
    return Block(height_mm=max(picture.height_mm, beside.height_mm) + 1.0, marks=(*picture.marks, *at_right)), *more


def _facts(asked: DrawnPapersAsked, width_mm: float) -> Block:
    """Whose the shape is, size, board, thickness, corners, and what nobody asked."""
    relieved = asked.corner == "relief" or any(one.code == "TRAY-034" for one in asked.findings)
    shape = "customer_relief" if relieved and asked.shape == "customer" else asked.shape
    sizes = " ".join(
        text(
            "customer_page",
            "size",
            tray=one.tray.id,
            width=f"{one.tray.outline.size_mm[0]:.6g}",
            depth=f"{one.tray.outline.size_mm[1]:.6g}",
            thickness=f"{one.tray.thickness_mm:g}",
        )
        for one in asked.trays
    )
    board = text("customer_page", "board", board=asked.board.name, stuff=asked.stuff, colours=_colours(asked))
    lines = [sizes, board, *_thickness(asked), _corners(asked, "relief" if relieved else asked.corner)]
    lines += [_drawing(asked), text("customer_page", "not_asked")]
    first = paragraph(text("customer_page", shape), width_mm, size_pt=11.0, voice="strong", after_mm=1.4)
    return stacked((first, *(paragraph(one, width_mm, size_pt=8.5, after_mm=0.8) for one in lines)))


def _drawing(asked: DrawnPapersAsked) -> str:
    """Which file was cut."""
    name = PurePosixPath(asked.file).name
    if asked.file_sha256:
        return text("customer_page", "drawn", file=name, sum=short_print(asked.file_sha256))
    return text("customer_page", "drawn_file", file=name)


def _thickness(asked: DrawnPapersAsked) -> list[str]:
    """What a board off its nominal thickness keeps."""
    off_mm = asked.measured_mm - asked.nominal_mm
    if abs(off_mm) <= SAME_MM:
        return []
    off = f"{off_mm:+.4g}".replace("-", "−")
    keep = text("customer_page", f"keep_{asked.trays[0].tray.keep}", off=off)
    measured, nominal = f"{asked.measured_mm:g}", f"{asked.nominal_mm:g}"
    return [text("customer_page", "thickness", measured=measured, nominal=nominal, keep=keep)]


def _corners(asked: DrawnPapersAsked, choice: str) -> str:
    """What the smallest cutter leaves in corners, and what was chosen."""
    smallest = min(cutter.diameter_mm for _, cutter in asked.cutters if cutter.form == "flat")
    left = f"{sum(one.corner_left_mm2 for one in asked.trays):.1f}"
    chosen = text("customer_page", f"corner_{choice}") if choice else ""
    if float(left) <= 0.0 and choice != "relief":
        return text("customer_page", "corner_none", diameter=f"{smallest:g}")
    return text("customer_page", "corner", diameter=f"{smallest:g}", area=left, choice=chosen).strip()


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


def _found(letter: str, one: Finding, width_mm: float, *, with_fix: bool) -> Block:
    """A finding in a line; a stop or a warning with its sign and, where there is room, why and what to do."""
    lines, word = told(one), text("severity", one.severity.word)
    what = text("customer_page", "finding", word=word, what=lines.what)
    if one.severity is Severity.NOTE:
        return paragraph(what, width_mm, size_pt=SMALL_PT, after_mm=0.3)
    inner = width_mm - SIGN_MM
    body = [paragraph(what, inner, size_pt=SMALL_PT, voice="strong", after_mm=0.2)]
    if with_fix:
        more = f"{lines.why} {lines.fix}"
        body.append(paragraph(more, inner, size_pt=SMALL_PT, ink="ink-2", after_mm=0.2))
    block = indented(stacked(body), SIGN_MM)
    return Block(
        height_mm=max(block.height_mm + 1.0, 6.6),
        marks=(*moved(placed_sign(one.severity, letter, 3.6), 0.0, 0.6), *block.marks),
    )


def _others(asked: DrawnPapersAsked) -> Iterable[str]:
    """Depths as taken, what was asked, what is left out, a line each."""
    if asked.depths:
        depths = ", ".join(
            text(
                "customer_page",
                "depth_from" if source else "depth_of",
                layer=layer,
                depth=_deep(deep_mm),
                source=source,
            )
            for layer, deep_mm, source in asked.depths
        )
        yield text("customer_page", "depths", depths=depths)
    for words, taken in asked.asked:
        yield text("customer_page", "asked", words=words, taken=taken)
    things = [
        text("customer_page", "thing", count=count, what=what, layer=layer) for layer, what, count in asked.left_out
    ]
    more = len(things) - MOST_THINGS
    named = things[:MOST_THINGS] + ([text("customer_page", "things_more", count=more)] if more > 0 else [])
    if named:
        yield text("customer_page", "left_out", things=", ".join(named))


def _deep(deep_mm: float | None) -> str:
    """A depth in words."""
    if deep_mm is None:
        return text("customer_page", "through")
    return text("customer_page", "depth_mm", depth=f"{deep_mm:g}")


def _told(asked: DrawnPapersAsked, width_mm: float, room: _Room) -> tuple[Block, ...]:
    """Findings that a customer can answer, the worst first, then what was taken and left out."""
    found = [
        (letter, one) for letter, one in lettered(asked) if one.code.partition("-")[0] in ROOMS and one.code not in SAID
    ]
    blocks = [_found(letter, one, width_mm, with_fix=room.with_fix) for letter, one in found]
    blocks += [paragraph(one, width_mm, size_pt=SMALL_PT, ink="ink-2", after_mm=0.3) for one in _others(asked)]
    more = len(blocks) - room.lines
    if more > 0:
        words = text("customer_page", "notes", count=more)
        blocks = [*blocks[: room.lines], paragraph(words, width_mm, size_pt=SMALL_PT, after_mm=0.3)]
    return (heading(text("customer_page", "told_head"), size_pt=11.0), *blocks)


def _price(asked: DrawnPapersAsked, width_mm: float) -> tuple[Block, ...]:
    """The price and how long it holds."""
    one, head = asked.quote.breaks[0], asked.head
    words = text(
        "customer_page",
        "price",
        quantity=asked.quantity,
        price=money(one.price),
        currency=asked.quote.currency,
        each=money(one.per_pack),
    )
    minimum = any(each.code == "QUO-010" for each in asked.quote.findings)
    valid = "valid" if head.dated else "valid_undated"
    lines = [words, *([text("customer_page", "minimum")] if minimum else [])]
    lines.append(text("customer_page", valid, days=head.valid_days, dated=head.dated))
    return (
        heading(text("customer_page", "price_head"), size_pt=11.0),
        paragraph(" ".join(lines), width_mm, voice="strong"),
    )


def _bodies(asked: DrawnPapersAsked, sheet: Sheet, room: _Room, pictures: Sequence[Block]) -> tuple[Marks, ...]:
    """The pages' bodies with so much told."""
    width = sheet.width_mm
    blocks = (
        _facts(asked, width),
        *(block for one, picture in zip(asked.trays, pictures, strict=True) for block in _tray(one, picture, width)),
        *_price(asked, width),
        rule(width, after_mm=0.5),
        *_told(asked, width, room),
    )
    return paged(blocks, sheet, asked.head)


def _fitted(asked: DrawnPapersAsked, sheet: Sheet) -> tuple[Marks, ...]:
    """The bodies: of one tray on one page, with as much told as it holds."""
    roomiest: tuple[Marks, ...] = ()
    # several trays have further pages anyway
    for high_mm, rooms in groupby(ROOM if len(asked.trays) == 1 else ROOM[:1], key=lambda one: one.picture_mm):
        pictures = [_picture(one, high_mm) for one in asked.trays]
        for room in rooms:
            bodies = _bodies(asked, sheet, room, pictures)
            if len(bodies) == 1:
                return bodies
            roomiest = roomiest or bodies
    return roomiest


def customer_page(asked: DrawnPapersAsked) -> Paper:
    """The page for the customer as a PDF: with one tray one page.

    Parameters
    ----------
    asked
        Everything the papers of a drawing show.

    Notes
    -----
    Where not all goes onto one page, first the reasons go, then the last notes (counted), then the picture is smaller.
    A tray with many depths takes a further page for their table.
    """
    head = asked.head
    sheet = Sheet(
        size_mm=PORTRAIT_MM,
        name=text("paper_name", "customer"),
        lines=(
            f"{head.title} · {head.customer}" if head.customer else head.title,
            text("customer_page", "subtitle", file=PurePosixPath(asked.file).name, quantity=asked.quantity),
        ),
        print_name=text("foot", "trays"),
        print_value=head.fingerprint_trays,
        unit="mm",
    )
    content = pdf_of(
        framed(sheet, head, _fitted(asked, sheet)),
        width_mm=PORTRAIT_MM[0],
        height_mm=PORTRAIT_MM[1],
        title=f"{sheet.name} {head.number} {head.revision}",
        subject=head.verdict,
    )
    return Paper(name="customer", file="papers/customer.pdf", content=content)
