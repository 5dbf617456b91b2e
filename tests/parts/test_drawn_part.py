"""Parts from drawings: plates with steps and holes, turned parts from half sections."""

from __future__ import annotations

import math
import tomllib

import pytest

from parts.asked import SOLIDS
from traywright.base.errors import PartError
from traywright.geometry import mass_properties
from traywright.parts import LayerHeight, ShapeAsked, examine, read_shape

FACTS = tomllib.loads((SOLIDS / "FACTS.toml").read_text(encoding="utf-8"))["file"]
BOARD = (SOLIDS / "control_board.dxf").read_bytes()
HALF = (SOLIDS / "spindle_half.svg").read_bytes()


def svg(*paths, lines=""):
    shapes = "".join(f'<path id="{name}" d="{path}" fill="none" stroke="#000"/>' for name, path in paths)
    page = 'xmlns="http://www.w3.org/2000/svg" width="200mm" height="100mm" viewBox="0 0 200 100"'
    return f"<svg {page}>{shapes}{lines}</svg>".encode()


def read(content, name="a.svg", **said):
    return read_shape(ShapeAsked(id="a", file_name=name, **said), content)


def refused(content, name="a.svg", **said):
    with pytest.raises(PartError) as caught:
        read(content, name, **said)
    assert str(caught.value).count("\n") == 2
    return caught.value.code


def volume(shape):
    return sum(one.body.properties.volume_mm3 for one in examine(shape).groups)


def layer(shape, name):
    return next(one for one in shape.layers if one.name == name)


def test_the_board_has_the_areas_that_its_file_was_drawn_with():
    """FACTS.toml, control_board.dxf: areas to 0.01 mm2."""
    facts, shape = FACTS["control_board.dxf"], read(BOARD, "b.dxf")
    assert layer(shape, "BOARD_OUTLINE").area_mm2 == pytest.approx(facts["outline_area_mm2"], abs=0.01)
    assert layer(shape, "BOARD_OUTLINE").perimeter_mm == pytest.approx(facts["outline_perimeter_mm"], abs=0.001)
    assert layer(shape, "KEEPOUT_TOP").area_mm2 == pytest.approx(facts["keepout_top_area_mm2"], abs=0.01)
    assert layer(shape, "KEEPOUT_BOTTOM").area_mm2 == pytest.approx(facts["keepout_bottom_area_mm2"], abs=0.01)
    assert shape.plan.area_mm2 == pytest.approx(facts["with_connector_mm2"], abs=0.01)
    assert layer(shape, "CONTACT_EDGE").taken == "mark"
    assert [one.asks for one in shape.questions] == ["leave_out", "thickness", "inner_loops"]
    assert shape.bodies == ()


def test_steps_stand_on_the_plate_and_below_it():
    facts = FACTS["control_board.dxf"]
    heights = (LayerHeight(layer="keepout_top", height_mm=18.0), LayerHeight(layer="KEEPOUT_BOTTOM", height_mm=-4.0))
    shape = read(BOARD, "b.dxf", thickness_mm=1.6, heights=heights)
    low, high = shape.bodies[0].mesh.bounds_mm
    assert (low[2], high[2]) == pytest.approx((-4.0, 19.6))
    # the connector's loop sticks out of the plate: from there it stands on nothing and goes down to z = 0
    over = facts["keepout_top_area_mm2"] * 18.0 + facts["keepout_bottom_area_mm2"] * 4.0
    assert volume(shape) == pytest.approx(facts["with_connector_mm2"] * 1.6 + over, rel=1e-5)


def test_the_half_section_turns_into_the_spindle_without_its_holes():
    """FACTS.toml, spindle_half.svg: profile area, turned volume, length, radii."""
    facts, shape = FACTS["spindle_half.svg"], read(HALF, turned=True)
    assert shape.plan.area_mm2 == pytest.approx(facts["profile_area_mm2"], abs=0.01)
    assert volume(shape) == pytest.approx(facts["turned_volume_mm3"], rel=1e-6)
    assert mass_properties(shape.bodies[0].mesh).volume_mm3 == pytest.approx(facts["turned_volume_mm3"], rel=5e-4)
    low, high = shape.bodies[0].mesh.bounds_mm
    assert high[0] - low[0] == pytest.approx(facts["length_mm"], abs=0.001)
    assert high[1] == pytest.approx(facts["largest_radius_mm"], abs=0.001)
    assert shape.findings == ()


def test_a_half_section_is_asked_where_nobody_says_that_it_is_one():
    assert "half_section" in [one.asks for one in read(HALF).questions]


def test_loops_in_the_outlines_layer_are_holes_and_in_another_marks_until_told():
    ring = svg(("part", "M0,0 H60 V40 H0 Z M10,10 H20 V20 H10 Z"))
    assert volume(read(ring, thickness_mm=5.0)) == pytest.approx((60 * 40 - 100) * 5.0)
    inside = svg(("part", "M0,0 H60 V40 H0 Z"), ("hole", "M10,10 H20 V20 H10 Z"))
    inside = inside.replace(b'<path id="hole"', b'<g id="H"><path').replace(b"</svg>", b"</g></svg>")
    assert volume(read(inside, thickness_mm=5.0)) == pytest.approx(60 * 40 * 5.0)
    through = (LayerHeight(layer="H", height_mm=0.0, through=True),)
    assert volume(read(inside, thickness_mm=5.0, heights=through)) == pytest.approx((60 * 40 - 100) * 5.0)


def test_separate_outlines_are_separate_bodies():
    two = svg(("part", "M0,0 H60 V40 H0 Z M100,0 H130 V40 H100 Z"))
    assert [one.name for one in read(two, thickness_mm=5.0).bodies] == ["a_1", "a_2"]


def test_a_full_section_is_taken_as_its_half_and_told():
    full = svg(("s", "M0,30 H80 V70 H0 Z"), lines='<line x1="-5" y1="50" x2="90" y2="50" stroke="#000"/>')
    shape = read(full, turned=True)
    assert [one.code for one in shape.findings] == ["PART-093"]
    assert volume(shape) == pytest.approx(math.pi * 400.0 * 80.0, rel=1e-6)


def test_without_an_axis_the_pages_edge_is_taken_and_told():
    shape = read(svg(("s", "M0,60 H80 V80 H0 Z")), turned=True)
    assert [one.code for one in shape.findings] == ["PART-092"]
    # the lower edge of the page is y = 100: radii 20 to 40
    assert volume(shape) == pytest.approx(math.pi * (1600.0 - 400.0) * 80.0, rel=1e-6)


@pytest.mark.parametrize(
    ("content", "said", "code"),
    [
        (svg(("s", "M0,0 H60 V40")), {"thickness_mm": 5.0}, "PART-094"),
        (svg(("s", "M0,0 H60 V40 H0 Z")), {"length_unit": "foot"}, "PART-012"),
        (
            svg(("s", "M0,0 H60 V40 H0 Z")),
            {"thickness_mm": 5.0, "heights": (LayerHeight(layer="top", height_mm=3.0),)},
            "PART-090",
        ),
        (
            svg(("s", "M0,0 H60 V40 H0 Z")),
            {"thickness_mm": 5.0, "heights": (LayerHeight(layer="L1", height_mm=math.nan),)},
            "PART-006",
        ),
        (
            svg(("s", "M0,0 H60 V40 H0 Z")),
            {"thickness_mm": 5.0, "heights": (LayerHeight(layer="L1", height_mm=0.0, through=True),)},
            "PART-096",
        ),
        (
            svg(("s", "M0,-30 H60 V30 H0 Z")).replace(
                b'height="100mm" viewBox="0 0 200 100"', b'height="1mm" viewBox="0 0 200 1"'
            ),
            {"turned": True},
            "PART-091",
        ),
        (b"<svg", {"thickness_mm": 5.0}, "PART-050"),
    ],
)
def test_a_drawing_that_makes_no_part_is_refused(content, said, code):
    assert refused(content, **said) == code
