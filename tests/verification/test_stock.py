"""Stock: what stands, what is cut away, and that cutting goes on from any stock."""

from __future__ import annotations

import numpy as np
import pytest

from traywright.geometry import Region
from traywright.verification import cut_away, first_stock, read_program, sweep, volume_mm3
from verification import scenes
from verification.scenes import CUTTERS, GOOD, MACHINE, SETUP, cutter


def test_the_first_stock_is_the_board():
    stock = first_stock(SETUP, 0.5)
    assert stock.upper.values.shape == (240, 280)
    assert volume_mm3(stock) == pytest.approx(140.0 * 120.0 * 25.0)


def test_a_remnant_with_a_hole_is_no_foam_in_the_hole():
    blank = Region.rectangle(0, 0, 140, 120).difference(Region.rectangle(40, 40, 60, 70))
    assert volume_mm3(first_stock(scenes.setup(blank=blank), 0.5)) == pytest.approx(blank.area_mm2 * 25.0)


def test_a_program_cut_in_two_cuts_the_same():
    rows = GOOD.splitlines()
    half = rows.index("(outline)")
    head = "\n".join(rows[:half])
    tail = "\n".join([*rows[1:7], *rows[half:]])
    whole = cut_away(first_stock(SETUP), GOOD, MACHINE, CUTTERS)
    first = cut_away(first_stock(SETUP), head, MACHINE, CUTTERS)
    assert cut_away(first, tail, MACHINE, CUTTERS) == whole
    assert volume_mm3(first) > volume_mm3(whole)


def test_nothing_is_cut_twice():
    once = cut_away(first_stock(SETUP), GOOD, MACHINE, CUTTERS)
    assert cut_away(once, GOOD, MACHINE, CUTTERS) == once


def test_the_stock_handed_over_is_not_changed():
    stock = first_stock(SETUP)
    sha = stock.upper.sha256
    cut_away(stock, GOOD, MACHINE, CUTTERS)
    assert stock.upper.sha256 == sha


def test_heights_are_exact_to_a_thousandth():
    text = "G21 G0 Z40\nX30.1 Y30.3\nG1 Z12.3456 F600\nX90.7 Z7.8912\nM2\n"
    start = text.replace("G21", "G21 T1 M6 S1000 M3")
    upper = cut_away(first_stock(SETUP, 0.25), start, MACHINE, CUTTERS).upper
    x_mm, y_mm = upper.centres_mm()
    row = int(np.argmin(abs(y_mm - 30.3)))
    aside = y_mm[row] - 30.3
    for column in np.nonzero((x_mm > 45) & (x_mm < 80))[0]:
        # the deepest tip that still covers the place lies half a chord ahead of it
        ahead = (36.0 - aside**2) ** 0.5
        tip = 12.3456 + (x_mm[column] + ahead - 30.1) / 60.6 * (7.8912 - 12.3456)
        assert upper.values[row, column] == pytest.approx(tip, abs=0.001)


def test_a_helix_of_a_ball_is_cut_as_the_same_way_in_short_steps():
    start = "G21 G0 Z40 T1 M6 S1000 M3\nX70 Y60\nG1 Z24 F600\n"
    ball = {1: cutter(form="ball")}
    turn = read_program(start + "G3 X70 Y60 I-15 Z20\nM2\n")
    quarters = "G3 X55 Y75 I-15 Z23\nG3 X40 Y60 J-15 Z22\nG3 X55 Y45 I15 Z21\nG3 X70 Y60 J15 Z20\n"
    same = read_program(start + quarters + "M2\n")
    one, four = (sweep(first_stock(SETUP), heard.motions, ball).stock.upper.values for heard in (turn, same))
    assert np.abs(one - four).max() < 0.02


def test_each_cell_knows_the_line_that_cut_it():
    swept = sweep(first_stock(SETUP), read_program(GOOD).motions, CUTTERS)
    row = GOOD.splitlines().index("N28 G1 Y100.0000") + 1
    assert swept.lines_cut.values[120, 28] == row  # x 14.25, y 60.25
    assert swept.lines_cut.values[0, 0] == 0
