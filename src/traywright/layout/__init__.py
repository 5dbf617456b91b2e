"""Outlines in a container, whatever they are: regular rows, equal rectangles, and rectangles in shelves."""

from traywright.layout.place import Place, snapped_mm
from traywright.layout.rectangles import RectangleLayout, pack_rectangles
from traywright.layout.rows import RowLayout, fill_rows
from traywright.layout.shelves import LIES, ShelfPlace, fill_shelves

__all__ = [
    "LIES",
    "Place",
    "RectangleLayout",
    "RowLayout",
    "ShelfPlace",
    "fill_rows",
    "fill_shelves",
    "pack_rectangles",
    "snapped_mm",
]
