"""What papers are drawn from, and a paper."""

from __future__ import annotations

from dataclasses import dataclass

from traywright.base import Figure, Finding
from traywright.catalogue.cards import Board, Box, Cutter, Divider, Foam, Machine, Solid
from traywright.cutting.cut_plan import CutPlan
from traywright.geometry import Contour
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
class DrawnTray:
    """One tray of a drawing with its exact areas: final depths, deepest first, and what ends at each."""

    tray: Tray
    depths_mm: tuple[float, ...]
    ending_mm2: tuple[float, ...]
    outline_mm2: float
    open_mm2: float
    removed_mm3: float
    corner_left_mm2: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnPapersAsked:
    """Everything the papers of a drawing job show; fields that ``PapersAsked`` has too mean the same.

    ``loops`` are the loops as they were taken, each with its layer; ``left_out`` tells what is not cut, ``asked`` each
    question in words with the answer that was taken; ``nominal_mm`` is the thickness of the board's card; ``shape`` is
    ``customer`` or ``shop``; ``solid`` is what a board that is no foam is of. ``corner`` is ``leave``,
    ``smaller_cutter`` or ``relief``; ``depths`` is the table of depths as it was taken: layer or colour, depth in mm
    (None: right through), and from where in words; ``file_sha256`` is the sum of the drawing. The last three are empty
    where they are not told.
    """

    head: PaperHead
    trays: tuple[DrawnTray, ...]
    plies: tuple[Ply, ...]
    board: Board
    stuff: str
    solid: Solid | None
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
    quantity: int
    nominal_mm: float
    measured_mm: float
    shape: str
    file: str
    loops: tuple[tuple[str, Contour], ...]
    left_out: tuple[tuple[str, str, int], ...]
    asked: tuple[tuple[str, str], ...]
    corner: str = ""
    depths: tuple[tuple[str, float | None, str], ...] = ()
    file_sha256: str = ""

    @property
    def board_cards(self) -> tuple[Board, ...]:
        """The card of the board that is cut."""
        return (self.board,)


AnyAsked = PapersAsked | DrawnPapersAsked
"""What a paper that both kinds of job have is drawn from."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """One paper: its name (a key of the message group ``paper_name``), its file and its bytes."""

    name: str
    file: str
    content: bytes
