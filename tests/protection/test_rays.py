from __future__ import annotations

import numpy as np
import pytest

from protection.packs import PE, block, pad, pocket, row_tray, rule_below, stacked, stepped
from traywright.geometry import Region
from traywright.parts.part import Rule
from traywright.protection.rays import BOX, HARD, rays_of
from traywright.protection.scan import Scans
from traywright.protection.surroundings import foam_between, surroundings_of
from traywright.trays import Feature, FeatureKind, Flat, Trough


def rays(direction, *, tray=None, layers=None, pose=None, cell=0, poses=None):
    tray = tray or row_tray()
    over = pad(tray)
    pack = stacked(*(layers or (over, tray, over)))
    around = surroundings_of(pack, (tray, over), poses or {"block": pose or block()}, PE.id)
    return rays_of(around.places[cell], direction, around, scans=Scans(around.slabs), cell_mm=2.0)


def test_down_through_floor_and_pad():
    found = rays("under")
    assert np.allclose(found.foam_mm, 55.0)
    assert np.allclose(found.near_mm, 0.0)
    assert set(found.end) == {BOX}
    assert found.columns().total_mm2 == pytest.approx(2400.0)


def test_a_divider_ends_the_column():
    tray = row_tray()
    found = rays("under", tray=tray, layers=(pad(tray), 4.0, tray, pad(tray)))
    assert np.allclose(found.foam_mm, 30.0)
    assert set(found.end) == {HARD}


def test_air_under_a_floor_must_close_first():
    hollow = Feature(
        id="T1.F9",
        kind=FeatureKind.POCKET,
        side="underside",
        region=Region.rectangle(0, 0, 400, 100),
        floor=Flat(z_mm=12.0),
    )
    found = rays("under", tray=row_tray(extra=(hollow,)))
    assert np.allclose(found.foam_mm, 18.0 + 25.0)
    assert np.allclose(found.air_mm, 12.0)
    assert np.allclose(found.near_mm, 0.0)
    assert found.columns().air_mm.tolist() == [12.0]
    assert found.resting().air_mm.tolist() == [0.0]


def test_a_window_leaves_no_column():
    hole = pocket("T1.C1", 60.0, 50.0, floor_mm=0.0, half=(10.0, 21.0), number=2)
    tray = row_tray(extra=(hole,))
    found = rays("under", tray=tray, layers=(tray, pad(tray)))
    bare = found.foam_mm <= 0.0
    assert bare.sum() * 4.0 == pytest.approx(20.0 * 40.0)
    assert np.allclose(found.end_mm[bare], 30.0)
    assert found.columns().total_mm2 == pytest.approx(1600.0)


def test_up_to_the_pad_above():
    found = rays("over")
    assert np.allclose(found.foam_mm, 25.0)
    assert np.allclose(found.near_mm, 0.0)


def test_sideways_to_the_rim_and_to_the_neighbour():
    to_rim, to_next = rays("left"), rays("right")
    assert np.allclose(to_rim.near_mm, 1.0)
    assert np.allclose(to_rim.foam_mm, 29.0)
    assert np.allclose(to_next.end_mm, 40.0)
    assert np.allclose(to_next.foam_mm, 38.0)
    assert np.allclose(to_next.air_mm, 2.0)
    assert set(to_next.end) == {1}


@pytest.mark.parametrize("turn", [0.0, 90.0, 180.0, 270.0])
def test_a_turned_neighbour_is_met_where_it_stands(turn):
    found = rays("right", tray=row_tray(turns=(0.0, turn)))
    half = 30.0 if turn in {0.0, 180.0} else 20.0
    met = found.end == 1
    assert np.allclose(found.end_mm[met], 100.0 - 30.0 - half)


def test_a_turned_part_looks_its_own_way():
    found = rays("left", tray=row_tray(turns=(90.0, 0.0)))
    assert found.columns().total_mm2 == pytest.approx(60.0 * 30.0, rel=0.1)
    assert np.allclose(found.spots_mm[:, 0], 60.0 - 20.0)


def test_odd_turns_have_no_side_view():
    assert rays("left", tray=row_tray(turns=(30.0, 0.0))) is None
    assert rays("under", tray=row_tray(turns=(30.0, 0.0))) is not None


def test_a_recessed_step_has_more_foam():
    found = rays("under", pose=stepped())
    assert sorted(set(np.round(found.air_mm, 3))) == [0.0, 20.0]
    assert np.allclose(found.foam_mm, 55.0)


def test_ruled_never_carries_nothing():
    pose = block(rule=rule_below(Rule.NEVER, 0.1))
    assert rays("under", pose=pose).columns().total_mm2 == 0.0


def test_another_part_above_ends_the_ray():
    tray = row_tray()
    found = rays("over", tray=tray, layers=(tray, tray, pad(tray)))
    assert np.allclose(found.foam_mm, 30.0)
    assert {int(one) for one in found.end} <= {1, 2, 3}


def test_a_saddle_is_met_along_its_curve():
    trough = Trough(start_mm=(0.0, 50.0, 55.0), end_mm=(400.0, 50.0, 55.0), radius_mm=25.0)
    saddle = Feature(
        id="T1.F8", kind=FeatureKind.SADDLE, side="top", region=Region.rectangle(0, 25, 400, 75), floor=trough
    )
    tray = row_tray(extra=(saddle,))
    low, high = foam_between(tray, np.array([200.0, 200.0]), np.array([50.0, 35.0]))
    assert low.tolist() == [0.0, 0.0]
    assert high == pytest.approx([30.0, 35.0])


def test_the_map_does_not_depend_on_other_cells_order():
    keys = [rays("left", tray=row_tray(count=3), cell=one).key() for one in (1, 2)]
    assert keys[0] == keys[1]
