"""The second check of the campaign on layouts sees what is wrong, and agrees with the check of the room."""

from __future__ import annotations

import importlib.util
import random

import pytest

from layout.outlines import ROOT, question
from traywright.geometry import Region
from traywright.layout import Kind, Offer, Placement, RowSlot, Sides, Slot, Spacing
from traywright.layout.check import check_layout

SQUARE = Kind(id="square", outline=Region.rectangle(0, 0, 10, 10))
SIDES = Sides(right_mm=4.0, back_mm=8.0, left_mm=0.0, front_mm=2.0)


def campaign():
    spec = importlib.util.spec_from_file_location("campaign_layout", ROOT / "campaigns" / "layout.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


LAYOUT = campaign()


def offered(copies, slots=()):
    told = {"bound": 99, "proven": False, "rows": 1, "least_wall_mm": 0.0, "fill_ratio": 0.1}
    return Offer(name="regular", placements=tuple(copies), kits=len(copies), slots=slots, **told)


@pytest.mark.parametrize(
    ("x_mm", "y_mm", "turn_deg", "told"),
    [
        (114.0, 100.0, 0.0, ""),
        (113.9, 100.0, 0.0, "two too near"),
        (100.0, 117.9, 0.0, "two too near"),
        (5.0, 100.0, 0.0, ""),
        (4.9, 100.0, 0.0, "outside"),
        (205.0, 185.1, 180.0, ""),
        (205.0, 195.1, 180.0, "outside"),
    ],
)
def test_the_second_check_sees_what_is_too_near_or_outside(x_mm, y_mm, turn_deg, told):
    spacing = Spacing(wall=SIDES, rim=Sides.all_round(5.0))
    asked = question(SQUARE, width_mm=250.0, depth_mm=200.0, spacing=spacing)
    offer = offered([Placement("square", 100.0, 100.0, 0.0), Placement("square", x_mm, y_mm, turn_deg)])
    assert LAYOUT.Twin(asked, offer).fault() == told
    assert bool(check_layout(asked, offer.placements).faults) == bool(told)


def test_the_second_check_sees_a_slot_through_another_row():
    block = Kind(id="block", outline=Region.rectangle(-20, -10, 20, 10), slots=(RowSlot(line_mm=0, width_mm=6),))
    asked = question(block, wall_mm=0.0)
    slot = Slot(10.0, 27.0, 150.0, 33.0)
    row = [Placement("block", 40.0, 30.0, 0.0), Placement("block", 80.0, 30.0, 0.0)]
    assert LAYOUT.Twin(asked, offered(row, (slot,))).fault() == ""
    other = [*row, Placement("block", 125.0, 36.0, 0.0)]
    cut = offered(other, (slot, Slot(105.0, 33.0, 145.0, 39.0)))
    assert LAYOUT.Twin(asked, cut).fault() == "a slot through another row"
    assert LAYOUT.Twin(asked, offered(row, (slot._replace(left_mm=45.0),))).fault() == "a slot through another row"


def test_both_checks_agree_on_copies_thrown_at_random():
    draw, seen = random.Random(4), set()
    spacing = Spacing(wall=SIDES, rim=Sides.all_round(0.0))
    asked = question(SQUARE, width_mm=60.0, depth_mm=60.0, spacing=spacing, turns_deg=(0.0, 90.0, 180.0, 270.0))
    for _ in range(300):
        copies = [
            Placement("square", draw.uniform(12.0, 48.0), draw.uniform(12.0, 48.0), draw.choice(asked.turns_deg))
            for _ in range(2)
        ]
        checked = check_layout(asked, copies)
        if abs(checked.least_spare_mm) > 0.05:  # chords lie inside the ellipse by up to 0.02
            assert bool(LAYOUT.Twin(asked, offered(copies)).fault()) == bool(checked.faults)
            seen.add(bool(checked.faults))
    assert seen == {True, False}


def test_all_tries_of_small_rooms():
    assert LAYOUT.tried_out((3, 3), (2, 1)) == 4
    assert LAYOUT.tried_out((5, 4), (3, 2)) == 3
    assert LAYOUT.tried_out((2, 1), (3, 1)) == 0
