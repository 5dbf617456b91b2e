"""Same value, same bytes."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as some

from traywright.base import canonical_json, fingerprint

PLAIN = some.recursive(
    some.none() | some.booleans() | some.integers() | some.floats(allow_nan=False, allow_infinity=False) | some.text(),
    lambda inner: some.lists(inner, max_size=3) | some.dictionaries(some.text(), inner, max_size=3),
    max_leaves=8,
)


@given(some.dictionaries(some.text(), PLAIN, max_size=4))
def test_the_order_of_keys_does_not_show(values):
    backwards = dict(reversed(values.items()))
    assert canonical_json(values) == canonical_json(backwards)


def test_composed_and_decomposed_letters_are_one_text():
    assert fingerprint({"a": "\u00e9"}) == fingerprint({"a": "e\u0301"})


def test_minus_zero_is_zero():
    assert fingerprint([-0.0]) == fingerprint([0.0])


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_numbers_without_a_value_are_refused(value):
    with pytest.raises(ValueError, match=r"nan|inf"):
        canonical_json({"a": [value]})
