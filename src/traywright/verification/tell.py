"""Findings of the read-back, put together in one way."""

from __future__ import annotations

import math
from collections.abc import Mapping

from traywright.base import Finding, Limit, Severity
from traywright.base.finding import Parameter

_PLACE_DIGITS = 4  # what a program prints


def known_point(point_mm: tuple[float, ...]) -> tuple[float, ...]:
    """A place for a finding: empty if a coordinate is not known."""
    known = all(math.isfinite(one) for one in point_mm)
    return tuple(round(one, _PLACE_DIGITS) + 0.0 for one in point_mm) if known else ()


def tell(
    code: str,
    at: tuple[str, ...],
    parameters: Mapping[str, Parameter],
    *,
    severity: Severity = Severity.STOP,
    point_mm: tuple[float, ...] = (),
    limit: Limit | None = None,
) -> Finding:
    """A finding of the read-back; a place that is not known is left out.

    Parameters
    ----------
    code
        ``RB-`` and a number.
    at
        Ids; empty ones are left out.
    parameters
        Values for the sentence; ``line`` among them.
    severity
        A stop unless told.
    point_mm
        Where, board frame, mm.
    limit
        What it is held against.
    """
    return Finding(
        code=code,
        severity=severity,
        at=tuple(one for one in dict.fromkeys(at) if one),
        parameters=tuple(sorted(parameters.items())),
        point_mm=known_point(point_mm),
        limit=limit,
    )
