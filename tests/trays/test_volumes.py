"""Volumes against hand calculations."""

from __future__ import annotations

import dataclasses
import math

import pytest

from traywright.geometry import Region
from traywright.trays import (
    Ball,
    Feature,
    FeatureKind,
    Flat,
    Tray,
    TrayKind,
    Trough,
    corner_left_mm2,
    foam_volume_mm3,
    open_area_mm2,
    removed_mm3,
    section_at,
)


def tray(*features: Feature) -> Tray:
    return Tray(
        id="T1",
        name="test",
        kind=TrayKind.TRAY,
        outline=Region.rectangle(0, 0, 200, 100),
        thickness_mm=50.0,
        foam="pe",
        ply_boards=(("pe-50", 50.0),),
        features=features,
    )


def feature(region: Region, floor, side: str = "top") -> Feature:
    return Feature(id="T1.F1", kind=FeatureKind.POCKET, side=side, region=region, floor=floor)


def test_overlapping_pockets_count_once():
    one = feature(Region.rectangle(10, 10, 60, 40), Flat(z_mm=20))  # 50 x 30
    other = feature(Region.rectangle(40, 10, 80, 40), Flat(z_mm=40))  # 40 x 30, 20 x 30 shared
    assert removed_mm3(tray(one, other)) == pytest.approx(50 * 30 * 30 + 20 * 30 * 10)
    assert foam_volume_mm3(tray(one, other)) == pytest.approx(200 * 100 * 50 - 51_000)


def test_a_half_cylinder_is_half_a_cylinder():
    trough = Trough(start_mm=(20, 50, 50), end_mm=(120, 50, 50), radius_mm=25)
    saddle = feature(Region.rectangle(20, 25, 120, 75), trough)
    assert removed_mm3(tray(saddle)) == pytest.approx(math.pi * 25**2 / 2 * 100, rel=1e-3)


def test_a_turned_half_cylinder_is_the_same():
    trough = Trough(start_mm=(40, 20, 50), end_mm=(100, 80, 50), radius_mm=15)
    saddle = feature(Region.rectangle(0, -15, math.hypot(60, 60), 15).turned(45).moved(40, 20), trough)
    assert removed_mm3(tray(saddle)) == pytest.approx(math.pi * 15**2 / 2 * math.hypot(60, 60), rel=2e-3)


def test_a_sloping_trough_takes_the_mean_of_its_ends():
    # axis from z 50 to z 40, straight walls above it: half a cylinder plus a prism of mean height 5
    trough = Trough(start_mm=(20, 50, 50), end_mm=(120, 50, 40), radius_mm=20)
    saddle = feature(Region.rectangle(20, 30, 120, 70), trough)
    expected = math.pi * 20**2 / 2 * 100 + 5 * 40 * 100
    assert removed_mm3(tray(saddle)) == pytest.approx(expected, rel=0.01)


def test_a_half_ball_is_half_a_ball():
    ball = feature(Region.disc((100, 50), 20), Ball(centre_mm=(100, 50, 50), radius_mm=20))
    assert removed_mm3(tray(ball)) == pytest.approx(2 / 3 * math.pi * 20**3, rel=2e-3)


def test_a_recess_from_below_is_open_below_its_floor():
    key = feature(Region.rectangle(10, 10, 20, 20), Flat(z_mm=5), "underside")
    assert removed_mm3(tray(key)) == pytest.approx(500)
    assert section_at(tray(key), 4.0).area_mm2 == pytest.approx(19_900)
    assert section_at(tray(key), 6.0).area_mm2 == pytest.approx(20_000)


def test_open_area_counts_what_stands_open_from_above_inside_the_outline():
    window = feature(Region.rectangle(180, 40, 220, 60), Flat(z_mm=0))
    pocket = feature(Region.rectangle(10, 10, 20, 20), Flat(z_mm=1))
    key = feature(Region.rectangle(30, 10, 40, 20), Flat(z_mm=5), "underside")
    assert open_area_mm2(tray(window, pocket, key)) == pytest.approx(20 * 20 + 10 * 10)
    assert open_area_mm2(tray()) == 0.0


def test_a_cutter_leaves_its_square_less_its_quarter_in_each_corner():
    # r² (1 - pi/4) each: four corners, one of them shared by a deeper step that a second level must not count again
    step = feature(Region.rectangle(10, 10, 30, 30), Flat(z_mm=1))
    wide = feature(Region.rectangle(10, 10, 60, 40), Flat(z_mm=20))
    corner = 16 * (1 - math.pi / 4)
    assert corner_left_mm2(tray(wide), 4.0) == pytest.approx(4 * corner, abs=0.1)
    # the step has three corners of its own
    assert corner_left_mm2(tray(wide, step), 4.0) == pytest.approx(7 * corner, abs=0.2)


def test_a_recess_that_is_open_at_the_edge_has_no_corner_there():
    slot = feature(Region.rectangle(-5, 40, 60, 60), Flat(z_mm=20))
    assert corner_left_mm2(tray(slot), 4.0) == pytest.approx(2 * 16 * (1 - math.pi / 4), abs=0.1)


def test_a_round_hole_has_no_corner():
    assert corner_left_mm2(tray(feature(Region.disc((50, 50), 13), Flat(z_mm=20))), 4.0) == 0.0


def test_a_tray_refuses_plies_that_do_not_add_up():
    with pytest.raises(ValueError):
        dataclasses.replace(tray(), thickness_mm=75.0)


def test_no_foam_beyond_the_faces():
    assert section_at(tray(), -0.1).is_empty
    assert section_at(tray(), 50.1).is_empty
