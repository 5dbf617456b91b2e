"""Whether the seats of a part hold it, and what a flat step cannot hold."""

from __future__ import annotations

from traywright.base import Finding, Severity, finding
from traywright.catalogue import Table
from traywright.design.openings import CellShape
from traywright.design.rules import rule
from traywright.design.seats import Seats, width_mm


def judge_seats(shape: CellShape, seats: Seats, rules: Table) -> tuple[Finding, ...]:
    """What a flat step cannot hold: no seat, a seat too narrow, a round part on a line, a part that tips."""
    part = shape.pose.part
    if not seats.each:
        return (finding("TRAY-006", Severity.WARN, (part.id,), part=part.name, cause=f"seat {part.id}"),)
    told = []
    least = rule(rules, "land_least").value
    widest = max(width_mm(one) for one in seats.each)
    lines = [one for one in seats.each if one.line]
    if widest < least:
        told.append(finding("TRAY-007", Severity.WARN, (part.id,), part=part.name, width_mm=widest, least_mm=least))
    if lines:
        told.append(finding("TRAY-008", Severity.NOTE, (part.id,), part=part.name, seats=len(lines)))
    if not seats.centre_is_held(shape.pose.centre_of_gravity_mm[:2]):
        told.append(finding("TRAY-009", Severity.WARN, (part.id,), part=part.name))
    if not shape.held_above:
        told.append(finding("TRAY-010", Severity.WARN, (part.id,), part=part.name))
    if shape.narrow:
        told.append(finding("TRAY-011", Severity.WARN, (part.id,), part=part.name))
    return tuple(told)
