"""What the command line shows: errors, progress, the verdict's table, a figure's tree, a read-back."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from rich.console import Console
from rich.progress import BarColumn, Progress, TextColumn
from rich.table import Table
from rich.tree import Tree

from traywright.base import canonical_json, message, text

if TYPE_CHECKING:
    from traywright.base import Finding
    from traywright.base.errors import TraywrightError
    from traywright.job import Explained, JobRan, ToldBack
    from traywright.job.progress import Progress as Told


def show_error(refused: TraywrightError) -> None:
    """Print what, why and what to do on standard error."""
    sys.stderr.write(f"{refused}\n")


@contextmanager
def show_progress(*, lines: bool = True) -> Iterator[Told]:
    """A bar on standard error that names the stage; plain lines where standard error is no screen, or nothing."""
    console = Console(stderr=True)
    if not console.is_terminal:
        yield _plain_lines if lines else _no_lines
        return
    columns = (TextColumn("{task.description:32}"), BarColumn(), TextColumn("{task.fields[message]}"))
    with Progress(*columns, console=console) as bar:
        tasks: dict[str, int] = {}

        def told(stage: str, fraction: float, doing: str) -> None:
            if stage not in tasks:
                tasks[stage] = bar.add_task(text("stage", stage), total=1.0, message="")
            bar.update(tasks[stage], completed=fraction, message=doing)  # type: ignore[arg-type]

        yield told


def _no_lines(_stage: str, _fraction: float, _doing: str) -> None:
    """Nothing: the work is short, and a refusal is three lines."""


def _plain_lines(stage: str, fraction: float, doing: str) -> None:
    """One line when a stage begins."""
    if fraction == 0.0:
        sys.stderr.write(f"{text('stage', stage)} {doing}".rstrip() + "\n")
        sys.stderr.flush()


def show_verdict(ran: JobRan, *, to_stderr: bool) -> None:
    """Print the verdict, what shows first and what to do, the price, and where the files lie."""
    console = Console(stderr=to_stderr, highlight=False)
    verdict = ran.result["verdict"]
    console.print(ran.title, style="bold", markup=False)
    console.print(text("screen", "verdict", word=verdict["word"], status=verdict["status"]), markup=False)
    read_back = text("screen", "read_back_true" if verdict["read_back"] else "read_back_false")
    read_back = read_back if ran.result["programs"] else text("screen", "read_back_none")
    counts = {key: verdict[key] for key in ("stops", "warnings", "notes")}
    console.print(text("screen", "counts", read_back=read_back, **counts), markup=False)
    for line in ran.asked_lines:
        console.print(line, markup=False, soft_wrap=True)
    console.print(_findings_table(ran.first), markup=False) if ran.first else console.print(text("screen", "none"))
    if ran.more:
        console.print(text("screen", "more", count=ran.more), markup=False)
    for line in ran.closing_lines:
        console.print(line, markup=False, soft_wrap=True)


def _findings_table(first: tuple[Finding, ...]) -> Table:
    """The findings that show first, with what to do about each."""
    table = Table(show_lines=True, expand=True)
    for key, ratio in (("column_sign", 1), ("column_what", 4), ("column_why", 4), ("column_fix", 4)):
        table.add_column(text("screen", key), ratio=ratio, overflow="fold")
    for one in first:
        told = message(one.code, dict(one.parameters), one.fix)
        ways = [told.fix, *(text("screen", "or_else", choice=choice) for choice in told.choices)]
        table.add_row(f"{one.severity.word} {one.code}", told.what, told.why, "\n".join(ways))
    return table


def show_explained(explained: Explained, *, as_json: bool) -> None:
    """Print the tree of a figure, or the tree as JSON."""
    if as_json:
        sys.stdout.write(canonical_json(explained.plain()))
        return
    Console(highlight=False).print(_branch(explained, None), markup=False, soft_wrap=True)


def _branch(explained: Explained, above: Tree | None) -> Tree:
    """One figure and all below it."""
    here = Tree(explained.line) if above is None else above.add(explained.line)
    for below in explained.inputs:
        _branch(below, here)
    return here


def show_read_back(told: ToldBack, *, as_json: bool) -> None:
    """Print the read-back of one program, or the same as JSON."""
    if as_json:
        sys.stdout.write(canonical_json(told.plain))
        return
    for line in told.lines:
        sys.stdout.write(line + "\n")
