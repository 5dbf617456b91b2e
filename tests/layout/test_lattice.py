"""Lattices keep the spacing by shapely's own distances, and kernels agree with their plain twins."""

from __future__ import annotations

import math
from itertools import combinations, pairwise, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import MultiPoint, Polygon, box

from traywright.base.errors import LayoutError
from traywright.geometry import Region
from traywright.layout import _kernels_lattice as kernels
from traywright.layout.asked import Sides
from traywright.layout.barred import QUARTER, barred, convex_pieces, edges_of
from traywright.layout.coarse import coarser
from traywright.layout.lattice import Lattice, dense_lattices, densest_lattice
from traywright.layout.lattice_spots import lattice_spots
from traywright.layout.spacing_ring import spacing_ring
from twins import lattice as twins

TOUCHING = Sides.all_round(0.0)
WITHIN_MM = 1e-5  # far below a snap step; what float noise may take
ELL = [(0, 0), (50, 0), (50, 12), (12, 12), (12, 40), (0, 40)]
HOOK = [
    (0, 0),
    (60, 0),
    (60, 40),
    (44, 40),
    (44, 30),
    (50, 30),
    (50, 10),
    (10, 10),
    (10, 30),
    (20, 30),
    (20, 40),
    (0, 40),
]
DART = [(0, 0), (40, 0), (14, 9), (8, 35)]
PEAR = [(15 * math.cos(t) * (1 + 0.3 * math.sin(t)), 24 * math.sin(t)) for t in np.linspace(0, 6.2, 40)]


def patch(corners, lattice):
    """A patch of 5 x 5 cells by shapely's own affine steps."""
    one = Polygon(corners)
    u, v = np.array(lattice.u_mm), np.array(lattice.v_mm)
    found = [affinity.translate(one, *(m * u + k * v)) for m, k in product(range(5), range(5))]
    if lattice.second_mm:
        half = affinity.rotate(one, 180, origin=(0, 0))
        second = np.array(lattice.second_mm)
        found += [affinity.translate(half, *(second + m * u + k * v)) for m, k in product(range(5), range(5))]
    return found


def hold_apart(corners, lattice, spacing_mm):
    for here, there in combinations(patch(corners, lattice), 2):
        assert here.distance(there) >= spacing_mm - WITHIN_MM
        # predicates: areas of overlays fail where edges lie on each other to float noise
        assert not here.buffer(-WITHIN_MM, join_style="mitre").intersects(there)


def share_of_patch(corners, lattice):
    cell = abs(lattice.u_mm[0] * lattice.v_mm[1] - lattice.u_mm[1] * lattice.v_mm[0])
    return Polygon(corners).area * (2 if lattice.second_mm else 1) / cell


@pytest.mark.parametrize(
    ("corners", "spacing", "half_turned"),
    [(ELL, 6.0, True), (HOOK, 0.0, True), (HOOK, 6.0, True), (DART, 0.0, False), (DART, 6.0, True), (PEAR, 0.0, True)],
)
def test_no_two_copies_stand_nearer_than_the_spacing(corners, spacing, half_turned):
    lattice = densest_lattice(Region.polygon(corners), Sides.all_round(spacing), half_turned=half_turned)
    hold_apart(Region.polygon(corners).rings()[0][0], lattice, spacing)
    assert lattice.density_ratio == pytest.approx(share_of_patch(corners, lattice), rel=0.0001)  # snapped corners
    assert bool(lattice.second_mm) <= half_turned


def test_copies_are_as_near_as_the_spacing_lets_them():
    lattice = densest_lattice(Region.polygon(ELL), Sides.all_round(6.0), half_turned=True)
    nearest = min(here.distance(there) for here, there in combinations(patch(ELL, lattice), 2))
    assert nearest == pytest.approx(6.0, abs=0.01)


def test_sides_of_unlike_spacing_ask_for_a_rectangle_of_their_own():
    # hand calculation: a rectangle 40 x 20 with 6 and 2 beside it, 5 and 3 behind: the larger of two needs stands
    # between two equal copies; half-turned ones may stand no nearer, as the rectangle is the same both ways round
    spacing = Sides(right_mm=6.0, back_mm=5.0, left_mm=2.0, front_mm=3.0)
    lattice = densest_lattice(Region.rectangle(0, 0, 40, 20), spacing, half_turned=False)
    assert lattice.cell_mm2 <= 46.0 * 25.0 + WITHIN_MM
    around = MultiPoint(spacing_ring(spacing, 4 * QUARTER)).convex_hull.buffer(-0.02)
    pieces = patch([(0, 0), (40, 0), (40, 20), (0, 20)], lattice)
    for here, there in combinations(pieces, 2):
        # the need as points: no corner of one lies in the body about a corner of the other
        for corner in here.exterior.coords:
            assert not affinity.translate(around, *corner).intersects(there)


def test_without_polish_it_is_found_sooner_and_is_never_denser():
    cell, spacing = Region.polygon(HOOK), Sides.all_round(4.0)
    rough = densest_lattice(cell, spacing, half_turned=True, finish=False)
    fine = densest_lattice(cell, spacing, half_turned=True)
    hold_apart(HOOK, rough, 4.0)
    assert 0.85 * fine.density_ratio < rough.density_ratio <= fine.density_ratio


def test_several_lattices_differ_and_come_densest_first():
    found = dense_lattices(Region.polygon(HOOK), Sides.all_round(4.0), half_turned=True, most=6)
    densities = [one.density_ratio for one in found]
    assert all(one >= after * (1.0 - 1e-8) for one, after in pairwise(densities))
    assert len(found) == len(set(found)) > 2


def test_the_same_twice():
    asked = (Region.polygon(PEAR), Sides.all_round(3.0))
    assert densest_lattice(*asked, half_turned=True) == densest_lattice(*asked, half_turned=True)


@pytest.mark.parametrize(("corners", "spacing"), [(HOOK, 0.0), (HOOK, 8.0), (PEAR, 8.0)])
def test_turning_the_outline_changes_nothing(corners, spacing):
    densities = [
        densest_lattice(Region.polygon(corners).turned(angle), Sides.all_round(spacing), half_turned=True).density_ratio
        for angle in (0.0, 37.3)
    ]
    assert max(densities) < 1.002 * min(densities)


def test_an_outline_of_five_thousand_corners_keeps_the_spacing():
    angles = np.linspace(0.0, 2.0 * math.pi, 5000, endpoint=False)
    corners = [((60 + 6 * math.sin(7 * t)) * math.cos(t), (40 + 6 * math.cos(5 * t)) * math.sin(t)) for t in angles]
    cell = Region.polygon(corners)
    lattice = densest_lattice(cell, Sides.all_round(5.0), half_turned=True)
    copies = patch(cell.rings()[0][0], lattice)
    near = [*copies[6:9], *copies[31:34]]
    assert min(here.distance(there) for here, there in combinations(near, 2)) >= 5.0 - WITHIN_MM


def test_a_needle_takes_no_longer():
    needle = [(0.0, 0.0), (40.0, 1.0), (20.0, 0.51)]
    lattice = densest_lattice(Region.polygon(needle), TOUCHING, half_turned=True)
    hold_apart(needle, lattice, 0.0)


@pytest.mark.parametrize(
    ("cell", "code"),
    [
        (Region.empty(), "LAY-003"),
        (Region.rectangle(0, 0, 1, 1).union(Region.rectangle(5, 5, 6, 6)), "LAY-005"),
    ],
)
def test_what_is_no_outline_is_refused(cell, code):
    with pytest.raises(LayoutError) as caught:
        densest_lattice(cell, Sides.all_round(0.0), half_turned=True)
    assert caught.value.code == code


# -- spots ----------------------------------------------------------------------------------------------------------

OBLIQUE = Lattice(u_mm=(31.0, 7.0), v_mm=(-9.0, 24.0), second_mm=(12.0, 15.0), density_ratio=0.5)


@pytest.mark.parametrize("frame_deg", [0.0, 90.0, 33.0])
def test_no_shift_of_the_lattice_brings_in_more(frame_deg):
    boxes = ((10.0, 12.0, 181.0, 120.0), (4.0, 9.0, 175.0, 117.0))
    spots = lattice_spots(OBLIQUE, *boxes, frame_deg=frame_deg)
    rng = np.random.default_rng(5)
    turn = np.exp(1j * math.radians(frame_deg))
    u, v, second = (complex(*one) * turn for one in (OBLIQUE.u_mm, OBLIQUE.v_mm, OBLIQUE.second_mm))
    flat = np.array([m * u + k * v for m in range(-20, 21) for k in range(-20, 21)])
    best = 0
    for a, b in rng.uniform(0.0, 1.0, (3000, 2)):
        count = 0
        for points, (left, front, right, back) in zip((flat, flat + second), boxes, strict=True):
            at = points + a * u + b * v
            count += np.sum((at.real >= left) & (at.real <= right) & (at.imag >= front) & (at.imag <= back))
        best = max(best, count)
    assert best <= len(spots) <= best + 2  # 3000 draws come near the best, never above it


def test_spots_lie_in_their_boxes_and_on_the_lattice():
    boxes = ((10.0, 12.0, 181.0, 120.0), (4.0, 9.0, 175.0, 117.0))
    spots = lattice_spots(OBLIQUE, *boxes)
    anchor = next(one for one in spots if not one.half_turned)
    for x, y, half in spots:
        left, front, right, back = boxes[half]
        assert left - WITHIN_MM <= x <= right + WITHIN_MM
        assert front - WITHIN_MM <= y <= back + WITHIN_MM
        step = np.array([x - anchor.x_mm, y - anchor.y_mm]) - half * np.array(OBLIQUE.second_mm)
        shares = np.linalg.solve(np.array([OBLIQUE.u_mm, OBLIQUE.v_mm]).T, step)
        assert np.abs(shares - np.round(shares)).max() < WITHIN_MM
    assert len(set(spots)) == len(spots)


def test_a_box_that_lets_none_in_holds_none():
    assert lattice_spots(OBLIQUE, (5.0, 5.0, 4.0, 90.0), (5.0, 5.0, 4.0, 90.0)) == ()


# -- what it stands on ----------------------------------------------------------------------------------------------


@st.composite
def stars(draw):
    count = draw(st.integers(3, 10))
    radii = draw(st.lists(st.floats(5, 30), min_size=count, max_size=count))
    return Polygon(
        [(r * math.cos(2 * math.pi * k / count), r * math.sin(2 * math.pi * k / count)) for k, r in enumerate(radii)]
    )


@settings(max_examples=40)
@given(stars())
def test_convex_pieces_are_convex_and_make_up_the_outline(outline):
    pieces = [Polygon(one) for one in convex_pieces(outline)]
    assert all(one.convex_hull.area == pytest.approx(one.area, rel=1e-9) for one in pieces)
    assert sum(one.area for one in pieces) == pytest.approx(outline.area, rel=1e-9)


@settings(max_examples=40)
@given(stars(), st.floats(-60, 60), st.floats(-60, 60), st.sampled_from([0.0, 5.0]))
def test_a_vector_is_barred_if_the_copies_stand_too_near(outline, x, y, spacing):
    regions = barred(outline, Sides.all_round(spacing))
    half = affinity.rotate(outline, 180, origin=(0, 0))
    for region, other in ((regions.same, outline), (regions.half, half)):
        if region.boundary.distance(MultiPoint([(x, y)])) < 0.02:  # chords of the spacing
            continue
        moved = affinity.translate(other, x, y)
        near = outline.distance(moved) < spacing if spacing else outline.intersects(moved)
        assert region.contains(MultiPoint([(x, y)])) == near


@settings(max_examples=40)
@given(stars(), st.integers(4, 12))
def test_a_simpler_outline_holds_the_one_given(star, most):
    outline = star.buffer(3.0)
    simpler = coarser(outline, most, free_ratio=0.0002)
    assert outline.difference(simpler).area < WITHIN_MM
    assert simpler.is_valid


def test_a_round_outline_becomes_simple_at_little_cost():
    outline = Region.disc((0.0, 0.0), 40.0).shape.geoms[0].buffer(5.0, quad_segs=500)
    simpler = coarser(outline, 120, free_ratio=0.0002)
    assert len(simpler.exterior.coords) <= 121
    assert simpler.area < 1.001 * outline.area


# -- kernels --------------------------------------------------------------------------------------------------------

pytestmark = pytest.mark.kernels
REGION = Polygon([(-20, -9), (18, -14), (6, 2), (24, 13), (-3, 20), (-5, 7), (-17, 11)], [[(-2, -2), (2, -1), (0, 2)]])


@pytest.mark.parametrize("along", [(17.3, 5.1), (-8.0, 31.0), (60.0, 1.0)])
def test_barred_rows_agree_with_the_plain_twin(along):
    asked = (13, -9, 19, 2.37)
    mine = kernels.barred_rows(edges_of(REGION), np.array(along), *asked)
    theirs = twins.barred_rows(REGION, along, *asked)
    assert 0 < theirs.sum() < theirs.size or along[0] == 17.3
    assert np.array_equal(mine, theirs)


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("double", [False, True])
def test_row_lattices_agree_with_the_plain_twin(seed, double):
    rng = np.random.default_rng(seed)
    most, columns = 7, 6
    same = rng.random((2 * most + 1, columns)) < 0.3
    half = rng.random((4 * most + 1, columns if double else 0)) < 0.4
    assert np.array_equal(
        kernels.row_lattices(same, half, 3, most)[:, 0], twins.row_lattices(same, half, 3, most)[:, 0]
    )
    assert np.array_equal(kernels.row_lattices(same, half, 3, most), twins.row_lattices(same, half, 3, most))


@pytest.mark.parametrize("half", [0, 1])
@pytest.mark.parametrize("seed", range(4))
def test_near_copies_agree_with_the_plain_twin(seed, half):
    rng = np.random.default_rng(seed)
    lattice = np.array([[12.0, 2.0], [3.0, 14.0], [5.0, 6.0]]) + rng.uniform(-3, 3, (3, 2))
    assert np.array_equal(kernels.near_copies(lattice, half, 55.0), twins.near_copies(lattice, half, 55.0))


def test_ways_out_agree_with_the_plain_twin():
    solid = Polygon(REGION.exterior)
    points = np.random.default_rng(2).uniform(-25, 25, (200, 2))
    mine = kernels.ways_out(points, edges_of(solid), 1e-9)
    assert (mine > 1.0).sum() > 40
    assert mine == pytest.approx(twins.ways_out(points, solid, 1e-9), rel=1e-9)


@pytest.mark.parametrize("lean", [0, 1, 2])
def test_limits_agree_with_the_plain_twin(lean):
    edges = edges_of(REGION)
    points = np.vstack([np.random.default_rng(3).uniform(-25, 25, (40, 2)), edges[:, :2]])
    mine, theirs = (one.limits(points, edges, 9.0, 1e-6, lean) for one in (kernels, twins))
    assert len(mine) > 60
    assert mine == pytest.approx(theirs, abs=1e-6)


@settings(max_examples=60)
@given(st.integers(0, 10_000), st.integers(0, 30), st.booleans())
def test_best_step_agrees_with_the_plain_twin(seed, count, touching):
    rng = np.random.default_rng(seed)
    gain, rows = rng.normal(size=6), rng.normal(size=(count, 6))
    room = rng.uniform(0.0, 2.0, count) * (rng.random(count) < 0.5 if touching else 1.0)
    mine, theirs = (one.best_step(gain, rows, room, 1.5) for one in (kernels, twins))
    assert gain @ mine == pytest.approx(gain @ theirs, rel=1e-7, abs=1e-7)  # the step itself need not be one only
    assert np.all(rows @ mine <= room + 1e-7)
    assert np.abs(mine).max() <= 1.5 + 1e-9


def test_the_box_of_an_outline_is_always_a_lattice():
    lattice = densest_lattice(Region(box(0, 0, 30, 20)), Sides.all_round(5.0), half_turned=False)
    # hand calculation: side by side 35 x 25; rows that slant a little gain where corners face each other
    assert 0.99 * 35.0 * 25.0 < lattice.cell_mm2 <= 35.0 * 25.0
