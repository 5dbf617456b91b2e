"""A small enquiry in pieces, so that a test can put a fault into one of them."""

from __future__ import annotations

HEAD = """format = 1
[job]
number = "T-1"
title = "Test"
dated = 2026-11-25
"""

PART = """[[part]]
id = "block"
name = "Block"
material = "aluminium"
fragility_gn = 100
"""

SHAPE = """[part.dimensions]
kind = "block"
length_mm = 100
width_mm = 60
thickness_mm = 30
"""

REST = """[pack]
boxes = ["case-300x200x135"]
[foam]
allowed = ["XLPE33"]
[shop]
machine = "demo-router-1300"
dialect = "demo-mm"
rates = "demo-rates"
boards = ["xlpe33-2000x1000x30"]
"""

LOOP = """[loop]
kits_per_week = 5
[[loop.step]]
kind = "leg"
name = "out"
days = 1
"""


def enquiry(*, head: str = HEAD, part: str = PART, shape: str = SHAPE, rest: str = REST, more: str = "") -> bytes:
    """The bytes of an enquiry, each piece as it is or exchanged."""
    return (head + part + shape + rest + more).encode()
