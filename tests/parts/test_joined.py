"""Loose strokes into loops: every area by hand, gaps and doubled lines told where they are."""

from __future__ import annotations

import math
import random
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from traywright.base.errors import PartError
from traywright.geometry import Contour
from traywright.parts import DrawnLine
from traywright.parts.joined import joined

EXACT = 1e-6


def stroke(contour, layer="CUT", colour=0, drawn_as="LINE"):
    return DrawnLine(id="1", layer=layer, colour=colour, contour=contour, drawn_as=drawn_as)


def line(*points, **how):
    return stroke(Contour.polygon(tuple((float(x), float(y)) for x, y in points), closed=False), **how)


def loop(*points, **how):
    return stroke(Contour.polygon(tuple((float(x), float(y)) for x, y in points)), **how)


def bent(start, end, bulge, **how):
    return stroke(Contour(corners=((*start, bulge), (*end, 0.0)), closed=False), drawn_as="ARC", **how)


def sides(left, front, right, back, **how):
    corners = [(left, front), (right, front), (right, back), (left, back)]
    return [line(one, other, **how) for one, other in zip(corners, [*corners[1:], corners[0]], strict=True)]


def told(found, code):
    return [dict(one.parameters) for one in found.findings if one.code == code]


def test_loose_lines_make_a_loop():
    found = joined(sides(0, 0, 60, 40))
    assert [one.contour.area_mm2 for one in found.loops] == [2400.0]
    assert not found.lines
    assert not found.findings
    assert found.loops[0].id == "L1"


def test_lines_and_arcs_make_a_slot():
    slot = [
        line((10, 0), (50, 0)),
        bent((50.0, 0.0), (50.0, 20.0), 1.0),
        line((10, 20), (50, 20)),
        bent((10.0, 0.0), (10.0, 20.0), -1.0),
    ]
    (found,) = joined(slot).loops
    assert found.contour.area_mm2 == pytest.approx(800.0 + 100.0 * math.pi, abs=EXACT)
    assert found.drawn_as == "ARC+LINE"


def test_the_order_and_sense_of_the_file_do_not_matter():
    strokes = [*sides(0, 0, 60, 40), *sides(100, 0, 130, 30, layer="B"), bent((200.0, 0.0), (220.0, 0.0), 0.5)]
    strokes += [line((220, 0.3), (200, 0)), line((0, 0), (30, 0)), loop((300, 0), (310, 0), (310, 10))]
    first = joined(strokes)
    for seed in range(20):
        mixed = random.Random(seed).sample(strokes, len(strokes))
        assert joined(mixed) == first
        turned = [stroke(one.contour.turned_back(), one.layer, drawn_as=one.drawn_as) for one in mixed]
        again = joined(turned)
        assert [one.contour for one in again.loops] == [one.contour for one in first.loops]
        assert again.findings == first.findings


def test_a_gap_is_joined_and_told():
    strokes = [line((0, 0), (60, 0)), line((60, 0), (60, 40)), line((60, 40), (0, 40)), line((0, 40), (0, 0.3))]
    found = joined(strokes)
    assert [one.contour.area_mm2 for one in found.loops] == [2400.0]
    (gap,) = told(found, "PART-035")
    assert (gap["gap_mm"], gap["x_mm"], gap["y_mm"], gap["count"]) == (0.3, 0.0, 0.15, 1)


def test_several_gaps_are_joined():
    corners = [(0, 0), (60, 0), (60, 40), (0, 40)]
    short = []
    for (ax, ay), (bx, by) in zip(corners, [*corners[1:], corners[0]], strict=True):
        share = 0.2 / math.hypot(bx - ax, by - ay)
        short.append(line((ax + (bx - ax) * share, ay + (by - ay) * share), (bx, by)))
    found = joined(short)
    # each gap cuts nothing off: it runs along the side that was drawn short
    assert [round(one.contour.area_mm2, 6) for one in found.loops] == [2400.0]
    assert [one["gap_mm"] for one in told(found, "PART-035")] == [0.2] * 4
    assert told(found, "PART-035")[0]["count"] == 4


def test_a_wide_gap_is_told_and_left_open():
    strokes = [line((0, 0), (60, 0)), line((60, 0), (60, 40)), line((60, 40), (0, 40)), line((0, 40), (0, 0.6))]
    found = joined(strokes)
    assert not found.loops
    assert [one.contour.length_mm for one in found.lines] == [pytest.approx(199.4)]
    assert [one["gap_mm"] for one in told(found, "PART-037")] == [0.6]


def test_engraved_lines_beside_each_other_are_no_gap():
    found = joined([line((0, 0), (60, 0)), line((0, 3), (60, 3)), line((62, 0), (80, 0))])
    assert len(found.lines) == 3
    assert not found.findings


def test_a_short_stroke_is_not_closed_on_itself():
    found = joined([line((0, 0), (0.4, 0))])
    assert len(found.lines) == 1
    assert not found.loops
    assert not found.findings


def test_ends_within_a_hundredth_meet_untold():
    strokes = [*sides(0, 0, 60, 40)[:3], line((0, 40), (0.004, 0.006))]
    found = joined(strokes)
    assert [one.contour.area_mm2 for one in found.loops] == [pytest.approx(2400.0, abs=0.3)]
    assert not found.findings


@pytest.mark.parametrize("again", [line((60, 0), (60, 40)), line((60, 40), (60, 0)), line((60.004, 40), (60, 0.003))])
def test_a_doubled_line_is_dropped_and_told(again):
    found = joined([*sides(0, 0, 60, 40), again])
    assert [one.contour.area_mm2 for one in found.loops] == [pytest.approx(2400.0, abs=0.3)]
    (double,) = told(found, "PART-036")
    assert (round(double["x_mm"]), round(double["y_mm"]), round(double["length_mm"])) == (60, 20, 40)
    assert not found.lines


def test_a_line_that_lies_on_another_in_part_is_dropped():
    # the front side in three pieces that lie on each other: 0 to 30, 20 to 50, 45 to 60
    pieces = [line((0, 0), (30, 0)), line((50, 0), (20, 0)), line((45, 0), (60, 0))]
    found = joined([*sides(0, 0, 60, 40)[1:], *pieces])
    assert [one.contour.area_mm2 for one in found.loops] == [2400.0]
    assert sorted((one["x_mm"], one["length_mm"]) for one in told(found, "PART-036")) == [(25.0, 10.0), (47.5, 5.0)]
    assert not found.lines


def test_overlaps_are_found_in_any_direction():
    for turn_deg in (0.0, 17.3, 45.0, 89.99, 90.0, 90.01, 133.7, 179.97, 179.999):
        cos, sin = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
        spots = [(cos * one, sin * one) for one in (0.0, 60.0, 20.0, 90.0)]
        found = joined([line(*spots[:2]), line(*spots[2:])])
        assert [round(one.contour.length_mm, 6) for one in found.lines] == [90.0], turn_deg
        assert [one["length_mm"] for one in told(found, "PART-036")] == [40.0]


def test_lines_end_to_end_are_no_overlap():
    found = joined([line((0, 0), (30, 0)), line((30, 0), (60, 0)), *sides(0, 0, 60, 40)[1:]])
    assert len(found.loops) == 1
    assert not found.findings


def test_doubled_arcs_are_dropped_and_other_arcs_are_not():
    half = [bent((0.0, 0.0), (20.0, 0.0), 1.0), bent((20.0, 0.0), (0.0, 0.0), -1.0)]
    found = joined([*half, bent((20.0, 0.0), (0.0, 0.0), 0.5)])
    assert len(told(found, "PART-036")) == 1
    # what is left: the half circle of 10 below and the flatter arc above
    turn = 4.0 * math.atan(0.5)
    radius = 20.0 / (2.0 * math.sin(turn / 2.0))
    want = 50.0 * math.pi + radius**2 / 2.0 * (turn - math.sin(turn))
    assert [one.contour.area_mm2 for one in found.loops] == [pytest.approx(want, abs=EXACT)]


def test_a_doubled_loop_is_dropped():
    square = ((0, 0), (60, 0), (60, 40), (0, 40))
    again = loop(*square[2:], *square[:2])
    found = joined([loop(*square), again, *sides(0, 0, 60, 40), loop((0, 0), (60, 0), (60, 40), (0, 40), (0, 20))])
    assert [len(one.contour.corners) for one in found.loops] == [4]
    assert not found.lines
    assert told(found, "PART-036")
    circles = [stroke(Contour.circle((x, 5.0), 13.0)) for x in (0.0, 0.0, 0.003, 30.0)]
    assert len(joined(circles).loops) == 2


def test_the_same_loop_on_another_layer_stays():
    square = ((0, 0), (60, 0), (60, 40), (0, 40))
    assert len(joined([loop(*square), loop(*square, layer="B")]).loops) == 2


def test_a_line_over_a_loop_is_dropped():
    found = joined([loop((0, 0), (60, 0), (60, 40), (0, 40)), line((10, 0), (50, 0))])
    assert len(found.loops) == 1
    assert not found.lines
    assert [one["length_mm"] for one in told(found, "PART-036")] == [40.0]
    across = joined([loop((0, 0), (60, 0), (60, 40), (0, 40)), line((0, 0), (60, 40))])
    assert len(across.lines) == 1


def test_a_fork_is_told_and_not_guessed():
    # two rectangles that share a side which is drawn once: three lines meet at two places
    strokes = [*sides(0, 0, 60, 40), line((60, 0), (90, 0)), line((90, 0), (90, 40)), line((90, 40), (60, 40))]
    found = joined(strokes)
    assert not found.loops
    forks = told(found, "PART-038")
    assert [(one["x_mm"], one["y_mm"], one["lines"]) for one in forks] == [(60.0, 0.0, 3), (60.0, 40.0, 3)]


def test_loops_that_touch_in_a_corner_are_clear():
    found = joined([*sides(0, 0, 60, 40), *sides(60, 40, 90, 60)])
    assert [one.contour.area_mm2 for one in found.loops] == [2400.0, 600.0]
    assert not found.findings


def test_a_loop_with_a_tail_stays_a_loop():
    found = joined([*sides(0, 0, 60, 40), line((60, 40), (80, 60))])
    assert [one.contour.area_mm2 for one in found.loops] == [2400.0]
    assert len(found.lines) == 1
    assert [one["lines"] for one in told(found, "PART-038")] == [3]


def test_three_free_ends_together_are_not_guessed():
    strokes = [line((0, 0), (60, 0)), line((60.2, 0), (60.2, 40)), line((60.0, -0.2), (90, -30))]
    found = joined(strokes)
    assert len(found.lines) == 3
    assert [one["lines"] for one in told(found, "PART-038")] == [3]


def test_a_line_there_and_back_is_no_loop():
    found = joined([loop((0, 0), (60, 0)), loop((0, 10), (60, 10), (30, 10))])
    assert not found.loops
    assert len(found.lines) == 2


def test_a_loop_that_crosses_itself_is_told():
    found = joined([loop((0, 0), (60, 40), (60, 0), (0, 50))])
    (crossing,) = told(found, "PART-045")
    # y = 2x/3 and y = 50 - 5x/6 meet at x = 100/3
    assert (crossing["x_mm"], crossing["y_mm"]) == pytest.approx((33.333, 22.222), abs=0.001)


def test_layers_and_colours_do_not_join():
    strokes = sides(0, 0, 60, 40)[:2] + sides(0, 0, 60, 40, layer="B")[2:]
    assert not joined(strokes).loops
    assert not joined(sides(0, 0, 60, 40)[:2] + sides(0, 0, 60, 40, colour=3)[2:]).loops


def test_ids_follow_layer_and_place():
    strokes = [*sides(100, 0, 120, 20, layer="A"), *sides(0, 0, 20, 20, layer="B"), *sides(0, 50, 20, 70, layer="A")]
    told_of = [(one.id, one.layer, one.contour.bounds_mm[0]) for one in joined(strokes).loops]
    assert told_of == [("L1", "A", 0.0), ("L2", "A", 100.0), ("L3", "B", 0.0)]


def star(radii):
    count = len(radii)
    turns = [2.0 * math.pi * one / count for one in range(count)]
    return [(r * math.cos(t), r * math.sin(t)) for r, t in zip(radii, turns, strict=True)]


@settings(max_examples=60)
@given(st.lists(st.floats(20.0, 90.0), min_size=3, max_size=12), st.randoms(use_true_random=False))
def test_any_star_comes_back_with_its_area(radii, random_order):
    points = star(radii)
    want = abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, points[1:] + points[:1], strict=True))) / 2.0
    edges = [line(one, other) for one, other in zip(points, points[1:] + points[:1], strict=True)]
    edges = [stroke(one.contour.turned_back()) if random_order.random() < 0.5 else one for one in edges]
    random_order.shuffle(edges)
    found = joined([*edges, random_order.choice(edges)])
    assert [one.contour.area_mm2 for one in found.loops] == [pytest.approx(want, rel=1e-9)]
    assert [one.code for one in found.findings] == ["PART-036"]
    corners = [one[:2] for one in found.loops[0].contour.corners]
    assert all(min(math.dist(one, other) for other in points) == 0.0 for one in corners)


def test_many_loose_lines_are_joined_in_time():
    squares = [one for k in range(2500) for one in sides(k % 50 * 12, k // 50 * 12, k % 50 * 12 + 9, k // 50 * 12 + 9)]
    squares = [
        line(one.contour.corners[0][:2], (one.contour.corners[1][0], one.contour.corners[1][1])) for one in squares
    ]
    start = time.process_time()
    found = joined(squares)
    assert len(found.loops) == 2500
    assert time.process_time() - start < 8.0


def test_a_heap_of_lines_on_each_other_is_refused():
    heap = [line((0, one * 0.02), (1000, 0.3 + one * 0.02)) for one in range(12_000)]
    start = time.process_time()
    with pytest.raises(PartError) as refused:
        joined(heap)
    assert refused.value.code == "PART-029"
    assert time.process_time() - start < 10.0
