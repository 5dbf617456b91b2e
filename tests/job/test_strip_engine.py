"""The packing engine proposes; nothing it does reaches the process that asked."""

from __future__ import annotations

import math
import time
from dataclasses import replace
from itertools import combinations

import pytest
from shapely import affinity
from shapely.geometry import Polygon, box

from traywright.base.errors import JobError
from traywright.geometry import Region
from traywright.job import strip_engine
from traywright.job.strip_engine import proposed_places
from traywright.layout.asked import Container, Kind, LayoutAsked, Sides, Spacing
from traywright.layout.proposal import strip_asked

SHELLS = {
    "tool": [(0, 0), (120, 0), (120, 12), (30, 12), (30, 45), (0, 45)],
    "wedge": [(-20, -15), (40, 0), (-20, 15)],
    "square": [(0, 0), (71, 0), (71, 71), (0, 71)],
}


def asked(*kinds, width_mm=300.0, rim_mm=5.0):
    return LayoutAsked(
        kinds=tuple(Kind(id=one, outline=Region.polygon(SHELLS[one]), in_kit=number) for one, number in kinds),
        container=Container(width_mm=width_mm, depth_mm=200.0),
        spacing=Spacing(wall=Sides.all_round(8.0), rim=Sides.all_round(rim_mm)),
        turns_deg=(0.0, 90.0, 180.0, 270.0),
    )


def copies(places):
    """Each copy by shapely alone, turned about its frame origin and then moved."""
    shapes = [affinity.rotate(Polygon(SHELLS[one.kind]), one.turn_deg, origin=(0.0, 0.0)) for one in places]
    return [affinity.translate(shape, one.x_mm, one.y_mm) for shape, one in zip(shapes, places, strict=True)]


@pytest.mark.parametrize("rim_mm", [5.0, 12.0])
def test_a_proposal_keeps_wall_and_rim_by_exact_distances(rim_mm):
    question = asked(("tool", 2), ("wedge", 3), rim_mm=rim_mm)
    places = proposed_places(strip_asked(question, 3), most_s=10, seed=1, workers=2)
    assert sorted(one.kind for one in places) == ["tool"] * 6 + ["wedge"] * 9
    found = copies(places)
    assert min(here.distance(there) for here, there in combinations(found, 2)) >= 8.0
    room = box(rim_mm, rim_mm, 300.0 - rim_mm, 200.0 - rim_mm)
    assert all(room.covers(one) for one in found)


def test_the_engine_is_ended_at_the_first_packing_that_is_short_enough():
    start = time.monotonic()
    assert len(proposed_places(strip_asked(asked(("wedge", 1)), 6), most_s=60, seed=1, workers=1)) == 6
    assert time.monotonic() - start < 30.0


def test_no_room_in_its_time_is_no_proposal():
    # 71 + 8 = 79, and 3 x 79 is more than 205 + 8: each square covers one of four points, a fifth finds none
    question = replace(asked(("square", 1)), container=Container(width_mm=215.0, depth_mm=215.0))
    strip = strip_asked(question, 5)
    assert not strip.hopeless
    assert proposed_places(strip, most_s=1, seed=1, workers=1) == ()


def test_what_is_hopeless_starts_no_process(monkeypatch):
    monkeypatch.setattr(strip_engine, "guarded", None)
    assert proposed_places(strip_asked(asked(("tool", 1), width_mm=40.0), 1), most_s=1, seed=1, workers=1) == ()


def test_an_engine_that_falls_is_told_in_three_lines(capfd):
    strip = strip_asked(asked(("wedge", 1)), 1)
    crossed = replace(strip.items[0], ring=((0.0, 0.0), (40.0, 40.0), (40.0, 0.0), (0.0, 40.0)))
    with pytest.raises(JobError) as fallen:
        proposed_places(replace(strip, items=(crossed,)), most_s=2, seed=1, workers=1)
    assert fallen.value.code == "JOB-046"
    assert "panicked" not in "".join(capfd.readouterr())


@pytest.mark.parametrize(("name", "value"), [("most_s", 0), ("seed", -1), ("workers", 0)])
def test_numbers_out_of_range_are_refused(name, value):
    numbers = {"most_s": 1, "seed": 1, "workers": 1} | {name: value}
    with pytest.raises(JobError) as refused:
        proposed_places(strip_asked(asked(("wedge", 1)), 1), **numbers)
    assert refused.value.code == "JOB-047"
    assert refused.value.parameters["name"] == name


def test_regular_hexagons_lie_as_they_tile_the_plane():
    """Hexagons of equal size tile the plane (elementary): n columns of them are 1.5 (n - 1) + 2 radii long."""
    radius, columns, rows = 20.0, 3, 3
    hexagon = [(radius * math.cos(math.tau * k / 6), radius * math.sin(math.tau * k / 6)) for k in range(6)]
    length = radius * (1.5 * (columns - 1) + 2.0)
    height = radius * math.sqrt(3.0) * (rows + 0.5)
    question = LayoutAsked(
        kinds=(Kind(id="hexagon", outline=Region.polygon(hexagon)),),
        container=Container(width_mm=length + 0.5, depth_mm=height + 0.5),
        spacing=Spacing(wall=Sides.all_round(0.0), rim=Sides.all_round(0.0)),
    )
    assert len(proposed_places(strip_asked(question, columns * rows), most_s=20, seed=1, workers=2)) == columns * rows
