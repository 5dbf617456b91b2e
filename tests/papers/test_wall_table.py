from __future__ import annotations

from dataclasses import replace

from papers.asked import figure, papers_asked
from papers.reading import words
from traywright.papers.grounds import book_of
from traywright.papers.marks import Area
from traywright.papers.protection_sheet import protection_sheet
from traywright.papers.wall_table import thinnest_walls, wall_bar, walls_section
from traywright.trays import Wall


def wall(towards, kept_mm, needed_mm, word=""):
    return Wall(towards=towards, kept_mm=kept_mm, needed_mm=needed_mm, gap_mm=kept_mm + 1.0, without_need=word)


def walled(*walls_by_cell):
    asked = papers_asked(columns=len(walls_by_cell), rows=1)
    cells = tuple(replace(cell, walls=one) for cell, one in zip(asked.trays[0].cells, walls_by_cell, strict=True))
    return replace(asked, trays=(replace(asked.trays[0], cells=cells),))


def four(*kept_mm, needed_mm=40.0):
    towards = ("T1.C9", "rim:front", "rim:left", "T1.C8")
    return tuple(wall(one, kept, needed_mm) for one, kept in zip(towards, kept_mm, strict=True))


def test_the_wall_with_most_missing_is_shown_once_a_direction():
    found = thinnest_walls(walled(four(30.0, 50.0, 41.0, 39.0), four(29.0, 51.0, 42.0, 39.5)))
    told = [(one.way, one.cell, one.wall.kept_mm) for one in found]
    assert told == [
        ("back", "T1.C2", 29.0),
        ("front", "T1.C1", 50.0),
        ("left", "T1.C1", 41.0),
        ("right", "T1.C1", 39.0),
    ]


def test_a_wall_that_no_thickness_makes_good_comes_before_one_that_is_thin():
    thin, hopeless = wall("rim:left", 5.0, 40.0), wall("rim:left", 60.0, None, "no thickness")
    (one,) = thinnest_walls(walled((thin,), (hopeless,)))
    assert one.wall == hopeless


def test_a_wall_without_a_need_does_not_hide_one_that_is_short():
    unknown, thin = wall("rim:left", 1.0, None, "not calculated"), wall("rim:left", 39.0, 40.0)
    (one,) = thinnest_walls(walled((unknown,), (thin,)))
    assert one.wall == thin


def test_what_is_missing_is_hatched_and_nothing_else():
    def red(marks):
        return [one for one in marks if isinstance(one, Area) and one.ink == "red"]

    (missing,) = red(wall_bar(15.0, 60.0, 20.0))
    xs = sorted({round(x, 6) for x, _ in missing.rings_mm[0]})
    assert xs == [5.0, 20.0], "15 of 60 is a quarter of the bar"
    assert red(wall_bar(60.0, 15.0)) == []
    assert wall_bar(60.0, None) == ()


def test_the_sheet_tells_kept_rounded_down_and_needed_with_the_figure():
    asked = walled(four(39.999, 50.0, 41.0, 60.0))
    path = "design/block/wall/back"
    asked = replace(
        asked, figures=(*asked.figures, figure(path, 39.999, "mm")), numbers=(*asked.numbers, (path, "G-0099"))
    )
    told = words(protection_sheet(asked).content)
    assert "39.9 G-0099" in told, "39.999 against 40 must not read 40.0"
    assert "T1.C1 and rim front" in told


def test_a_figure_of_another_wall_is_not_shown_beside_this_one():
    asked = walled(four(30.0, 50.0, 41.0, 60.0))
    path = "design/block/wall/back"
    asked = replace(
        asked, figures=(*asked.figures, figure(path, 31.0, "mm")), numbers=(*asked.numbers, (path, "G-0099"))
    )
    assert "G-0099" not in words(protection_sheet(asked).content)


def test_pads_alone_have_no_table():
    assert walls_section(walled(()), 180.0, book_of(papers_asked())) == ()
