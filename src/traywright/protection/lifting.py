"""Can one person lift the pack: the revised lifting equation of NIOSH 94-110."""

from __future__ import annotations

from dataclasses import dataclass

from traywright.base import Figure, Given, derive
from traywright.catalogue import Row, table

CM_PER_MM = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class Lift:
    """One lift of the pack as the enquiry tells it; lengths in mm, ``coupling`` good, fair or poor."""

    at: str
    people: int
    hand_distance: Given
    height: Given
    travel: Given
    twist: Given
    frequency: Given
    hours: Given
    coupling: str

    @property
    def givens(self) -> tuple[Given, ...]:
        """The numbers that the limit stands on."""
        return (self.hand_distance, self.height, self.travel, self.twist, self.frequency, self.hours)


@dataclass(frozen=True, slots=True, kw_only=True)
class LiftLimit:
    """Recommended mass limit of one lift with its six multipliers (H, V, D, A, F, C)."""

    limit_kg: float
    multipliers_ratio: tuple[float, ...]
    rows: tuple[Given, ...]


def lift_limit(lift: Lift) -> LiftLimit:
    """Mass that one person may lift so, by RWL = LC x HM x VM x DM x AM x FM x CM.

    Parameters
    ----------
    lift
        The lift. Hands nearer than 25 cm count as 25, farther than 63 give 0; a path under 25 cm counts as 25.

    Returns
    -------
    LiftLimit
        Limit in kg, the multipliers, and the rows of the tables that they stand on.

    Notes
    -----
    A frequency between two rows of Table 5 takes the next higher row, one under 0.2 a minute takes 0.2; hours count up
    to 1, 2 or 8. The equation is for two hands, standing, a steady load and dry floor; one-handed, seated, hot or
    unstable lifts are outside it.

    References
    ----------
    NIOSH Publication 94-110, Applications Manual for the Revised NIOSH Lifting Equation, rev. 9/2021, p. 7, Table 5
    (p. 15), Table 7 (p. 18).
    """
    rules = {row.id: row.number("value") for row in table("niosh_multipliers").rows}
    frequency, coupling = _frequency_row(lift), _coupling_row(lift)
    multipliers = (
        _distance_ratio(lift.hand_distance.value * CM_PER_MM, rules),
        _height_ratio(lift.height.value * CM_PER_MM, rules),
        _travel_ratio(lift.travel.value * CM_PER_MM, rules),
        _twist_ratio(lift.twist.value, rules),
        frequency.number("multiplier_ratio"),
        coupling.number("multiplier_ratio"),
    )
    limit = rules["load_constant"]
    for one in multipliers:
        limit *= one
    named = table("niosh_multipliers")
    rows = (
        *(named.given(row.id, "value") for row in named.rows if not row.id.startswith("index")),
        table("niosh_fm").given(frequency.id, "multiplier_ratio"),
        table("niosh_cm").given(coupling.id, "multiplier_ratio"),
    )
    return LiftLimit(limit_kg=limit, multipliers_ratio=multipliers, rows=rows)


def lift_figures(lift: Lift, gross: Figure) -> tuple[Figure, Figure | None]:
    """The limit of a lift and its lifting index: mass on each person over the limit.

    Parameters
    ----------
    lift
        The lift.
    gross
        Gross mass of the pack, kg.

    Returns
    -------
    limit : Figure
        kg for one person.
    index : Figure or None
        Pure number, goal at most 1; None where the limit is 0 (nothing may be lifted so).
    """
    limit = lift_limit(lift)
    one = derive(
        f"protection/lift/{lift.at}/limit",
        limit.limit_kg,
        "kg",
        what="recommended mass limit",
        of="pack",
        case=lift.at,
        method="revised lifting equation, NIOSH 94-110",
        inputs=(*lift.givens, *limit.rows),
    )
    if limit.limit_kg <= 0.0:
        return one, None
    index = derive(
        f"protection/lift/{lift.at}/index",
        gross.value / lift.people / limit.limit_kg,
        "",
        what="lifting index",
        of="pack",
        case=lift.at,
        method="gross mass, shared evenly, over limit",
        inputs=(gross, one),
    )
    return one, index


def _distance_ratio(hands_cm: float, rules: dict[str, float]) -> float:
    """HM = 25 / H."""
    if hands_cm > rules["distance_most"]:
        return 0.0
    return rules["distance_least"] / max(hands_cm, rules["distance_least"])


def _height_ratio(height_cm: float, rules: dict[str, float]) -> float:
    """VM = 1 - 0.003 |V - 75|."""
    if height_cm > rules["height_most"]:
        return 0.0
    return 1.0 - rules["height_slope"] * abs(height_cm - rules["height_reference"])


def _travel_ratio(travel_cm: float, rules: dict[str, float]) -> float:
    """DM = 0.82 + 4.5 / D."""
    if travel_cm > rules["travel_most"]:
        return 0.0
    return rules["travel_base"] + rules["travel_slope"] / max(travel_cm, rules["travel_least"])


def _twist_ratio(twist_deg: float, rules: dict[str, float]) -> float:
    """AM = 1 - 0.0032 A."""
    return 0.0 if twist_deg > rules["twist_most"] else 1.0 - rules["twist_slope"] * twist_deg


def _band(lift: Lift) -> str:
    """Which of the two columns of height a lift belongs to."""
    reference = table("niosh_multipliers").row("height_reference").number("value")
    return "below" if lift.height.value * CM_PER_MM < reference else "from"


def _frequency_row(lift: Lift) -> Row:
    """Row of Table 5: next higher frequency and hours; the last row where there is none."""
    fitting = [
        row
        for row in table("niosh_fm").having("height", _band(lift))
        if row.number("hours_h") >= lift.hours.value or row.number("hours_h") >= _LONGEST_H
    ]
    hours = min(row.number("hours_h") for row in fitting)
    bands = [row for row in fitting if row.number("hours_h") <= hours]
    listed = [row for row in bands if row.has("lifts_per_min") and row.number("lifts_per_min") >= lift.frequency.value]
    above = [row for row in bands if not row.has("lifts_per_min")]
    return min(listed, key=lambda row: row.number("lifts_per_min")) if listed else above[0]


_LONGEST_H = 8.0  # source: NIOSH 94-110 Table 5, longest column


def _coupling_row(lift: Lift) -> Row:
    """Row of Table 7."""
    return table("niosh_cm").row(f"{lift.coupling}/{_band(lift)}")
