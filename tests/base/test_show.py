"""A shown figure is rounded away from passing."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as some

from traywright.base import shown

NUMBERS = some.floats(min_value=-1e6, max_value=1e6, allow_nan=False)


@given(value=NUMBERS, limit=NUMBERS, digits=some.integers(min_value=0, max_value=4))
def test_a_figure_over_its_limit_never_shows_at_or_under_it(value, limit, digits):
    if value > limit + 1e-6:
        assert float(shown(value, digits, limit=limit)) > limit - 1e-9
    if value < limit - 1e-6:
        assert float(shown(value, digits, limit=limit, upper=False)) < limit + 1e-9


def test_by_hand():
    assert shown(0.7049, 2, limit=0.7) == "0.71"
    assert shown(0.6999, 2, limit=0.7) == "0.70"
    assert shown(-0.0, 1) == "0.0"
