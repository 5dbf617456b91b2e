"""One word for a judged pack."""

from __future__ import annotations

from collections.abc import Sequence

from traywright.base import Figure, Finding, Severity, Status, text

_ONE_RATE = frozenset({"PRO-012", "PRO-021", "PRO-023", "PRO-033", "PRO-034"})


def verdict_of(findings: Sequence[Finding], figures: Sequence[Figure], *, calculated: bool) -> str:
    """The word that the pack's protection comes to.

    Parameters
    ----------
    findings, figures
        All of them.
    calculated
        False where no falls were calculated (no curve, no drop height, goods under other rules).

    Returns
    -------
    str
        A stop: fails. Not calculated. A warning of one rate. From ``practice`` down at most estimated. Else passes.
    """
    if any(one.severity is Severity.STOP for one in findings):
        return text("verdict", "fail")
    if not calculated:
        return text("verdict", "not_calculated")
    if any(one.code in _ONE_RATE for one in findings):
        return text("verdict", "one_rate")
    grounds = [one.status for one in figures] + [one.limit.status for one in findings if one.limit]
    if max(grounds, default=Status.ASSUMED) >= Status.PRACTICE:
        return text("verdict", "estimated")
    return text("verdict", "pass")
