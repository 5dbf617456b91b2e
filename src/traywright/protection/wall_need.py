"""Foam that a part needs around it, per direction and drop height, before a tray is drawn."""

from __future__ import annotations

from dataclasses import dataclass

from traywright.base import Figure, Finding

DIRECTIONS = ("under", "over", "left", "right", "front", "back")
"""The six faces a pack may fall on, as seen from the tray frame: -z, +z, -x, +x, -y, +y."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WallNeed:
    """Least foam thickness on one side of one part that keeps G and strain within their limits.

    ``by_drop_mm`` pairs each drop height of the schedule with the thickness needed, mm (infinite: no thickness
    does it); empty where the foam has no curve.
    """

    part: str
    direction: str
    foam: str
    by_drop_mm: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Assessment:
    """All that protection says of a pack: findings and the figures they stand on."""

    findings: tuple[Finding, ...]
    figures: tuple[Figure, ...]
    verdict: str
