"""One board clamped once, from its setup to a program that was read back: what the workers do."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from traywright.base import Figure, derive
from traywright.catalogue import Cutter, Dialect, Machine, Solid
from traywright.cutting import CutPlan, machine_for, plan_cuts
from traywright.holddown import HoldAdvice
from traywright.nc import Program, ProgramHead, write_program
from traywright.nesting import Setup
from traywright.trays import Ply
from traywright.verification import ReadBack, read_back

S_PER_H = 3600.0
_MACHINE_KEYS = (
    *("feed_mm_per_s", "plunge_ratio", "rapid_mm_per_s", "acceleration_mm_per_s2", "junction_mm"),
    *("spin_up_s", "cutter_change_s", "kerf_mm", "clearance_mm", "into_spoil_mm"),
)
_CUTTER_KEYS = ("diameter_mm", "step_down_mm", "step_over_ratio")
"""What the time of a cut depends on, besides the shape of the trays."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MakeAsked:
    """A setup with its bridges in place, the plies on it, and the cards it is made by.

    ``clean_corners``: smaller cutters go over what larger ones left; ``solid`` is what a board that is no foam is of;
    ``true_arcs``: each turn of a wall keeps its own radius.
    """

    setup: Setup
    hold: HoldAdvice
    plies: tuple[tuple[str, Ply], ...]
    machine: Machine
    cutters: tuple[tuple[int, Cutter], ...]
    dialect: Dialect
    head: ProgramHead
    clean_corners: bool = False
    solid: Solid | None = None
    true_arcs: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """A setup with its cuts, its program and what the text really cuts."""

    setup: Setup
    hold: HoldAdvice
    plan: CutPlan
    program: Program
    read_back: ReadBack
    time: Figure


def make(asked: MakeAsked) -> Made:
    """Cuts, program and read-back of one setup.

    Raises
    ------
    CutError
        If a cut cannot exist.
    ProgramError
        If the program cannot be written in this dialect.
    """
    plies, cutters = dict(asked.plies), dict(asked.cutters)
    plan = plan_cuts(
        asked.setup,
        plies,
        asked.machine,
        cutters,
        clean_corners=asked.clean_corners,
        solid=asked.solid,
        true_arcs=asked.true_arcs,
    )
    machine = machine_for(asked.machine, asked.solid)
    program = write_program(plan, asked.setup, machine, asked.dialect, cutters, asked.head)
    told = read_back(
        program.text,
        name=program.name,
        setup=asked.setup,
        plies=plies,
        machine=asked.machine,
        cutters=cutters,
        solid=asked.solid,
    )
    return Made(
        setup=asked.setup,
        hold=asked.hold,
        plan=plan,
        program=program,
        read_back=told,
        time=_time_figure(plan, asked.machine, cutters, asked.solid),
    )


def _time_figure(plan: CutPlan, machine: Machine, cutters: Mapping[int, Cutter], solid: Solid | None) -> Figure:
    """Router time of one run of a setup, s, with length over feed in its case."""
    own = () if solid is None else tuple(solid.given(key) for key in ("feed_mm_per_s", "step_down_ratio", "ramp_deg"))
    used = [cutters[number] for number in sorted({one.cutter for one in plan.operations})]
    return derive(
        f"cutting/{plan.setup}/time",
        plan.time_s,
        "s",
        what="router time of one run",
        method="look-ahead motion under the machine's limits",
        inputs=(
            *(machine.given(key) for key in _MACHINE_KEYS),
            *own,
            *(cutter.given(key) for cutter in used for key in _CUTTER_KEYS),
        ),
        of=plan.setup,
        case=f"length over feed {plan.length_over_feed_s:.0f} s",
    )
