"""Rectangles in shelves: inside, apart, each once, the deepest first."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from traywright.base.errors import LayoutError
from traywright.layout import LIES, fill_shelves

WITHIN_MM = 0.0015
sizes = st.lists(st.tuples(st.floats(5, 300), st.floats(5, 200)), min_size=1, max_size=25)


@settings(max_examples=60)
@given(sizes, st.floats(0, 15), st.floats(0, 20), st.sampled_from(LIES), st.booleans())
def test_each_lies_once_inside_and_a_kerf_from_all_others(asked, kerf, edge, lie, columns):
    sheets = fill_shelves(asked, width_mm=400, depth_mm=350, kerf_mm=kerf, edge_mm=edge, lie=lie, columns=columns)
    assert sorted(place.item for sheet in sheets for place in sheet) == list(range(len(asked)))
    for sheet in sheets:
        boxes = []
        for item, x, y, turn in sheet:
            wide, deep = asked[item][::-1] if turn else asked[item]
            assert x >= edge - WITHIN_MM
            assert y >= edge - WITHIN_MM
            assert x + wide <= 400 - edge + WITHIN_MM
            assert y + deep <= 350 - edge + WITHIN_MM
            boxes.append((x, y, x + wide, y + deep))
        for (a, b, c, d), (p, q, r, s) in combinations(boxes, 2):
            assert max(p - c, a - r, q - d, b - s) >= kerf - WITHIN_MM


def test_shelves_by_hand():
    # 60 x 40 opens the first shelf, 50 x 30 does not go beside it (110) and opens the second, 40 x 30 goes beside (100)
    (sheet,) = fill_shelves([(50, 30), (60, 40), (40, 30)], width_mm=100, depth_mm=80, kerf_mm=0, edge_mm=0)
    assert [(place.item, place.x_mm, place.y_mm) for place in sheet] == [(1, 0.0, 0.0), (0, 0.0, 40.0), (2, 60.0, 0.0)]


def test_flat_and_upright_turn_what_stands_the_other_way():
    asked = {"width_mm": 100, "depth_mm": 100, "kerf_mm": 0, "edge_mm": 0}
    assert fill_shelves([(20, 60)], lie="flat", **asked)[0][0].turn_deg == 90
    assert fill_shelves([(20, 60)], lie="upright", **asked)[0][0].turn_deg == 0
    assert fill_shelves([(20, 60)], lie="upright", columns=True, **asked)[0][0].turn_deg == 90


def test_what_goes_on_no_sheet_is_no_layout():
    assert fill_shelves([(20, 60), (120, 120)], width_mm=100, depth_mm=100, kerf_mm=0, edge_mm=0) == ()


def test_a_length_out_of_range_and_an_unknown_way_are_refused():
    for asked in ({"kerf_mm": -1.0, "edge_mm": 0.0}, {"kerf_mm": 0.0, "edge_mm": 0.0, "lie": "slanted"}):
        with pytest.raises(LayoutError) as refused:
            fill_shelves([(20, 60)], width_mm=100, depth_mm=100, **asked)
        assert refused.value.code == "LAY-001"
