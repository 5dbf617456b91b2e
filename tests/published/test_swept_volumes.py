"""What a flat cutter sweeps, by closed formulas.

Pappus of Alexandria, Collection, book VII (about 340; the volume of a body of revolution is the area times the way of
its centre of area), in the edition of F. Hultsch, Berlin 1876-1878; the other volumes follow by integration, shown in
each test. The bound of the map is that of sampling at cell centres: sqrt(2) x cell x outline + pi x cell²/2, times
depth.
"""

from __future__ import annotations

import math

import pytest
from scipy.integrate import quad

from traywright.catalogue.cards import Cutter
from traywright.geometry import Region
from traywright.nesting.setup import Setup
from traywright.verification import first_stock, read_program, sweep, volume_mm3

R = 6.0
TOP = 30.0
HEAD = "G21 G17 G90 G94 F600 T1 M6 S1000 M3\nG0 Z40\n"
BLANK = Region.rectangle(0, 0, 200, 200)
SETUP = Setup(
    id="B1.S1",
    board_layout="B1",
    board="b",
    blank=BLANK,
    thickness_mm=TOP,
    side_up="top",
    datum="front left",
    z_zero="bed",
    pieces=(),
    bridges=(),
    screws_mm=(),
    zones=(),
    cutters=((1, "c"),),
    program="p",
    runs=1,
)
TYPICAL_RATIO = 0.006  # observed at 0.25 to 1 mm; errors of a sampled curve fall much faster than their bound


def cutter(form="flat"):
    return Cutter(
        id="c",
        name="c",
        grounds=(),
        form=form,
        diameter_mm=2.0 * R,
        reach_mm=60.0,
        flutes=2,
        step_down_mm=30.0,
        step_over_ratio=0.5,
        centre_cutting=True,
    )


def removed_mm3(lines, cell_mm, form="flat"):
    stock = first_stock(SETUP, cell_mm)
    heard = read_program(HEAD + lines + "\nM2\n")
    assert heard.findings == ()
    return volume_mm3(stock) - volume_mm3(sweep(stock, heard.motions, {1: cutter(form)}).stock)


def bound_mm3(outline_mm, depth_mm, cell_mm):
    return (math.sqrt(2.0) * cell_mm * outline_mm + math.pi * cell_mm**2 / 2.0) * depth_mm


cells = pytest.mark.parametrize("cell_mm", [1.0, 0.5, 0.25])


@cells
def test_capsule_slot(cell_mm):
    """Area 2 r L + pi r² times depth 10; L = hypot(100, 20.4), r = 6: 13378.12 mm³."""
    length = math.hypot(100.0, 20.4)
    exact = 10.0 * (2.0 * R * length + math.pi * R**2)
    assert exact == pytest.approx(13378.12, abs=0.005)
    found = removed_mm3("G0 X50 Y90.3\nG1 Z20\nX150 Y110.7", cell_mm)
    assert abs(found - exact) < bound_mm3(2.0 * length + 2.0 * math.pi * R, 10.0, cell_mm)
    assert found == pytest.approx(exact, rel=TYPICAL_RATIO)


@cells
def test_ramp(cell_mm):
    """A ramp to depth d = 10 over L = 100: the tail is whole at the deep end, d r L + pi r² d = 7130.97 mm³."""
    exact = 10.0 * R * 100.0 + math.pi * R**2 * 10.0
    assert exact == pytest.approx(7130.97, abs=0.005)
    found = removed_mm3("G0 X50 Y90.3\nG1 Z30\nX150 Z20", cell_mm)
    assert abs(found - exact) < bound_mm3(200.0 + 2.0 * math.pi * R, 10.0, cell_mm)
    assert found == pytest.approx(exact, rel=TYPICAL_RATIO)


@cells
def test_helix(cell_mm):
    """One turn at R = 15 down by p = 5: integral of (1/2 + a/pi - a²/2pi²) p 2 pi rho over R - r to R + r: 3362.02 mm³.

    cos a = (R² + rho² - r²) / (2 R rho).
    """
    big, p = 15.0, 5.0

    def ring(rho):
        a = math.acos(min(1.0, max(-1.0, (big**2 + rho**2 - R**2) / (2.0 * big * rho))))
        return (0.5 + a / math.pi - a**2 / (2.0 * math.pi**2)) * p * 2.0 * math.pi * rho

    exact = quad(ring, big - R, big + R)[0]
    assert exact == pytest.approx(3362.02, abs=0.005)
    found = removed_mm3("G0 X115 Y100\nG1 Z30\nG3 X115 Y100 I-15 J0 Z25", cell_mm)
    assert abs(found - exact) < bound_mm3(4.0 * math.pi * big, p, cell_mm)
    assert found == pytest.approx(exact, rel=0.01)


@cells
def test_annulus_by_pappus(cell_mm):
    """A full turn at R = 15, p = 5 deep: area 2 r p times the way 2 pi R of its centre: 5654.87 mm³."""
    exact = 2.0 * math.pi * 15.0 * 2.0 * R * 5.0
    assert exact == pytest.approx(5654.87, abs=0.005)
    found = removed_mm3("G0 X115 Y100\nG1 Z25\nG3 X115 Y100 I-15 J0", cell_mm)
    assert abs(found - exact) < bound_mm3(4.0 * math.pi * 15.0, 5.0, cell_mm)
    assert found == pytest.approx(exact, rel=0.01)


@cells
def test_half_torus_by_pappus(cell_mm):
    """A ball cutter on a level full turn, tip r below the top: half disc pi r²/2 times the way 2 pi R.

    0.3 % was seen at 1 mm.
    """
    exact = math.pi * R**2 / 2.0 * 2.0 * math.pi * 15.0
    found = removed_mm3("G0 X115 Y100\nG1 Z24\nG3 X115 Y100 I-15 J0", cell_mm, form="ball")
    assert found == pytest.approx(exact, rel=0.005)
