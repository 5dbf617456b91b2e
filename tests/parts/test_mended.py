from __future__ import annotations

import time

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from parts.asked import SOLIDS
from traywright.base import Severity, message
from traywright.base.errors import PartError
from traywright.geometry import Region, extruded, is_closed, mass_properties, turned_about_x
from traywright.parts import ShapeAsked, read_shape
from traywright.parts.body import Body
from traywright.parts.loose import Loose
from traywright.parts.mended import mend_findings, mended
from traywright.parts.sheets import winding

NO_FACES = np.empty(0, dtype=np.int64)
FILES = ["prism.stl", "spindle.stl", "control_board.stl", "kit_assembly.stl"]
every_file = pytest.mark.parametrize("name", FILES)
every_seed = pytest.mark.parametrize("seed", [1, 2, 3])
CUBE = extruded(Region.rectangle(0, 0, 40, 40), 0.0, 40.0).corners_mm


def triangles(name):
    rows = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("rest", "<u2")])
    return np.frombuffer((SOLIDS / name).read_bytes()[84:], dtype=rows)["corners"].astype(np.float64)


def mend(corners):
    return mended("p", Body(name="p", corners=np.asarray(corners, dtype=np.float64), faces=NO_FACES))


def outcome(corners):
    try:
        return mend(corners)
    except PartError as fault:
        return fault


def refused(corners):
    with pytest.raises(PartError) as caught:
        mend(corners)
    return caught.value


def volume(mesh):
    return mass_properties(mesh).volume_mm3


def codes(found):
    return [one.code for one in found.mends]


def holds(found, corners):
    """A mended mesh is closed, and its volume within what it states of the volume of the undamaged one."""
    exact = volume(mend(corners).mesh)
    assert is_closed(found.mesh)
    assert abs(volume(found.mesh) - exact) <= found.volume_error_mm3 + 1e-5 * exact
    for one in mend_findings("p", found):
        assert one.severity is Severity.WARN
        assert len(one.point_mm) == 3
        assert f"{dict(one.parameters)['count']}" in message(one.code, dict(one.parameters)).what


def off_mm(points, corners):
    """Largest distance of points from triangles: to their planes where they fall inside, else to their sides."""
    a, b, c = (corners[None, :, k] for k in range(3))
    p = points[:, None]
    across = np.cross(b - a, c - a)
    length = np.linalg.norm(across, axis=2)
    unit = across / np.where(length > 0, length, 1.0)[..., None]
    inside = length > 0
    least = np.full((len(points), len(corners)), np.inf)
    for one, other in ((a, b), (b, c), (c, a)):
        side = other - one
        share = np.clip(((p - one) * side).sum(2) / np.maximum((side * side).sum(2), 1e-30), 0.0, 1.0)
        least = np.minimum(least, np.linalg.norm(p - one - share[..., None] * side, axis=2))
        inside = inside & ((np.cross(side, p - one) * unit).sum(2) >= 0.0)
    least = np.where(inside, np.abs(((p - a) * unit).sum(2)), least)
    return float(least.min(axis=1).max())


@every_file
def test_what_is_closed_is_left_as_it_is(name):
    corners = triangles(name)
    found = mend(corners)
    assert found.mends == ()
    assert (found.volume_error_mm3, found.deviation_mm) == (0.0, 0.0)
    assert len(found.mesh.triangles) == len(corners)
    points = found.mesh.points_mm
    assert (np.lexsort(points.T[::-1]) == np.arange(len(points))).all()  # the order of a demo's bytes


@every_file
@every_seed
@pytest.mark.parametrize("count", [1, 5, 50])
def test_missing_triangles_are_filled_within_the_bound_or_refused_with_the_place(name, seed, count):
    corners = triangles(name)
    if count >= len(corners):
        count = len(corners) // 2
    gone = np.random.default_rng(seed).choice(len(corners), count, replace=False)
    found = outcome(np.delete(corners, gone, axis=0))
    if isinstance(found, PartError):
        told = found.parameters
        assert found.code == "PART-005"
        assert told["size_mm"] > 0.0
        place = [told["x_mm"], told["y_mm"], told["z_mm"]]
        # the middle of the hole lies no farther from what is missing than the hole is wide
        assert np.linalg.norm(corners[gone].reshape(-1, 3) - place, axis=1).min() <= told["size_mm"] + 0.001
    else:
        holds(found, corners)
        assert found.mends


@every_file
def test_turned_triangles_are_turned_back(name):
    corners = triangles(name)
    against = np.random.default_rng(7).random(len(corners)) < 0.2
    mixed = corners.copy()
    mixed[against] = mixed[against][:, ::-1]
    found = mend(mixed)
    assert codes(found) == ["PART-023"]
    assert found.mends[0].count == against.sum()
    holds(found, corners)
    inside_out = mend(corners[:, ::-1])
    assert codes(inside_out) == ["PART-024"]
    holds(inside_out, corners)


@every_file
def test_doubled_triangles_are_dropped(name):
    corners = triangles(name)
    for doubled, count in ((corners[:7], 7), (corners, len(corners))):
        found = mend(np.concatenate([corners, doubled]))
        assert [(one.code, one.count, one.largest_mm) for one in found.mends] == [("PART-118", count, 0.0)]
        holds(found, corners)
    both_sides = mend(np.concatenate([corners, corners[:, ::-1]]))
    assert "PART-118" in codes(both_sides)
    holds(both_sides, corners)


@pytest.mark.parametrize("name", FILES[:3])
@every_seed
def test_corners_that_do_not_meet_are_joined(name, seed):
    corners = triangles(name)
    found = mend(corners + np.random.default_rng(seed).uniform(-0.005, 0.005, corners.shape))
    assert "PART-022" in codes(found)
    assert 0.005 <= found.deviation_mm <= 0.1
    holds(found, corners)


@every_file
def test_corners_on_the_sides_of_neighbours_split_them(name):
    corners = triangles(name)
    middle = (corners[::11, 0] + corners[::11, 1]) / 2.0
    halves = [np.stack([corners[::11, 0], middle, corners[::11, 2]], 1)]
    halves += [np.stack([middle, corners[::11, 1], corners[::11, 2]], 1)]
    found = mend(np.concatenate([np.delete(corners, np.s_[::11], axis=0), *halves]))
    assert codes(found) == ["PART-119"]
    assert found.deviation_mm <= 0.001
    holds(found, corners)


@every_file
def test_stray_triangles_and_flaps_are_dropped(name):
    corners = triangles(name)
    away = np.array([[[900.0, 0, 0], [901, 0, 0], [900, 1, 0]]])
    flap = np.array([[corners[0, 0], corners[0, 1], corners[0].mean(axis=0) + 3.0]])
    for scrap in (away, flap):
        found = mend(np.concatenate([corners, scrap]))
        assert [(one.code, one.count) for one in found.mends] == [("PART-120", 1)]
        assert found.deviation_mm == 0.0
        assert volume(found.mesh) == pytest.approx(volume(mend(corners).mesh), rel=1e-9)


def test_a_body_with_a_hole_is_no_scrap():
    far = CUBE + np.array([100.0, 0.0, 0.0])
    found = mend(np.concatenate([far, CUBE[1:] * 0.2]))
    assert codes(found) == ["PART-121"]
    assert volume(found.mesh) == pytest.approx(64000.0 * 1.008)


def test_bodies_that_overlap_are_united_and_those_that_touch_are_not():
    found = mend(np.concatenate([CUBE, CUBE + np.array([30.0, 20.0, 10.0])]))
    assert [(one.code, one.count) for one in found.mends] == [("PART-123", 2)]
    assert volume(found.mesh) == pytest.approx(2 * 64000.0 - 10.0 * 20.0 * 30.0)
    assert found.deviation_mm == 0.0
    assert mend(np.concatenate([CUBE, CUBE * 0.5 + [40.0, 5.0, 5.0]])).mends == ()
    again = mend(np.concatenate([CUBE, CUBE + 1e-4 + 1e-5]))  # the same body twice, a hair apart
    assert "PART-123" in codes(again) or "PART-118" in codes(again)
    assert volume(again.mesh) == pytest.approx(64000.0, rel=0.0001)


def test_a_void_stays_and_an_inverted_neighbour_is_turned():
    void = CUBE[:, ::-1] * 0.5 + 10.0
    assert mend(np.concatenate([CUBE, void])).mends == ()
    assert volume(mend(np.concatenate([CUBE, void])).mesh) == pytest.approx(56000.0)
    found = mend(np.concatenate([CUBE, CUBE[:, ::-1] * 0.5 + 60.0]))
    assert [(one.code, one.count) for one in found.mends] == [("PART-024", 1)]
    assert volume(found.mesh) == pytest.approx(72000.0)


def test_an_inner_wall_is_dropped():
    left = extruded(Region.rectangle(0, 0, 20, 40), 0.0, 40.0).corners_mm
    right = (left * [-1.0, 1.0, 1.0] + np.array([40.0, 0.0, 0.0]))[:, ::-1]
    found = mend(np.concatenate([left, right]))  # two boxes face to face: both faces between them go
    assert codes(found) == ["PART-118"]
    assert volume(found.mesh) == pytest.approx(64000.0)
    wall = [one for one in left if np.allclose(one[:, 0], 20.0)]
    outside = [one for one in (*left, *right) if not np.allclose(one[:, 0], 20.0)]
    found = mend(np.array([*outside, *wall]))
    assert codes(found) == ["PART-122"]
    assert volume(found.mesh) == pytest.approx(64000.0)
    assert found.volume_error_mm3 == 0.0


def test_an_open_box_is_refused_with_its_place_and_size():
    open_box = [one for one in CUBE if not np.allclose(one[:, 2], 40.0)]
    told = refused(np.array(open_box)).parameters
    assert (told["x_mm"], told["y_mm"], told["z_mm"]) == (20.0, 20.0, 40.0)
    assert told["size_mm"] == pytest.approx(40.0 * 2**0.5, abs=0.001)
    assert (told["holes"], told["count"]) == (1, 4)


def test_nothing_is_refused():
    assert refused(np.empty((0, 3, 3))).code == "PART-004"
    assert refused(np.zeros((5, 3, 3))).code == "PART-004"


def test_a_strip_with_one_side_is_refused():
    turn = np.linspace(0.0, 2 * np.pi, 33)
    way = np.stack([np.cos(turn), np.sin(turn), 0 * turn], 1)
    lean = np.stack([np.cos(turn) * np.cos(turn / 2), np.sin(turn) * np.cos(turn / 2), np.sin(turn / 2)], 1)
    low, high = 20 * way - 5 * lean, 20 * way + 5 * lean
    strip = [[low[k], low[k + 1], high[k]] for k in range(32)] + [[high[k], low[k + 1], high[k + 1]] for k in range(32)]
    assert refused(np.array(strip)).code == "PART-005"


def test_faces_of_the_file_stay_with_their_triangles():
    faces = np.arange(12) // 2
    found = mended("p", Body(name="p", corners=CUBE[1:], faces=faces[1:]))
    assert sorted(np.bincount(found.faces).tolist()) in ([2] * 6, [1, 2, 2, 2, 2, 3])
    other = mended("p", Body(name="p", corners=np.concatenate([CUBE, CUBE + 15.0]), faces=np.arange(24) // 2))
    assert len(other.faces) == len(other.mesh.triangles)


def test_a_file_tells_its_mends():
    count = np.array([11], dtype="<u4").tobytes()
    rows = b"".join(bytes(12) + one.astype("<f4").tobytes() + bytes(2) for one in CUBE[1:])
    shape = read_shape(ShapeAsked(id="p", file_name="p.stl", length_unit="mm"), bytes(80) + count + rows)
    assert [one.code for one in shape.findings] == ["PART-121"]
    assert shape.bodies[0].mends == ("PART-121",)


def test_a_spot_within_is_wound_once():
    box = mend(CUBE).mesh
    whole = mended("p", Body(name="p", corners=box.corners_mm, faces=NO_FACES))
    loose = Loose(points=whole.mesh.points_mm, triangles=whole.mesh.triangles, faces=NO_FACES)
    assert winding(loose, np.array([3.0, 9.0, 20.0])) == pytest.approx(1.0)
    assert winding(loose, np.array([43.0, 9.0, 20.0])) == pytest.approx(0.0, abs=1e-9)


def test_a_hole_among_slim_triangles_is_filled_and_not_split_to_shreds():
    turn = np.linspace(0.0, np.pi, 100)
    ball = turned_about_x(Region.polygon(np.stack([80 * np.cos(turn), 80 * np.sin(turn)], 1).tolist()), 0.05).corners_mm
    pole = np.array([-80.0, -0.12, 1.12])
    gone = np.argsort(np.linalg.norm(ball.mean(axis=1) - pole, axis=1))[:21]
    found = mend(np.delete(ball, gone, axis=0))
    assert [(one.code, one.count) for one in found.mends] == [("PART-121", 1)]
    holds(found, ball)


# -- any damage --------------------------------------------------------------------------------------------------------

WHOLE = turned_about_x(
    Region.polygon([(0, 0), (60, 0), (60, 12), (40, 14), (40, 25), (20, 30), (0, 22)]), 0.3
).corners_mm


@given(st.integers(0, 10_000), st.integers(0, 4), st.sampled_from([0.0, 0.0, 0.002, 0.01]), st.integers(0, 3))
@settings(max_examples=60)
def test_any_damage_is_mended_as_stated_or_refused(seed, removed, jitter_mm, more):
    draws = np.random.default_rng(seed)
    broken = WHOLE + draws.uniform(-jitter_mm, jitter_mm, WHOLE.shape)
    if removed:  # triangles side by side
        spot = WHOLE[draws.integers(len(WHOLE))].mean(axis=0)
        broken = np.delete(broken, np.argsort(np.linalg.norm(WHOLE.mean(axis=1) - spot, axis=1))[:removed], axis=0)
    turned = draws.random(len(broken)) < 0.1
    broken[turned] = broken[turned][:, ::-1]
    broken = draws.permutation(np.concatenate([broken, broken[:more]]))
    found = outcome(broken)
    if isinstance(found, PartError):
        assert found.code == "PART-005"
        return
    exact = volume(mend(WHOLE).mesh)
    assert is_closed(found.mesh)
    assert volume(found.mesh) > 0.0
    assert abs(volume(found.mesh) - exact) <= found.volume_error_mm3 + 1e-5 * exact
    # corners read to 0.0001 mm; jitter that was not felt lies within what it moved
    slack = 0.0002 + 2.0 * jitter_mm
    spots = np.concatenate([found.mesh.points_mm, found.mesh.corners_mm.mean(axis=1)])
    assert off_mm(spots, WHOLE) <= found.deviation_mm + slack
    spots = np.concatenate([WHOLE.reshape(-1, 3), WHOLE.mean(axis=1)])
    assert off_mm(spots, found.mesh.corners_mm) <= found.deviation_mm + slack


@given(st.integers(0, 10_000))
@settings(max_examples=20)
def test_the_order_of_triangles_changes_neither_volume_nor_mends(seed):
    draws = np.random.default_rng(seed)
    broken = np.delete(triangles("control_board.stl"), [3, 200, 201], axis=0)
    one, other = mend(broken), mend(broken[draws.permutation(len(broken))])
    assert [(a.code, a.count, a.largest_mm) for a in one.mends] == [
        (a.code, a.count, a.largest_mm) for a in other.mends
    ]
    assert volume(other.mesh) == pytest.approx(volume(one.mesh), rel=1e-12)


@given(st.integers(0, 10_000), st.integers(1, 60))
@settings(max_examples=40)
def test_any_heap_of_triangles_is_mended_or_refused(seed, count):
    draws = np.random.default_rng(seed)
    points = draws.integers(0, 4, (8, 3)) * 5.0
    heap = points[np.array([draws.permutation(8)[:3] for _ in range(count)])]
    found = outcome(heap)
    if isinstance(found, PartError):
        assert found.code in {"PART-004", "PART-005"}
    else:
        assert is_closed(found.mesh)


def test_a_fine_mesh_is_found_closed_at_once():
    mesh = turned_about_x(Region.disc((100.0, 0.0), 80.0).intersection(Region.rectangle(0, 0, 200, 100)), 0.0004)
    body = Body(name="p", corners=mesh.corners_mm, faces=NO_FACES)
    mended("p", Body(name="p", corners=CUBE, faces=NO_FACES))
    start = time.process_time()
    assert mended("p", body).mends == ()
    # twice what is aimed at, for a desk that has other work
    assert time.process_time() - start <= 0.5 * max(1.0, len(mesh.triangles) / 200_000)
