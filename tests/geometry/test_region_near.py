from __future__ import annotations

import shapely

from traywright.geometry import Region


def test_a_line_keeps_its_distance_all_round():
    near = Region.near(shapely.LineString([(0, 0), (10, 0)]), 2.0)
    assert near.contains(Region.capsule((0, 0), (10, 0), 2.0))
    assert near.bounds_mm[2] <= 12.02


def test_areas_and_lines_go_together():
    both = shapely.union(shapely.box(0, 0, 4, 4), shapely.LineString([(4, 2), (9, 2)]))
    near = Region.near(both, 1.0)
    assert near.holds((9.9, 2.0))
    assert near.holds((-0.9, 2.0))
    assert not near.holds((7.0, 3.1))
