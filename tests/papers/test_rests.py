from __future__ import annotations

from dataclasses import replace

from papers.asked import figure, papers_asked
from papers.reading import words
from traywright.papers.protection_sheet import protection_sheet
from traywright.papers.rests import drop_heights

ROWS = ("ISTA 1A/19-28", "ISTA 1A/10-19")


def with_drops():
    asked = papers_asked()
    fall = figure("protection/block/under/460/gap/slow", 3.0, "mm")
    refs = tuple(f"table:drop_heights#{row}.drop_mm" for row in ROWS)
    return replace(asked, figures=(*asked.figures, replace(fall, inputs=refs)))


def test_drop_heights_are_those_that_the_falls_stand_on():
    assert [one.value for one in drop_heights(with_drops())] == [460.0, 610.0]
    assert drop_heights(papers_asked()) == ()
    told = words(protection_sheet(with_drops()).content)
    assert "drop height, ISTA 1A/19-28 460.0 mm published" in told


def test_lifting_and_lid_stand_on_the_sheet():
    asked = papers_asked()
    more = (
        figure("design/pack/gap", 2.0, "mm"),
        figure("design/pack/gap_spread", 2.04, "mm"),
        figure("protection/lift/pallet/index", 1.004, "ratio"),
    )
    told = words(protection_sheet(replace(asked, figures=(*asked.figures, *more))).content)
    assert "gap under the lid 2.0 mm" in told
    assert "either way 2.1 mm" in told, "2.04 over a gap of 2 must not read 2.0"
    assert "lifting index at bench (at most 1) 1.20 G-0008" in told
    assert "lifting index at pallet (at most 1) 1.01" in told, "1.004 over a goal of 1 must not read 1.00"


def test_lifting_that_is_not_there_says_so():
    asked = papers_asked()
    figures = tuple(one for one in asked.figures if not one.path.startswith("protection/lift/"))
    assert "lifting not calculated" in words(protection_sheet(replace(asked, figures=figures)).content)
