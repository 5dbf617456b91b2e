"""What a judgement says: codes and parameters, never sentences."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

from traywright.base.figure import Status

Parameter = str | int | float


class Severity(IntEnum):
    """How much a finding weighs, worst first."""

    STOP = 0
    WARN = 1
    NOTE = 2

    @property
    def word(self) -> str:
        """The word that files, screens and papers print."""
        return self.name.lower()


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """The number a figure is held against."""

    value: float
    unit: str
    status: Status
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One judgement: what holds or does not, where, by which figure, and what to do.

    ``at`` are permanent ids; ``figure`` is the path of a Figure or empty; ``fix`` is the name of a choice under the
    code's message (empty: the message's own fix); ``cause`` groups findings of one cause (empty: code and at).
    """

    code: str
    severity: Severity
    at: tuple[str, ...]
    parameters: tuple[tuple[str, Parameter], ...] = ()
    point_mm: tuple[float, ...] = ()
    figure: str = ""
    limit: Limit | None = None
    fix: str = ""
    cause: str = ""


def finding(  # noqa: PLR0913  # reason: one keyword for each field of a finding
    code: str,
    severity: Severity,
    at: tuple[str, ...],
    *,
    point_mm: tuple[float, ...] = (),
    figure: str = "",
    limit: Limit | None = None,
    fix: str = "",
    cause: str = "",
    **parameters: Parameter,
) -> Finding:
    """A finding with its parameters in sorted order."""
    return Finding(
        code=code,
        severity=severity,
        at=at,
        parameters=tuple(sorted(parameters.items())),
        point_mm=point_mm,
        figure=figure,
        limit=limit,
        fix=fix,
        cause=cause,
    )
