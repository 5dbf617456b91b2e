"""The machine sheet of one setup: board as clamped, what to tick before the start, the order, the read-back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from traywright.base import Finding, file_name, natural_key, sha256_of_bytes, shown, text
from traywright.base.tolerance import SAME_MM
from traywright.base.units import S_PER_MIN
from traywright.cutting.cut_plan import CutPlan, Operation
from traywright.nc.program import Program
from traywright.nesting.setup import Setup
from traywright.papers.blocks import (
    SMALL_PT,
    Block,
    Cell,
    Column,
    flowed,
    heading,
    paragraph,
    rule,
    stacked,
    table,
    tick,
)
from traywright.papers.board_view import BOARD_HIGH_MM, board_view
from traywright.papers.grounds import book_of, lettered
from traywright.papers.marks import THICK_MM, THIN_MM, Marks, Stroke, moved
from traywright.papers.paper import AnyAsked, DrawnPapersAsked, Paper, PapersAsked
from traywright.papers.pdf import pdf_of
from traywright.papers.sheet import INSET_MM, MARGIN_MM, PORTRAIT_MM, Sheet, body_mm, framed, put, room_mm
from traywright.papers.told import cautions, dashed, findings_section, overrides_section, told
from traywright.trays.tray import Ply
from traywright.verification.read_back import ReadBack

LARGE_PT = 12.0  # source: look of the house: machine sheet 12 to 13 pt
ONE_PAGE = ((9.5, BOARD_HIGH_MM), (8.5, BOARD_HIGH_MM), (8.0, BOARD_HIGH_MM), (8.0, 0.75 * BOARD_HIGH_MM))
"""Letters in points and height of the picture of a drawing's one page, the first at which all of it stands there.
# source: look of the house: facts on paper 9.5 pt, least 8 pt"""
TOLD_ROOMS, TOLD_CODES = ("CUT", "HOLD", "NC", "RB"), ("NEST-004", "NEST-010", "NEST-012")
"""Findings that the operator works by; counts of boards and prices are for the desk."""
MOST_TOLD = 5
"""Findings of a setup that its one page tells in a line each."""
SUM_SIGNS = 12
LEFT_MM = 84.0
STOP_MM = 21.0
CAUTIONS = (
    *("wear", "guards", "cutter", "zero", "screws", "vacuum", "loose", "dust", "heat", "swarf", "watch"),
    *("sanding", "manual"),
)

SHORT_CAUTIONS = ("wear", "cutter", "loose", "dust", "watch")
SHORT_SOLID = ("wear", "loose", "swarf", "watch")
"""What stands on the one page of a drawing's setup."""

Made = tuple[Setup, CutPlan, Program, ReadBack]


def _minutes(time_s: float) -> str:
    """Minutes, rounded up."""
    return shown(time_s / S_PER_MIN + 0.049, 1)


def _sheet(asked: AnyAsked, made: Made) -> Sheet:
    """Head and foot of the sheet."""
    setup, plan, program, _ = made
    runs = text("machine_sheet", "once") if setup.runs == 1 else text("machine_sheet", "runs", runs=setup.runs)
    digest = sha256_of_bytes(program.text.encode("ascii")).rpartition(":")[2][:SUM_SIGNS]
    return Sheet(
        size_mm=PORTRAIT_MM,
        name=text("paper_name", "machine"),
        lines=(
            f"{asked.head.title} · {asked.machine.name}",
            text("machine_sheet", "program", program=program.name, runs=runs, sum=digest),
        ),
        print_name=text("foot", "cut"),
        print_value=asked.head.fingerprint_cut,
        big=setup.id,
        unit="mm",
        side=(
            text("machine_sheet", "run_time"),
            text("machine_sheet", "minutes", minutes=_minutes(plan.time_s)),
            text("machine_sheet", "plain", minutes=_minutes(plan.length_over_feed_s)),
        ),
    )


def _board_lines(asked: AnyAsked, setup: Setup) -> tuple[str, ...]:
    """What to look at on the board before the start."""
    width, depth = setup.blank.size_mm
    layout = next(one for one in asked.boards.layouts if one.id == setup.board_layout)
    card = next((one for one in asked.board_cards if one.id == setup.board), None)
    side = text("side", setup.side_up)
    if card is not None and card.top_colour and setup.side_up == "top":
        side = text("machine_sheet", "coloured", colour=card.top_colour, side=side)
    board = text(
        "machine_sheet",
        "board",
        board=setup.board,
        length=f"{width:g}",
        width=f"{depth:g}",
        thickness=f"{setup.thickness_mm:g}",
        side=side,
        cut=layout.cut_from.split()[0],
    )
    zones = ", ".join(setup.zones)
    bed = text("machine_sheet", "bed", zones=zones) if zones else text("machine_sheet", "no_zones")
    if _by_screws(asked, setup):
        bed = text("machine_sheet", "bed_solid")
    if card is None:
        return (board, bed)
    spread = card.thickness_tolerance_mm
    least, most = f"{setup.thickness_mm - spread:g}", f"{setup.thickness_mm + spread:g}"
    return (board, text("machine_sheet", "measured", least=least, most=most), bed)


def _by_screws(asked: AnyAsked, setup: Setup) -> bool:
    """True where a board that is no foam is held by screws: what is told of vacuum does not hold for it."""
    return isinstance(asked, DrawnPapersAsked) and asked.solid is not None and bool(setup.screws_mm)


def _ticks(asked: AnyAsked, setup: Setup, plan: CutPlan, size_pt: float) -> tuple[Block, ...]:
    """What to tick before the start."""
    used = {one.cutter for one in plan.operations}
    lines = list(_board_lines(asked, setup))
    lines += [
        text(
            "machine_sheet",
            "cutter",
            number=number,
            form=text("form", cutter.form),
            diameter=f"{cutter.diameter_mm:g}",
            reach=f"{cutter.reach_mm:g}",
        )
        for number, cutter in asked.cutters
        if number in used
    ]
    zero = text("machine_sheet", "bed_zero" if setup.z_zero == "bed" else "top_zero")
    datum = text("machine_sheet", f"datum_{setup.datum.replace(' ', '_')}")
    lines.append(text("machine_sheet", "zero", datum=datum, zero=zero))
    screws = len(setup.screws_mm)
    clear = f"{asked.machine.clearance_mm:g}"
    lines.append(
        text("machine_sheet", "screws", count=screws, clearance=clear) if screws else text("machine_sheet", "no_screws")
    )
    lines += _drawn_lines(asked) if isinstance(asked, DrawnPapersAsked) else []
    lines.append(text("machine_sheet", "dry"))
    return (
        heading(text("machine_sheet", "before")),
        *(tick(one, LEFT_MM, size_pt=size_pt) for one in lines),
    )


def _drawn_lines(asked: DrawnPapersAsked) -> list[str]:
    """What a drawing's trays keep on a board that is not nominal, and what a board that is no foam asks for."""
    off_mm = asked.measured_mm - asked.nominal_mm
    lines = []
    if abs(off_mm) > SAME_MM:
        words = {"measured": f"{asked.measured_mm:g}", "nominal": f"{asked.nominal_mm:g}"}
        keep, off = f"keep_{asked.trays[0].tray.keep}", f"{off_mm:+.4g}".replace("-", "−")
        lines.append(text("machine_sheet", keep, off=off, **words))
    if asked.solid is not None:
        cut = {"ramp": f"{asked.solid.ramp_deg:g}", "skin": f"{asked.solid.skin_mm:g}"}
        lines.append(text("machine_sheet", "solid", **cut))
        lines += [text("machine_sheet", "welds")] if asked.solid.welds else []
    return lines


def _operation(one: Operation, setup: Setup, digits: int) -> tuple[str, str, str]:
    """What an operation cuts, its floor and its depth."""
    kind = text("machine_sheet", f"kind_{one.kind}")
    if one.kind == "outline":
        what = text("machine_sheet", "outline", kind=kind, pieces=len(one.features), bridges=len(setup.bridges))
    else:
        what = text("machine_sheet", "places", kind=kind, count=len(one.features))
    if one.level_mm <= 0.0:
        return what, text("paper", "none"), text("machine_sheet", "through")
    return what, f"{round(one.level_mm, digits):g}", f"{round(setup.thickness_mm - one.level_mm, digits):g}"


def _order(setup: Setup, plan: CutPlan, width_mm: float, size_pt: float, digits: int) -> tuple[Block, ...]:
    """The operations in their order."""
    shares = (("step", 0.08), ("thing", 0.39), ("floor", 0.14), ("deep", 0.235), ("tool", 0.155))
    columns = [Column(title=text("machine_sheet", key), width_mm=width_mm * share) for key, share in shares]
    rows = []
    for number, one in enumerate(plan.operations, start=1):
        what, floor, deep = _operation(one, setup, digits)
        rows.append(
            (Cell(text=str(number), voice="strong"), what, floor, Cell(text=deep, voice="strong"), f"T{one.cutter}")
        )
    return (heading(text("machine_sheet", "order")), *table(columns, rows, size_pt=size_pt))


def _pieces(setup: Setup, plies: Mapping[str, Ply], width_mm: float) -> tuple[Block, ...]:
    """Pieces by number with their ply and bridges."""
    shares = (("piece", 0.3), ("ply", 0.4), ("bridges", 0.3))
    columns = [Column(title=text("machine_sheet", key), width_mm=width_mm * share) for key, share in shares]
    rows = []
    for one in sorted(setup.pieces, key=lambda piece: natural_key(piece.id)):
        own = sum(bridge.piece == one.id for bridge in setup.bridges)
        ply = plies[one.ply]
        rows.append((Cell(text=one.id, voice="strong"), f"{ply.id}, {ply.thickness_mm:g} mm", str(own)))
    return (heading(text("machine_sheet", "pieces_head")), *table(columns, rows, size_pt=LARGE_PT))


def _read_back(read: ReadBack, width_mm: float, size_pt: float) -> tuple[Block, ...]:
    """The verdict of the read-back."""
    words = text(
        "machine_sheet",
        "read_true" if read.true else "read_false",
        gouge=shown(read.gouge_mm, 3),
        remainder=shown(read.remainder_mm, 3),
        grid=f"{read.grid_mm:g}",
        bound=shown(read.error_bound_mm, 2),
    )
    told = paragraph(words, width_mm, size_pt=size_pt, voice="facts" if read.true else "strong")
    return (heading(text("machine_sheet", "read_back")), told)


def _own(asked: AnyAsked, setup: Setup) -> list[tuple[str, Finding]]:
    """Findings of this setup."""
    names = {setup.id, setup.board, setup.board_layout, *(one.id for one in setup.pieces)}
    return [(letter, one) for letter, one in lettered(asked) if names & set(one.at)]


def _operators(asked: AnyAsked, setup: Setup) -> list[str]:
    """Findings of this setup that the operator works by, a line each, the worst first."""
    found = [one for _, one in _own(asked, setup)]
    lines = [told(one).what for one in found if one.code.partition("-")[0] in TOLD_ROOMS or one.code in TOLD_CODES]
    return lines[:MOST_TOLD]


def _stop_block(asked: AnyAsked, setup: Setup, width_mm: float) -> Block:
    """The two lines at the foot of the first page."""
    stay = paragraph(text("machine_sheet", "stay"), width_mm, size_pt=LARGE_PT, after_mm=0.8)
    stop = text("machine_sheet", "stop_solid" if _by_screws(asked, setup) else "stop")
    return stacked((stay, paragraph(stop, width_mm, size_pt=LARGE_PT, voice="strong")))


def _columns(
    left: tuple[Block, ...], right: tuple[Block, ...], first_mm: float, rest_mm: float
) -> tuple[Marks, tuple[Block, ...]]:
    """Two columns side by side from their upper left corner, and what did not go onto the first page."""
    one, other = flowed(left, first_mm, rest_mm), flowed(right, first_mm, rest_mm)
    line = LEFT_MM + INSET_MM
    between = Stroke(points_mm=((line, 2.0), (line, -first_mm - 2.0)), width_mm=THIN_MM)
    return (*one[0].marks, *moved(other[0].marks, line + INSET_MM, 0.0), between), (*one[1:], *other[1:])


def _first_page(
    asked: AnyAsked, made: Made, sheet: Sheet, more: Sequence[Block], look: tuple[float, float]
) -> tuple[Marks, tuple[Block, ...]]:
    """Board, ticks, order, read-back and the stop lines; and what did not go onto the page.

    ``look`` is the size of letters in points and the height of the picture of the board in mm.
    """
    setup, plan, _, read = made
    size_pt, high_mm = look
    head = asked.head
    plies = {one.id: one for one in asked.plies}
    right = sheet.width_mm - LEFT_MM - 2 * INSET_MM
    low, top = body_mm(sheet, head)
    at_left, below_board = MARGIN_MM + INSET_MM, top - high_mm
    full = (MARGIN_MM, PORTRAIT_MM[0] - MARGIN_MM)
    # the verdict of the read-back stands first, so that no long order pushes it off the page
    # a drawing's depths are its customer's own: none is rounded where it can be seen
    digits = 1 if isinstance(asked, PapersAsked) else 2
    order: tuple[Block, ...] = (*_read_back(read, right, size_pt), *_order(setup, plan, right, size_pt, digits))
    ticks: tuple[Block, ...] = _ticks(asked, setup, plan, size_pt)
    for one in more:
        # each goes where there is more room
        if sum(each.height_mm for each in ticks) <= sum(each.height_mm for each in order):
            ticks = (*ticks, one)
        else:
            order = (*order, one)
    columns, left_over = _columns(ticks, order, below_board - low - STOP_MM - 4.0, room_mm(sheet, head))
    lines = tuple(
        Stroke(points_mm=((full[0], y), (full[1], y)), width_mm=THICK_MM) for y in (below_board, low + STOP_MM)
    )
    board = board_view(setup, plan, plies, (sheet.width_mm, high_mm), enlarged=isinstance(asked, DrawnPapersAsked))
    first: Marks = (
        *moved(board, at_left, below_board),
        *lines,
        *moved(columns, at_left, below_board - 2.0),
        *moved(_stop_block(asked, setup, sheet.width_mm).marks, at_left, low + STOP_MM - 2.0),
    )
    return first, left_over


def _paper(asked: AnyAsked, made: Made, sheet: Sheet, bodies: Sequence[Marks]) -> Paper:
    """The pages as a PDF."""
    setup, head = made[0], asked.head
    content = pdf_of(
        framed(sheet, head, bodies),
        width_mm=PORTRAIT_MM[0],
        height_mm=PORTRAIT_MM[1],
        title=f"{sheet.name} {head.number} {head.revision} {setup.id}",
        subject=made[2].name,
    )
    return Paper(name="machine", file=f"papers/machine-{file_name(setup.id)}.pdf", content=content)


def machine_sheet(asked: PapersAsked, made: Made) -> Paper:
    """The machine sheet of one setup as a PDF; the board and the order first, cautions behind."""
    setup = made[0]
    head, sheet = asked.head, _sheet(asked, made)
    plies = {one.id: one for one in asked.plies}
    width = sheet.width_mm
    first, left_over = _first_page(asked, made, sheet, (), (LARGE_PT, BOARD_HIGH_MM))
    blocks = (
        *left_over,
        *_pieces(setup, plies, width),
        heading(text("machine_sheet", "cautions_head")),
        *cautions("caution_cutting", CAUTIONS, width, size_pt=LARGE_PT),
        rule(width, after_mm=1.0),
        *overrides_section(asked, width),
        *findings_section(_own(asked, setup), text("machine_sheet", "findings_head"), width, book_of(asked)),
    )
    room = room_mm(sheet, head)
    return _paper(asked, made, sheet, [first, *(put(one, sheet, head) for one in flowed(blocks, room, room))])


def machine_page(asked: DrawnPapersAsked, made: Made) -> Paper:
    """The one page of a drawing's setup: board, ticks, cautions in short, order, read-back; more only if it is long."""
    head, sheet = asked.head, _sheet(asked, made)
    short = SHORT_CAUTIONS if asked.solid is None else SHORT_SOLID
    wide = min(LEFT_MM, sheet.width_mm - LEFT_MM - 2 * INSET_MM)
    dust = [text("machine_sheet", "fine_dust")] if asked.solid is not None and not asked.solid.welds else []
    more = (
        *cautions("caution_cutting", short, wide, size_pt=SMALL_PT),
        *dashed(dust, wide, size_pt=SMALL_PT),
        *dashed(_operators(asked, made[0]), wide, size_pt=SMALL_PT),
        *overrides_section(asked, wide),
    )
    tried = [_first_page(asked, made, sheet, more, ONE_PAGE[0])]
    while tried[-1][1] and len(tried) < len(ONE_PAGE):
        tried.append(_first_page(asked, made, sheet, more, ONE_PAGE[len(tried)]))
    first, blocks = tried[-1]
    room = room_mm(sheet, head)
    rest = [put(one, sheet, head) for one in flowed(blocks, room, room)] if blocks else []
    return _paper(asked, made, sheet, [first, *rest])
