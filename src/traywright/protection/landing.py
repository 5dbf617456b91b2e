"""How far a part travels into the foam in a flat drop, and what acts on it then."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from traywright.base.tolerance import SNAP_MM, SOLVER_RATIO, SPENT_RATIO
from traywright.base.units import G_M_PER_S2, MM_PER_M, MPA_PER_KPA
from traywright.protection.gas_model import Curve, energy_kpa, stress_kpa

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Columns:
    """Upright pieces of foam ahead of a part, one a spot of its surface that may carry.

    ``air_mm`` is what the part crosses before the column presses, ``foam_mm`` the foam's thickness up to something
    hard, ``area_mm2`` its cross-section. Equal columns are held once. A column of no area carries nothing: it stands
    ahead of a surface that must not be touched, and the fall ends where it is squashed to its end.
    """

    air_mm: Array
    foam_mm: Array
    area_mm2: Array

    @property
    def total_mm2(self) -> float:
        """Area of all columns."""
        return float(self.area_mm2.sum())

    def deeper(self, by_mm: float) -> Columns:
        """The same columns with more foam behind each."""
        return Columns(air_mm=self.air_mm, foam_mm=self.foam_mm + by_mm, area_mm2=self.area_mm2)


def columns_of(air_mm: Array, foam_mm: Array, area_mm2: Array) -> Columns:
    """Columns with equal ones added up, in rising order of air, then foam; those without foam are left out.

    Parameters
    ----------
    air_mm, foam_mm, area_mm2
        One value a column, flat arrays of one length; area may be one number for all.
    """
    has = foam_mm > SNAP_MM
    steps = np.round(np.stack([air_mm[has], foam_mm[has]]) / SNAP_MM).astype(np.int64)
    kinds, place = np.unique(steps, axis=1, return_inverse=True)
    areas = np.broadcast_to(area_mm2, air_mm.shape)[has]
    summed = np.bincount(place.reshape(-1), weights=areas, minlength=kinds.shape[1])
    return Columns(air_mm=kinds[0] * SNAP_MM, foam_mm=kinds[1] * SNAP_MM, area_mm2=summed.astype(np.float64))


def slab_columns(thickness_mm: float, area_mm2: float) -> Columns:
    """One flat pad under a flat face.

    Examples
    --------
    >>> slab_columns(50.0, 2400.0).total_mm2
    2400.0
    """
    return Columns(air_mm=np.zeros(1), foam_mm=np.array([thickness_mm]), area_mm2=np.array([area_mm2]))


@dataclass(frozen=True, slots=True, kw_only=True)
class Landing:
    """The end of a fall: travel, largest strain of any column that carries, force and acceleration.

    ``spent`` is true where the foam ends before the fall does: then travel is where it ends and force and
    acceleration are only lower bounds, and the strain is that of the spent column. ``touched_mm2`` is the area of the
    columns that press.
    """

    travel_mm: float
    strain_ratio: float
    force_n: float
    peak_gn: float
    touched_mm2: float
    spent: bool


def force_n(columns: Columns, curve: Curve, travel_mm: float) -> float:
    """Force of all columns at a travel, N."""
    strain = np.maximum(travel_mm - columns.air_mm, 0.0) / columns.foam_mm
    return float(np.dot(stress_kpa(curve, strain), columns.area_mm2)) * MPA_PER_KPA


def energy_j(columns: Columns, curve: Curve, travel_mm: float) -> float:
    """Energy that all columns have taken up at a travel, J."""
    strain = np.maximum(travel_mm - columns.air_mm, 0.0) / columns.foam_mm
    volume = columns.area_mm2 * columns.foam_mm
    return float(np.dot(energy_kpa(curve, strain), volume)) * MPA_PER_KPA / MM_PER_M


def longest_travel_mm(columns: Columns, curve: Curve) -> float:
    """Travel at which the first column is spent."""
    return float(np.min(columns.air_mm + columns.foam_mm * (curve.end_ratio * SPENT_RATIO)))


def land(columns: Columns, curve: Curve, *, mass_kg: float, drop_mm: float) -> Landing:
    """Travel, strain, force and peak acceleration of a flat drop, by balance of energy.

    Parameters
    ----------
    columns
        Foam ahead of the part; at least one column.
    curve
        The foam's curve at one rate.
    mass_kg
        Mass of the part alone, above 0.
    drop_mm
        Height of the fall before the box stops, above 0.

    Returns
    -------
    Landing
        From m g (h + travel) = integral of F over travel; peak = F / (m g): what an accelerometer
        zeroed in free fall reads.

    Notes
    -----
    One rigid part, moving straight; foam without mass, no flow of air between cells, no friction at the side walls.
    The slower rate bounds strain and travel, the quicker one peak acceleration away from the end of the foam.

    Examples
    --------
    >>> curve = Curve(plateau_kpa=35.0, gas_kpa=101.3, solid_ratio=0.05, ramp_ratio=0.05, gamma_ratio=1.0)
    >>> end = land(slab_columns(60.0, 2400.0), curve, mass_kg=1.0, drop_mm=460.0)
    >>> round(end.peak_gn, 1), round(end.strain_ratio, 2), end.spent
    (32.5, 0.47, False)
    """
    weight_n = mass_kg * G_M_PER_S2
    most_mm = longest_travel_mm(columns, curve)

    def left_j(travel_mm: float) -> float:
        return energy_j(columns, curve, travel_mm) - weight_n * (drop_mm + travel_mm) / MM_PER_M

    spent = left_j(most_mm) < 0.0
    travel_mm = most_mm if spent else _root_mm(left_j, most_mm)
    return _landed(columns, curve, travel_mm=travel_mm, weight_n=weight_n, spent=spent)


def settle(columns: Columns, curve: Curve, *, mass_kg: float) -> Landing:
    """Where a part comes to rest by its weight alone: F(travel) = m g.

    Parameters
    ----------
    columns
        Foam below the part; at least one column.
    curve
        The foam's curve; the slow rate belongs here.
    mass_kg
        Mass of the part, above 0.
    """
    weight_n = mass_kg * G_M_PER_S2
    most_mm = longest_travel_mm(columns, curve)

    def left_n(travel_mm: float) -> float:
        return force_n(columns, curve, travel_mm) - weight_n

    spent = left_n(most_mm) < 0.0
    travel_mm = most_mm if spent else _root_mm(left_n, most_mm)
    return _landed(columns, curve, travel_mm=travel_mm, weight_n=weight_n, spent=spent)


def _root_mm(left: Callable[[float], float], most_mm: float) -> float:
    """The travel at which a function that is negative at 0 and positive at the end crosses zero, by halving."""
    low_mm, high_mm = 0.0, most_mm
    while high_mm - low_mm > SOLVER_RATIO * most_mm:
        middle_mm = (low_mm + high_mm) / 2.0
        if left(middle_mm) < 0.0:
            low_mm = middle_mm
        else:
            high_mm = middle_mm
    return high_mm


def _landed(columns: Columns, curve: Curve, *, travel_mm: float, weight_n: float, spent: bool) -> Landing:
    """All that follows from a travel."""
    pressed = np.maximum(travel_mm - columns.air_mm, 0.0)
    strained = (columns.area_mm2 > 0.0) | spent
    force = force_n(columns, curve, travel_mm)
    return Landing(
        travel_mm=travel_mm,
        strain_ratio=float(np.max((pressed / columns.foam_mm)[strained])),
        force_n=force,
        peak_gn=force / weight_n,
        touched_mm2=float(columns.area_mm2[pressed > 0.0].sum()),
        spent=spent,
    )
