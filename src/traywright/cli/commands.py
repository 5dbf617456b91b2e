"""The commands of ``traywright``."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated

import typer

from traywright.base import text
from traywright.base.errors import TraywrightError
from traywright.cli.show import show_error, show_explained, show_progress, show_read_back, show_verdict

EXIT_REFUSED = 2
EXIT_STOP = 3
EXIT_CANCELLED = 130

app = typer.Typer(
    name="traywright",
    help=text("command", "traywright"),
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)


@app.command(name="job", help=text("command", "job"))
def job_command(  # reason: each is an option of the command
    enquiry: Annotated[Path, typer.Argument(help=text("command", "job_enquiry"))],
    out: Annotated[Path, typer.Option("--out", help=text("command", "job_out"))],
    *,
    as_json: Annotated[bool, typer.Option("--json", help=text("command", "json"))] = False,
    workers: Annotated[int, typer.Option("--workers", min=1, max=64, help=text("command", "job_workers"))] = 2,
    strict: Annotated[bool, typer.Option("--strict", help=text("command", "job_strict"))] = False,
) -> None:
    """Run a whole job."""
    from traywright.job import run_job_folder  # noqa: PLC0415  # reason: --help stays quick

    with answering(), show_progress() as progress:
        ran = run_job_folder(enquiry, out, workers=workers, progress=progress)
    if as_json:
        sys.stdout.write(ran.result_text)
    show_verdict(ran, to_stderr=as_json)
    if strict and ran.result["verdict"]["stops"]:
        raise typer.Exit(EXIT_STOP)


@app.command(name="explain", help=text("command", "explain"))
def explain_command(
    figure: Annotated[str, typer.Argument(help=text("command", "explain_figure"))],
    job: Annotated[Path, typer.Option("--job", help=text("command", "job_folder"))] = Path("build/demo"),
    *,
    as_json: Annotated[bool, typer.Option("--json", help=text("command", "json"))] = False,
) -> None:
    """Print what a figure stands on."""
    from traywright.job import explain  # noqa: PLC0415  # reason: --help stays quick

    with answering():
        show_explained(explain(job, figure), as_json=as_json)


@app.command(name="read-back", help=text("command", "read_back"))
def read_back_command(
    program: Annotated[Path, typer.Argument(help=text("command", "read_back_program"))],
    job: Annotated[Path, typer.Option("--job", help=text("command", "job_folder"))] = Path("build/demo"),
    *,
    setup: Annotated[str, typer.Option("--setup", help=text("command", "read_back_setup"))] = "",
    as_json: Annotated[bool, typer.Option("--json", help=text("command", "json"))] = False,
    strict: Annotated[bool, typer.Option("--strict", help=text("command", "job_strict"))] = False,
) -> None:
    """Read a program back and hold it against the trays."""
    from traywright.job import read_back_program  # noqa: PLC0415  # reason: --help stays quick

    with answering():
        told = read_back_program(job, program, setup)
    show_read_back(told, as_json=as_json)
    if strict and not told.true:
        raise typer.Exit(EXIT_STOP)


@contextmanager
def answering() -> Iterator[None]:
    """Turn bad input into three lines and exit code 2, and Ctrl-C into exit code 130; never a traceback."""
    try:
        yield
    except TraywrightError as refused:
        show_error(refused)
        raise typer.Exit(EXIT_REFUSED) from refused
    except KeyboardInterrupt as stopped:
        sys.stderr.write(text("command", "cancelled") + "\n")
        raise typer.Exit(EXIT_CANCELLED) from stopped


def run() -> None:
    """Run the command line."""
    app()
