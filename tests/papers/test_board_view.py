from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest

from papers.asked import papers_asked
from traywright.geometry import Region
from traywright.papers.board_view import board_view
from traywright.papers.lettering import MM_PER_PT, width_of_mm
from traywright.papers.marks import Lettering


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
    marks = board_view(setup, replace(plan, operations=cuts), {one.id: one for one in asked.plies}, 180.0)
    return [one for one in marks if isinstance(one, Lettering) and not one.turn_deg]


@pytest.mark.parametrize(("columns", "count", "named"), [(1, 8, 0), (3, 4, 4), (7, 2, 2)])
def test_no_word_on_the_board_stands_on_another(columns, count, named):
    words = words_on(columns, count)
    assert sum("B1." in one.text for one in words) == named, "a piece too small for its name stands in the table only"
    for one, other in combinations(words, 2):
        a, b = spread(one), spread(other)
        assert not (a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]), (one.text, other.text)
