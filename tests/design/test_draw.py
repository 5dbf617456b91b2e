"""Whole packs: the asked plan is built as asked, or a stop says why not."""

from __future__ import annotations

import dataclasses
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from design.jobs import block, needs, pack, panel, roller
from traywright.base import Severity
from traywright.base.errors import DesignError
from traywright.base.messages import message
from traywright.catalogue import load_cards
from traywright.design import draw_pack
from traywright.geometry import Region
from traywright.parts import section, underside, underside_rules
from traywright.trays import FeatureKind, TrayKind, plies_of, section_at
from traywright.trays.height_map import cells_in


def codes(drawn) -> set[str]:
    return {one.code for one in drawn.findings}


def stops(drawn) -> set[str]:
    return {one.code for one in drawn.findings if one.severity is Severity.STOP}


def tray_of(drawn, part_id: str):
    return next(one for one in drawn.trays if one.cells and one.cells[0].part == part_id)


def put(region: Region, cell) -> Region:
    return region.turned(cell.turn_deg).moved(cell.at_mm[0], cell.at_mm[1])


def test_one_block_in_one_tray():
    drawn = draw_pack(pack(block(), kits=4))
    tray = tray_of(drawn, "block")
    assert drawn.complete
    assert not stops(drawn)
    assert [one.kind for one in drawn.trays] == [TrayKind.TRAY, TrayKind.PAD, TrayKind.LID]
    assert [one.id for one in drawn.trays] == ["T1", "T2", "T3"]
    assert [one.kit_no for one in tray.cells] == [1, 2, 3, 4]
    # the box is 558 x 358 inside; a millimetre a side stays free
    assert tray.outline.bounds_mm == (0.0, 0.0, 556.0, 356.0)
    # the tray ends 3 mm over the part, spare height is floor
    assert tray.cells[0].at_mm[2] == pytest.approx(tray.thickness_mm - 23.0)
    # stack fills the box to less than a board
    assert 0.0 <= drawn.pack.gap_nominal_mm < 25.0
    assert drawn.pack.layers[-1].top_mm == pytest.approx(356.0 - drawn.pack.gap_nominal_mm)


def test_masses_by_hand():
    drawn = draw_pack(pack(block(), kits=4))
    assert drawn.pack.payload_kg == pytest.approx(1.2)
    # base pad 275 and lid 25 of 0.556 x 0.356 m at 45 kg/m3; a tray of 50 less at least its four pockets 82 x 52 x 23
    pads = 0.556 * 0.356 * (0.275 + 0.025) * 45
    tray = (0.556 * 0.356 * 0.050 - 4 * 0.082 * 0.052 * 0.023) * 45
    assert 0.8 * tray < drawn.pack.foam_kg - pads < tray
    assert drawn.pack.gross_kg == pytest.approx(drawn.pack.payload_kg + drawn.pack.foam_kg + 2.9)


def test_spread_of_the_height_counts_every_ply():
    drawn = draw_pack(pack(block(), kits=4))
    plies = sum(len(one.ply_boards) for one in drawn.trays)
    assert drawn.pack.gap_worst_mm == pytest.approx(1.5 * plies)
    assert drawn.pack.gap_rss_mm == pytest.approx(1.5 * plies**0.5)


def test_a_stepped_turned_part_goes_straight_in():
    drawn = draw_pack(pack(roller(), kits=3))
    tray, pose = tray_of(drawn, "roller"), roller()
    assert len({one.floor.z_mm for one in tray.features if one.for_cell == "T1.C1"}) >= 2
    heights = np.arange(0.5, pose.size_mm[2] + 2.0, 1.5)
    for cell in tray.cells:
        passed = Region.empty()
        for z_mm in heights:
            passed = passed.union(section(pose, float(z_mm)))
            foam = section_at(tray, cell.at_mm[2] + float(z_mm) + 0.06)
            assert foam.intersection(put(passed, cell)).area_mm2 < 0.01


@pytest.mark.parametrize("part", [roller, panel])
def test_no_floor_stands_near_what_must_not_be_touched(part):
    drawn = draw_pack(pack(part(), kits=2))
    tray, pose = tray_of(drawn, part().part.id), part()
    below, rules = underside(pose, 0.5), underside_rules(pose, 0.5)
    for cell in tray.cells:
        floor = np.full(below.values.shape, tray.thickness_mm)
        for one in tray.features:
            own = one.region.moved(-cell.at_mm[0], -cell.at_mm[1]).turned(-cell.turn_deg)
            inside = cells_in(own, below.origin_mm, 0.5, floor.shape)
            floor[inside] = np.minimum(floor[inside], one.floor.z_mm - cell.at_mm[2])
        ruled = rules.values > 0
        assert ruled.any()
        assert (below.values[ruled] - floor[ruled]).min() > 2.0 - 0.03


def test_a_cover_frame_clears_what_stands_over_the_hold_plane():
    drawn = draw_pack(pack(panel(), block("lid weight"), kits=2))
    cover = next(one for one in drawn.trays if one.kind is TrayKind.COVER)
    tray = tray_of(drawn, "panel")
    # flush: the plate's upper face, 5 over its underside, is the tray's top
    assert tray.cells[0].at_mm[2] + 5.0 == pytest.approx(tray.thickness_mm)
    assert cover.thickness_mm >= 12.0 + 2.0
    assert [one.kind for one in cover.features] == [FeatureKind.WINDOW] * 2
    for cell, window in zip(tray.cells, cover.features, strict=True):
        assert window.region.contains(put(Region.rectangle(-17, -17, 17, 17), cell))
        # the border of 10 mm that may touch carries the frame, less stand-off and play
        assert not window.region.contains(put(Region.rectangle(-59, -39, 59, 39), cell))


def test_a_tray_with_a_cover_does_not_lie_on_top():
    drawn = draw_pack(pack(panel(), block("heavy", mass_kg=2.0), kits=2))
    kinds = [one.kind for one in drawn.pack.layers]
    assert kinds == ["pad", "tray", "cover", "tray", "lid"]


def test_a_part_that_is_covered_and_alone_gets_a_lid_over_its_cover():
    drawn = draw_pack(pack(panel(), kits=2))
    assert [one.kind for one in drawn.pack.layers] == ["pad", "tray", "cover", "lid"]


def test_the_divider_lies_over_the_cap_of_the_heaviest_layer():
    divider = load_cards().divider("fluted-plastic-4")
    drawn = draw_pack(pack(block("light"), block("heavy", mass_kg=2.0), kits=2, divider=divider))
    assert [one.kind for one in drawn.pack.layers] == ["pad", "tray", "cap", "divider", "tray", "lid"]
    assert drawn.pack.layers[1].id == "T1"
    assert tray_of(drawn, "heavy").id == "T1"
    assert drawn.pack.divider_kg > 0.0


def test_a_part_larger_than_the_box_is_a_stop_and_the_rest_is_drawn():
    drawn = draw_pack(pack(block("rail", size=(900.0, 40.0, 20.0)), block(), kits=2))
    assert stops(drawn) == {"TRAY-002"}
    assert not drawn.complete
    assert tray_of(drawn, "block").cells


def test_too_many_kits_are_a_stop_never_a_thinner_count():
    drawn = draw_pack(pack(block(), kits=40))
    assert stops(drawn) == {"TRAY-001"}
    assert not drawn.complete
    told = next(one for one in drawn.findings if one.code == "TRAY-001")
    assert dict(told.parameters)["count"] == 40
    assert dict(told.parameters)["most"] < 40


def test_a_stack_higher_than_the_box_is_a_stop():
    drawn = draw_pack(pack(block("post", size=(60.0, 60.0, 400.0)), kits=2))
    assert "TRAY-003" in stops(drawn)
    assert not drawn.complete


def test_an_opening_narrower_than_the_cutter_is_said():
    drawn = draw_pack(pack(block("strip", size=(80.0, 6.0, 20.0), mass_kg=0.1), kits=2))
    assert "TRAY-011" in codes(drawn)
    tray = tray_of(drawn, "strip")
    pocket = next(one for one in tray.features if one.for_cell and one.kind is FeatureKind.POCKET)
    assert min(pocket.region.size_mm) >= 12.0


def test_a_wall_that_is_too_thin_is_a_finding_for_each_direction():
    told = needs("block", left=10.0, right=10.0, front=90.0, back=float("inf"))
    drawn = draw_pack(pack(block(), kits=4, needs=told))
    assert {"TRAY-004", "TRAY-005"} <= codes(drawn)
    sides = {dict(one.parameters)["direction"] for one in drawn.findings if one.code == "TRAY-004"}
    words = {wall.without_need for cell in drawn.trays[0].cells for wall in cell.walls}
    assert "left" not in sides
    assert "no thickness" in words


def test_without_a_curve_the_need_is_not_calculated_and_no_wall_is_judged():
    drawn = draw_pack(pack(block(), kits=4))
    assert {wall.without_need for cell in drawn.trays[0].cells for wall in cell.walls} == {"not calculated"}
    assert not codes(drawn) & {"TRAY-004", "TRAY-005"}


def test_where_no_wall_is_asked_the_need_decides_as_far_as_the_box_goes():
    told = needs("block", left=45.0, right=45.0, front=45.0, back=45.0)
    few = draw_pack(pack(block(), kits=2, wall_mm=None, needs=told))
    many = draw_pack(pack(block(), kits=16, wall_mm=None, needs=told))
    assert min(wall.kept_mm for cell in few.trays[0].cells for wall in cell.walls) >= 44.9
    least = min(wall.kept_mm for cell in many.trays[0].cells for wall in cell.walls)
    assert 12.0 <= least < 45.0
    assert many.complete


def test_parts_of_one_kit_carry_its_number():
    drawn = draw_pack(pack(block(), kits=3, per_kit=2))
    assert [one.kit_no for one in drawn.trays[0].cells] == [1, 1, 2, 2, 3, 3]


def test_what_cannot_be_packed_is_refused():
    with pytest.raises(DesignError) as told:
        draw_pack(pack(block(), kits=2.5))
    assert told.value.code == "TRAY-019"
    with pytest.raises(DesignError) as told:
        draw_pack(pack(block(), boards=()))
    assert told.value.code == "TRAY-020"
    with pytest.raises(DesignError) as told:
        draw_pack(pack(block(), block()))
    assert told.value.code == "TRAY-021"


def test_the_same_pack_is_drawn_the_same():
    asked = pack(roller(), block(), kits=2)
    assert draw_pack(asked) == draw_pack(asked)


def test_every_finding_can_be_told():
    for asked in (pack(roller(), panel(), block(), kits=3), pack(block("rail", size=(900.0, 40.0, 20.0)), kits=2)):
        for one in draw_pack(asked).findings:
            assert message(one.code, dict(one.parameters), one.fix).what


def test_figures_lead_to_what_was_given():
    drawn = draw_pack(pack(roller(), block(), kits=2))
    paths = {one.path for one in drawn.figures}
    assert len(paths) == len(drawn.figures)
    for figure in drawn.figures:
        for one in figure.inputs:
            assert one in paths or one.partition(":")[0] in {"card", "enquiry", "table"}
    assert all(not one.figure or one.figure in paths for one in drawn.findings)


def test_ids_stand_once():
    drawn = draw_pack(pack(roller(), panel(), block(), kits=2))
    features = [one.id for tray in drawn.trays for one in tray.features]
    cells = [one.id for tray in drawn.trays for one in tray.cells]
    assert len(set(features)) == len(features)
    assert len(set(cells)) == len(cells)
    assert all(plies_of(one) for one in drawn.trays)


sizes = st.tuples(st.integers(15, 140), st.integers(15, 90), st.integers(5, 60))


@settings(max_examples=15)
@given(size=sizes, kits=st.integers(1, 6), wall_mm=st.integers(12, 40))
def test_openings_stay_inside_and_walls_are_kept(size, kits, wall_mm):
    drawn = draw_pack(pack(block(size=tuple(float(one) for one in size)), kits=kits, wall_mm=float(wall_mm)))
    if not drawn.complete:
        assert stops(drawn)
        return
    tray = tray_of(drawn, "block")
    openings = [
        Region.union_of(
            [one.region for one in tray.features if one.for_cell == cell.id and one.kind is FeatureKind.POCKET]
        )
        for cell in tray.cells
    ]
    room = tray.outline.grown(-wall_mm + 0.01, square=True)
    assert all(room.contains(one) for one in openings)
    assert all(a.distance_mm(b) >= wall_mm - 0.01 for a, b in combinations(openings, 2))
    assert all(wall.kept_mm >= wall_mm - 0.01 for cell in tray.cells for wall in cell.walls)
    play = drawn.trays[0].cells[0].play_mm
    for cell, opening in zip(tray.cells, openings, strict=True):
        assert opening.contains(
            put(Region.rectangle(-size[0] / 2, -size[1] / 2, size[0] / 2, size[1] / 2), cell).grown(play - 0.05)
        )


def test_a_lower_box_takes_thinner_trays():
    asked = pack(block(), kits=4, needs=needs("block", under=400.0))
    low = dataclasses.replace(asked.box, inside_height_mm=200.0)
    assert draw_pack(dataclasses.replace(asked, box=low)).trays[0].thickness_mm < draw_pack(asked).trays[0].thickness_mm
