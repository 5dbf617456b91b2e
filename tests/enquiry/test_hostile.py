"""Whatever stands in a file of ours, it is read or refused in three lines; never a traceback."""

from __future__ import annotations

import tomllib
from copy import deepcopy

import pytest
from hypothesis import given
from hypothesis import strategies as st

from enquiry.asked import LOOP, enquiry
from enquiry.drawn import drawn
from traywright.base.errors import EnquiryError
from traywright.enquiry import depth_book_toml, drawn_enquiry_toml, read_depth_book, read_drawn_enquiry, read_enquiry

MORE = """
[[drawing.engrave]]
colour = 2
mm = 0.5
[offer]
currency = "EUR"
valid_days = 30
[[override]]
finding = "CUT-001"
at = "T1"
because = "seen"
by = "shop"
dated = 2026-11-25
"""
DRAWN = tomllib.loads(drawn(more=MORE).decode())
FULL = tomllib.loads(enquiry(more=LOOP).decode())

WORDS = st.text(max_size=8) | st.sampled_from(["is", "low", "high", "status", "layer", "mm", "a\nb", "\x00", "\udcff"])
PLAIN = st.one_of(
    st.booleans(),
    st.integers(),
    st.floats(),
    WORDS,
    st.dates(),
    st.datetimes(),
    st.times(),
)
VALUES = st.recursive(
    PLAIN, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(WORDS, inner, max_size=3), max_leaves=6
)


def places(value, path=()):
    """Every place of a file's values."""
    pairs = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, one in pairs:
        yield (*path, key)
        yield from places(one, (*path, key))


def exchanged(told, path, value):
    whole = deepcopy(told)
    owner = whole
    for step in path[:-1]:
        owner = owner[step]
    owner[path[-1]] = value
    return whole


def said(read):
    """What a reader says of a file; nothing where it takes it."""
    try:
        read()
    except EnquiryError as refused:
        return str(refused)
    return ""


def in_three_lines(told):
    return not told or (len(told.splitlines()) == 3 and bool(told.encode("utf-8")))


@given(st.sampled_from(list(places(DRAWN))), VALUES)
def test_any_value_at_any_place_of_a_drawing_job(path, value):
    told = exchanged(DRAWN, path, value)
    assert in_three_lines(said(lambda: read_drawn_enquiry(drawn_enquiry_toml(told).encode())))


@given(st.sampled_from(list(places(FULL))), VALUES)
def test_any_value_at_any_place_of_a_full_enquiry(path, value):
    told = exchanged(FULL, path, value)
    assert in_three_lines(said(lambda: read_enquiry(drawn_enquiry_toml(told).encode())))


@pytest.mark.parametrize("path", list(places(DRAWN)), ids=lambda path: ".".join(str(step) for step in path))
def test_a_drawing_job_refuses_a_value_that_no_key_takes(path):
    """A list of lists of tables fits no key of the file."""
    with pytest.raises(EnquiryError):
        read_drawn_enquiry(drawn_enquiry_toml(exchanged(DRAWN, path, [[{"strange": [1]}], 2])).encode())


@given(st.lists(st.dictionaries(WORDS, VALUES, max_size=3), max_size=3))
def test_any_rows_of_a_depth_table(rows):
    assert in_three_lines(said(lambda: read_depth_book(depth_book_toml(rows).encode())))


@given(st.binary(max_size=60) | st.text(max_size=60).map(lambda told: told.encode("utf-8", "surrogatepass")))
def test_any_bytes(content):
    for reader in (read_drawn_enquiry, read_enquiry, read_depth_book):
        with pytest.raises(EnquiryError):
            reader(content)
        with pytest.raises(EnquiryError):
            reader(b"format = 1\n[drawing]\n" + content)
