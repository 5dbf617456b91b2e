from __future__ import annotations

import dataclasses
import tomllib

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from parts.asked import KIT, SOLIDS, density, kg
from traywright.base import Given, Severity, Status, message, text
from traywright.base.errors import PartError
from traywright.geometry import Mesh, Region, extruded, mass_properties
from traywright.parts import ShapeAsked, read_shape
from traywright.parts.balance import BodyWeight, balance
from traywright.parts.weighed import WeighedAsked, weighed

LITRE = 1_000_000.0
BOARD = tomllib.loads((SOLIDS / "FACTS.toml").read_text(encoding="utf-8"))["file"]["control_board.step"]
METALS = (("steel", 7850.0), ("aluminium", 2700.0), ("brass", 8500.0), ("titanium", 4500.0))


def asked(mass_kg, **more):
    return WeighedAsked(**({"id": "p", "volume_mm3": LITRE, "density": density(1000.0), "mass": kg(mass_kg)} | more))


@pytest.mark.parametrize(
    ("mass_kg", "codes"),
    [(1.0, []), (1.02, []), (0.985, []), (1.05, ["PART-124"]), (0.95, ["PART-124"]), (1.2, ["PART-125"])],
)
def test_two_percent_is_silent_and_a_tenth_a_conflict(mass_kg, codes):
    told = weighed(asked(mass_kg))
    assert [one.code for one in told.findings] == codes
    assert told.mass.value == mass_kg
    assert len(told.questions) == codes.count("PART-125")
    for one in told.findings:
        what, why, fix = (getattr(message(one.code, dict(one.parameters)), key) for key in ("what", "why", "fix"))
        assert all((what, why, fix))
    for one in told.questions:
        assert "scale" in text("part_question", one.asks, **dict(one.parameters))


def test_what_the_volume_may_be_off_is_no_conflict():
    assert weighed(asked(1.2)).findings[0].severity is Severity.WARN
    assert not weighed(asked(1.2, volume_error_mm3=0.2 * LITRE)).findings


def test_what_a_scale_says_of_itself_is_no_conflict():
    scale = Given(ref="m", value=1.04, unit="kg", status=Status.MEASURED, source="scale", low=0.99, high=1.09)
    assert not weighed(asked(1.0, mass=scale)).findings


def test_one_of_the_two_is_enough():
    alone = weighed(asked(1.0, mass=None, volume_error_mm3=0.1 * LITRE))
    assert (alone.mass.value, alone.mass.low, alone.mass.high) == pytest.approx((1.0, 0.9, 1.1))
    assert weighed(asked(1.0, density=None)).mass.value == 1.0
    with pytest.raises(PartError) as caught:
        weighed(asked(1.0, density=None, mass=None))
    assert caught.value.code == "PART-015"


def keys(told):
    return [key for key, _ in told.questions[0].readings]


def test_another_material_is_named():
    told = weighed(asked(2.7, density=density(7850.0), materials=METALS))
    assert "material aluminium" in keys(told)
    assert "material steel" not in keys(told)
    assert ("hollow", "66% empty") in told.questions[0].readings


@pytest.mark.parametrize("times", [25.4, 10.0, 1000.0, 1 / 25.4, 0.1, 0.001])
def test_a_wrong_unit_is_named(times):
    told = weighed(asked(1.03 * times**3))
    assert ("size", f"{times:.6g} times as read") in [
        (key, words.split(",")[0]) for key, words in told.questions[0].readings
    ]


def test_pounds_and_grams_are_named():
    assert "mass in lb" in keys(weighed(asked(2.2046)))
    assert "mass in g" in keys(weighed(asked(1000.0)))


def test_bodies_more_or_less_are_named():
    bodies = (("foot", 0.6 * LITRE), ("head", 0.4 * LITRE))
    assert "without head" in keys(weighed(asked(0.6, bodies=bodies)))
    screws = (("screw_1", 0.1 * LITRE), ("screw_2", 0.1 * LITRE))
    assert "with all left out" in keys(weighed(asked(1.2, dropped=screws)))
    assert "3 parts on the scale" in keys(weighed(asked(3.0)))


def test_a_board_of_eleven_materials_balances_where_it_does():
    """mass_centre_of_gravity_mm of FACTS.toml."""
    shape = read_shape(ShapeAsked(id="b", file_name="b.step"), (KIT / "control_board.step").read_bytes())
    own = {one["name"]: one["density_kg_per_m3"] for one in BOARD["body"]}
    bodies = [
        BodyWeight(name=one.name, properties=mass_properties(one.mesh), density=density(own[one.name]))
        for one in shape.bodies
    ]
    told = balance("b", bodies)
    np.testing.assert_allclose(told.centre_of_gravity_mm, BOARD["mass_centre_of_gravity_mm"], atol=0.05)
    assert told.mass_kg == pytest.approx(BOARD["mass_kg"], rel=0.001)
    assert (told.equal_density, told.findings) == (False, ())
    blind = balance("b", [dataclasses.replace(one, density=None) for one in bodies], 0.142)
    np.testing.assert_allclose(blind.centre_of_gravity_mm, BOARD["centre_of_gravity_mm"], atol=0.05)
    assert (blind.equal_density, [one.code for one in blind.findings]) == (True, ["PART-126"])


def boxes(*densities):
    made = [extruded(Region.rectangle(30 * k, 0, 30 * k + 20, 10), 0.0, 10.0 + k) for k in range(len(densities))]
    return [
        BodyWeight(name=str(k), properties=mass_properties(mesh), density=own and density(own))
        for k, (mesh, own) in enumerate(zip(made, densities, strict=True))
    ]


def test_bodies_without_a_density_share_what_is_left():
    exact = balance("p", boxes(2000.0, 5000.0))
    told = balance("p", boxes(2000.0, None), exact.mass_kg)
    assert told.centre_of_gravity_mm == pytest.approx(exact.centre_of_gravity_mm)
    assert not told.equal_density  # one body alone is told by the rest
    assert balance("p", boxes(2000.0, None, None), 0.1).equal_density
    assert balance("p", boxes(2000.0, None)).mass_kg == pytest.approx(2000.0 * (2000.0 + 2200.0) / 1e9)
    assert balance("p", boxes(9000.0, None), 0.001).mass_kg == pytest.approx(0.001)
    with pytest.raises(PartError) as caught:
        balance("p", boxes(None))
    assert caught.value.code == "PART-015"


@given(st.floats(0.1, 3.0), st.floats(-1.5, 1.5), st.lists(st.floats(500.0, 9000.0), min_size=1, max_size=4))
def test_principal_moments_do_not_hang_on_how_the_part_lies(one, other, densities):
    turn = np.array([[np.cos(one), -np.sin(one), 0], [np.sin(one), np.cos(one), 0], [0, 0, 1]])
    turn = turn @ np.array([[1, 0, 0], [0, np.cos(other), -np.sin(other)], [0, np.sin(other), np.cos(other)]])
    told = balance("p", boxes(*densities))
    made = [extruded(Region.rectangle(30 * k, 0, 30 * k + 20, 10), 0.0, 10.0 + k) for k in range(len(densities))]
    turned = [
        BodyWeight(
            name=str(k),
            properties=mass_properties(Mesh(mesh.points_mm @ turn.T + 50.0, mesh.triangles)),
            density=density(own),
        )
        for k, (mesh, own) in enumerate(zip(made, densities, strict=True))
    ]
    again = balance("p", turned)
    assert again.principal_kg_mm2 == pytest.approx(told.principal_kg_mm2, rel=1e-6)
    np.testing.assert_allclose(np.array(again.axes) @ np.array(again.axes).T, np.eye(3), atol=1e-6)
    rebuilt = np.array(again.axes).T @ np.diag(again.principal_kg_mm2) @ np.array(again.axes)
    np.testing.assert_allclose(rebuilt, again.inertia_kg_mm2, atol=1e-3 * again.principal_kg_mm2[2])
