from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from traywright.geometry import Region
from traywright.holddown import edge_loss_mm, held_ratio


@given(st.floats(1.0, 100.0), st.floats(6.0, 40.0))
def test_a_wider_kerf_loses_more_and_never_more_than_the_limit(kerf_mm, spoil_mm):
    loss_mm = edge_loss_mm(kerf_mm, spoil_mm)
    assert 0.0 < loss_mm < edge_loss_mm(kerf_mm * 1.1, spoil_mm) + 1e-9
    assert loss_mm <= spoil_mm * 0.44128 + 1e-6


@given(st.floats(20.0, 400.0), st.floats(20.0, 400.0), st.floats(0.0, 9.0))
def test_what_holds_is_the_area_inside_the_strip(width_mm, depth_mm, loss_mm):
    outline = Region.rectangle(0, 0, round(width_mm, 3), round(depth_mm, 3)).shape
    expected = (1.0 - 2.0 * loss_mm / width_mm) * (1.0 - 2.0 * loss_mm / depth_mm)
    assert abs(held_ratio(outline, outline, loss_mm) - expected) < 1e-3


def test_next_to_no_loss_keeps_the_whole_piece():
    outline = Region.rectangle(0, 0, 20, 20).shape
    assert held_ratio(outline, outline, 5e-324) == 1.0
