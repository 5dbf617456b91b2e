"""The verdict of a job in one line, and the overrides that stay visible in it."""

from __future__ import annotations

from dataclasses import dataclass

from traywright.base import Figure, Finding, Severity, Status, finding, text
from traywright.enquiry import Override


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """The verdict's word as it is printed, its weakest ground and the counts."""

    word: str
    status: Status
    stops: int
    warnings: int
    notes: int
    overrides: int
    read_back: bool


def is_overridden(one: Finding, overrides: tuple[Override, ...]) -> bool:
    """True if someone answers for this finding at one of its places."""
    return any(each.finding == one.code and each.at in one.at for each in overrides)


def override_findings(found: tuple[Finding, ...], overrides: tuple[Override, ...]) -> tuple[Finding, ...]:
    """A note for each override, and a warning for one that meets no finding."""
    return tuple(_override_finding(found, each) for each in overrides)


def _override_finding(found: tuple[Finding, ...], override: Override) -> Finding:
    """A note that someone answers for a finding, or a warning that there is no such finding."""
    at, cause = (override.at,), f"{override.finding}/{override.at}"
    if not any(is_overridden(one, (override,)) for one in found):
        return finding("JOB-021", Severity.WARN, at, cause=cause, overridden=override.finding, place=override.at)
    return finding(
        "JOB-020",
        Severity.NOTE,
        at,
        cause=cause,
        overridden=override.finding,
        place=override.at,
        by=override.by,
        because=override.because,
        dated=override.dated.isoformat(),
    )


def verdict_of(
    found: tuple[Finding, ...],
    figures: tuple[Figure, ...],
    overrides: tuple[Override, ...],
    *,
    protection: str,
    read_back: bool,
    complete: bool,
) -> Verdict:
    """The verdict over all findings, one a cause.

    Parameters
    ----------
    found
        Ranked findings.
    figures
        All figures; the weakest ground is printed beside the verdict.
    overrides
        What someone answers for: any that meets a finding makes the verdict "not shown".
    protection
        The word that protection gave.
    read_back
        True if every program was read back true.
    complete
        False if the plan asked for cannot be built.
    """
    met = sum(any(is_overridden(one, (each,)) for one in found) for each in overrides)
    stops = [one for one in found if one.severity is Severity.STOP]
    if met:
        word = text("verdict", "not_shown")
    elif stops or not read_back:
        word = text("verdict", "fail")
    elif not complete:
        word = text("verdict", "not_calculated")
    else:
        word = protection
    return Verdict(
        word=word,
        status=max((one.status for one in figures), default=Status.ASSUMED),
        stops=len(stops),
        warnings=sum(one.severity is Severity.WARN for one in found),
        notes=sum(one.severity is Severity.NOTE for one in found),
        overrides=met,
        read_back=read_back,
    )
