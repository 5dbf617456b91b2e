from __future__ import annotations

import pytest

from parts.asked import SOLIDS, SPINDLE, asked, demo
from traywright.parts import Boss, Plate, Step, Turned, build_part
from traywright.parts.build import solid_of_dimensions
from traywright.parts.faces import faces_by_crease, fit_faces, seamless


def kinds(mesh):
    faces = faces_by_crease(mesh)
    return sorted((one.kind, round(one.diameter_mm, 2)) for one in fit_faces(mesh, faces))


def test_a_shaft_has_planes_cylinders_and_cones():
    mesh = solid_of_dimensions(
        "p", Turned(steps=(Step(length_mm=10, diameter_mm=40, chamfer_mm=1), Step(length_mm=30, diameter_mm=20)))
    )
    assert kinds(mesh) == [
        ("cone", 0.0),
        ("cone", 0.0),
        ("cylinder", 20.0),
        ("cylinder", 40.0),
        ("plane", 0.0),
        ("plane", 0.0),
        ("plane", 0.0),
    ]


def test_a_round_boss_is_a_cylinder():
    shape = Plate(
        length_mm=50, width_mm=50, thickness_mm=5, bosses=(Boss(x_mm=25, y_mm=25, size_mm=(12.0,), height_mm=4),)
    )
    assert kinds(solid_of_dimensions("p", shape)).count(("cylinder", pytest.approx(12.0, abs=0.01))) == 1


def test_step_and_stl_have_the_same_cylinders():
    content = (SOLIDS / "spindle.stl").read_bytes()
    stl = build_part(asked(file_name="s.stl", length_unit="mm"), content)[0]
    step = demo(SPINDLE)[0]
    for part in (stl, step):
        found = [
            round(one.diameter_mm, 1)
            for one in fit_faces(part.surface.mesh, part.surface.faces)
            if one.kind == "cylinder"
        ]
        assert sorted(found) == [6.6] * 6 + [16.0, 24.0, 32.0, 40.0, 48.0, 92.0]


def test_halves_of_one_cylinder_are_joined():
    mesh = solid_of_dimensions("p", Turned(steps=(Step(length_mm=10, diameter_mm=40),)))
    faces = faces_by_crease(mesh)
    split = faces.copy()
    round_face = next(n for n, one in enumerate(fit_faces(mesh, faces)) if one.kind == "cylinder")
    upper = (faces == round_face) & (mesh.corners_mm[:, :, 2].mean(axis=1) > 0)
    split[upper] = faces.max() + 1
    assert len(set(split.tolist())) == 4
    assert len(set(seamless(mesh, split, fit_faces(mesh, split)).tolist())) == 3
