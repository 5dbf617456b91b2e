from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from traywright.parts import _kernels
from twins import basins as twin


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
