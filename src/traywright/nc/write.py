"""The text of one setup: header, safe start, operations, safe end."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import count

from traywright.base import text
from traywright.catalogue.cards import Cutter, Dialect, Machine
from traywright.cutting import XYZ, CutPlan, Move, MoveKind, Operation, walked
from traywright.nc.blocks import BlockWriter
from traywright.nc.program import Program, ProgramHead
from traywright.nc.words import LAST_NUMBER, Writing, writing_of
from traywright.nesting.setup import Setup

CAUTIONS = ("first", "second", "third")


def _moves(plan: CutPlan) -> tuple[Move, ...]:
    """All moves of a plan."""
    return tuple(move for one in plan.operations for move in one.moves)


def cut_box_mm(plan: CutPlan) -> tuple[XYZ, XYZ]:
    """Least and largest x, y, z of all that is cut, board frame; both the start where nothing is.

    Parameters
    ----------
    plan
        The plan.
    """
    ends = [
        point
        for here, move, there in walked(plan.start_mm, _moves(plan))
        if move.kind is not MoveKind.RAPID
        for point in (here, there)
    ] or [plan.start_mm]
    low = tuple(min(one[axis] for one in ends) for axis in range(3))
    high = tuple(max(one[axis] for one in ends) for axis in range(3))
    return (low[0], low[1], low[2]), (high[0], high[1], high[2])


def _header(
    plan: CutPlan, setup: Setup, cutters: Mapping[int, Cutter], head: ProgramHead, z_shift_mm: float
) -> Iterator[str]:
    """What the program says about itself, line by line."""
    yield text("nc", "job", job=head.job, revision=head.revision, release=head.release)
    yield text("nc", "cut", cut=head.cut)
    yield text("nc", "setup", setup=setup.id, board=setup.board, runs=setup.runs)
    yield text("nc", "side", side=setup.side_up, datum=text("nc", f"datum_{setup.datum.replace(' ', '_')}"))
    yield text("nc", f"zero_{setup.z_zero}")
    yield text("nc", "thickness", thickness_mm=f"{setup.thickness_mm:.3f}")
    for number in sorted({one.cutter for one in plan.operations}):
        cutter = cutters[number]
        yield text(
            "nc",
            "cutter",
            number=number,
            name=cutter.name,
            form=cutter.form,
            diameter_mm=f"{cutter.diameter_mm:.3f}",
            reach_mm=f"{cutter.reach_mm:.3f}",
        )
    low, high = cut_box_mm(plan)
    for axis, least, most, shift in zip("XYZ", low, high, (0.0, 0.0, z_shift_mm), strict=True):
        yield text("nc", "box", axis=axis, least_mm=f"{least + shift:.3f}", most_mm=f"{most + shift:.3f}")
    for key in CAUTIONS:
        yield text("nc", key)


def _cutter_start(number: int, machine: Machine) -> list[str]:
    """Blocks that change to a cutter and wait until it has run up."""
    return [f"T{number} M6", f"S{machine.spindle_rpm:.0f} M3", f"G4 P{machine.spin_up_s:.1f}"]


def _safe_height(writer: BlockWriter, number: int, plan: CutPlan, dialect: Dialect) -> list[str]:
    """Blocks that go straight up to the safe height, with the cutter's length where the control wants it."""
    blocks = writer.safe_height(plan.start_mm[2])
    return [f"{one} G43 H{number}" for one in blocks] if dialect.length_offset else blocks


def _numbered(lines: list[str], dialect: Dialect) -> list[str]:
    """Lines with numbers where the dialect wants them and they are few enough.

    Blocks are numbered one by one and comments are not, so that a lost block is a gap that a reader sees.
    """
    blocks = sum(1 for line in lines if not line.startswith("("))
    if not dialect.line_numbers or blocks > LAST_NUMBER:
        return lines
    numbers = count(1)
    return [line if line.startswith("(") else f"N{next(numbers)} {line}" for line in lines]


def _label(operation: Operation, writing: Writing) -> tuple[str, ...]:
    """The comment before an operation."""
    return writing.comment(f"{operation.id} {operation.kind} level {operation.level_mm:.3f}")


def write_program(
    plan: CutPlan,
    setup: Setup,
    machine: Machine,
    dialect: Dialect,
    cutters: Mapping[int, Cutter],
    head: ProgramHead,
) -> Program:
    """The text that cuts one setup on one machine.

    Parameters
    ----------
    plan
        What is cut.
    setup
        The board as clamped.
    machine
        For spindle speed, run-up, park.
    dialect
        How the control wants its text.
    cutters
        Cutters by their number on the machine.
    head
        What the program says about where it comes from.

    Returns
    -------
    Program
        Text with line feeds as line ends, named as the setup says.

    Raises
    ------
    ProgramError
        NC-001 an unknown unit, NC-002 a line too short to hold a block.

    Notes
    -----
    The header says where X0 Y0 and Z0 lie: on the corner, a pin or a fence, and on the spoil board or the board's top.
    Start: plane, unit, no compensation, no cycle, absolute, feed a minute, work offset; cutter, spindle, dwell; safe
    height before any way across. Rapids go up, across, down. Arcs by centre offset, checked after rounding to half
    the limit of the report, else lines. End: spindle off at the safe height, park over the datum, end.

    References
    ----------
    NISTIR 6556 (2000), sections 3.3, 3.5, 3.6 and table 4.
    """
    writing = writing_of(dialect)
    z_shift_mm = 0.0 if setup.z_zero == "bed" else -setup.thickness_mm
    lines = [line for told in _header(plan, setup, cutters, head, z_shift_mm) for line in writing.comment(told)]
    lines.append(f"G17 {writing.unit_word} G40 G49 G80 G90 G94 {dialect.work_offset}")
    writer = BlockWriter(writing, z_shift_mm)
    mounted = -1
    operations: list[tuple[str, int]] = []
    for operation in plan.operations:
        if operation.cutter != mounted:
            lines += ["M5"] if mounted >= 0 else []
            lines += _cutter_start(operation.cutter, machine)
            lines += _safe_height(writer, operation.cutter, plan, dialect)
            mounted = operation.cutter
        lines += _label(operation, writing)
        operations.append((operation.id, len(lines) + 1))
        lines += [block for move in operation.moves for block in writer.blocks(move)]
    lines += writer.rapid_up(plan.start_mm[2])
    lines += ["M5", *writer.rapid((0.0, 0.0, plan.start_mm[2])), "M30"]
    return Program(
        name=setup.program,
        setup=setup.id,
        dialect=dialect.id,
        text="\n".join(_numbered(lines, dialect)) + "\n",
        operations=tuple(operations),
    )
