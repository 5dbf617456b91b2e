"""Drop heights by gross mass.

SOURCE: ISTA Procedure 1A and Procedure 2A, metric edition, drop tables as shown on two inspection pages, read 2026:
1A 760, 610, 460, 310, 200 mm and 2A 970, 810, 660, 510, 310 mm for 0-10, 10-19, 19-28, 28-45, 45-68 kg.
"""

from __future__ import annotations

import pytest

from traywright.base import Figure, Status
from traywright.catalogue import Handling, table
from traywright.protection import drop_classes, schedule_heights


def gross(mass_kg):
    return Figure(
        path="pack/gross",
        what="gross mass",
        of="pack",
        case="",
        value=mass_kg,
        low=mass_kg,
        high=mass_kg,
        unit="kg",
        method="sum",
        inputs=("enquiry:part.a.mass_kg",),
        status=Status.STATED,
        source="test",
    )


def handled(schedule):
    return Handling(
        id="leg", name="leg", grounds=(), drop_schedule=schedule, temperature_low_c=0, temperature_high_c=30
    )


@pytest.mark.parametrize(("mass_kg", "drop_mm"), [(5, 760), (14, 610), (23, 460), (36, 310), (55, 200)])
def test_procedure_1a(mass_kg, drop_mm):
    """Procedure 1A drop table, one mass in the middle of each row; heights are exact."""
    cases = drop_classes(gross(mass_kg), handled("ISTA 1A"), table("drop_heights"))
    assert [one.height.value for one in cases if one.own] == [drop_mm]


@pytest.mark.parametrize(("mass_kg", "drop_mm"), [(5, 970), (14, 810), (23, 660), (36, 510), (55, 310)])
def test_procedure_2a(mass_kg, drop_mm):
    """Procedure 2A drop table, one mass in the middle of each row; heights are exact."""
    cases = drop_classes(gross(mass_kg), handled("ISTA 2A"), table("drop_heights"))
    assert [one.height.value for one in cases if one.own] == [drop_mm]


@pytest.mark.parametrize(("mass_kg", "drop_mm"), [(9.9, 760), (10.0, 610), (18.9, 610), (19.0, 460), (45.0, 200)])
def test_boundaries_of_1a(mass_kg, drop_mm):
    """Procedure 1A drop table: the boundaries 10, 19 and 45 kg; a row holds its lower end."""
    cases = drop_classes(gross(mass_kg), handled("ISTA 1A"), table("drop_heights"))
    assert cases[0].height.value == drop_mm
    assert cases[0].own


def test_all_heights_of_1a():
    """Procedure 1A drop table, all five rows, highest first; heights are exact."""
    heights = schedule_heights(handled("ISTA 1A"), table("drop_heights"))
    assert [one.value for one in heights] == [760, 610, 460, 310, 200]
