"""Lift slots grip astride the centre of gravity and leave foam and seat."""

from __future__ import annotations

import pytest

from design.jobs import block, pack, roller
from traywright.design import draw_pack
from traywright.design.lift_slots import Grip, slots_of
from traywright.geometry import Region
from traywright.trays import Cell, FeatureKind


def slots(tray):
    return [one for one in tray.features if one.kind is FeatureKind.SLOT]


def centre_of_gravity(cell, pose) -> tuple[float, float]:
    x, y, _ = pose.centre_of_gravity_mm
    dot = Region.rectangle(x - 0.5, y - 0.5, x + 0.5, y + 0.5).turned(cell.turn_deg)
    return dot.moved(cell.at_mm[0], cell.at_mm[1]).centre_mm


def test_a_row_of_blocks_shares_one_slot():
    # 50 deep, 20 mm walls: the finger rooms of 20 of two neighbours meet
    tray = draw_pack(pack(block(), kits=4)).trays[0]
    rows = {round(one.at_mm[0], 1) for one in tray.cells}
    assert len(slots(tray)) == len(rows)
    assert all(one.for_cell == "" for one in slots(tray)) == (len(tray.cells) > len(rows))


@pytest.mark.parametrize("part", [block, roller])
def test_the_slot_holds_the_centre_of_gravity_and_its_width(part):
    tray = draw_pack(pack(part(), kits=3)).trays[0]
    for cell in tray.cells:
        x, y = centre_of_gravity(cell, part())
        own = [one for one in slots(tray) if one.region.holds((x, y))]
        assert len(own) == 1
        left, front, right, back = own[0].region.bounds_mm
        width = min(right - left, back - front)
        # one finger a side up to 1 kg, two from there
        assert width == pytest.approx(50.0 if part is roller else 25.0, abs=0.05)
        length = max(part().size_mm[:2])
        middle = (left + right) / 2 if right - left < back - front else (front + back) / 2
        along = x if right - left < back - front else y
        assert abs(middle - along) <= 0.1 * length + 0.01


def test_a_slot_leaves_a_fin_to_other_openings_and_the_edge():
    tray = draw_pack(pack(roller(), kits=6)).trays[0]
    openings = {
        one.id: [f.region for f in tray.features if f.for_cell == one.id and f.kind is not FeatureKind.SLOT]
        for one in tray.cells
    }
    inside = tray.outline.grown(-10 + 0.01, square=True)
    for slot in slots(tray):
        assert inside.contains(slot.region)
        for cell, regions in openings.items():
            near = min(slot.region.distance_mm(one) for one in regions)
            assert near < 0.001 or near >= 9.9 or slot.for_cell == cell


def test_a_slot_ends_a_fin_before_a_neighbour_that_is_not_in_line():
    # openings 80 x 40, 26 apart along y and 50 out of line: of the 20 asked, the neighbour's fin takes 4 over 2.5 and
    # a round corner over 8, 10 + (48 + 92.7) / 2 - 48 = 32.4 mm2 of a slot 25 wide; its own corners may change 8 mm2
    cells = [
        Cell(id=f"T1.C{number}", part="p", pose=0, at_mm=at, turn_deg=0.0, kit_no=number, play_mm=1.0)
        for number, at in enumerate(((100.0, 60.0, 0.0), (150.0, 126.0, 0.0)), start=1)
    ]
    openings = [Region.rectangle(-40, -20, 40, 20).moved(*cell.at_mm[:2]) for cell in cells]
    grip = Grip(
        strip=Region.rectangle(-12.5, -40, 12.5, 40),
        along_x=True,
        middle_mm=0.0,
        width_mm=25.0,
        offset_mm=0.0,
        keeps_seats=True,
    )
    outline = Region.rectangle(0, 0, 300, 200)
    told = slots_of(list(zip(cells, openings, strict=True)), grip, outline, fin_mm=10.0, cutter_radius_mm=6.0)
    assert [one.cells for one in told] == [("T1.C1",), ("T1.C2",)]
    assert told[0].region.distance_mm(openings[1]) == pytest.approx(10.0, abs=0.05)
    assert told[1].region.distance_mm(openings[0]) == pytest.approx(10.0, abs=0.05)
    assert [one.short_mm for one in told] == pytest.approx([32.4 / 25, 32.4 / 25], abs=8 / 25)


def test_a_slot_goes_no_deeper_than_the_lowest_floor():
    tray = draw_pack(pack(roller(), kits=3)).trays[0]
    lowest = min(one.floor.z_mm for one in tray.features if one.for_cell and one.kind is not FeatureKind.SLOT)
    assert {one.floor.z_mm for one in slots(tray)} == {lowest}


def test_a_slot_with_round_ends_can_be_cut():
    for slot in slots(draw_pack(pack(block(), kits=4)).trays[0]):
        assert slot.region.grown(-6.0).grown(6.03).contains(slot.region)
