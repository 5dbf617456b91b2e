"""SVG read into strokes: exact areas by hand calculation, whoever wrote the file."""

from __future__ import annotations

import gzip
import io
import math

import ezdxf
import pytest
import segno
import svgelements
from ezdxf.addons.drawing import Frontend, RenderContext, layout
from ezdxf.addons.drawing.config import BackgroundPolicy, Configuration
from ezdxf.addons.drawing.svg import SVGBackend
from PIL import ImageColor
from reportlab.graphics import renderSVG, shapes

from house.source import ROOT
from traywright.base import Severity
from traywright.base.errors import PartError
from traywright.parts import read_drawing
from traywright.parts.svg_colours import NAMES
from traywright.parts.svg_file import svg_strokes

SPACES = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" xmlns:k="urn:layers"'
SIZE = 'width="100mm" height="50mm" viewBox="0 0 100 50"'


def read(inside, root=SIZE):
    return svg_strokes(f"<svg {SPACES} {root}>{inside}</svg>".encode())


def only(inside, root=SIZE):
    (stroke,) = read(inside, root).strokes
    return stroke


def areas(told):
    return [round(one.contour.area_mm2, 6) for one in told.strokes]


def refused(inside, root=SIZE):
    with pytest.raises(PartError) as caught:
        read(inside, root)
    assert str(caught.value).count("\n") == 2
    return caught.value.code


# --- shapes ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("drawn", "area_mm2", "corners"),
    [
        ('<rect x="1" y="2" width="30" height="20"/>', 600.0, 4),
        ('<rect x="1" y="2" width="30" height="20" rx="3"/>', 600.0 - (4 - math.pi) * 9.0, 8),
        ('<circle cx="20" cy="10" r="5"/>', 25.0 * math.pi, 2),
        ('<polygon points="0,0 10,0 10 10"/>', 50.0, 3),
        ('<polyline points="0,0 10,0 10 10 0 0"/>', 50.0, 3),
        ('<path d="M0 0h10v10H0z"/>', 100.0, 4),
        ('<path d="m5,5 10,0 0,10 -10,0z"/>', 100.0, 4),
        ('<path d="M0 0h10a5 5 0 0110 0v5a5 5 0 01-10 0h-10z"/>', 100.0 + 25.0 * math.pi, 6),
        ('<path d="M10 0A10 10 0 1 1 10 20A10 10 0 0 1 10 0"/>', 100.0 * math.pi, 2),
    ],
)
def test_each_shape_has_its_own_area_and_its_arcs(drawn, area_mm2, corners):
    contour = only(drawn).contour
    assert contour.closed
    assert contour.area_mm2 == pytest.approx(area_mm2, abs=1e-9)
    assert contour.true_arcs
    assert len(contour.corners) == corners


def test_a_rect_with_unlike_radii_is_a_stadium_of_ellipses():
    # rx is clamped to 15 and ry, as it is not told, is rx clamped to 10: four quarters of an ellipse, pi 15 10
    contour = only('<rect width="30" height="20" rx="30"/>').contour
    assert contour.area_mm2 == pytest.approx(math.pi * 150.0, abs=0.001)
    assert not contour.true_arcs


def test_an_ellipse_becomes_chords_of_equal_area_within_two_micrometres():
    contour = only('<ellipse cx="50" cy="25" rx="30" ry="20"/>').contour
    assert contour.area_mm2 == pytest.approx(600.0 * math.pi, abs=0.01)
    assert not contour.true_arcs
    assert len(contour.corners) < 500
    for (ax, ay, _), (bx, by, _) in zip(contour.corners, contour.corners[1:], strict=False):
        for share in (0.0, 0.25, 0.5, 0.75):
            x, y = ax + (bx - ax) * share - 50.0, ay + (by - ay) * share - 25.0
            # distance by the gradient of the ellipse's equation, exact to second order
            value = (x / 30.0) ** 2 + (y / 20.0) ** 2 - 1.0
            assert abs(value) / (2.0 * math.hypot(x / 900.0, y / 400.0)) <= 0.002


@pytest.mark.parametrize(
    ("data", "area_mm2"),
    [
        # 3/20 (a x b + a x c + 2 b x c) with a (0,10), b (10,10), c (10,0): 3/20 (100 + 100 + 200)
        ("M0 0C0 10 10 10 10 0z", 60.0),
        # a quadratic encloses two thirds of the triangle of its handle
        ("M0 0Q5 12 10 0z", 40.0),
        # mirrored on: one hill up, one down, of 60 each: the outline crosses itself and its areas cancel
        ("M0 0C0 10 10 10 10 0S20 -10 20 0z", 0.0),
        ("M0 0Q5 12 10 0T20 0z", 0.0),
        ("M0 0c0 10 10 10 10 0z", 60.0),
        ("M0 0q5 12 10 0z", 40.0),
    ],
)
def test_a_bezier_keeps_its_area(data, area_mm2):
    contour = only(f'<path d="{data}" stroke="red"/>').contour
    assert contour.area_mm2 == pytest.approx(area_mm2, abs=1e-6)
    assert not contour.true_arcs


def test_a_bezier_that_is_a_straight_edge_is_one():
    contour = only('<path d="M0 0C3 0 7 0 10 0L10 10z"/>').contour
    assert contour.corners == ((0.0, 50.0, 0.0), (10.0, 50.0, 0.0), (10.0, 40.0, 0.0))
    assert contour.true_arcs


def test_a_path_has_one_stroke_a_subpath():
    told = read('<path d="M0 0h10v10h-10zm2 2h2v2h-2zM30 30h5" stroke="red"/>')
    assert areas(told) == [100.0, 4.0, 0.0]
    assert [one.id for one in told.strokes] == ["1", "2", "3"]
    assert [one.contour.closed for one in told.strokes] == [True, True, False]
    assert told.strokes[1].contour.bounds_mm == pytest.approx((2.0, 46.0, 4.0, 48.0))


def test_what_is_filled_without_a_line_is_an_area_and_what_has_a_line_is_as_drawn():
    assert only('<path d="M0 0h10v10"/>').contour.area_mm2 == pytest.approx(50.0)
    assert not only('<path d="M0 0h10v10" stroke="red"/>').contour.closed
    assert not only('<path d="M0 0h10v10" stroke="red" fill="none"/>').contour.closed


@pytest.mark.parametrize("radius", [5.0, 4.0, 0.001])
def test_an_arc_too_short_for_its_ends_is_lengthened(radius):
    contour = only(f'<path d="M0 0A{radius} {radius} 0 0 1 10 0z"/>').contour
    assert contour.area_mm2 == pytest.approx(12.5 * math.pi, abs=1e-6)
    assert contour.true_arcs


# --- unit, page, transforms ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("root", "unit", "width"),
    [
        ('width="100mm" height="50mm" viewBox="0 0 100 50"', "mm", 10.0),
        ('width="10cm" height="5cm" viewBox="0 0 100 50"', "mm", 10.0),
        ('width="10in" height="5in" viewBox="0 0 100 50"', "mm", 25.4),
        ('width="72pt" height="36pt" viewBox="0 0 100 50"', "mm", 2.54),
        ('width="6pc" height="3pc" viewBox="0 0 100 50"', "mm", 2.54),
        ('width="400Q" viewBox="0 0 100 50"', "mm", 10.0),
        ('height="50mm" viewBox="0 0 100 50"', "mm", 10.0),
        ('width="100mm" height="50mm"', "mm", 254.0 / 96.0),
        ('width="960px" height="480px" viewBox="0 0 100 50"', "", 10.0),
        ('width="960" height="480"', "", 10.0),
        ('width="100%" height="100%" viewBox="0 0 100 50"', "", 10.0),
        ("", "", 10.0),
    ],
)
def test_the_unit_is_what_the_root_tells(root, unit, width):
    told = read('<rect width="10" height="5"/>', root)
    left, _, right, _ = told.strokes[0].contour.bounds_mm
    assert told.unit_told == unit
    assert right - left == pytest.approx(width, abs=1e-9)


def test_lengths_with_a_unit_are_true_where_a_user_unit_is_a_pixel():
    stroke = only('<circle cx="25.4mm" cy="1in" r="0.5cm"/>', 'width="100mm" height="100mm"')
    assert stroke.contour.bounds_mm == pytest.approx((20.4, 69.6, 30.4, 79.6), abs=1e-9)


def test_y_points_up_from_the_lower_left_corner_of_the_page():
    stroke = only('<rect x="10" y="20" width="5" height="2"/>', 'width="100mm" height="50mm" viewBox="10 20 100 50"')
    assert stroke.contour.bounds_mm == pytest.approx((0.0, 48.0, 5.0, 50.0))


@pytest.mark.parametrize(
    ("aspect", "bounds"),
    [
        ("", (25.0, 40.0, 30.0, 50.0)),  # xMidYMid meet: 0.5 mm a unit, 25 left over on each side
        ("xMinYMin meet", (0.0, 40.0, 5.0, 50.0)),
        ("xMaxYMid", (50.0, 40.0, 55.0, 50.0)),
        ("none", (0.0, 40.0, 10.0, 50.0)),
        ("xMinYMin slice", (0.0, 30.0, 10.0, 50.0)),
    ],
)
def test_a_view_box_of_another_shape_is_placed_by_its_aspect(aspect, bounds):
    root = f'width="100mm" height="50mm" viewBox="0 0 100 100" preserveAspectRatio="{aspect}"'
    assert only('<rect width="10" height="20"/>', root).contour.bounds_mm == pytest.approx(bounds)


def test_a_page_of_pixels_that_is_stretched_is_read_as_it_is_seen():
    root = 'width="200" height="50" viewBox="0 0 100 50" preserveAspectRatio="none"'
    assert only('<rect width="10" height="5"/>', root).contour.bounds_mm == pytest.approx((0.0, 45.0, 20.0, 50.0))


def test_a_circle_stays_a_circle_turned_scaled_and_mirrored():
    moves = "translate(50,25) rotate(37) scale(-2,2) rotate(11 3 4) matrix(0 1 -1 0 2 3)"
    contour = only(f'<g transform="{moves}"><circle cx="1" cy="2" r="3"/></g>').contour
    assert contour.true_arcs
    assert contour.area_mm2 == pytest.approx(36.0 * math.pi, abs=1e-9)


@pytest.mark.parametrize("move", ["", "scale(-1,1)", "scale(1,-1)", "rotate(30)", "scale(-1,-1)"])
def test_an_arc_bulges_the_same_way_mirrored_or_not(move):
    # a quarter disc with a bite: 10 x 10 less a quarter of 5
    contour = only(f'<path transform="{move}" d="M0 0H10V5A5 5 0 0 0 5 10H0z"/>').contour
    assert contour.area_mm2 == pytest.approx(100.0 - 25.0 * math.pi / 4.0, abs=1e-9)
    assert contour.true_arcs


@pytest.mark.parametrize(
    ("move", "factor"), [("scale(2,1)", 2.0), ("skewX(30)", 1.0), ("skewY(-20)", 1.0), ("matrix(2 1 0.5 3 0 0)", 5.5)]
)
def test_an_arc_seen_askew_becomes_chords_of_its_area(move, factor):
    contour = only(f'<circle r="7" transform="{move}"/>').contour
    assert contour.area_mm2 == pytest.approx(49.0 * math.pi * factor, abs=1e-6)
    assert not contour.true_arcs


def test_nested_transforms_svg_and_symbols():
    inside = (
        '<defs><symbol id="s" viewBox="0 0 10 10"><rect width="10" height="10"/></symbol></defs>'
        '<g transform="scale(2)"><svg x="5" y="5" width="10" height="10" viewBox="0 0 100 100">'
        '<rect width="50" height="50"/></svg></g>'
        '<use xlink:href="#s" x="40" y="10" width="4" height="4"/>'
        '<use href="#s" width="6" height="4" transform="translate(60 0)"/>'
    )
    told = read(inside)
    assert areas(told) == [100.0, 16.0, 16.0]
    assert told.strokes[0].contour.bounds_mm == pytest.approx((10.0, 30.0, 20.0, 40.0))
    assert told.strokes[1].contour.bounds_mm == pytest.approx((40.0, 36.0, 44.0, 40.0))
    assert told.strokes[2].contour.bounds_mm == pytest.approx((61.0, 46.0, 65.0, 50.0))
    assert told.left_out == ()


def test_percentages_are_of_the_viewport():
    stroke = only('<rect x="10%" y="10%" width="50%" height="50%"/>')
    assert stroke.contour.bounds_mm == pytest.approx((10.0, 20.0, 60.0, 45.0))


def test_chords_are_finer_where_the_unit_may_be_a_metre():
    drawn = '<ellipse cx="1" cy="1" rx="0.3" ry="0.2"/>'
    contour = only(drawn, 'viewBox="0 0 2 2"').contour.scaled(1000.0)
    assert contour.area_mm2 == pytest.approx(60_000.0 * math.pi, abs=0.01)
    assert len(contour.corners) > 400


# --- layers, colours, what is left out --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("inside", "layer"),
    [
        ("{}", "0"),
        ('<g id="DEPTH_14">{}</g>', "DEPTH_14"),
        ('<g id="a"><g><g id="b">{}</g></g></g>', "b"),
        ('<g k:label="DEPTH 6" id="layer1"><g id="g77">{}</g></g>', "DEPTH 6"),
        ('<g k:label="outer"><g k:label="inner">{}</g></g>', "inner"),
        ('<g label="x">{}</g>', "x"),
    ],
)
def test_the_layer_is_the_nearest_label_else_the_nearest_id(inside, layer):
    assert only(inside.format('<circle id="c" r="1"/>')).layer == layer


def test_a_copy_lies_on_the_layer_where_it_is_placed():
    inside = '<defs><g id="part"><circle r="1"/></g></defs><g id="DEPTH_9"><use href="#part"/></g>'
    assert only(inside).layer == "DEPTH_9"


@pytest.mark.parametrize(
    ("drawn", "colour"),
    [
        ('stroke="red"', 1),
        ('stroke="#fe0"', 2),
        ('style="stroke:#00ff00;fill:red"', 3),
        ('stroke="rgb(0,250,250)"', 4),
        ('fill="blue"', 5),
        ('fill="none" stroke="rgb(100%, 0%, 100%)"', 6),
        ("", 7),
        ('stroke="white"', 7),
        ('stroke="gray"', 8),
        ('stroke="silver"', 9),
        ('stroke="url(#g)"', 0),
        ('stroke="currentColor" color="red"', 1),
        ('class="cut" stroke="blue"', 1),
        ('class="cut" style="stroke:lime"', 3),
        ('id="own" class="cut"', 4),
    ],
)
def test_the_colour_is_the_nearest_of_nine(drawn, colour):
    sheet = "<style>/* a */ .cut, .x {stroke: red} #own {stroke: cyan} @media print {.cut {stroke: blue}}</style>"
    assert only(f'{sheet}<circle r="1" {drawn}/>').colour == colour


def test_colours_are_inherited():
    assert only('<g stroke="red"><g style="fill:none"><circle r="1"/></g></g>').colour == 1


def test_every_name_of_a_colour_is_the_one_of_another_table():
    theirs = {name: ImageColor.getrgb(name) for name in ImageColor.colormap if name != "rebeccapurple"}
    assert {name: (one >> 16, one >> 8 & 255, one & 255) for name, one in NAMES.items()} == theirs


def test_what_is_no_line_is_left_out_and_counted():
    inside = (
        '<g id="WORDS"><text>12</text><text>13<tspan>x</tspan></text></g><image width="3" height="3"/>'
        '<g display="none"><circle r="1"/></g><circle r="1" visibility="hidden"/>'
        '<circle r="1" fill="none"/><circle r="1" style="opacity:0"/><line x2="5"/><path d="M0 0h5"/>'
        '<defs><clipPath id="c"><rect width="1" height="1"/></clipPath><circle r="4"/><linearGradient id="g"/></defs>'
        '<style>.z{display:none}</style><rect class="z" width="1" height="1"/><title>t</title><desc>d</desc>'
        '<line x2="5" stroke="red" marker-end="url(#m)"/>'
    )
    told = read(inside)
    assert [one.drawn_as for one in told.strokes] == ["line"]
    assert {(one.layer, one.drawn_as): one.count for one in told.left_out} == {
        ("WORDS", "text"): 2,
        ("0", "image"): 1,
        ("0", "hidden"): 7,
        ("0", "defs"): 1,
        ("0", "marker"): 1,
    }


def test_visible_things_in_a_hidden_group_are_seen():
    assert only('<g visibility="hidden"><circle r="1" visibility="visible"/></g>').colour == 7


@pytest.mark.parametrize(("move", "mirrored"), [("", False), ("rotate(180)", False), ("scale(-1,1)", True)])
def test_words_that_read_mirrored_are_told(move, mirrored):
    assert read(f'<g transform="{move}"><text>T1</text></g>').mirrored_words is mirrored


def test_the_white_paper_under_the_drawing_is_no_outline():
    paper = '<rect width="100" height="50" fill="#ffffff"/>'
    told = read(f'{paper}<rect width="100" height="50" fill="#eee"/>')
    assert areas(told) == [5000.0]
    assert [(one.drawn_as, one.count) for one in told.left_out] == [("background", 1)]


def codes(told):
    return [(one.code, one.severity, dict(one.parameters)["count"]) for one in told.findings]


def test_a_clip_that_cuts_nothing_off_is_not_told():
    clip = '<clipPath id="c"><rect width="100" height="50"/></clipPath>'
    assert codes(read(f'{clip}<g clip-path="url(#c)"><circle cx="20" cy="20" r="5"/></g>')) == []
    cut = read(f'{clip}<g style="clip-path: url(#c)"><circle r="5"/></g>')
    assert codes(cut) == [("PART-056", Severity.WARN, 1)]
    assert areas(cut) == [round(25.0 * math.pi, 6)]
    assert codes(read('<circle cx="9" cy="9" r="1" mask="url(#m)"/>')) == [("PART-056", Severity.WARN, 1)]


def test_copies_of_nothing_and_styles_not_read_are_told():
    told = read('<style>g > .a {fill:none}</style><use href="#no"/><use href="other.svg#a"/><circle r="1"/>')
    assert codes(told) == [("PART-057", Severity.WARN, 2), ("PART-058", Severity.NOTE, 1)]


def test_a_switch_shows_the_first_that_needs_nothing():
    inside = (
        '<switch><g requiredExtensions="x"><circle r="1"/></g><g><circle r="2"/></g><g><circle r="3"/></g></switch>'
    )
    assert areas(read(inside)) == [round(4.0 * math.pi, 6)]


# --- what is refused --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "drawn",
    [
        '<path d="M0 0 L10"/>',
        '<path d="M0 0 L10 x"/>',
        '<path d="L0 0 5 5"/>',
        '<path d="M0 0,,5 5"/>',
        '<path d="M0 0 A5 5 0 2 1 10 0"/>',
        '<path d="M0 0 Z 5"/>',
        '<path d="M"/>',
        '<path d="0 0 L5 5"/>',
        '<path d="M0 0 LNaN 5"/>',
        '<circle r="-1"/>',
        '<circle r="5em"/>',
        '<circle r="five"/>',
        '<rect width="inf" height="5"/>',
        '<polygon points="0 0 5 5 7"/>',
        '<circle r="1" transform="rotate(10deg)"/>',
        '<circle r="1" transform="scale(1 2 3)"/>',
        '<circle r="1" transform="turn(5)"/>',
        '<circle r="1" style="transform: rotate(5deg)"/>',
        '<circle r="1" style="r: 5px"/>',
        '<svg viewBox="0 0 5"/>',
    ],
)
def test_what_cannot_be_read_is_refused_and_named(drawn):
    assert refused(f"<g>{drawn}</g>") == "PART-054"


@pytest.mark.parametrize(
    "drawn",
    [
        '<circle r="1e300"/>',
        '<circle r="1e999"/>',
        '<path d="M0 0L1e300 0z"/>',
        '<circle r="9" transform="scale(1e8)"/>',
        '<circle r="1" transform="skewX(90)"/>',
        f'<circle r="{"9" * 400}"/>',
        '<g transform="scale(1e8)">' * 40 + '<circle r="1"/>' + "</g>" * 40,
    ],
)
def test_numbers_beyond_any_drawing_are_refused(drawn):
    assert refused(drawn) == "PART-055"


def test_a_root_that_is_moved_is_refused():
    assert refused("", SIZE + ' transform="scale(2)"') == "PART-054"


# --- other people's writers -------------------------------------------------------------------------------------------


def test_a_drawing_written_by_a_chart_writer():
    drawing = shapes.Drawing(200, 100)
    drawing.add(shapes.Circle(50, 40, 20))
    drawing.add(shapes.Rect(10, 10, 60, 30))
    drawing.add(shapes.Polygon([0, 0, 10, 0, 10, 10]))
    drawing.add(shapes.Group(shapes.Rect(0, 0, 10, 20), transform=(1, 0.5, 0, 1, 3, 4)))
    drawing.add(shapes.String(5, 5, "T1"))
    told = svg_strokes(renderSVG.drawToString(drawing).encode())
    assert areas(told) == [round(400.0 * math.pi, 6), 1800.0, 50.0, 200.0]
    assert (told.unit_told, told.mirrored_words, told.findings) == ("", False, ())
    # its own frame has y up already, so places come back as they were given
    assert told.strokes[0].contour.bounds_mm == pytest.approx((30.0, 20.0, 70.0, 60.0))


def test_a_drawing_written_by_a_dxf_library():
    source = ezdxf.new()
    space = source.modelspace()
    space.add_circle((20, 10), 5)
    space.add_lwpolyline([(0, 0), (60, 0), (60, 40), (0, 40)], close=True)
    space.add_line((0, 0), (60, 40))
    backend, white = SVGBackend(), Configuration(background_policy=BackgroundPolicy.WHITE)
    Frontend(RenderContext(source), backend, config=white).draw_layout(space)
    page = layout.Page(60, 40, layout.Units.mm, layout.Margins.all(0))
    told = svg_strokes(backend.get_string(page).encode())
    # it writes circles as four cubics with handles of k = 0.5522847 r, which enclose r² (2 + 4 3/20 (4 k - k²)), 0.03 %
    # more than the disc; and whole steps of 0.00006 mm, so 1e-5 of an area
    k = 0.5522847
    found = [one.contour.area_mm2 for one in told.strokes]
    assert found == pytest.approx([25.0 * (2.0 + 0.6 * (4.0 * k - k * k)), 2400.0, 0.0], rel=1e-5)
    assert [one.drawn_as for one in told.left_out] == ["background"]
    assert told.unit_told == "mm"
    assert [one.contour.closed for one in told.strokes] == [True, True, False]
    assert told.strokes[2].contour.length_mm == pytest.approx(math.hypot(60, 40), abs=0.001)


def test_a_drawing_written_by_an_svg_library():
    page = svgelements.SVG(width="60mm", height="40mm", viewBox="0 0 60 40")
    page.append(svgelements.Path("M0,0 L10,0 A5,5 0 0 1 10,10 L0,10 z"))
    page.append(svgelements.Circle(20, 10, 5))
    page.append(svgelements.Rect(1, 1, 8, 9) * svgelements.Matrix("rotate(20)"))
    told = svg_strokes(page.string_xml().encode())
    # its six digits of a matrix leave 2e-6 of an area
    assert [one.contour.area_mm2 for one in told.strokes] == pytest.approx(
        [100.0 + 12.5 * math.pi, 25.0 * math.pi, 72.0], rel=2e-6
    )
    assert all(one.contour.true_arcs for one in told.strokes)


def test_a_square_code_is_as_many_millimetres_of_line_as_it_has_dark_cells():
    code, file = segno.make("T1"), io.BytesIO()
    code.save(file, kind="svg", unit="mm", border=0)
    told = svg_strokes(file.getvalue())
    dark = sum(map(sum, code.matrix))
    assert sum(one.contour.length_mm for one in told.strokes) == pytest.approx(dark, abs=1e-6)
    assert told.unit_told == "mm"


def test_a_packed_file_is_the_same_drawing():
    plain = f'<svg {SPACES} {SIZE}><circle r="3"/></svg>'.encode()
    assert svg_strokes(gzip.compress(plain)) == svg_strokes(plain) == svg_strokes(b"\xef\xbb\xbf" + plain)


def test_an_unnamed_space_and_a_plain_document_type_are_read():
    content = (
        b'<?xml version="1.0" encoding="UTF-8"?>\n<!-- a -->\n<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" '
        b'"http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">\n<svg viewBox="0 0 5 5"><circle r="1"/></svg>'
    )
    assert len(svg_strokes(content).strokes) == 1


def test_the_drawer_written_as_svg_is_the_same_drawing():
    # both readers, each its own way: every loop of the DXF written as a path, y up by one mirrored group
    dxf = (ROOT / "examples/drawer_as_drawn/files/drawer_as_drawn.dxf").read_bytes()
    asked = {"length_unit": "mm", "leave_out": (), "board_mm": (1200.0, 600.0)}
    drawn = read_drawing(dxf, "drawer.dxf", **asked)
    layers = "".join(
        f'<g id="{one.layer}"><path stroke="red" fill="none" d="{path_of(one.contour)}"/></g>' for one in drawn.loops
    )
    content = f'<svg {SPACES} viewBox="0 0 560 400"><g transform="matrix(1 0 0 -1 0 400)">{layers}</g></svg>'
    again = read_drawing(content.encode(), "drawer.svg", **asked)
    assert len(again.loops) == len(drawn.loops) > 20
    for one, other in zip(again.loops, drawn.loops, strict=True):
        assert (one.id, one.layer, one.contour.true_arcs) == (other.id, other.layer, other.contour.true_arcs)
        assert one.contour.area_mm2 == pytest.approx(other.contour.area_mm2, abs=1e-6)
        assert one.contour.bounds_mm == pytest.approx(other.contour.bounds_mm, abs=1e-6)


def path_of(contour):
    words = [f"M{contour.corners[0][0]!r} {contour.corners[0][1]!r}"]
    for one in contour.edges:
        end = f"{one.end_mm[0]!r} {one.end_mm[1]!r}"
        flags = f"{int(abs(one.turn_rad) > math.pi)} {int(one.bulge_ratio > 0.0)}"
        words.append(f"A{one.radius_mm!r} {one.radius_mm!r} 0 {flags} {end}" if one.is_arc else f"L{end}")
    return "".join(words) + "Z"
