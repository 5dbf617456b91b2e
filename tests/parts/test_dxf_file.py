"""Areas by hand calculation; files by hand and by a library, against each other."""

from __future__ import annotations

import io
import itertools
import math

import ezdxf
import pytest

from parts.dxf_text import arc, areas, block, circle, codes, drawing, groups, insert, layer, line, polyline, read
from traywright.base.errors import PartError
from traywright.parts.dxf_file import dxf_strokes

EXACT = 1e-6  # of an area in mm2: double precision, and nothing else, parts us from hand calculation
HELD = 0.01  # of an area in mm2: what a curve as chords is held to

# a slot 60 x 20 with round ends: 40 x 20 and a circle of 10
SLOT = ((10.0, 0.0, 0.0), (50.0, 0.0, 1.0), (50.0, 20.0, 0.0), (10.0, 20.0, 1.0))
SLOT_MM2 = 800.0 + 100.0 * math.pi


def written(draw, *, unit=4, release="R2010", binary=False):
    made = ezdxf.new(release)
    made.header["$INSUNITS"] = unit
    draw(made)
    if binary:
        stream = io.BytesIO()
        made.write(stream, fmt="bin")
        return stream.getvalue()
    stream = io.StringIO()
    made.write(stream)
    return stream.getvalue().encode("utf-8")


def one_area(content):
    found = areas(content)
    assert len(found) == 1
    return found[0]


def test_bulges_arcs_and_circles_are_exact():
    assert one_area(drawing(polyline(SLOT))) == pytest.approx(SLOT_MM2, abs=EXACT)
    assert one_area(drawing(circle((30.0, 40.0), 13.0))) == pytest.approx(169.0 * math.pi, abs=EXACT)
    half = arc((0.0, 0.0), 25.0, 0.0, 180.0), line((-25.0, 0.0), (25.0, 0.0))
    assert one_area(drawing(*half)) == pytest.approx(312.5 * math.pi, abs=EXACT)
    # nearly a full turn: 300 degrees of a circle of 20, and its chord
    big = arc((0.0, 0.0), 20.0, 30.0, 330.0)
    ends = [(20.0 * math.cos(math.radians(one)), 20.0 * math.sin(math.radians(one))) for one in (30.0, 330.0)]
    turn = math.radians(300.0)
    want = 200.0 * (turn - math.sin(turn))
    assert one_area(drawing(big, line(*ends))) == pytest.approx(want, abs=EXACT)


def test_arcs_stay_arcs():
    (slot,) = read(drawing(polyline(SLOT))).loops
    assert slot.contour.true_arcs
    assert sorted(round(one.radius_mm, 9) for one in slot.contour.edges if one.is_arc) == [10.0, 10.0]
    assert len(slot.contour.corners) == 4


def test_an_old_polyline_has_its_bulges():
    corners = [groups((0, "VERTEX"), (8, "CUT"), (10, x), (20, y), (30, 0.0), (42, bulge)) for x, y, bulge in SLOT]
    head = groups((0, "POLYLINE"), (8, "CUT"), (66, 1), (70, 1), (10, 0.0), (20, 0.0), (30, 0.0))
    told = head + "".join(corners) + groups((0, "SEQEND"), (8, "CUT"))
    assert one_area(drawing(told)) == pytest.approx(SLOT_MM2, abs=EXACT)


def test_a_polyline_in_space_is_seen_from_above():
    content = written(lambda made: made.modelspace().add_polyline3d([(0, 0, 0), (40, 0, 5), (40, 30, 9)], close=True))
    drawn = read(content)
    assert drawn.loops[0].contour.area_mm2 == pytest.approx(600.0, abs=EXACT)
    assert codes(drawn) == ["PART-043"]


def test_an_entity_seen_from_behind_is_mirrored():
    # a quarter of a circle of 20 about (-30, 0) as it is seen, drawn in a plane whose x points left
    behind = arc((30.0, 0.0), 20.0, 0.0, 90.0, up=-1.0)
    rest = line((-50.0, 0.0), (-30.0, 0.0)), line((-30.0, 0.0), (-30.0, 20.0))
    drawn = read(drawing(behind, *rest))
    assert drawn.loops[0].contour.area_mm2 == pytest.approx(100.0 * math.pi, abs=EXACT)
    assert drawn.loops[0].contour.bounds_mm == pytest.approx((-50.0, 0.0, -30.0, 20.0))


def ellipse(major, ratio, first=0.0, last=2.0 * math.pi):
    return written(
        lambda made: made.modelspace().add_ellipse((60, 50), major, ratio, first, last, dxfattribs={"layer": "CUT"})
    )


def test_an_ellipse_keeps_its_area():
    content = ellipse((30.0, 0.0), 20.0 / 30.0)
    (found,) = read(content).loops
    assert found.contour.area_mm2 == pytest.approx(600.0 * math.pi, abs=HELD)
    assert not found.contour.true_arcs
    assert found.contour.bounds_mm == pytest.approx((30.0, 30.0, 90.0, 70.0), abs=0.003)
    worst = max(abs(math.hypot((x - 60.0) / 30.0, (y - 50.0) / 20.0) - 1.0) * 30.0 for x, y, _ in found.contour.corners)
    assert worst <= 0.002
    assert codes(read(content)) == ["PART-044"]


def test_a_turned_ellipse_keeps_its_area():
    assert one_area(ellipse((18.0, 24.0), 0.5)) == pytest.approx(450.0 * math.pi, abs=HELD)


def test_a_round_ellipse_is_a_circle():
    (found,) = read(ellipse((18.0, 24.0), 1.0)).loops
    assert found.contour.true_arcs
    assert found.contour.area_mm2 == pytest.approx(900.0 * math.pi, abs=EXACT)


def test_a_part_of_an_ellipse_joins_its_chord():
    def draw(made):
        space = made.modelspace()
        space.add_ellipse((0, 0), (30, 0), 2.0 / 3.0, 0.0, math.pi)
        space.add_line((-30, 0), (30, 0))

    assert one_area(written(draw)) == pytest.approx(300.0 * math.pi, abs=HELD)


def test_a_short_part_of_a_large_ellipse_is_not_straight():
    # parameter from -0.1 to 0.1: the sector less its triangle, times both half axes
    def draw(made):
        space = made.modelspace()
        space.add_ellipse((0, 0), (300, 0), 0.5, -0.1, 0.1)
        x, y = 300 * math.cos(0.1), 150 * math.sin(0.1)
        space.add_line((x, y), (x, -y))

    assert one_area(written(draw)) == pytest.approx(300 * 150 / 2 * (0.2 - math.sin(0.2)), abs=HELD)


def test_a_bezier_spline_keeps_its_area():
    # one cubic arch over 60 mm with handles 40 high: area under it = 3/20 (2 x 60 x 40 ... ) by the Bezier area formula
    p = [(0.0, 0.0), (10.0, 40.0), (50.0, 40.0), (60.0, 0.0)]

    def cross(i, j):
        return p[i][0] * p[j][1] - p[i][1] * p[j][0]

    want = abs(6 * cross(0, 1) + 3 * cross(0, 2) + cross(0, 3) + 3 * cross(1, 2) + 3 * cross(1, 3) + 6 * cross(2, 3))

    def draw(made):
        space = made.modelspace()
        space.add_open_spline([(x, y, 0) for x, y in p], degree=3)
        space.add_line((0, 0), (60, 0))

    assert one_area(written(draw)) == pytest.approx(want / 20.0, abs=HELD)


def test_a_rational_spline_is_its_circle():
    # the circle of 30 as nine points, The NURBS Book, example 7.2 (square of points, weights 1 and cos 45)
    w = math.sqrt(0.5)
    spots = [(30, 0), (30, 30), (0, 30), (-30, 30), (-30, 0), (-30, -30), (0, -30), (30, -30), (30, 0)]
    knots = [0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4]

    def draw(made):
        points = [(x, y, 0) for x, y in spots]
        made.modelspace().add_rational_spline(points, [1, w, 1, w, 1, w, 1, w, 1], degree=2, knots=knots)

    (found,) = read(written(draw)).loops
    assert found.contour.area_mm2 == pytest.approx(900.0 * math.pi, abs=HELD)
    assert max(abs(math.hypot(x, y) - 30.0) for x, y in found.contour.points_mm()) <= 0.002


def test_a_closed_spline_closes():
    def draw(made):
        made.modelspace().add_spline().set_closed([(0, 0, 0), (60, 0, 0), (60, 40, 0), (0, 40, 0)], degree=3)

    (found,) = read(written(draw)).loops
    # a closed uniform cubic spline of four points: area by its own polynomial, 10 points a span and Simpson's rule
    assert found.contour.closed
    assert found.contour.area_mm2 == pytest.approx(_uniform_area([(0, 0), (60, 0), (60, 40), (0, 40)]), abs=HELD)


def _uniform_area(points):
    total, count = 0.0, len(points)
    for start in range(count):
        a, b, c, d = (points[(start + one) % count] for one in range(4))

        def at(t, a=a, b=b, c=c, d=d):
            share = ((1 - t) ** 3 / 6, (3 * t**3 - 6 * t**2 + 4) / 6, (-3 * t**3 + 3 * t**2 + 3 * t + 1) / 6, t**3 / 6)
            return tuple(sum(s * p[k] for s, p in zip(share, (a, b, c, d), strict=True)) for k in (0, 1))

        spots = [at(one / 2000.0) for one in range(2001)]
        total += sum((p[0] * q[1] - p[1] * q[0]) / 2.0 for p, q in itertools.pairwise(spots))
    return abs(total)


def test_splines_through_points_pass_through_them():
    spots = [(0.0, 0.0), (30.0, 12.0), (60.0, 0.0), (45.0, 40.0)]

    def draw(made):
        spline = made.modelspace().add_spline([(x, y, 0) for x, y in spots])
        spline.closed = True

    (found,) = read(written(draw)).loops
    for x, y in spots:
        assert min(math.hypot(x - a, y - b) for a, b in found.contour.points_mm()) < 0.003


def blocked(*inserts, more=()):
    return drawing(*inserts, blocks=(block("SLOT", polyline(SLOT, "0"), base=(10.0, 10.0)), *more))


def test_a_block_lies_where_it_is_put():
    (found,) = read(blocked(insert("SLOT", at=(100.0, 50.0), layer="DEPTH_8", turn=90.0))).loops
    assert found.layer == "DEPTH_8"
    assert found.contour.area_mm2 == pytest.approx(SLOT_MM2, abs=EXACT)
    # base point (10, 10) comes to (100, 50); the slot from x 0 to 60 stands upright
    assert found.contour.bounds_mm == pytest.approx((90.0, 40.0, 110.0, 100.0))


def test_a_mirrored_block_turns_its_bulges():
    (found,) = read(blocked(insert("SLOT", at=(100.0, 50.0), scale=(-1.0, 1.0)))).loops
    assert found.contour.area_mm2 == pytest.approx(SLOT_MM2, abs=EXACT)
    assert found.contour.bounds_mm == pytest.approx((50.0, 40.0, 110.0, 60.0))
    assert found.contour.true_arcs


def test_a_stretched_block_makes_ellipses_of_arcs():
    # 2 wide, 1 high: 80 x 20, and a circle of 10 made an ellipse of 20 and 10
    (found,) = read(blocked(insert("SLOT", scale=(2.0, 1.0)))).loops
    assert found.contour.area_mm2 == pytest.approx(2.0 * SLOT_MM2, abs=HELD)
    assert not found.contour.true_arcs
    loose = (arc((0, 0), 10.0, 0.0, 180.0, "0"), line((-10, 0), (10, 0), "0"))
    turned = drawing(insert("HALF", scale=(2.0, -1.0), turn=30.0), blocks=(block("HALF", *loose),))
    assert one_area(turned) == pytest.approx(100.0 * math.pi, abs=HELD)


def test_blocks_in_blocks_and_arrays():
    twice = block("TWO", insert("SLOT"), insert("SLOT", at=(0.0, 40.0), scale=(-0.5, 0.5), layer="INNER"))
    content = blocked(insert("TWO", layer="DEPTH_8", turn=17.0, c70=3, c71=2, c44=200.0, c45=100.0), more=(twice,))
    drawn = read(content)
    assert len(drawn.loops) == 12
    assert {one.layer for one in drawn.loops} == {"DEPTH_8", "INNER"}
    small = [one for one in drawn.loops if one.layer == "INNER"]
    assert [one.contour.area_mm2 for one in small] == pytest.approx([SLOT_MM2 / 4.0] * 6)


def test_arrays_turn_with_their_block_and_are_not_scaled():
    content = blocked(insert("SLOT", scale=(0.5, 0.5), turn=90.0, c70=2, c71=1, c44=100.0))
    left = sorted(one.contour.bounds_mm for one in read(content).loops)
    # columns run up the page after a quarter turn, 100 apart
    assert left[1][1] - left[0][1] == pytest.approx(100.0)


@pytest.mark.parametrize("release", ["R12", "R2000", "R2018"])
def test_a_block_is_read_as_the_library_takes_it_apart(release):
    def draw(made):
        inner = made.blocks.new("INNER", base_point=(3, 4))
        inner.add_line((0, 0), (10, 0))
        inner.add_arc((0, 0), 10, 0, 90)
        inner.add_line((0, 10), (0, 0))
        outer = made.blocks.new("OUTER")
        outer.add_blockref("INNER", (20, 30), dxfattribs={"xscale": -2, "yscale": 1, "rotation": 25})
        made.modelspace().add_blockref("OUTER", (5, 7), dxfattribs={"xscale": 1, "yscale": -1.5, "rotation": 70})

    # a quarter of a circle of 10, twice as wide, one and a half as high
    assert one_area(written(draw, release=release)) == pytest.approx(25.0 * math.pi * 3.0, abs=HELD)


def test_colours_are_those_that_are_seen():
    tables = (layer("RED", 1), layer("BLUE", 5))
    entities = groups((0, "CIRCLE"), (8, "0"), (62, 0), (10, 0.0), (20, 0.0), (40, 5.0)) + circle((20, 0), 5.0, "0")
    own = groups((0, "CIRCLE"), (8, "RED"), (62, 3), (10, 60.0), (20, 0.0), (40, 5.0))
    placed = insert("PAIR", layer="BLUE", c62=2)
    drawn = read(drawing(placed, own, circle((90, 0), 5.0, "RED"), layers=tables, blocks=(block("PAIR", entities),)))
    told = sorted((one.layer, one.colour, round(one.contour.bounds_mm[0])) for one in drawn.loops)
    assert told == [("BLUE", 2, -5), ("BLUE", 5, 15), ("RED", 1, 85), ("RED", 3, 55)]


def test_layers_that_nobody_sees_are_left_out_and_told():
    tables = (layer("OFF", -3), layer("COLD", 2, flags=1), layer("CUT"))
    seen = circle((0, 0), 30.0)
    content = drawing(
        seen,
        circle((5, 0), 2.0, "OFF"),
        insert("B", layer="COLD"),
        layers=tables,
        blocks=(block("B", circle((0, 0), 3.0, "CUT")),),
    )
    drawn = read(content)
    assert len(drawn.loops) == 1
    assert [dict(one.parameters)["layer"] for one in drawn.findings if one.code == "PART-042"] == ["COLD", "OFF"]


def test_upper_and_lower_case_are_one_layer():
    half = arc((0, 0), 25.0, 0.0, 180.0, "Cut_5"), line((-25, 0), (25, 0), "CUT_5")
    assert one_area(drawing(*half)) == pytest.approx(312.5 * math.pi, abs=EXACT)


def test_paper_space_is_told_apart():
    def both(made):
        made.modelspace().add_circle((0, 0), 30)
        made.paperspace().add_circle((0, 0), 99)

    drawn = read(written(both))
    assert [round(one.contour.bounds_mm[2]) for one in drawn.loops] == [30]
    assert codes(drawn) == ["PART-041"]
    with pytest.raises(PartError) as refused:
        read(written(lambda made: made.paperspace().add_circle((0, 0), 99)))
    assert refused.value.code == "PART-039"


def test_what_is_no_line_is_left_out_and_told():
    def draw(made):
        space = made.modelspace()
        space.add_circle((0, 0), 30)
        for add in (
            lambda: space.add_text("A", dxfattribs={"layer": "T"}),
            lambda: space.add_mtext("B", dxfattribs={"layer": "T"}),
            lambda: space.add_point((1, 1), dxfattribs={"layer": "P"}),
            lambda: space.add_hatch(dxfattribs={"layer": "H"}).paths.add_polyline_path([(0, 0), (1, 0), (1, 1)]),
            lambda: space.add_linear_dim((0, 5), (0, 0), (9, 0), dxfattribs={"layer": "D"}).render(),
            lambda: space.add_leader([(0, 0), (5, 5)], dxfattribs={"layer": "D"}),
            lambda: space.add_solid([(0, 0), (5, 0), (5, 5)], dxfattribs={"layer": "S"}),
        ):
            add()

    drawn = read(written(draw))
    told = [(one.layer, one.drawn_as, one.count) for one in drawn.left_out]
    assert told == [
        ("D", "DIMENSION", 1),
        ("D", "LEADER", 1),
        ("H", "HATCH", 1),
        ("P", "POINT", 1),
        ("S", "SOLID", 1),
        ("T", "MTEXT", 1),
        ("T", "TEXT", 1),
    ]
    assert codes(drawn) == ["PART-049"]
    assert len(drawn.loops) == 1


@pytest.mark.parametrize(
    ("flags", "up", "scale", "mirrored"),
    [(0, 1, 1, False), (2, 1, 1, True), (4, 1, 1, True), (6, 1, 1, False), (0, -1, 1, True), (0, 1, -1, True),
     (2, 1, -1, False)],
)  # fmt: skip
def test_words_that_read_mirrored_are_seen(flags, up, scale, mirrored):
    word = groups(
        (0, "TEXT"), (8, "0"), (10, 1.0), (20, 1.0), (40, 5.0), (1, "KEY"), (71, flags), (210, 0), (220, 0), (230, up)
    )
    drawn = read(drawing(circle((0, 0), 30.0), insert("W", scale=(scale, 1.0)), blocks=(block("W", word),)))
    assert drawn.mirrored_words is mirrored


def test_what_leans_is_left_out():
    leaning = groups((0, "CIRCLE"), (8, "CUT"), (10, 0.0), (20, 0.0), (40, 9.0), (210, 0.0), (220, 0.7), (230, 0.7))
    drawn = read(drawing(circle((0, 0), 30.0), leaning))
    assert len(drawn.loops) == 1
    assert "PART-047" in codes(drawn)


def test_binary_files_are_read():
    def draw(made):
        made.modelspace().add_lwpolyline(SLOT, format="xyb", close=True)

    for release in ("R2000", "R2013"):
        assert one_area(written(draw, release=release, binary=True)) == pytest.approx(SLOT_MM2, abs=EXACT)
    circle_of = written(lambda made: made.modelspace().add_circle((0, 0), 30), release="R12", binary=True)
    assert one_area(circle_of) == pytest.approx(900.0 * math.pi, abs=EXACT)


def test_layers_in_another_encoding_can_be_printed():
    content = drawing(circle((0, 0), 30.0, "Größe_8")).decode("utf-8").encode("cp1252")
    (found,) = read(content).loops
    assert found.layer.encode("utf-8").decode("utf-8") == found.layer
    assert found.layer.startswith("Gr")


@pytest.mark.parametrize(("number", "unit"), [(0, ""), (1, "inch"), (4, "mm"), (5, "cm"), (6, "m"), (2, ""), (14, "")])
def test_the_unit_of_the_header(number, unit):
    assert dxf_strokes(drawing(circle((0, 0), 3.0), unit=number)).unit_told == unit


def test_a_damaged_entity_is_told():
    broken = groups((0, "ELLIPSE"), (8, "CUT"), (10, 0.0), (20, 0.0), (11, 0.0), (21, 0.0), (40, 0.5))
    drawn = read(drawing(circle((0, 0), 30.0), broken, release="AC1015"))
    assert len(drawn.loops) == 1
    assert codes(drawn) == ["PART-048"]


def test_marks_that_a_small_program_leaves_out_are_not_needed():
    for release in ("AC1009", "AC1015", "AC1032"):
        assert one_area(drawing(polyline(SLOT), release=release)) == pytest.approx(SLOT_MM2, abs=EXACT)
    bare = drawing(polyline(SLOT))
    no_header = bare[bare.index(b"ENDSEC\n") + 7 :]
    assert one_area(no_header) == pytest.approx(SLOT_MM2, abs=EXACT)
    assert one_area(bare.replace(b"\n", b"\r\n")) == pytest.approx(SLOT_MM2, abs=EXACT)


def test_words_without_marks_do_not_spoil_the_drawing():
    word = groups((0, "MTEXT"), (8, "T"), (10, 0.0), (20, 0.0), (40, 5.0), (1, "KEY"))
    half = groups(
        (0, "LEADER"), (100, "AcDbLeader"), (8, "T"), (76, 2), (10, 0), (20, 0), (30, 0), (10, 9), (20, 9), (30, 0)
    )
    drawn = read(drawing(circle((0, 0), 30.0), word, half, release="AC1015"))
    assert [one.drawn_as for one in drawn.left_out] == ["LEADER", "MTEXT"]
