from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from protection.packs import PE, without_curve
from traywright.base.errors import ProtectionError
from traywright.protection import RATES, curve_of, energy_kpa, stress_kpa

STRAINS = st.floats(min_value=0.0, max_value=0.9)


@given(STRAINS, STRAINS, st.sampled_from(RATES))
def test_stress_and_energy_rise_with_strain(one, other, gamma):
    low, high = sorted((one, other))
    curve = curve_of(PE, gamma)
    assert stress_kpa(curve, low) <= stress_kpa(curve, high)
    assert energy_kpa(curve, low) <= energy_kpa(curve, high) + 1e-12  # float noise at no strain at all


@given(st.floats(min_value=0.001, max_value=0.9))
def test_the_quick_rate_is_the_stiffer_one(strain):
    slow, quick = (curve_of(PE, one) for one in RATES)
    assert stress_kpa(quick, strain) > stress_kpa(slow, strain)
    assert energy_kpa(quick, strain) > energy_kpa(slow, strain)


def test_the_plateau_is_reached_at_the_end_of_the_ramp():
    curve = curve_of(PE, 1.0)
    gas_kpa = curve.gas_kpa * (curve.end_ratio / (curve.end_ratio - curve.ramp_ratio / 2) - 1.0)
    assert stress_kpa(curve, curve.ramp_ratio / 2) == pytest.approx(curve.plateau_kpa / 2 + gas_kpa)


def test_no_curve_is_refused():
    with pytest.raises(ProtectionError) as told:
        curve_of(without_curve(), 1.0)
    assert told.value.code == "PRO-001"


def test_foam_heavier_than_its_polymer_is_refused():
    from dataclasses import replace

    with pytest.raises(ProtectionError) as told:
        curve_of(replace(PE, solid_density_kg_m3=PE.density_kg_m3), 1.0)
    assert told.value.code == "PRO-002"
