"""Heavier copies nearer to the middle: two copies change places where all can still stand apart."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from traywright.layout.apart import Apart
from traywright.layout.row_states import Steps

SWAPS = 30
"""Pairs of copies that are tried."""  # source: own timing
SWEEPS = 300
"""Sweeps after two have changed places."""  # source: own timing


def heavier_inward(
    apart: Apart,
    copies: Sequence[Steps],
    mass_kg: Callable[[int], float],
    middle_steps: tuple[float, float],
    seed: int,
) -> tuple[Steps, ...]:
    """The copies, after heavier ones have changed places with lighter ones that stood nearer to the middle.

    Parameters
    ----------
    apart
        What moves copies apart.
    copies
        Copies that stand apart.
    mass_kg
        Mass of a copy by its pose.
    middle_steps
        The container's middle on the raster.
    seed
        Seed of the draws.
    """
    best = tuple(copies)
    tried: set[tuple[Steps, Steps]] = set()
    for number in range(SWAPS):
        pair = _worst_pair(best, mass_kg, middle_steps, tried)
        if pair is None:
            break
        one, other = pair
        tried.add((best[one], best[other]))
        start = list(best)
        start[one], start[other] = (best[one][0], *best[other][1:]), (best[other][0], *best[one][1:])
        found = apart.moved(start, SWEEPS, seed + number)
        if found and _outward(found, mass_kg, middle_steps) < _outward(best, mass_kg, middle_steps):
            best = found
    return best


def _far(copy: Steps, middle_steps: tuple[float, float]) -> float:
    return (copy[1] - middle_steps[0]) ** 2 + (copy[2] - middle_steps[1]) ** 2


def _outward(copies: Sequence[Steps], mass_kg: Callable[[int], float], middle_steps: tuple[float, float]) -> float:
    """Second moment of the masses about the middle: what a hand has to hold against."""
    return sum(mass_kg(one[0]) * _far(one, middle_steps) for one in copies)


def _worst_pair(
    copies: Sequence[Steps],
    mass_kg: Callable[[int], float],
    middle_steps: tuple[float, float],
    tried: set[tuple[Steps, Steps]],
) -> tuple[int, int] | None:
    """Numbers of a heavy copy far out and a lighter one further in whose change would gain most, if any is left."""
    far = [_far(one, middle_steps) for one in copies]
    masses = [mass_kg(one[0]) for one in copies]
    best, found = 0.0, None
    for one in range(len(copies)):
        for other in range(len(copies)):
            gain = (masses[one] - masses[other]) * (far[one] - far[other])
            heavier = masses[one] > masses[other]
            if heavier and gain > best and (copies[one], copies[other]) not in tried:
                best, found = gain, (one, other)
    return found
