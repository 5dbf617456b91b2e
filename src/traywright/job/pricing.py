"""What each quantity of packs takes to make, and its price."""

from __future__ import annotations

from dataclasses import dataclass

from traywright.base import Figure, Given, derive
from traywright.catalogue import Board, Machine, table
from traywright.enquiry import EnquiryRead
from traywright.job.asked_rooms import break_given
from traywright.job.job_done import JobDone
from traywright.job.making import S_PER_H
from traywright.nesting import NestResult, PlyCount, board_grounds, plan_boards
from traywright.quoting import Making, PriceAsked, Quote, price

MM2_PER_M2 = 1e6
_PLAN, _HEIGHT = ("inside_length_mm", "inside_width_mm"), "inside_height_mm"
_BRIDGE_ROWS = ("few", "many", "many_from")


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakAsked:
    """One quantity of packs to lay on boards; ``counted`` are the plies of one pack, ``wanted`` who told how many."""

    packs: int
    counted: tuple[PlyCount, ...]
    boards: tuple[Board, ...]
    machine: Machine
    job_number: str
    wanted: tuple[Given | Figure, ...]


def nest_break(asked: BreakAsked) -> NestResult:
    """Boards of one quantity of packs: what a worker does."""
    plies = tuple(PlyCount(ply=one.ply, count=one.count * asked.packs) for one in asked.counted)
    return plan_boards(plies, asked.boards, asked.machine, job_number=asked.job_number, wanted=asked.wanted)


def price_job(done: JobDone, headline: Given | Figure) -> Quote | None:
    """The quote over all breaks; None where a ply could not be laid on any board: what is not cut has no price."""
    read, catalogue = done.asked.read, done.asked.catalogue
    if done.nested is None or not all(_all_laid(done, packs, one) for packs, one in done.nested.results):
        return None
    pack = read.enquiry.pack
    packs_asked = tuple((packs, packs_told(done.asked.read, packs, headline)) for packs, _ in done.nested.results)
    return price(
        PriceAsked(
            currency=read.enquiry.offer.currency,
            packs=done.nested.packs,
            kits=done.drawn.pack.kits,
            makings=tuple(_making(done, packs, dict(packs_asked)[packs]) for packs, _ in done.nested.results),
            rates=catalogue.rates(read.enquiry.shop.rates),
            box=catalogue.box(pack.boxes[0]),
            divider=catalogue.divider(pack.divider) if pack.divider else None,
            dividers_per_pack=sum(one.kind == "divider" for one in done.drawn.pack.layers),
            loop=done.loop,
            packs_asked=packs_asked,
        )
    )


def _all_laid(done: JobDone, packs: int, nest: NestResult) -> bool:
    """True if every ply of so many packs lies on a board."""
    wanted = packs * sum(tray.per_pack * len(tray.ply_boards) for tray in done.drawn.trays)
    return sum(one.pieces for one in nest.plan.needs) == wanted


def packs_told(read: EnquiryRead, packs: int, headline: Given | Figure) -> Given | Figure:
    """Where a quantity of packs was told: the headline, or the breaks of the offer."""
    if packs == round(headline.value):
        return headline
    return break_given(read, read.enquiry.offer.breaks_packs.index(packs) + 1)


def _making(done: JobDone, packs: int, told: Given | Figure) -> Making:
    """What one quantity takes: boards, hours, blanks, bridges, joints and glue."""
    read, catalogue = done.asked.read, done.asked.catalogue
    nest = dict(done.nested.results if done.nested else ())[packs]
    machine = catalogue.machine(read.enquiry.shop.machine)
    rates = catalogue.rates(read.enquiry.shop.rates)
    runs = {one.id: one.runs for one in nest.plan.setups}
    kits = read.given("pack.kits_per_pack")
    boards = tuple(catalogue.board(need.board) for need in nest.plan.needs)
    grounds = tuple(dict.fromkeys(one for board in boards for one in board_grounds(board, machine)))

    def counted(what: str, value: float, unit: str, *inputs: Given | Figure) -> Figure:
        path = f"quoting/{packs}/{what}"
        return derive(path, value, unit, what=what, method="counted", inputs=(told, kits, *inputs), case=f"{packs}")

    times = tuple(one.time for one in done.made)
    seconds = sum(runs[one.setup.id] * one.plan.time_s for one in done.made)
    setups_s = sum(runs.values()) * machine.setup_s
    hours = (seconds * (1.0 + rates.machine_allowance_ratio) + setups_s) / S_PER_H
    thick, box = tuple(one.given("thickness_mm") for one in boards), catalogue.box(read.enquiry.pack.boxes[0])
    blanks = counted("blanks", sum(runs.values()), "board", *grounds)
    rules = table("bridge_rules")
    bridges = sum(runs[one.setup.id] * len(one.setup.bridges) for one in done.made)
    joints = [(tray, len(tray.ply_boards) - 1) for tray in done.drawn.trays]
    glue_mm2 = sum(tray.outline.area_mm2 * count * tray.per_pack for tray, count in joints)
    return Making(
        packs=packs,
        boards=tuple(
            (board, _boards(packs, need.boards, board, (told, kits, *board_grounds(board, machine))))
            for board, need in zip(boards, nest.plan.needs, strict=True)
        ),
        machine=derive(
            f"quoting/{packs}/machine_h",
            hours,
            "h",
            what="router time",
            method="runs times time of a run, with the allowance and the clamping time of each board",
            inputs=(*times, rates.given("machine_allowance_ratio"), machine.given("setup_s"), blanks),
            case=f"{packs}",
        ),
        blanks=blanks,
        bridges=counted("bridges", bridges, "bridge", blanks, *(rules.given(row, "value") for row in _BRIDGE_ROWS)),
        joints=counted(
            "joints", packs * sum(count * tray.per_pack for tray, count in joints), "joint", *thick, box.given(_HEIGHT)
        ),
        glue=counted(
            "glue", packs * glue_mm2 / MM2_PER_M2, "m2", *thick, *(box.given(key) for key in (*_PLAN, _HEIGHT))
        ),
    )


def _boards(packs: int, boards: int, card: Board, inputs: tuple[Given | Figure, ...]) -> Figure:
    """Whole boards of one card for a quantity of packs."""
    return derive(
        f"quoting/{packs}/boards/{card.id}",
        boards,
        "board",
        what="whole boards",
        method="blanks of all plies, put together into whole boards",
        inputs=inputs,
        of=card.id,
        case=f"{packs}",
    )
