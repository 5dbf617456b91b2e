"""Plies are the tray, cut into boards: nothing is lost and nothing is added."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from traywright.geometry import Region
from traywright.trays import (
    Feature,
    FeatureKind,
    Flat,
    Tray,
    TrayKind,
    Trough,
    foam_volume_mm3,
    plies_of,
    section_at,
)

BOARDS = (("pe-25", 25.0), ("pe-50", 50.0), ("pe-50", 50.0))


def tray(*features: Feature, id: str = "T1") -> Tray:
    return Tray(
        id=id,
        name="test",
        kind=TrayKind.TRAY,
        outline=Region.rectangle(0, 0, 200, 100),
        thickness_mm=125.0,
        foam="pe",
        ply_boards=BOARDS,
        features=features,
    )


def pocket(number: int, box: tuple[float, ...], floor_mm: float, *, id: str = "T1", side: str = "top") -> Feature:
    return Feature(
        id=f"{id}.F{number}",
        kind=FeatureKind.POCKET,
        side=side,
        region=Region.rectangle(*box),
        floor=Flat(z_mm=floor_mm),
    )


def test_a_pocket_is_through_above_its_floor_and_absent_below():
    low, middle, top = plies_of(tray(pocket(1, (10, 10, 60, 40), 30.0)))
    assert low.features == ()
    assert [one.floor.z_mm for one in middle.features] == [5.0]
    assert [one.floor.z_mm for one in top.features] == [0.0]
    assert [one.id for one in top.features] == ["T1.F1"]


def test_a_floor_on_the_joint_leaves_the_lower_ply_whole():
    low, middle, _ = plies_of(tray(pocket(1, (10, 10, 60, 40), 25.0)))
    assert low.features == ()
    assert [one.floor.z_mm for one in middle.features] == [0.0]


def test_a_recess_from_below_ends_in_the_ply_that_holds_its_floor():
    low, middle, top = plies_of(tray(pocket(1, (10, 10, 60, 40), 40.0, side="underside")))
    assert [(one.side, one.floor.z_mm) for one in low.features] == [("top", 0.0)]
    assert [(one.side, one.floor.z_mm) for one in middle.features] == [("underside", 15.0)]
    assert top.features == ()


def test_equal_plies_of_two_trays_share_their_kind_and_others_do_not():
    one = plies_of(tray(pocket(1, (10, 10, 60, 40), 30.0)))
    other = plies_of(tray(pocket(7, (10, 10, 60, 40), 30.0, id="T2"), id="T2"))
    deeper = plies_of(tray(pocket(1, (10, 10, 60, 40), 30.5)))
    assert [ply.kind for ply in one] == [ply.kind for ply in other]
    assert [a.kind == b.kind for a, b in zip(one, deeper, strict=True)] == [True, False, True]


def test_a_trough_is_lowered_with_its_ply():
    trough = Feature(
        id="T1.F1",
        kind=FeatureKind.SADDLE,
        side="top",
        region=Region.rectangle(20, 20, 100, 60),
        floor=Trough(start_mm=(20, 40, 60), end_mm=(100, 40, 60), radius_mm=20),
    )
    low, middle, top = plies_of(tray(trough))
    assert low.features == ()
    assert middle.features[0].floor.lowest_mm == 15.0
    assert top.features[0].floor.start_mm[2] == -15.0


corner = st.integers(0, 16)
boxes = st.tuples(corner, corner, st.integers(1, 8), st.integers(1, 8)).map(
    lambda told: (told[0] * 10.0, told[1] * 5.0, told[0] * 10.0 + told[2] * 4.5, told[1] * 5.0 + told[3] * 2.5)
)
recesses = st.lists(st.tuples(boxes, st.integers(-1, 25)), max_size=6)


@settings(max_examples=40)
@given(recesses)
def test_plies_add_up_to_the_tray(told):
    whole = tray(*(pocket(number, box, level * 5.0) for number, (box, level) in enumerate(told)))
    assert sum(foam_volume_mm3(ply) for ply in plies_of(whole)) == pytest.approx(foam_volume_mm3(whole), abs=1e-3)


@settings(max_examples=40)
@given(recesses, st.floats(0.5, 124.5))
def test_a_section_of_the_tray_is_the_section_of_its_ply(told, z_mm):
    whole = tray(*(pocket(number, box, level * 5.0) for number, (box, level) in enumerate(told)))
    ply = next(one for one in plies_of(whole) if one.from_mm <= z_mm <= one.to_mm)
    assert section_at(whole, z_mm) == section_at(ply, z_mm - ply.from_mm)
