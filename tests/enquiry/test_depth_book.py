"""A customer's depth table: kept, read, and refused where it is damaged."""

from __future__ import annotations

import pytest
from hypothesis import given

from enquiry.test_drawn_toml import ROWS
from traywright.base.errors import EnquiryError
from traywright.enquiry import depth_book_toml, read_depth_book


@given(ROWS)
def test_a_table_comes_back_row_by_row(rows):
    assert list(read_depth_book(depth_book_toml(rows).encode())) == rows


def test_a_table_without_rows_is_empty():
    assert read_depth_book(depth_book_toml([]).encode()) == ()
    assert read_depth_book(b"format = 1\n") == ()


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (b"\xff", "ENQ-001"),
        (b"x = " + b"[" * 9000, "ENQ-001"),
        (b"[[depth]]\nlayer = 'A'\nmm = 2\n", "ENQ-002"),
        (b"format = 9\n", "ENQ-003"),
        (b"format = 1\ndepht = []\n", "ENQ-021"),
        (b"format = 1\ndepth = 4\n", "ENQ-021"),
        (b"format = 1\ndepth = [4]\n", "ENQ-021"),
        (b"format = 1\ndepth = { layer = 'A', mm = 2 }\n", "ENQ-021"),
        (b"format = 1\n[[depth]]\n", "ENQ-021"),
        (b"format = 1\n[[depth]]\nlayer = 'A'\n", "ENQ-021"),
        (b"format = 1\n[[depth]]\nlayer = 4\nmm = 2\n", "ENQ-021"),
        (b"format = 1\n[[depth]]\nlayer = 'A'\nmm = 'deep'\n", "ENQ-021"),
        (b"format = 1\n[[depth]]\nlayer = 'A'\nmm = nan\n", "ENQ-021"),
        (b"format = 1\n[[depth]]\nlayer = 'A'\nmm = 2\nfloor = 3\n", "ENQ-021"),
        (b"format = 1\n[[depth]]\ncolour = '5'\nmm = 2\n", "ENQ-021"),
        (b"format = 1\n[[depth]]\ncolour = 256\nmm = 2\n", "ENQ-021"),
        (b"format = 1\n[[depth]]\nlayer = 'A'\nmm = 2\n[[depth]]\nlayer = 'a'\nmm = 3\n", "ENQ-021"),
    ],
)
def test_a_damaged_table_is_refused_in_three_lines(content, code):
    with pytest.raises(EnquiryError) as refusal:
        read_depth_book(content)
    assert refusal.value.code == code
    assert len(str(refusal.value).splitlines()) == 3


def test_the_refusal_says_which_row():
    with pytest.raises(EnquiryError, match=r"depth\.2"):
        read_depth_book(b"format = 1\n[[depth]]\nlayer = 'A'\nmm = 2\n[[depth]]\nlayer = 'B'\n")
