"""States: what is added where, how a hot part grows, what is told of what is not known."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from parts.asked import asked, contact, lying, plate, told
from traywright.base import Severity, Status
from traywright.base.errors import PartError
from traywright.parts import AddedAt, PartState, Plate, Rule, Step, Turned, build_part

SHAPE = Plate(length_mm=100.0, width_mm=60.0, thickness_mm=10.0)


def celsius(value):
    return told("state.hot.temperature_c", value, "C")


def expansion(value, status=Status.STATED):
    return replace(told("state.hot.expansion_per_k", value, "1/K"), status=status)


def hot(temperature=120.0, grows=23e-6, **changes):
    return PartState(
        name="hot", temperature=celsius(temperature), expansion=None if grows is None else expansion(grows), **changes
    )


def codes(noticed):
    return [one.code for one in noticed]


def test_a_part_hands_its_states_on():
    states = (PartState(name="coated", added_mm=0.2), PartState(name="wet", wet=True, mass=told("mass_kg", 1.0, "kg")))
    part, noticed = plate(states=states)
    assert part.states == states
    assert part.grown == ()
    assert noticed == ()


def test_material_added_at_a_place_stands_on_that_place_only():
    state = PartState(name="painted", added=(AddedAt(where=(("facing", "+x"),), added_mm=0.5),))
    part, noticed = plate(states=(state,), contacts=(contact(Rule.NEVER, box_mm=((49, -60, -20), (101, 61, 20))),))
    (skin,) = part.grown
    assert (skin.state, skin.added_mm, noticed) == ("painted", 0.5, ())
    assert set(skin.corners_mm[:, :, 0].ravel().tolist()) == {100.0}
    assert set(skin.rules.tolist()) == {Rule.NEVER}
    two = cut_area(skin.corners_mm)
    assert two == pytest.approx(60.0 * 10.0)


def cut_area(corners):
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    return float(np.linalg.norm(across, axis=1).sum() / 2.0)


def test_the_pieces_of_a_place_are_cut_along_the_contacts():
    state = PartState(name="painted", added=(AddedAt(where=(("facing", "+z"),), added_mm=0.5),))
    part, _ = plate(states=(state,), contacts=(contact(Rule.NOT_AT_REST, band_mm=(0, 30), along="x"),))
    (skin,) = part.grown
    rules = skin.rules
    assert cut_area(skin.corners_mm[rules == Rule.NOT_AT_REST]) == pytest.approx(30.0 * 60.0)
    assert cut_area(skin.corners_mm[rules == Rule.ALLOWED]) == pytest.approx(70.0 * 60.0)


def test_a_place_that_covers_nothing_and_a_key_that_is_none_are_told():
    off = PartState(name="painted", added=(AddedAt(where=(("surface", "torus"),), added_mm=0.5),))
    part, noticed = plate(states=(off,))
    assert (part.grown, codes(noticed)) == ((), ["PART-115"])
    with pytest.raises(PartError) as refused:
        plate(states=(PartState(name="painted", added=(AddedAt(where=(("surfaces", "plane"),), added_mm=0.5),)),))
    assert refused.value.code == "PART-011"


@pytest.mark.parametrize(
    ("state", "key"),
    [
        (PartState(name="raw"), "name"),
        (PartState(name=""), "name"),
        (PartState(name="a", added_mm=-0.1), "added_mm"),
        (PartState(name="a", added_mm=math.nan), "added_mm"),
        (PartState(name="a", bag_mm=101.0), "bag_mm"),
        (PartState(name="a", added=(AddedAt(where=(), added_mm=math.inf),)), "added.mm"),
        (PartState(name="a", mass=told("m", 0.0, "kg")), "mass_kg"),
        (PartState(name="a", temperature=celsius(-300.0)), "temperature_c"),
        (PartState(name="a", temperature=celsius(90.0), expansion=expansion(0.02)), "expansion_per_k"),
    ],
    ids=lambda one: one if isinstance(one, str) else "",
)
def test_what_cannot_be_meant_is_refused(state, key):
    with pytest.raises(PartError) as refused:
        plate(states=(state,))
    assert refused.value.code == "PART-114"
    assert refused.value.parameters["key"] == key


def test_two_states_of_one_name_are_refused():
    with pytest.raises(PartError) as refused:
        plate(states=(PartState(name="a"), PartState(name="a", wet=True, mass=told("m", 1.0, "kg"))))
    assert refused.value.code == "PART-114"


@pytest.mark.parametrize(
    ("temperature", "ratio"), [(-40.0, 1.0), (20.0, 1.0), (23.0, 1.0), (120.0, 1.0023), (24.0, 1.000092)]
)
def test_a_part_grows_by_heat_from_20_c_and_not_by_cold(temperature, ratio):
    assert hot(temperature).size_ratio == pytest.approx(ratio, abs=1e-12)
    assert hot(temperature).grows == (temperature > 23.0)


def test_heat_is_not_calculated_without_expansion_and_told_where_it_is_from_memory():
    part, noticed = plate(states=(hot(grows=None),))
    assert codes(noticed) == ["PART-112"]
    assert noticed[0].severity is Severity.WARN
    assert not part.states[0].grows
    state = replace(hot(), expansion=expansion(23e-6, Status.MEMORY))
    _, noticed = plate(states=(state,))
    assert codes(noticed) == ["PART-116"]
    assert dict(noticed[0].parameters)["grown_mm"] == pytest.approx(2.3)
    assert plate(states=(hot(temperature=21.0, grows=None),))[1] == ()


def test_wet_changes_the_mass_only_and_a_larger_mass_is_told():
    part, noticed = plate(states=(PartState(name="wet", wet=True),))
    assert codes(noticed) == ["PART-112"]
    assert not part.states[0].grows
    _, noticed = plate(states=(PartState(name="wet", wet=True, mass=told("m", 1.2, "kg")),))
    assert codes(noticed) == ["PART-113"]
    assert dict(noticed[0].parameters)["mass_kg"] == 1.2
    assert plate(states=(PartState(name="wet", wet=True, mass=told("m", 1.0, "kg")),))[1] == ()


def test_a_face_of_a_turned_part_can_be_coated():
    shape = Turned(steps=(Step(length_mm=30, diameter_mm=50), Step(length_mm=30, diameter_mm=40)))
    where = (("surface", "cylinder"), ("diameter_mm", 40.0))
    state = PartState(name="plated", added=(AddedAt(where=where, added_mm=0.05),))
    part, noticed = build_part(asked(dimensions=shape, states=(state,)))
    assert noticed == ()
    (skin,) = part.grown
    assert cut_area(skin.corners_mm) == pytest.approx(math.pi * 40.0 * 30.0, rel=0.001)
    assert lying(part).part.grown == part.grown
