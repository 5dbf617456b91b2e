"""Rings of a pocket, hand calculation 2026 (plane geometry, no table to cite)."""

from __future__ import annotations

import math

import pytest
import shapely

from traywright.cutting.rings import contour_paths, shrunk


def rings(shape, step_mm):
    ((*paths,),) = contour_paths(shape, shrunk(shape, 6.0), radius_mm=6.0, step_mm=step_mm)
    return [shapely.LineString(path).length if len(path) > 1 else 0.0 for path in paths]


def test_rings_of_a_disc_leave_a_core():
    """Disc R 50, r 6, step 9: rings of radius 44, 35, 26, 17, 8, length 816.81; a core of radius 2 is left, so a pass
    over it comes first. Tolerance: chords of 0.02 mm on the inner rings."""
    disc = shapely.Point(0, 0).buffer(50.0, quad_segs=256)
    first, *circles = rings(disc, 9.0)
    assert sum(circles) == pytest.approx(816.81, rel=1e-3)
    assert len(circles) == 5
    assert first <= 2.0 * math.pi * 2.0


@pytest.mark.parametrize("angle_deg", [60, 90, 120])
def test_corners_are_clean_up_to_the_step_that_geometry_allows(angle_deg):
    """Interior angle a: nothing is left between rings if step <= r (1 + sin(a/2)): 0.75 D at 60, 0.8536 D at 90,
    0.933 D at 120 degrees. A step 3 % wider leaves spots on the bisector, which get passes of their own."""
    half = math.radians(angle_deg) / 2.0
    tall = 100.0 * math.cos(half), 100.0 * math.sin(half)
    corner = shapely.Polygon([(0, 0), (tall[0], tall[1]), (200 * math.cos(half), 0), (tall[0], -tall[1])])
    limit_mm = 6.0 * (1.0 + math.sin(half))
    place = shrunk(corner, 6.0)

    def extra(step_mm):
        ((*paths,),) = contour_paths(corner, place, radius_mm=6.0, step_mm=step_mm)
        closed = [path for path in paths if (path[0] == path[-1]).all() and shapely.LineString(path).length > 20]
        near = [p for p in paths if not any(p is c for c in closed) and p[:, 0].max() < tall[0] * 0.7]
        return len(near)

    assert extra(limit_mm * 0.995) == 0
    assert extra(limit_mm * 1.03) > 0
