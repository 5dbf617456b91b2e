from __future__ import annotations

import math
from dataclasses import replace
from itertools import combinations

import pytest

from papers.asked import papers_asked
from papers.drawn import drawn_asked
from traywright.geometry import Region
from traywright.nesting import place_on_board
from traywright.papers.board_view import board_view
from traywright.papers.lettering import MM_PER_PT, width_of_mm
from traywright.papers.marks import Disc, Lettering


def spread(word):
    wide, high = width_of_mm(word.text, word.size_pt, word.voice), word.size_pt * MM_PER_PT
    left = word.at_mm[0] - {"left": 0.0, "middle": 0.5, "right": 1.0}[word.anchor] * wide
    return left, word.at_mm[1], left + wide, word.at_mm[1] + 0.7 * high


def words_on(columns, count):
    """A board with a row of pieces side by side: the words inside its edges."""
    asked = papers_asked(columns=columns, rows=2)
    setup, plan, _, _ = asked.made[0]
    first = setup.pieces[0]
    pieces = tuple(
        replace(first, id=f"B1.{number + 10}", at_mm=(10.0 + (60.0 + 50.0 * columns) * number, 40.0))
        for number in range(count)
    )
    cuts = tuple(
        replace(one, features=tuple(f"{piece.id}/{name.split('/')[1]}" for piece in pieces for name in one.features))
        for one in plan.operations
    )
    setup = replace(setup, pieces=pieces, bridges=(), blank=Region.rectangle(0.0, 0.0, 1000.0, 1000.0))
    marks = board_view(setup, replace(plan, operations=cuts), {one.id: one for one in asked.plies}, (180.0, 94.0))
    return [one for one in marks if isinstance(one, Lettering) and not one.turn_deg]


@pytest.mark.parametrize(("columns", "count", "named"), [(1, 8, 0), (3, 4, 4), (7, 2, 2)])
def test_no_word_on_the_board_stands_on_another(columns, count, named):
    words = words_on(columns, count)
    assert sum("B1." in one.text for one in words) == named, "a piece too small for its name stands in the table only"
    for one, other in combinations(words, 2):
        a, b = spread(one), spread(other)
        assert not (a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]), (one.text, other.text)


def drawer_view(**changed):
    """The drawer on its board."""
    asked = drawn_asked()
    setup, plan, _, _ = asked.made[0]
    return board_view(replace(setup, **changed), plan, {one.id: one for one in asked.plies}, (182.0, 94.0)), plan


def test_every_step_stands_in_or_beside_a_loop():
    marks, plan = drawer_view()
    told = {number for one in marks if isinstance(one, Lettering) for number in one.text.replace("·", ",").split(", ")}
    assert {str(number + 1) for number in range(len(plan.operations))} <= {one.strip() for one in told}


def test_a_name_stands_on_no_loop_where_a_piece_has_room():
    marks, _ = drawer_view()
    (name,) = (one for one in marks if isinstance(one, Lettering) and one.text.startswith("B1.1"))
    left, low, right, high = spread(name)
    asked = drawn_asked()
    setup = asked.made[0][0]
    scale = min((182.0 - 17.0) / 1200.0, (94.0 - 24.0) / 600.0)
    room = (182.0 - 1200.0 * scale) / 2.0
    field = Region.rectangle((left - room) / scale, (low - 12.5) / scale, (right - room) / scale, (high - 12.5) / scale)
    ply = asked.plies[0]
    for feature in ply.features:
        assert not place_on_board(feature.region, setup.pieces[0], ply).overlaps(field), feature.id


@pytest.mark.parametrize(("screw", "aside"), [((5.0, 5.0), True), ((60.0, 60.0), False)])
def test_the_datum_hides_no_screw(screw, aside):
    marks, _ = drawer_view(screws_mm=(screw,))
    discs = [one for one in marks if isinstance(one, Disc)]
    at_screw = next(one for one in discs if one.radius_mm == 1.7)
    # on the board, not in the key
    sign = next(one for one in discs if 2.4 < one.radius_mm < 3.3)
    assert math.dist(at_screw.centre_mm, sign.centre_mm) > at_screw.radius_mm + sign.radius_mm
    assert (sign.radius_mm < 3.0) == aside


def test_a_small_piece_is_drawn_larger_beside_its_board():
    asked = drawn_asked(is_solid=True)
    setup, plan, _, _ = asked.made[0]
    plies = {one.id: one for one in asked.plies}
    told = [
        one.text for one in board_view(setup, plan, plies, (182.0, 94.0), enlarged=True) if isinstance(one, Lettering)
    ]
    assert "B1.1, 1 : 4; the numbers are the steps" in told
    plain = [one.text for one in board_view(setup, plan, plies, (182.0, 94.0)) if isinstance(one, Lettering)]
    assert not any("numbers are the steps" in one for one in plain)


def test_no_word_of_a_drawing_stands_on_another():
    marks, _ = drawer_view()
    level = [one for one in marks if isinstance(one, Lettering) and not one.turn_deg]
    for one, other in combinations(level, 2):
        a, b = spread(one), spread(other)
        assert not (a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]), (one.text, other.text)
