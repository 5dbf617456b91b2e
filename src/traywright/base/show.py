"""Numbers as people read them: rounded away from passing, with their unit."""

from __future__ import annotations

import math


def shown(value: float, digits: int, *, limit: float | None = None, upper: bool = True) -> str:
    """A number rounded for people, never rounded to the passing side of its limit.

    Parameters
    ----------
    value, limit
        The figure and what it is held against, same unit; no limit means plain rounding.
    digits
        Decimal places, 0 to 6.
    upper
        True if the figure must stay at or under the limit.

    Examples
    --------
    >>> shown(0.7004, 2, limit=0.70)
    '0.71'
    >>> shown(1.996, 2, limit=2.0, upper=False)
    '1.99'
    """
    scale = 10.0**digits
    rounded = round(value * scale) / scale
    if limit is not None and upper and value > limit >= rounded:
        rounded = math.ceil(value * scale) / scale
    if limit is not None and not upper and value < limit <= rounded:
        rounded = math.floor(value * scale) / scale
    return f"{rounded + 0.0:.{digits}f}"
