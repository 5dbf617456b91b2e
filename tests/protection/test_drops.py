from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from protection.packs import PARCEL, figure
from traywright.catalogue import table
from traywright.protection import drop_classes


def heights(mass_kg, schedule="ISTA 1A"):
    handling = replace(PARCEL, drop_schedule=schedule)
    cases = drop_classes(figure("pack/gross", mass_kg, "kg"), handling, table("drop_heights"))
    return [(case.height.value, case.own) for case in cases]


def test_both_sides_of_a_near_boundary():
    assert heights(19.6) == [(460.0, True), (610.0, False)]
    assert heights(18.0) == [(610.0, True), (460.0, False)]


def test_one_side_far_from_a_boundary():
    assert heights(14.9) == [(610.0, True)]
    assert heights(22.0) == [(460.0, True)]


def test_beyond_the_table_there_is_no_class():
    assert heights(70.0) == []
    assert heights(5.0, "no such schedule") == []


def test_an_open_end_holds_any_mass():
    assert heights(5000.0, "ASTM D4169-09 mechanical I") == [(229.0, True)]


def test_status_of_the_row_is_kept():
    handling = replace(PARCEL, drop_schedule="ASTM D4169 A manual II")
    cases = drop_classes(figure("pack/gross", 14.0, "kg"), handling, table("drop_heights"))
    assert [(case.height.value, case.height.status.word) for case in cases] == [(330.0, "memory")]


@given(st.floats(min_value=0.1, max_value=67.9))
def test_there_is_always_one_own_class_and_it_comes_first(mass):
    found = heights(mass)
    assert [own for _, own in found] == [True, *([False] * (len(found) - 1))]
    assert len(found) <= 3
