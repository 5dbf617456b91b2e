from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from traywright.parts import _kernels
from twins import basins as twin
from twins import joined
from twins import sheets as sheets_twin


@given(st.integers(0, 10_000), st.integers(2, 14), st.sampled_from([0.0, 0.2, 0.6]))
@settings(max_examples=80)
def test_flooding_agrees_with_its_twin(seed, count, least):
    draws = np.random.default_rng(seed)
    heights = draws.permutation(count) / count + draws.uniform(0.0, 0.01, count)
    ends = np.array([(k, int(draws.integers(0, k))) for k in range(1, count)] + [(0, count - 1)])
    ends = np.concatenate([ends, draws.integers(0, count, (count, 2))])
    ends = ends[ends[:, 0] != ends[:, 1]]
    barriers = np.maximum(heights[ends[:, 0]], heights[ends[:, 1]]) + draws.uniform(0.0, 1.0, len(ends))
    order = np.argsort(barriers, kind="stable")
    owner, out = _kernels.basins(heights, ends[order], barriers[order], least)
    plain_owner, plain_out = twin.basins(heights, ends[order].tolist(), barriers[order].tolist(), least)

    def told(owners, ways):
        pools = {}
        for facet, floor in enumerate(owners):
            pools.setdefault(int(floor), set()).add(facet)
        return sorted((sorted(pool), round(float(ways[floor]), 12)) for floor, pool in pools.items())

    assert told(owner, out) == told(plain_owner, plain_out)


@given(st.integers(0, 10_000), st.integers(1, 60))
@settings(max_examples=60)
def test_joining_points_agrees_with_its_twin(seed, count):
    steps = np.random.default_rng(seed).integers(-2, 3, (count, 3)) * 100_003
    firsts, numbers = _kernels.joined_points(steps)
    assert (firsts.tolist(), numbers.tolist()) == joined.joined_points(steps)


def test_points_far_apart_and_negative_are_not_joined():
    steps = np.array([[2**40, -5, 0], [-(2**40), -5, 0], [2**40, -5, 0], [0, 2**40, -5]])
    firsts, numbers = _kernels.joined_points(steps)
    assert (firsts.tolist(), numbers.tolist()) == ([0, 1, 3], [0, 1, 0, 2])


@given(st.integers(0, 10_000), st.integers(1, 40), st.integers(4, 12))
@settings(max_examples=80)
def test_sheets_agree_with_their_twin(seed, count, points):
    draws = np.random.default_rng(seed)
    triangles = np.array([draws.permutation(points)[:3] for _ in range(count)], dtype=np.int64)
    beside, same = _kernels.neighbours(triangles, points)
    plain_beside, plain_same = sheets_twin.neighbours(triangles.tolist(), points)
    assert beside.tolist() == plain_beside
    assert same.tolist() == plain_same
    sheet, turned, torn = _kernels.sheets(beside, same)
    plain_sheet, plain_turned, plain_torn = sheets_twin.sheets(plain_beside, plain_same)
    assert sheet.tolist() == plain_sheet
    if not plain_torn:  # else the way round depends on where one begins
        assert turned.tolist() == plain_turned
    assert bool(torn) == bool(plain_torn)
