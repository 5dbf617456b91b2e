"""A small drawing job in pieces, so that a test can put a fault into one of them."""

from __future__ import annotations

HEAD = """format = 1
[job]
number = "D-1"
title = "Plate"
dated = 2026-11-25
"""

DRAWING = """[drawing]
file = "files/plate.dxf"
board = "hdpe-1000x1000x12"
"""

ROW = """[[drawing.depth]]
layer = "DEPTH_A"
mm = 4.5
"""

SHOP = """[shop]
machine = "demo-router-1300"
dialect = "demo-mm"
rates = "demo-rates"
"""


def drawn(*, head: str = HEAD, drawing: str = DRAWING, row: str = ROW, shop: str = SHOP, more: str = "") -> bytes:
    """The bytes of a drawing job, each piece as it is or exchanged."""
    return (head + drawing + row + shop + more).encode()
