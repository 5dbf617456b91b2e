"""Judgement of the falls: gaps first, then rules, strain and acceleration."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from traywright.base import Finding, Given, Severity, finding, natural_key, shown, text
from traywright.base.tolerance import SAME_MM
from traywright.catalogue import Foam, table
from traywright.parts.part import Rule
from traywright.protection.criteria import Criterion, Failed, by_kind, failures, told
from traywright.protection.fall_figures import gap_left_mm, path_of, worse_rate
from traywright.protection.falls import Fall

GAP = Criterion(quantity="gap", code="PRO-011", one_rate="PRO-012", value=gap_left_mm, upper=False)
STRAIN = Criterion(
    quantity="strain", code="PRO-020", one_rate="PRO-021", value=lambda _, end: end.strain_ratio, upper=True
)
PEAK = Criterion(
    quantity="peak", code="PRO-022", one_rate="PRO-023", value=lambda _, end: end.peak_gn, upper=True, when_spent=False
)
WATCH = Criterion(
    quantity="strain",
    code="PRO-024",
    one_rate="PRO-024",
    value=lambda _, end: end.strain_ratio,
    upper=True,
    worst=Severity.WARN,
)
NEVER = Criterion(
    quantity="free",
    code="PRO-030",
    one_rate="PRO-033",
    value=lambda fall, end: fall.clear_mm(Rule.NEVER) - end.travel_mm,
    upper=False,
)
AT_REST = Criterion(
    quantity="free",
    code="PRO-031",
    one_rate="PRO-031",
    value=lambda fall, end: fall.clear_mm(Rule.NOT_AT_REST) - end.travel_mm,
    upper=False,
    worst=Severity.NOTE,
)
HARD = Criterion(
    quantity="free",
    code="PRO-027",
    one_rate="PRO-034",
    value=lambda fall, end: fall.to_hard_mm() - end.travel_mm,
    upper=False,
)

Told = dict[str, Callable[[Failed], str]]


def judge_falls(falls: Sequence[Fall], foam: Foam) -> tuple[Finding, ...]:
    """Findings on all falls of one part, one a check: the worst way told, every way that fails named.

    Parameters
    ----------
    falls
        Falls of one part, by direction, one a kind of surroundings.
    foam
        The grade.
    """
    of_all = tuple(falls)
    found = [*_uncaught(of_all, foam)]
    keep, none = table("protection_rules").given("gap_keep", "value"), table("protection_rules").given("touch", "value")
    found += _judged(of_all, GAP, lambda _: keep, {"keep": lambda _: f"{keep.value:g}", **_WAY})
    found += _judged(of_all, HARD, lambda _: none, _clear(lambda fall: fall.to_hard_mm()))
    found += _judged(of_all, NEVER, lambda _: none, _clear(lambda fall: fall.clear_mm(Rule.NEVER)))
    limit = foam.given("strain_limit_ratio")
    found += _judged(of_all, STRAIN, lambda _: limit, {"most": lambda _: f"{limit.value:g}"})
    over = {one.fall.direction for one in failures(of_all, STRAIN, lambda _: limit)}
    watched = foam.given("strain_warn_ratio")
    rest = tuple(one for one in of_all if one.direction not in over)
    found += _judged(rest, WATCH, lambda _: watched, {"most": lambda _: f"{watched.value:g}"})
    found += _judged(of_all, PEAK, lambda fall: fall.pose.part.fragility, {"most": _fragility})
    found += _judged(of_all, AT_REST, lambda _: none, _clear(lambda fall: fall.clear_mm(Rule.NOT_AT_REST)))
    return tuple(found)


def _judged(
    falls: tuple[Fall, ...], criterion: Criterion, limit_of: Callable[[Fall], Given | None], more: Told
) -> list[Finding]:
    """The findings of a criterion: one, or one more where some ways fail less clearly than others."""
    quantity = "travel" if criterion.quantity == "free" else criterion.quantity
    digits = 2 if criterion.quantity == "strain" else 1
    found = []
    for failed in by_kind(failures(falls, criterion, limit_of)):
        worst = failed[0]
        limit = limit_of(worst.fall)
        if limit is not None:
            figure = path_of(worst.fall, worst.landings.case, quantity, worse_rate(worst.landings, quantity))
            found.append(told(failed, criterion, limit, figure=figure, digits=digits, **more))
    return found


def _fragility(failed: Failed) -> str:
    """Fragility of the falling part as text."""
    known = failed.fall.pose.part.fragility
    return "" if known is None else f"{known.value:g}"


def _travel(failed: Failed) -> str:
    """Travel of the worst fall at the worse rate, as text."""
    return shown(failed.landings.slow.travel_mm, 1)


_WAY: Told = {"travel": _travel, "distance": lambda one: shown(one.fall.to_part_mm(), 1)}


def _clear(clear_mm: Callable[[Fall], float]) -> Told:
    """Travel and free way as text."""
    return {"travel": _travel, "clear": lambda one: shown(clear_mm(one.fall), 1)}


def _uncaught(falls: tuple[Fall, ...], foam: Foam) -> list[Finding]:
    """Cells of which nothing catches the part, with every way it is not caught."""
    bare = [one for one in falls if not one.columns.total_mm2 > 0.0]
    if not bare or not foam.has_curve:
        return []
    return [
        finding(
            "PRO-026",
            Severity.STOP,
            tuple(sorted({cell for one in bare for cell in one.cells}, key=natural_key)),
            cause=f"{bare[0].part}/caught",
            part=bare[0].part,
            ways=_ways(bare),
        )
    ]


def _ways(falls: Sequence[Fall]) -> str:
    """Directions of some falls, each once, as text."""
    return ", ".join(dict.fromkeys(text("direction", one.direction) for one in falls))


def judge_rest(falls: Sequence[Fall]) -> tuple[Finding, ...]:
    """Findings on air at rest: surfaces that must not be touched and stand too near to foam.

    Parameters
    ----------
    falls
        Falls of one part, by direction; only what is ahead of them at rest is read.
    """
    keep = table("protection_rules").row("relief_at_rest").number("value")
    near = [(min(one.clear_mm(Rule.NEVER), one.clear_mm(Rule.NOT_AT_REST)), one) for one in falls]
    short = [(clear, one) for clear, one in near if clear < keep - SAME_MM]
    if not short:
        return ()
    clear, fall = min(short, key=lambda pair: (pair[0], pair[1].cells[0]))
    cells = {cell for _, one in short for cell in one.cells}
    return (
        finding(
            "PRO-032",
            Severity.STOP,
            tuple(sorted(cells, key=natural_key)),
            cause=f"{fall.part}/rest",
            part=fall.part,
            direction=text("direction", fall.direction),
            ways=_ways([one for _, one in short]),
            clear=shown(clear, 1, limit=keep, upper=False),
            keep=f"{keep:g}",
        ),
    )
