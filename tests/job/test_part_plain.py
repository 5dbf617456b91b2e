"""The answer about an outline without a thickness has the keys of any other answer."""

from __future__ import annotations

from functools import cache

import pytest

from parts.asked import SOLIDS
from traywright.job import PartTyped, tell_part

DXF = SOLIDS / "control_board.dxf"


@cache
def told(thickness_mm):
    return tell_part(DXF, PartTyped(thickness_mm=thickness_mm))


@pytest.mark.parametrize("place", ["file", "body", "pose", "whole"])
def test_an_outline_is_told_under_the_keys_of_a_plate(place):
    flat, plate = (
        {"file": one, "body": one["bodies"][0], "pose": one["bodies"][0]["poses"][0], "whole": one["whole"]}[place]
        for one in (told(None), told(1.6))
    )
    assert set(flat) == set(plate)


def test_an_outline_is_seen_as_large_as_its_plate():
    flat, plate = (one["bodies"][0] for one in (told(None), told(1.6)))
    assert flat["poses"][0]["silhouette_mm2"] == pytest.approx(plate["poses"][0]["silhouette_mm2"], rel=1e-4)
    assert flat["size_mm"][:2] == pytest.approx(plate["size_mm"][:2], abs=0.01)
