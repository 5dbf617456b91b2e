"""Lightening holes stand clear of everything."""

from __future__ import annotations

from itertools import combinations

import pytest

from design.jobs import block, pack
from traywright.catalogue import table
from traywright.design import draw_pack
from traywright.design.holes import holes_of
from traywright.design.walls import Placed, walls_of
from traywright.geometry import Region
from traywright.trays import Cell, FeatureKind

OUTLINE = Region.rectangle(0, 0, 300, 200)


def test_an_empty_tray_takes_the_largest_hole_in_its_middle():
    first = holes_of(OUTLINE, [], table("design_rules"), wall_mm=20, rim_mm=25)[0]
    assert first.radius_mm == 30.0
    assert first.centre_mm[1] == pytest.approx(100.0, abs=2.0)


def test_no_room_no_hole():
    assert holes_of(OUTLINE, [Region.rectangle(40, 40, 260, 160)], table("design_rules"), wall_mm=20, rim_mm=25) == ()


def test_holes_keep_walls_and_rims():
    tray = draw_pack(pack(block(), kits=4)).trays[0]
    holes = [one.region for one in tray.features if one.kind is FeatureKind.HOLE]
    others = [one.region for one in tray.features if one.kind is not FeatureKind.HOLE]
    assert holes
    assert all(a.distance_mm(b) >= 19.9 for a, b in combinations(holes, 2))
    assert all(a.distance_mm(b) >= 19.9 for a in holes for b in others)
    assert all(tray.outline.grown(-24.9, square=True).contains(one) for one in holes)
    assert all(one.floor.z_mm == 0.0 for one in tray.features if one.kind is FeatureKind.HOLE)


def test_a_pad_has_no_hole():
    drawn = draw_pack(pack(block(), kits=4))
    assert all(not one.features for one in drawn.trays[1:])


def test_a_hole_in_a_wall_counts_as_air():
    here, there = (Region.rectangle(x, 80, x + 40, 120) for x in (30, 230))
    cells = [
        Placed(
            cell=Cell(id=f"T1.C{number}", part="p", pose=0, at_mm=(0, 0, 0), turn_deg=0, kit_no=number, play_mm=1),
            opening=one,
            silhouette=one.grown(-1.0, square=True),
        )
        for number, one in enumerate((here, there), start=1)
    ]
    hole = Region.disc((150, 100), 30)
    solid, holed = (walls_of(cells, OUTLINE, holes, ())[0].walls for holes in ((), (hole,)))
    towards = [one.towards for one in solid]
    # 160 from opening to opening, 60 of it a hole; the gap of the parts is 2 mm wider
    assert towards.count("T1.C2") == 1
    at = towards.index("T1.C2")
    assert (solid[at].kept_mm, solid[at].gap_mm) == (160.0, 162.0)
    assert holed[at].kept_mm == pytest.approx(100.0, abs=0.01)
    assert sorted(one.kept_mm for one in solid) == [30.0, 80.0, 80.0, 160.0]
