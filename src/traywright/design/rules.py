"""The shop's rules of a tray, looked up for one part."""

from __future__ import annotations

from traywright.base import Given
from traywright.catalogue import Table
from traywright.parts.part import Part
from traywright.protection.wall_need import WallNeed
from traywright.trays import Cell

QUARTERS = ("right", "back", "left", "front")
"""Sideways directions in counter-clockwise order, so that a turn is a step along them."""


def rule(rules: Table, name: str) -> Given:
    """One rule of the table with its ground."""
    return rules.given(name, "value")


def play_mm(rules: Table, part: Part) -> Given:
    """Total play of a part in its opening, mm: more for metal than for light parts."""
    heavy = part.mass_kg >= rule(rules, "play_metal_from").value
    return rule(rules, "play_metal" if heavy else "play_light")


def floor_least_mm(rules: Table, part: Part) -> Given:
    """Least foam under the lowest recess of a part, mm."""
    return rule(rules, "floor_least_heavy" if is_heavy(rules, part) else "floor_least")


def wall_least_mm(rules: Table, part: Part) -> Given:
    """Least foam between two openings where nothing is asked, mm."""
    return rule(rules, "wall_least_heavy" if is_heavy(rules, part) else "wall_least")


def is_heavy(rules: Table, part: Part) -> bool:
    """True if walls and floors of a heavy part hold."""
    return part.mass_kg >= rule(rules, "heavy_from").value


def needed_mm(needs: tuple[WallNeed, ...], part_id: str, direction: str) -> float | None:
    """Foam needed on one side of a part in its pose frame, over the worst of all drops; None if not calculated."""
    for one in needs:
        if one.part == part_id and one.direction == direction and one.by_drop_mm:
            return max(thickness_mm for _, thickness_mm in one.by_drop_mm)
    return None


def side_of_pose(cell: Cell, direction: str) -> str:
    """Which side of the pose looks in a sideways direction of the tray, after the cell's turn."""
    return QUARTERS[(QUARTERS.index(direction) - round(cell.turn_deg / 90.0)) % 4]
