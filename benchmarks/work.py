"""How the work of each stage is laid ready: what is not timed happens here, what is timed comes back as a call."""

from __future__ import annotations

import dataclasses
import math
import re
import subprocess
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from traywright.catalogue import Cutter, Machine, load_cards
from traywright.cutting import plan_cuts
from traywright.design import PackDrawn, draw_pack
from traywright.geometry import Region
from traywright.job.asked_parts import build_poses
from traywright.job.asked_rooms import assessment_asked, drops_of, foam_of, handlings_of, pack_asked
from traywright.job.job_done import JobAsked
from traywright.job.run import read_job
from traywright.nc import ProgramHead, write_program
from traywright.nesting.setup import Piece, Setup
from traywright.parts import Pose
from traywright.protection import assess, wall_needs
from traywright.trays.floor import Flat
from traywright.trays.tray import Feature, FeatureKind, Ply
from traywright.verification import read_back

ROOT = Path(__file__).resolve().parents[1]
SURVEY = ROOT / "examples" / "survey_kit" / "enquiry.toml"
BLOCK = ROOT / "examples" / "one_block" / "enquiry.toml"
OUT = ROOT / "build" / "bench"
Work = Callable[[], object]


def parallel_regions(corners: int) -> Work:
    """Ten parallel regions inside a star with many corners, as in clearing a pocket."""
    points = []
    for corner in range(corners):
        angle = 2.0 * math.pi * corner / corners
        radius_mm = 150.0 + 20.0 * math.cos(9.0 * angle)
        points.append((radius_mm * math.cos(angle), radius_mm * math.sin(angle)))
    star = Region.polygon(points)
    return lambda: [star.grown(-float(step_mm)).area_mm2 for step_mm in range(5, 55, 5)]


def _with_kits(enquiry: Path, kits: int) -> str:
    """An enquiry with another number of kits in a pack."""
    return re.sub(r"(?m)^kits_per_pack *=.*$", f"kits_per_pack = {kits}", enquiry.read_text(encoding="utf-8"))


def _survey(kits: int) -> JobAsked:
    """The survey kit's job with another number of kits in a pack."""
    changed = SURVEY.with_name(f".bench-stage-{kits}.toml")
    try:
        changed.write_text(_with_kits(SURVEY, kits), encoding="utf-8")
        return read_job(changed)
    finally:
        changed.unlink()


def _first_parts(asked: JobAsked, count: int) -> tuple[Pose, ...]:
    """The first parts of a job as they lie."""
    enquiry = dataclasses.replace(asked.read.enquiry, part=asked.read.enquiry.part[:count])
    poses, _ = build_poses(dataclasses.replace(asked.read, enquiry=enquiry), asked.files, asked.catalogue)
    return poses


def parts(count: int) -> Work:
    """The first parts of the survey kit, read, measured and posed."""
    asked = _survey(1)
    return lambda: _first_parts(asked, count)


def walls_needed(count: int) -> Work:
    """Walls that the first parts of the survey kit need at every drop height of their handlings."""
    asked = _survey(1)
    poses, drops = _first_parts(asked, count), drops_of(handlings_of(asked.read, asked.catalogue))
    return lambda: wall_needs(poses, foam_of(asked.read, asked.catalogue), drops)


def _drawn(asked: JobAsked) -> tuple[tuple[Pose, ...], Callable[[], PackDrawn]]:
    """All parts of a job, and a call that draws its pack."""
    poses = _first_parts(asked, len(asked.read.enquiry.part))
    drops = drops_of(handlings_of(asked.read, asked.catalogue))
    needs = wall_needs(poses, foam_of(asked.read, asked.catalogue), drops)
    question = pack_asked(asked.read, asked.catalogue, poses, needs)
    return poses, lambda: draw_pack(question)


def design(kits: int) -> Work:
    """Trays and pack of the survey kit."""
    return _drawn(_survey(kits))[1]


def protection(kits: int) -> Work:
    """The assessment of the survey kit's pack."""
    asked = _survey(kits)
    poses, draw = _drawn(asked)
    question = assessment_asked(asked.read, asked.catalogue, poses, draw())
    return lambda: assess(question)


def _board(pockets: int) -> dict[str, Any]:
    """One piece with many pockets: round, square with rounded corners, and right through, in rows on one board."""
    cards = load_cards(None)
    machine, cutter = cards.machine("demo-router-1300"), cards.cutter("flat-12")
    side = math.isqrt(pockets)
    features = []
    for number in range(pockets):
        x, y = 30.0 + 60.0 * (number % side), 30.0 + 60.0 * (number // side)
        region = (Region.disc((x, y), 20.0), Region.rectangle(x - 12.0, y - 12.0, x + 12.0, y + 12.0).grown(6.5))[
            number % 2
        ]
        floor = Flat(z_mm=(20.0, 10.0, 0.0)[number % 3])
        features.append(Feature(id=f"T1.F{number}", kind=FeatureKind.POCKET, side="top", region=region, floor=floor))
    size_mm = 60.0 * side
    ply = Ply(
        id="T1.P1",
        kind="k",
        from_mm=0.0,
        to_mm=30.0,
        board="b",
        region=Region.rectangle(0.0, 0.0, size_mm, size_mm),
        features=tuple(features),
    )
    return {"setup": _setup(size_mm), "plies": {"T1.P1": ply}, "machine": machine, "cutters": {1: cutter}}


def _setup(size_mm: float) -> Setup:
    """One square piece on a board of its own."""
    return Setup(
        id="B1.S1",
        board_layout="B1",
        board="b",
        blank=Region.rectangle(0.0, 0.0, size_mm + 60.0, size_mm + 60.0),
        thickness_mm=30.0,
        side_up="top",
        datum="front left",
        z_zero="bed",
        pieces=(Piece(id="B1.1", ply="T1.P1", at_mm=(30.0, 30.0), turn_deg=0),),
        bridges=(),
        screws_mm=(),
        zones=(),
        cutters=((1, "flat-12"),),
        program="B1-S1",
        runs=1,
    )


def cutting(pockets: int) -> Work:
    """Cuts and program text of a board with many pockets."""
    return lambda: _program(**_board(pockets))


def _program(*, setup: Setup, plies: Mapping[str, Ply], machine: Machine, cutters: Mapping[int, Cutter]) -> str:
    """The program of a board."""
    dialect = load_cards(None).dialect("demo-mm")
    head = ProgramHead(job="bench", revision="A", release="0", cut="sha256:0")
    plan = plan_cuts(setup, plies, machine, cutters)
    return write_program(plan, setup, machine, dialect, cutters, head).text


def read_back_stage(pockets: int) -> Work:
    """The read-back of that board's program."""
    board = _board(pockets)
    text = _program(**board)
    return lambda: read_back(text, name="B1-S1", **board)


def whole_job(kits: int) -> Work:
    """The shortest example job with another number of kits in a pack, in a process of its own."""
    changed = BLOCK.with_name(f".bench-{kits}.toml")

    def work() -> None:
        changed.write_text(_with_kits(BLOCK, kits), encoding="utf-8")
        words = [sys.executable, "-m", "traywright", "job", str(changed), "--out", str(OUT / str(kits))]
        try:
            subprocess.run(words, check=True, capture_output=True, stdin=subprocess.DEVNULL)
        finally:
            changed.unlink()

    return work
