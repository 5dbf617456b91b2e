"""The picture of a layout is true to scale, and each number stands where its outline does."""

from __future__ import annotations

import re
from xml.etree import ElementTree as ET

import pytest

from traywright.geometry import Region
from traywright.layout import Container, Kind, LayoutAsked, NoGo, Offer, Placement, RowSlot, Sides, Slot, Spacing
from traywright.papers import layout_picture
from traywright.papers.inks import INKS
from traywright.papers.layout_picture import loading_rows, placed

SVG = "{http://www.w3.org/2000/svg}"


def question(*kinds, width_mm=600.0, depth_mm=400.0, no_go=(), wall=None):
    wall = wall or Sides.all_round(8.0)
    return LayoutAsked(
        kinds=kinds or (Kind(id="plate", outline=Region.rectangle(0.0, 0.0, 80.0, 40.0)),),
        container=Container(width_mm=width_mm, depth_mm=depth_mm, no_go=no_go),
        spacing=Spacing(wall=wall, rim=Sides.all_round(10.0)),
    )


def offer(name="regular", placements=(), **told):
    known = {"bound": 40, "proven": False, "rows": 0, "slots": (), "least_wall_mm": 8.0, "fill_ratio": 0.5}
    return Offer(**({"name": name, "placements": placements, "kits": len(placements)} | known | told))


def grid(columns, rows, step_mm=(90.0, 50.0), kind="plate"):
    dx, dy = step_mm
    return tuple(Placement(kind, 10.0 + dx * x, 10.0 + dy * y, 0.0) for y in range(rows) for x in range(columns))


def drawn(asked, regular, most=None):
    content = layout_picture(asked, (regular, most or offer("most", regular.placements)))
    return ET.fromstring(content)  # noqa: S314  # reason: our own bytes


def words(tree):
    return [one.text for one in tree.iter(f"{SVG}text")]


def filled(tree, ink):
    return [one for one in tree.iter(f"{SVG}path") if one.get("fill") == INKS[ink]]


def box_of(path):
    numbers = [tuple(map(float, pair.split(","))) for pair in re.findall(r"[-\d.]+,[-\d.]+", path.get("d"))]
    xs, ys = zip(*numbers, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


@pytest.mark.parametrize("count", [1, 12])
def test_every_outline_is_drawn_to_scale_with_its_number(count):
    places = grid(4, 3)[:count]
    tree = drawn(question(), offer(placements=places, rows=(count + 3) // 4))
    boxes = [box_of(one) for one in filled(tree, "part")]
    assert len(boxes) == 2 * count
    trays = [box_of(one) for one in filled(tree, "foam")]
    scale = (trays[0][2] - trays[0][0]) / 600.0
    assert scale == pytest.approx(0.2), "1 : 5 by ISO 5455"
    for left, high, right, low in boxes:
        assert (right - left, low - high) == pytest.approx((80.0 * scale, 40.0 * scale), abs=0.002)
    first = boxes[0]
    assert (first[0] - trays[0][0], trays[0][3] - first[3]) == pytest.approx((10.0 * scale, 10.0 * scale), abs=0.002)
    assert [words(tree).count(str(number + 1)) for number in range(count)] == [2] * count


def test_sizes_walls_and_counts_are_written():
    told = words(drawn(question(), offer(placements=grid(4, 3), rows=3), offer("most", grid(4, 4), proven=True)))
    assert {"600", "400", "Regular rows", "Most found", "12 of at most 40, in 3 rows", "16 of at most 40"} <= set(told)
    assert any("Wall 8 mm, rim 10 mm, 1 : 5" in one for one in told)
    assert any(one.startswith("The other offer holds more.") for one in told)
    assert any(one.startswith("No layout holds more.") for one in told)


def test_walls_by_sides_are_written_in_full():
    wall = Sides(right_mm=1.0, back_mm=2.0, left_mm=3.0, front_mm=4.5)
    told = words(drawn(question(wall=wall), offer(placements=grid(1, 1))))
    assert any("right 1, back 2, left 3, front 4.5" in one for one in told)


def test_a_tray_where_nothing_goes_in():
    empty = offer(bound=0, proven=True, least_wall_mm=float("inf"))
    tree = drawn(question(), empty, offer("most", bound=0, proven=True, least_wall_mm=float("inf")))
    assert filled(tree, "part") == []
    assert words(tree).count("None found") == 2
    assert words(tree).count("With its walls it is too large for this tray.") == 2


def test_slots_and_closed_regions_are_hatched_and_explained():
    kind = Kind(
        id="shaft",
        outline=Region.rectangle(0.0, 0.0, 80.0, 40.0),
        slots=(RowSlot(line_mm=20.0, width_mm=20.0, reach_mm=12.0),),
    )
    no_go = NoGo(region=Region.rectangle(500.0, 300.0, 700.0, 500.0), wall_mm=5.0)
    asked = question(kind, no_go=(no_go,))
    copies = tuple(Placement("shaft", 30.0 + 110.0 * x, 30.0, 0.0) for x in range(3))
    running = offer(placements=copies, rows=1, slots=(Slot(18.0, 40.0, 350.0, 60.0),))
    tree = drawn(asked, running, offer("most", copies))
    # one run on the left; on the right each copy has two ends of its own, drawn together
    assert len(filled(tree, "foam-2")) == 1 + 3
    lines = [one for one in tree.iter(f"{SVG}path") if one.get("fill") == "none"]
    assert any(one.get("stroke") == INKS["red"] for one in lines)
    assert any(one.get("stroke") == INKS["ink-2"] for one in lines)
    legend = " ".join(words(tree))
    assert "Slanted lines: lift slots." in legend
    assert "Crossed lines: nothing may enter." in legend
    closed = box_of(next(one for one in filled(tree, "sheet") if one.get("stroke") == INKS["red"]))
    tray = box_of(filled(tree, "foam")[0])
    assert closed[2] == pytest.approx(tray[2]), "cut off at the rim"


def test_kinds_are_told_by_letters_not_by_colour():
    kinds = (
        Kind(id="plate", outline=Region.rectangle(0.0, 0.0, 80.0, 40.0)),
        Kind(id="pin", outline=Region.disc((0.0, 0.0), 25.0), in_kit=2),
    )
    copies = (
        Placement("plate", 10.0, 10.0, 0.0),
        Placement("pin", 150.0, 40.0, 0.0),
        Placement("pin", 230.0, 40.0, 90.0),
    )
    tree = drawn(question(*kinds), offer(placements=copies, kits=1, rows=1))
    assert {"1a", "2b", "3b", "3 of at most 40, in one row, kits: 1"} <= set(words(tree))
    assert "a: plate, 1 in a kit; b: pin, 2 in a kit." in " ".join(words(tree))


def test_of_five_hundred_small_outlines_the_ends_of_each_row_are_numbered():
    kind = Kind(id="block", outline=Region.rectangle(0.0, 0.0, 16.0, 12.0))
    copies = grid(28, 18, (20.0, 20.0), "block")[:500]
    tree = drawn(question(kind), offer(placements=copies, rows=18))
    assert len(filled(tree, "part")) == 1000
    told = words(tree)
    assert {"1", "28", "29", "56", "500"} <= set(told)
    assert "14" not in told
    places = [(one.text, float(one.get("x")), float(one.get("y"))) for one in tree.iter(f"{SVG}text")]
    numbers = [one for one in places if one[0].isdigit() and one[0] not in {"600", "400"}]
    assert len({(x, y) for _, x, y in numbers}) == len(numbers)


def test_no_letters_are_smaller_than_eight_points():
    tree = drawn(question(), offer(placements=grid(6, 6), rows=6))
    least = min(float(one.get("font-size")) for one in tree.iter(f"{SVG}text"))
    assert least >= 8.0 * 25.4 / 72.0 - 0.001, "a point is 1/72 inch"


def test_rows_are_loaded_from_the_front_and_each_from_the_left():
    asked = question()
    mixed = tuple(reversed(grid(3, 2)))
    order = [mixed[one] for row in loading_rows(asked, offer(placements=mixed, rows=2)) for one in row]
    assert order == list(grid(3, 2))


def test_rows_along_y_are_loaded_from_the_left():
    asked = question()
    copies = tuple(
        Placement("plate", 10.0 + 90.0 * x, 10.0 + 50.0 * y + 25.0 * (x % 2), 0.0) for y in (0, 1, 2) for x in (0, 1)
    )
    rows = loading_rows(asked, offer(placements=copies, rows=2))
    assert [[copies[one].x_mm for one in row] for row in rows] == [[10.0] * 3, [100.0] * 3]


def test_copies_on_one_slot_are_one_row_however_they_stand_to_it():
    kind = Kind(
        id="arm",
        outline=Region.rectangle(-40.0, -20.0, 40.0, 60.0),
        slots=(RowSlot(line_mm=0.0, width_mm=10.0),),
    )
    # head to tail: the middles of one row lie 40 mm apart, those of neighbouring rows 45 mm
    copies = tuple(
        Placement("arm", 60.0 + 90.0 * x, line, 180.0 * (x % 2)) for line in (160.0, 75.0) for x in (2, 0, 1)
    )
    slots = tuple(Slot(20.0, line - 5.0, 280.0, line + 5.0) for line in (160.0, 75.0))
    rows = loading_rows(question(kind), offer(placements=copies, rows=2, slots=slots))
    assert [[copies[one].x_mm for one in row] for row in rows] == [[60.0, 150.0, 240.0]] * 2
    assert [copies[row[0]].y_mm for row in rows] == [75.0, 160.0]


def test_head_to_tail_in_one_row_is_one_row():
    kind = Kind(id="wedge", outline=Region.polygon([(0.0, 0.0), (60.0, 0.0), (30.0, 50.0)]))
    copies = tuple(
        Placement("wedge", 10.0 + 45.0 * x + (60.0 if x % 2 else 0.0), 60.0 if x % 2 else 10.0, 180.0 * (x % 2))
        for x in range(6)
    )
    assert len(loading_rows(question(kind), offer(placements=copies, rows=1))) == 1


def test_a_turned_copy_stands_about_its_origin():
    at = Placement("plate", 100.0, 50.0, 180.0)
    assert placed(Region.rectangle(0.0, 0.0, 80.0, 40.0), at).bounds_mm == (20.0, 10.0, 100.0, 50.0)


def test_the_same_question_gives_the_same_bytes():
    asked, told = question(), (offer(placements=grid(4, 3), rows=3), offer("most", grid(4, 3)))
    assert layout_picture(asked, told) == layout_picture(asked, told)
