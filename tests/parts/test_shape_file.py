"""What a part's file gives: bodies in millimetres, or a refusal."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from parts.asked import KIT, SOLIDS
from traywright.base.errors import PartError
from traywright.geometry import Mesh, Region, extruded
from traywright.parts import ShapeAsked, examine, read_shape, shape_file
from traywright.parts.true_volume import Missing

ROW = np.dtype([("n", "<f4", 3), ("v", "<f4", (3, 3)), ("a", "<u2")])


def binary(*meshes: Mesh, away=(0.0, 0.0, 0.0)):
    corners = np.concatenate([one.corners_mm for one in meshes]) + np.array(away)
    rows = np.zeros(len(corners), dtype=ROW)
    rows["v"] = corners
    return bytes(80) + len(rows).to_bytes(4, "little") + rows.tobytes()


def block(x=0.0, y=0.0, z=0.0, side=30.0, tall=20.0):
    return extruded(Region.rectangle(x, y, x + side, y + side), z, z + tall)


def sheet():
    points = np.array([[0, 0, 0], [40, 0, 0], [0, 30, 0]], dtype=float)
    return Mesh(points, np.array([[0, 1, 2], [0, 2, 1]]))


def read(content, name="a.stl", **said):
    return read_shape(ShapeAsked(id="a", file_name=name, **said), content)


def refused(content, **said):
    with pytest.raises(PartError) as caught:
        read(content, **said)
    assert str(caught.value).count("\n") == 2
    return caught.value.code


def test_separate_bodies_of_a_mesh_are_told_apart():
    shape = read(binary(block(), block(x=100.0, side=10.0)))
    assert [one.name for one in shape.bodies] == ["a_1", "a_2"]
    assert [round(one.properties.volume_mm3) for one in (group.body for group in examine(shape).groups)] == [
        18_000,
        2_000,
    ]


def test_a_surface_without_thickness_is_left_out_or_refused():
    shape = read(binary(block(), replace_place(sheet(), 200.0)))
    assert len(shape.bodies) == 1
    assert refused(binary(sheet())) == "PART-004"


def replace_place(mesh, x):
    return Mesh(mesh.points_mm + np.array([x, 0.0, 0.0]), mesh.triangles)


def test_a_part_far_from_its_origin_is_told_or_refused():
    near = read(binary(block(), away=(1000.0, 0.0, 0.0)))
    assert near.findings == ()
    far = read(binary(block(), away=(1e6, 0.0, 0.0)))
    assert [one.code for one in far.findings] == ["PART-134"]
    assert refused(binary(block(), away=(1e8, 0.0, 0.0))) == "PART-134"


def test_no_part_is_that_small_or_large():
    assert refused(binary(block(side=0.03, tall=0.02)), length_unit="mm") == "PART-016"
    assert refused(binary(block(side=3e4, tall=2e4)), length_unit="mm") == "PART-016"


def test_the_true_volume_is_not_believed_where_chords_do_not_explain_it(monkeypatch):
    content = (KIT / "spindle.step").read_bytes()
    plain = shape_file.bodies_of_step

    def wrong(*words):
        bodies, chord_mm = plain(*words)
        off = Missing(volume_mm3=2000.0, moment_mm4=(0.0, 0.0, 0.0))
        return tuple(replace(one, missing=off) for one in bodies), chord_mm

    monkeypatch.setattr(shape_file, "bodies_of_step", wrong)
    shape = read(content, name="spindle.step")
    assert [one.code for one in shape.findings] == ["PART-135"]
    assert shape.bodies[0].missing is None


def test_how_fine_a_mesh_is_is_read_off_its_bends():
    assert read((SOLIDS / "spindle.stl").read_bytes(), name="spindle.stl").chord_mm == pytest.approx(0.01, abs=0.003)
    # a flat beside a rounded corner is not taken for a coarse round
    assert read((SOLIDS / "control_board.stl").read_bytes(), name="b.stl").chord_mm < 0.03
