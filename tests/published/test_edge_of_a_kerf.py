"""Vacuum lost at a kerf through an even spoil board: conformal map of a strip, hand calculation 2026.

Complete elliptic integrals as in Abramowitz and Stegun, Handbook of Mathematical Functions (1964), section 17.3.
"""

from __future__ import annotations

import math

import pytest

from traywright.holddown import edge_loss_mm


def test_twelve_wide_on_eighteen_thick():
    """Q = K(m)/K(1-m), m = 1 - exp(-pi 12/18): 1.52855; Q h = 27.514 = 12 + 2 x 7.757. Tolerance: digits shown."""
    assert edge_loss_mm(12.0, 18.0) == pytest.approx(7.757, abs=0.0005)


def test_a_wide_kerf_loses_the_limit():
    """Limit h ln 4 / pi = 0.4413 h for a kerf much wider than the board is thick. Tolerance: digits shown."""
    assert edge_loss_mm(180.0, 18.0) == pytest.approx(18.0 * math.log(4.0) / math.pi, abs=0.001)
