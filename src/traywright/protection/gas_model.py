"""Stress and energy of closed-cell foam under fast compression: cell walls plus the gas that is shut in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import overload

import numpy as np
from numpy.typing import NDArray

from traywright.base import Given
from traywright.base.errors import ProtectionError
from traywright.catalogue.cards import Foam

Array = NDArray[np.float64]

SLOW_RATIO = 1.0  # source: isothermal gas, exact: the foam takes the heat up; judges strain, travel and gap
QUICK_RATIO = 1.4  # source: adiabatic air, ratio of its specific heats; judges peak acceleration
RATES = (SLOW_RATIO, QUICK_RATIO)
"""The two rates of the cell gas between which a drop lies; each criterion takes the worse one."""

CURVE_KEYS = ("density_kg_m3", "gas_kpa", "plateau_kpa", "ramp_ratio", "solid_density_kg_m3")
"""Numbers of a foam card that the curve stands on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """The compressive curve of one foam at one rate of its cell gas.

    ``solid_ratio`` is R, density of the foam over density of its polymer; ``gamma_ratio`` is 1.0 (slow) to 1.4 (quick).
    """

    plateau_kpa: float
    gas_kpa: float
    solid_ratio: float
    ramp_ratio: float
    gamma_ratio: float

    @property
    def end_ratio(self) -> float:
        """Strain at which no gas is left, 1 - R; the curve runs to infinity there."""
        return 1.0 - self.solid_ratio


def curve_of(foam: Foam, gamma_ratio: float) -> Curve:
    """The compressive curve of a foam card at one rate.

    Parameters
    ----------
    foam
        A card with a curve.
    gamma_ratio
        Exponent of the cell gas, 1.0 to 1.4.

    Raises
    ------
    ProtectionError
        PRO-001 if the card has no curve; PRO-002 if the foam is not lighter than its polymer.
    """
    if foam.plateau_kpa is None or foam.gas_kpa is None or foam.solid_density_kg_m3 is None or foam.ramp_ratio is None:
        raise ProtectionError("PRO-001", foam=foam.id)
    if not 0.0 < foam.density_kg_m3 < foam.solid_density_kg_m3:
        raise ProtectionError("PRO-002", foam=foam.id)
    return Curve(
        plateau_kpa=foam.plateau_kpa,
        gas_kpa=foam.gas_kpa,
        solid_ratio=foam.density_kg_m3 / foam.solid_density_kg_m3,
        ramp_ratio=foam.ramp_ratio,
        gamma_ratio=gamma_ratio,
    )


def curve_givens(foam: Foam) -> tuple[Given, ...]:
    """The card's numbers that any figure from its curve stands on."""
    return tuple(foam.given(key) for key in CURVE_KEYS)


@overload
def stress_kpa(curve: Curve, strain_ratio: float) -> float: ...
@overload
def stress_kpa(curve: Curve, strain_ratio: Array) -> Array: ...
def stress_kpa(curve: Curve, strain_ratio: float | Array) -> float | Array:
    """Compressive stress at a strain, kPa.

    Parameters
    ----------
    curve
        The foam's curve.
    strain_ratio
        Travel over thickness, 0 to below ``curve.end_ratio``.

    Returns
    -------
    float or array
        sigma(e) = sigma0 min(1, e/ramp) + p0 [((1-R)/(1-R-e))^gamma - 1], kPa.

    References
    ----------
    Plateau and cell gas after Gibson & Ashby, Cellular Solids, 2nd ed. (1997), from memory.

    Examples
    --------
    >>> curve = Curve(plateau_kpa=4.5, gas_kpa=101.325, solid_ratio=33 / 920, ramp_ratio=0.05, gamma_ratio=1.0)
    >>> round(stress_kpa(curve, 0.5), 1)
    113.7
    """
    full = curve.end_ratio
    gas = curve.gas_kpa * ((full / (full - strain_ratio)) ** curve.gamma_ratio - 1.0)
    wall = curve.plateau_kpa * np.minimum(1.0, strain_ratio / curve.ramp_ratio)
    total = wall + gas
    return total if isinstance(strain_ratio, np.ndarray) else float(total)


@overload
def energy_kpa(curve: Curve, strain_ratio: float) -> float: ...
@overload
def energy_kpa(curve: Curve, strain_ratio: Array) -> Array: ...
def energy_kpa(curve: Curve, strain_ratio: float | Array) -> float | Array:
    """Energy that a volume of foam has taken up at a strain, kPa (= kJ/m3): the exact integral of ``stress_kpa``.

    Parameters
    ----------
    curve
        The foam's curve.
    strain_ratio
        Travel over thickness, 0 to below ``curve.end_ratio``.

    Returns
    -------
    float or array
        Energy per volume, kPa.

    Examples
    --------
    >>> curve = Curve(plateau_kpa=0.0, gas_kpa=100.0, solid_ratio=0.05, ramp_ratio=0.05, gamma_ratio=1.0)
    >>> round(energy_kpa(curve, 0.5), 3)
    20.985
    """
    e, a, g = strain_ratio, curve.end_ratio, curve.gamma_ratio
    on_ramp = np.minimum(e, curve.ramp_ratio)
    wall = curve.plateau_kpa * (e - on_ramp + on_ramp * on_ramp / (2.0 * curve.ramp_ratio))
    if g > SLOW_RATIO:
        gas = curve.gas_kpa * (a / (g - 1.0) * ((a / (a - e)) ** (g - 1.0) - 1.0) - e)
    else:
        gas = curve.gas_kpa * (-e - a * np.log1p(-e / a))
    total = wall + gas
    return total if isinstance(strain_ratio, np.ndarray) else float(total)
