"""One tray drawn: cells, recesses, lift slots, lightening holes, and what is to be said of them."""

from __future__ import annotations

from dataclasses import dataclass, replace

from traywright.base import Figure, Finding, Given, Severity, finding, text
from traywright.base.tolerance import SAME_MM
from traywright.design.asked import PackAsked
from traywright.design.cells import Rows, judge_rows, placed_of, recesses_of, rows_of, window_of
from traywright.design.corner_relief import WAYS
from traywright.design.holes import holes_of
from traywright.design.judge_seats import judge_seats
from traywright.design.layers import Storey, ply_boards
from traywright.design.lift_slots import Grip, Slot, grip_of, slots_of
from traywright.design.openings import shape_of
from traywright.design.rules import play_mm, rule
from traywright.design.seats import Seats, seats_on
from traywright.design.walls import Placed, judge_walls, walls_of
from traywright.geometry import Region
from traywright.trays import Feature, FeatureKind, Flat, Tray, TrayKind


@dataclass(frozen=True, slots=True, kw_only=True)
class TrayDrawn:
    """A tray with its findings and figures; ``tray`` is None where the parts do not go in."""

    tray: Tray | None
    storey: Storey
    findings: tuple[Finding, ...]
    figures: tuple[Figure, ...]


def draw_tray(asked: PackAsked, storey: Storey, tray_id: str, outline: Region) -> TrayDrawn:
    """The tray of one kind of part.

    Parameters
    ----------
    asked
        The pack as asked.
    storey
        The layer: kind of part, its cell and the tray's thickness.
    tray_id
        Permanent id, ``T1``.
    outline
        Outline of every tray of the pack.
    """
    storey, rows = _rows_that_fit(asked, storey, outline)
    shape, part = storey.shape, storey.kind.pose.part
    seats = seats_on(shape.pose, [(one.floor_mm, one.region) for one in shape.levels], asked.rules)
    findings = judge_seats(shape, seats, asked.rules)
    stops = judge_rows(asked, storey, rows, outline)
    if stops:
        return TrayDrawn(tray=None, storey=storey, findings=(*stops, *findings), figures=())
    placed = placed_of(tray_id, storey, rows)
    grip = grip_of(shape, seats, asked.rules, asked.cutter.radius_mm)
    slots = _slots(asked, placed, grip, outline)
    taken = [*(one.opening for one in placed), *(one.region for one in slots)]
    holes = holes_of(outline, taken, asked.rules, wall_mm=rows.wall_mm, rim_mm=rule(asked.rules, "rim_least").value)
    cells = walls_of(placed, outline, [one.region for one in holes], asked.needs)
    recesses = [one for cell in cells for one in recesses_of(cell, shape, [seat.floor_mm for seat in seats.each])]
    plies = ply_boards(asked.boards, storey.thickness_mm)
    tray = Tray(
        id=tray_id,
        name=text("tray_name", "tray", part=part.name),
        kind=TrayKind.TRAY,
        outline=outline,
        thickness_mm=storey.thickness_mm,
        foam=asked.foam.id,
        ply_boards=plies,
        cells=cells,
        features=(*recesses, *_own(tray_id, storey, slots, [one.region for one in holes])),
    )
    wall_findings, figures = judge_walls(cells, part, asked.foam, _inputs(asked, storey, rows))
    told = (
        *findings,
        *wall_findings,
        *_judge_slots(asked, storey, grip, slots),
        *_judge_bonds(asked, tray, storey, seats),
    )
    return TrayDrawn(tray=tray, storey=storey, findings=told, figures=figures)


def _rows_that_fit(asked: PackAsked, storey: Storey, outline: Region) -> tuple[Storey, Rows]:
    """The rows; where they do not go in, corner relief along one axis only may spare the width of the other."""
    rows = rows_of(asked, storey, outline)
    if rows.layout.fits:
        return storey, rows
    for way in WAYS[1:]:
        shape = shape_of(storey.kind.pose, asked.rules, asked.cutter.radius_mm, way)
        other = replace(storey, shape=shape)
        tried = rows_of(asked, other, outline)
        if tried.layout.fits:
            return other, tried
    return storey, rows


def cover_of(asked: PackAsked, storey: Storey, tray: Tray, cover_id: str) -> Tray:
    """The cover frame over a tray: one window over each cell."""
    name = text("tray_name", "cover", part=storey.kind.pose.part.name)
    return Tray(
        id=cover_id,
        name=name,
        kind=TrayKind.COVER,
        outline=tray.outline,
        thickness_mm=storey.cover_mm,
        foam=asked.foam.id,
        ply_boards=ply_boards(asked.boards, storey.cover_mm),
        features=tuple(
            window_of(cell, storey.shape, f"{cover_id}.F{number}") for number, cell in enumerate(tray.cells, start=1)
        ),
    )


def _inputs(asked: PackAsked, storey: Storey, rows: Rows) -> tuple[Given, ...]:
    """What the walls of a tray follow from."""
    box = (asked.box.given("inside_length_mm"), asked.box.given("inside_width_mm"))
    return (rows.wall, asked.kits, *box, play_mm(asked.rules, storey.kind.pose.part), rule(asked.rules, "stand_off"))


def _slots(asked: PackAsked, placed: tuple[Placed, ...], grip: Grip, outline: Region) -> tuple[Slot, ...]:
    """The lift slots of a tray."""
    return slots_of(
        [(one.cell, one.opening) for one in placed],
        grip,
        outline,
        fin_mm=rule(asked.rules, "fin_least").value,
        cutter_radius_mm=asked.cutter.radius_mm,
    )


def _own(tray_id: str, storey: Storey, slots: tuple[Slot, ...], holes: list[Region]) -> tuple[Feature, ...]:
    """Features of the whole tray: lift slots down to the lowest floor of the cells, then lightening holes."""
    floor = Flat(z_mm=round(storey.floor_mm, 3))
    found = [(FeatureKind.SLOT, one.region, floor, one.cells[0] if len(one.cells) == 1 else "") for one in slots]
    found += [(FeatureKind.HOLE, one, Flat(z_mm=0.0), "") for one in holes]
    return tuple(
        Feature(id=f"{tray_id}.F{number}", kind=kind, side="top", region=region, floor=bottom, for_cell=cell)
        for number, (kind, region, bottom, cell) in enumerate(found, start=1)
    )


def _judge_slots(asked: PackAsked, storey: Storey, grip: Grip, slots: tuple[Slot, ...]) -> tuple[Finding, ...]:
    """What fingers will miss."""
    part = storey.kind.pose.part
    told = []
    if not grip.keeps_seats:
        share = rule(asked.rules, "seat_kept").value
        told.append(finding("TRAY-012", Severity.WARN, (part.id,), part=part.name, share=share))
    reach = rule(asked.rules, "finger_reach").value
    short = max(slots, key=lambda one: one.short_mm)
    if short.short_mm > SAME_MM:
        left = round(max(0.0, reach - short.short_mm), 3)
        at = (part.id, *short.cells)
        told.append(finding("TRAY-013", Severity.WARN, at, part=part.name, left_mm=left, reach_mm=reach))
    depth, least = storey.thickness_mm - storey.floor_mm, rule(asked.rules, "finger_depth").value
    if depth < least - SAME_MM:
        told.append(
            finding("TRAY-014", Severity.NOTE, (part.id,), part=part.name, depth_mm=round(depth, 3), least_mm=least)
        )
    return tuple(told)


def _judge_bonds(asked: PackAsked, tray: Tray, storey: Storey, seats: Seats) -> tuple[Finding, ...]:
    """Seats that lie near a bond line but not on it."""
    near = rule(asked.rules, "bond_line_near").value
    told, joint = [], 0.0
    for _, thickness in tray.ply_boards[:-1]:
        joint += thickness
        for seat in seats.each:
            off = abs(storey.part_zero_mm + seat.floor_mm - joint)
            if SAME_MM < off < near:
                told.append(
                    finding("TRAY-015", Severity.NOTE, (tray.id,), tray=tray.id, off_mm=round(off, 3), joint_mm=joint)
                )
    return tuple(told)
