from __future__ import annotations

import math
from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from parts.asked import BOARD, PRISM, SPINDLE, asked, contact, demo, plate
from traywright.base.errors import PartError
from traywright.parts import Disc, Rule, Step, Tube, Turned, build_part
from traywright.parts.faces import fit_faces, normals_of

SHAFT = Turned(steps=(Step(length_mm=20.0, diameter_mm=60.0), Step(length_mm=80.0, diameter_mm=30.0)))


def area(part, rule, where=None):
    corners = part.surface.mesh.corners_mm
    normals, areas = normals_of(corners)
    picked = part.surface.rules == rule
    if where is not None:
        picked &= where(corners.mean(axis=1), normals)
    return float(areas[picked].sum())


def whole(part):
    return float(normals_of(part.surface.mesh.corners_mm)[1].sum())


def shaft(*contacts, **changes):
    return build_part(asked(dimensions=SHAFT, contacts=contacts, **changes))


def refused(*contacts, **changes):
    with pytest.raises(PartError) as caught:
        plate(contacts=contacts, **changes)
    assert str(caught.value).count("\n") == 2
    return caught.value.code


def test_the_prism_is_free_within_its_borders():
    part = demo(PRISM)[0]
    # legs 50 less two bevels of 1 and two borders of 6; hypotenuse 70.711 less the same along it
    long = 50 * math.sqrt(2) - 2 - 12
    assert area(part, Rule.NEVER) == pytest.approx(2 * 36 * 36 + 36 * long, rel=1e-4)
    # each end is a right triangle moved in by 1 from all sides: scaled by (r - 1) / r, r = (50 + 50 - 70.711) / 2
    within = (100 - 50 * math.sqrt(2)) / 2
    end = 1250 * ((within - 1) / within) ** 2
    assert area(part, Rule.ALLOWED, lambda _, normal: np.abs(normal[:, 2]) > 0.99) == pytest.approx(2 * end, rel=1e-4)


def test_the_journals_of_the_spindle_are_kept_at_rest():
    part = demo(SPINDLE)[0]
    exact = math.pi * 40 * 46 + math.pi * 32 * 30
    assert area(part, Rule.NOT_AT_REST) == pytest.approx(exact, rel=0.001)
    # the thread's band takes all it meets, bore and both end faces too, the one at x = 152 up to the journal
    thread = math.pi * (24 + 16) * 16 + math.pi * (144 - 64) + math.pi * (256 - 144)
    assert area(part, Rule.NEVER) == pytest.approx(thread, rel=0.001)


def test_the_board_is_free_along_its_edge_only():
    part = demo(BOARD)[0]
    # the long edge at the front: 4 mm of the underside over its straight length less the corners
    strip = area(
        part,
        Rule.ALLOWED,
        lambda at, normal: (normal[:, 2] < -0.99) & (at[:, 1] < 4.0) & (np.abs(at[:, 0] - 74.0) < 60.0),
    )
    assert strip == pytest.approx(4 * 120, abs=4 * 20)
    assert (
        area(part, Rule.ALLOWED, lambda at, _: (at[:, 0] > 133.01) & (np.abs(at[:, 1] - 48) < 14.9) & (at[:, 2] > 2))
        == 0
    )


def test_an_edge_is_cut_to_the_hundredth():
    part, _ = plate(default_rule=Rule.NEVER, contacts=(contact(Rule.ALLOWED, edge_mm=7, normal="z"),))
    assert area(part, Rule.NEVER) == pytest.approx(2 * (100 - 14) * (60 - 14))
    assert area(part, Rule.ALLOWED) == pytest.approx(2 * (6000 - 86 * 46) + 2 * 160 * 10)


def test_a_band_is_cut_where_it_ends():
    part, _ = shaft(contact(Rule.NOT_AT_REST, band_mm=(40.0, 55.5), along="x", surface="cylinder", diameter_mm=30))
    assert area(part, Rule.NOT_AT_REST) == pytest.approx(math.pi * 30 * 15.5, rel=0.001)


def test_a_box_is_cut_where_it_ends():
    part, _ = plate(contacts=(contact(Rule.NEVER, box_mm=((10, 10, 5), (30, 25, 20))),))
    assert area(part, Rule.NEVER) == pytest.approx(20 * 15)


def test_a_border_of_a_round_face_leans_to_the_stricter_side():
    border = contact(Rule.ALLOWED, border_mm=10, surface="cylinder", diameter_mm=30)
    part, _ = shaft(border, default_rule=Rule.NEVER)
    exact = math.pi * 30 * 20
    assert exact - math.pi * 30 * 2 * 1.5 <= area(part, Rule.ALLOWED) <= exact
    strict = contact(Rule.NEVER, border_mm=10, surface="cylinder", diameter_mm=30)
    part, _ = shaft(strict)
    assert exact <= area(part, Rule.NEVER) * 1.0005 <= exact + math.pi * 30 * 2 * 1.6
    assert len(part.surface.rules) < 60_000


def test_facing_without_a_sign_means_both_ways():
    both, _ = plate(default_rule=Rule.NEVER, contacts=(contact(Rule.ALLOWED, facing="z"),))
    one, _ = plate(default_rule=Rule.NEVER, contacts=(contact(Rule.ALLOWED, facing="-z"),))
    assert area(both, Rule.ALLOWED) == pytest.approx(12000)
    assert area(one, Rule.ALLOWED) == pytest.approx(6000)


def test_a_normal_may_be_a_direction():
    part, _ = plate(contacts=(contact(Rule.NEVER, normal=(0, 2, 0)),))
    assert area(part, Rule.NEVER) == pytest.approx(100 * 10)


@pytest.mark.parametrize("order", [(0, 1, 2), (2, 1, 0), (1, 0, 2)])
def test_the_strictest_wins_in_any_order(order):
    lines = [
        contact(Rule.ALLOWED, facing="z"),
        contact(Rule.NOT_AT_REST, box_mm=((0, 0, 5), (50, 60, 20))),
        contact(Rule.NEVER, box_mm=((0, 0, 5), (20, 60, 20))),
    ]
    part, _ = plate(default_rule=Rule.NEVER, contacts=tuple(lines[number] for number in order))
    assert area(part, Rule.NEVER, lambda _, normal: normal[:, 2] > 0.9) == pytest.approx(20 * 60)
    assert area(part, Rule.NOT_AT_REST, lambda _, normal: normal[:, 2] > 0.9) == pytest.approx(30 * 60)
    assert area(part, Rule.ALLOWED) == pytest.approx(50 * 60 + 6000)


@given(st.tuples(st.floats(0.1, 29.0), st.floats(30.0, 90.0)), st.floats(0.5, 25.0))
@settings(max_examples=25)
def test_cutting_loses_no_surface(band, edge):
    lines = (contact(Rule.NEVER, band_mm=band, along="x"), contact(Rule.NOT_AT_REST, edge_mm=edge, normal="z"))
    part, _ = plate(contacts=lines)
    assert whole(part) == pytest.approx(2 * (6000 + 1000 + 600))


def test_a_contact_that_covers_nothing_is_told():
    part, noticed = shaft(contact(Rule.NEVER, surface="cylinder", diameter_mm=31, why="journal"))
    assert [one.code for one in noticed] == ["PART-021"]
    assert dict(noticed[0].parameters)["number"] == 1
    assert area(part, Rule.NEVER) == 0.0


def test_load_and_hold_are_marks_of_a_spot():
    top = contact(Rule.ALLOWED, facing="+z", load=False)
    bottom = contact(Rule.ALLOWED, facing="-z", must_hold=True)
    surface = plate(contacts=(top, bottom))[0].surface
    _, areas = normals_of(surface.mesh.corners_mm)
    assert areas[~surface.carries].sum() == pytest.approx(6000)
    assert areas[surface.must_hold].sum() == pytest.approx(6000)


def test_what_must_hold_may_be_touched():
    hold = contact(Rule.ALLOWED, facing="-z", must_hold=True)
    assert refused(hold, contact(Rule.NOT_AT_REST, box_mm=((0, 0, 0), (5, 5, 10)))) == "PART-014"
    assert plate(contacts=(hold,), default_rule=Rule.NEVER)[1] == ()


def test_what_must_hold_carries():
    hold = contact(Rule.ALLOWED, facing="-z", must_hold=True)
    assert refused(hold, contact(Rule.ALLOWED, box_mm=((0, 0, 0), (5, 5, 10)), load=False)) == "PART-014"


def test_bores_and_shafts_are_told_apart():
    tube = Tube(length_mm=50.0, width_mm=30.0, height_mm=20.0, wall_mm=2.0)
    ring = Disc(diameter_mm=40.0, thickness_mm=8.0, bore_mm=30.0)
    for inside, exact in ((True, math.pi * 30 * 8), (False, math.pi * 40 * 8)):
        part, noticed = build_part(asked(dimensions=ring, contacts=(contact(Rule.NEVER, inside=inside),)))
        assert not noticed
        assert area(part, Rule.NEVER) == pytest.approx(exact, rel=0.002)
    _, noticed = build_part(asked(dimensions=tube, contacts=(contact(Rule.NEVER, inside=True),)))
    assert [one.code for one in noticed] == ["PART-021"]


def test_a_face_is_named_by_number_kind_and_middle():
    part = plate()[0]
    faces = fit_faces(part.surface.mesh, part.surface.faces)
    number = next(n for n, one in enumerate(faces) if one.axis[0] > 0.9)
    named = {"id": number, "kind": "plane", "centre_mm": (100.0, 30.0, 5.0)}
    for face in (named, named | {"id": 77}, SimpleNamespace(**named)):
        ruled, _ = plate(contacts=(contact(Rule.NEVER, face_ids=(face,)),))
        assert area(ruled, Rule.NEVER) == pytest.approx(600)
    assert refused(contact(Rule.NEVER, face_ids=(named | {"kind": "hill"},))) == "PART-013"
    _, noticed = plate(contacts=(contact(Rule.NEVER, face_ids=(named | {"kind": "cone"},)),))
    assert [one.code for one in noticed] == ["PART-102"]


@pytest.mark.parametrize(
    ("where", "code"),
    [
        ({"banded": (1, 2)}, "PART-011"),
        ({"band_mm": (1, 2)}, "PART-012"),
        ({"band_mm": (2, 1), "along": "x"}, "PART-012"),
        ({"band_mm": (1, math.nan), "along": "x"}, "PART-012"),
        ({"band_mm": "12", "along": "x"}, "PART-012"),
        ({"box_mm": ((0, 0, 0), (1, 1))}, "PART-012"),
        ({"box_mm": ((0, 0, 0), (1, -1, 1))}, "PART-012"),
        ({"box_mm": 3}, "PART-012"),
        ({"edge_mm": 0}, "PART-012"),
        ({"border_mm": -1}, "PART-012"),
        ({"facing": "up"}, "PART-012"),
        ({"normal": (0, 0, 0)}, "PART-012"),
        ({"surface": "hill"}, "PART-012"),
        ({"diameter_mm": True}, "PART-012"),
        ({"inside": "yes"}, "PART-012"),
        ({"face_ids": ({"id": 4, "kind": "plane", "centre_mm": (1, 2, 3), "size": 3},)}, "PART-012"),
        ({"face_ids": 4}, "PART-012"),
        ({"face_ids": ({"id": 4},)}, "PART-012"),
    ],
)
def test_a_place_that_cannot_be_meant_is_refused(where, code):
    assert refused(contact(Rule.NEVER, **where)) == code
