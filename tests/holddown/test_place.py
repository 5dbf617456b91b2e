from __future__ import annotations

import dataclasses
import math

import pytest
import shapely

from cutting.bench import CUTTER, CUTTERS, MACHINE, feature, piece, ply, setup
from traywright.base.finding import Severity
from traywright.catalogue import table
from traywright.cutting import plan_cuts
from traywright.geometry import Region
from traywright.holddown import bridge_rules, place_bridges

SLOT = feature("F2", "slot", Region.rectangle(90, 0, 110, 150), 12.0)
PLIES = {"T1.P1": ply(SLOT), "T2.P1": ply(name="T2.P1", region=Region.rectangle(0, 0, 400, 200))}
RULES = bridge_rules(table("bridge_rules"))


def advised(at, rules=None):
    return place_bridges(at, PLIES, MACHINE, CUTTERS, rules)


def test_a_small_piece_gets_two_and_a_large_one_four():
    at = setup(piece(), piece("B1.2", (40.0, 240.0), 0, "T2.P1"))
    found = advised(at).bridges
    assert [one.piece for one in found] == ["B1.1"] * 2 + ["B1.2"] * 4
    assert len({one.id for one in found}) == 6


def test_bridges_stand_opposite_on_straight_runs_off_corners_and_open_slots():
    first, second = advised(setup(piece())).bridges
    assert first.along == pytest.approx(tuple(-one for one in second.along))
    for one in (first, second):
        x, y = one.at_mm[0] - 40.0, one.at_mm[1] - 40.0
        corner = min(math.dist((x, y), at) for at in ((0, 0), (200, 0), (0, 150), (200, 150)))
        assert corner >= 2.0 * CUTTER.diameter_mm
        assert Region.rectangle(90, 0, 110, 150).shape.distance(shapely.Point(x, y)) >= 12.0


def test_the_rim_comes_before_a_neighbour():
    at = setup(piece(), piece("B1.2", (252.0, 40.0)), blank=Region.rectangle(0, 0, 492, 230))
    for one in advised(at).bridges:
        assert one.at_mm[0] != pytest.approx(240.0)  # the kerf between the two
    assert not [one for one in advised(at).findings if one.code == "HOLD-003"]


def test_no_bridge_leads_into_the_air():
    at = setup(piece(at_mm=(10.0, 40.0)), blank=Region.rectangle(0, 0, 220, 230))
    for one in advised(at).bridges:
        assert 10.0 < one.at_mm[0] < 210.0  # neither side edge: no board is left beyond their kerf


def test_no_bridge_stands_near_a_screw():
    free = advised(setup(piece())).bridges[0].at_mm
    at = dataclasses.replace(setup(piece()), screws_mm=(free,))
    assert all(math.dist(one.at_mm, free) >= RULES.from_screw.value for one in advised(at).bridges)


def test_a_round_piece_is_held_too():
    plies = {"T1.P1": ply(region=Region.disc((60.0, 60.0), 60.0))}
    found = place_bridges(setup(piece()), plies, MACHINE, CUTTERS).bridges
    assert len(found) == 2
    assert math.dist(found[0].at_mm, found[1].at_mm) == pytest.approx(120.0, abs=0.2)


def test_a_piece_without_a_place_is_told():
    at = setup(piece(at_mm=(0.0, 0.0)), blank=Region.rectangle(0, 0, 200, 150))
    told = advised(at)
    assert told.bridges == ()
    (found,) = [one for one in told.findings if one.code == "HOLD-002"]
    assert found.severity is Severity.WARN
    assert dict(found.parameters)["wanted"] == 2


def test_a_piece_without_a_rim_is_told():
    around = [(40.0, 240.0), (252.0, 40.0), (252.0, 202.0), (252.0, 364.0), (464.0, 240.0), (40.0, 40.0), (464.0, 40.0)]
    middle = piece("B1.0", (252.0, 202.0))
    others = [piece(f"B1.{n}", at) for n, at in enumerate(around, start=1) if at != (252.0, 202.0)]
    left, right = piece("B1.8", (40.0, 202.0)), piece("B1.9", (464.0, 202.0))
    others = [one for one in others if one.at_mm[1] != 240.0]
    at = setup(middle, *others, left, right, blank=Region.rectangle(0, 0, 704, 554))
    codes = [one for one in advised(at).findings if one.code == "HOLD-003"]
    assert [dict(one.parameters)["piece"] for one in codes] == ["B1.0"]


def test_forces_are_said_to_be_not_calculated():
    first = advised(setup(piece())).findings[0]
    assert (first.code, first.severity) == ("HOLD-001", Severity.NOTE)


def test_a_piece_that_is_mostly_window_is_told_with_its_figure():
    plies = {"T1.P1": ply(feature("F1", "window", Region.rectangle(20, 20, 180, 130), 0.0))}
    told = place_bridges(setup(piece()), plies, MACHINE, CUTTERS)
    (found,) = [one for one in told.findings if one.code == "HOLD-004"]
    (figure,) = told.figures
    assert found.figure == figure.path == "holddown/B1.S1/B1.1/held"
    # hand: frame 20 wide loses 7.757 on both sides: 4.486 wide, on 200 x 150 less twice the loss
    width, depth, kept = 200.0 - 2 * 7.757, 150.0 - 2 * 7.757, 20.0 - 2 * 7.757
    window = (width - 2 * kept) * (depth - 2 * kept) - (4.0 - math.pi) * 7.757**2  # its strip is round at corners
    area = width * depth - window
    assert figure.value == pytest.approx(area / 30000.0, rel=0.002)


def test_a_piece_that_falls_apart_is_told():
    plies = {"T1.P1": ply(feature("F1", "slot", Region.rectangle(90, 0, 110, 150), 0.0))}
    told = place_bridges(setup(piece()), plies, MACHINE, CUTTERS)
    assert [dict(one.parameters)["count"] for one in told.findings if one.code == "HOLD-005"] == [2]
    assert not [one for one in advised(setup(piece())).findings if one.code == "HOLD-005"]


def test_bridges_of_the_advice_stay_in_the_board():
    at = setup(piece())
    at = dataclasses.replace(at, bridges=advised(at).bridges)
    plan = plan_cuts(at, PLIES, MACHINE, CUTTERS)
    heights = [move.to_mm[2] for move in plan.operations[-1].moves]
    assert heights.count(RULES.height.value) >= 4  # up and along over each of two bridges


def test_same_setup_same_advice():
    assert advised(setup(piece())) == advised(setup(piece()), RULES)


def test_no_bridge_stands_over_a_corner_of_a_piece_without_a_free_straight_run():
    # no side is long enough for the distance from corners; places an eighth of the way round fall 2 mm off corners
    small = ply(region=Region.rectangle(0, 0, 40, 44))
    found = place_bridges(setup(piece()), {"T1.P1": small}, MACHINE, CUTTERS, None).bridges
    assert found
    for one in found:
        x, y = one.at_mm[0] - 40.0, one.at_mm[1] - 40.0
        corner = min(math.dist((x, y), spot) for spot in ((0, 0), (40, 0), (0, 44), (40, 44)))
        assert corner > RULES.waist.value / 2.0 + RULES.grip.value


def test_two_bridges_that_would_touch_are_one():
    # only the front edge is free, and its straight run leaves 7 mm for places; the rest lies at the edge of the board
    at = setup(piece(at_mm=(1.0, 60.0)), blank=Region.rectangle(0, 0, 69, 211))
    narrow = ply(region=Region.rectangle(0, 0, 67, 150))
    found = place_bridges(at, {"T1.P1": narrow}, MACHINE, CUTTERS, None)
    assert len(found.bridges) == 1
    assert "HOLD-002" in {one.code for one in found.findings}
