from __future__ import annotations

import pytest

from parts.asked import SOLIDS
from parts.bodies import block, bolt, bracket, mirror, nut, ring, rod, turned, washer
from traywright.catalogue import table
from traywright.geometry import combined, extruded
from traywright.parts import ShapeAsked, read_shape
from traywright.parts.alike import group_alike
from traywright.parts.congruent import measured
from traywright.parts.fastener_form import fastener_form
from traywright.parts.fasteners import bodies_question, body_findings, fastener_word, propose_fasteners

THREADS = table("fasteners")


def pan_screw(diameter, length):
    return combined([rod(diameter, -0.1, length, sides=64), rod(2 * diameter, -0.6 * diameter, 0.0, sides=96)])


def proposed(*named):
    """Groups and proposals of bodies that are told by name and mesh."""
    names, meshes = [name for name, _ in named], [mesh for _, mesh in named]
    groups = group_alike(meshes, names)
    return groups, propose_fasteners(groups, meshes, THREADS)


def dropped(*named):
    return [(one.name, one.count, one.form, one.thread, one.word) for one in proposed(*named)[1]]


HOUSING = ("housing", combined([block(160, 120, 60)], [block(140, 100, 50, (10, 10, 20))]))


@pytest.mark.parametrize(("ending", "named"), [("step", "screw_01"), ("stl", "")])
def test_only_the_kit_s_screws_are_proposed(ending, named):
    # FACTS.toml: fourteen screws are fasteners; shank 4 mm, head 7 mm
    shape = read_shape(
        ShapeAsked(id="kit", file_name=f"kit.{ending}", length_unit="mm"),
        (SOLIDS / f"kit_assembly.{ending}").read_bytes(),
    )
    groups, found = proposed(*((one.name, one.mesh) for one in shape.bodies))
    assert [(one.count, one.form, one.thread, one.word) for one in found] == [(14, "screw", "M4", named[:5])]
    question = bodies_question(groups, found)
    assert sorted(count for _, count in question.kept) == [1, 2, 3]
    assert question.readings == ("drop", "keep_all")
    asked = question.asked("bodies")
    assert asked.taken == "drop"
    assert "14 x" in dict(asked.readings)["keep_all"]
    assert asked.asks == "bodies"


@pytest.mark.parametrize(
    ("mesh", "form", "thread"),
    [
        (bolt(6, 20), "screw", "M6"),
        (bolt(10, 60), "screw", "M10"),
        (pan_screw(4, 10), "screw", "M4"),
        (pan_screw(6.35, 25), "screw", "1/4-20"),
        (nut(8), "nut", "M8"),
        (washer(4.3, 9.0, 0.8), "washer", "M4"),
        (washer(6.4, 12.0, 1.6), "washer", "M6"),
        (rod(4.0, 0.0, 20.0), "pin", "M4"),
    ],
)
def test_forms_of_fasteners(mesh, form, thread):
    seen = fastener_form(measured(turned(mesh, 3)), THREADS)
    assert (seen.form, seen.thread) == (form, thread)


@pytest.mark.parametrize(
    "mesh",
    [
        bracket(),
        block(10, 10, 4),
        rod(20.0, 0.0, 5.0),
        rod(23.4, 0.0, 100.0),
        combined([rod(20.0, 0.0, 50.0)], [rod(16.0, -1.0, 51.0)]),
        washer(20.0, 42.0, 12.0),
        extruded(ring(6, 10.0), 0.0, 10.0),
    ],
)
def test_forms_that_are_none(mesh):
    assert fastener_form(measured(turned(mesh, 3)), THREADS) is None


@pytest.mark.parametrize(
    ("name", "word"),
    [
        ("HexNut_3", "nut"),
        ("DIN 912 M4x12", "DIN 912"),
        ("ISO4762", "ISO4762"),
        ("M5x16", "M5x16"),
        ("Schrauben", ""),
        ("Schraube-1", "schraube"),
        ("washers", "washer"),
        ("spindle", ""),
        ("minute", ""),
        ("pinion", ""),
        ("EN_plate", ""),
        ("control_board_1", ""),
        ("M5 axle", ""),
    ],
)
def test_words_in_names(name, word):
    assert fastener_word(name) == word


def test_unnamed_screws_are_proposed_if_there_are_several():
    screws = [(f"b{n}", turned(pan_screw(5, 12), n)) for n in range(3)]
    assert dropped(HOUSING, *screws) == [("b0", 3, "screw", "M5", "")]
    assert dropped(HOUSING, screws[0]) == []


def test_a_name_alone_is_not_enough_and_one_with_its_form_is():
    assert dropped(HOUSING, ("pin block", block(9, 8, 5))) == []
    assert dropped(HOUSING, ("M6 screw", bolt(6, 20))) == [("M6 screw", 1, "screw", "M6", "screw")]
    assert dropped(HOUSING, ("clip rivet", block(9, 8, 5)), ("rivet", block(9, 8, 5)))[0][1:] == (2, "", "", "rivet")


def test_a_file_of_fasteners_proposes_nothing():
    bolts = [(f"bolt{n}", turned(bolt(8, 60), n)) for n in range(4)]
    washers = [(f"washer{n}", turned(washer(4.3, 9.0, 0.8), n)) for n in range(8)]
    assert dropped(*bolts, *washers) == []
    assert len(dropped(HOUSING, *bolts, *washers)) == 2


def test_a_pin_as_large_as_the_part_is_a_part():
    assert (
        dropped(("plate", block(60, 40, 5)), ("shaft pin", rod(12.0, 0.0, 80.0)), ("pin", rod(12.0, 0.0, 80.0))) == []
    )


def test_a_left_and_a_right_are_told():
    groups, found = proposed(("left", bracket()), ("right", turned(mirror(bracket()), 2)))
    (told,) = body_findings("kit", groups, found)
    assert (told.code, dict(told.parameters)["name"], dict(told.parameters)["other"]) == ("PART-070", "right", "left")


def test_every_proposal_tells_its_reason():
    groups, found = proposed(HOUSING, *((f"screw {n}", turned(bolt(6, 20), n)) for n in range(2)))
    (told,) = body_findings("kit", groups, found)
    assert told.code == "PART-071"
    assert dict(told.parameters)["reason"] == "a screw of about M6 by its form, screw by its name"
    assert bodies_question(groups, ()) is None
