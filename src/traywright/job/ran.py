"""A job that was run and written: what the command line shows of it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from traywright.base import Finding, text
from traywright.base.units import S_PER_MIN
from traywright.job.folder import RESULT
from traywright.job.making import Made
from traywright.job.pipeline import Clock
from traywright.papers import Paper
from traywright.quoting import Quote


@dataclass(frozen=True, slots=True, kw_only=True)
class JobRan:
    """A job that was run and written: its result, what shows first, and the lines that close the run.

    ``asked_lines`` tell what was asked and which answer was taken, and what was not asked for.
    """

    title: str
    result: dict[str, Any]
    result_text: str
    first: tuple[Finding, ...]
    more: int
    asked_lines: tuple[str, ...] = ()
    closing_lines: tuple[str, ...]


def closing_lines(  # reason: each line has its own source
    quote: Quote | None,
    made: tuple[Made, ...],
    out: Path,
    papers: tuple[Paper, ...],
    clock: Clock,
    *,
    price: str = "price",
) -> tuple[str, ...]:
    """The price, the cutting time, where the files lie, and the CPU seconds of each stage.

    Parameters
    ----------
    quote
        The price, if there is one.
    made
        Every setup that was made.
    out
        The job's folder as it was typed.
    papers
        The papers written.
    clock
        CPU seconds of each stage.
    price
        Key of the line that tells the price: of packs, or of pieces.
    """
    lines = []
    if quote is not None:
        one = next(each for each in quote.breaks if each.packs == quote.packs)
        trip = "" if one.per_kit_trip is None else text("screen", "price_trip", per_kit_trip=str(one.per_kit_trip))
        words = {"packs": one.packs, "price": one.price, "per_pack": one.per_pack, "currency": quote.currency}
        lines.append(text("screen", price, trip=trip, **words))
    if made:
        time_min = sum(one.setup.runs * one.plan.time_s for one in made) / S_PER_MIN
        plain_min = sum(one.setup.runs * one.plan.length_over_feed_s for one in made) / S_PER_MIN
        lines.append(text("screen", "cutting_time", time_min=time_min, plain_min=plain_min))
    lines.append(text("screen", "where", name=text("screen", "files"), file=str(out)))
    lines.extend(f"  {name}" for name in (RESULT, *(one.file for one in papers if one.name != "tray")))
    lines.append(text("screen", "cpu_title"))
    lines.extend(f"  {text('stage', name)}: {spent:.1f}" for name, spent in clock.spent)
    return tuple(lines)
