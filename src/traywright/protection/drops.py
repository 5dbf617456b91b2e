"""From which heights a pack may fall: the class of its gross mass, and the next one where the boundary is near."""

from __future__ import annotations

import math
from dataclasses import dataclass

from traywright.base import Figure, Given
from traywright.base.tolerance import TIE_RATIO
from traywright.catalogue import Handling, Row, Table, table


@dataclass(frozen=True, slots=True, kw_only=True)
class DropCase:
    """One drop height that a pack is judged at.

    ``own`` is true for the class that the gross mass falls into, false for the class on the other side of a boundary
    that is near; ``schedule`` and ``row`` name the table's row.
    """

    schedule: str
    row: str
    height: Given
    own: bool


def drop_classes(gross: Figure, handling: Handling, drop_heights: Table) -> tuple[DropCase, ...]:
    """Drop heights of a pack, its own class first, then those across a boundary within a tenth of its mass.

    Parameters
    ----------
    gross
        Gross mass of the pack, kg.
    handling
        Card of the leg; its ``drop_schedule`` names rows of the table.
    drop_heights
        The table of that name: mass from (included) and to (excluded), kg, and drop, mm.

    Returns
    -------
    tuple of DropCase
        Empty where the schedule has no row for the mass: then nothing is calculated.

    Notes
    -----
    A lighter pack falls from higher. Where the gross mass lies within 10 % of a boundary (table ``protection_rules``)
    both sides are given, because a scale, wet parts or one kit less decide the class.

    References
    ----------
    ISTA Procedure 1A and 2A drop tables, metric edition; ASTM D4169 rows from memory where marked so.

    Examples
    --------
    >>> from traywright.base import Status
    >>> gross = Figure(
    ...     path="pack/gross", what="gross mass", of="pack", case="", value=12.0, low=12.0, high=12.0, unit="kg",
    ...     method="sum", inputs=("enquiry:part.a.mass_kg",), status=Status.STATED, source="customer",
    ... )  # fmt: skip
    >>> by = Handling(
    ...     id="parcel", name="parcel", grounds=(), drop_schedule="ISTA 1A", temperature_low_c=0, temperature_high_c=30
    ... )
    >>> [(case.row, case.height.value) for case in drop_classes(gross, by, table("drop_heights"))]
    [('ISTA 1A/10-19', 610.0)]
    """
    rows = drop_heights.having("schedule", handling.drop_schedule)
    own = [row for row in rows if _holds(row, gross.value)]
    if not own:
        return ()
    share = table("protection_rules").row("boundary_share").number("value")
    near = [row for row in rows if row not in own and _is_near(row, own[0], mass_kg=gross.value, share_ratio=share)]
    return tuple(
        DropCase(
            schedule=handling.drop_schedule,
            row=row.id,
            height=drop_heights.given(row.id, "drop_mm"),
            own=row in own,
        )
        for row in (*own[:1], *near)
    )


def schedule_heights(handling: Handling, drop_heights: Table) -> tuple[Given, ...]:
    """Every drop height of a schedule, highest first: what wall needs are tabled over.

    Examples
    --------
    >>> by = Handling(
    ...     id="parcel", name="parcel", grounds=(), drop_schedule="ISTA 1A", temperature_low_c=0, temperature_high_c=30
    ... )
    >>> [one.value for one in schedule_heights(by, table("drop_heights"))]
    [760.0, 610.0, 460.0, 310.0, 200.0]
    """
    rows = drop_heights.having("schedule", handling.drop_schedule)
    return tuple(sorted((drop_heights.given(row.id, "drop_mm") for row in rows), key=lambda one: (-one.value, one.ref)))


def _holds(row: Row, mass_kg: float) -> bool:
    """True if a mass falls into a row."""
    above = mass_kg >= row.number("mass_from_kg")
    return above and (not row.has("mass_to_kg") or mass_kg < row.number("mass_to_kg"))


def _is_near(row: Row, own: Row, *, mass_kg: float, share_ratio: float) -> bool:
    """True if a row meets the own row at a boundary that the mass is near to."""
    lower_kg = own.number("mass_from_kg")
    if row.has("mass_to_kg") and math.isclose(row.number("mass_to_kg"), lower_kg, rel_tol=TIE_RATIO):
        return mass_kg - lower_kg <= share_ratio * lower_kg
    if not own.has("mass_to_kg"):
        return False
    upper_kg = own.number("mass_to_kg")
    meets = math.isclose(row.number("mass_from_kg"), upper_kg, rel_tol=TIE_RATIO)
    return meets and upper_kg - mass_kg <= share_ratio * upper_kg
