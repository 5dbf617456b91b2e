"""Every solid of the demo as `traywright part` tells it, against exact figures from an independent solid kernel.

SOURCE: tests/data/solids/FACTS.toml, 25 November 2026: surface integrals and exact hidden-line edges of the boundary
solids by OpenCASCADE, not by a mesh.
"""

from __future__ import annotations

import functools
import tomllib

import pytest

from parts.asked import KIT, SOLIDS
from traywright.job.part_mass import PartMass
from traywright.job.part_plain import Known, plain_examined
from traywright.parts import ShapeAsked, examine, read_shape

FACTS = tomllib.loads((SOLIDS / "FACTS.toml").read_text(encoding="utf-8"))["file"]
SOLID = {
    "spindle.step": KIT,
    "spindle_inch.step": SOLIDS,
    "prism.step": KIT,
    "control_board.step": KIT,
    "control_board_one_body.step": SOLIDS,
    "kit_assembly.step": SOLIDS,
}
MESH = ["spindle.stl", "prism.stl", "control_board.stl", "kit_assembly.stl"]
AXES = {
    "+X": [1.0, 0.0, 0.0],
    "-X": [-1.0, 0.0, 0.0],
    "+Y": [0.0, 1.0, 0.0],
    "-Y": [0.0, -1.0, 0.0],
    "+Z": [0.0, 0.0, 1.0],
    "-Z": [0.0, 0.0, -1.0],
}
every_file = pytest.mark.parametrize("name", [*SOLID, *MESH])


@functools.cache
def told(name):
    content = (SOLID.get(name, SOLIDS) / name).read_bytes()
    known = examine(read_shape(ShapeAsked(id=name, file_name=name), content))
    return plain_examined(known, [Known()] * len(known.groups), PartMass(density_kg_m3=7850.0))


def facts(name):
    """Facts of a file; those of an STL are those of the solid that it is a mesh of, with its own body count."""
    own = FACTS[name]
    return {**FACTS[own["same_solid_as"]], **own} if "same_solid_as" in own else own


@every_file
def test_unit_and_number_of_bodies(name):
    """header_unit and bodies; an STL states no unit, which is asked, and mm is taken."""
    own = facts(name)
    assert told(name)["unit"] == own.get("header_unit", "mm")
    assert sum(one["count"] for one in told(name)["bodies"]) == own["bodies"]
    assert [one["taken"] for one in told(name)["questions"] if one["field"] == "length_unit"] == (
        [] if name in SOLID else ["mm"]
    )


@every_file
def test_volume_of_the_whole(name):
    """volume_mm3; 0.1 % from STEP, 0.5 % from STL, as the task asks."""
    limit = 0.001 if name in SOLID else 0.005
    assert told(name)["whole"]["volume_mm3"] == pytest.approx(facts(name)["volume_mm3"], rel=limit)


@every_file
def test_centre_of_gravity_of_the_whole(name):
    """centre_of_gravity_mm at one density, within 0.05 mm."""
    assert told(name)["whole"]["centre_of_gravity_mm"] == pytest.approx(facts(name)["centre_of_gravity_mm"], abs=0.05)


@every_file
def test_size(name):
    """bounding_box_min_mm and max, to their tolerance and the chords of the mesh."""
    own = facts(name)
    size = [high - low for low, high in zip(own["bounding_box_min_mm"], own["bounding_box_max_mm"], strict=True)]
    slack = 2.0 * told(name)["chord_mm"] + own["bounding_box_tolerance_mm"]
    assert told(name)["whole"]["size_mm"] == pytest.approx(size, abs=slack)


@every_file
@pytest.mark.parametrize("pose", AXES)
def test_silhouettes_of_the_six_axes(name, pose):
    """pose.silhouette_mm2: the shadow, what can be looked through not counted; within 0.1 %."""
    lying = next(one for one in told(name)["whole"]["poses"] if one["down"] == AXES[pose])
    own = facts(name)["pose"][pose]
    assert lying["silhouette_mm2"] == pytest.approx(own["silhouette_mm2"], rel=0.001)
    assert lying["outline_mm2"] == pytest.approx(own["outline_mm2"], rel=0.001)


def test_the_inch_file_is_the_millimetre_file():
    """spindle_inch.step: same_solid in inches; the same facts to 0.001 mm."""
    inch, mm = told("spindle_inch.step")["whole"], told("spindle.step")["whole"]
    assert inch["volume_mm3"] == pytest.approx(mm["volume_mm3"], rel=1e-6)
    assert inch["size_mm"] == pytest.approx(mm["size_mm"], abs=0.001)


@pytest.mark.parametrize("name", ["control_board.step", "kit_assembly.step"])
def test_every_body_by_its_name(name):
    """body.name, volume_mm3 within 0.1 % and the box of each."""
    by_name = {own: one for one in told(name)["bodies"] for own in one["names"]}
    assert sorted(by_name) == sorted(one["name"] for one in FACTS[name]["body"])
    for own in FACTS[name]["body"]:
        assert by_name[own["name"]]["volume_mm3"] == pytest.approx(own["volume_mm3"], rel=0.001)


@pytest.mark.parametrize("name", ["kit_assembly.step", "kit_assembly.stl"])
def test_bodies_of_one_shape_are_together_and_screws_are_proposed_for_dropping(name):
    """groups: 3 spindles, 2 prisms and 1 board are parts, 14 screws fasteners; some are mirrored, which is the same."""
    groups = FACTS["kit_assembly.step"]["groups"]
    found = {one["count"]: one for one in told(name)["bodies"]}
    assert sorted(found) == sorted(one["count"] for one in groups)
    for one in groups:
        own = found[one["count"]]
        assert own["likely"] == ("fastener" if one["like"] == "screw" else "part")
        assert own["own_mirror_image"] is one["congruent_to_mirror_image"]
        assert own["other_hand_of"] is None
        if name.endswith("step"):
            assert {each.rpartition("_")[0] for each in own["names"]} == {one["like"]}
    assert len([each for each in told(name)["questions"] if each["field"] == "body"]) == 1
