"""Order, gouge, coverage and time of whole plans, each looked at from outside with plain polygons."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from cutting import drawer
from cutting.bench import (
    CARDS,
    CUTTER,
    CUTTERS,
    MACHINE,
    bridge,
    feature,
    feed_paths,
    machine,
    piece,
    ply,
    setup,
    swept,
)
from traywright.base.errors import CutError
from traywright.cutting import MoveKind, plan_cuts
from traywright.geometry import Region
from traywright.nesting import place_on_board
from traywright.trays.floor import Trough
from traywright.trays.tray import Feature, FeatureKind

RADIUS = CUTTER.radius_mm
CHORD = 0.03  # two chords of 0.01 and the snap of a region
POCKET = feature("F1", "pocket", Region.rectangle(40, 30, 120, 90), 20.0)
SLOT = feature("F2", "slot", Region.rectangle(70, 0, 90, 150), 12.0)
HOLE = feature("F3", "hole", Region.disc((105.0, 60.0), 12.0), 0.0)
CELL = ply(POCKET, SLOT, HOLE)
BRIDGES = (bridge((40.0, 60.0), (0.0, -1.0)), bridge((240.0, 60.0), (0.0, 1.0), name="L2"))
SETUP = setup(bridges=BRIDGES)


def planned(*features, at=SETUP, by=MACHINE):
    return plan_cuts(at, {"T1.P1": ply(*features)}, by, CUTTERS)


def kept(at, plies, z_mm):
    """Foam that must stand at a height."""
    standing = []
    for one in at.pieces:
        own = plies[one.ply]
        void = [place_on_board(f.region, one, own).shape for f in own.features if f.floor.z_mm <= max(z_mm, 0) + 1e-6]
        standing.append(place_on_board(own.region, one, own).shape.difference(shapely.union_all(void)))
    return shapely.union_all(standing)


def gouged(plan, at, plies):
    heights = sorted({round(z_mm, 6) for _, z_mm, _ in feed_paths(plan)})
    return sum(
        swept(plan, RADIUS, down_to_mm=z_mm).intersection(kept(at, plies, z_mm).buffer(-CHORD)).area for z_mm in heights
    )


def left_over(plan, at, plies):
    """Area that the cutter reaches in each feature and did not cut down to its floor."""
    total = 0.0
    for one in at.pieces:
        for own in plies[one.ply].features:
            region = place_on_board(own.region, one, plies[one.ply]).shape
            floor_mm = own.floor.z_mm if own.floor.z_mm > 0 else -MACHINE.into_spoil_mm
            reached = region.buffer(-RADIUS).buffer(RADIUS).intersection(region)
            total += reached.difference(swept(plan, RADIUS, down_to_mm=floor_mm)).buffer(-0.06).area
    return total


def test_levels_come_first_then_kinds_then_outlines():
    plan = planned(POCKET, SLOT, HOLE)
    assert [(one.kind, one.level_mm) for one in plan.operations] == [
        ("slot", 20.0),  # a slot deeper than the pocket it crosses goes to the pocket's depth first
        ("pocket", 20.0),
        ("slot", 12.0),
        ("hole", -0.5),
        ("outline", -0.5),
    ]
    assert [one.id for one in plan.operations] == [f"B1.S1.O{number}" for number in range(1, 6)]


def test_a_drawer_is_cut_by_levels_and_the_slot_that_crosses_goes_down_in_two_turns():
    plan = plan_cuts(drawer.setup(), {"T1.P1": drawer.ply()}, MACHINE, {1: CARDS.cutter("flat-8")})
    told = [(one.kind, drawer.THICKNESS - one.level_mm, len(one.features)) for one in plan.operations]
    assert told == [
        ("pocket", 6.0, 1),
        ("pocket", 12.0, 8),
        ("slot", 14.0, 1),  # the slot of 20 crosses the capsules of 14: with them to 14 first
        ("pocket", 14.0, 4),
        ("pocket", 18.0, 7),
        ("slot", 20.0, 1),  # its last 6
        ("pocket", 20.0, 4),
        ("pocket", 24.0, 1),
        ("outline", 30.5, 1),
    ]
    assert plan.operations[2].features == plan.operations[5].features == ("B1.1/F8",)


def test_a_kind_is_done_for_all_pieces_before_the_next():
    at = setup(piece(), piece("B1.2", (252.0, 40.0)))
    plan = plan_cuts(at, {"T1.P1": CELL}, MACHINE, CUTTERS)
    assert plan.operations[1].features == ("B1.1/F1", "B1.2/F1")
    assert len([one for one in plan.operations if one.kind == "pocket"]) == 1


def test_a_window_right_through_waits_for_the_holes():
    plan = planned(POCKET, feature("F4", "window", Region.rectangle(130, 30, 180, 90), 0.0))
    assert [one.kind for one in plan.operations] == ["pocket", "hole", "outline"]


def test_a_separate_deeper_pocket_is_cut_once():
    plan = planned(POCKET, feature("F4", "pocket", Region.rectangle(140, 30, 180, 90), 10.0))
    assert [one.features for one in plan.operations[:2]] == [("B1.1/F1",), ("B1.1/F4",)]


def test_foam_that_is_gone_is_not_cut_again():
    inner = feature("F5", "pocket", Region.rectangle(40, 30, 120, 90), 20.0)
    assert [one.kind for one in planned(POCKET, inner).operations] == ["pocket", "outline"]
    again = feature("F6", "relief", Region.rectangle(50, 40, 100, 80), 35.0)
    plan = planned(POCKET, again)
    alone = planned(POCKET)
    # the wide pocket takes in the upper relief's ground: its rings do not go through that again from the top
    assert plan.cut_length_mm < alone.cut_length_mm * 3.0


@pytest.mark.parametrize(
    "features",
    [
        (POCKET, SLOT, HOLE),
        (feature("F1", "slot", Region.rectangle(94, 0, 106, 150), 30.0),),
        (feature("F1", "hole", Region.disc((100.0, 75.0), 6.0), 0.0),),
        (
            feature("F1", "pocket", Region.rectangle(20, 20, 180, 130).difference(Region.disc((100, 75), 20)), 9.0),
            feature("F2", "pocket", Region.rectangle(0, 60, 60, 150), 30.0),
        ),
    ],
    ids=["cell", "one cutter wide", "one cutter round", "island and open corner"],
)
def test_nothing_that_must_stand_is_cut_and_nothing_is_left(features):
    plies = {"T1.P1": ply(*features)}
    plan = plan_cuts(SETUP, plies, MACHINE, CUTTERS)
    assert gouged(plan, SETUP, plies) == pytest.approx(0.0, abs=0.01)
    assert left_over(plan, SETUP, plies) == pytest.approx(0.0, abs=0.01)


@pytest.mark.parametrize("turn_deg", [0, 90, 180, 270])
def test_a_hole_as_wide_as_the_cutter_inside_a_pocket_is_plunged(turn_deg):
    # a hole's chords lie inside its circle: shrunk by the radius nothing was left of it
    at = setup(piece(turn_deg=turn_deg))
    plies = {"T1.P1": ply(POCKET, feature("F2", "hole", Region.disc((63.377, 71.193), 6.0), 0.0))}
    plan = plan_cuts(at, plies, MACHINE, CUTTERS)
    assert [one.kind for one in plan.operations] == ["pocket", "hole", "outline"]
    assert left_over(plan, at, plies) == pytest.approx(0.0, abs=0.01)


@pytest.mark.parametrize(
    ("wide", "lobe"),
    [
        (Region.disc((65.698, 106.821), 20.0), Region.disc((48.822, 95.222), 6.0)),
        (Region.disc((54.981, 49.727), 10.0), Region.disc((53.025, 59.165), 6.0)),
    ],
)
def test_a_lobe_as_wide_as_the_cutter_beside_a_hole_is_cut(wide, lobe):
    # shrunk by the radius only the wide hole was left, and its place hid that the lobe was missing
    plies = {"T1.P1": ply(feature("F1", "hole", wide, 0.0), feature("F2", "hole", lobe, 0.0))}
    assert left_over(plan_cuts(SETUP, plies, MACHINE, CUTTERS), SETUP, plies) == pytest.approx(0.0, abs=0.01)


@st.composite
def recesses(draw):
    found = []
    for number in range(draw(st.integers(1, 4))):
        kind = draw(st.sampled_from(["pocket", "slot", "window", "hole"]))
        floor_mm = {
            "pocket": draw(st.sampled_from([10.0, 20.0, 35.0])),
            "slot": draw(st.sampled_from([8.0, 20.0, 30.0])),
        }
        width, depth = draw(st.integers(14, 90)), draw(st.integers(14, 70))
        x, y = draw(st.integers(4, 196 - width)), draw(st.integers(4, 146 - depth))
        region = Region.rectangle(x, y, x + width, y + depth)
        if kind == "slot":
            region = Region.rectangle(x, 0, x + draw(st.sampled_from([12, 20, 28])), 150).intersection(
                Region.rectangle(0, 0, 200, 150)
            )
        elif kind == "hole":
            region = Region.disc(region.centre_mm, draw(st.sampled_from([6.0, 6.6, 10.0])))
        elif draw(st.booleans()):
            region = region.turned(draw(st.integers(0, 89)), region.centre_mm).intersection(
                Region.rectangle(3, 3, 197, 147)
            )
        if not region.grown(-6.0).is_empty or kind in {"slot", "hole"}:
            found.append(feature(f"F{number}", kind, region, floor_mm.get(kind, 0.0)))
    return tuple(found)


@settings(max_examples=12)
@given(recesses())
def test_any_tray_is_cut_true_and_in_order(features):
    at = setup(piece(), piece("B1.2", (252.0, 40.0), 90), bridges=BRIDGES[:1])
    plies = {"T1.P1": ply(*features)}
    plan = plan_cuts(at, plies, MACHINE, CUTTERS)
    assert gouged(plan, at, plies) == pytest.approx(0.0, abs=0.02)
    assert left_over(plan, at, plies) == pytest.approx(0.0, abs=0.02)
    levels = [one.level_mm for one in plan.operations]
    assert levels == sorted(levels, reverse=True)
    assert [one.kind for one in plan.operations].count("outline") == 1
    assert plan.operations[-1].kind == "outline"
    turns = {"slot": 0, "pocket": 1, "hole": 2, "outline": 3}
    keys = [(-one.level_mm, turns[one.kind]) for one in plan.operations]
    assert keys == sorted(keys)


def test_walls_are_finished_in_climb():
    """Spindle clockwise: inside a pocket counter-clockwise, round the piece clockwise."""
    plan = planned(POCKET)
    walls = {}
    for operation, z_mm, line in feed_paths(plan):
        if line.geom_type == "LineString" and z_mm <= operation.level_mm + 1e-6:
            walls.setdefault(operation.kind, []).extend(line.coords)
    turns = {kind: shapely.LinearRing(spots[-40:] if kind == "pocket" else spots) for kind, spots in walls.items()}
    assert turns["pocket"].is_ccw
    assert not turns["outline"].is_ccw


def test_every_rapid_goes_up_across_or_down_and_never_across_low():
    plan = planned(POCKET, SLOT, HOLE)
    clear_mm = SETUP.thickness_mm + MACHINE.clearance_mm
    here = plan.start_mm
    for operation in plan.operations:
        for move in operation.moves:
            if move.kind is MoveKind.RAPID:
                across = math.dist(here[:2], move.to_mm[:2]) > 1e-9
                assert not across or min(here[2], move.to_mm[2]) >= clear_mm - 1e-9
                assert move.to_mm[2] > SETUP.thickness_mm
            else:
                assert move.feed_mm_per_s > 0.0
            here = move.to_mm
    assert here[2] == pytest.approx(clear_mm)


def test_an_open_slot_runs_out_inside_the_corridor():
    at = setup(piece(), piece("B1.2", (252.0, 40.0)))
    plies = {"T1.P1": ply(feature("F1", "slot", Region.rectangle(0, 60, 200, 80), 20.0))}
    plan = plan_cuts(at, plies, MACHINE, CUTTERS)
    ends = [line.bounds for operation, _, line in feed_paths(plan) if operation.kind == "slot"]
    assert min(one[0] for one in ends) == pytest.approx(40.0 - 1.5, abs=0.01)
    assert gouged(plan, at, plies) == pytest.approx(0.0, abs=0.01)


def test_a_corridor_too_narrow_to_run_out_is_refused():
    at = setup(piece(), piece("B1.2", (246.0, 40.0)))
    plies = {"T1.P1": ply(feature("F1", "slot", Region.rectangle(0, 60, 200, 80), 20.0))}
    with pytest.raises(CutError) as refused:
        plan_cuts(at, plies, MACHINE, CUTTERS)
    assert refused.value.code == "CUT-005"


def test_bridges_stay_and_nothing_else_does():
    plan = planned(POCKET)
    through = swept(plan, RADIUS, down_to_mm=BRIDGES[0].height_mm - 0.01)
    outline = place_on_board(CELL.region, SETUP.pieces[0], CELL).shape
    kerf = outline.buffer(2.0 * RADIUS, quad_segs=32).difference(outline)
    links = [one for one in shapely.get_parts(kerf.difference(through)) if one.area > 1.0]
    assert len(links) == 2
    for link in links:
        left, front, right, back = link.bounds
        assert right - left == pytest.approx(12.0, abs=0.02)
        narrowest = link.intersection(shapely.box(left + 5.9, front, left + 6.1, back))
        assert narrowest.bounds[3] - narrowest.bounds[1] >= 12.0 - 0.02


def test_the_cutter_ramps_over_a_bridge_without_a_stop():
    moves = planned(POCKET).operations[-1].moves
    here = moves[0].to_mm
    rising = []
    for move in moves[1:]:
        if move.kind is MoveKind.LINE and move.to_mm[2] > here[2]:
            rising.append(math.dist(here[:2], move.to_mm[:2]) / (move.to_mm[2] - here[2]))
        here = move.to_mm
    assert rising
    assert all(one == pytest.approx(1.0, abs=1e-3) for one in rising)


def test_a_shared_kerf_is_cut_once():
    alone = plan_cuts(setup(piece()), {"T1.P1": ply()}, MACHINE, CUTTERS)
    pair = plan_cuts(setup(piece(), piece("B1.2", (252.0, 40.0))), {"T1.P1": ply()}, MACHINE, CUTTERS)
    passes = 2  # 50 mm in steps of at most 25
    assert pair.cut_length_mm < 2.0 * alone.cut_length_mm - passes * 150.0 + 60.0


def test_time_holds_spindle_and_look_ahead():
    plan = planned(POCKET)
    assert plan.time_s > plan.length_over_feed_s + MACHINE.spin_up_s
    slower = planned(POCKET, by=machine(acceleration_mm_per_s2=200.0))
    assert slower.time_s > plan.time_s
    assert slower.length_over_feed_s == pytest.approx(plan.length_over_feed_s)


def test_same_setup_same_plan():
    assert planned(POCKET, SLOT, HOLE) == planned(POCKET, SLOT, HOLE)


@pytest.mark.parametrize(
    ("code", "features", "at"),
    [
        ("CUT-001", (feature("F1", "pocket", Region.rectangle(40, 30, 120, 90), 5.0),), setup(thickness_mm=80.0)),
        ("CUT-002", (feature("F1", "pocket", Region.rectangle(40, 30, 50, 90), 20.0),), SETUP),
        (
            "CUT-003",
            (
                Feature(
                    id="F1",
                    kind=FeatureKind.SADDLE,
                    side="top",
                    region=Region.rectangle(40, 30, 120, 90),
                    floor=Trough(start_mm=(40, 60, 50), end_mm=(120, 60, 50), radius_mm=30),
                ),
            ),
            SETUP,
        ),
        (
            "CUT-004",
            (
                Feature(
                    id="F1",
                    kind=FeatureKind.POCKET,
                    side="underside",
                    region=POCKET.region,
                    floor=POCKET.floor,
                ),
            ),
            SETUP,
        ),
    ],
)
def test_what_cannot_be_cut_is_refused(code, features, at):
    with pytest.raises(CutError) as refused:
        planned(*features, at=at)
    assert refused.value.code == code
    assert len(str(refused.value).splitlines()) == 3


def test_no_cutter_wider_than_the_kerf_goes_round():
    with pytest.raises(CutError) as refused:
        planned(by=machine(kerf_mm=10.0))
    assert refused.value.code == "CUT-006"
