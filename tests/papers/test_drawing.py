from __future__ import annotations

from dataclasses import replace

import pytest

from papers.asked import pose, tray
from traywright.geometry import Region
from traywright.papers.drawing import graduated_edge, plan
from traywright.papers.lettering import MM_PER_PT, width_of_mm
from traywright.papers.marks import Area, Lettering, Stroke
from traywright.papers.views import lying
from traywright.trays import Feature, FeatureKind, Flat

POSES = {"block": pose()}


def words(marks):
    return [one for one in marks if isinstance(one, Lettering)]


def slot_across(one):
    """A lift slot under the whole row, so that its middle lies under a part."""
    slot = Feature(
        id="T1.F3",
        kind=FeatureKind.SLOT,
        side="top",
        region=Region.rectangle(34.0, 5.0, 46.0, 120.0),
        floor=Flat(z_mm=12.0),
    )
    return replace(one, features=(*one.features, slot))


@pytest.mark.parametrize("scale", [1.0, 0.5])
def test_a_floor_whose_middle_lies_under_a_part_is_written_where_it_is_seen(scale):
    one = slot_across(tray(1, 2))
    told = [each for each in words(plan(one, POSES, scale, labels="cell")) if each.text == "12"]
    assert told, "the depth is always written where it has room"
    parts = Region.union_of([lying(cell, POSES) for cell in one.cells])
    for each in told:
        at = (each.at_mm[0] / scale, (each.at_mm[1] + 1.0) / scale)
        assert one.features[-1].region.holds(at)
        assert not parts.holds(at)


def test_heights_stand_in_the_unit_of_the_job():
    told = {each.text for each in words(plan(tray(2, 1), POSES, 1.0, labels="cell", unit="inch"))}
    assert "1.181" in told, "30 mm, by hand 30 / 25.4 = 1.1811"
    assert "30" not in told


def test_every_cell_with_room_has_its_floor_beside_its_number():
    told = [each.text for each in words(plan(tray(2, 2), POSES, 1.0, labels="cell"))]
    # the first pocket has a trough in its middle, whose own height is written there
    assert told.count("30") == 3
    assert told.count("25") == 1


@pytest.mark.parametrize("columns", [1, 4, 10])
def test_no_word_of_a_plan_stands_on_another(columns):
    drawn = words(plan(slot_across(tray(columns, 2)), POSES, 0.5, labels="cell"))
    fields = []
    for one in drawn:
        half = width_of_mm(one.text, one.size_pt, one.voice) / 2.0
        high = 0.7 * one.size_pt * MM_PER_PT
        fields.append((one.at_mm[0] - half, one.at_mm[1], one.at_mm[0] + half, one.at_mm[1] + high))
    for number, a in enumerate(fields):
        for b in fields[:number]:
            assert not (a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3])


def test_numbers_of_small_parts_do_not_wipe_the_parts_out():
    assert not any(one.halo for one in words(plan(tray(10, 6), POSES, 0.1)))


def test_parts_of_a_tray_drawing_are_told_by_more_than_their_colour():
    one = tray(1, 1)
    slant = [each for each in plan(one, POSES, 1.0, labels="cell") if isinstance(each, Stroke)]
    part = lying(one.cells[0], POSES).grown(0.01)
    assert len(slant) > 20
    assert all(part.holds(point) for each in slant for point in each.points_mm)


@pytest.mark.parametrize(("unit", "bar_mm", "numbers"), [("mm", 50.0, {"100", "200"}), ("inch", 50.8, {"4", "8"})])
def test_bars_of_the_edge_are_true_and_end_with_the_thing(unit, bar_mm, numbers):
    marks = graduated_edge((240.0, 130.0), 0.5, unit)
    level = [one.rings_mm[0] for one in marks if isinstance(one, Area)]
    across = [(ring[0][0], ring[1][0]) for ring in level if ring[2][1] == 0.0]
    lengths = [end - start for start, end in across]
    assert lengths[:-1] == pytest.approx([bar_mm * 0.5] * (len(lengths) - 1))
    assert across[-1][1] == pytest.approx(120.0)
    assert {one.text for one in words(marks)} == numbers
