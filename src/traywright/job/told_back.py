"""One program of a job's folder, read back against the folder's own trays and setup."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from traywright.base import message, text
from traywright.base.errors import JobError
from traywright.catalogue import Catalogue, Solid
from traywright.job.folder import read_result
from traywright.job.leaves import leaves_of
from traywright.job.plain import plain_finding, setup_of, tray_of
from traywright.nesting import Setup
from traywright.trays import Ply, plies_of
from traywright.verification import ReadBack, read_back


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldBack:
    """What one program really cuts, as lines to print and as JSON values."""

    true: bool
    lines: tuple[str, ...]
    plain: dict[str, Any]


def read_back_program(folder: Path, program: Path, setup: str = "") -> ToldBack:
    """Read a program's text and hold what it cuts against the trays of a job.

    Parameters
    ----------
    folder
        The job's folder; its result tells trays and setups, its cards the machine and cutters.
    program
        The program's file; check sums and fingerprints are not looked at.
    setup
        The setup to hold it against; empty: the one whose program bears the file's name.

    Raises
    ------
    JobError
        JOB-005 no result, JOB-008 no such setup, JOB-011 the program cannot be read.
    """
    result = read_result(folder)
    try:
        written = program.read_bytes().decode("utf-8", errors="replace")
    except OSError as refused:
        raise JobError("JOB-011", program=str(program), told=str(refused.strerror)) from refused
    clamped = _setup(result, program.name, setup)
    leaves = leaves_of(folder)
    catalogue = leaves.catalogue
    told = read_back(
        written,
        name=program.name,
        setup=clamped,
        plies=_plies(result, clamped),
        machine=catalogue.machine(leaves.read.enquiry.shop.machine),
        cutters={number: catalogue.cutter(card) for number, card in clamped.cutters},
        solid=_solid(catalogue, clamped.board),
    )
    return _told(told)


def _solid(catalogue: Catalogue, board: str) -> Solid | None:
    """What a board that is no foam is of."""
    card = catalogue.board(board)
    return catalogue.solid(card.solid) if card.solid else None


def _setup(result: Mapping[str, Any], name: str, wanted: str) -> Setup:
    """The setup named, or the one whose program has this name."""
    by_program = {one["id"]: one["setup"] for one in result["programs"]}
    found = wanted or by_program.get(name, "")
    for one in result["setups"]:
        if one["id"] == found:
            return setup_of(one)
    raise JobError("JOB-008", program=wanted or name, known=", ".join(sorted(by_program)))


def _plies(result: Mapping[str, Any], setup: Setup) -> dict[str, Ply]:
    """The plies that lie on a board."""
    wanted = {piece.ply for piece in setup.pieces}
    trays = (tray_of(one) for one in result["trays"] if any(ply["id"] in wanted for ply in one["plies"]))
    return {ply.id: ply for tray in trays for ply in plies_of(tray) if ply.id in wanted}


def _told(told: ReadBack) -> ToldBack:
    """The read-back as lines and as JSON values."""
    head = text(
        "screen",
        "read_back_line",
        program=told.program,
        word=text("screen", "read_back_true" if told.true else "read_back_false"),
        gouge_mm=told.gouge_mm,
        remainder_mm=told.remainder_mm,
        grid_mm=told.grid_mm,
        bound_mm=told.error_bound_mm,
    )
    lines = [head]
    for one in told.findings:
        words = dict(one.parameters)
        said = message(one.code, words)
        line = words.get("line", "")
        lines.append(text("screen", "finding_line", code=one.code, line=line, what=said.what, why=said.why))
    keys = ("program", "setup", "true", "grid_mm", "gouge_mm", "remainder_mm", "error_bound_mm", "removed_mm3")
    plain = {key: getattr(told, key) for key in keys}
    plain["findings"] = [plain_finding(one, {}) for one in told.findings]
    return ToldBack(true=told.true, lines=tuple(lines), plain=plain)
