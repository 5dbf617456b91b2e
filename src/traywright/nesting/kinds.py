"""Plies to lay and what every way of laying them shares: what cannot be cut, areas, and how a board is clamped."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from traywright.base import Figure, Finding, Severity, file_name, finding, natural_key
from traywright.base.errors import NestError
from traywright.base.tolerance import SAME_MM
from traywright.catalogue.cards import Board, Machine
from traywright.geometry import Point
from traywright.nesting.blank import Blank, bed_mm, blank_of, fill_blank
from traywright.nesting.setup import BoardLayout, BoardPlan, Setup
from traywright.trays.tray import Ply


@dataclass(frozen=True, slots=True, kw_only=True)
class PlyCount:
    """How many of one ply the job wants cut, all packs together."""

    ply: Ply
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Remnant:
    """The largest rectangle that a sheet leaves along one side, ``right`` or ``back``.

    ``layout`` is cut ``count`` times and leaves one each time; ``less`` says it in words: ``1200x600 less 558x398``.
    """

    layout: str
    board: str
    count: int
    side: str
    width_mm: float
    depth_mm: float
    less: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NestResult:
    """Boards, layouts and setups of the job, with what was found and what was worked out."""

    plan: BoardPlan
    findings: tuple[Finding, ...]
    figures: tuple[Figure, ...]
    remnants: tuple[Remnant, ...] = ()


def refuse_counts(plies: Sequence[PlyCount]) -> None:
    """Nothing, if each ply is wanted at least once.

    Parameters
    ----------
    plies
        What is wanted.

    Raises
    ------
    NestError
        NEST-009 if a count is below one.
    """
    for one in plies:
        if one.count < 1:
            raise NestError("NEST-009", ply=one.ply.id, count=one.count)


def grouped(plies: Sequence[PlyCount]) -> list[tuple[Ply, int]]:
    """Each kind once, under the first of its ids, in the order of boards and ids.

    Parameters
    ----------
    plies
        What is wanted.
    """
    first: dict[tuple[str, str], Ply] = {}
    counts: dict[tuple[str, str], int] = {}
    for one in sorted(plies, key=lambda each: (natural_key(each.ply.board), natural_key(each.ply.id))):
        key = (one.ply.board, one.ply.kind)
        first.setdefault(key, one.ply)
        counts[key] = counts.get(key, 0) + one.count
    return [(ply, counts[key]) for key, ply in first.items()]


def cannot_cut(ply: Ply, cards: Mapping[str, Board]) -> Finding | None:
    """Why a ply cannot be cut from its board at all, before any layout.

    Parameters
    ----------
    ply
        What is wanted.
    cards
        The boards that may be cut, by id.
    """
    board = cards.get(ply.board)
    if board is None:
        return finding("NEST-001", Severity.STOP, (ply.id,), ply=ply.id, board=ply.board)
    if abs(board.thickness_mm - ply.thickness_mm) > SAME_MM:
        have, want = board.thickness_mm, ply.thickness_mm
        return finding("NEST-002", Severity.STOP, (ply.id,), ply=ply.id, board=board.id, board_mm=have, ply_mm=want)
    if any(side != "top" for side in ply.sides):
        return finding("NEST-007", Severity.STOP, (ply.id,), ply=ply.id)
    return None


def too_large(ply: Ply, board: Board, machine: Machine) -> Finding:
    """The finding that a ply goes on no blank of its board.

    Parameters
    ----------
    ply
        What is wanted.
    board
        Its board.
    machine
        Its bed and travel decide how the board is sawn.
    """
    blank = blank_of(board, machine)
    width, depth = ply.region.size_mm
    whole = Blank(width_mm=board.length_mm, depth_mm=board.width_mm, per_board=1)
    on_whole = fill_blank((width, depth), whole, board, machine).count > 0
    return finding(
        "NEST-003",
        Severity.STOP,
        (ply.id,),
        fix="bed" if on_whole else "",
        ply=ply.id,
        board=board.id,
        blank=blank.size,
        edge_mm=board.edge_mm,
        width_mm=width,
        depth_mm=depth,
    )


def setup_of(layout: BoardLayout, machine: Machine, *, screws_mm: tuple[Point, ...], job_number: str) -> Setup:
    """How a board of this layout is clamped: once, top up, without bridges yet.

    Parameters
    ----------
    layout
        What lies where.
    machine
        Its datum, zero, zones and cutters.
    screws_mm
        Middles of the screw heads.
    job_number
        Begins the name of the program.
    """
    setup_id = f"{layout.id}.S1"
    return Setup(
        id=setup_id,
        board_layout=layout.id,
        board=layout.board,
        blank=layout.blank,
        thickness_mm=layout.thickness_mm,
        side_up="top",
        datum=machine.datum,
        z_zero=machine.z_zero,
        pieces=layout.pieces,
        bridges=(),
        screws_mm=screws_mm,
        zones=machine.vacuum_zones,
        cutters=tuple(enumerate(machine.cutters, start=1)),
        program=file_name(job_number, setup_id),
        runs=layout.count,
    )


def with_kerf_mm2(size_mm: tuple[float, float], machine: Machine) -> float:
    """Area of the rectangle around a piece with one kerf along x and along y.

    Parameters
    ----------
    size_mm
        Width and depth of the piece.
    machine
        Its kerf.
    """
    return (size_mm[0] + machine.kerf_mm) * (size_mm[1] + machine.kerf_mm)


def room_mm2(blank: Blank, board: Board, machine: Machine) -> float:
    """Area of a blank without its edges and with one kerf, as the bound by area takes it.

    Parameters
    ----------
    blank
        What lies on the bed.
    board
        Its edge.
    machine
        Its kerf.
    """
    grown = machine.kerf_mm - 2.0 * board.edge_mm
    return (blank.width_mm + grown) * (blank.depth_mm + grown)


def sawn_finding(board: Board, boards: int, machine: Machine) -> Finding:
    """The note that boards are sawn before they lie on the bed.

    Parameters
    ----------
    board
        The board as bought.
    boards
        How many of it.
    machine
        Its bed, travel and saw kerf.
    """
    bed_x, bed_y = bed_mm(machine)
    return finding(
        "NEST-010",
        Severity.NOTE,
        (board.id,),
        board=board.id,
        boards=boards,
        cut_from=blank_of(board, machine).cut_from,
        machine=machine.id,
        bed=f"{bed_x:g} x {bed_y:g}",
        whole=f"{board.length_mm:g} x {board.width_mm:g}",
        saw_mm=machine.saw_kerf_mm,
    )
