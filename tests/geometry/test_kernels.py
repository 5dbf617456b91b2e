from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from traywright.base.tolerance import SNAP_MM, TIE_RATIO
from traywright.geometry import _kernels
from twins import joined, mesh_heights

ROWS, COLUMNS, CELL = 7, 6, 1.0
BOTH = [_kernels, mesh_heights]


def soup(seed, count=12):
    corners = np.random.default_rng(seed).uniform(-1.0, 8.0, (count, 3, 3))
    corners[0] = [[0, 0, 5], [8, 0, 5], [8, 8, 5]]  # edges and corners on whole numbers
    corners[1] = [[3, 1, 0], [3, 1, 4], [3, 6, 2]]  # upright
    return corners


@given(st.integers(0, 10_000))
@settings(max_examples=25)
def test_the_kernel_agrees_with_its_twin(seed):
    corners = soup(seed)
    told = [one.lowest_heights(corners, -0.5, 0.0, CELL, ROWS, COLUMNS, TIE_RATIO) for one in BOTH]
    assert np.array_equal(told[0][1], np.array(told[1][1]))
    np.testing.assert_allclose(told[0][0], told[1][0], rtol=0.0, atol=SNAP_MM / 1000.0)
    marks = np.arange(len(corners), dtype=np.int32) % 3
    heights = told[0][0]
    places = (-0.5, 0.0, CELL, TIE_RATIO, 2.0)
    fine = _kernels.largest_marks(corners, marks, heights, *places)
    assert np.array_equal(fine, mesh_heights.largest_marks(corners, marks, heights, *places))


@pytest.mark.parametrize("kernels", BOTH)
def test_a_slope_is_read_at_cell_centres(kernels):
    corners = np.array([[[0.0, 0, 0], [4, 0, 4], [4, 4, 4]], [[0, 0, 0], [4, 4, 4], [0, 4, 0]]])
    heights, owners = kernels.lowest_heights(corners, 0.0, 0.0, 1.0, 4, 5, TIE_RATIO)
    assert [list(row) for row in np.asarray(heights)] == [[0.5, 1.5, 2.5, 3.5, np.inf]] * 4
    # the diagonal belongs to both: the first is kept
    assert np.asarray(owners)[0].tolist() == [0, 0, 0, 0, -1]
    assert np.asarray(owners)[3].tolist() == [1, 1, 1, 0, -1]


@pytest.mark.parametrize("kernels", BOTH)
def test_an_upright_triangle_gives_no_height(kernels):
    corners = np.array([[[0.0, 0.5, 0], [4, 0.5, 0], [4, 0.5, 4]]])
    heights, _ = kernels.lowest_heights(corners, 0.0, 0.0, 1.0, 2, 4, TIE_RATIO)
    assert not np.isfinite(heights).any()


@pytest.mark.parametrize("kernels", BOTH)
def test_two_marks_at_one_height_give_the_larger(kernels):
    low = np.array([[0.0, 0, 1], [2, 0, 1], [0, 2, 1]])
    corners = np.array([low, low, low + np.array([0.0, 0.0, 3.0])])
    heights = np.full((2, 2), 1.0)
    marks = np.array([0, 1, 2], dtype=np.int32)
    told = np.asarray(kernels.largest_marks(corners, marks, heights, 0.0, 0.0, 1.0, TIE_RATIO, 0.001))
    assert told.tolist() == [[1, 1], [1, -1]]


@given(st.integers(0, 10_000), st.integers(1, 30))
@settings(max_examples=60)
def test_open_edges_agree_with_their_twin(seed, count):
    triangles = np.random.default_rng(seed).integers(0, 6, (count, 3))
    assert _kernels.unanswered_edges(triangles, 6) == joined.unanswered_edges(triangles, 6)


def test_a_closed_solid_leaves_no_edge_unanswered():
    faces = np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]])
    for unanswered_edges in (_kernels.unanswered_edges, joined.unanswered_edges):
        assert unanswered_edges(faces, 4) == 0
        assert unanswered_edges(faces[1:], 4) == 3
        assert unanswered_edges(np.concatenate([faces, faces]), 4) == 0
