"""Screw heads stand in waste only."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from traywright.geometry import Region
from traywright.nesting.screws import SCREW_HEAD_MM, screw_places

rims = st.floats(0, 80)


@settings(max_examples=50)
@given(rims, rims, rims, rims, st.floats(0, 20))
def test_every_head_is_inside_the_blank_and_a_kerf_off_every_piece(left, front, right, back, kerf):
    blank = Region.rectangle(0, 0, 600, 400)
    piece = Region.rectangle(left, front, 600 - right, 400 - back)
    places = screw_places(blank, [piece], kerf)
    assert len(places) in {0, 4}
    for place in places:
        head = Region.disc(place, SCREW_HEAD_MM / 2.0)
        assert blank.contains(head)
        assert head.distance_mm(piece) >= kerf - 0.001


def test_one_narrow_corner_leaves_the_board_without_screws():
    blank = Region.rectangle(0, 0, 600, 400)
    roomy = Region.rectangle(40, 40, 560, 360)
    assert len(screw_places(blank, [roomy], 12.0)) == 4
    assert screw_places(blank, [roomy, Region.rectangle(570, 5, 595, 60)], 12.0) == ()
