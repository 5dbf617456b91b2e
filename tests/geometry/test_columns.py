from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from traywright.geometry import Mesh, Region, _kernels, combined, extruded, mass_properties, solid_columns
from twins import columns as twin


def spiky(seed, step):
    """Closed solids whose corners lie on a coarse lattice, so that centres often lie on edges and corners."""
    draws = np.random.default_rng(seed)
    solids = []
    for _ in range(3):
        x, y, z = draws.integers(0, 6, 3) * step
        wide, deep, high = draws.integers(1, 5, 3) * step
        solids.append(extruded(Region.polygon([(x, y), (x + wide, y), (x, y + deep)]), z, z + high))
    return combined(solids)


@given(st.integers(0, 10_000), st.sampled_from([0.5, 0.25, 0.3, 0.7]))
@settings(max_examples=30, deadline=None)
def test_columns_agree_with_their_twin(seed, step):
    mesh = spiky(seed, step)
    starts, heights, ways = _kernels.column_crossings(mesh.corners_mm, -0.5, 0.0, 0.5, 12, 14)
    told = twin.column_crossings(mesh.corners_mm.tolist(), -0.5, 0.0, 0.5, 12, 14)
    assert starts.tolist() == told[0]
    assert np.allclose(heights, told[1], atol=1e-9)
    assert ways.tolist() == told[2]
    solid, cells, bottoms, tops = _kernels.column_hollows(starts, heights, ways, 0.1)
    plain, hollows = twin.column_hollows(*told, 0.1)
    assert np.allclose(solid, plain, atol=1e-9)
    assert np.allclose(np.column_stack([cells, bottoms, tops]), np.array(hollows).reshape(-1, 3), atol=1e-9)


@given(st.integers(0, 10_000), st.integers(1, 7), st.integers(1, 7))
@settings(max_examples=60)
def test_joined_hollows_agree_with_their_twin(seed, rows, columns):
    draws = np.random.default_rng(seed)
    cells = np.sort(draws.integers(0, rows * columns, rows * columns)).astype(np.int32)
    bottoms = draws.integers(0, 6, len(cells)).astype(float)
    tops = bottoms + draws.integers(1, 3, len(cells))
    groups, count = _kernels.joined_hollows(cells, bottoms, tops, rows, columns)
    plain = twin.joined_hollows(cells.tolist(), bottoms.tolist(), tops.tolist(), rows, columns)
    assert (groups.tolist(), count) == plain


def test_a_centre_on_an_edge_counts_once():
    # the diagonal of each square face passes through every centre
    cube = extruded(Region.rectangle(0.0, 0.0, 4.0, 4.0), 0.0, 3.0)
    assert solid_columns(cube, 1.0, least_mm=0.1).solid_mm.tolist() == [[3.0] * 4] * 4


def test_columns_outside_are_empty_and_volume_is_their_sum():
    corner = combined(
        [extruded(Region.rectangle(0, 0, 4, 1), 0.0, 2.0), extruded(Region.rectangle(0, 0, 1, 4), 0.0, 2.0)]
    )
    columns = solid_columns(corner, 0.5, least_mm=0.1)
    assert columns.solid_mm.sum() * 0.25 == pytest.approx(mass_properties(corner).volume_mm3)
    assert columns.solid_mm[-1, -1] == 0.0
    assert columns.groups == 0


def test_an_open_mesh_counts_as_solid_from_end_to_end():
    cube = extruded(Region.rectangle(0.0, 0.0, 4.0, 4.0), 0.0, 3.0)
    raised = Mesh(
        cube.points_mm + np.array([0.0, 0.0, 10.0]), cube.triangles[(cube.corners_mm[:, :, 2] > 1.0).all(axis=1)]
    )
    both = Mesh(
        np.concatenate([cube.points_mm, raised.points_mm]),
        np.concatenate([cube.triangles, raised.triangles + len(cube.points_mm)]),
    )
    columns = solid_columns(both, 1.0, least_mm=0.1)
    assert columns.solid_mm[0, 0] == 13.0
    assert columns.groups == 0


def test_solids_that_touch_or_overlap_are_one():
    low, mid, high = (extruded(Region.rectangle(0.0, 0.0, 2.0, 2.0), z, z + 3.0) for z in (0.0, 3.0, 5.0))
    points = np.concatenate([low.points_mm, mid.points_mm, high.points_mm])
    count = len(low.points_mm)
    triangles = np.concatenate([low.triangles, mid.triangles + count, high.triangles + 2 * count])
    columns = solid_columns(Mesh(points, triangles), 1.0, least_mm=0.1)
    assert columns.solid_mm.tolist() == [[8.0, 8.0]] * 2
    assert columns.groups == 0
