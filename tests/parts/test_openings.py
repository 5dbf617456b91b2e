from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from parts.asked import BOARD, PRISM, SPINDLE, contact, demo_lying, lying, plate
from traywright.geometry import Region
from traywright.parts import Rule, opening, section, silhouette

DEMO = [SPINDLE, PRISM, BOARD]
every_part = pytest.mark.parametrize("which", DEMO, ids=lambda which: which.id)


def free(pose, z, clearance=1.0, stand_off=2.0):
    return opening(pose, z, clearance_mm=clearance, stand_off_mm=stand_off)


def test_the_opening_of_the_spindle_differs_by_depth():
    pose = demo_lying(SPINDLE)
    # axis at 46: below 22 the flange alone, below 26 the body too, below 30 the journal, above the axis all of it
    flange, body, top = free(pose, 10.0), free(pose, 23.9), free(pose, 60.0)
    assert len(flange.pieces()) == 1
    assert len(body.pieces()) == 2
    assert flange.size_mm[0] == pytest.approx(14 + 2 * 1.1, abs=0.05)
    assert flange.size_mm[1] == pytest.approx(2 * math.sqrt(46**2 - 36**2) + 2 * 1.1, abs=0.05)
    assert top.size_mm == pytest.approx((168 + 2 * 1.1 + 2, 92 + 2 * 1.1), abs=0.05)
    assert free(pose, -1.0).is_empty


def test_the_journal_is_cleared_by_its_stand_off_below_it():
    pose = demo_lying(SPINDLE)
    journal = Region.rectangle(-84 + 30, -1, -84 + 45, 1)
    # bottom of the journal at 26, less 2: foam may stand until 24
    assert not free(pose, 23.9).overlaps(journal)
    assert free(pose, 24.2).overlaps(journal)
    wide = free(pose, 46.1).intersection(Region.rectangle(-84 + 35, -99, -84 + 40, 99))
    assert wide.size_mm[1] == pytest.approx(40 + 2 * (1.1 + 2), abs=0.05)


@every_part
@given(st.floats(-5, 120), st.floats(0, 60), st.floats(0, 3), st.floats(0, 4))
@settings(max_examples=12)
def test_the_opening_grows_with_height_clearance_and_stand_off(which, z, more, clearance, stand_off):
    pose = demo_lying(which)
    here = free(pose, z, clearance, stand_off)
    for wider in (
        free(pose, z + more, clearance, stand_off),
        free(pose, z, clearance + 0.5, stand_off),
        free(pose, z, clearance, stand_off + 0.5),
    ):
        # chords of different corners may cross by one chord
        assert wider.grown(0.03).contains(here)


@every_part
def test_the_opening_lets_the_part_in_at_every_depth(which):
    pose = demo_lying(which)
    height = pose.size_mm[2]
    for share in (0.05, 0.3, 0.55, 0.8, 0.99):
        here = free(pose, share * height, 0.0, 0.0)
        # what stands lower has passed this height on the way in
        for lower in (0.04, 0.29, 0.5):
            assert lower > share or here.contains(section(pose, lower * height))


@every_part
def test_the_opening_above_the_part_is_its_shadow_with_clearance(which):
    pose = demo_lying(which)
    above = free(pose, 500.0, 1.0, 0.0)
    own = 1.0 + pose.part.tolerance_mm + pose.part.chord_mm
    assert above.contains(silhouette(pose).grown(own - 0.03))
    assert silhouette(pose).grown(own + 0.03).contains(above)


def test_an_upright_wall_that_must_not_be_touched_keeps_foam_away():
    part, _ = plate(contacts=(contact(Rule.NEVER, facing="+x"),))
    region = free(lying(part), 5.0, 0.5, 3.0)
    left, front, right, back = region.bounds_mm
    assert (left, front, back) == pytest.approx((-50.5, -33.5, 33.5), abs=0.02)
    assert right == pytest.approx(53.5, abs=0.02)
    # only near that wall
    assert region.intersection(Region.rectangle(-99, -99, 0, 99)).bounds_mm[1] == pytest.approx(-30.5, abs=0.02)


def test_a_section_is_what_stands_at_that_height():
    pose = demo_lying(SPINDLE)
    middle = section(pose, 46.0)
    # half section twice: 2 x 2379 mm² by FACTS, less what chords and two holes take
    assert middle.area_mm2 == pytest.approx(2 * 2379.0, rel=0.05)
    assert section(pose, -1.0).is_empty
