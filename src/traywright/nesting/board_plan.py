"""Plies on boards: one kind a layout, each layout clamped once, whole boards counted."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from traywright.base import Figure, Finding, Given, Severity, finding
from traywright.base.tolerance import SNAP_MM
from traywright.catalogue.cards import Board, Machine
from traywright.layout import RectangleLayout, snapped_mm
from traywright.nesting.blank import Blank, blank_of, fill_blank
from traywright.nesting.counts import CardCount, board_figures, board_need
from traywright.nesting.kinds import (
    NestResult,
    PlyCount,
    cannot_cut,
    grouped,
    refuse_counts,
    room_mm2,
    sawn_finding,
    setup_of,
    too_large,
    with_kerf_mm2,
)
from traywright.nesting.place import place_on_board
from traywright.nesting.screws import SCREW_HEAD_MM, screw_places
from traywright.nesting.setup import BoardLayout, BoardPlan, Piece, Setup
from traywright.trays.tray import Ply


@dataclass(frozen=True, slots=True, kw_only=True)
class _Kind:
    """One kind of ply on its board: equal plies of all trays together."""

    ply: Ply
    count: int
    board: Board
    blank: Blank
    sheet: RectangleLayout

    @property
    def runs(self) -> int:
        """Blanks that the kind takes."""
        return -(-self.count // self.sheet.count)


def plan_boards(
    plies: tuple[PlyCount, ...],
    boards: tuple[Board, ...],
    machine: Machine,
    *,
    job_number: str,
    wanted: tuple[Given | Figure, ...] = (),
) -> NestResult:
    """Where each ply is cut from a board, how each board is clamped, and how many boards that takes.

    Parameters
    ----------
    plies
        What is wanted; plies of one kind and board are counted together under the first of their ids.
    boards
        The boards that may be cut.
    machine
        Its bed, travel, kerf and saw kerf decide; its cutters are numbered 1, 2, … in their order.
    job_number
        Begins the name of each program.
    wanted
        What the counts of the plies were told by (packs, kits in a pack): inputs of the figures.

    Returns
    -------
    NestResult
        What cannot be laid is left out of the plan, each with a finding that stops.

    Raises
    ------
    NestError
        NEST-009 if a count is below one.

    Notes
    -----
    Boards that do not lie on the bed are sawn in equal halves first. Each layout holds one kind; the last blank of a
    kind is cut full and what is over is spare. Pieces are laid by their bounding boxes and stand in the middle of the
    blank. Blanks of all kinds from one board card are put together into whole boards. Remnants are not used.
    """
    refuse_counts(plies)
    cards = {one.id: one for one in boards}
    kinds: list[_Kind] = []
    findings: list[Finding] = []
    for ply, count in grouped(plies):
        fault = cannot_cut(ply, cards)
        kind = None if fault else _laid(ply, count, cards[ply.board], machine)
        if kind is None:
            findings.append(fault or too_large(ply, cards[ply.board], machine))
        else:
            kinds.append(kind)
    layouts = tuple(_layout(f"B{number}", kind) for number, kind in enumerate(kinds, start=1))
    setups = tuple(_setup(one, kind, machine, job_number) for one, kind in zip(layouts, kinds, strict=True))
    for layout, setup, kind in zip(layouts, setups, kinds, strict=True):
        findings += _layout_findings(layout, setup, kind)
    counts = _by_card(kinds, machine)
    figures = tuple(figure for one in counts for figure in board_figures(one, machine, wanted))
    findings += [one for count in counts for one in _card_findings(count, machine)]
    plan = BoardPlan(layouts=layouts, needs=tuple(board_need(one) for one in counts), setups=setups)
    return NestResult(plan=plan, findings=tuple(findings), figures=figures)


def _laid(ply: Ply, count: int, board: Board, machine: Machine) -> _Kind | None:
    """The kind on its blank, or nothing if not one goes on."""
    blank = blank_of(board, machine)
    sheet = fill_blank(ply.region.size_mm, blank, board, machine)
    if sheet.count == 0:
        return None
    return _Kind(ply=ply, count=count, board=board, blank=blank, sheet=sheet)


def _layout(layout_id: str, kind: _Kind) -> BoardLayout:
    pieces = _pieces(layout_id, kind)
    blank = kind.blank.region
    return BoardLayout(
        id=layout_id,
        board=kind.board.id,
        cut_from=kind.blank.cut_from,
        blank=blank,
        thickness_mm=kind.board.thickness_mm,
        count=kind.runs,
        pieces=pieces,
        spare_pieces=kind.runs * len(pieces) - kind.count,
        yield_ratio=len(pieces) * kind.ply.region.area_mm2 / blank.area_mm2,
    )


def _pieces(layout_id: str, kind: _Kind) -> tuple[Piece, ...]:
    """The pieces in the middle of the blank, so that the waste around them holds screws."""
    width, depth = kind.ply.region.size_mm
    places = kind.sheet.placements
    right = max(x + (depth if turn else width) for x, _, turn in places)
    back = max(y + (width if turn else depth) for _, y, turn in places)
    left, front = min(x for x, _, _ in places), min(y for _, y, _ in places)
    dx = snapped_mm((kind.blank.width_mm - left - right) / 2.0)
    dy = snapped_mm((kind.blank.depth_mm - front - back) / 2.0)
    return tuple(
        Piece(
            id=f"{layout_id}.{number}",
            ply=kind.ply.id,
            at_mm=(snapped_mm(place.x_mm + dx), snapped_mm(place.y_mm + dy)),
            turn_deg=place.turn_deg,
        )
        for number, place in enumerate(places, start=1)
    )


def _setup(layout: BoardLayout, kind: _Kind, machine: Machine, job_number: str) -> Setup:
    outlines = [place_on_board(kind.ply.region, piece, kind.ply) for piece in layout.pieces]
    screws = screw_places(layout.blank, outlines, machine.kerf_mm)
    return setup_of(layout, machine, screws_mm=screws, job_number=job_number)


def _layout_findings(layout: BoardLayout, setup: Setup, kind: _Kind) -> list[Finding]:
    at, ply = (layout.id, kind.ply.id), kind.ply
    found = []
    if not setup.screws_mm:
        found.append(finding("NEST-004", Severity.NOTE, (layout.id,), layout=layout.id, head_mm=SCREW_HEAD_MM))
    if not kind.sheet.proven:
        count, bound = kind.sheet.count, kind.sheet.bound
        found.append(finding("NEST-005", Severity.NOTE, at, layout=layout.id, ply=ply.id, count=count, bound=bound))
    width, depth = ply.region.size_mm
    if width * depth - ply.region.filled().area_mm2 > SNAP_MM * (width + depth):
        found.append(finding("NEST-011", Severity.NOTE, at, ply=ply.id))
    return found


def _by_card(kinds: Sequence[_Kind], machine: Machine) -> list[CardCount]:
    """What all kinds of one board card take together, in the order of the cards."""
    cards = {kind.board.id: kind.board for kind in kinds}
    found = []
    for board in cards.values():
        own = [kind for kind in kinds if kind.board.id == board.id]
        sizes = {tuple(sorted(kind.ply.region.size_mm)) for kind in own}
        found.append(
            CardCount(
                board=board,
                per_board=own[0].blank.per_board,
                blanks=sum(kind.runs for kind in own),
                pieces=sum(kind.count for kind in own),
                spare_pieces=sum(kind.runs * kind.sheet.count - kind.count for kind in own),
                net_mm2=math.fsum(kind.count * kind.ply.region.area_mm2 for kind in own),
                laid_mm2=math.fsum(kind.count * with_kerf_mm2(kind.ply.region.size_mm, machine) for kind in own),
                room_mm2=room_mm2(own[0].blank, board, machine),
                most_a_blank=own[0].sheet.bound if len(sizes) == 1 else 0,
            )
        )
    return found


def _card_findings(count: CardCount, machine: Machine) -> list[Finding]:
    board = count.board
    found = [
        finding(
            "NEST-006",
            Severity.NOTE,
            (board.id,),
            figure=f"boards/{board.id}/yield",
            board=board.id,
            boards=count.boards,
            spare=count.spare_pieces,
            blanks_over=count.boards * count.per_board - count.blanks,
            yield_percent=100.0 * count.yield_ratio,
            bound=count.bound,
        )
    ]
    if count.per_board > 1:
        found.append(sawn_finding(board, count.boards, machine))
    return found
