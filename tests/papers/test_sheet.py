from __future__ import annotations

from dataclasses import replace

import pytest

from papers.asked import HEAD
from traywright.papers.blocks import lines_at, space
from traywright.papers.lettering import width_of_mm
from traywright.papers.marks import Area, Lettering
from traywright.papers.sheet import MARGIN_MM, PORTRAIT_MM, Sheet, body_mm, framed, paged, room_mm

SHEET = Sheet(size_mm=PORTRAIT_MM, name="Quote", lines=("a", "b"), print_name="offer", print_value="sha256:0123")


def told(marks):
    return [one.text for one in marks if isinstance(one, Lettering)]


def test_each_page_but_the_last_says_that_it_goes_on():
    bodies = paged([space(120.0)] * 5, SHEET, HEAD)
    assert len(bodies) == 5, "one of 120 fits on a page, two do not"
    assert 120.0 < room_mm(SHEET, HEAD) < 240.0
    assert [told(one).count("continues") for one in bodies] == [1] * (len(bodies) - 1) + [0]


def test_one_page_does_not_go_on():
    (body,) = paged([space(10.0)], SHEET, HEAD)
    assert "continues" not in told(body)


def test_nothing_of_the_flow_stands_on_the_line_that_says_it_goes_on():
    bodies = paged([lines_at(["x"], 8.0) for _ in range(300)], SHEET, HEAD)
    for body in bodies[:-1]:
        (onward,) = (one for one in body if one.text == "continues")
        lowest = min(one.at_mm[1] for one in body if one.text == "x")
        assert lowest - onward.at_mm[1] > 8.0 * 25.4 / 72.0, "a line of 8 pt fits between the two base lines"
        assert onward.at_mm[1] > body_mm(SHEET, HEAD)[0]


@pytest.mark.parametrize("count", [1, 3])
def test_foot_and_head_stand_on_every_page(count):
    for number, page in enumerate(framed(SHEET, HEAD, [()] * count), start=1):
        words = told(page)
        for wanted in ("Quote", "JOB-7 · C", "fails the screening check", "2026-11-25", f"{number} / {count}"):
            assert wanted in words


def test_a_long_number_never_hides_the_revision():
    (page,) = framed(SHEET, replace(HEAD, number="JOB-2026-000123-LONG-NUMBER", revision="AB"), [()])
    assert any(words.startswith("JOB-2026") and words.endswith("… · AB") for words in told(page))


def test_a_long_title_never_hides_the_customer():
    line = f"{'A title that says all ' * 12}· Example Valve Works"
    (page,) = framed(replace(SHEET, lines=(line,)), HEAD, [()])
    assert any(words.startswith("A title") and words.endswith("… · Example Valve Works") for words in told(page))


def test_four_modules_stay_empty_around_the_code():
    side = replace(SHEET, side=("run time", "1234.5 min", "feed alone 1234.5 min and more words"), big="B1.S1")
    (page,) = framed(side, HEAD, [()])
    code = max((one for one in page if isinstance(one, Area) and one.fill == "ink"), key=lambda one: len(one.rings_mm))
    spots = [spot for ring in code.rings_mm for spot in ring]
    left, right = min(x for x, _ in spots), max(x for x, _ in spots)
    low, high = min(y for _, y in spots), max(y for _, y in spots)
    module = min(abs(ring[1][1] - ring[2][1]) for ring in code.rings_mm)
    quiet = 4.0 * module
    for one in page:
        if isinstance(one, Lettering):
            ends = one.at_mm[0] + width_of_mm(one.text, one.size_pt, one.voice)
            beside = one.at_mm[0] > right + quiet or ends < left - quiet
            assert beside or one.at_mm[1] < low - quiet or one.anchor != "left", one.text
    assert PORTRAIT_MM[0] - MARGIN_MM - right >= quiet
    assert PORTRAIT_MM[1] - MARGIN_MM - high >= quiet
