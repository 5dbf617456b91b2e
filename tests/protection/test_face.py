from __future__ import annotations

import numpy as np
import pytest

from protection.packs import PE, block
from traywright.base.tolerance import PROTECTION_CELL_MM
from traywright.parts.part import Rule
from traywright.protection.face import face_of
from traywright.protection.needs import conforming, need_mm


def allowed_mm2(pose, direction):
    face = face_of(pose, direction, PROTECTION_CELL_MM)
    return float(face.area_mm2[face.rules == Rule.ALLOWED].sum())


@pytest.mark.parametrize("thick_mm", [0.8, 1.6, 2.4, 5.0])
def test_an_edge_thinner_than_a_cell_counted_as_thick_as_the_cell(thick_mm):
    # by hand: the edge of a plate is its depth times its thickness
    area = allowed_mm2(block(height_mm=thick_mm), "left")
    assert area == pytest.approx(40.0 * thick_mm, rel=0.08)


def test_a_border_of_a_face_has_its_own_area():
    # by hand: a border of 4 mm on 60 x 40 is 60 x 40 - 52 x 32; the mesh has a triangle for it only if it is cut so
    pose = block(length_mm=4.0, depth_mm=40.0)
    assert allowed_mm2(pose, "under") == pytest.approx(160.0, rel=0.02)
    assert face_of(pose, "under", PROTECTION_CELL_MM).reach.cell_mm == 0.5


def test_a_wide_face_keeps_its_cells():
    assert face_of(block(), "under", PROTECTION_CELL_MM).reach.cell_mm == PROTECTION_CELL_MM


def test_a_thinner_edge_needs_more_foam():
    walls = [need_mm(block(height_mm=one, mass_kg=0.14), "left", PE, drop_mm=460.0) for one in (1.6, 2.0, 3.0)]
    assert walls[0] > walls[1] > walls[2]


def test_areas_of_columns_are_those_of_the_face():
    face = face_of(block(height_mm=1.6), "left", PROTECTION_CELL_MM)
    assert conforming(face).total_mm2 == pytest.approx(float(face.area_mm2.sum()))
    assert np.all(face.area_mm2 > 0.0)
