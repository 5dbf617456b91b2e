"""Hold every fall against its limits, at both rates, and say each cause once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from traywright.base import Finding, Given, Limit, Severity, finding, natural_key, shown, text
from traywright.base.finding import Parameter
from traywright.base.tolerance import TIE_RATIO
from traywright.protection.falls import Fall, Landings
from traywright.protection.landing import Landing
from traywright.protection.wall_need import DIRECTIONS

Value = Callable[[Fall, Landing], float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Criterion:
    """One thing that a landing is held against.

    ``value`` reads it off a fall and a landing; ``upper`` says on which side of the limit it must stay; ``code`` is the
    finding where both rates fail, ``one_rate`` where one does; ``quantity`` names its figures. ``when_spent`` is false
    where a landing on spent foam says nothing of the value: its strain is told instead.
    """

    quantity: str
    code: str
    one_rate: str
    value: Value
    upper: bool
    worst: Severity = Severity.STOP
    when_spent: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Failed:
    """One fall from one height that does not hold a criterion."""

    fall: Fall
    landings: Landings
    both: bool
    value: float
    severity: Severity


def failures(falls: tuple[Fall, ...], criterion: Criterion, limit_of: Callable[[Fall], Given | None]) -> list[Failed]:
    """Every fall and height that fails a criterion at one rate or both, worst first.

    Parameters
    ----------
    falls
        Falls of one part.
    criterion
        What they are held against.
    limit_of
        The limit for a fall; None: not judged.

    Notes
    -----
    Both rates failing in the pack's own drop class weighs as the criterion says; one rate, or a class on the other side
    of a boundary, is a warning.
    """
    found = []
    for fall in falls:
        limit = limit_of(fall)
        for landings in fall.landings if limit is not None else ():
            failed = _failed(fall, landings, criterion, limit)
            found += [failed] if failed is not None else []
    return sorted(
        found, key=lambda one: (one.severity, not one.landings.case.own, not one.both, _badness(one, criterion))
    )


def _failed(fall: Fall, landings: Landings, criterion: Criterion, limit: Given | None) -> Failed | None:
    """A fall held against one limit."""
    if not criterion.when_spent and (landings.slow.spent or landings.quick.spent):
        return None
    values = [criterion.value(fall, one) for one in (landings.slow, landings.quick)]
    fails = [limit is not None and _beyond(one, limit.value, upper=criterion.upper) for one in values]
    if not any(fails):
        return None
    sharp = all(fails) and landings.case.own
    return Failed(
        fall=fall,
        landings=landings,
        both=all(fails),
        value=max(values) if criterion.upper else min(values),
        severity=criterion.worst if sharp else max(criterion.worst, Severity.WARN),
    )


def _beyond(value: float, limit: float, *, upper: bool) -> bool:
    """True if a value is on the wrong side of its limit by more than float noise."""
    noise = TIE_RATIO * max(abs(limit), 1.0)
    return value > limit + noise if upper else value < limit - noise


def _badness(one: Failed, criterion: Criterion) -> float:
    """Sort key: the worst value first."""
    return -one.value if criterion.upper else one.value


def by_kind(failed: list[Failed]) -> list[list[Failed]]:
    """Failures of one part and criterion in groups that are told as one: ways of one severity and one code.

    A direction belongs where its worst failure does, with all its failures; groups and failures stay worst first.
    """
    kind_of: dict[str, tuple[Severity, bool]] = {}
    groups: dict[tuple[Severity, bool], list[Failed]] = {}
    for one in failed:
        kind = kind_of.setdefault(one.fall.direction, (one.severity, one.both))
        groups.setdefault(kind, []).append(one)
    return list(groups.values())


def told(
    failed: list[Failed],
    criterion: Criterion,
    limit: Given,
    *,
    figure: str,
    digits: int,
    **more: Callable[[Failed], str],
) -> Finding:
    """The one finding of a part and check: its worst fall, at all cells that fail, with every way that fails.

    Parameters
    ----------
    failed
        At least one, worst first; one of the groups of ``by_kind``.
    criterion, limit
        What they are held against.
    figure
        Path of the figure of the worst fall.
    digits
        Decimal places of the value in the sentence.
    **more
        Further places of the sentence, read off the worst fall.
    """
    worst = failed[0]
    of_worst = {cell for one in failed for cell in one.fall.cells if one.severity == worst.severity}
    cells = sorted(of_worst, key=natural_key)
    ways = {way: next((one for one in failed if one.fall.direction == way), None) for way in DIRECTIONS}
    each = [f"{text('direction', way)} {_short(one, criterion, limit, digits)}" for way, one in ways.items() if one]
    bare = finding(
        criterion.code if worst.both else criterion.one_rate,
        worst.severity,
        tuple(cells),
        figure=figure,
        limit=Limit(value=limit.value, unit=limit.unit, status=limit.status, source=limit.source),
        cause=f"{worst.fall.part}/{criterion.quantity}{'' if worst.severity == criterion.worst else '/near'}",
    )
    parameters: dict[str, Parameter] = {
        "part": worst.fall.part,
        "direction": text("direction", worst.fall.direction),
        "ways": ", ".join(each),
        "drop": f"{worst.landings.case.height.value:g}",
        "cells": len(cells),
        criterion.quantity: _short(worst, criterion, limit, digits),
        **{key: one(worst) for key, one in more.items()},
    }
    return replace(bare, parameters=tuple(sorted(parameters.items())))


def _short(one: Failed, criterion: Criterion, limit: Given, digits: int) -> str:
    """The value of a failure as text, never rounded across its limit."""
    return shown(one.value, digits, limit=limit.value, upper=criterion.upper)
