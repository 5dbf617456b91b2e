"""The order of cuts in foam: common practice, no source. Each fact is one that a bench hand would name."""

from __future__ import annotations

import pytest

from cutting.bench import CUTTERS, MACHINE, feature, piece, ply, setup
from traywright.cutting import plan_cuts
from traywright.geometry import Region


def order(*features, at=None):
    return [
        (one.kind, one.level_mm)
        for one in plan_cuts(at or setup(), {"T1.P1": ply(*features)}, MACHINE, CUTTERS).operations
    ]


def nested(number, floor_mm, inset):
    return feature(f"F{number}", "pocket", Region.rectangle(20 + inset, 20 + inset, 180 - inset, 130 - inset), floor_mm)


def test_shallow_before_deep():
    """Fact: several depths go down step by step, the shallow level first; 12.7, 25.4 and 38.1 mm deep in 50."""
    found = order(nested(3, 11.9, 40), nested(1, 37.3, 0), nested(2, 24.6, 20))
    assert found[:3] == [("pocket", 37.3), ("pocket", 24.6), ("pocket", 11.9)]


def test_slot_before_the_pocket_it_crosses():
    """Fact: grooves before the pockets they cross, else the crumbs at the crossings tear off."""
    found = order(nested(1, 20.0, 0), feature("F2", "slot", Region.rectangle(90, 0, 110, 150), 20.0))
    assert found[:2] == [("slot", 20.0), ("pocket", 20.0)]


def test_deeper_slot_goes_to_the_pockets_depth_first():
    """Fact: a slot deeper than the pocket is cut to the pocket's depth first, the rest at its own level."""
    found = order(nested(1, 20.0, 0), feature("F2", "slot", Region.rectangle(90, 0, 110, 150), 8.0))
    assert found[:3] == [("slot", 20.0), ("pocket", 20.0), ("slot", 8.0)]


def test_pocket_before_the_hole_in_it():
    """Fact: the hole is then shorter, and nothing is cut twice."""
    found = order(feature("F2", "hole", Region.disc((100.0, 75.0), 15.0), 0.0), nested(1, 20.0, 0))
    assert found[:2] == [("pocket", 20.0), ("hole", -MACHINE.into_spoil_mm)]


def test_outline_last_and_each_kind_over_the_whole_board():
    """Fact: slots, pockets, holes, outline with bridges, each for all pieces on the board before the next."""
    features = (nested(1, 20.0, 0), feature("F2", "slot", Region.rectangle(90, 0, 110, 150), 20.0))
    at = setup(piece(), piece("B1.2", (252.0, 40.0)))
    found = order(*features, at=at)
    assert [kind for kind, _ in found] == ["slot", "pocket", "outline"]
    assert found[-1][1] == pytest.approx(-MACHINE.into_spoil_mm)
