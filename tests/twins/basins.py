"""Plain twin of the flooding of a hull's facets: sets of facets, joined as the water rises."""

from __future__ import annotations

import math


def basins(heights, ends, barriers, least_depth_mm):
    """Facet that tells the basin of each facet, and the height of the lowest way out of that basin."""
    pools = [{"wet": {k}, "floors": {k: {k}}} for k in range(len(heights))]
    out = {}
    for (one, other), level in zip(ends, barriers, strict=True):
        here = next(pool for pool in pools if one in pool["wet"])
        there = next(pool for pool in pools if other in pool["wet"])
        if here is there:
            continue

        def lasts(pool, level=level):
            return len(pool["floors"]) > 1 or level - min(heights[k] for k in pool["wet"]) >= least_depth_mm

        floors = {**here["floors"], **there["floors"]}
        if lasts(here) and lasts(there):
            for pool in (here, there):
                if len(pool["floors"]) == 1:
                    out[next(iter(pool["floors"]))] = level
        else:
            deep = min(here["wet"], key=lambda k: (heights[k], k)), here, there, one
            if (heights[min(there["wet"], key=lambda k: (heights[k], k))], min(there["wet"])) < (
                heights[deep[0]],
                min(here["wet"]),
            ):
                deep = 0, there, here, other
            if lasts(deep[2]):
                deep = 0, deep[2], deep[1], other if deep[3] == one else one
            keeper = next(floor for floor, wet in deep[1]["floors"].items() if deep[3] in wet)
            gone = next(iter(deep[2]["floors"]))
            floors[keeper] = floors[keeper] | floors.pop(gone)
        pools = [pool for pool in pools if pool is not here and pool is not there]
        pools.append({"wet": here["wet"] | there["wet"], "floors": floors})
    owner = {k: floor for pool in pools for floor, wet in pool["floors"].items() for k in wet}
    return [owner[k] for k in range(len(heights))], [out.get(k, math.inf) for k in range(len(heights))]
