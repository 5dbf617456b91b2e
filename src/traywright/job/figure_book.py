"""All figures of a job, numbered by their stable path."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from traywright.base import Figure, natural_key
from traywright.base.errors import JobError


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureBook:
    """Figures in the order of their paths; ``G-0001`` is the first.

    Examples
    --------
    >>> FigureBook(figures=()).number_of("")
    ''
    """

    figures: tuple[Figure, ...]

    def numbers(self) -> dict[str, str]:
        """Number of each path."""
        return {one.path: f"G-{place:04d}" for place, one in enumerate(self.figures, start=1)}

    def number_of(self, path: str) -> str:
        """Number of one path; a leaf (card, enquiry key, catalogue row) keeps its own name, empty stays empty."""
        return self.numbers().get(path, path)


def book_of(figures: Iterable[Figure]) -> FigureBook:
    """A book of figures, each path once.

    Raises
    ------
    JobError
        JOB-006 if two different figures have one path.
    """
    by_path: dict[str, Figure] = {}
    for one in figures:
        if by_path.setdefault(one.path, one) != one:
            raise JobError("JOB-006", path=one.path)
    ordered = sorted(by_path.values(), key=lambda one: natural_key(one.path))
    return FigureBook(figures=tuple(ordered))
