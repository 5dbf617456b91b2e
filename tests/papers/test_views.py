from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from papers.asked import pose, tray
from traywright.geometry import Region
from traywright.papers.views import floors, foam_cut, part_cut
from traywright.trays import Feature, FeatureKind, Flat


@given(st.floats(1.0, 129.0), st.sampled_from(["x", "y"]))
def test_foam_and_what_is_taken_make_the_whole(at_mm, axis):
    one = tray(2, 2)
    flat = replace(one, features=tuple(each for each in one.features if isinstance(each.floor, Flat)))
    cut = foam_cut(flat, axis, at_mm)
    taken = 0.0
    for each in flat.features:
        left, front, right, back = each.region.bounds_mm
        # exactly along a wall both answers are right
        assume(all(abs(at_mm - edge) > 0.01 for edge in (left, front, right, back)))
        if each.kind is FeatureKind.POCKET and (front if axis == "x" else left) < at_mm < (
            back if axis == "x" else right
        ):
            taken += ((right - left) if axis == "x" else (back - front)) * 20.0
    centre, radius = (15.0, 8.0) if axis == "x" else (20.0, 8.0)
    # beside a tangent a chord that is 0.01 mm off changes the width of the cut by much more than that
    assume(abs(abs(at_mm - centre) - radius) > 0.1)
    if abs(at_mm - centre) < radius:
        taken += 2.0 * math.sqrt(radius**2 - (at_mm - centre) ** 2) * 50.0
    length = one.outline.size_mm[0 if axis == "x" else 1]
    assert cut.area_mm2 == pytest.approx(length * 50.0 - taken, abs=15.0), (
        "a disc's chords: 0.15 mm by 50 mm and both ends"
    )


def test_a_trough_is_cut_round():
    one = replace(tray(1, 1), features=tuple(each for each in tray(1, 1).features if each.id == "T1.F2"))
    across = foam_cut(one, "y", 40.0)
    whole = one.outline.size_mm[1] * 50.0
    # half a disc of radius 9 below the axis at z 34, and 16 mm of slot above it: hand calculation
    assert whole - across.area_mm2 == pytest.approx(math.pi * 81.0 / 2.0 + 18.0 * 16.0, rel=0.02)


def test_a_recess_from_the_underside_leaves_foam_above():
    low = Feature(
        id="T1.F9",
        kind=FeatureKind.RELIEF,
        side="underside",
        region=Region.rectangle(10.0, 10.0, 30.0, 90.0),
        floor=Flat(z_mm=8.0),
    )
    cut = foam_cut(replace(tray(1, 1), features=(low,)), "x", 40.0)
    assert not cut.holds((20.0, 4.0))
    assert cut.holds((20.0, 12.0))


def test_the_deepest_floor_is_seen():
    seen = floors(tray(1, 1))
    assert [round(height, 3) for height, _ in seen] == [30.0, 25.0, 0.0]
    assert seen[0][1].area_mm2 == pytest.approx(32.0 * 22.0 - 20.0 * 18.0)


@pytest.mark.parametrize(("axis", "wide_mm"), [("x", 30.0), ("y", 20.0)])
def test_a_part_is_cut_where_it_lies(axis, wide_mm):
    cell = tray(2, 2).cells[3]
    at = cell.at_mm[1 if axis == "x" else 0]
    left, low, right, high = part_cut(cell, pose(), axis, at).bounds_mm
    middle = cell.at_mm[0 if axis == "x" else 1]
    assert (left, right) == pytest.approx((middle - wide_mm / 2.0, middle + wide_mm / 2.0), abs=0.01)
    assert (low, high) == pytest.approx((30.0, 54.0), abs=0.01)
    assert part_cut(cell, pose(), axis, at + 30.0).is_empty
