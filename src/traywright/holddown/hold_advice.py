"""Where a board must be held, and how well that is known."""

from __future__ import annotations

from dataclasses import dataclass

from traywright.base import Figure, Finding, Given
from traywright.nesting.setup import Bridge


@dataclass(frozen=True, slots=True, kw_only=True)
class BridgeRules:
    """The shop's rule for bridges, each number with its ground.

    ``few`` and ``many`` are counts, ``many_from`` the longer side that asks for many, ``from_corner`` a multiple of
    the cutter's diameter, ``to_rim`` how many bridges of a piece lead to foam that stays, ``grip`` the foam behind a
    bridge, ``held_least`` the share of hold that a piece should keep when it is cut free.
    """

    waist: Given
    height: Given
    few: Given
    many: Given
    many_from: Given
    from_corner: Given
    to_rim: Given
    grip: Given
    from_screw: Given
    held_least: Given


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldAdvice:
    """Bridges by a fixed rule; the forces themselves are not calculated yet."""

    setup: str
    bridges: tuple[Bridge, ...]
    findings: tuple[Finding, ...]
    figures: tuple[Figure, ...]
