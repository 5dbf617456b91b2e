"""Numbers that can be traced: what was given, and what was worked out from it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum


class Status(IntEnum):
    """How firm the ground of a number is, strongest first; a derived figure stands on its weakest input."""

    MEASURED = 0
    PUBLISHED = 1
    STATED = 2
    PRACTICE = 3
    MEMORY = 4
    ASSUMED = 5
    INVENTED = 6

    @property
    def word(self) -> str:
        """The word that files, screens and papers print."""
        return self.name.lower()

    @classmethod
    def of(cls, word: str) -> Status:
        """Status of its printed word.

        Raises
        ------
        KeyError
            If the word is none of the seven.
        """
        return cls[word.upper()]


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """A number as it entered the job: from the enquiry, a card or a catalogue row.

    ``ref`` names the place: ``enquiry:part.spindle.mass_kg``, ``card:demo-pe45#density_kg_m3`` or
    ``table:drop_heights#ISTA 1A/10-19``.
    """

    ref: str
    value: float
    unit: str
    status: Status
    source: str
    low: float | None = None
    high: float | None = None
    dated: str = ""

    @property
    def path(self) -> str:
        """The name under which a figure lists this number as its input."""
        return self.ref


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A number that was worked out, with what it was worked out from.

    ``path`` is stable text (``protection/spindle/under/460/peak``); the ``G-`` number is dealt when the result is
    written and holds within that result only. ``inputs`` are paths of figures or refs of given numbers.
    """

    path: str
    what: str
    of: str
    case: str
    value: float
    low: float
    high: float
    unit: str
    method: str
    inputs: tuple[str, ...]
    status: Status
    source: str


def derive(  # noqa: PLR0913  # reason: one keyword for each field of a figure
    path: str,
    value: float,
    unit: str,
    *,
    what: str,
    method: str,
    inputs: Sequence[Given | Figure],
    of: str = "",
    case: str = "",
    low: float | None = None,
    high: float | None = None,
    source: str = "",
) -> Figure:
    """A figure that takes the weakest status of its inputs.

    Raises
    ------
    ValueError
        If there is no input: a figure without an input is a made-up number.
    """
    if not inputs:
        raise ValueError(path)
    weakest = max(inputs, key=lambda one: one.status)
    return Figure(
        path=path,
        what=what,
        of=of,
        case=case,
        value=float(value),
        low=float(value if low is None else low),
        high=float(value if high is None else high),
        unit=unit,
        method=method,
        inputs=tuple(one.path for one in inputs),
        status=weakest.status,
        source=source or weakest.source,
    )
