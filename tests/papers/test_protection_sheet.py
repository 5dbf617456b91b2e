from __future__ import annotations

from dataclasses import replace

from papers.asked import papers_asked
from papers.reading import words
from traywright.base import Severity
from traywright.papers.marks import Area, Lettering
from traywright.papers.protection_sheet import protection_sheet
from traywright.papers.signs import placed_sign
from traywright.papers.told import told


def test_both_rates_have_their_own_figure_number():
    text = words(protection_sheet(papers_asked()).content)
    assert "70.0 / 81.0 G-0001 / G-0002" in text
    assert "0.62 / 0.71 G-0004 / G-0003" in text, "numbers stand in the order of the values"


def test_a_negative_number_of_a_finding_has_a_true_minus_and_ids_keep_their_hyphen():
    one = papers_asked().findings[0]
    parameters = dict(one.parameters) | {"peak": "-27.1", "part": "B1-2"}
    lines = told(replace(one, parameters=tuple(sorted(parameters.items()))))
    assert "−27.1" in lines.what
    assert "B1-2" in lines.what


def test_no_sign_reaches_over_the_line_above_it():
    for severity in Severity:
        for letter in ("A", "AM"):
            marks = placed_sign(severity, letter, 4.7)
            areas = [y for one in marks if isinstance(one, Area) for ring in one.rings_mm for _, y in ring]
            discs = [one.centre_mm[1] + one.radius_mm for one in marks if not isinstance(one, Area | Lettering)]
            assert -1.2 < max(areas + discs) < 0.0


def test_without_falls_the_sheet_says_so_and_keeps_its_cautions():
    asked = papers_asked(stops=0)
    figures = tuple(one for one in asked.figures if not one.path.startswith("protection/block/"))
    text = words(protection_sheet(replace(asked, figures=figures)).content)
    assert "Falls are not calculated" in text
    assert "Inspect every return" in text
    assert "Who answers for what" in text
