"""What a drawing takes to make, and its price."""

from __future__ import annotations

import math

from traywright.base import Figure, derive
from traywright.catalogue import table
from traywright.job.drawn_done import DrawnDone
from traywright.job.making import S_PER_H
from traywright.nesting import board_grounds
from traywright.quoting import Quote, SheetsAsked, price_sheets, sheet_share

_BRIDGE_ROWS = ("few", "many", "many_from")
SHARE = "share"


def price_drawn(done: DrawnDone) -> Quote | None:
    """The quote of a drawing job; None where a piece could not be laid: what is not cut has no price."""
    asked, nest = done.asked, done.nest
    quantity = asked.read.given("drawing.quantity")
    if sum(one.pieces for one in nest.plan.needs) < round(quantity.value) * len(done.plies):
        return None
    enquiry = asked.read.enquiry
    rates = asked.catalogue.rates(enquiry.shop.rates)
    blanks = _counted(done, "blanks", sum(one.runs for one in nest.plan.setups), "board")
    bridges = _counted(done, "bridges", sum(one.setup.runs * len(one.setup.bridges) for one in done.made), "bridge")
    sheets = tuple(
        (asked.board, _share(done) if enquiry.drawing.sheet == SHARE else _whole(done, one.boards))
        for one in nest.plan.needs
    )
    return price_sheets(
        SheetsAsked(
            currency=enquiry.offer.currency,
            quantity=quantity,
            rates=rates,
            sheets=sheets,
            machine=_hours(done, blanks),
            blanks=blanks,
            bridges=bridges,
            sheet=enquiry.drawing.sheet,
        )
    )


def _counted(done: DrawnDone, what: str, value: float, unit: str) -> Figure:
    """Boards clamped, or bridges to trim."""
    quantity, rules = done.asked.read.given("drawing.quantity"), table("bridge_rules")
    grounds = board_grounds(done.asked.board, done.asked.machine)
    rows = tuple(rules.given(row, "value") for row in _BRIDGE_ROWS) if what == "bridges" else ()
    path = f"quoting/sheets/{what}"
    return derive(path, value, unit, what=what, method="counted", inputs=(quantity, *grounds, *rows))


def _share(done: DrawnDone) -> Figure:
    """Share of the sheets that the pieces with their kerf take."""
    asked, kerf_mm = done.asked, done.asked.machine.kerf_mm
    quantity = asked.read.given("drawing.quantity")
    sizes = [one.region.size_mm for one in done.plies]
    area_mm2 = quantity.value * math.fsum((width + kerf_mm) * (depth + kerf_mm) for width, depth in sizes)
    return sheet_share(asked.board, area_mm2, quantity, asked.machine.given("kerf_mm"))


def _whole(done: DrawnDone, boards: int) -> Figure:
    """Whole sheets."""
    grounds = board_grounds(done.asked.board, done.asked.machine)
    return derive(
        f"quoting/sheets/{done.asked.board.id}/boards",
        boards,
        "board",
        what="whole sheets",
        method="counted",
        inputs=(done.asked.read.given("drawing.quantity"), *grounds),
        of=done.asked.board.id,
    )


def _hours(done: DrawnDone, blanks: Figure) -> Figure:
    """Router hours of all runs, with the allowance and the clamping time of each sheet."""
    asked, machine = done.asked, done.asked.machine
    rates = asked.catalogue.rates(asked.read.enquiry.shop.rates)
    seconds = sum(one.setup.runs * one.plan.time_s for one in done.made)
    setups_s = blanks.value * machine.setup_s
    return derive(
        "quoting/sheets/machine_h",
        (seconds * (1.0 + rates.machine_allowance_ratio) + setups_s) / S_PER_H,
        "h",
        what="router time",
        method="runs times time of a run, with the allowance and the clamping time of each sheet",
        inputs=(
            *(one.time for one in done.made),
            rates.given("machine_allowance_ratio"),
            machine.given("setup_s"),
            blanks,
        ),
    )
