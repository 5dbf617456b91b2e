"""What a number that people type may be before it must be a slip: the table ``input_limits``."""

from __future__ import annotations

import math
from dataclasses import dataclass

from traywright.base.units import suffix_of, unit_of
from traywright.catalogue.tables import Row, table


@dataclass(frozen=True, slots=True, kw_only=True)
class Believable:
    """The range of one key: above ``low`` (or from it, where ``low_allowed``) up to ``high``, in ``unit``."""

    low: float
    high: float
    low_allowed: bool
    unit: str

    def holds(self, value: float) -> bool:
        """True if a value is finite and in the range."""
        above = value >= self.low if self.low_allowed else value > self.low
        return math.isfinite(value) and above and value <= self.high


def float_of(value: float) -> float:
    """The float of a number as a reader hands it over; infinite where a whole number is too large for one.

    Examples
    --------
    >>> float_of(3), float_of(10**400)
    (3.0, inf)
    """
    try:
        return float(value)
    except OverflowError:
        return math.inf if value > 0 else -math.inf


def believable(key: str, *, owner: str = "", else_row: str = "count") -> Believable:
    """The believable range of a key: its own row, else that of its unit, else ``else_row``.

    Parameters
    ----------
    key
        Name with its unit, such as ``mass_kg``.
    owner
        Key of the table that holds it, where the same key means different things (``lift.height_mm``).
    else_row
        Row for a name without unit: ``count`` or ``money``.

    Examples
    --------
    >>> believable("mass_kg").holds(2.0), believable("mass_kg").holds(0.0), believable("scrap_ratio").holds(0.0)
    (True, False, True)
    """
    rows: dict[str, Row] = {row.id: row for row in table("input_limits").rows}
    suffix = suffix_of(key)
    row = rows.get(f"{owner}.{key}") or rows.get(key) or rows.get(suffix) or rows[else_row]
    return Believable(
        low=row.number("low"),
        high=row.number("high"),
        low_allowed=row.text("low_allowed") == "yes",
        unit=unit_of(key),
    )
