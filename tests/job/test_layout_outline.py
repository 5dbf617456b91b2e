"""Outlines are read as they stand in their file; what is no one outline is refused.

The texts follow OGC 06-103r4 (simple features, well-known text, 2011), the drawings SVG 1.1 and DXF.
"""

from __future__ import annotations

import math
import time

import pytest

from traywright.base.errors import TraywrightError
from traywright.geometry import Contour
from traywright.job.layout_outline import names_of, read_outline, read_regions
from traywright.parts import contours_dxf

MOST_S = 60.0
SQUARE = "POLYGON ((100 50, 140 50, 140 80, 100 80, 100 50))"


def outline(told, unit="file"):
    return read_outline("one", str(told), length_unit=unit, most_s=MOST_S)


def svg(body, side=200):
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{side}mm" height="{side}mm" viewBox="0 0 {side} {side}">'
        f"{body}</svg>"
    )


def rectangle(left, front, right, back):
    corners = ((left, front, 0.0), (right, front, 0.0), (right, back, 0.0), (left, back, 0.0))
    return Contour(corners=corners, closed=True)


@pytest.mark.parametrize(
    "text",
    [SQUARE, SQUARE.lower(), f"  \n{SQUARE}\n", "MULTIPOLYGON (((100 50, 140 50, 140 80, 100 80, 100 50)))"],
)
def test_wkt_keeps_its_own_frame(text, tmp_path):
    file = tmp_path / "one.wkt"
    file.write_text(text, encoding="utf-8-sig")
    for told in (text, file):
        found = outline(told)
        assert found.region.bounds_mm == (100.0, 50.0, 140.0, 80.0)
        assert found.region.area_mm2 == 1200.0, "40 x 30 by hand"
        assert found.notes == ()


def test_holes_are_filled_and_told():
    found = outline("POLYGON ((0 0, 40 0, 40 40, 0 40, 0 0), (5 5, 9 5, 9 9, 5 5), (20 20, 30 20, 30 30, 20 20))")
    assert found.region.area_mm2 == 1600.0
    assert found.notes == ("one: 2 loops inside the outline count as filled.",)


def test_regions_keep_their_holes_and_may_lie_apart():
    ring = "((0 0, 40 0, 40 40, 0 40, 0 0), (10 10, 20 10, 20 20, 10 20, 10 10))"
    text = f"MULTIPOLYGON ({ring}, ((50 0, 60 0, 60 9, 50 0)))"
    found = read_regions("no_go", text, length_unit="mm", most_s=MOST_S)
    assert found.region.area_mm2 == 1600.0 - 100.0 + 45.0


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("POLYGON EMPTY", "JOB-051"),
        ("POLYGON ((0 0, 40 0", "JOB-051"),
        ("POLYGON ((0 0, 40 0, 40 40))", "JOB-051"),
        ("POLYGON ((0 0, nan 0, 40 40, 0 0))", "JOB-051"),
        ("POLYGON ((0 0, inf 0, 40 40, 0 0))", "JOB-051"),
        ("POLYGON Z ((0 0 1, 40 0 1, 40 40 1, 0 0 1))", "JOB-051"),
        ("POLYGON ((0 0, 40 0, 40 40, 0 0)) POINT (0 0)", "JOB-051"),
        ("POLYGON ((0 0, 40 40, 40 0, 0 40, 0 0))", "JOB-052"),
        ("POLYGON ((0 0, 40 0, 80 0, 0 0))", "JOB-052"),
        ("POLYGON ((0 0, 40 0, 20 0, 20 30, 0 0))", "JOB-052"),
        ("POLYGON ((0 0, 40 0, 40 40, 0 40, 0 0), (5 5, 9 9, 9 5, 5 9, 5 5))", "JOB-052"),
        ("MULTIPOLYGON (((0 0, 4 0, 4 4, 0 0)), ((10 0, 14 0, 14 4, 10 0)))", "JOB-053"),
        ("POLYGON ((0 0, 20000 0, 40 40, 0 0))", "JOB-054"),
        ("POLYGON ((1e8 0, 100000040 0, 100000040 40, 1e8 0))", "JOB-054"),
    ],
)
def test_wkt_that_is_no_outline(text, code, tmp_path):
    file = tmp_path / "one.wkt"
    file.write_text(text, encoding="utf-8")
    for told in (text, file):
        with pytest.raises(TraywrightError) as refused:
            outline(told)
        assert refused.value.code == code
        assert len(str(refused.value).splitlines()) == 3


def test_a_crossing_is_told_with_its_place():
    with pytest.raises(TraywrightError) as refused:
        outline("POLYGON ((0 0, 40 40, 40 0, 0 40, 0 0))")
    assert "(20.0, 20.0)" in str(refused.value), "the diagonals of a square meet in its middle"


@pytest.mark.parametrize(
    ("name", "content", "code"),
    [
        ("gone.wkt", None, "JOB-050"),
        ("empty.wkt", b"", "JOB-051"),
        ("letter.wkt", b"a letter", "JOB-051"),
        ("line.wkt", b"LINESTRING (0 0, 1 1)", "JOB-051"),
        ("signs.wkt", b"POLYGON ((0 0, \xff 0, 40 40, 0 0))", "JOB-051"),
        ("words.txt", b"0 0, 40 0, 40 40", "JOB-051"),
        ("part.step", b"ISO-10303-21;", "JOB-051"),
        ("no.dxf", b"a letter", "PART-028"),
    ],
)
def test_a_file_that_is_no_outline(tmp_path, name, content, code):
    if content is not None:
        (tmp_path / name).write_bytes(content)
    with pytest.raises(TraywrightError) as refused:
        outline(tmp_path / name)
    assert refused.value.code == code
    assert name in str(refused.value)


def test_a_folder_and_a_path_that_no_system_takes(tmp_path):
    for told in (tmp_path, "a\0b.wkt"):
        with pytest.raises(TraywrightError) as refused:
            outline(told)
        assert refused.value.code == "JOB-050"


def test_a_drawing_in_mm_keeps_its_frame_and_its_inner_loops_are_told(tmp_path):
    file = tmp_path / "plate.dxf"
    loops = [("0", rectangle(100.0, 50.0, 180.0, 90.0)), ("HOLES", rectangle(110.0, 60.0, 120.0, 70.0))]
    file.write_bytes(contours_dxf(loops))
    found = outline(file, unit="mm")
    assert found.region.bounds_mm == (100.0, 50.0, 180.0, 90.0)
    assert found.region.area_mm2 == 3200.0
    assert found.notes == ("plate.dxf: 1 loop inside the outline counts as filled.",)


def test_an_svg_in_mm(tmp_path):
    file = tmp_path / "disc.svg"
    file.write_text(svg('<circle cx="100" cy="100" r="40"/>'), encoding="utf-8")
    assert outline(file).region.area_mm2 == pytest.approx(math.pi * 1600.0, rel=1e-4)


@pytest.mark.parametrize(
    ("body", "code"),
    [
        ('<rect x="10" y="10" width="40" height="30"/><rect x="90" y="10" width="40" height="30"/>', "JOB-053"),
        ('<path d="M10,10 L90,90 L90,10 L10,90 Z"/>', "JOB-052"),
        ('<path d="M10,10 L90,10 L90,90 L30,40" fill="none" stroke="black"/>', "PART-094"),
    ],
)
def test_a_drawing_that_is_no_one_outline(tmp_path, body, code):
    file = tmp_path / "one.svg"
    file.write_text(svg(body), encoding="utf-8")
    with pytest.raises(TraywrightError) as refused:
        outline(file)
    assert refused.value.code == code


def test_regions_of_a_drawing_lie_apart_with_their_holes(tmp_path):
    file = tmp_path / "no_go.svg"
    ring = '<path d="M10,10 H50 V50 H10 Z M20,20 H30 V30 H20 Z" fill-rule="evenodd"/>'
    file.write_text(svg(ring + '<rect x="90" y="10" width="40" height="30"/>'), encoding="utf-8")
    found = read_regions("no_go", str(file), length_unit="mm", most_s=MOST_S)
    assert found.region.area_mm2 == 1600.0 - 100.0 + 1200.0


def test_a_unit_that_is_told_goes_first_and_one_that_is_none_is_refused(tmp_path):
    file = tmp_path / "plate.dxf"
    file.write_bytes(contours_dxf([("0", rectangle(0.0, 0.0, 8.0, 4.0))]))
    assert outline(file, unit="cm").region.size_mm == (80.0, 40.0)
    with pytest.raises(TraywrightError) as refused:
        outline(file, unit="ell")
    assert refused.value.code == "JOB-026"


def test_a_hundred_thousand_corners_are_read_in_time(tmp_path):
    count = 100_000
    turns = [2.0 * math.pi * number / count for number in range(count)]
    radii = [100.0 + 5.0 * math.sin(40.0 * turn) for turn in turns]
    points = [f"{r * math.cos(a):.6f} {r * math.sin(a):.6f}" for r, a in zip(radii, turns, strict=True)]
    start = time.process_time()
    found = outline(f"POLYGON (({', '.join([*points, points[0]])}))")
    assert time.process_time() - start < 10.0  # some 0.6 s on one core
    # r = R + e sin(n a) encloses pi (R^2 + e^2 / 2)
    assert found.region.area_mm2 == pytest.approx(math.pi * (100.0**2 + 5.0**2 / 2.0), rel=1e-4)


def test_names_are_unique():
    assert names_of(["a.wkt", "sub/a.svg", "a.wkt", SQUARE, SQUARE, "b.tar.dxf"]) == (
        *("a", "a_2", "a_3", "outline", "outline_2", "b.tar"),
    )
