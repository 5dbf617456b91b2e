"""The drawing commands as typed, turned into the tables of ``enquiry.toml``."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import platformdirs

from traywright.base import file_name
from traywright.base.errors import JobError
from traywright.catalogue import load_cards
from traywright.design import SimpleAsked, draw_simple, simple_part, simple_size
from traywright.job.as_drawn import Answers, DrawingTold, run_as_drawn
from traywright.job.progress import Progress, silent
from traywright.job.ran import JobRan
from traywright.job.shop_folder import ShopFolder
from traywright.nesting import blank_of

MOST_BYTES = 256 * 1024 * 1024
"""Largest file that is opened at all.  # source: the readers' own limits are far lower"""

COLOUR_WORDS = ("colour:", "color:")
SHOP_DEFAULTS = {"machine": "demo-router-1300", "dialect": "demo-mm", "rates": "demo-rates"}
"""The cards that are shipped; a shop names its own.  # source: invented, marked so on the cards"""


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawingTyped:
    """What the command line was told of a drawing job; None and empty are left to the folder or the defaults."""

    board: str | None = None
    machine: str | None = None
    depth: tuple[str, ...] = ()
    engrave: tuple[str, ...] = ()
    quantity: int | None = None
    length_unit: str | None = None
    outline: str | None = None
    leave_out: tuple[str, ...] = ()
    thickness_mm: float | None = None
    keep: str | None = None
    corner: str | None = None
    cutters: tuple[str, ...] = ()
    sheet: str | None = None
    customer: str | None = None
    number: str | None = None
    revision: str | None = None
    title: str | None = None
    dated: str | None = None
    dialect: str | None = None
    rates: str | None = None
    shape: str | None = None

    def answers(self) -> Answers:
        """What was typed as the tables of the file.

        Raises
        ------
        JobError
            JOB-026 for an option that cannot be read.
        """
        one_a_key = ("board", "quantity", "length_unit", "outline", "thickness_mm", "keep", "corner", "sheet", "shape")
        lists: Answers = {"leave_out": list(self.leave_out), "cutters": list(self.cutters)}
        lists |= {"depth": _rows("--depth", self.depth), "engrave": _rows("--engrave", self.engrave)}
        drawing = {key: getattr(self, key) for key in one_a_key if getattr(self, key) is not None}
        drawing |= {key: rows for key, rows in lists.items() if rows}
        head = ("customer", "number", "revision", "title", "dated")
        shop = ("machine", "dialect", "rates")
        return {
            "job": {key: getattr(self, key) for key in head if getattr(self, key) is not None},
            "drawing": drawing,
            "shop": {key: getattr(self, key) for key in shop if getattr(self, key) is not None},
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class SimpleTyped:
    """Rows of pockets as typed: size of the part, count, grip, size of a tray, depth."""

    part: str
    count: int
    grip: str = "each"
    size: str = ""
    depth_mm: float | None = None


def _rows(option: str, typed: tuple[str, ...]) -> list[Answers]:
    """Rows of a depth table: ``LAYER=14``, ``LAYER=through``, ``colour:5=14``."""
    rows = [_row(option, one) for one in typed]
    places = [(str(one.get("layer", "")).lower(), one.get("colour", 0)) for one in rows]
    for number, place in enumerate(places):
        if place in places[:number]:
            raise JobError("JOB-032", told=typed[number], option=option)
    return rows


def _row(option: str, typed: str) -> Answers:
    """One row of a depth table."""
    place, mark, told = typed.rpartition("=")
    example = "DEPTH_A=14"
    if not mark or not place.strip():
        raise JobError("JOB-026", told=typed, wanted="LAYER=MM", option=option, example=example)
    row: Answers = {"layer": place.strip()}
    word = next((one for one in COLOUR_WORDS if place.lower().startswith(one)), "")
    if word:
        row = {"colour": _number(int, place[len(word) :], option, "colour:5=14")}
    if told.strip().lower() == "through" and option == "--depth":
        return {**row, "through": True}
    return {**row, "mm": _number(float, told.strip().replace(",", "."), option, example)}


def _number(sort: Callable[[str], Any], told: str, option: str, example: str) -> Any:  # noqa: ANN401  # reason: whole or not
    """A number of an option."""
    try:
        return sort(told)
    except ValueError as refused:
        raise JobError("JOB-026", told=told, wanted="number", option=option, example=example) from refused


def cut_as_drawn(  # noqa: PLR0913  # reason: where from, where to, and how to run it
    file: Path | None,
    typed: DrawingTyped,
    out: Path,
    *,
    again: bool = False,
    shop: Path | None = None,
    workers: int = 2,
    progress: Progress = silent,
) -> JobRan:
    """Cut a customer's drawing as it is.

    Parameters
    ----------
    file
        The drawing; None with ``again``.
    typed
        What the command line was told.
    out
        The job's folder.
    again
        Take what was not typed from the folder's own enquiry.
    shop
        The shop's own folder; None: the user's own data folder.
    workers
        Processes for cutting and read-back.
    progress
        Shows the stages.

    Raises
    ------
    TraywrightError
        If the drawing, an answer or a card is refused, or the folder cannot be written.
    """
    if file is None and not again:
        raise JobError("JOB-027")
    told = DrawingTold(
        file=file.name if file else "",
        content=None if file is None else _content(file),
        answers=typed.answers() if again else _named(typed, file.stem if file else "").answers(),
        again=again,
    )
    return run_as_drawn(told, out, shop=_shop(shop), workers=workers, progress=progress)


def cut_simple(
    rows: SimpleTyped,
    typed: DrawingTyped,
    out: Path,
    *,
    shop: Path | None = None,
    workers: int = 2,
    progress: Progress = silent,
) -> JobRan:
    """Draw rows of pockets for one part, and cut that drawing.

    Parameters
    ----------
    rows
        The part and how many.
    typed
        Board, machine and the head of the job.
    out
        The job's folder.
    shop
        The shop's own folder; None: the user's own data folder.
    workers
        Processes for cutting and read-back.
    progress
        Shows the stages.

    Raises
    ------
    TraywrightError
        If the part does not go into the board, or as ``cut_as_drawn``.
    """
    kept = _shop(shop)
    named = _named(replace(typed, shape="shop", corner="relief"), f"simple-{rows.part}")
    catalogue = load_cards(kept.cards())
    board, machine = catalogue.board(named.board or ""), catalogue.machine(named.machine or "")
    blank = blank_of(board, machine)
    cutters = tuple(catalogue.cutter(one) for one in named.cutters or machine.cutters)
    drawn = draw_simple(
        SimpleAsked(
            part=simple_part(rows.part),
            count=rows.count,
            grip=rows.grip,
            board=board,
            stuff=catalogue.stuff_of(board),
            thickness_mm=board.thickness_mm if typed.thickness_mm is None else typed.thickness_mm,
            room_mm=(blank.width_mm - 2.0 * board.edge_mm, blank.depth_mm - 2.0 * board.edge_mm),
            size_mm=simple_size(rows.size) if rows.size else None,
            depth_mm=rows.depth_mm,
            cutter_mm=min((one.diameter_mm for one in cutters if one.form == "flat"), default=0.0),
        )
    )
    told = DrawingTold(
        file=f"simple-{rows.part}.dxf",
        content=drawn.content,
        answers=replace(named, quantity=drawn.trays).answers(),
        findings=drawn.findings,
    )
    return run_as_drawn(told, out, shop=kept, workers=workers, progress=progress)


def _content(file: Path) -> bytes:
    """Bytes of the drawing."""
    try:
        size = file.stat().st_size
        if size > MOST_BYTES:
            raise JobError("JOB-028", file=str(file), size_mb=size / 1e6, most_mb=MOST_BYTES / 1e6)
        return file.read_bytes()
    except OSError as refused:
        raise JobError("JOB-001", file=str(file), told=str(refused.strerror)) from refused


def _named(typed: DrawingTyped, stem: str) -> DrawingTyped:
    """What was typed with number and title from the file's name, and the shipped cards, where none was told."""
    return replace(
        typed,
        number=typed.number or file_name(stem).upper(),
        title=typed.title or stem,
        machine=typed.machine or SHOP_DEFAULTS["machine"],
        dialect=typed.dialect or SHOP_DEFAULTS["dialect"],
        rates=typed.rates or SHOP_DEFAULTS["rates"],
    )


def _shop(folder: Path | None) -> ShopFolder:
    """The shop's own folder."""
    return ShopFolder(path=folder or Path(platformdirs.user_data_dir("traywright", appauthor=False)))
