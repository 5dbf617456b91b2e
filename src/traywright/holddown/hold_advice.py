"""Where a board must be held, and how well that is known."""

from __future__ import annotations

from dataclasses import dataclass

from traywright.base import Figure, Finding
from traywright.nesting.setup import Bridge


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldAdvice:
    """Bridges by a fixed rule; the forces themselves are not calculated yet."""

    setup: str
    bridges: tuple[Bridge, ...]
    findings: tuple[Finding, ...]
    figures: tuple[Figure, ...]
