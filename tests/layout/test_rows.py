"""Rows keep wall and rim by shapely's own distances, whichever way the container is turned."""

from __future__ import annotations

import math
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import Polygon, box

from traywright.base.errors import LayoutError
from traywright.geometry import Region
from traywright.layout import fill_rows
from traywright.layout.motif import Pitches, motifs

WITHIN_MM = 0.001  # places are rounded to this step, so a distance may be off by half of it
CONE = [(0, -20), (60, -5), (60, 5), (0, 20)]
ELL = [(0, 0), (50, 0), (50, 12), (12, 12), (12, 40), (0, 40)]
TEE = [(-6, 0), (6, 0), (6, 40), (30, 40), (30, 52), (-30, 52), (-30, 40), (-6, 40)]


def stood(corners, layout):
    """Twin of the places: shapely's own affine steps, no Region."""
    return [
        affinity.translate(affinity.rotate(Polygon(corners), turn, origin=(0, 0)), x, y)
        for x, y, turn in layout.placements
    ]


def ask(corners, **other):
    asked = {"width_mm": 300, "depth_mm": 200, "wall_mm": 8, "rim_mm": 10, "count": 4, "turns_deg": (0, 180)} | other
    return fill_rows(Region.polygon(corners), **asked)


shapes = st.sampled_from([CONE, ELL, TEE])
turns = st.sampled_from([(0,), (0, 180), (0, 90), (0, 90, 180, 270), (270,)])


@settings(max_examples=40)
@given(
    shapes,
    turns,
    st.integers(1, 9),
    st.floats(0, 15),
    st.floats(0, 20),
    st.floats(90, 400),
    st.floats(90, 400),
)
def test_no_two_outlines_stand_nearer_than_the_wall_and_none_outside(corners, allowed, count, wall, rim, width, depth):
    layout = ask(corners, turns_deg=allowed, count=count, wall_mm=wall, rim_mm=rim, width_mm=width, depth_mm=depth)
    copies = stood(corners, layout)
    assert len(copies) == count
    assert {turn for _, _, turn in layout.placements} <= set(allowed)
    for here, there in combinations(copies, 2):
        assert here.distance(there) >= wall - WITHIN_MM
        assert here.intersection(there).area < WITHIN_MM
    if layout.fits:
        inner = box(rim, rim, width - rim, depth - rim).buffer(1.5 * WITHIN_MM)
        assert all(inner.covers(one) for one in copies)
        assert count <= layout.most <= layout.bound
    else:
        assert layout.needed_width_mm > width or layout.needed_depth_mm > depth


@settings(max_examples=15)
@given(shapes, st.integers(1, 7), st.floats(100, 300), st.floats(100, 300))
def test_a_turned_container_takes_the_turned_outline_as_well(corners, count, width, depth):
    turned = [(-y, x) for x, y in corners]
    here = ask(corners, turns_deg=(0, 90, 180, 270), count=count, width_mm=width, depth_mm=depth)
    there = ask(turned, turns_deg=(0, 90, 180, 270), count=count, width_mm=depth, depth_mm=width)
    assert here.fits == there.fits
    if here.fits:
        assert min(here.rims_mm) == pytest.approx(min(there.rims_mm), abs=2 * WITHIN_MM)


def test_head_to_tail_cones_stand_at_the_pitch_worked_by_hand():
    # the slanted sides fall 15 over 60: a wall of 5 square to them is 5 / cos = 5.1539 along y; 20 + 5 + 5.1539
    layout = ask(CONE, width_mm=80, depth_mm=112, wall_mm=5, rim_mm=5, count=3)
    assert layout.pattern == "rows"
    assert layout.pitch_y_mm == pytest.approx(25 + 5 * math.hypot(60, 15) / 60, abs=2 * WITHIN_MM)
    assert layout.least_wall_mm == pytest.approx(5, abs=WITHIN_MM)
    assert [turn for _, _, turn in layout.placements] == [0, 180, 0]


def test_without_the_half_turn_all_stand_the_same_way_and_need_more():
    layout = ask(CONE, width_mm=80, depth_mm=112, wall_mm=5, rim_mm=5, count=3, turns_deg=(0,))
    assert (layout.pattern, layout.fits, layout.pitch_y_mm) == ("same", False, 45.0)
    assert layout.needed_depth_mm == pytest.approx(2 * 5 + 40 + 2 * 45)


def test_spare_space_goes_to_the_rims_along_the_exact_axis_and_is_shared_along_the_other():
    brick = [(0, 0), (40, 0), (40, 20), (0, 20)]
    layout = ask(brick, width_mm=160, depth_mm=120, wall_mm=10, rim_mm=10, count=4, turns_deg=(0,))
    assert (layout.columns, layout.rows) == (2, 2)
    # x: 160 - 2 x 10 - 2 x 40 - 10 = 50 spare, shared by two rims and one web; y: 120 - 50 = 70 to the two rims
    assert layout.pitch_x_mm == pytest.approx(40 + 10 + 50 / 3, abs=WITHIN_MM)
    assert layout.pitch_y_mm == pytest.approx(30)
    assert layout.rims_mm == pytest.approx((10 + 50 / 3, 35, 10 + 50 / 3, 35), abs=2 * WITHIN_MM)


def test_what_fits_exactly_fits():
    brick = [(0, 0), (40, 0), (40, 20), (0, 20)]
    layout = ask(brick, width_mm=2 * 10 + 2 * 40 + 8, depth_mm=2 * 10 + 20, count=2, turns_deg=(0,))
    assert layout.fits
    assert layout.most == 2
    short = ask(brick, width_mm=2 * 10 + 2 * 40 + 7.99, depth_mm=2 * 10 + 20, count=2, turns_deg=(0,))
    assert not short.fits
    assert (short.needed_width_mm, short.needed_depth_mm) == (108, 40)


def test_an_unfilled_last_row_starts_from_the_left():
    brick = [(0, 0), (40, 0), (40, 20), (0, 20)]
    layout = ask(brick, width_mm=110, depth_mm=110, count=5, turns_deg=(0,))
    assert (layout.columns, layout.rows, len(layout.placements)) == (2, 3, 5)
    assert layout.placements[4].x_mm == layout.placements[0].x_mm


def test_the_least_pitch_is_least():
    # at every pitch that is a little under it two copies stand nearer than the wall
    for corners in (CONE, ELL, TEE):
        for motif in motifs(Region.polygon(corners), (0, 180)):
            pitches = Pitches(motif, 6.0)
            least = pitches.least_mm(along_x=False, across_mm=math.inf, every_wider=False)
            assert pitches.keeps(math.inf, least)
            assert not pitches.keeps(math.inf, least - 0.01)


def test_interlocked_columns_are_not_pulled_apart_into_an_overlap():
    # two combs may interlock at a small pitch and clash at a wider one: the wider pitch is checked as well
    layout = ask(ELL, width_mm=400, depth_mm=80, count=5, wall_mm=3, turns_deg=(0, 180))
    for here, there in combinations(stood(ELL, layout), 2):
        assert here.distance(there) >= 3 - WITHIN_MM


def test_the_same_question_has_the_same_answer():
    assert ask(TEE, count=5) == ask(TEE, count=5)


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"width_mm": 0.0}, "LAY-001"),
        ({"depth_mm": -5.0}, "LAY-001"),
        ({"wall_mm": math.nan}, "LAY-001"),
        ({"rim_mm": math.inf}, "LAY-001"),
        ({"count": 0}, "LAY-001"),
        ({"turns_deg": ()}, "LAY-002"),
        ({"turns_deg": (0, 45)}, "LAY-002"),
    ],
)
def test_what_cannot_be_laid_out_is_refused_under_its_code(change, code):
    with pytest.raises(LayoutError) as refused:
        ask(CONE, **change)
    assert refused.value.code == code
    assert str(refused.value).count("\n") == 2


def test_an_outline_without_area_is_refused():
    with pytest.raises(LayoutError) as refused:
        fill_rows(Region.empty(), width_mm=10, depth_mm=10, wall_mm=1, rim_mm=1, count=1, turns_deg=(0,))
    assert refused.value.code == "LAY-003"
