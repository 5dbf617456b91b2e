"""The target map agrees with sections and volumes, which are worked out another way."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from traywright.geometry import Region
from traywright.trays import Feature, FeatureKind, Flat, Tray, TrayKind, Trough, foam_volume_mm3, target_grid
from traywright.trays.height_map import cells_in


def tray(*features: Feature) -> Tray:
    return Tray(
        id="T1",
        name="test",
        kind=TrayKind.TRAY,
        outline=Region.rectangle(0, 0, 80, 50),
        thickness_mm=50.0,
        foam="pe",
        ply_boards=(("pe-50", 50.0),),
        features=features,
    )


def test_a_through_window_is_zero_and_overlap_takes_the_lower_floor():
    window = Feature(
        id="F1", kind=FeatureKind.WINDOW, side="top", region=Region.rectangle(10, 10, 20, 20), floor=Flat(z_mm=-3)
    )
    pocket = Feature(
        id="F2", kind=FeatureKind.POCKET, side="top", region=Region.rectangle(15, 10, 40, 20), floor=Flat(z_mm=12)
    )
    heights = target_grid(tray(window, pocket), 1.0).values
    assert heights[15, 12] == 0.0
    assert heights[15, 17] == 0.0
    assert heights[15, 30] == 12.0
    assert heights[30, 30] == 50.0


def test_the_map_s_volume_is_the_tray_s():
    saddle = Feature(
        id="F1",
        kind=FeatureKind.SADDLE,
        side="top",
        region=Region.rectangle(10, 10, 70, 40),
        floor=Trough(start_mm=(10, 25, 50), end_mm=(70, 25, 50), radius_mm=15),
    )
    grid = target_grid(tray(saddle), 0.25)
    assert grid.values.sum() * 0.25**2 == pytest.approx(foam_volume_mm3(tray(saddle)), rel=1e-3)


points = st.lists(st.tuples(st.integers(-40, 400), st.integers(-40, 400)), min_size=3, max_size=9, unique=True)


@settings(max_examples=60)
@given(points, points)
def test_a_cell_is_in_where_its_centre_is(shell, hole):
    # odd tenths against centres on whole halves: no centre falls on an edge's end
    region = Region.polygon([(x / 10 + 0.013, y / 10 + 0.017) for x, y in shell]).difference(
        Region.polygon([(x / 20 + 0.013, y / 20 + 0.017) for x, y in hole])
    )
    mask = cells_in(region, (0.0, 0.0), 1.0, (36, 36))
    rows, columns = np.mgrid[0:36, 0:36]
    centres = shapely.points(columns + 0.5, rows + 0.5)
    near_edge = shapely.distance(region.shape.boundary, centres) < 1e-6
    assert (mask == shapely.contains(region.shape, centres))[~near_edge].all()
