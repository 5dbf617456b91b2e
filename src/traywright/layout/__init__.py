"""Outlines in a container, whatever they are: regular rows, and equal rectangles."""

from traywright.layout.place import Place, snapped_mm
from traywright.layout.rectangles import RectangleLayout, pack_rectangles
from traywright.layout.rows import RowLayout, fill_rows

__all__ = ["Place", "RectangleLayout", "RowLayout", "fill_rows", "pack_rectangles", "snapped_mm"]
