"""The commands of ``traywright``."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from traywright.base import text
from traywright.base.errors import TraywrightError
from traywright.cli.show import show_error, show_explained, show_progress, show_read_back, show_verdict
from traywright.cli.show_layout import show_layout
from traywright.cli.show_part import show_parts

if TYPE_CHECKING:
    from traywright.job import JobRan

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
    _show_ran(ran, as_json=as_json, strict=strict)


@app.command(name="as-drawn", help=text("command", "as_drawn"))
def as_drawn_command(  # noqa: PLR0913  # reason: each is an option of the command
    file: Annotated[Path | None, typer.Argument(help=text("command", "as_drawn_file"))] = None,
    *,
    out: Annotated[Path, typer.Option("--out", help=text("command", "as_drawn_out"))],
    board: Annotated[str | None, typer.Option("--board", help=text("command", "as_drawn_board"))] = None,
    machine: Annotated[str | None, typer.Option("--machine", help=text("command", "as_drawn_machine"))] = None,
    depth: Annotated[list[str] | None, typer.Option("--depth", help=text("command", "as_drawn_depth"))] = None,
    engrave: Annotated[list[str] | None, typer.Option("--engrave", help=text("command", "as_drawn_engrave"))] = None,
    quantity: Annotated[int | None, typer.Option("--qty", help=text("command", "as_drawn_qty"))] = None,
    again: Annotated[bool, typer.Option("--again", help=text("command", "as_drawn_again"))] = False,
    unit: Annotated[str | None, typer.Option("--unit", help=text("command", "as_drawn_unit"))] = None,
    outline: Annotated[str | None, typer.Option("--outline", help=text("command", "as_drawn_outline"))] = None,
    leave_out: Annotated[
        list[str] | None, typer.Option("--leave-out", help=text("command", "as_drawn_leave_out"))
    ] = None,
    thickness: Annotated[float | None, typer.Option("--thickness", help=text("command", "as_drawn_thickness"))] = None,
    keep: Annotated[str | None, typer.Option("--keep", help=text("command", "as_drawn_keep"))] = None,
    corner: Annotated[str | None, typer.Option("--corner", help=text("command", "as_drawn_corner"))] = None,
    cutter: Annotated[list[str] | None, typer.Option("--cutter", help=text("command", "as_drawn_cutter"))] = None,
    sheet: Annotated[str | None, typer.Option("--sheet", help=text("command", "as_drawn_sheet"))] = None,
    customer: Annotated[str | None, typer.Option("--customer", help=text("command", "as_drawn_customer"))] = None,
    number: Annotated[str | None, typer.Option("--number", help=text("command", "as_drawn_number"))] = None,
    revision: Annotated[str | None, typer.Option("--revision", help=text("command", "as_drawn_revision"))] = None,
    title: Annotated[str | None, typer.Option("--title", help=text("command", "as_drawn_title"))] = None,
    dated: Annotated[str | None, typer.Option("--dated", help=text("command", "as_drawn_dated"))] = None,
    dialect: Annotated[str | None, typer.Option("--dialect", help=text("command", "as_drawn_dialect"))] = None,
    rates: Annotated[str | None, typer.Option("--rates", help=text("command", "as_drawn_rates"))] = None,
    shop: Annotated[Path | None, typer.Option("--shop", help=text("command", "as_drawn_shop"))] = None,
    as_json: Annotated[bool, typer.Option("--json", help=text("command", "json"))] = False,
    workers: Annotated[int, typer.Option("--workers", min=1, max=64, help=text("command", "job_workers"))] = 2,
    strict: Annotated[bool, typer.Option("--strict", help=text("command", "job_strict"))] = False,
) -> None:
    """Cut a drawing as it is."""
    from traywright.job import DrawingTyped, cut_as_drawn  # noqa: PLC0415  # reason: --help stays quick

    typed = DrawingTyped(
        board=board,
        machine=machine,
        depth=tuple(depth or ()),
        engrave=tuple(engrave or ()),
        quantity=quantity,
        length_unit=unit,
        outline=outline,
        leave_out=tuple(leave_out or ()),
        thickness_mm=thickness,
        keep=keep,
        corner=corner,
        cutters=tuple(cutter or ()),
        sheet=sheet,
        customer=customer,
        number=number,
        revision=revision,
        title=title,
        dated=dated,
        dialect=dialect,
        rates=rates,
    )
    with answering(), show_progress() as progress:
        ran = cut_as_drawn(file, typed, out, again=again, shop=shop, workers=workers, progress=progress)
    _show_ran(ran, as_json=as_json, strict=strict)


@app.command(name="simple", help=text("command", "simple"))
def simple_command(  # noqa: PLR0913  # reason: each is an option of the command
    *,
    part: Annotated[str, typer.Option("--part", help=text("command", "simple_part"))],
    count: Annotated[int, typer.Option("--count", min=1, help=text("command", "simple_count"))],
    board: Annotated[str, typer.Option("--board", help=text("command", "as_drawn_board"))],
    out: Annotated[Path, typer.Option("--out", help=text("command", "as_drawn_out"))],
    grip: Annotated[str, typer.Option("--grip", help=text("command", "simple_grip"))] = "each",
    size: Annotated[str, typer.Option("--size", help=text("command", "simple_size"))] = "",
    depth: Annotated[float | None, typer.Option("--depth", help=text("command", "simple_depth"))] = None,
    machine: Annotated[str | None, typer.Option("--machine", help=text("command", "as_drawn_machine"))] = None,
    thickness: Annotated[float | None, typer.Option("--thickness", help=text("command", "as_drawn_thickness"))] = None,
    keep: Annotated[str | None, typer.Option("--keep", help=text("command", "as_drawn_keep"))] = None,
    cutter: Annotated[list[str] | None, typer.Option("--cutter", help=text("command", "as_drawn_cutter"))] = None,
    customer: Annotated[str | None, typer.Option("--customer", help=text("command", "as_drawn_customer"))] = None,
    number: Annotated[str | None, typer.Option("--number", help=text("command", "as_drawn_number"))] = None,
    dated: Annotated[str | None, typer.Option("--dated", help=text("command", "as_drawn_dated"))] = None,
    shop: Annotated[Path | None, typer.Option("--shop", help=text("command", "as_drawn_shop"))] = None,
    as_json: Annotated[bool, typer.Option("--json", help=text("command", "json"))] = False,
    workers: Annotated[int, typer.Option("--workers", min=1, max=64, help=text("command", "job_workers"))] = 2,
    strict: Annotated[bool, typer.Option("--strict", help=text("command", "job_strict"))] = False,
) -> None:
    """Cut rows of pockets for one part."""
    from traywright.job import DrawingTyped, SimpleTyped, cut_simple  # noqa: PLC0415  # reason: --help stays quick

    typed = DrawingTyped(
        board=board,
        machine=machine,
        thickness_mm=thickness,
        keep=keep,
        cutters=tuple(cutter or ()),
        customer=customer,
        number=number,
        dated=dated,
    )
    rows = SimpleTyped(part=part, count=count, grip=grip, size=size, depth_mm=depth)
    with answering(), show_progress() as progress:
        ran = cut_simple(rows, typed, out, shop=shop, workers=workers, progress=progress)
    _show_ran(ran, as_json=as_json, strict=strict)


def _show_ran(ran: JobRan, *, as_json: bool, strict: bool) -> None:
    """Show a job that was run; with --strict a stop is an exit code."""
    if as_json:
        sys.stdout.write(ran.result_text)
    show_verdict(ran, to_stderr=as_json)
    if strict and (ran.result["verdict"]["stops"] or not ran.result["verdict"]["read_back"]):
        raise typer.Exit(EXIT_STOP)


@app.command(name="part", help=text("command", "part"))
def part_command(  # noqa: PLR0913  # reason: each is an option of the command
    files: Annotated[list[Path], typer.Argument(help=text("command", "part_files"))],
    *,
    unit: Annotated[str, typer.Option("--unit", help=text("command", "part_unit"))] = "file",
    thickness: Annotated[float | None, typer.Option("--thickness", help=text("command", "part_thickness"))] = None,
    turned: Annotated[bool, typer.Option("--turned", help=text("command", "part_turned"))] = False,
    height: Annotated[list[str] | None, typer.Option("--height", help=text("command", "part_height"))] = None,
    square: Annotated[float, typer.Option("--square", help=text("command", "part_square"))] = 60.0,
    line: Annotated[float, typer.Option("--line", help=text("command", "part_line"))] = 100.0,
    mass: Annotated[float | None, typer.Option("--mass", help=text("command", "part_mass"))] = None,
    density: Annotated[float | None, typer.Option("--density", help=text("command", "part_density"))] = None,
    material: Annotated[str | None, typer.Option("--material", help=text("command", "part_material"))] = None,
    pose: Annotated[int | None, typer.Option("--pose", min=0, help=text("command", "part_pose"))] = None,
    jobs: Annotated[Path | None, typer.Option("--jobs", help=text("command", "part_jobs"))] = None,
    most_s: Annotated[float, typer.Option("--most-s", min=1.0, help=text("command", "part_most_s"))] = 17.0,
    as_json: Annotated[bool, typer.Option("--json", help=text("command", "json"))] = False,
) -> None:
    """Tell what parts' files hold."""
    from traywright.job import PartTyped, tell_part  # noqa: PLC0415  # reason: --help stays quick

    typed = PartTyped(
        length_unit=unit,
        thickness_mm=thickness,
        mass_kg=mass,
        density_kg_m3=density,
        material=material,
        turned=turned,
        heights=tuple(height or ()),
        square_mm=square,
        line_mm=line,
        pose=pose,
        jobs=jobs,
        most_s=most_s,
    )
    with answering(), show_progress(lines=False) as progress:
        told = [
            tell_part(file, typed, first=files[0] if number else None, progress=progress)
            for number, file in enumerate(files)
        ]
    show_parts(told, as_json=as_json)


@app.command(name="layout", help=text("command", "layout"))
def layout_command(  # noqa: PLR0913  # reason: each is an option of the command
    outlines: Annotated[list[str], typer.Argument(help=text("command", "layout_outlines"))],
    *,
    tray: Annotated[str, typer.Option("--tray", help=text("command", "layout_tray"))],
    wall: Annotated[str, typer.Option("--wall", help=text("command", "layout_wall"))],
    rim: Annotated[str | None, typer.Option("--rim", help=text("command", "layout_rim"))] = None,
    turns: Annotated[str, typer.Option("--turns", help=text("command", "layout_turns"))] = "0,180",
    ratio: Annotated[str | None, typer.Option("--ratio", help=text("command", "layout_ratio"))] = None,
    mass: Annotated[str | None, typer.Option("--mass", help=text("command", "layout_mass"))] = None,
    together: Annotated[bool, typer.Option("--together", help=text("command", "layout_together"))] = False,
    kits: Annotated[int | None, typer.Option("--kits", min=1, help=text("command", "layout_kits"))] = None,
    no_go: Annotated[list[str] | None, typer.Option("--no-go", help=text("command", "layout_no_go"))] = None,
    no_go_wall: Annotated[str | None, typer.Option("--no-go-wall", help=text("command", "layout_no_go_wall"))] = None,
    slot: Annotated[list[str] | None, typer.Option("--slot", help=text("command", "layout_slot"))] = None,
    unit: Annotated[str, typer.Option("--unit", help=text("command", "layout_unit"))] = "file",
    rounds: Annotated[int | None, typer.Option("--rounds", min=0, help=text("command", "layout_rounds"))] = None,
    seed: Annotated[int | None, typer.Option("--seed", min=0, help=text("command", "layout_seed"))] = None,
    svg: Annotated[Path | None, typer.Option("--svg", help=text("command", "layout_svg"))] = None,
    most_s: Annotated[float, typer.Option("--most-s", min=1.0, help=text("command", "layout_most_s"))] = 17.0,
    as_json: Annotated[bool, typer.Option("--json", help=text("command", "json"))] = False,
) -> None:
    """Lay outlines out in a tray."""
    from traywright.job import LayoutTyped, lay_out_outlines  # noqa: PLC0415  # reason: --help stays quick

    typed = LayoutTyped(
        outlines=tuple(outlines),
        tray=tray,
        wall=wall,
        rim=rim,
        turns=turns,
        ratio=ratio,
        mass=mass,
        together=together,
        kits=kits or 0,
        no_go=tuple(no_go or ()),
        no_go_wall=no_go_wall,
        slots=tuple(slot or ()),
        length_unit=unit,
        rounds=rounds,
        seed=seed,
        svg=svg,
        most_s=most_s,
    )
    with answering(), show_progress(lines=False) as progress:
        told = lay_out_outlines(typed, progress=progress)
    show_layout(told, as_json=as_json)


@app.command(name="photo-sheet", help=text("command", "photo_sheet"))
def photo_sheet_command(
    out: Annotated[Path, typer.Option("--out", help=text("command", "photo_sheet_out"))],
    paper: Annotated[str, typer.Option("--paper", help=text("command", "photo_sheet_paper"))] = "A4",
) -> None:
    """Print a sheet to lay parts on."""
    from traywright.job import write_photo_sheet  # noqa: PLC0415  # reason: --help stays quick

    with answering():
        write_photo_sheet(out, paper)
    sys.stdout.write(text("screen", "where", name=paper, file=str(out)) + "\n")


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
