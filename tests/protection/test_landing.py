from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from protection.packs import PE
from traywright.base.units import G_M_PER_S2
from traywright.protection import RATES, Columns, curve_of, land, settle, slab_columns
from traywright.protection.landing import columns_of

HEIGHTS = st.floats(min_value=50.0, max_value=1500.0)
THICK = st.floats(min_value=10.0, max_value=200.0)
AREAS = st.floats(min_value=500.0, max_value=20000.0)
MASSES = st.floats(min_value=0.05, max_value=5.0)
GAMMAS = st.sampled_from(RATES)


@given(HEIGHTS, HEIGHTS, THICK, AREAS, MASSES, GAMMAS)
def test_travel_grows_with_drop_height(one, other, thick, area, mass, gamma):
    low, high = sorted((one, other))
    curve, columns = curve_of(PE, gamma), slab_columns(thick, area)
    ends = [land(columns, curve, mass_kg=mass, drop_mm=height) for height in (low, high)]
    assert ends[0].travel_mm <= ends[1].travel_mm
    assert ends[0].force_n <= ends[1].force_n


@given(THICK, THICK, HEIGHTS, AREAS, MASSES, GAMMAS)
def test_strain_and_peak_fall_with_thickness(one, other, height, area, mass, gamma):
    thin, thick = sorted((one, other))
    curve = curve_of(PE, gamma)
    ends = [land(slab_columns(each, area), curve, mass_kg=mass, drop_mm=height) for each in (thin, thick)]
    assert ends[1].strain_ratio <= ends[0].strain_ratio + 1e-9
    if not ends[0].spent:
        assert ends[1].peak_gn <= ends[0].peak_gn * (1 + 1e-9)


@given(HEIGHTS, THICK, AREAS, MASSES)
def test_the_slow_rate_travels_farther(height, thick, area, mass):
    slow, quick = (land(slab_columns(thick, area), curve_of(PE, one), mass_kg=mass, drop_mm=height) for one in RATES)
    assert slow.travel_mm >= quick.travel_mm


@given(HEIGHTS, THICK, AREAS, MASSES, GAMMAS)
def test_peak_is_above_the_mean_of_the_fall(height, thick, area, mass, gamma):
    end = land(slab_columns(thick, area), curve_of(PE, gamma), mass_kg=mass, drop_mm=height)
    if not end.spent:
        assert end.peak_gn >= 1.0 + height / end.travel_mm - 1e-6


def test_two_half_pads_are_one_pad():
    curve = curve_of(PE, 1.0)
    halves = Columns(air_mm=np.zeros(2), foam_mm=np.full(2, 50.0), area_mm2=np.full(2, 1200.0))
    ends = [land(one, curve, mass_kg=1.0, drop_mm=460.0) for one in (halves, slab_columns(50.0, 2400.0))]
    assert ends[0] == ends[1]


def test_air_before_the_foam_adds_to_fall_and_travel():
    curve = curve_of(PE, 1.0)
    far = Columns(air_mm=np.array([7.0]), foam_mm=np.array([50.0]), area_mm2=np.array([2400.0]))
    end = land(far, curve, mass_kg=1.0, drop_mm=460.0)
    near = land(slab_columns(50.0, 2400.0), curve, mass_kg=1.0, drop_mm=467.0)
    assert end.travel_mm == pytest.approx(near.travel_mm + 7.0)
    assert end.peak_gn == pytest.approx(near.peak_gn)


def test_foam_that_is_too_little_is_spent():
    end = land(slab_columns(10.0, 100.0), curve_of(PE, 1.0), mass_kg=5.0, drop_mm=760.0)
    assert end.spent
    assert end.travel_mm == pytest.approx(10.0 * curve_of(PE, 1.0).end_ratio * 0.985)


def test_at_rest_force_is_weight():
    end = settle(slab_columns(50.0, 2400.0), curve_of(PE, 1.0), mass_kg=2.0)
    assert end.force_n == pytest.approx(2.0 * G_M_PER_S2)
    assert 0.0 < end.travel_mm < 2.5


def test_equal_columns_are_held_once_and_bare_ones_left_out():
    columns = columns_of(np.array([0.0, 0.0, 1.0, 0.0]), np.array([20.0, 20.0, 20.0, 0.0]), np.array(4.0))
    assert columns.air_mm.tolist() == [0.0, 1.0]
    assert columns.area_mm2.tolist() == [8.0, 4.0]


def beside_never(thick_mm, never_air_mm, never_foam_mm):
    """A pad that carries beside a column that stands ahead of a surface ruled never."""
    return Columns(
        air_mm=np.array([0.0, never_air_mm]),
        foam_mm=np.array([thick_mm, never_foam_mm]),
        area_mm2=np.array([2400.0, 0.0]),
    )


def test_a_part_fell_through_the_foam_ahead_of_a_surface_ruled_never():
    # alone the pad lets the part travel 26 mm; 5 mm of air and 10 mm of foam ahead of the other surface end it before
    curve = curve_of(PE, 1.0)
    end = land(beside_never(50.0, 5.0, 10.0), curve, mass_kg=1.0, drop_mm=460.0)
    assert end.spent
    assert end.travel_mm == pytest.approx(5.0 + 10.0 * curve.end_ratio * 0.985)
    assert end.strain_ratio == pytest.approx(curve.end_ratio * 0.985)


def test_foam_ahead_of_a_surface_ruled_never_carries_nothing_and_is_not_judged():
    curve = curve_of(PE, 1.0)
    with_it = land(beside_never(50.0, 5.0, 30.0), curve, mass_kg=1.0, drop_mm=460.0)
    alone = land(slab_columns(50.0, 2400.0), curve, mass_kg=1.0, drop_mm=460.0)
    assert not with_it.spent
    assert (with_it.travel_mm, with_it.strain_ratio) == pytest.approx((alone.travel_mm, alone.strain_ratio))
    assert with_it.peak_gn == pytest.approx(alone.peak_gn)
    assert (with_it.travel_mm - 5.0) / 30.0 > alone.strain_ratio
