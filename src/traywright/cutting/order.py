"""The order of places in one operation: nearest first, then uncrossed."""

from __future__ import annotations

import math

from traywright.base.tolerance import TIE_RATIO

Place = tuple[float, float]

MOST_SWEEPS = 20
"""Sweeps of uncrossing; each shortens the way or ends it.  # source: a few are enough, common practice"""


def _far(one: Place, other: Place) -> float:
    """Distance in plan."""
    return math.hypot(one[0] - other[0], one[1] - other[1])


def _nearest_first(places: tuple[Place, ...], start: Place) -> list[int]:
    """Always the nearest place next; the lower number where two are as near."""
    left = list(range(len(places)))
    order: list[int] = []
    here = start
    while left:
        best = min(left, key=lambda one: (round(_far(here, places[one]), 6), one))
        left.remove(best)
        order.append(best)
        here = places[best]
    return order


def _uncrossed(order: list[int], places: tuple[Place, ...], start: Place) -> bool:
    """Turn round each stretch that shortens the way; False if none did."""
    shorter = False
    for i in range(len(order) - 1):
        before = places[order[i - 1]] if i else start
        for j in range(i + 1, len(order)):
            first, last = places[order[i]], places[order[j]]
            after = places[order[j + 1]] if j + 1 < len(order) else None
            now = _far(before, first) + (_far(last, after) if after else 0.0)
            then = _far(before, last) + (_far(first, after) if after else 0.0)
            if then < now * (1.0 - TIE_RATIO) - TIE_RATIO:
                order[i : j + 1] = order[i : j + 1][::-1]
                shorter = True
    return shorter


def visiting_order(places_mm: tuple[Place, ...], start_mm: Place) -> tuple[int, ...]:
    """The order in which places are visited on a short open way from a start.

    Parameters
    ----------
    places_mm
        Places in plan.
    start_mm
        Where the cutter stands.

    Returns
    -------
    tuple[int, ...]
        Indices of places; the same for the same input.

    Notes
    -----
    Nearest neighbour, then 2-opt. Not proven shortest.

    Examples
    --------
    >>> visiting_order(((30.0, 0.0), (10.0, 0.0), (20.0, 0.0)), (0.0, 0.0))
    (1, 2, 0)
    """
    order = _nearest_first(places_mm, start_mm)
    for _ in range(MOST_SWEEPS):
        if not _uncrossed(order, places_mm, start_mm):
            break
    return tuple(order)
