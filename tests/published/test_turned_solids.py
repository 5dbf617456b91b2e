"""Pappus' theorem for turned solids.

SOURCE: Pappus of Alexandria, Collection, book VII (about 340); printed in Guldin, P. (1641): Centrobaryca, book II. A
plane region turned about an axis that it does not cross has the volume of its area times the way of its centre of area.
"""

from __future__ import annotations

import math

import pytest

from traywright.base.tolerance import ARC_CHORD_MM
from traywright.geometry import Region, mass_properties, turned_about_x

PROFILES = [
    Region.rectangle(0, 5, 40, 20),
    Region.polygon([(0, 10), (30, 10), (15, 40)]),
    Region.disc((0, 30), 10),
]


@pytest.mark.parametrize("profile", PROFILES)
def test_volume_is_area_times_the_way_of_its_centre(profile):
    """The mesh has its corners on the largest circle R and chords up to c inside: every radius is short by the same
    share, so the volume is low by at most 2 c / R."""
    exact = 2 * math.pi * profile.centre_mm[1] * profile.area_mm2
    short = 2 * ARC_CHORD_MM / profile.bounds_mm[3]
    assert exact * (1 - short) <= mass_properties(turned_about_x(profile)).volume_mm3 <= exact * (1 + 1e-9)
