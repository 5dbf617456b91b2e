"""What people and the lid have to say of a closed pack: lifting, room under the lid, class of drop height."""

from __future__ import annotations

from traywright.base import Figure, Finding, Given, Limit, Severity, finding, shown
from traywright.catalogue import Handling, table
from traywright.protection.asked import LidGap
from traywright.protection.drops import DropCase, drop_classes
from traywright.protection.lifting import Lift, lift_figures


def judge_lifts(lifts: tuple[Lift, ...], gross: Figure) -> tuple[tuple[Finding, ...], tuple[Figure, ...]]:
    """Lifting index of each lift against the goal and the high mark.

    Parameters
    ----------
    lifts
        Lifts of the pack.
    gross
        Gross mass, kg.
    """
    findings, figures = [], []
    for lift in lifts:
        limit, index = lift_figures(lift, gross)
        figures += [limit] if index is None else [limit, index]
        findings += _lift(lift, gross, limit, index)
        if lift.people > 1:
            findings.append(
                finding(
                    "PRO-052", Severity.NOTE, (), cause=f"lift/{lift.at}/people", at_place=lift.at, people=lift.people
                )
            )
    return tuple(findings), tuple(figures)


def _lift(lift: Lift, gross: Figure, limit: Figure, index: Figure | None) -> list[Finding]:
    """At most one finding of one lift."""
    cause = f"lift/{lift.at}"
    if index is None:
        return [finding("PRO-053", Severity.STOP, (), figure=limit.path, cause=cause, at_place=lift.at)]
    goal = table("niosh_multipliers").given("index_goal", "value")
    high = table("niosh_multipliers").given("index_high", "value")
    if index.value <= goal.value:
        return []
    stop = index.value > high.value
    held = high if stop else goal
    return [
        finding(
            "PRO-051" if stop else "PRO-050",
            Severity.STOP if stop else Severity.WARN,
            (),
            figure=index.path,
            limit=_limit(held),
            cause=cause,
            at_place=lift.at,
            index=shown(index.value, 2, limit=held.value),
            goal=f"{goal.value:g}",
            high=f"{high.value:g}",
            mass=shown(gross.value, 1),
            limit_kg=shown(limit.value, 1),
        )
    ]


def judge_lid(gap: LidGap) -> tuple[Finding, ...]:
    """Room under the lid against the spread of the plies: the worst of three findings.

    Parameters
    ----------
    gap
        Nominal gap, and how far it may be off.
    """
    nominal_mm = gap.nominal.value
    if nominal_mm < 0.0:
        told = shown(-nominal_mm, 1)
        return (finding("PRO-060", Severity.STOP, (), figure=gap.nominal.path, cause="lid", gap=told),)
    for code, severity, spread in (("PRO-061", Severity.STOP, gap.rss), ("PRO-062", Severity.WARN, gap.worst)):
        if spread.value > nominal_mm:
            return (
                finding(
                    code,
                    severity,
                    (),
                    figure=spread.path,
                    limit=_limit(gap.nominal),
                    cause="lid",
                    gap=shown(nominal_mm, 1),
                    spread=shown(spread.value, 1, limit=nominal_mm),
                ),
            )
    return ()


def judge_class(handlings: tuple[Handling, ...], gross: Figure) -> tuple[tuple[Finding, ...], tuple[DropCase, ...]]:
    """Drop heights of all legs, each once, with what must be said of the class.

    Parameters
    ----------
    handlings
        Cards of the legs.
    gross
        Gross mass, kg.
    """
    findings: list[Finding] = []
    cases: dict[float, DropCase] = {}
    for schedule, handling in sorted({one.drop_schedule: one for one in handlings}.items()):
        found = drop_classes(gross, handling, table("drop_heights"))
        mass = shown(gross.value, 1)
        if not found:
            findings.append(
                finding("PRO-070", Severity.WARN, (), cause=f"drop/{schedule}", mass=mass, schedule=schedule)
            )
        findings += _near(found, gross, schedule)
        for case in found:
            earlier = cases.get(case.height.value)
            if earlier is None or (case.own and not earlier.own):
                cases[case.height.value] = case
    return tuple(findings), tuple(sorted(cases.values(), key=lambda one: (not one.own, -one.height.value)))


def _near(cases: tuple[DropCase, ...], gross: Figure, schedule: str) -> list[Finding]:
    """The note that both sides of a boundary are judged."""
    if len(cases) < 2:
        return []
    others = ", ".join(f"{one.height.value:g}" for one in cases[1:])
    return [
        finding(
            "PRO-071",
            Severity.NOTE,
            (),
            figure=gross.path,
            cause=f"drop/{schedule}",
            mass=shown(gross.value, 1),
            schedule=schedule,
            own=f"{cases[0].height.value:g}",
            other=others,
        )
    ]


def _limit(given: Given | Figure) -> Limit:
    """A number as a limit."""
    return Limit(value=given.value, unit=given.unit, status=given.status, source=given.source)
