"""Which findings are shown first: one of a cause, the worst first."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from traywright.base import Finding, Severity, natural_key

MOST_STOPS = 3  # source: common practice, no source: a reader takes in three causes at once
MOST_WARNINGS = 5  # source: common practice, no source
WEIGHT = ("RB", "PART", "PRO", "TRAY", "NEST", "HOLD", "QUO")
"""What is told first within a severity: the program, the parts, then what the foam does; the rest after."""


def cause_of(one: Finding) -> str:
    """The cause that a finding names, or its places."""
    return one.cause or "/".join(one.at)


def one_a_cause(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Findings with those of one cause made into one, in ranking order.

    The worst of a cause stays and takes the places of the others; severity first, then code, then first place.
    """
    by_cause: dict[tuple[str, str], list[Finding]] = {}
    for one in findings:
        by_cause.setdefault((one.code, cause_of(one)), []).append(one)
    merged = []
    for (_, cause), group in by_cause.items():
        worst = min(group, key=lambda one: one.severity)
        places = sorted({place for one in group for place in one.at}, key=natural_key)
        merged.append(replace(worst, at=tuple(places), cause=cause))
    return tuple(sorted(merged, key=_rank))


def _rank(one: Finding) -> tuple[int, int, str, tuple[tuple[int, int, str], ...]]:
    """Severity, then the room's weight, then code, then the first place."""
    prefix = one.code.partition("-")[0]
    weight = WEIGHT.index(prefix) if prefix in WEIGHT else len(WEIGHT)
    return (int(one.severity), weight, one.code, natural_key(one.at[0] if one.at else ""))


def shown_first(findings: tuple[Finding, ...]) -> tuple[tuple[Finding, ...], int]:
    """At most three stops and five warnings of ranked findings, and how many more there are.

    Stops of different codes go before a second stop of the same code, so that three lines tell three things.
    """
    chosen: list[Finding] = []
    for severity, most in ((Severity.STOP, MOST_STOPS), (Severity.WARN, MOST_WARNINGS)):
        of_it = [one for one in findings if one.severity is severity]
        first = {one.code: one for one in reversed(of_it)}
        spread = sorted(of_it, key=lambda one: first[one.code] is not one)
        chosen.extend(spread[:most])
    return tuple(chosen), len(findings) - len(chosen)
