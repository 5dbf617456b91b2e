from __future__ import annotations

import io
import math
import re
from dataclasses import replace
from functools import cache
from xml.etree import ElementTree as ET

import ezdxf
import pytest

from papers.drawn import a_finding, drawn_asked
from papers.reading import pages, words
from traywright.base.errors import PaperError
from traywright.geometry import Contour
from traywright.papers import draw_drawn_papers
from traywright.papers.draw_drawn import layer_names, loops_dxf

BANNED = re.compile(r"\b(safe|safely|certified|protects|guaranteed?|proof)\b", re.IGNORECASE)
PDFS = ("papers/customer.pdf", "papers/machine-B1-S1.pdf")


@cache
def drawn(*, is_solid=False):
    return {one.file: one for one in draw_drawn_papers(drawn_asked(is_solid=is_solid))}


def machine_words(asked):
    return words(next(one.content for one in draw_drawn_papers(asked) if one.name == "machine"))


def test_every_paper_is_there():
    assert sorted(drawn()) == sorted([*PDFS, "papers/loops.dxf", "papers/overview.svg"])


@pytest.mark.parametrize("is_solid", [False, True])
def test_same_question_same_bytes(is_solid):
    again = {one.file: one.content for one in draw_drawn_papers(drawn_asked(is_solid=is_solid))}
    assert again == {name: one.content for name, one in drawn(is_solid=is_solid).items()}


@pytest.mark.parametrize("name", PDFS)
@pytest.mark.parametrize("is_solid", [False, True])
def test_one_page_each(name, is_solid):
    told = pages(drawn(is_solid=is_solid)[name].content)
    assert len(told) == 1
    assert "1 / 1" in told[0]
    assert "DRAWER-3 · A" in told[0]
    assert not BANNED.search(told[0])


def test_the_machine_page_tells_what_the_operator_needs():
    told = words(drawn()["papers/machine-B1-S1.pdf"].content)
    for wanted in (
        "B1.S1",
        "DRAWER-3-B1-S1.nc, run once",
        "1200 × 600 × 30 mm",
        "dark (top) side up",
        "stop if it is outside 29 to 31 mm",
        "zones open: A",
        "T1 = flat cutter, Ø 8 mm, reach 35 mm",
        "X0 Y0 at the board's front left corner; Z0 on the bed",
        "Read back true",
        "vacuum fell",
        "Dust extraction on",
    ):
        assert wanted in told
    assert "Hot chips" not in told


def test_a_solid_has_its_own_lines_and_none_of_foam():
    told = words(drawn(is_solid=True)["papers/machine-B1-S1.pdf"].content)
    for wanted in ("Ways down are ramps of 5° at most", "of skin stays until the end", "Hot chips weld", "screw loose"):
        assert wanted in told
    for unwanted in ("vacuum", "zones", "foam", "dark"):
        assert unwanted not in told


def test_a_solid_that_makes_dust_says_so():
    asked = drawn_asked(is_solid=True)
    assert "fine dust" not in machine_words(asked)
    wood = replace(asked, solid=replace(asked.solid, welds=False))
    assert "Dust extraction on, mask on" in machine_words(wood)


def test_a_solid_without_screws_is_held_by_vacuum():
    asked = drawn_asked(is_solid=True)
    setup, *rest = asked.made[0]
    told = machine_words(replace(asked, made=((replace(setup, screws_mm=()), *rest),)))
    assert "zones open: A" in told
    assert "vacuum fell" in told


@pytest.mark.parametrize(
    ("datum", "zero", "wanted"),
    [
        ("front left pin", "top", "X0 Y0 at the front left pin; Z0 on the top of the board"),
        ("front left fence", "bed", "X0 Y0 where the fences meet, front left; Z0 on the bed"),
    ],
)
def test_zero_is_told_in_words(datum, zero, wanted):
    asked = drawn_asked()
    setup, *rest = asked.made[0]
    changed = replace(asked, made=((replace(setup, datum=datum, z_zero=zero), *rest),))
    assert wanted in machine_words(changed)


@pytest.mark.parametrize(
    ("keep", "machine", "customer"),
    [
        ("floor", "floors stay as printed, depths change by −1.4 mm", "floors stay at the height of the nominal board"),
        ("depth", "depths stay as printed, floors change by −1.4 mm", "depths stay as asked, floors change by −1.4 mm"),
    ],
)
def test_a_board_off_its_nominal_thickness(keep, machine, customer):
    asked = drawn_asked()
    trays = tuple(replace(one, tray=replace(one.tray, keep=keep)) for one in asked.trays)
    papers = draw_drawn_papers(replace(asked, trays=trays, measured_mm=28.6))
    told = {one.name: words(one.content) for one in papers if one.file.endswith(".pdf")}
    assert f"Board 28.6 mm (nominal 30): {machine}" in told["machine"]
    assert customer in told["customer"]


def test_a_false_read_back_stands_on_the_first_page():
    asked = drawn_asked(findings=tuple(a_finding(number) for number in range(40)))
    setup, plan, program, read = asked.made[0]
    long = replace(plan, operations=plan.operations * 4)
    papers = draw_drawn_papers(replace(asked, made=((setup, long, program, replace(read, true=False)),)))
    told = pages(next(one.content for one in papers if one.name == "machine"))
    assert "Read back NOT true: do not run." in told[0]


def test_seventeen_steps_still_stand_on_one_page():
    asked = drawn_asked(is_solid=True)
    setup, plan, program, read = asked.made[0]
    operations = tuple(plan.operations[number % len(plan.operations)] for number in range(17))
    papers = draw_drawn_papers(replace(asked, made=((setup, replace(plan, operations=operations), program, read),)))
    told = pages(next(one.content for one in papers if one.name == "machine"))
    assert len(told) == 1
    assert " 17 " in " ".join(told[0].split())


def test_a_depth_is_not_rounded_where_it_can_be_seen():
    asked = drawn_asked()
    setup, plan, program, read = asked.made[0]
    first = replace(plan.operations[0], level_mm=23.65)
    changed = replace(plan, operations=(first, *plan.operations[1:]))
    told = machine_words(replace(asked, made=((setup, changed, program, read),)))
    assert "23.65" in told
    assert "6.35" in told


@pytest.mark.parametrize("name", PDFS)
def test_draft_invented_and_undated_are_seen(name):
    head = {"invented": True, "draft": True, "dated": ""}
    papers = {one.file: one for one in draw_drawn_papers(drawn_asked(head=head))}
    told = words(papers[name].content)
    assert "[invented demo data: no order may rest on it]" in told
    assert "draft: not asked" in told
    assert "not dated" in told
    assert b"[invented demo data: no order may rest on it]" in papers["papers/overview.svg"].content


def test_a_letter_without_a_sign_is_an_error():
    with pytest.raises(PaperError) as told:
        draw_drawn_papers(drawn_asked(head={"customer": "例"}))
    assert told.value.code == "PAP-001"


def areas(content):
    """Area of each closed polyline by layer, from its corners and bulges alone."""
    found = {}
    for one in ezdxf.read(io.StringIO(content.decode())).modelspace():
        assert one.dxftype() == "LWPOLYLINE"
        assert one.closed
        corners = [tuple(corner) for corner in one.get_points("xyb")]
        total = 0.0
        for (ax, ay, bulge), (bx, by, _) in zip(corners, [*corners[1:], corners[0]], strict=True):
            total += (ax * by - bx * ay) / 2.0
            turn = 4.0 * math.atan(bulge)
            if turn:
                radius = math.dist((ax, ay), (bx, by)) / (2.0 * math.sin(turn / 2.0))
                total += radius * radius / 2.0 * (turn - math.sin(turn))
        found.setdefault(one.dxf.layer, []).append(abs(total))
    return found


def test_geometry_out_is_geometry_in():
    """By hand: a capsule is its straight part and a circle, a rounded rectangle lacks (4 - pi) r² in its corners."""
    found = areas(drawn()["papers/loops.dxf"].content)
    assert found["OUTLINE"] == pytest.approx([558.0 * 398.0 - (4.0 - math.pi) * 100.0], abs=0.01)
    assert found["DEPTH_14"] == pytest.approx([176.0 * 24.0 + math.pi * 144.0] * 4, abs=0.01)
    assert found["DEPTH_18"] == pytest.approx([220.0 * 28.0, 230.0 * 80.0 - (4.0 - math.pi) * 9.0], abs=0.01)
    assert found["DEPTH_24"] == pytest.approx([34.0 * 110.0], abs=0.01)
    assert found["DEPTH_20"] == pytest.approx([26.0 * 160.0, *[math.pi * 169.0] * 4], abs=0.01)
    wide = (17, 19, 21, 23, 25, 27, 30, 33)
    assert found["DEPTH_12"] == pytest.approx([math.pi * one * one / 4.0 for one in wide], abs=0.01)
    assert found["DEPTH_6"] == pytest.approx([240.0 * 28.0], abs=0.01)


def test_any_name_of_a_layer_can_be_written():
    names = ["a:b|c", "", "0", "DEPTH_6", "depth_6", "x" * 300, 'q"?*<>/\\;=`', "例"]
    loops = tuple((name, Contour.circle((40.0 * number, 0.0), 5.0)) for number, name in enumerate(names))
    found = areas(loops_dxf(replace(drawn_asked(), loops=loops)).content)
    assert len(found) == len(names), "two layers never become one"
    assert {"0", "DEPTH_6", "例"} <= set(found)
    assert layer_names(names)["0"] == "0", "a name that can stand stays"


def test_the_overview_shows_trays_and_boards():
    content = drawn()["papers/overview.svg"].content
    root = ET.fromstring(content)  # noqa: S314  # reason: our own file
    told = [one.text for one in root.iter("{http://www.w3.org/2000/svg}text")]
    assert "T1, 558 × 398 × 30 mm, 1 : 3; numbers are depths, mm" in told
    assert any(one.startswith("B1.S1, 1200 × 600 mm, cut once") for one in told)
    assert {"6", "12", "14", "18", "20", "24"} <= set(told)
    sizes = {float(one) for one in re.findall(rb'font-size="([0-9.]+)"', content)}
    assert min(sizes) >= round(8.0 * 25.4 / 72.0, 3)
    assert b"nan" not in content.lower()


def test_more_trays_than_the_overview_has_room_for_are_counted():
    asked = drawn_asked()
    first = asked.trays[0]
    trays = tuple(replace(first, tray=replace(first.tray, id=f"T{number}")) for number in range(1, 8))
    overview = next(one for one in draw_drawn_papers(replace(asked, trays=trays)) if one.name == "overview")
    assert b"3 more in result.json" in overview.content
