"""What each quantity of packs takes to make, and its price."""

from __future__ import annotations

from dataclasses import dataclass

from traywright.base import Figure, Given, derive
from traywright.catalogue import Board, Machine
from traywright.job.asked_rooms import break_given
from traywright.job.job_done import JobDone
from traywright.job.making import S_PER_H, time_figure
from traywright.nesting import NestResult, PlyCount, plan_boards
from traywright.quoting import Making, PriceAsked, Quote, price

MM2_PER_M2 = 1e6


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakAsked:
    """One quantity of packs to lay on boards; ``counted`` are the plies of one pack."""

    packs: int
    counted: tuple[PlyCount, ...]
    boards: tuple[Board, ...]
    machine: Machine
    job_number: str


def nest_break(asked: BreakAsked) -> NestResult:
    """Boards of one quantity of packs: what a worker does."""
    wanted = tuple(PlyCount(ply=one.ply, count=one.count * asked.packs) for one in asked.counted)
    return plan_boards(wanted, asked.boards, asked.machine, job_number=asked.job_number)


def price_job(done: JobDone, headline: Given) -> Quote | None:
    """The quote over all breaks; None where a ply could not be laid on any board: what is not cut has no price."""
    read, catalogue = done.asked.read, done.asked.catalogue
    if done.nested is None or not all(_all_laid(done, packs, one) for packs, one in done.nested.results):
        return None
    pack = read.enquiry.pack
    packs_asked = tuple((packs, _packs_given(done, packs, headline)) for packs, _ in done.nested.results)
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


def _packs_given(done: JobDone, packs: int, headline: Given) -> Given:
    """Where a quantity of packs was told: the headline, or the breaks of the offer."""
    if packs == round(headline.value):
        return headline
    place = done.asked.read.enquiry.offer.breaks_packs.index(packs)
    return break_given(done.asked.read, place + 1)


def _making(done: JobDone, packs: int, given: Given) -> Making:
    """What one quantity takes: boards, hours, blanks, bridges, joints and glue."""
    read, catalogue = done.asked.read, done.asked.catalogue
    nest = dict(done.nested.results if done.nested else ())[packs]
    machine = catalogue.machine(read.enquiry.shop.machine)
    rates = catalogue.rates(read.enquiry.shop.rates)
    runs = {one.id: one.runs for one in nest.plan.setups}

    def counted(what: str, value: float, unit: str, *inputs: Given | Figure) -> Figure:
        path = f"quoting/{packs}/{what}"
        return derive(path, value, unit, what=what, method="counted", inputs=(given, *inputs), case=f"{packs}")

    times = tuple(time_figure(one, machine) for one in done.made)
    seconds = sum(runs[one.setup.id] * one.plan.time_s for one in done.made)
    setups_s = sum(runs.values()) * machine.setup_s
    hours = (seconds * (1.0 + rates.machine_allowance_ratio) + setups_s) / S_PER_H
    blanks = counted("blanks", sum(runs.values()), "board", machine.given("bed_x_mm"))
    bridges = sum(runs[one.setup.id] * len(one.setup.bridges) for one in done.made)
    joints = [(tray, len(tray.ply_boards) - 1) for tray in done.drawn.trays]
    glue_mm2 = sum(tray.outline.area_mm2 * count * tray.per_pack for tray, count in joints)
    return Making(
        packs=packs,
        boards=tuple(
            (catalogue.board(need.board), _boards(packs, need.boards, given, catalogue.board(need.board)))
            for need in nest.plan.needs
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
        bridges=counted("bridges", bridges, "bridge", blanks),
        joints=counted("joints", packs * sum(count * tray.per_pack for tray, count in joints), "joint"),
        glue=counted("glue", packs * glue_mm2 / MM2_PER_M2, "m2"),
    )


def _boards(packs: int, boards: int, given: Given, card: Board) -> Figure:
    """Whole boards of one card for a quantity of packs."""
    return derive(
        f"quoting/{packs}/boards/{card.id}",
        boards,
        "board",
        what="whole boards",
        method="blanks of all plies, put together into whole boards",
        inputs=(given, card.given("length_mm"), card.given("width_mm")),
        of=card.id,
        case=f"{packs}",
    )
