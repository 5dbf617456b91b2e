"""Two offers for one question: counts, what they keep, and that they repeat."""

from __future__ import annotations

import dataclasses
import itertools
import math

import pytest

from layout.outlines import QUARTERS_DEG, outline, question
from traywright.base.errors import LayoutError
from traywright.geometry import Region
from traywright.layout import Container, Effort, Kind, NoGo, PairWall, RowSlot, Sides, Spacing, lay_out
from traywright.layout.check import check_layout

QUICK = Effort(rounds=1)
NONE = Effort(rounds=0)

# counts of a grid of bounding boxes are 20, 16, 28, 20, 12, 8; these are what rows are asked to reach
REGULAR = [
    ("l_bracket", 32),
    ("flanged_shaft", 21),
    ("ring", 33),
    ("c_clamp", 20),
    ("wrench", 18),
    ("connecting_rod", 15),
]


@pytest.mark.parametrize(("name", "least"), REGULAR)
def test_rows_of_six_outlines(name, least):
    asked = question(name)
    regular, most = lay_out(asked, NONE)
    assert regular.count >= least
    assert most.count >= regular.count
    assert regular.count <= regular.bound
    assert not check_layout(asked, regular.placements).faults


def test_one_more_than_rows_is_found():
    asked = question("flanged_shaft", turns_deg=QUARTERS_DEG, kits_most=22)
    regular, most = lay_out(asked, Effort(rounds=40))
    assert (regular.count, most.count) == (21, 22)
    assert not check_layout(asked, most.placements).faults


def test_the_same_question_gives_the_same_offers():
    asked = question("wrench", turns_deg=QUARTERS_DEG)
    assert lay_out(asked, QUICK) == lay_out(asked, QUICK)


def test_another_seed_may_differ_and_holds_too():
    asked = question("wrench", turns_deg=QUARTERS_DEG)
    for seed in (2,):
        _, most = lay_out(asked, Effort(rounds=2, seed=seed))
        assert not check_layout(asked, most.placements).faults


def test_an_exact_fit_is_found():
    square = Kind(id="square", outline=Region.rectangle(0, 0, 40, 30))
    regular, most = lay_out(question(square, width_mm=4 * 40 + 5 * 8, depth_mm=3 * 30 + 4 * 8), NONE)
    assert regular.count == 12
    assert most.least_wall_mm == pytest.approx(8.0, abs=0.0005)


def test_rectangles_that_fit_no_raster_are_laid_out_by_their_sizes():
    bar = Kind(id="bar", outline=Region.rectangle(3, 7, 3 + 61.327, 7 + 23.119))
    wide, deep = 5 * 61.327 + 6 * 3.3, 4 * 23.119 + 5 * 3.3
    asked = question(bar, width_mm=round(wide, 3), depth_mm=round(deep, 3), wall_mm=3.3)
    regular, most = lay_out(asked, NONE)
    assert (regular.count, regular.rows, most.count) == (20, 4, 20)


def test_rectangles_turn_as_a_pinwheel():
    # four 290 x 190 round a middle: rows of one way take three
    bar = Kind(id="bar", outline=Region.rectangle(0, 0, 290, 190))
    regular, most = lay_out(question(bar, width_mm=492.0, depth_mm=492.0, wall_mm=4.0, turns_deg=(0.0, 90.0)), NONE)
    assert (regular.count, most.count) == (2, 4)
    assert most.proven


def test_nothing_goes_in():
    regular, most = lay_out(question("wrench", width_mm=150.0, depth_mm=60.0), QUICK)
    assert (regular.count, regular.bound, regular.proven) == (0, 0, True)
    assert most.placements == ()


def test_touching_is_allowed_without_a_wall():
    square = Kind(id="square", outline=Region.rectangle(0, 0, 25, 25))
    regular, _ = lay_out(question(square, width_mm=100.0, depth_mm=50.0, wall_mm=0.0), NONE)
    assert regular.count == 8
    assert regular.least_wall_mm == 0.0


def test_two_l_shapes_hook_into_each_other():
    # two legs 20 wide, 60 long: head to tail they share a box of 80 x 60, alone each takes 60 x 60
    bracket = Kind(id="bracket", outline=Region.polygon([(0, 0), (60, 0), (60, 20), (20, 20), (20, 60), (0, 60)]))
    regular, _ = lay_out(question(bracket, width_mm=80.0, depth_mm=60.0, wall_mm=0.0), NONE)
    assert regular.count == 2


def bands_of(offer):
    """First and last place of each kind along the side on which the kinds lie one behind the other."""
    for side in ("x_mm", "y_mm"):
        places = {
            one.kind: [getattr(it, side) for it in offer.placements if it.kind == one.kind] for one in offer.placements
        }
        bands = {kind: (min(found), max(found)) for kind, found in places.items()}
        spans = sorted(bands.values())
        if all(one[1] < other[0] for one, other in itertools.pairwise(spans)):
            return bands
    return {}


class TestKits:
    def kinds(self):
        return (
            Kind(id="bracket", outline=outline("l_bracket"), in_kit=2, mass_kg=0.1),
            Kind(id="ring", outline=outline("ring"), in_kit=1, mass_kg=2.0),
            Kind(id="shaft", outline=outline("flanged_shaft"), in_kit=1, mass_kg=0.5),
        )

    def test_only_whole_kits_are_offered(self):
        asked = question(*self.kinds(), turns_deg=QUARTERS_DEG)
        for offer in lay_out(asked, QUICK):
            assert offer.kits >= 6
            for kind in asked.kinds:
                assert sum(one.kind == kind.id for one in offer.placements) == offer.kits * kind.in_kit

    def test_the_heaviest_kind_stands_in_the_middle(self):
        regular, _ = lay_out(question(*self.kinds()), NONE)
        bands = bands_of(regular)
        assert sorted(bands, key=bands.get)[1] == "ring"

    def test_kinds_stay_together_when_asked(self):
        _, most = lay_out(question(*self.kinds(), together=True), QUICK)
        assert len(bands_of(most)) == 3

    def test_no_more_kits_than_asked(self):
        for offer in lay_out(question(*self.kinds(), kits_most=2), QUICK):
            assert offer.kits == 2


class TestSlots:
    def asked(self, **settings):
        shaft = Kind(
            id="shaft",
            outline=outline("flanged_shaft"),
            slots=(RowSlot(line_mm=0.0, width_mm=20.0, reach_mm=10.0),),
        )
        return question(shaft, **settings)

    def test_a_row_shares_one_line(self):
        asked = self.asked()
        regular, _ = lay_out(asked, NONE)
        assert len(regular.slots) == regular.rows
        for one in regular.placements:
            assert any(slot.front_mm <= one.y_mm - 9.999 and one.y_mm + 9.999 <= slot.back_mm for slot in regular.slots)
        assert not check_layout(asked, regular.placements, regular.slots).faults

    def test_their_area_counts(self):
        with_slots, _ = lay_out(self.asked(), NONE)
        without, _ = lay_out(question("flanged_shaft"), NONE)
        assert with_slots.count < without.count
        per_part = without.fill_ratio / without.count
        assert with_slots.fill_ratio > per_part * with_slots.count

    def test_alone_each_cell_keeps_its_own(self):
        asked = self.asked()
        _, most = lay_out(asked, QUICK)
        if not most.slots:
            assert not check_layout(asked, most.placements).faults

    def test_slots_off_the_middle_leave_head_to_tail_only_where_lines_agree(self):
        bracket = Kind(
            id="bracket", outline=outline("l_bracket"), slots=(RowSlot(line_mm=-25.5, width_mm=20.0, reach_mm=15.0),)
        )
        asked = question(bracket)
        regular, _ = lay_out(asked, NONE)
        assert regular.count >= 24
        assert not check_layout(asked, regular.placements, regular.slots).faults


def test_nothing_enters_a_barred_region():
    no_go = (
        NoGo(region=Region.disc((280.0, 180.0), 30.0), wall_mm=10.0),
        NoGo(region=Region.rectangle(0, 0, 60, 60), wall_mm=5.0),
    )
    asked = question("l_bracket", no_go=no_go)
    regular, most = lay_out(asked, QUICK)
    assert 20 <= regular.count < 32
    for one in most.placements:
        shape = asked.kinds[0].outline.turned(one.turn_deg).moved(one.x_mm, one.y_mm)
        assert all(shape.distance_mm(each.region) >= each.wall_mm - 0.0005 for each in no_go)


def test_a_need_may_differ_by_side_and_by_pair():
    sides = Sides(right_mm=20.0, back_mm=4.0, left_mm=0.0, front_mm=8.0)
    square, disc = (
        Kind(id="square", outline=Region.rectangle(-15, -15, 15, 15)),
        Kind(id="disc", outline=Region.disc((0.0, 0.0), 14.0)),
    )
    spacing = Spacing(wall=sides, rim=Sides.all_round(3.0), pairs=(PairWall("disc", "disc", Sides.all_round(30.0)),))
    asked = dataclasses.replace(question(square, disc, width_mm=300.0, depth_mm=200.0), spacing=spacing)
    for offer in lay_out(asked, QUICK):
        assert offer.kits >= 3
        assert not check_layout(asked, offer.placements).faults
        discs = [(one.x_mm, one.y_mm) for one in offer.placements if one.kind == "disc"]
        gaps = [math.dist(a, b) - 28.0 for k, a in enumerate(discs) for b in discs[k + 1 :]]
        assert min(gaps) >= 30.0 - 0.03


def test_a_shared_angle_lets_a_long_one_lie_across():
    bar = Kind(id="bar", outline=Region.rectangle(-60, -5, 60, 5))
    tight = question(bar, width_mm=104.0, depth_mm=104.0, wall_mm=4.0)
    assert lay_out(tight, QUICK)[1].count == 0
    free = dataclasses.replace(tight, free_turn=True)
    regular, most = lay_out(free, QUICK)
    assert most.count >= 1
    assert regular.bound >= most.count
    assert not check_layout(free, most.placements).faults


@pytest.mark.parametrize(
    ("settings", "code"),
    [
        ({"width_mm": 0.0}, "LAY-001"),
        ({"depth_mm": math.nan}, "LAY-001"),
        ({"wall_mm": -1.0}, "LAY-001"),
        ({"turns_deg": ()}, "LAY-008"),
        ({"turns_deg": (math.inf,)}, "LAY-008"),
        ({"kits_most": -1}, "LAY-001"),
    ],
)
def test_what_cannot_be_worked_with_is_refused(settings, code):
    with pytest.raises(LayoutError) as refused:
        question("ring", **settings)
    assert refused.value.code == code
    assert str(refused.value).count("\n") == 2


def test_kinds_are_refused_that_make_no_question():
    ring = Kind(id="ring", outline=outline("ring"))
    for kinds, code in (((), "LAY-006"), ((ring,) * 2, "LAY-007"), (tuple(many(61)), "LAY-006")):
        with pytest.raises(LayoutError) as refused:
            question(*kinds)
        assert refused.value.code == code
    with pytest.raises(LayoutError) as refused:
        Kind(id="two", outline=Region.union_of([Region.rectangle(0, 0, 1, 1), Region.rectangle(5, 0, 6, 1)]))
    assert refused.value.code == "LAY-005"
    spacing = Spacing(wall=Sides.all_round(8.0), rim=Sides.all_round(8.0), rims=(("other", Sides.all_round(1.0)),))
    with pytest.raises(LayoutError) as refused:
        question(ring, spacing=spacing)
    assert refused.value.code == "LAY-009"
    with pytest.raises(LayoutError):
        Container(width_mm=10.0, depth_mm=-1.0)


def many(count):
    return [Kind(id=str(k), outline=Region.rectangle(0, 0, 5, 5)) for k in range(count)]


def test_many_corners_are_drawn_coarser_from_outside():
    points = [
        ((30 + 5 * math.cos(9 * a)) * math.cos(a), (30 + 5 * math.cos(9 * a)) * math.sin(a))
        for a in (k * 2.0 * math.pi / 5000 for k in range(5000))
    ]
    gear = Kind(id="gear", outline=Region.polygon(points))
    asked = question(gear, width_mm=300.0, depth_mm=200.0)
    regular, most = lay_out(asked, NONE)
    assert regular.count >= 6
    assert not check_layout(asked, most.placements).faults


def test_a_large_container_takes_more_by_a_lattice_than_by_rows():
    asked = question("l_bracket", width_mm=1500.0, depth_mm=900.0)
    regular, most = lay_out(asked, QUICK)
    assert most.count > regular.count
    assert not check_layout(asked, most.placements).faults


ELL = Region.polygon([(0, 0), (95.3, 0), (95.3, 24), (24, 24), (24, 75.3), (0, 75.3)])


@pytest.mark.parametrize(("width_mm", "count"), [(111.3, 1), (214.6, 2)])
def test_a_container_that_just_takes_it_takes_it(width_mm, count):
    # 95.3 and 75.3 with 8 around; two take 8 + 95.3 + 8 + 95.3 + 8
    asked = question(Kind(id="ell", outline=ELL), width_mm=width_mm, depth_mm=91.3, turns_deg=(0.0,))
    regular, most = lay_out(asked, NONE)
    assert (regular.count, most.count) == (count, count)


@pytest.mark.parametrize("wall_mm", [7.9375, 8.4667])
def test_a_wall_between_two_snap_steps_is_kept(wall_mm):
    bar = Kind(id="bar", outline=Region.rectangle(0, 0, 50, 30))
    regular, _ = lay_out(question(bar, width_mm=400.0, depth_mm=300.0, wall_mm=wall_mm), NONE)
    assert regular.count >= 36
    assert regular.least_wall_mm >= wall_mm - 0.001


def test_a_bulge_of_a_hundredth_is_not_cut_off():
    plate = Kind(id="plate", outline=Region.polygon([(0, 0), (50, -0.002), (100, 0), (100, 50), (50, 50.002), (0, 50)]))
    asked = question(plate, width_mm=250.0, depth_mm=400.0)
    regular, _ = lay_out(asked, NONE)
    assert regular.count == 12
    assert not check_layout(asked, regular.placements).faults


def test_the_hole_of_a_barred_frame_keeps_its_wall():
    frame = Region.rectangle(50, 50, 250, 250).difference(Region.rectangle(90, 90, 210, 210))
    disc = Kind(id="disc", outline=Region.disc((0.0, 0.0), 20.0))
    asked = question(disc, width_mm=300.0, depth_mm=300.0, wall_mm=0.0, no_go=(NoGo(region=frame, wall_mm=10.0),))
    _, most = lay_out(asked, QUICK)
    inside = [one for one in most.placements if 100 <= one.x_mm <= 200 and 100 <= one.y_mm <= 200]
    assert inside
    assert not check_layout(asked, most.placements).faults


def test_pairs_of_discs_are_counted_in_whole_kits():
    # ten discs of best known layout: five kits of two
    side = round(30.0 / 0.148204322565229 * 1.003, 3)
    disc = Kind(id="disc", outline=Region.disc((0.0, 0.0), 30.0), in_kit=2)
    _, most = lay_out(question(disc, width_mm=side, depth_mm=side, wall_mm=0.0), Effort(rounds=100))
    assert (most.count, most.kits) == (10, 5)


def test_a_barred_region_without_area_is_refused():
    with pytest.raises(LayoutError) as refused:
        NoGo(region=Region.empty(), wall_mm=1.0)
    assert refused.value.code == "LAY-003"


def test_too_many_poses_are_refused():
    with pytest.raises(LayoutError) as refused:
        question("ring", turns_deg=tuple(float(k) for k in range(300)))
    assert refused.value.code == "LAY-010"


def test_no_search_is_made_beyond_what_was_asked_for():
    asked = question("l_bracket", kits_most=3)
    regular, most = lay_out(asked, Effort(rounds=10**9))
    assert (regular.count, most.count, regular.bound) == (3, 3, 3)


def test_a_slot_stays_in_the_container():
    # the slot is nearly as wide as the bar is deep and reaches past its front: it, not the bar, ends at the rim
    bar = Kind(
        id="bar",
        outline=Region.rectangle(0, -10, 80, 22),
        slots=(RowSlot(line_mm=0.0, width_mm=40.0),),
    )
    asked = question(bar, width_mm=300.0, depth_mm=200.0, wall_mm=2.0)
    regular, _ = lay_out(asked, NONE)
    assert regular.count >= 9
    assert min(slot.front_mm for slot in regular.slots) >= 0.0
    assert not check_layout(asked, regular.placements, regular.slots).faults


def test_what_cells_and_slots_take_is_counted_once():
    ring = Kind(id="ring", outline=outline("ring"), slots=(RowSlot(line_mm=0.0, width_mm=20.0),))
    asked = question(ring)
    regular, _ = lay_out(asked, NONE)
    shapes = [ring.outline.turned(one.turn_deg).moved(one.x_mm, one.y_mm) for one in regular.placements]
    taken = Region.union_of([*shapes, *(one.region() for one in regular.slots)]).area_mm2
    assert regular.fill_ratio == pytest.approx(taken / (560.0 * 360.0))


def test_a_large_tray_takes_what_staggered_rows_take():
    # discs of 70 at 78 in rows 67.56 apart: 21 rows of 19 and 18 by turns in 1500 x 1500
    _, most = lay_out(question("ring", width_mm=1500.0, depth_mm=1500.0), NONE)
    assert most.count >= 11 * 19 + 10 * 18


def test_more_copies_than_anyone_loads_are_refused():
    grain = Kind(id="grain", outline=Region.rectangle(0, 0, 2, 2))
    with pytest.raises(LayoutError) as refused:
        lay_out(question(grain, width_mm=3000.0, depth_mm=3000.0, wall_mm=1.0), NONE)
    assert refused.value.code == "LAY-011"


def test_a_slot_at_the_edge_of_an_outline_stays_in_the_container():
    bar = Kind(
        id="bar", outline=Region.rectangle(0, -2.346, 7.275, 2.346), slots=(RowSlot(line_mm=-1.781, width_mm=1.75),)
    )
    asked = question(bar, width_mm=11.21, depth_mm=13.44, wall_mm=0.0)
    regular, _ = lay_out(asked, NONE)
    assert regular.count >= 2
    assert min(slot.front_mm for slot in regular.slots) >= 0.0


def test_a_slot_ends_before_a_barred_region_without_a_wall():
    bar = Kind(id="bar", outline=Region.rectangle(-10, -5, 10, 5), slots=(RowSlot(line_mm=0.0, width_mm=4.0),))
    barred = NoGo(region=Region.rectangle(45, 0, 55, 60), wall_mm=0.0)
    asked = question(bar, width_mm=100.0, depth_mm=60.0, wall_mm=0.0, no_go=(barred,))
    regular, _ = lay_out(asked, NONE)
    assert regular.count >= 20
    assert not any(slot.region().overlaps(barred.region) for slot in regular.slots)
