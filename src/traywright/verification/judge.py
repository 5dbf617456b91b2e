"""The read-back: a program's text read by its own reader, cut in numbers, held against the trays."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from traywright.base import Finding, Severity
from traywright.base.errors import ReadBackError
from traywright.base.tolerance import GRID_MM, READ_BACK_MM, SAME_MM
from traywright.catalogue.cards import Cutter, Machine, Solid
from traywright.nesting.setup import Setup, Stock
from traywright.trays.tray import Ply
from traywright.verification.compare import compare
from traywright.verification.corridor import Kerf
from traywright.verification.motion import on_board
from traywright.verification.raster import Frame, frame_of, placement_of
from traywright.verification.read_back import ReadBack
from traywright.verification.reader import read_program
from traywright.verification.rules import Allowed, allowed_on, judge_bites, judge_motions
from traywright.verification.solid_rules import Ground, deep_from_mm, judge_solid
from traywright.verification.stock import first_stock, sweep, volume_mm3, zero_above_bed_mm
from traywright.verification.target import Target, target_of
from traywright.verification.units_read import judge_units

SHOWN_OF_A_RULE = 3
"""How many findings of one rule are listed; the rest is told by their count."""

_UP = "top"


def _refuse_unknown(setup: Setup, plies: Mapping[str, Ply], cutters: Mapping[int, Cutter]) -> None:
    """Refuse a setup that names what was not handed over, or a side that is not read back yet."""
    for piece in setup.pieces:
        if piece.ply not in plies:
            raise ReadBackError("RB-001", setup=setup.id, name=piece.ply)
        if piece.side_up != _UP or setup.side_up != _UP:
            raise ReadBackError("RB-002", setup=setup.id, name=piece.id)
    for number, card in setup.cutters:
        if number not in cutters:
            raise ReadBackError("RB-001", setup=setup.id, name=card)
    if not setup.cutters:
        raise ReadBackError("RB-001", setup=setup.id, name="T1")


def _wanted_mm(setup: Setup, plies: Mapping[str, Ply]) -> tuple[float, float]:
    """Width and depth of all pieces as they lie on the board."""
    boxes = []
    for piece in setup.pieces:
        width, depth = plies[piece.ply].region.size_mm
        turned = placement_of(piece, plies[piece.ply]).turn[0] == 0
        size = (depth, width) if turned else (width, depth)
        boxes.append((*piece.at_mm, piece.at_mm[0] + size[0], piece.at_mm[1] + size[1]))
    if not boxes:
        return (0.0, 0.0)
    left, front, right, back = zip(*boxes, strict=True)
    return (max(right) - min(left), max(back) - min(front))


def _line_of(one: Finding) -> int:
    """The line that a finding names."""
    return int(dict(one.parameters).get("line", 0))


def grouped(findings: Iterable[Finding], *, setup: str, cause: str = "") -> tuple[Finding, ...]:
    """The first findings of each rule, each with the count of all; worst first, then by code and line.

    Parameters
    ----------
    findings
        As found; the order within a rule is kept.
    setup
        Id of the setup, part of the cause.
    cause
        One cause for all of them; empty: the rule itself.
    """
    by_rule: dict[str, list[Finding]] = {}
    for one in findings:
        by_rule.setdefault(one.code, []).append(one)
    kept = []
    for code, same in by_rule.items():
        for one in same[:SHOWN_OF_A_RULE]:
            told = tuple(sorted((*one.parameters, ("count", len(same)))))
            kept.append(replace(one, parameters=told, cause=f"{cause or code} {setup}"))
    return tuple(sorted(kept, key=lambda one: (one.severity, one.code, _line_of(one), one.at)))


def _kerf(allowed: Allowed, across_mm: float) -> Kerf:
    """The way that must be open round each piece, for the smallest cutter of the setup."""
    radius_mm = min(cutter.radius_mm for cutter in allowed.cutters.values())
    return Kerf(open_mm=min(across_mm, 2.0 * radius_mm), across_mm=across_mm, radius_mm=radius_mm)


def _ground(setup: Setup, plies: Mapping[str, Ply], target: Target, frame: Frame) -> Ground:
    """Where the pieces lie, for the rules of solids."""
    rounds = [plies[piece.ply].region.filled().shape.length for piece in setup.pieces]
    return Ground(frame=frame, piece=target.piece, least_round_mm=float(min(rounds, default=0.0)))


def read_back(  # noqa: PLR0913  # reason: one program on one setup needs its text, name, plies and three cards
    text: str,
    *,
    name: str,
    setup: Setup,
    plies: Mapping[str, Ply],
    machine: Machine,
    cutters: Mapping[int, Cutter],
    grid_mm: float = GRID_MM,
    solid: Solid | None = None,
) -> ReadBack:
    """The verdict on one program: what it really cuts, held against the trays on the board.

    Parameters
    ----------
    text
        The program as the machine gets it.
    name
        Its name.
    setup
        The board clamped once.
    plies
        Ply by id, for every piece of the setup.
    machine
        Travel, feed, clearance, kerf, allowance into the spoil board.
    cutters
        Cutter card by the number on the machine.
    grid_mm
        Side of a cell of the height map, above 0 and at most 0.5.
    solid
        What the board is of where it is no foam: its own rules of ramps, passes and feed hold.

    Returns
    -------
    ReadBack
        Heights are exact at cell centres; ``error_bound_mm`` is sideways: a wall that is off by no more than the
        tolerance and this bound may pass between two rows of cells.

    Raises
    ------
    ReadBackError
        ``RB-001`` if the setup names a ply or cutter that was not handed over, ``RB-002`` if a piece lies with its
        underside up (not calculated yet), ``RB-003`` for a grid that is too coarse.

    Notes
    -----
    The rooms that made the program are not seen; check sums and fingerprints are not looked at.

    Examples
    --------
    See docs/verification.md.
    """
    if not 0.0 < grid_mm <= GRID_MM:
        raise ReadBackError("RB-003", grid_mm=grid_mm, most_mm=GRID_MM)
    _refuse_unknown(setup, plies, cutters)
    heard = read_program(text, name)
    motions = on_board(heard.motions, zero_above_bed_mm(setup.z_zero, setup.thickness_mm))
    allowed = allowed_on(setup, machine, cutters, name)
    before: Stock = first_stock(setup, grid_mm)
    swept = sweep(before, motions, allowed.cutters, deep_from_mm(allowed.cutters, solid))
    frame = frame_of(before.upper)
    kerf = _kerf(allowed, machine.kerf_mm)
    target = target_of(setup, plies, frame, kerf.radius_mm)
    compared = compare(setup, plies, swept, target, motions=motions, kerf=kerf)
    units = judge_units(heard, _wanted_mm(setup, plies), setup.id)
    rules = (*judge_motions(heard, motions, allowed), *judge_bites(swept.bites, allowed))
    ground = _ground(setup, plies, target, frame)
    told = (*rules, *judge_solid(motions, swept.bites, allowed, solid, ground), *compared.findings)
    first = grouped((*heard.findings, *units), setup=setup.id)
    rest = grouped(told, setup=setup.id, cause=units[0].code if units else "")
    findings = tuple(sorted((*first, *rest), key=lambda one: (one.severity, one.code, _line_of(one), one.at)))
    stopped = any(one.severity is Severity.STOP for one in findings)
    within = max(compared.gouge_mm, compared.remainder_mm) <= READ_BACK_MM + SAME_MM
    return ReadBack(
        program=name,
        setup=setup.id,
        true=within and not stopped,
        grid_mm=grid_mm,
        gouge_mm=round(compared.gouge_mm, 4),
        remainder_mm=round(compared.remainder_mm, 4),
        error_bound_mm=grid_mm,
        removed_mm3=round(volume_mm3(before) - volume_mm3(swept.stock), 3),
        findings=findings,
    )
