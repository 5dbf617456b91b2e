"""Where a ply lies on the board, worked out apart from nesting, and which cells that is."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from traywright.geometry import Grid, Region
from traywright.nesting import place_on_board
from traywright.nesting.setup import Piece
from traywright.verification.raster import cells_inside, frame_of, placement_of
from twins.place import placed_corners
from verification.scenes import ply

OUTLINE = Region.polygon([(3, 2), (43, 2), (43, 12), (13, 12), (13, 32), (3, 32)])
FRAME = frame_of(Grid((-1.0, -2.0), 0.5, np.zeros((140, 160), dtype=np.float32)))
lengths = st.floats(0.0, 20.0).map(lambda one: round(one, 3))


@given(lengths, lengths, st.sampled_from([0, 90, 180, 270]))
def test_three_witnesses_put_a_point_in_the_same_place(x, y, turn):
    piece = Piece(id="B1.1", ply="T1.P1", at_mm=(x, y), turn_deg=turn)
    laid = ply(region=OUTLINE)
    placement = placement_of(piece, laid)
    points = np.array(OUTLINE.rings()[0][0])
    mine = np.column_stack(placement.to_board(points[:, 0], points[:, 1]))
    plain = placed_corners([tuple(one) for one in points], [tuple(one) for one in points], (x, y), turn)
    assert mine == pytest.approx(np.array(plain), abs=1e-9)
    back = np.column_stack(placement.to_ply(mine[:, 0], mine[:, 1]))
    assert back == pytest.approx(points, abs=1e-9)
    theirs = place_on_board(OUTLINE, piece, laid)
    assert theirs.bounds_mm == pytest.approx((*mine.min(axis=0), *mine.max(axis=0)), abs=0.001)
    assert all(theirs.grown(0.002).holds((float(a), float(b))) for a, b in mine)


@given(lengths, lengths, st.sampled_from([0, 90, 180, 270]))
def test_cells_are_those_whose_centre_lies_inside(x, y, turn):
    piece = Piece(id="B1.1", ply="T1.P1", at_mm=(x, y), turn_deg=turn)
    laid = ply(region=OUTLINE)
    cells = cells_inside(OUTLINE, FRAME, placement_of(piece, laid))
    board = place_on_board(OUTLINE, piece, laid)
    inside = board.grown(0.01)
    assert all(inside.holds((float(a), float(b))) for a, b in zip(*cells.centres_mm(FRAME), strict=True))
    assert cells.mask.sum() * 0.25 == pytest.approx(board.area_mm2, rel=0.15)


def test_a_region_off_the_map_has_no_cells():
    cells = cells_inside(Region.rectangle(500, 500, 520, 520), FRAME)
    assert cells.mask.sum() == 0
    assert cells_inside(Region.empty(), FRAME).mask.size == 0
