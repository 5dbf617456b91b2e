"""Loops in loops, over the edge, and without an outline."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.design.test_drawn_trays import FRAME, asked, box, circle, codes, drawing

from traywright.base.errors import DesignError
from traywright.design import draw_as_drawn


def ending(*loops):
    areas = draw_as_drawn(asked(drawing(*loops))).areas[0]
    return dict(zip(areas.depths_mm, areas.ending_mm2, strict=True))


def test_a_pocket_in_a_raised_step_is_a_pocket_again():
    # pocket 20, step 10 in it, and in the step a pocket of the first layer: it is deeper than what lies around it
    found = ending(FRAME, box("D_20", 20, 20, 120, 120), box("D_10", 40, 40, 100, 100), box("D_20", 60, 60, 80, 80))
    assert found == pytest.approx({20: 10000 - 3600 + 400, 10: 3600 - 400})


def test_a_pocket_in_an_island_is_cut():
    found = ending(FRAME, box("D_20", 20, 20, 120, 120), box("D_20", 40, 40, 100, 100), box("D_20", 60, 60, 80, 80))
    assert found == pytest.approx({20: 10000 - 3600 + 400})


def test_a_pocket_of_another_layer_in_an_island_keeps_its_own_depth():
    found = ending(FRAME, box("D_20", 20, 20, 120, 120), box("D_20", 40, 40, 100, 100), box("D_5", 60, 60, 80, 80))
    assert found == pytest.approx({20: 10000 - 3600, 5: 400})


def test_a_loop_of_another_layer_at_the_same_depth_is_no_island():
    found = ending(FRAME, box("D_20", 20, 20, 120, 120), box("KNIFE_20", 40, 40, 100, 100))
    assert found == pytest.approx({20: 10000})


def test_loops_that_cross_are_united_and_the_deeper_wins():
    found = ending(FRAME, box("D_20", 20, 20, 60, 60), box("D_20", 40, 40, 80, 80), box("D_25", 50, 20, 70, 60))
    assert found == pytest.approx({25: 800, 20: 1600 + 1600 - 400 - 10 * 40 - 10 * 20})


def test_a_loop_that_stands_twice_is_no_island():
    assert ending(FRAME, box("D_20", 20, 20, 60, 60), box("D_20", 20, 20, 60, 60)) == pytest.approx({20: 1600})


def test_what_lies_over_the_edge_is_cut_inside_only():
    tray = draw_as_drawn(asked(drawing(FRAME, box("D_9", 280, 20, 320, 60)))).trays[0]
    assert tray.features[0].region.bounds_mm == (280, 20, 300, 60)


def test_a_loop_that_touches_the_edge_is_not_told():
    assert "TRAY-024" not in codes(draw_as_drawn(asked(drawing(FRAME, box("D_9", 280, 20, 300, 60)))))


def test_a_pocket_is_not_taken_for_an_outline():
    with pytest.raises(DesignError) as refused:
        draw_as_drawn(asked(drawing(box("D_9", 0, 0, 100, 100), box("D_9", 200, 0, 280, 80))))
    assert refused.value.code == "TRAY-022"


def test_the_largest_loop_that_holds_the_others_is_the_outline():
    drawn = draw_as_drawn(asked(drawing(box("A", 0, 0, 300, 200), circle("D_9", 100, 100, 30))))
    assert (len(drawn.trays), len(drawn.trays[0].features)) == (1, 1)


def test_outlines_are_numbered_left_to_right_then_front_to_back():
    frames = [box("OUTLINE", left, front, left + 80, front + 80) for left in (100, 0) for front in (100, 0)]
    pockets = [
        circle("D_9", left + 40, front + 40, 10 + left / 20 + front / 50) for left in (0, 100) for front in (0, 100)
    ]
    drawn = draw_as_drawn(asked(drawing(*frames, *pockets)))
    radii = [one.open_mm2**0.5 for one in drawn.areas]
    assert [one.tray for one in drawn.areas] == ["T1", "T2", "T3", "T4"]
    assert radii == sorted(radii)


RECTANGLES = st.lists(
    st.tuples(
        st.integers(1, 200), st.integers(1, 120), st.integers(5, 90), st.integers(5, 70), st.sampled_from([9, 15])
    ),
    min_size=1,
    max_size=6,
)


@given(RECTANGLES, st.integers(-500, 500), st.integers(-500, 500))
@settings(max_examples=15, deadline=None)
def test_areas_add_up_and_do_not_hang_on_the_drawing_s_place(rectangles, right, back):
    loops = [box(f"D_{deep}", x, y, x + wide, y + long) for x, y, wide, long, deep in rectangles]
    moved = [
        box(f"D_{deep}", x + right, y + back, x + right + wide, y + back + long)
        for x, y, wide, long, deep in rectangles
    ]
    here = draw_as_drawn(asked(drawing(FRAME, *loops)))
    there = draw_as_drawn(asked(drawing(box("OUTLINE", right, back, right + 300, back + 200), *moved)))
    areas = here.areas[0]
    assert sum(areas.ending_mm2) == pytest.approx(areas.open_mm2)
    assert areas.open_mm2 <= areas.outline_mm2 + 0.01
    assert there.areas[0].ending_mm2 == pytest.approx(areas.ending_mm2, abs=0.01)
    assert here.trays[0].features == there.trays[0].features
