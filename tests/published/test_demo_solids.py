"""Exact figures of the demo's solids, from an independent solid kernel.

SOURCE: tests/data/solids/FACTS.toml, 25 November 2026: surface integrals and exact hidden-line edges of the boundary
solids by OpenCASCADE, not by a mesh. Ours comes from a mesh whose chords lie up to c inside round faces, so volume and
shadow are low by at most surface x c and perimeter x c; centres move by far less than c.
"""

from __future__ import annotations

import re
import tomllib

import numpy as np
import pytest

from parts.asked import BOARD, KIT, PRISM, SOLIDS, SPINDLE, asked, demo, density
from traywright.parts import build_part, silhouette, take_pose

FACTS = tomllib.loads((SOLIDS / "FACTS.toml").read_text(encoding="utf-8"))["file"]
DEMO = [SPINDLE, PRISM, BOARD]
POSES = {
    "+X": (1.0, 0.0, 0.0),
    "-X": (-1.0, 0.0, 0.0),
    "+Y": (0.0, 1.0, 0.0),
    "-Y": (0.0, -1.0, 0.0),
    "+Z": (0.0, 0.0, 1.0),
    "-Z": (0.0, 0.0, -1.0),
}
every_part = pytest.mark.parametrize("which", DEMO, ids=lambda which: which.id)


@every_part
def test_volume(which):
    """volume_mm3; low by surface x chord at most, and never high beyond the stated tolerance."""
    facts, part = FACTS[which.file_name], demo(which)[0]
    low = facts["surface_mm2"] * part.chord_mm
    assert -low <= part.volume_mm3 - facts["volume_mm3"] <= facts["volume_tolerance_mm3"]


@every_part
def test_volume_without_a_part_of_surface_and_chord(which):
    """volume_mm3 once more, to 0.02 % as the STL of 0.01 mm chord has it (mesh_volume_mm3)."""
    facts = FACTS[which.file_name]
    assert demo(which)[0].volume_mm3 == pytest.approx(facts["volume_mm3"], rel=0.0003)


@every_part
def test_centre_of_gravity(which):
    """centre_of_gravity_mm at one density; chords lie inside round faces unevenly: a tenth of 0.01 mm and the stated
    tolerance, 0.003 mm in all."""
    facts = FACTS[which.file_name]
    np.testing.assert_allclose(demo(which)[0].centre_of_gravity_mm, facts["centre_of_gravity_mm"], atol=0.003)


@every_part
def test_bounding_box(which):
    """bounding_box_min_mm and max_mm: corners of the mesh lie on the surface, but not at its very ends: one chord."""
    facts, part = FACTS[which.file_name], demo(which)[0]
    low, high = part.solid.bounds_mm
    np.testing.assert_allclose(low, facts["bounding_box_min_mm"], atol=part.chord_mm + 0.001)
    np.testing.assert_allclose(high, facts["bounding_box_max_mm"], atol=part.chord_mm + 0.001)


@every_part
@pytest.mark.parametrize("pose", POSES)
def test_silhouette(which, pose):
    """pose.*.silhouette_mm2, holes that can be looked through not counted; low by perimeter x chord at most."""
    facts, part = FACTS[which.file_name], demo(which)[0]
    region = silhouette(take_pose(part, POSES[pose]))
    exact = facts["pose"][pose]["silhouette_mm2"]
    low = region.perimeter_mm * (part.chord_mm + 0.0005) + facts["silhouette_tolerance_mm2"]
    assert -low <= region.area_mm2 - exact <= facts["silhouette_tolerance_mm2"]


@pytest.mark.parametrize("pose", ["+X", "-X"])
def test_outline_with_holes_filled(pose):
    """spindle.step pose.+X.outline_mm2: the six flange holes and the bore filled; low by pi 92 x chord at most."""
    part = demo(SPINDLE)[0]
    region = silhouette(take_pose(part, POSES[pose]))
    exact = FACTS["spindle.step"]["pose"][pose]["outline_mm2"]
    assert len(region.rings()[0][1]) == 7
    assert exact - 290 * part.chord_mm - 0.05 <= region.filled().area_mm2 <= exact + 0.05


def test_mass_from_density():
    """spindle.step mass_kg = 7850 kg/m3 x volume; our volume is 0.03 % low at most."""
    part, _ = build_part(
        asked(id="s", file_name="spindle.step", mass=None, density=density(7850.0)), (KIT / "spindle.step").read_bytes()
    )
    assert part.mass_kg == pytest.approx(FACTS["spindle.step"]["mass_kg"], rel=0.0003)


def test_the_inch_header_gives_the_same_part():
    """spindle_inch.step bounding box and volume: numbers in inch, the same solid."""
    facts = FACTS["spindle_inch.step"]
    part, noticed = build_part(asked(file_name="spindle_inch.step"), (SOLIDS / "spindle_inch.step").read_bytes())
    assert (part.unit_read, noticed) == ("inch", ())
    assert part.volume_mm3 == pytest.approx(facts["volume_mm3"], rel=0.0003)
    assert part.size_mm[0] == pytest.approx(facts["longest_number_in_file_inch"] * 25.4, abs=0.001)


def in_metres(content):
    """The file with its header unit and all its points in metres."""
    points = re.compile(rb"(CARTESIAN_POINT\('[^']*',\s*\()([^)]*)\)")
    text = points.sub(
        lambda found: found[1] + b",".join(b"%.12f" % (float(one) / 1000) for one in found[2].split(b",")) + b")",
        content,
    )
    return text.replace(b"SI_UNIT(.MILLI.,.METRE.)", b"SI_UNIT($,.METRE.)")


def test_the_metre_header_gives_the_same_part():
    """prism.step volume and bounding box after its numbers and its header are changed to metres."""
    facts = FACTS["prism.step"]
    part, noticed = build_part(asked(file_name="prism.step"), in_metres((KIT / "prism.step").read_bytes()))
    assert (part.unit_read, noticed) == ("m", ())
    assert part.volume_mm3 == pytest.approx(facts["volume_mm3"], rel=1e-5)
    np.testing.assert_allclose(part.size_mm, facts["bounding_box_max_mm"], atol=0.001)


@pytest.mark.parametrize("name", ["spindle", "prism", "control_board"])
def test_the_stl_is_the_same_solid(name):
    """*.stl mesh_volume_mm3 and bodies; single precision in the file: one millionth."""
    facts = FACTS[f"{name}.stl"]
    part, noticed = build_part(asked(file_name=f"{name}.stl", length_unit="mm"), (SOLIDS / f"{name}.stl").read_bytes())
    assert part.volume_mm3 == pytest.approx(facts["mesh_volume_mm3"], rel=1e-6)
    assert [one.code for one in noticed] == (["PART-020"] if facts["bodies"] > 1 else [])
    assert part.watertight


def test_the_bodies_of_the_board_are_counted():
    """control_board.step bodies = 11, one part; their volumes add up to volume_mm3."""
    facts = FACTS["control_board.step"]
    assert dict(demo(BOARD)[1][0].parameters)["count"] == facts["bodies"]
    assert sum(body["volume_mm3"] for body in facts["body"]) == pytest.approx(facts["volume_mm3"], abs=0.01)


def test_the_thread_is_the_narrowest_end():
    """Drawing of the spindle in FACTS (spindle_half.svg): length 168, largest radius 46."""
    facts = FACTS["spindle_half.svg"]
    size = demo(SPINDLE)[0].size_mm
    assert size[0] == pytest.approx(facts["length_mm"], abs=0.001)
    assert max(size[1:]) == pytest.approx(2 * facts["largest_radius_mm"], abs=0.01)
