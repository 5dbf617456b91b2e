"""Each complaint of the past, led to the check that would show its cause."""

from __future__ import annotations

from traywright.base import Finding, Severity, finding, text
from traywright.protection.asked import Damage

_GAPS = ("PRO-010", "PRO-011", "PRO-012", "PRO-027", "PRO-034")
_RULES = ("PRO-030", "PRO-031", "PRO-032", "PRO-033", "PRO-042", "PRO-043")

ANSWERED_BY: dict[str, tuple[str, ...]] = {
    "scratched": (*_GAPS, *_RULES),
    "dented": (*_GAPS, "PRO-022", "PRO-023", "PRO-026"),
    "crushed": ("PRO-020", "PRO-021", "PRO-024", "PRO-040"),
    "loose": ("PRO-060", "PRO-061", "PRO-062", "PRO-063"),
    "static": ("PRO-080",),
}
"""Codes that answer each kind of damage; a kind that is not here is a question."""

_NEEDS_FALLS = frozenset({"scratched", "dented", "crushed"})


def judge_damages(
    damages: tuple[Damage, ...], findings: tuple[Finding, ...], *, calculated: bool
) -> tuple[Finding, ...]:
    """One note a complaint: which check answers it and what that finds.

    Parameters
    ----------
    damages
        What was said.
    findings
        All other findings of the pack.
    calculated
        False where no falls were calculated.
    """
    return tuple(_answer(index, one, findings, calculated=calculated) for index, one in enumerate(damages))


def _answer(index: int, damage: Damage, findings: tuple[Finding, ...], *, calculated: bool) -> Finding:
    """The note of one complaint."""
    codes = ANSWERED_BY.get(damage.kind, ())
    found = sorted({one.code for one in findings if one.code in codes and _concerns(one, damage)})
    if not codes:
        code = "PRO-092"
    elif found:
        code = "PRO-090"
    else:
        code = "PRO-091" if calculated or damage.kind not in _NEEDS_FALLS else "PRO-093"
    return finding(
        code,
        Severity.NOTE,
        (),
        cause=f"damage/{index}",
        said=damage.said,
        part=damage.part or text("protection_check", "all_parts"),
        kind=damage.kind,
        check=text("protection_check", damage.kind),
        codes=", ".join(found),
    )


def _concerns(one: Finding, damage: Damage) -> bool:
    """True if a finding is of the damaged part, or of the whole pack."""
    part = dict(one.parameters).get("part", "")
    return not damage.part or part in {"", damage.part}
