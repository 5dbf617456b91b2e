"""A layout's question as one about a strip, and an engine's answer in the container."""

from __future__ import annotations

from dataclasses import replace

import pytest

from traywright.base.errors import LayoutError
from traywright.geometry import Region
from traywright.layout.asked import Container, Kind, LayoutAsked, NoGo, PairWall, RowSlot, Sides, Spacing
from traywright.layout.offer import Placement
from traywright.layout.proposal import ROUNDING_MM, StripPlace, placements_of, strip_asked

QUARTERS = (0.0, 90.0, 180.0, 270.0)
EIGHT, FIVE = Sides.all_round(8.0), Sides.all_round(5.0)
TOOL = Region.polygon([(0, 0), (120, 0), (120, 10), (30, 10), (30, 40), (0, 40)])


def question(**changes):
    given = {
        "kinds": (Kind(id="tool", outline=TOOL),),
        "container": Container(width_mm=400, depth_mm=130),
        "spacing": Spacing(wall=EIGHT, rim=FIVE),
        "turns_deg": QUARTERS,
    }
    return LayoutAsked(**(given | changes))


def test_the_strip_leaves_the_rim_although_the_engine_keeps_the_wall_at_its_edges():
    strip = strip_asked(question(), 4)
    # an outline that is a wall away from the strip's front edge stands a rim away from the container's
    front = strip.corner_mm + strip.apart_mm
    back = strip.corner_mm + strip.height_mm - strip.apart_mm
    right = strip.corner_mm + strip.length_mm - strip.apart_mm
    assert (front, back, right) == pytest.approx((5.0, 125.0, 395.0))
    assert strip.apart_mm == pytest.approx(8.0 + ROUNDING_MM)


def test_grace_lengthens_and_heightens_the_strip_at_one_end_each():
    strip, graced = strip_asked(question(), 4), strip_asked(question(), 4, grace_mm=0.01)
    assert graced.length_mm - strip.length_mm == pytest.approx(0.01)
    assert graced.height_mm - strip.height_mm == pytest.approx(0.01)
    assert graced.corner_mm == pytest.approx(strip.corner_mm)


def test_turns_in_which_one_copy_does_not_go_in_are_left_out():
    # upright the tool is 120 mm high: it goes into 130 mm less two rims of 5 mm, not into 129 mm
    (item,) = strip_asked(question(), 1).items
    assert item.turns_deg == QUARTERS
    (item,) = strip_asked(question(container=Container(width_mm=400, depth_mm=129)), 1).items
    assert item.turns_deg == (0.0, 180.0)


def test_no_turn_or_more_area_than_there_is_is_hopeless():
    assert strip_asked(question(container=Container(width_mm=100, depth_mm=100)), 1).hopeless
    assert not strip_asked(question(), 8).hopeless
    # 2100 mm2 a copy before any wall, 52 000 mm2 of container
    assert strip_asked(question(), 25).hopeless


def test_a_copy_that_just_fills_the_container_is_not_hopeless():
    plate = Kind(id="plate", outline=Region.rectangle(0, 0, 390, 120))
    assert not strip_asked(question(kinds=(plate,)), 1).hopeless


def test_holes_are_filled_notches_belong_and_kits_count():
    ring = Kind(id="ring", outline=Region.disc((0, 0), 20).difference(Region.disc((0, 0), 10)), in_kit=3)
    notched = Kind(id="tool", outline=TOOL, notches=Region.rectangle(50, -10, 70, 5))
    strip = strip_asked(question(kinds=(ring, notched)), 2)
    assert [(one.kind, one.copies) for one in strip.items] == [("ring", 6), ("tool", 2)]
    assert Region.polygon(strip.items[0].ring) == ring.outline.filled()
    assert Region.polygon(strip.items[1].ring) == TOOL.union(notched.notches)


@pytest.mark.parametrize(
    ("feature", "changes"),
    [
        (
            "no-go regions",
            {"container": Container(width_mm=400, depth_mm=130, no_go=(NoGo(region=TOOL, wall_mm=8.0),))},
        ),
        ("unequal sides", {"spacing": Spacing(wall=replace(EIGHT, left_mm=9.0), rim=FIVE)}),
        ("unequal sides", {"spacing": Spacing(wall=EIGHT, rim=replace(FIVE, back_mm=9.0))}),
        ("walls of pairs", {"spacing": Spacing(wall=EIGHT, rim=FIVE, pairs=(PairWall("tool", "tool", FIVE),))}),
        ("rims of kinds", {"spacing": Spacing(wall=EIGHT, rim=FIVE, rims=(("tool", EIGHT),))}),
        ("row slots", {"kinds": (Kind(id="tool", outline=TOOL, slots=(RowSlot(line_mm=5.0, width_mm=20.0),)),)}),
        ("kinds kept together", {"together": True, "kinds": tuple(Kind(id=one, outline=TOOL) for one in "ab")}),
    ],
)
def test_what_an_engine_does_not_know_is_refused(feature, changes):
    with pytest.raises(LayoutError) as refused:
        strip_asked(question(**changes), 1)
    assert refused.value.code == "LAY-031"
    assert refused.value.parameters["feature"] == feature


@pytest.mark.parametrize(("kits", "grace_mm"), [(0, 0.0), (1, -0.01), (1, float("nan"))])
def test_counts_and_lengths_are_in_their_range(kits, grace_mm):
    with pytest.raises(LayoutError) as refused:
        strip_asked(question(), kits, grace_mm=grace_mm)
    assert refused.value.code == "LAY-001"


def test_an_answer_is_put_on_the_snap_step_and_in_an_allowed_turn():
    strip = strip_asked(question(), 3)
    told = [
        StripPlace("tool", 100.00049, 50.0, -90.00001),
        StripPlace("tool", 20.0, 9.0, 359.9999),
        StripPlace("tool", 30.0, 7.0, 179.9999),
    ]
    # the corner stands 5 - 8.002 mm off
    assert placements_of(strip, told) == (
        Placement("tool", 26.998, 3.998, 180.0),
        Placement("tool", 16.998, 5.998, 0.0),
        Placement("tool", 96.998, 46.998, 270.0),
    )


def test_an_answer_keeps_the_wall_after_rounding():
    # two copies at exactly the strip's distance along a diagonal: the worst case for rounding
    plate = Region.rectangle(0, 0, 10, 10)
    strip = strip_asked(question(kinds=(Kind(id="plate", outline=plate),)), 2)
    across = 10.0 + strip.apart_mm / 2.0**0.5
    for step in range(40):
        at = step * 0.000137
        told = [
            StripPlace("plate", 20.0 + at, 20.0 - at, 0.0),
            StripPlace("plate", 20.0 + at + across, 20.0 - at + across, 0.0),
        ]
        here, there = (plate.moved(one.x_mm, one.y_mm) for one in placements_of(strip, told))
        assert here.distance_mm(there) >= 8.0
