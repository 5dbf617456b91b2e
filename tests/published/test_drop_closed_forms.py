"""A flat drop on foam: closed forms that need no material.

SOURCE: elementary mechanics, exact: balance of energy m g (h + x) = integral of F. The forms are those of packaging
text books (cushion factor: FPL Report 2031, Forest Products Laboratory, 1955; title and method seen, not the numbers),
worked out by hand below.
"""

from __future__ import annotations

import math

import pytest

from traywright.base.units import G_M_PER_S2
from traywright.protection import Curve, energy_kpa, land, slab_columns, stress_kpa

TINY = 1e-9


def bare(plateau_kpa, ramp):
    return Curve(plateau_kpa=plateau_kpa, gas_kpa=0.0, solid_ratio=TINY, ramp_ratio=ramp, gamma_ratio=1.0)


def test_linear_spring():
    """F/W = 1 + sqrt(1 + 2kh/W); k = 20 kN/m, m = 5 kg, h = 0.5 m: 21.221, to the three places printed."""
    curve, thickness_mm = bare(100.0, 1.0), 1000.0
    area_mm2 = 20.0 * thickness_mm / 0.1  # k = 0.1 N/mm2 x area / thickness = 20 N/mm
    end = land(slab_columns(thickness_mm, area_mm2), curve, mass_kg=5.0, drop_mm=500.0)
    assert end.peak_gn == pytest.approx(21.221, abs=0.0005)


def test_ideal_plateau_thickness():
    """T = h / ((G - 1) e); h = 0.61 m, G = 40, e = 0.6: 26.07 mm. That thickness gives strain 0.6, to 0.1 %."""
    area_mm2, mass_kg = 1000.0, 1.0
    plateau_kpa = 40.0 * mass_kg * G_M_PER_S2 / area_mm2 * 1000.0
    end = land(slab_columns(26.07, area_mm2), bare(plateau_kpa, TINY), mass_kg=mass_kg, drop_mm=610.0)
    assert end.peak_gn == pytest.approx(40.0, rel=1e-6)
    assert end.strain_ratio == pytest.approx(0.6, rel=1e-3)


def test_slow_gas_energy():
    """W = s0 e + p0 (-e - (1-R) ln(1 - e/(1-R))) at s0 = 4.5, R = 33/920, e = 0.5: 23.00 kJ/m3, to 0.1 %."""
    curve = Curve(plateau_kpa=4.5, gas_kpa=101.325, solid_ratio=33 / 920, ramp_ratio=TINY, gamma_ratio=1.0)
    assert energy_kpa(curve, 0.5) == pytest.approx(23.003, rel=1e-3)


def test_quick_gas_energy():
    """W = s0 e + p0 ((1-R)/0.4 (((1-R)/(1-R-e))^0.4 - 1) - e), as above: 34.54 kJ/m3, to 0.1 %."""
    curve = Curve(plateau_kpa=4.5, gas_kpa=101.325, solid_ratio=33 / 920, ramp_ratio=TINY, gamma_ratio=1.4)
    assert energy_kpa(curve, 0.5) == pytest.approx(34.542, rel=1e-3)


@pytest.mark.parametrize("gamma", [1.0, 1.4])
@pytest.mark.parametrize("strain", [0.02, 0.05, 0.3, 0.6, 0.8])
def test_energy_is_the_integral_of_stress(gamma, strain):
    """Fundamental theorem, exact: Simpson's rule on both sides of the ramp's end, to 1e-6."""
    curve = Curve(plateau_kpa=35.0, gas_kpa=101.3, solid_ratio=0.047, ramp_ratio=0.05, gamma_ratio=gamma)
    total = 0.0
    for low, high in ((0.0, min(strain, 0.05)), (0.05, max(strain, 0.05))):
        step = (high - low) / 2000
        ends = [stress_kpa(curve, low + index * step) for index in range(2001)]
        total += step / 3 * (ends[0] + ends[-1] + 4 * math.fsum(ends[1:-1:2]) + 2 * math.fsum(ends[2:-1:2]))
    assert energy_kpa(curve, strain) == pytest.approx(total, rel=1e-6)


def test_peak_force_takes_up_the_whole_fall():
    """Energy balance, exact: energy of the foam at the landing is m g (h + travel), to 1e-8."""
    curve = Curve(plateau_kpa=35.0, gas_kpa=101.3, solid_ratio=0.047, ramp_ratio=0.05, gamma_ratio=1.4)
    end = land(slab_columns(55.0, 3000.0), curve, mass_kg=2.0, drop_mm=460.0)
    taken_j = energy_kpa(curve, end.strain_ratio) * 3000.0 * 55.0 * 1e-6
    assert taken_j == pytest.approx(2.0 * G_M_PER_S2 * (460.0 + end.travel_mm) / 1000.0, rel=1e-8)
