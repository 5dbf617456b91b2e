"""What a part does to its seat by its weight alone: sink, stress, creep."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from traywright.base import Figure, Finding, Limit, Severity, derive, finding, natural_key, shown
from traywright.base.units import G_M_PER_S2, MPA_PER_KPA
from traywright.catalogue import Foam, table
from traywright.parts.part import Rule
from traywright.protection.falls import Fall
from traywright.protection.gas_model import SLOW_RATIO, curve_givens, curve_of
from traywright.protection.landing import Landing, settle


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Settled:
    """A part at rest: the foam below it and how far it sinks; ``stress_kpa`` is weight over the area that presses."""

    fall: Fall
    end: Landing
    stress_kpa: float


def settled(falls: Sequence[Fall], foam: Foam) -> tuple[Settled, ...]:
    """How each kind of surroundings carries the part at rest.

    Parameters
    ----------
    falls
        Falls of one part towards the underside.
    foam
        The grade; without a curve nothing is calculated.
    """
    if not foam.has_curve:
        return ()
    curve = curve_of(foam, SLOW_RATIO)
    found = []
    for fall in falls:
        columns = fall.rays.resting()
        if columns.total_mm2 > 0.0:
            end = settle(columns, curve, mass_kg=fall.mass.value)
            stress = fall.mass.value * G_M_PER_S2 / end.touched_mm2 / MPA_PER_KPA
            found.append(Settled(fall=fall, end=end, stress_kpa=stress))
    return tuple(found)


def judge_static(falls: Sequence[Fall], foam: Foam) -> tuple[tuple[Finding, ...], tuple[Figure, ...]]:
    """Creep and settling of one part, worst cell first.

    Parameters
    ----------
    falls
        Falls of one part towards the underside.
    foam
        The grade; without a creep limit the stress stands as a figure and is not judged.
    """
    states = settled(falls, foam)
    if not states:
        return (), ()
    worst = max(states, key=lambda one: one.stress_kpa)
    figures = tuple(_figure(worst, foam, name) for name in ("stress", "sink"))
    findings = [*_creep(states, foam, figures[0]), *_touched(states, figures[1]), *_settled_near(states, figures[1])]
    return tuple(findings), figures


def _figure(worst: Settled, foam: Foam, name: str) -> Figure:
    """Stress or sink of the worst cell."""
    part = worst.fall.part
    return derive(
        f"protection/{part}/rest/{name}",
        worst.stress_kpa if name == "stress" else worst.end.travel_mm,
        "kPa" if name == "stress" else "mm",
        what="static stress" if name == "stress" else "sink",
        of=part,
        case="at rest",
        method="weight carried by foam columns, gas model gamma 1, with the ramp",
        inputs=(*curve_givens(foam), worst.fall.mass),
    )


def _creep(states: tuple[Settled, ...], foam: Foam, figure: Figure) -> list[Finding]:
    """The warning of seats above the creep limit."""
    if foam.creep_limit_kpa is None:
        return []
    limit = foam.given("creep_limit_kpa")
    over = [one for one in states if one.stress_kpa > limit.value]
    if not over:
        return []
    return [
        finding(
            "PRO-040",
            Severity.WARN,
            _cells(over),
            figure=figure.path,
            limit=Limit(value=limit.value, unit=limit.unit, status=limit.status, source=limit.source),
            cause=f"{over[0].fall.part}/under/creep",
            part=over[0].fall.part,
            foam=foam.id,
            stress=shown(figure.value, 1, limit=limit.value),
            limit_kpa=f"{limit.value:g}",
        )
    ]


def _touched(states: tuple[Settled, ...], figure: Figure) -> list[Finding]:
    """The stop of parts that settle onto a surface that must not be touched at rest."""
    down = [one for one in states if _left_mm(one) < 0.0]
    if not down:
        return []
    return [
        finding(
            "PRO-042",
            Severity.STOP,
            _cells(down),
            figure=figure.path,
            cause=f"{down[0].fall.part}/under/settle",
            part=down[0].fall.part,
            sink=shown(max(one.end.travel_mm for one in down), 1),
        )
    ]


def _settled_near(states: tuple[Settled, ...], figure: Figure) -> list[Finding]:
    """The warning of parts that sink so far that little air is left to a surface that must not be touched."""
    least = table("protection_rules").given("relief_settled", "value")
    left = [(_left_mm(one), one) for one in states]
    near = [(left_mm, one) for left_mm, one in left if 0.0 <= left_mm < least.value]
    if not near:
        return []
    return [
        finding(
            "PRO-043",
            Severity.WARN,
            _cells([one for _, one in near]),
            figure=figure.path,
            limit=Limit(value=least.value, unit=least.unit, status=least.status, source=least.source),
            cause=f"{near[0][1].fall.part}/settled",
            part=near[0][1].fall.part,
            sink=shown(max(one.end.travel_mm for _, one in near), 1),
            left=shown(min(left_mm for left_mm, _ in near), 1, limit=least.value, upper=False),
            least=f"{least.value:g}",
        )
    ]


def _left_mm(one: Settled) -> float:
    """Air left below a surface that must not be touched once the part has sunk in; infinite where none is ruled so."""
    return min(one.fall.clear_mm(rule) for rule in (Rule.NEVER, Rule.NOT_AT_REST)) - one.end.travel_mm


def _cells(states: Sequence[Settled]) -> tuple[str, ...]:
    """All their cells, sorted."""
    return tuple(sorted((cell for one in states for cell in one.fall.cells), key=natural_key))
