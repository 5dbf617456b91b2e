"""What papers are drawn from, and a paper."""

from __future__ import annotations

from dataclasses import dataclass

from traywright.base import Figure, Finding
from traywright.catalogue.cards import Board, Box, Cutter, Divider, Foam, Machine
from traywright.cutting.cut_plan import CutPlan
from traywright.nc.program import Program
from traywright.nesting.setup import BoardPlan, Setup
from traywright.parts.part import Pose
from traywright.quoting.quote import Quote
from traywright.trays.pack import Pack
from traywright.trays.tray import Ply, Tray
from traywright.verification.read_back import ReadBack


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperHead:
    """What stands on every paper: whose job it is, which state of it, and by which release it was made.

    ``dated`` is the job's date, never the clock's; ``draft`` marks the papers of a plan that fails.
    """

    number: str
    revision: str
    title: str
    customer: str
    dated: str
    due: str
    valid_days: int
    length_shown: str
    invented: bool
    draft: bool
    verdict: str
    release: str
    fingerprint_trays: str
    fingerprint_cut: str
    fingerprint_offer: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AssumptionLine:
    """One listed assumption: what, taken value in words, ground, effect."""

    field: str
    taken: str
    status: str
    effect: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PapersAsked:
    """Everything the papers show. ``numbers`` maps the path of a figure to its ``G-`` number.

    ``findings`` are ranked, one a cause; ``first`` are the at most three stops and five warnings that show first;
    ``board_cards`` are the cards of the boards that are cut; ``overrides`` holds finding code, place, reason and name;
    setups come with their plan, program and read-back.
    """

    head: PaperHead
    poses: tuple[Pose, ...]
    trays: tuple[Tray, ...]
    plies: tuple[Ply, ...]
    pack: Pack
    packs: int
    box: Box
    divider: Divider | None
    foam: Foam
    machine: Machine
    cutters: tuple[tuple[int, Cutter], ...]
    boards: BoardPlan
    made: tuple[tuple[Setup, CutPlan, Program, ReadBack], ...]
    figures: tuple[Figure, ...]
    numbers: tuple[tuple[str, str], ...]
    findings: tuple[Finding, ...]
    first: tuple[Finding, ...]
    overrides: tuple[tuple[str, str, str, str], ...]
    assumptions: tuple[AssumptionLine, ...]
    quote: Quote
    board_cards: tuple[Board, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """One paper: its name (a key of the message group ``paper_name``), its file and its bytes."""

    name: str
    file: str
    content: bytes
