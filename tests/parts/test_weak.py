from __future__ import annotations

import math
import time

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from parts.asked import BOARD, KIT, PRISM, SPINDLE, skin_of_bodies
from traywright.base import Severity
from traywright.geometry import Mesh, Region, combined, extruded, turned_about_x
from traywright.parts import Boss, Disc, Hole, Outline, Plate, Tube, _kernels, weak
from traywright.parts.build import solid_of_dimensions
from traywright.parts.dimensions import Level
from traywright.parts.sharp_edges import edges_of
from traywright.parts.skin import skin_of_mesh
from traywright.parts.step_file import bodies_of_step
from traywright.parts.weak import weak_features, weak_findings
from twins import exits as twin

OBLIQUE = np.linalg.qr(np.array([[1.0, 2.0, 3.0], [0.5, -1.0, 2.0], [1.0, 1.0, -1.0]]))[0]
OBLIQUE = OBLIQUE * np.sign(np.linalg.det(OBLIQUE))


def found_in(mesh, kind=""):
    skin = skin_of_mesh("p", mesh)
    return [one for one in weak_features(skin.mesh, skin.faces, skin.fitted) if kind in ("", one.kind)]


def found(shape, kind=""):
    return found_in(solid_of_dimensions("p", shape), kind)


def prism_of(*points, length_mm=50.0):
    """A polygon drawn up to a length."""
    return extruded(Region.polygon(points), 0.0, length_mm)


def turned(mesh, shift=(11.0, -7.0, 3.0)):
    return Mesh(mesh.points_mm @ OBLIQUE.T + np.array(shift), mesh.triangles)


def wedge(angle_deg, length_mm=50.0):
    """A wedge of 40 mm from its edge at x = 0, y = 0."""
    return prism_of((0, 0), (40, 0), (40, 40 * math.tan(math.radians(angle_deg))), length_mm=length_mm)


@pytest.mark.parametrize("angle", [10.0, 30.0, 45.0, 59.5])
@pytest.mark.parametrize("place", [lambda mesh: mesh, turned])
def test_a_wedge_has_one_sharp_edge_as_long_as_it(angle, place):
    # the edge far from it, between the slope and the end, has 90 degrees less the angle
    edges = found_in(place(wedge(angle)), "sharp_edge")
    edge = edges[0] if angle <= 45.0 else edges[-1]
    assert len(edges) == (1 if angle == 10.0 else 1 + (90.0 - angle < 60.0))
    assert edge.length_mm == pytest.approx(50.0, abs=0.01)
    assert edge.angle_deg == pytest.approx(angle, abs=0.06)


def test_a_wedge_of_thirty_degrees_is_told_where_it_is():
    mesh = wedge(30.0)
    edge = found_in(mesh, "sharp_edge")[0]
    assert edge.place_mm == pytest.approx((0.0, 0.0, 25.0), abs=0.01)
    told = {one.code: one for one in weak_findings("p", mesh, tuple(found_in(mesh)))}
    assert told["PART-104"].severity is Severity.WARN
    assert dict(told["PART-104"].parameters)["angle_deg"] == 30.0
    assert told["PART-104"].point_mm == edge.place_mm


def test_sixty_degrees_are_not_sharp_and_a_box_has_plain_edges_only():
    triangle = prism_of((0, 0), (40, 0), (20, 40 * math.sqrt(3) / 2))
    assert [one.kind for one in found_in(triangle)] == ["plain_edge"]
    box = found(Plate(length_mm=100, width_mm=60, thickness_mm=10))
    assert [(one.kind, one.length_mm, one.angle_deg) for one in box] == [("plain_edge", 4 * 170.0, 90.0)]
    assert box[0].place_mm[0] == pytest.approx(50.0)


def test_hollow_edges_and_bevels_are_not_edges_to_break():
    pocket = found(
        Plate(length_mm=100, width_mm=60, thickness_mm=10, holes=(Hole(x_mm=50, y_mm=30, diameter_mm=20, depth_mm=5),))
    )
    assert pocket[0].length_mm == pytest.approx(680 + math.pi * 20, rel=1e-3)
    groove = prism_of((0, 0), (60, 0), (60, 30), (35, 30), (30, 15), (25, 30), (0, 30))
    assert found_in(groove, "sharp_edge") == []
    octagon = prism_of(*[(20 * math.cos(k * math.pi / 4), 20 * math.sin(k * math.pi / 4)) for k in range(8)])
    side = 2 * 20 * math.sin(math.pi / 8)
    assert found_in(octagon)[0].length_mm == pytest.approx(2 * 8 * side, abs=0.02)


def test_the_rim_of_a_cone_is_one_chain_and_its_tip_a_point():
    def cone(angle_deg):
        return turned_about_x(Region.polygon([(0, 0), (30, 30 * math.tan(math.radians(angle_deg / 2))), (30, 0)]))

    blunt, sharp = found_in(cone(62.0)), found_in(cone(40.0))
    assert [one.kind for one in blunt if one.kind == "point"] == []
    points = [one for one in sharp if one.kind == "point"]
    assert [(one.angle_deg, one.place_mm) for one in points] == [(pytest.approx(40.0, abs=0.2), (0.0, 0.0, 0.0))]
    # a lens: two flat cones base to base meet in a rim of 40 degrees
    lens = turned_about_x(
        Region.polygon([(0, 0), (20 * math.tan(math.radians(20)), 20), (2 * 20 * math.tan(math.radians(20)), 0)])
    )
    rims = found_in(lens, "sharp_edge")
    assert len(rims) == 1
    assert rims[0].length_mm == pytest.approx(math.pi * 40, rel=1e-3)
    assert rims[0].angle_deg == pytest.approx(40.0, abs=0.2)
    told = {one.code for one in weak_findings("p", lens, tuple(found_in(cone(40.0))))}
    assert "PART-108" in told


def test_a_drilled_tip_is_no_point():
    drill = turned_about_x(Region.polygon([(10, 0), (30, 5), (40, 5), (40, 15), (0, 15), (0, 0)]))
    assert found_in(drill, "point") == []
    assert found_in(drill, "sharp_edge") == []


def plate_with(*bosses, thickness_mm=8.0):
    return Plate(length_mm=80, width_mm=50, thickness_mm=thickness_mm, bosses=bosses)


def pin(size, height_mm, x_mm=30.0):
    return Boss(x_mm=x_mm, y_mm=20, size_mm=size, height_mm=height_mm)


@pytest.mark.parametrize("place", [lambda mesh: mesh, turned])
@pytest.mark.parametrize("size", [(3.0,), (2.0, 3.0)])
def test_a_plate_with_a_pin_of_twenty_millimetres(size, place):
    mesh = solid_of_dimensions("p", plate_with(pin(size, 20.0)))
    pins = found_in(place(mesh), "thin_pin")
    assert [(one.size_mm, one.length_mm) for one in pins] == [(pytest.approx(size[0], abs=0.02), 20.0)]
    where = np.array([30.0, 20.0, 28.0])
    where = where if place is not turned else where @ OBLIQUE.T + np.array((11.0, -7.0, 3.0))
    assert pins[0].place_mm == pytest.approx(tuple(where), abs=0.02)


def test_pins_end_where_they_are_thick_or_short():
    assert found(plate_with(pin((3.0,), 5.9)), "thin_pin") == []
    assert len(found(plate_with(pin((3.0,), 6.1)), "thin_pin")) == 1
    assert len(found(plate_with(pin((6.0,), 20.0)), "thin_pin")) == 1
    assert found(plate_with(pin((6.5,), 20.0)), "thin_pin") == []
    assert len(found(plate_with(pin((5.0, 5.0), 11.0)), "thin_pin")) == 1
    assert found(plate_with(pin((5.0, 5.0), 9.0)), "thin_pin") == []


def test_what_is_no_pin():
    hole = Plate(length_mm=80, width_mm=50, thickness_mm=20, holes=(Hole(x_mm=30, y_mm=20, diameter_mm=3),))
    rounded = Plate(length_mm=80, width_mm=50, thickness_mm=20, corner_radius_mm=2)
    dowel = turned_about_x(Region.polygon([(0, 0), (0, 2.5), (40, 2.5), (40, 0)]))
    rib = plate_with(pin((2.0, 20.0), 10.0))
    assert found(hole, "thin_pin") == found(rounded, "thin_pin") == found_in(dowel, "thin_pin") == []
    assert found(rib, "thin_pin") == []


def test_a_chamfered_tip_and_a_neck_between_two_ends():
    profile = [(0, 0), (0, 10), (8, 10), (8, 2), (27, 2), (28, 1), (28, 0)]
    tip = found_in(turned_about_x(Region.polygon(profile)), "thin_pin")
    assert [(one.size_mm, one.length_mm) for one in tip] == [(4.0, 19.0)]
    assert tip[0].place_mm == pytest.approx((27.0, 0.0, 0.0), abs=0.01)
    neck = [(0, 0), (0, 10), (8, 10), (8, 2), (28, 2), (28, 10), (36, 10), (36, 0)]
    between = found_in(turned_about_x(Region.polygon(neck)), "thin_pin")
    assert [(one.length_mm, one.place_mm[0]) for one in between] == [(20.0, pytest.approx(18.0))]


def test_the_pins_of_a_connector_are_counted_and_the_slimmest_is_told():
    pins = tuple(pin((0.64, 0.64), 6.0, x_mm=10 + 2.54 * k) for k in range(10))
    mesh = solid_of_dimensions("p", plate_with(*pins, pin((4.0,), 9.0, x_mm=60)))
    features = tuple(found_in(mesh))
    assert sum(one.kind == "thin_pin" for one in features) == 11
    told = {one.code: dict(one.parameters) for one in weak_findings("p", mesh, features)}
    assert (told["PART-106"]["count"], told["PART-106"]["size_mm"], told["PART-106"]["length_mm"]) == (11, 0.64, 6.0)
    # they are pins, and not told as thin walls once more
    assert "PART-107" not in told


@pytest.mark.parametrize("place", [lambda mesh: mesh, turned])
def test_a_tube_of_one_millimetre(place):
    ring = Disc(diameter_mm=40.0, thickness_mm=50.0, bore_mm=38.0)
    walls = found_in(place(solid_of_dimensions("p", ring)), "thin_wall")
    assert len(walls) == 1
    assert walls[0].size_mm == pytest.approx(1.0, abs=0.02)
    # all of it is thin: the area of its middle is what both sides have on average
    assert walls[0].area_mm2 == pytest.approx(math.pi * 39 * 50, rel=0.01)


def test_walls_end_at_a_millimetre_and_a_half():
    def tube(wall_mm):
        return found(Tube(length_mm=60.0, width_mm=40.0, height_mm=30.0, wall_mm=wall_mm), "thin_wall")

    # each side is a wall of its own: no face is shared
    assert [one.size_mm for one in tube(1.49)] == [1.49] * 4
    assert tube(1.5) == []
    # at the corners a ray from outside runs along the next side, so only what the hollow sees counts
    inside = 60 * 2 * (40 + 30 - 4 * 1.49)
    assert sum(one.area_mm2 for one in tube(1.49)) == pytest.approx(inside, rel=0.01)


def test_a_seal_nose_of_one_millimetre_is_found_on_a_large_part():
    block = [(0, 0), (200, 0), (200, 60), (101, 60), (101, 63), (100, 63), (100, 60), (0, 60)]
    shape = Outline(levels=(Level(points_mm=tuple(block), bottom_mm=0.0, top_mm=100.0),))
    walls = found(shape, "thin_wall")
    assert [one.size_mm for one in walls] == [1.0]
    assert walls[0].place_mm[0] == pytest.approx(100.5, abs=0.51)
    assert 60.0 <= walls[0].place_mm[1] <= 63.0
    assert walls[0].area_mm2 == pytest.approx(300.0, rel=0.1)


def test_a_small_lip_is_found_by_its_own_face():
    lip = extruded(Region.rectangle(50, 40, 51, 42), 20.0, 21.0)
    mesh = combined([extruded(Region.rectangle(0, 0, 300, 200), 0.0, 20.0), lip])
    assert [one.size_mm for one in found_in(mesh, "thin_wall")] == [1.0]


def test_two_ribs_are_two_walls():
    rib = [extruded(Region.rectangle(x, 10, x + thick, 40), 10.0, 25.0) for x, thick in ((20, 1.2), (50, 0.8))]
    mesh = combined([extruded(Region.rectangle(0, 0, 80, 50), 0.0, 10.0), *rib])
    walls = found_in(mesh, "thin_wall")
    assert [one.size_mm for one in walls] == [0.8, 1.2]
    told = next(one for one in weak_findings("p", mesh, tuple(walls)) if one.code == "PART-107")
    assert dict(told.parameters)["count"] == 2
    assert dict(told.parameters)["size_mm"] == 0.8
    assert dict(told.parameters)["area_mm2"] == pytest.approx(2 * 30 * 15, rel=0.1)


def test_a_knife_edge_is_an_edge_and_no_wall():
    assert found_in(wedge(30.0), "thin_wall") == []


@pytest.mark.parametrize(("which", "kinds"), [(SPINDLE, ["plain_edge"]), (PRISM, []), (BOARD, ["plain_edge"])])
def test_the_demo_has_no_weak_features(which, kinds):
    content = (KIT / which.file_name).read_bytes()
    skin = skin_of_bodies("p", bodies_of_step("p", which.file_name, content, 1.0)[0])
    assert [one.kind for one in weak_features(skin.mesh, skin.faces, skin.fitted)] == kinds


def test_material_fills_a_right_angle_or_three_of_them():
    step = prism_of((0, 0), (30, 0), (30, 10), (10, 10), (10, 30), (0, 30))
    assert sorted(set(edges_of(step).angles_deg.tolist())) == [90.0, 180.0, 270.0]


def test_a_fine_mesh_is_not_searched_and_told(monkeypatch):
    mesh = wedge(30.0)
    monkeypatch.setattr(weak, "MOST_TRIANGLES", len(mesh.triangles) - 1)
    assert found_in(mesh) == []
    told = weak_findings("p", mesh, ())
    assert [(one.code, one.severity) for one in told] == [("PART-109", Severity.NOTE)]
    monkeypatch.setattr(weak, "MOST_TRIANGLES", len(mesh.triangles))
    assert found_in(mesh) != []


def test_a_turned_part_of_two_hundred_thousand_triangles_takes_two_seconds():
    profile = Region.polygon([(0, 0), (0, 30), (40, 30), (40, 20), (120, 20), (120, 15), (160, 15), (160, 0)])
    mesh = turned(turned_about_x(profile, chord_mm=30 * (1 - math.cos(math.pi / 17000))))
    assert len(mesh.triangles) > 190_000
    skin = skin_of_mesh("p", mesh)
    found_in(wedge(30.0))  # kernels are made ready
    start = time.process_time()
    assert [one.kind for one in weak_features(skin.mesh, skin.faces, skin.fitted)] == ["plain_edge"]
    assert time.process_time() - start < 2.0


@given(st.integers(0, 10_000), st.integers(1, 60), st.floats(0.3, 4.0))
@settings(max_examples=60)
def test_rays_agree_with_their_twin(seed, count, reach):
    draws = np.random.default_rng(seed)
    corners = draws.uniform(-1.0, 1.0, (40, 1, 3)) + draws.uniform(-1.0, 1.0, (40, 3, 3))
    corners[0, 2] = corners[0, 1]
    starts = draws.uniform(-1.0, 1.0, (count, 3))
    ways = draws.normal(size=(count, 3))
    ways /= np.linalg.norm(ways, axis=1)[:, None]
    far, through = _kernels.exits(starts, ways, reach, 1e-9, corners)
    wanted, by = twin.exits(starts.tolist(), ways.tolist(), reach, 1e-9, corners.tolist())
    assert far == pytest.approx(np.array(wanted), abs=1e-9)
    assert through.tolist() == by


@given(st.integers(0, 10_000), st.integers(1, 12))
@settings(max_examples=40)
def test_any_pile_of_boxes_is_searched_the_same_twice(seed, count):
    draws = np.random.default_rng(seed)
    boxes = []
    for _ in range(count):
        low = draws.uniform(-20.0, 20.0, 3)
        high = low + np.exp(draws.uniform(math.log(0.02), math.log(40.0), 3))
        box = extruded(Region.rectangle(low[0], low[1], high[0], high[1]), low[2], high[2])
        boxes.append(box if draws.integers(2) else turned(box, (0.0, 0.0, 0.0)))
    mesh = combined(boxes)
    features = found_in(mesh)
    assert features == found_in(mesh)
    kinds = [one.kind for one in features]
    assert kinds == sorted(kinds, key=["sharp_edge", "point", "plain_edge", "thin_pin", "thin_wall"].index)
    for one in weak_findings("p", mesh, tuple(features)):
        assert one.severity in (Severity.WARN, Severity.NOTE)
        assert len(one.point_mm) == 3
