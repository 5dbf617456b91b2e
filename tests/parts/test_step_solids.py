from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from parts.asked import KIT, SOLIDS
from traywright.base.errors import PartError
from traywright.parts import ShapeAsked, read_shape, shape_file
from traywright.parts.step_solids import solids_told, whole_bodies

BOARD = (KIT / "control_board.step").read_bytes()


@pytest.mark.parametrize(
    ("path", "faces"),
    [
        (KIT / "spindle.step", [20]),
        (KIT / "prism.step", [14]),
        (KIT / "control_board.step", [3, 6, 6, 6, 6, 6, 6, 6, 6, 6, 10]),
        (SOLIDS / "kit_assembly.step", [13, 14, 14, 20, 20, 58]),
    ],
)
def test_the_text_tells_the_faces_of_each_solid(path, faces):
    told = sorted(solids_told(path.read_bytes()).faces)
    assert set(told) == set(faces)
    assert len(told) >= len(faces)


def without_a_face(monkeypatch, name):
    plain = shape_file.bodies_of_step

    def losing(*words):
        bodies, chord_mm = plain(*words)
        return tuple(_less(one) if one.name == name else one for one in bodies), chord_mm

    def _less(body):
        keep = body.faces != body.faces[0]
        return replace(body, corners=body.corners[keep], faces=body.faces[keep])

    monkeypatch.setattr(shape_file, "bodies_of_step", losing)


def test_a_body_that_lost_a_face_is_told_and_not_used(monkeypatch):
    without_a_face(monkeypatch, "PCB")
    shape = read_shape(ShapeAsked(id="a", file_name="a.step"), BOARD)
    assert "PCB" not in [one.name for one in shape.bodies]
    assert [(one.code, dict(one.parameters)["wanted"]) for one in shape.findings] == [("PART-069", 10)]


def test_a_file_whose_only_body_lost_a_face_is_refused(monkeypatch):
    without_a_face(monkeypatch, "prism")
    with pytest.raises(PartError) as refused:
        read_shape(ShapeAsked(id="a", file_name="a.step"), (KIT / "prism.step").read_bytes())
    assert refused.value.code == "PART-069"


def test_voids_and_loose_surfaces_are_counted():
    text = (
        b"#1=CLOSED_SHELL('it''s',(#2,#3,\n #4));#5=CLOSED_SHELL('',(#6,#7));#8=ORIENTED_CLOSED_SHELL('',*,#5,.F.);"
        b"#9=BREP_WITH_VOIDS('hollow',#1,(#8));#10=SHELL_BASED_SURFACE_MODEL('',(#11));"
    )
    told = solids_told(text)
    assert (told.faces, told.loose) == ((5,), 1)


def test_a_file_that_tells_no_solids_is_believed():
    shape = read_shape(ShapeAsked(id="a", file_name="a.step"), (KIT / "prism.step").read_bytes())
    assert whole_bodies("a", b"", ())[0] == ()
    assert len(np.unique(shape.bodies[0].faces)) == 14
