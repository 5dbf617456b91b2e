from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.spatial import ConvexHull

from parts.asked import SOLIDS, SPINDLE, asked, contact, demo
from traywright.geometry import Mesh, Region, combined, extruded, turned_about_x
from traywright.parts import Boss, Hole, Plate, Rule, Step, Turned, build_part
from traywright.parts.build import solid_of_dimensions
from traywright.parts.faces import faces_by_crease, fit_faces, seamless
from traywright.parts.smooth_faces import faces_by_form


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


def forms(mesh):
    """Kind, diameter and side of each face by form, with its area."""
    return [
        (one.kind, round(one.diameter_mm, 2), one.inside, one.area_mm2) for one in fit_faces(mesh, faces_by_form(mesh))
    ]


def filleted_shaft():
    """80 mm wide for 20, then 30 mm wide for 60 with a fillet of 3 mm."""
    fillet = [(23 - 3 * math.sin(a), 18 - 3 * math.cos(a)) for a in np.linspace(math.pi / 2, 0, 9)]
    return turned_about_x(Region.polygon([(0, 0), (0, 40), (20, 40), *fillet, (80, 15), (80, 0)]))


def test_a_shaft_is_parted_from_its_fillet():
    found = forms(filleted_shaft())
    assert sorted(one[0] for one in found) == ["cylinder", "cylinder", "other", "plane", "plane", "plane"]
    journal = next(one for one in found if one[1] == 30.0)
    assert journal[3] == pytest.approx(math.pi * 30 * 57, rel=1e-3)
    shoulder = next(one for one in found if one[0] == "plane" and 2000 < one[3] < 4500)
    assert shoulder[3] == pytest.approx(math.pi * (40**2 - 18**2), rel=1e-3)


def test_rounded_corners_of_a_plate_are_cylinders_between_planes():
    shape = Plate(
        length_mm=100, width_mm=60, thickness_mm=10, corner_radius_mm=5, holes=(Hole(x_mm=50, y_mm=30, diameter_mm=20),)
    )
    found = sorted((kind, round(wide, 1), inside) for kind, wide, inside, _ in forms(solid_of_dimensions("p", shape)))
    assert found == [("cylinder", 10.0, False)] * 4 + [("cylinder", 20.0, True)] + [("plane", 0.0, False)] * 6


def test_a_box_rounded_all_over_has_planes_rounds_and_corners():
    lean, turn = np.meshgrid(np.linspace(0, math.pi, 17), np.linspace(0, 2 * math.pi, 33)[:-1])
    ball = np.stack([np.sin(lean) * np.cos(turn), np.sin(lean) * np.sin(turn), np.cos(lean)], axis=-1).reshape(-1, 3)
    middles = np.array([(x, y, z) for x in (4, 96) for y in (4, 56) for z in (4, 26)])
    points = np.round((4 * ball[None] + middles[:, None]).reshape(-1, 3), 5)
    hull = ConvexHull(points)
    used, numbers = np.unique(hull.simplices, return_inverse=True)
    triangles = numbers.reshape(-1, 3)
    corners = points[used][triangles]
    inward = (
        np.einsum(
            "ij,ij->i", np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), hull.equations[:, :3]
        )
        < 0
    )
    triangles[inward] = triangles[inward, ::-1]
    found = forms(Mesh(points[used], triangles))
    assert sorted(one[0] for one in found) == ["cylinder"] * 12 + ["other"] * 8 + ["plane"] * 6
    assert {one[1] for one in found} == {0.0, 8.0}


def test_a_free_form_is_not_parted():
    lean, turn = np.linspace(0, math.pi, 40)[1:-1], np.linspace(0, 2 * math.pi, 61)[:-1]
    profile = Region.polygon([(20 * (1 - math.cos(a)), 20 * math.sin(a)) for a in np.linspace(0, math.pi, 40)])
    assert len(forms(turned_about_x(profile))) == 1
    # an egg with waves
    far = 20 + 2 * np.sin(3 * turn)[None, :] * np.sin(lean)[:, None] ** 2
    ring = np.stack(
        [
            far * np.sin(lean)[:, None] * np.cos(turn),
            far * np.sin(lean)[:, None] * np.sin(turn),
            1.4 * far * np.cos(lean)[:, None],
        ],
        axis=-1,
    )
    rows, columns = ring.shape[:2]
    points = np.concatenate([ring.reshape(-1, 3), [[0, 0, 28.0], [0, 0, -28.0]]])
    at = np.arange(rows * columns).reshape(rows, columns)
    after = np.roll(at, -1, axis=1)
    quads = [(at[:-1], at[1:], after[1:]), (at[:-1], after[1:], after[:-1])]
    triangles = [np.stack(one, axis=-1).reshape(-1, 3) for one in quads]
    ends = [[(rows * columns, one, two) for one, two in zip(at[0], after[0], strict=True)]]
    ends += [[(rows * columns + 1, two, one) for one, two in zip(at[-1], after[-1], strict=True)]]
    mesh = Mesh(points, np.concatenate([*triangles, *np.array(ends)]))
    assert [one[0] for one in forms(mesh)] == ["other"]


def stl_of(mesh):
    record = np.zeros(len(mesh.triangles), dtype=[("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("spare", "<u2")])
    record["corners"] = mesh.corners_mm
    return b"\0" * 80 + np.uint32(len(record)).tobytes() + record.tobytes()


def test_contacts_of_an_stl_find_the_journal_the_bore_and_the_top():
    bored = combined([filleted_shaft()], [turned_about_x(Region.rectangle(-1, 0, 12, 15))])

    def covered(**where):
        told = asked(file_name="s.stl", length_unit="mm", contacts=(contact(Rule.NEVER, **where),))
        part, noticed = build_part(told, stl_of(bored))
        corners = part.surface.mesh.corners_mm[part.surface.rules == Rule.NEVER]
        areas = np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1) / 2
        return float(areas.sum()), [one.code for one in noticed]

    both = {"surface": "cylinder", "diameter_mm": 30}
    shaft, bore = math.pi * 30 * 57, math.pi * 30 * 12
    assert covered(**both) == (pytest.approx(shaft + bore, rel=1e-3), [])
    assert covered(**both, inside=False) == (pytest.approx(shaft, rel=1e-3), [])
    assert covered(**both, inside=True) == (pytest.approx(bore, rel=1e-3), [])
    assert covered(surface="plane", facing="-x") == (
        pytest.approx(math.pi * 40**2, rel=1e-3),  # the end less the bore, and the floor of the bore
        [],
    )


def test_a_plane_that_runs_into_a_round_faces_one_way():
    outline = Region.rectangle(2, 2, 58, 38).grown(2.0)
    block = Mesh(extruded(outline, 0.0, 50.0).points_mm[:, [2, 0, 1]], extruded(outline, 0.0, 50.0).triangles)
    told = asked(file_name="b.stl", length_unit="mm", contacts=(contact(Rule.NEVER, surface="plane", facing="+z"),))
    part, noticed = build_part(told, stl_of(block))
    corners = part.surface.mesh.corners_mm[part.surface.rules == Rule.NEVER]
    assert noticed == ()
    assert np.ptp(corners.reshape(-1, 3), axis=0) == pytest.approx([50.0, 56.0, 0.0], abs=1e-3)


@pytest.mark.parametrize("kind", ["cylinder", "cone"])
def test_two_or_three_triangles_are_no_round(kind):
    bent = Mesh(
        np.array([[0, 0, 0], [10, 0, 0], [0, 10, 1], [10, 10, 1], [0, -10, 1.0]]),
        np.array([[0, 1, 2], [1, 3, 2], [1, 0, 4]]),
    )
    assert kind not in [one.kind for one in fit_faces(bent, np.zeros(3, dtype=np.int32))]
