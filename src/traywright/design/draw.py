"""All trays and the pack of one plan, exactly as the enquiry states it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from traywright.base import Finding, Severity, finding, text
from traywright.base.errors import DesignError
from traywright.base.tolerance import SNAP_MM
from traywright.design.asked import PackAsked, PackDrawn
from traywright.design.cells import outline_of_trays
from traywright.design.draw_tray import TrayDrawn, cover_of, draw_tray
from traywright.design.layers import Stack, ply_boards, stack_of, thickness_mm
from traywright.design.openings import shape_of
from traywright.design.pack import layers_of, pack_of
from traywright.geometry import Region
from traywright.trays import Tray, TrayKind


def draw_pack(asked: PackAsked) -> PackDrawn:
    """The trays, pads, caps and covers of a pack, and the pack itself.

    Parameters
    ----------
    asked
        Parts as they lie, counts, wall, needs, box, foam, boards, cutter and rules.

    Returns
    -------
    PackDrawn
        ``complete`` is false with a stop among the findings where the asked plan cannot be built.

    Raises
    ------
    DesignError
        TRAY-019 for a count that is no whole number from 1 up, TRAY-020 if the foam has no board, TRAY-021 if there
        is no part or one stands twice.

    Notes
    -----
    One layer for each kind of part. Trays have the first ids, heaviest layer first; then pads, caps and covers from
    the bottom up.
    """
    asked = replace(asked, boards=tuple(one for one in asked.boards if one.foam == asked.foam.id))
    _refuse(asked)
    shapes = [shape_of(one.pose, asked.rules, asked.cutter.radius_mm) for one in asked.kinds]
    stack = stack_of(asked, shapes)
    outline = outline_of_trays((asked.box.inside_length_mm, asked.box.inside_width_mm), asked.rules)
    by_mass = sorted(stack.storeys, key=lambda one: (-one.kind.per_kit * one.kind.pose.part.mass_kg, one.order))
    ids = {one.order: f"T{number}" for number, one in enumerate(by_mass, start=1)}
    drawn = [draw_tray(asked, one, ids[one.order], outline) for one in stack.storeys]
    pieces, divider_over = _pieces(asked, stack, drawn, outline)
    told = pack_of(
        asked,
        pieces,
        layers_of(asked, pieces, divider_over),
        [one.storey for one in drawn if one.tray is not None],
        outline,
    )
    findings = [*(each for one in drawn for each in one.findings), *_judge_height(asked, stack), *told.findings]
    figures = [*(each for one in drawn for each in one.figures), *told.figures]
    return PackDrawn(
        trays=tuple(sorted(pieces, key=lambda one: int(one.id[1:]))),
        pack=told.pack,
        findings=tuple(findings),
        figures=tuple(figures),
        complete=stack.fits and all(one.tray is not None for one in drawn),
    )


def _refuse(asked: PackAsked) -> None:
    """Nothing, if the plan can be worked with."""
    counts = [asked.kits.value, *(one.per_kit for one in asked.kinds)]
    for count in counts:
        if count < 1 or abs(count - round(count)) > SNAP_MM:
            raise DesignError("TRAY-019", count=count)
    if not asked.boards:
        raise DesignError("TRAY-020", foam=asked.foam.id)
    names = [one.pose.part.id for one in asked.kinds]
    if not names or len(set(names)) < len(names):
        raise DesignError("TRAY-021", parts=", ".join(names))


def _judge_height(asked: PackAsked, stack: Stack) -> tuple[Finding, ...]:
    """A stop where the stack is higher than the box."""
    if stack.fits:
        return ()
    over = round(stack.height_mm - stack.box_mm, 3)
    return (
        finding(
            "TRAY-003", Severity.STOP, (asked.box.id,), height_mm=stack.height_mm, inside_mm=stack.box_mm, over_mm=over
        ),
    )


def _pieces(
    asked: PackAsked, stack: Stack, drawn: Sequence[TrayDrawn], outline: Region
) -> tuple[tuple[Tray, ...], str]:
    """Every piece of the stack from the bottom up, and the one that the divider lies on."""
    numbers = _numbers(len(stack.storeys))
    pieces = [_pad(asked, next(numbers), TrayKind.PAD, outline, thick_mm=stack.storeys[0].base_mm)]
    divider_over = ""
    for one in drawn:
        last = one is drawn[-1]
        if one.tray is None:
            continue
        pieces.append(one.tray)
        if one.storey.covered:
            pieces.append(cover_of(asked, one.storey, one.tray, next(numbers)))
        if last or not one.storey.covered:
            kind = TrayKind.LID if last else TrayKind.CAP
            part = one.storey.kind.pose.part.name
            pieces.append(_pad(asked, next(numbers), kind, outline, thick_mm=stack.pad_mm, part=part))
        divider_over = divider_over or pieces[-1].id
    return tuple(pieces), divider_over


def _numbers(after: int) -> Iterator[str]:
    """Ids after those of the trays."""
    number = after
    while True:
        number += 1
        yield f"T{number}"


def _pad(asked: PackAsked, tray_id: str, kind: TrayKind, outline: Region, *, thick_mm: float, part: str = "") -> Tray:
    """A plain piece."""
    plies = ply_boards(asked.boards, thick_mm)
    return Tray(
        id=tray_id,
        name=text("tray_name", kind.value, part=part),
        kind=kind,
        outline=outline,
        thickness_mm=thickness_mm(plies),
        foam=asked.foam.id,
        ply_boards=plies,
    )
