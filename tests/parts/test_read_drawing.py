"""Unit, layers and words of a drawing; the drawer of the examples."""

from __future__ import annotations

import math
from collections import Counter
from pathlib import Path

import pytest

from parts.dxf_text import areas, circle, codes, drawing, groups, line, polyline, read, rectangle
from traywright.base import message, text
from traywright.base.errors import PartError
from traywright.parts import is_named

DRAWER = Path(__file__).parents[2] / "examples" / "drawer_as_drawn" / "files" / "drawer_as_drawn.dxf"


def drawer(**how):
    return read(DRAWER.read_bytes(), **{"length_unit": "file", **how})


def test_the_drawer_has_twenty_two_loops():
    drawn = drawer()
    # outline; four capsules; handle, case; head; slot and four notches; eight sockets; the rule
    assert len(drawn.loops) == 1 + 4 + 2 + 1 + 5 + 8 + 1
    assert not drawn.lines
    assert all(one.contour.true_arcs for one in drawn.loops)
    assert drawn.layers == ("DEPTH_12", "DEPTH_14", "DEPTH_18", "DEPTH_20", "DEPTH_24", "DEPTH_6", "OUTLINE")


def test_the_drawer_has_its_areas():
    by_layer = Counter()
    for one in drawer().loops:
        by_layer[one.layer] += one.contour.area_mm2
    corner = 4.0 - math.pi  # what a round corner of radius 1 leaves of four squares
    sockets = sum(d * d for d in (17, 19, 21, 23, 25, 27, 30, 33)) * math.pi / 4.0
    want = {
        "OUTLINE": 558.0 * 398.0 - corner * 100.0,
        "DEPTH_6": 240.0 * 28.0,
        "DEPTH_12": sockets,
        "DEPTH_14": 4.0 * (176.0 * 24.0 + 144.0 * math.pi),
        "DEPTH_18": 220.0 * 28.0 + 230.0 * 80.0 - corner * 9.0,
        "DEPTH_20": 26.0 * 160.0 + 4.0 * 169.0 * math.pi,
        "DEPTH_24": 34.0 * 110.0,
    }
    assert dict(by_layer) == pytest.approx(want, abs=1e-6)


def test_the_drawer_asks_two_questions():
    unit, layers = drawer().questions
    assert (unit.field, unit.taken) == ("drawing.length_unit", "mm")
    assert dict(unit.parameters)["as_mm"] == "558.0 x 398.0"
    assert dict(unit.parameters)["as_inch"] == "14173.2 x 10109.2"
    assert (layers.field, layers.taken) == ("drawing.leave_out", "DIM, TEXT")
    for one in (unit, layers):
        assert text("question", one.asks, **dict(one.parameters))
    assert [(one.layer, one.drawn_as, one.count) for one in drawer().left_out] == [
        ("TEXT", "TEXT", 1),
        ("DIM", "LINE", 1),
    ]


def test_the_drawer_tells_its_gap_and_its_doubled_line():
    found = {one.code: one for one in drawer().findings}
    assert sorted(found) == ["PART-035", "PART-036"]
    gap, double = dict(found["PART-035"].parameters), dict(found["PART-036"].parameters)
    assert (gap["gap_mm"], gap["x_mm"], gap["y_mm"]) == (0.3, 300.0, 130.15)
    assert (double["length_mm"], double["x_mm"], double["y_mm"]) == (28.0, 540.0, 144.0)


def test_what_is_answered_is_not_asked():
    drawn = drawer(length_unit="mm", leave_out=("DIM", "TEXT"))
    assert not drawn.questions
    assert drawn.loops == drawer().loops
    assert [one.field for one in drawer(leave_out=("dim", "text")).questions] == ["drawing.length_unit"]


def square(size, unit=None, layer="CUT"):
    corners = [(0.0, 0.0, 0.0), (size, 0.0, 0.0), (size, size, 0.0), (0.0, size, 0.0)]
    return drawing(polyline(corners, layer), unit=unit)


@pytest.mark.parametrize(
    ("size", "unit", "mm"), [(558.0, "mm", 558.0), (20.0, "mm", 20.0), (12.0, "inch", 304.8), (0.4, "m", 400.0)]
)
def test_a_unit_that_is_not_told_is_read_off_the_size_and_asked(size, unit, mm):
    drawn = read(square(size), length_unit="file")
    assert drawn.unit_read == unit
    assert drawn.loops[0].contour.bounds_mm[2] == pytest.approx(mm, abs=1e-9)
    assert [(one.field, one.taken) for one in drawn.questions] == [("drawing.length_unit", unit)]
    assert not drawn.findings


@pytest.mark.parametrize(
    ("number", "size", "unit"), [(4, 558.0, "mm"), (1, 12.0, "inch"), (5, 30.0, "cm"), (6, 0.4, "m")]
)
def test_a_unit_that_is_told_is_taken(number, size, unit):
    drawn = read(square(size, number), length_unit="file")
    assert (drawn.unit_told, drawn.unit_read) == (unit, unit)
    assert not drawn.questions
    assert not drawn.findings


def test_an_inch_is_exact():
    assert areas(square(10.0), length_unit="inch") == [64516.0]


def test_a_told_unit_that_cannot_be_is_asked():
    # 300 units said to be metres
    drawn = read(square(300.0, 6), length_unit="file")
    assert (drawn.unit_told, drawn.unit_read) == ("m", "mm")
    assert [one.taken for one in drawn.questions] == ["mm"]
    assert codes(drawn) == ["PART-040"]
    # a little larger than the board is told when it is laid, not here
    assert read(square(1300.0, 4), length_unit="file").unit_read == "mm"
    assert not read(square(6.0, 4), length_unit="file").questions
    assert read(square(4.0, 4), length_unit="file").unit_read == "inch"


def test_a_size_that_fits_in_no_unit_is_refused():
    with pytest.raises(PartError) as refused:
        read(square(5000.0), length_unit="file")
    assert refused.value.code == "PART-034"
    assert "1200 x 600" in refused.value.message.why
    assert areas(square(5000.0), length_unit="mm") == [25e6]


def test_curves_are_as_fine_in_inches():
    oval = groups((0, "ELLIPSE"), (8, "CUT"), (10, 0.0), (20, 0.0), (30, 0.0), (11, 3.0), (21, 0.0), (31, 0.0))
    oval += groups((40, 0.5), (41, 0.0), (42, 2.0 * math.pi))
    assert areas(drawing(oval), length_unit="inch") == [pytest.approx(4.5 * math.pi * 645.16, abs=0.02)]
    (found,) = read(drawing(oval), length_unit="inch").loops
    off = max(abs(math.hypot(x / 76.2, y / 38.1) - 1.0) * 38.1 for x, y, _ in found.contour.corners)
    assert off <= 0.002


def test_words_on_a_layer_that_is_cut_leave_the_layer_in():
    word = groups((0, "TEXT"), (8, "CUT"), (10, 1.0), (20, 1.0), (40, 5.0), (1, "KEY"))
    drawn = read(drawing(*rectangle(0, 0, 60, 40), word))
    assert len(drawn.loops) == 1
    assert not drawn.questions
    assert [(one.layer, one.drawn_as) for one in drawn.left_out] == [("CUT", "TEXT")]


def test_layers_that_the_shop_names_are_cut_whatever_they_are_called():
    content = drawing(*rectangle(0, 0, 60, 40), *rectangle(5, 5, 20, 20, "TEXT_3"))
    assert [one.layer for one in read(content).loops] == ["CUT"]
    kept = read(content, keep_layers=("text_3",))
    assert [one.layer for one in kept.loops] == ["CUT", "TEXT_3"]
    assert not kept.questions


def test_a_layer_to_leave_out_that_is_not_there_is_told():
    drawn = read(drawing(*rectangle(0, 0, 60, 40)), leave_out=("CAT",))
    (slip,) = drawn.findings
    assert (slip.code, dict(slip.parameters)["near"]) == ("PART-046", "CUT")


def test_nothing_left_to_cut_is_refused():
    with pytest.raises(PartError) as refused:
        read(drawing(line((0, 0), (90, 0), "DIM")))
    assert refused.value.code == "PART-033"


@pytest.mark.parametrize(
    ("name", "kind", "named"),
    [
        ("DIM", "leave_out", True),
        ("A-DIM_25", "leave_out", True),
        ("Bemaßung", "leave_out", True),
        ("DIMPLE", "leave_out", False),
        ("DEPTH_14", "leave_out", False),
        ("OUTLINE", "outline", True),
        ("Aussenkontur 1", "outline", True),
        ("Layer 1", "no_depth", True),
        ("Ebene2", "no_depth", True),
        ("TIEFE_8", "no_depth", False),
    ],
)
def test_words_in_the_names_of_layers(name, kind, named):
    assert is_named(name, kind) is named


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (b"", "PART-028"),
        (b"   \r\n", "PART-028"),
        (b"AC1032\x00\x00\x00", "PART-028"),
        (b"%PDF-1.7\n%", "PART-028"),
        (b"PK\x03\x04rest", "PART-028"),
        (b"Dear customer, no drawing is enclosed.", "PART-028"),
        (b"\x00\xff" * 500, "PART-028"),
    ],
)
def test_what_is_no_drawing_is_refused(content, code):
    with pytest.raises(PartError) as refused:
        read(content)
    assert refused.value.code == code
    assert all((refused.value.message.what, refused.value.message.why, refused.value.message.fix))


def test_every_finding_has_its_sentence():
    content = drawing(*rectangle(0, 0, 60, 40), line((0, 0), (60, 0)), line((0, 0), (80, 80)), circle((100, 0), 5.0))
    for one in read(content).findings:
        told = message(one.code, dict(one.parameters))
        assert "{" not in told.what + told.why + told.fix


def test_an_svg_is_read_by_what_it_holds():
    svg = b'<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">'
    svg += b'<rect width="60" height="40"/></svg>'
    assert areas(svg, length_unit="file") == [pytest.approx(2400.0)]
