from __future__ import annotations

import math
import subprocess
import sys

import numpy as np
import pytest

from parts.asked import KIT, SOLIDS, SPINDLE, asked, demo, density, kg, plate, told
from parts.mesh_bytes import block, model, model_object, threemf
from traywright.base import Severity
from traywright.base.errors import PartError
from traywright.base.messages import message
from traywright.parts import (
    Disc,
    Plate,
    ShapeAsked,
    WeighedAsked,
    build_part,
    part_of_shape,
    read_shape,
    weighed,
)

STEP = (KIT / "prism.step").read_bytes()
STL = (SOLIDS / "prism.stl").read_bytes()
ROW = np.dtype([("n", "<f4", 3), ("v", "<f4", (3, 3)), ("a", "<u2")])


def refused(content=None, **changes):
    with pytest.raises(PartError) as caught:
        build_part(asked(**changes), content)
    assert str(caught.value).count("\n") == 2
    return caught.value.code


def binary(corners):
    rows = np.zeros(len(corners), dtype=ROW)
    rows["v"] = corners
    return bytes(80) + len(rows).to_bytes(4, "little") + rows.tobytes()


def corners():
    return np.frombuffer(STL[84:], dtype=ROW)["v"].astype(np.float64)


def from_stl(content):
    return build_part(asked(file_name="p.stl", length_unit="mm"), content)


@pytest.mark.parametrize(
    "content",
    [
        None,
        b"",
        b"ISO-10303-21;\njunk",
        STEP[: len(STEP) // 2],
        STEP[: STEP.index(b"DATA;")] + b"DATA;\nENDSEC;\nEND-ISO-10303-21;\n",
    ],
)
def test_a_step_file_without_a_shape_is_refused(content):
    assert refused(content, file_name="p.step", length_unit="mm") in {"PART-003", "PART-004"}


@pytest.mark.parametrize(
    ("name", "content"),
    [("p.stl", STEP), ("p.step", STL), ("p.dwg", STEP), ("p", STEP), ("p.step", b"junk")],
)
def test_a_name_that_does_not_fit_is_refused(name, content):
    assert refused(content, file_name=name, length_unit="mm") == "PART-002"


def test_a_unit_is_never_guessed():
    assert refused(STL, file_name="p.stl") == "PART-001"
    assert refused(STEP.replace(b"LENGTH_UNIT() NAMED_UNIT", b"NAMED_UNIT"), file_name="p.step") == "PART-001"
    assert refused(STL, file_name="p.stl", length_unit="yard") == "PART-012"


def test_a_stated_unit_wins_and_is_told():
    part, noticed = build_part(asked(file_name="p.step", length_unit="inch"), STEP)
    assert part.size_mm[2] == pytest.approx(50 * 25.4, abs=0.01)
    # and its mass speaks against it: 1 kg in 1.02 million mm3 would be lighter than foam
    assert [one.code for one in noticed] == ["PART-026", "PART-130"]
    assert build_part(asked(file_name="p.step", length_unit="mm"), STEP)[1] == ()


def test_a_slip_of_unit_is_refused():
    assert refused(STEP, file_name="p.step", length_unit="m") == "PART-016"


def test_a_broken_step_file_spoils_no_output():
    code = (
        "from parts.asked import asked\n"
        "from traywright.base.errors import PartError\n"
        "from traywright.parts import build_part\n"
        "try:\n"
        "    build_part(asked(file_name='p.step', length_unit='mm'), b'ISO-10303-21;junk END-ISO-10303-21;')\n"
        "except PartError as fault:\n"
        "    print(fault.code)\n"
    )
    words = [sys.executable, "-c", code]
    path = ":".join(sys.path)
    told = subprocess.run(words, env={"PYTHONPATH": path}, capture_output=True, check=True, stdin=subprocess.DEVNULL)
    assert (told.stdout, told.stderr) == (b"PART-003\n", b"")


def test_a_text_stl_is_the_binary_one():
    facets = [
        "facet normal 0 0 0\nouter loop\n"
        + "".join(f"vertex {float(x)!r} {float(y)!r} {float(z)!r}\n" for x, y, z in one)
        + "endloop\nendfacet\n"
        for one in corners()
    ]
    text = "solid p\n" + "".join(facets) + "endsolid p\n"
    assert from_stl(text.encode())[0].solid == from_stl(STL)[0].solid


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (STL[:-20], "PART-062"),
        (b"solid p\nvertex 1 2 x\n", "PART-003"),
        (b"solid p\nvertex 1 2 3\n", "PART-003"),
        (bytes(40), "PART-003"),
    ],
)
def test_a_damaged_stl_is_refused(content, code):
    assert refused(content, file_name="p.stl", length_unit="mm") == code


def test_an_stl_with_a_number_that_is_none_is_refused():
    bad = corners()
    bad[3, 1, 2] = math.nan
    assert refused(binary(bad), file_name="p.stl", length_unit="mm") == "PART-060"
    assert refused(b"solid p\nendsolid p\n", file_name="p.stl", length_unit="mm") == "PART-003"


def test_an_open_surface_is_refused():
    assert refused(binary(corners()[1:]), file_name="p.stl", length_unit="mm") == "PART-005"


def test_every_mend_is_told():
    exact = from_stl(STL)[0].volume_mm3
    gaps = corners() + np.random.default_rng(1).uniform(-0.0003, 0.0003, (len(corners()), 3, 3))
    mixed = corners()
    mixed[::2] = mixed[::2, ::-1]
    for content, code in (
        (binary(gaps), "PART-022"),
        (binary(mixed), "PART-023"),
        (binary(corners()[:, ::-1]), "PART-024"),
    ):
        part, noticed = from_stl(content)
        assert part.mends == (code,)
        assert [(one.code, one.severity) for one in noticed] == [(code, Severity.WARN)]
        assert part.volume_mm3 == pytest.approx(exact, rel=1e-4)


def test_the_chord_of_an_stl_is_judged():
    spindle = (SOLIDS / "spindle.stl").read_bytes()
    part = build_part(asked(file_name="s.stl", length_unit="mm"), spindle)[0]
    # made with 0.01 mm; of two uneven neighbours the wider counts
    assert 0.009 <= part.chord_mm <= 0.03
    assert from_stl(STL)[0].chord_mm == 0.0


def test_mass_is_stated_or_worked_out():
    given = density(7850.0)
    part, noticed = plate(mass=None, density=given)
    assert part.mass_kg == pytest.approx(0.06 * 7.85)
    assert part.mass.inputs == (given.ref,)
    assert noticed == ()
    assert refused(mass=None, dimensions=Disc(diameter_mm=10.0, thickness_mm=2.0)) == "PART-015"


@pytest.mark.parametrize(("stated", "noticed"), [(0.471 * 1.09, []), (0.471 * 1.11, ["PART-025"]), (0.4, ["PART-025"])])
def test_masses_that_do_not_agree_are_told(stated, noticed):
    part, found = plate(mass=kg(stated), density=density(7850.0))
    assert part.mass_kg == stated
    assert [one.code for one in found] == noticed
    for one in found:
        assert "%" in message(one.code, dict(one.parameters)).why


@pytest.mark.parametrize("bad", [0.0, -2.0, math.nan, math.inf, 1e12])
@pytest.mark.parametrize("key", ["mass", "density", "fragility"])
def test_a_number_that_cannot_be_used_is_refused(key, bad):
    changes = {"dimensions": Disc(diameter_mm=10.0, thickness_mm=2.0), key: told(key, bad, "kg")}
    assert refused(**changes) == "PART-006"


def test_a_tolerance_below_zero_is_refused():
    assert refused(dimensions=Disc(diameter_mm=10.0, thickness_mm=2.0), tolerance_mm=-0.1) == "PART-006"


def test_a_part_has_one_shape():
    assert refused() == "PART-010"
    assert refused(STEP, file_name="p.step", dimensions=Disc(diameter_mm=10.0, thickness_mm=2.0)) == "PART-010"


def test_the_same_file_gives_the_same_part():
    again = build_part(SPINDLE, (KIT / "spindle.step").read_bytes())[0]
    first = demo(SPINDLE)[0]
    assert again.solid.sha256 == first.solid.sha256
    assert again.surface.mesh.sha256 == first.surface.mesh.sha256
    assert np.array_equal(again.surface.rules, first.surface.rules)


def test_a_shape_that_was_read_before_makes_the_part_of_its_file():
    shape = read_shape(ShapeAsked(id="part", file_name="p.step"), STEP)
    part, noticed = part_of_shape(asked(), shape)
    same, told = build_part(asked(file_name="p.step"), STEP)
    assert (part.solid.sha256, part.sha256, part.size_mm) == (same.solid.sha256, same.sha256, same.size_mm)
    assert (part.volume_mm3, part.mass, part.chord_mm, noticed) == (same.volume_mm3, same.mass, same.chord_mm, told)
    with pytest.raises(PartError) as caught:
        part_of_shape(asked(mass=None), shape)
    assert caught.value.code == "PART-015"


def test_a_part_by_dimensions_has_a_fingerprint():
    one, two = plate()[0], plate(dimensions=Plate(length_mm=100.0, width_mm=60.0, thickness_mm=10.5))[0]
    assert one.sha256 == plate()[0].sha256 != two.sha256
    assert one.chord_mm == 0.0


@pytest.mark.parametrize("content", [(KIT / "control_board.step").read_bytes()])
def test_every_finding_has_its_three_lines(content):
    _, noticed = build_part(asked(file_name="p.step", length_unit="inch", mass=kg(9.0), density=density(1.0)), content)
    assert [one.code for one in noticed] == ["PART-026", "PART-130", "PART-020", "PART-025"]
    for one in noticed:
        told = message(one.code, dict(one.parameters))
        assert "part" in told.what


def test_a_name_that_several_bodies_bear_is_no_part():
    objects = [model_object(number, block(x=100.0 * number), f'name="{name}"') for number, name in enumerate("aab", 1)]
    items = "".join(f'<item objectid="{number}"/>' for number in (1, 2, 3))
    content = threemf(model(*objects, items=items))
    assert refused(content, file_name="p.3mf", body="a") == "PART-137"
    part, noticed = build_part(asked(file_name="p.3mf", body="b"), content)
    assert (part.size_mm, noticed) == ((60.0, 40.0, 20.0), ())
    assert [one.code for one in build_part(asked(file_name="p.3mf"), content)[1]] == ["PART-020"]


def test_both_ways_to_weigh_a_part_have_one_limit():
    """Beyond a tenth of both numbers, a job and a file on its own both tell a conflict."""
    litre = {"dimensions": Plate(length_mm=100.0, width_mm=100.0, thickness_mm=100.0), "density": density(1000.0)}
    for stated_kg in (0.88, 0.92, 1.08, 1.12):
        _, noticed = build_part(asked(**litre, mass=kg(stated_kg)))
        alone = weighed(WeighedAsked(id="part", volume_mm3=1e6, density=density(1000.0), mass=kg(stated_kg)))
        assert ("PART-025" in [one.code for one in noticed]) == ("PART-125" in [one.code for one in alone.findings])
