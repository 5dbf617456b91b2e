"""The text that the machine reads."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class ProgramHead:
    """What a program says about where it comes from.

    ``cut`` is the fingerprint of trays, setups and machine; ``release`` the release of traywright. No date.
    """

    job: str
    revision: str
    release: str
    cut: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Program:
    """One program: its name, its text and which line starts which operation.

    ``operations`` pairs an operation id with the 1-based line of its first block.
    """

    name: str
    setup: str
    dialect: str
    text: str
    operations: tuple[tuple[str, int], ...]

    @property
    def lines(self) -> int:
        """Number of lines."""
        return self.text.count("\n")
