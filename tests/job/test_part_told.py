"""What `tell_part` says of one pose of a file's part."""

from __future__ import annotations

import csv
import tomllib
from functools import cache

import pytest

from parts.asked import SOLIDS
from parts.bodies import bolt, turned
from parts.mesh_bytes import block, model, model_object, threemf
from traywright.job import PartTyped, tell_part

FACTS = tomllib.loads((SOLIDS / "FACTS.toml").read_text(encoding="utf-8"))["file"]
DXF = SOLIDS / "control_board.dxf"
PLATE = {"thickness_mm": 2.0}
HEIGHTS = ("KEEPOUT_TOP=18", "KEEPOUT_BOTTOM=-4")


@cache
def board(**typed):
    """The drawn board with its steps, told with the pose that lies as it was drawn."""
    said = {"thickness_mm": 1.6, "heights": HEIGHTS} | typed
    poses = tell_part(DXF, PartTyped(**said))["bodies"][0]["poses"]
    number = next(one["number"] for one in poses if one["down"] == [0.0, 0.0, -1.0])
    return tell_part(DXF, PartTyped(**said, pose=number))


def test_a_pose_of_a_stepped_outline_has_its_steps():
    """FACTS.toml, control_board.dxf: areas of the plate with its connector and of the loops above and below it."""
    facts, told = FACTS["control_board.dxf"], board()["pose"]
    assert told["size_mm"][2] == pytest.approx(4.0 + 1.6 + 18.0)
    lowest, highest = told["opening"][0], told["opening"][-1]
    assert lowest["area_mm2"] == pytest.approx(facts["keepout_bottom_area_mm2"], rel=0.01)
    assert highest["until_mm2"] == pytest.approx(facts["with_connector_mm2"], rel=0.01)


def test_a_pose_lies_as_the_same_pose_of_the_body():
    told = board()
    body = told["bodies"][0]["poses"][told["pose"]["number"]]
    assert told["pose"]["size_mm"][2] == pytest.approx(body["height_mm"])
    assert told["pose"]["down"] == body["down"]


def test_a_pose_of_a_photograph_keeps_the_square_that_was_typed():
    """clamp_plate_photo.jpg: beside a square of 60 mm typed as 30 mm, its plate is half as large as drawn."""
    told = tell_part(SOLIDS.parent / "photo" / "clamp_plate_photo.jpg", PartTyped(**PLATE, square_mm=30.0, pose=0))
    with (SOLIDS.parent / "photo" / "clamp_plate_outline.csv").open(encoding="utf-8") as stream:
        points = [(float(row["x_mm"]), float(row["y_mm"])) for row in csv.DictReader(stream)]
    drawn = sorted((max(one) - min(one)) / 2.0 for one in zip(*points, strict=True))
    assert told["pose"]["size_mm"][2] == pytest.approx(2.0)
    assert sorted(told["pose"]["size_mm"][:2]) == pytest.approx(drawn, abs=1.0)


def test_nothing_told_of_a_pose_hangs_on_a_density():
    assert board(density_kg_m3=7850.0)["pose"] == board()["pose"]


def like_named(tmp_path):
    """A block of 60 x 40 x 20 mm with its corner at the origin and four bolts beside it, all of one name."""
    bolts = [turned(bolt(4.0, 12.0), seed, (200.0, 40.0 * seed, 0.0)) for seed in range(4)]
    objects = [model_object(number, one, 'name="body"') for number, one in enumerate([block(), *bolts], start=1)]
    items = "".join(f'<item objectid="{number}"/>' for number in range(1, 6))
    file = tmp_path / "kit.3mf"
    file.write_bytes(threemf(model(*objects, items=items)))
    return file


def test_bodies_of_one_name_do_not_mix_with_fasteners(tmp_path):
    """The block alone balances in its middle, 30, 20, 10; with the bolts it would not."""
    told = tell_part(like_named(tmp_path), PartTyped(mass_kg=0.1296, pose=0))
    assert [(one["count"], one["likely"], one["names"]) for one in told["bodies"]] == [
        (1, "part", ["body"]),
        (4, "fastener", ["body"] * 4),
    ]
    assert told["kept"]["centre_of_gravity_mm"] == pytest.approx([30.0, 20.0, 10.0])
    assert sorted(told["pose"]["size_mm"]) == pytest.approx([20.0, 40.0, 60.0])
