"""How a stage tells how far it is."""

from __future__ import annotations

from typing import Protocol


class Progress(Protocol):
    """Anything that shows a stage's advance: a bar, a stream, nothing."""

    def __call__(self, stage: str, fraction: float, doing: str, /) -> None:
        """Tell that ``fraction`` (0 to 1) of ``stage`` is done; ``doing`` names the thing in hand."""


def silent(stage: str, fraction: float, doing: str, /) -> None:
    """Show nothing."""
    del stage, fraction, doing
