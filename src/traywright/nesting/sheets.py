"""Pieces of a drawing on sheets: as many as are wanted, from the front left corner, the rest a remnant."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from traywright.base import Figure, Finding, Given, Severity, finding
from traywright.base.tolerance import SAME_MM
from traywright.catalogue.cards import Board, Machine
from traywright.geometry import Point
from traywright.nesting.blank import Blank, blank_of
from traywright.nesting.counts import CardCount, board_figures, board_need
from traywright.nesting.kinds import (
    NestResult,
    PlyCount,
    Remnant,
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
from traywright.nesting.screws import SCREW_HEAD_MM, screws_beside
from traywright.nesting.setup import BoardLayout, BoardPlan, Piece, Setup
from traywright.nesting.spread import Room, Sheet, goes_on, spread
from traywright.trays.tray import Ply

BOX_FILLED_RATIO = 0.9
"""Share of its rectangle below which an outline is told to be laid by it.  # source: rounded corners waste no sheet"""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Run:
    """Equal sheets, cut one after another with one program."""

    id: str
    sheet: Sheet
    count: int


def lay_on_sheets(
    plies: tuple[PlyCount, ...],
    board: Board,
    machine: Machine,
    *,
    job_number: str,
    wanted: tuple[Given | Figure, ...] = (),
) -> NestResult:
    """Where the pieces of a drawing lie on sheets, how each sheet is clamped, how many it takes and what is left.

    Parameters
    ----------
    plies
        What is wanted; equal plies are counted together under the first of their ids.
    board
        The sheet, at the thickness it was measured at.
    machine
        Its bed, travel, kerf and saw kerf decide; its cutters are numbered 1, 2, … in their order.
    job_number
        Begins the name of each program.
    wanted
        What the counts of the plies were told by: inputs of the figures.

    Returns
    -------
    NestResult
        Exactly what is wanted, no spare pieces. What cannot be laid is left out, each with a finding that stops.

    Raises
    ------
    NestError
        NEST-009 if a count is below one.

    Notes
    -----
    A sheet that does not lie on the bed is sawn in equal halves first. Pieces are laid by their bounding boxes from
    the front left corner: a kerf and a screw head off the edges where that takes no sheet more, else the board's edge.
    Full sheets of one kind come first, then the rests of all kinds share sheets in shelves, the deepest first; or all
    pieces share sheets, where that takes fewer. The last sheet leaves the largest rectangle along its right or its
    back that the ways tried leave. Remnants in stock are not used.
    """
    refuse_counts(plies)
    blank = blank_of(board, machine)
    room = Room(blank=blank, edge_mm=board.edge_mm, kerf_mm=machine.kerf_mm)
    laid: list[PlyCount] = []
    findings: list[Finding] = []
    for ply, asked in grouped(plies):
        fault = cannot_cut(ply, {board.id: board})
        if fault is None and not goes_on(ply, room):
            fault = too_large(ply, board, machine)
        if fault is None:
            laid.append(PlyCount(ply=ply, count=asked))
        else:
            findings.append(fault)
    if not laid:
        empty = BoardPlan(layouts=(), needs=(), setups=())
        return NestResult(plan=empty, findings=tuple(findings), figures=())
    sheets, most = spread(laid, room)
    runs = tuple(
        _Run(id=f"B{number}", sheet=sheet, count=len(list(same)))
        for number, (sheet, same) in enumerate(groupby(sheets), start=1)
    )
    by_id = {one.ply.id: one.ply for one in laid}
    layouts = tuple(_layout(run, board, blank, by_id) for run in runs)
    setups = tuple(
        setup_of(one, machine, screws_mm=_screws(one, by_id, machine), job_number=job_number) for one in layouts
    )
    left = tuple(one for run in runs for one in _remnants(run, room, board))
    count = _card_count(laid, len(sheets), most, board, machine)
    findings += _findings(laid, setups, left, count)
    findings += [sawn_finding(board, count.boards, machine)] if count.per_board > 1 else []
    return NestResult(
        plan=BoardPlan(layouts=layouts, needs=(board_need(count),), setups=setups),
        findings=tuple(findings),
        figures=board_figures(count, machine, wanted, shared=True),
        remnants=left,
    )


def _layout(run: _Run, board: Board, blank: Blank, plies: dict[str, Ply]) -> BoardLayout:
    region = blank.region
    return BoardLayout(
        id=run.id,
        board=board.id,
        cut_from=blank.cut_from,
        blank=region,
        thickness_mm=board.thickness_mm,
        count=run.count,
        pieces=tuple(
            Piece(id=f"{run.id}.{number}", ply=spot.ply, at_mm=(spot.x_mm, spot.y_mm), turn_deg=spot.turn_deg)
            for number, spot in enumerate(run.sheet, start=1)
        ),
        spare_pieces=0,
        yield_ratio=math.fsum(plies[spot.ply].region.area_mm2 for spot in run.sheet) / region.area_mm2,
    )


def _screws(layout: BoardLayout, plies: dict[str, Ply], machine: Machine) -> tuple[Point, ...]:
    outlines = [place_on_board(plies[piece.ply].region, piece, plies[piece.ply]) for piece in layout.pieces]
    return screws_beside(layout.blank, outlines, machine.kerf_mm)


def _remnants(run: _Run, room: Room, board: Board) -> Iterator[Remnant]:
    """The largest rectangle that a sheet leaves along one side, where something can still be cut from it."""
    side, width, depth = room.left_of(run.sheet)
    if min(width, depth) > 2.0 * board.edge_mm + SAME_MM:
        sizes = (f"{spot.wide_mm:g}x{spot.deep_mm:g}" for spot in run.sheet)
        less = [(size, len(list(same))) for size, same in groupby(sorted(sizes))]
        yield Remnant(
            layout=run.id,
            board=board.id,
            count=run.count,
            side=side,
            width_mm=width,
            depth_mm=depth,
            less=f"{room.blank.size} less " + ", ".join(f"{n} of {size}" if n > 1 else size for size, n in less),
        )


def _card_count(laid: Sequence[PlyCount], blanks: int, most: int, board: Board, machine: Machine) -> CardCount:
    blank = blank_of(board, machine)
    return CardCount(
        board=board,
        per_board=blank.per_board,
        blanks=blanks,
        pieces=sum(one.count for one in laid),
        spare_pieces=0,
        net_mm2=math.fsum(one.count * one.ply.region.area_mm2 for one in laid),
        laid_mm2=math.fsum(one.count * with_kerf_mm2(one.ply.region.size_mm, machine) for one in laid),
        room_mm2=room_mm2(blank, board, machine),
        most_a_blank=most,
    )


def _findings(
    laid: Sequence[PlyCount], setups: Sequence[Setup], left: Sequence[Remnant], count: CardCount
) -> Iterator[Finding]:
    """Screws, outlines laid by their rectangles, remnants, and how many sheets."""
    for setup in setups:
        if not setup.screws_mm:
            name = setup.board_layout
            yield finding("NEST-004", Severity.NOTE, (name,), layout=name, head_mm=SCREW_HEAD_MM)
    for one in laid:
        width, depth = one.ply.region.size_mm
        if one.ply.region.filled().area_mm2 < BOX_FILLED_RATIO * width * depth:
            yield finding("NEST-011", Severity.NOTE, (one.ply.id,), ply=one.ply.id)
    if len(laid) == 1 and count.most_a_blank and count.boards > count.bound:
        layout, held = setups[0].board_layout, len(setups[0].pieces)
        at, name = (layout, laid[0].ply.id), laid[0].ply.id
        yield finding("NEST-005", Severity.NOTE, at, layout=layout, ply=name, count=held, bound=count.most_a_blank)
    for rest in left:
        yield finding(
            "NEST-012",
            Severity.NOTE,
            (rest.layout,),
            layout=rest.layout,
            count=rest.count,
            side=rest.side,
            size=f"{rest.width_mm:g} x {rest.depth_mm:g}",
            less=rest.less,
        )
    yield finding(
        "NEST-013",
        Severity.NOTE,
        (count.board.id,),
        figure=f"boards/{count.board.id}/yield",
        board=count.board.id,
        boards=count.boards,
        blanks_over=count.boards * count.per_board - count.blanks,
        yield_percent=100.0 * count.yield_ratio,
        bound=count.bound,
    )
