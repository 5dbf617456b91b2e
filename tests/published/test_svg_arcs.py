"""Arcs of path data.

W3C, Scalable Vector Graphics (SVG) 1.1 (Second Edition), Recommendation 16 August 2011: 8.3.8 (the examples arcs01 and
arcs02) and appendix F.6 (elliptical arc implementation notes: equations 3.1, 5.1 to 5.6, 6.1 to 6.3).
"""

from __future__ import annotations

import math

import pytest

from traywright.parts.svg_file import svg_strokes
from traywright.parts.svg_path import arc_of_ends

EXACT = 1e-9  # both sides are closed formulas in doubles; numbers of some 100


def contours(*data):
    paths = "".join(f'<path stroke="red" fill="none" d="{one}"/>' for one in data)
    content = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="1200mm" height="525mm" viewBox="0 0 1200 525">{paths}</svg>'
    )
    return [one.contour for one in svg_strokes(content.encode()).strokes]


def test_pie_of_arcs01():
    """8.3.8, example arcs01: three quarters of a disc of 150, and the quarter taken out of it; true arcs."""
    three, one = contours("M300,200 h-150 a150,150 0 1,0 150,-150 z", "M275,175 v-150 a150,150 0 0,0 -150,150 z")
    assert three.area_mm2 == pytest.approx(0.75 * math.pi * 150.0**2, rel=EXACT)
    assert one.area_mm2 == pytest.approx(0.25 * math.pi * 150.0**2, rel=EXACT)
    assert three.true_arcs
    assert one.true_arcs
    # y up on a page 525 high: the disc about (300, 200) reaches from 150 to 450 and from 175 to 475
    assert three.bounds_mm == pytest.approx((150.0, 175.0, 450.0, 475.0), abs=EXACT)
    assert one.bounds_mm == pytest.approx((125.0, 350.0, 275.0, 500.0), abs=EXACT)


def test_line_with_bumps_of_arcs01():
    """8.3.8, example arcs01: half ellipses 25 by 25, 50, 75, 100 at -30 degrees; a chord of (50, -25) is too long.

    F.6.6: 2 x 25 is shorter than the chord of 55.9, so the first is half a circle about the chord's middle, 27.95.
    """
    (drawn,) = contours("M600,350 l50,-25 a25,25 -30 0,1 50,-25 l50,-25")
    assert drawn.true_arcs
    assert drawn.edges[1].radius_mm == pytest.approx(math.hypot(50.0, 25.0) / 2.0, abs=EXACT)
    assert abs(drawn.edges[1].turn_rad) == pytest.approx(math.pi, abs=EXACT)


@pytest.mark.parametrize(
    ("large", "sweep", "centre", "turn_deg"),
    [
        (False, False, (225.0, 75.0), -90.0),
        (False, True, (125.0, 125.0), 90.0),
        (True, False, (125.0, 125.0), -270.0),
        (True, True, (225.0, 75.0), 270.0),
    ],
)
def test_four_flags_of_arcs02(large, sweep, centre, turn_deg):
    """8.3.8, example arcs02: from (125, 75) to (225, 125) on the ellipses 100 by 50 about (125, 125) and (225, 75)."""
    arc = arc_of_ends((125.0, 75.0), (225.0, 125.0), radii=(100.0, 50.0), tilt_deg=0.0, large=large, sweep=sweep)
    assert arc.centre == pytest.approx(centre, abs=EXACT)
    assert math.degrees(arc.turn) == pytest.approx(turn_deg, abs=EXACT)


@pytest.mark.parametrize(("large", "sweep", "quarters"), [(0, 0, 1), (0, 1, 1), (1, 0, 3), (1, 1, 3)])
def test_areas_of_arcs02(large, sweep, quarters):
    """8.3.8, example arcs02, closed by its chord: quarters of an ellipse of pi 100 50, less or with the triangle.

    The chords that stand for an ellipse keep its area, so the tolerance is that of doubles.
    """
    (drawn,) = contours(f"M 125,75 a100,50 0 {large},{sweep} 100,50 z")
    triangle = 0.5 * 100.0 * 50.0
    want = quarters * math.pi * 5000.0 / 4.0 + (triangle if quarters == 3 else -triangle)
    assert drawn.area_mm2 == pytest.approx(want, abs=1e-6)
    assert not drawn.true_arcs


@pytest.mark.parametrize("tilt_deg", [0.0, 30.0, -75.0, 200.0])
@pytest.mark.parametrize(("first_deg", "turn_deg"), [(10.0, 60.0), (100.0, 250.0), (-40.0, -120.0), (0.0, -300.0)])
def test_ends_to_centre_undoes_centre_to_ends(tilt_deg, first_deg, turn_deg):
    """F.6.4 (equations 4.1 to 4.4, centre to ends), then F.6.5 back: centre, turn and every place of equation 3.1."""
    rx, ry, centre = 40.0, 15.0, (7.0, -3.0)
    c, s = math.cos(math.radians(tilt_deg)), math.sin(math.radians(tilt_deg))

    def place(angle_deg):  # equation 3.1
        x, y = rx * math.cos(math.radians(angle_deg)), ry * math.sin(math.radians(angle_deg))
        return (c * x - s * y + centre[0], s * x + c * y + centre[1])

    large, sweep = abs(turn_deg) > 180.0, turn_deg > 0.0  # equations 4.3 and 4.4
    ends = place(first_deg), place(first_deg + turn_deg)
    arc = arc_of_ends(*ends, radii=(rx, ry), tilt_deg=tilt_deg, large=large, sweep=sweep)
    assert arc.centre == pytest.approx(centre, abs=EXACT)
    assert math.degrees(arc.turn) == pytest.approx(turn_deg, abs=EXACT)
    for share in (0.0, 0.3, 0.5, 1.0):
        assert arc.at(arc.turn * share) == pytest.approx(place(first_deg + turn_deg * share), abs=EXACT)


def test_radii_out_of_range():
    """F.6.6: step 1, a radius of 0 is a straight edge; step 2, its sign is dropped; step 3, too short ones grow alike.

    Equation 6.2: from (0, 0) to (100, 0) with 30 by 15, lambda is (50/30)², so the half axes become 50 by 25.
    """
    start, end = (0.0, 0.0), (100.0, 0.0)
    assert arc_of_ends(start, end, radii=(0.0, 15.0), tilt_deg=0.0, large=False, sweep=True).end == end
    assert not hasattr(arc_of_ends(start, end, radii=(0.0, 15.0), tilt_deg=0.0, large=False, sweep=True), "centre")
    grown = arc_of_ends(start, end, radii=(-30.0, 15.0), tilt_deg=0.0, large=False, sweep=True)
    assert grown.centre == pytest.approx((50.0, 0.0), abs=EXACT)
    assert grown.at(grown.turn / 2.0) == pytest.approx((50.0, -25.0), abs=EXACT)
    (drawn,) = contours("M0,100 a30,15 0 0,1 100,0 z")
    assert drawn.area_mm2 == pytest.approx(0.5 * math.pi * 50.0 * 25.0, abs=1e-6)
