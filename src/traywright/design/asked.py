"""What is asked of the design, and what it draws."""

from __future__ import annotations

from dataclasses import dataclass, field

from traywright.base import Figure, Finding, Given
from traywright.catalogue import Board, Box, Cutter, Divider, Foam, Table, table
from traywright.parts.part import Pose
from traywright.protection.wall_need import WallNeed
from traywright.trays import Pack, Tray


def _shipped_rules() -> Table:
    return table("design_rules")


@dataclass(frozen=True, slots=True, kw_only=True)
class KindAsked:
    """One kind of part: how it lies, how many a kit has, and which turns about the vertical are allowed."""

    pose: Pose
    per_kit: int = 1
    turns_deg: tuple[int, ...] = (0, 180)


@dataclass(frozen=True, slots=True, kw_only=True)
class PackAsked:
    """One pack as the enquiry states it.

    ``kinds`` stand in part order; ``kits`` is the count of kits in a pack; ``wall_mm`` is the wall asked for, or None
    where the needs decide; ``boards`` are all of the foam; ``cutter`` is the flat cutter that pockets are cut with;
    ``rules`` is the table ``design_rules``.
    """

    kinds: tuple[KindAsked, ...]
    kits: Given
    wall_mm: Given | None
    needs: tuple[WallNeed, ...]
    box: Box
    foam: Foam
    boards: tuple[Board, ...]
    cutter: Cutter
    divider: Divider | None = None
    rules: Table = field(default_factory=_shipped_rules)

    @property
    def kit_count(self) -> int:
        """Kits in a pack as a whole number."""
        return round(self.kits.value)


@dataclass(frozen=True, slots=True, kw_only=True)
class PackDrawn:
    """The trays and the pack as drawn.

    ``complete`` is false where the asked plan cannot be built: then ``trays`` holds what could be drawn, ``pack``
    tells of that only, and what follows is not calculated.
    """

    trays: tuple[Tray, ...]
    pack: Pack
    findings: tuple[Finding, ...]
    figures: tuple[Figure, ...]
    complete: bool
