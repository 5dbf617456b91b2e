"""The figures of all falls: travel, strain, peak and gap, at both rates, of the worst cell of each part."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from traywright.base import Figure, derive
from traywright.catalogue import Foam
from traywright.protection.drops import DropCase
from traywright.protection.falls import Fall, Landings
from traywright.protection.gas_model import QUICK_RATIO, SLOW_RATIO, curve_givens
from traywright.protection.landing import Landing

SLOW, QUICK = "slow", "quick"


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """One number of a landing that is kept as a figure; ``worst`` picks it over the cells."""

    name: str
    what: str
    unit: str
    value: Callable[[Fall, Landing], float]
    worst: Callable[[Sequence[float]], float]


def gap_left_mm(fall: Fall, landing: Landing) -> float:
    """Distance left to the next part straight ahead, mm; infinite where none is ahead."""
    return fall.to_part_mm() - landing.travel_mm


QUANTITIES = (
    Quantity(name="travel", what="travel", unit="mm", value=lambda _, end: end.travel_mm, worst=max),
    Quantity(name="strain", what="foam strain", unit="", value=lambda _, end: end.strain_ratio, worst=max),
    Quantity(name="peak", what="peak acceleration", unit="gn", value=lambda _, end: end.peak_gn, worst=max),
    Quantity(name="gap", what="gap left", unit="mm", value=gap_left_mm, worst=min),
)


def path_of(fall: Fall, case: DropCase, quantity: str, rate: str) -> str:
    """Stable path of one figure of a part, direction and height."""
    return f"protection/{fall.part}/{fall.direction}/{case.height.value:g}/{quantity}/{rate}"


def worse_rate(landings: Landings, quantity: str) -> str:
    """The rate at which a quantity is worse: for peak the larger one, else the slow one."""
    return QUICK if quantity == "peak" and landings.quick.peak_gn > landings.slow.peak_gn else SLOW


def fall_figures(falls: Sequence[Fall], foam: Foam) -> tuple[Figure, ...]:
    """Figures of all falls of one part in one direction.

    Parameters
    ----------
    falls
        Falls of one part and direction, one a kind of surroundings.
    foam
        The grade with its curve.
    """
    landed = [one for one in falls if one.landings]
    if not landed:
        return ()
    found = []
    for index in range(len(landed[0].landings)):
        for quantity in QUANTITIES:
            slow = [quantity.value(one, one.landings[index].slow) for one in landed]
            quick = [quantity.value(one, one.landings[index].quick) for one in landed]
            worst = (quantity.worst(slow), quantity.worst(quick))
            if all(math.isfinite(one) for one in worst):
                found += _pair(landed, index, quantity, foam, worst=worst)
    return tuple(found)


def _pair(
    landed: list[Fall], index: int, quantity: Quantity, foam: Foam, *, worst: tuple[float, float]
) -> list[Figure]:
    """One quantity at both rates; each carries the other as its band."""
    fall, case = landed[0], landed[0].landings[index].case
    spent = any(one.landings[index].slow.spent or one.landings[index].quick.spent for one in landed)
    found = []
    for rate, gamma, value in zip((SLOW, QUICK), (SLOW_RATIO, QUICK_RATIO), worst, strict=True):
        found.append(
            derive(
                path_of(fall, case, quantity.name, rate),
                value,
                quantity.unit,
                what=quantity.what,
                of=fall.part,
                case=f"{fall.direction}, {case.height.value:g} mm",
                low=min(worst),
                high=max(worst),
                method=_method(gamma, spent=spent, beyond=_is_beyond(landed, index, foam)),
                inputs=(*curve_givens(foam), fall.mass, case.height),
            )
        )
    return found


def _is_beyond(landed: list[Fall], index: int, foam: Foam) -> bool:
    """True if a landing strains the foam beyond the data its curve was compared with."""
    if foam.strain_data_to_ratio is None:
        return True
    return any(one.landings[index].slow.strain_ratio > foam.strain_data_to_ratio for one in landed)


def _method(gamma_ratio: float, *, spent: bool, beyond: bool) -> str:
    """How a figure of a fall was found, with what limits it."""
    method = f"flat drop, energy balance on foam columns, gas model gamma {gamma_ratio:g}, own mass"
    if spent:
        return f"{method}; foam spent, bound only"
    return f"{method}; outside data" if beyond else method
