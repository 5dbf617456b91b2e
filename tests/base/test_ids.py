"""Ids sort as people count, and files are named from ids only."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as some

from traywright.base import file_name, natural_key


@given(some.lists(some.integers(min_value=0, max_value=99), min_size=2, max_size=2, unique=True))
def test_numbers_sort_by_size(pair):
    one, other = sorted(pair)
    assert natural_key(f"T1.C{one}") < natural_key(f"T1.C{other}")


@given(some.text(max_size=12))
def test_a_file_name_holds_nothing_that_breaks_files(name):
    assert set(file_name(name)) <= set("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-")
