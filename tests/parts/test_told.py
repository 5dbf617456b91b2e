from __future__ import annotations

import json

import pytest

from parts.asked import SPINDLE, demo, demo_lying
from traywright.base import canonical_json
from traywright.base.errors import PartError
from traywright.geometry import mass_properties
from traywright.parts import Outline, Plate, part_record, read_dimensions
from traywright.parts.build import solid_of_dimensions

HOLE = {"x_mm": 10, "y_mm": 10, "diameter_mm": 4}
FLAT = {"length_mm": 40, "width_mm": 30, "thickness_mm": 5}
KINDS = [
    ({"kind": "turned", "step": [{"length_mm": 10, "diameter_mm": 20}]}, 3141.6),
    ({"kind": "plate", **FLAT, "hole": [HOLE | {"through": True}, HOLE | {"x_mm": 20, "depth_mm": 2}]}, 5912.0),
    (
        {
            "kind": "block",
            **FLAT,
            "boss": [
                {"x_mm": 9, "y_mm": 9, "size": {"diameter_mm": 6}, "height_mm": 3, "side": "bottom"},
                {"x_mm": 20, "y_mm": 9, "size": {"length_mm": 4, "width_mm": 5}, "height_mm": 3},
                {"x_mm": 30, "y_mm": 9, "size": [2, 2], "height_mm": 1},
                {"x_mm": 30, "y_mm": 20, "size": 2, "height_mm": 1},
            ],
        },
        6000 + 84.8 + 60 + 4 + 3.1,
    ),
    ({"kind": "tube", "length_mm": 50, "width_mm": 10, "height_mm": 8, "wall_mm": 1}, 50 * 32),
    ({"kind": "disc", "diameter_mm": 20, "thickness_mm": 4, "bore_mm": 10}, 942.5),
    (
        {
            "kind": "outline",
            "points_mm": [[0, 0], [20, 0], {"to": [20, 10], "centre": [20, 5], "way": "ccw"}, [0, 10]],
            "thickness_mm": 2,
        },
        478.5,
    ),
    (
        {
            "kind": "outline",
            "level": [
                {"points_mm": [[0, 0], [9, 0], [9, 9]], "from_mm": 0, "to_mm": 2},
                {"points_mm": [[0, 0], [9, 0], [9, 9]], "from_mm": 2, "to_mm": 4},
            ],
        },
        162,
    ),
]


@pytest.mark.parametrize(("told", "volume"), KINDS)
def test_every_kind_is_read_and_built(told, volume):
    mesh = solid_of_dimensions("p", read_dimensions("p", told))
    assert mass_properties(mesh).volume_mm3 == pytest.approx(volume, rel=0.002)


@pytest.mark.parametrize(
    ("told", "code"),
    [
        ({"kind": "bar"}, "PART-018"),
        ({}, "PART-018"),
        ({"kind": "disc", "diameter_mm": 4}, "PART-019"),
        ({"kind": "disc", "diameter_mm": 4, "thickness_mm": 2, "colour": 1}, "PART-019"),
        ({"kind": "turned", "step": [{"length": 4}]}, "PART-019"),
        ({"kind": "outline", "points_mm": [[1]], "thickness_mm": 2}, "PART-019"),
    ],
)
def test_what_is_not_known_is_refused(told, code):
    with pytest.raises(PartError) as caught:
        read_dimensions("p", told)
    assert caught.value.code == code
    assert str(caught.value).count("\n") == 2


def test_a_block_is_a_plate_with_bosses():
    assert isinstance(read_dimensions("p", KINDS[2][0]), Plate)
    assert isinstance(read_dimensions("p", KINDS[5][0]), Outline)


def test_the_record_of_a_part_is_json():
    told = part_record(demo(SPINDLE)[0], demo_lying(SPINDLE))
    assert json.loads(canonical_json(told))["mass_kg"] == 2.024
    assert told["watertight"] is True
    assert told["unit_read"] == "mm"
    assert told["mass"] == "enquiry:part.mass_kg"
    assert told["pose"]["down"] == [0.0, 0.0, -1.0]
