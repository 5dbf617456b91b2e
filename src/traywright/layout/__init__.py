"""Outlines in a container, whatever they are: two offers for any outlines, equal rectangles, rectangles in shelves."""

from traywright.layout.asked import Container, Kind, LayoutAsked, NoGo, PairWall, RowSlot, Sides, Spacing
from traywright.layout.discs import discs_in_rectangle
from traywright.layout.lattice import Lattice, densest_lattice
from traywright.layout.lay_out import lay_out
from traywright.layout.offer import Effort, Offer, Placement, Slot
from traywright.layout.place import Place, snapped_mm
from traywright.layout.rectangles import RectangleLayout, pack_rectangles
from traywright.layout.rows import RowLayout, fill_rows
from traywright.layout.shelves import LIES, ShelfPlace, fill_shelves

__all__ = [
    "LIES",
    "Container",
    "Effort",
    "Kind",
    "Lattice",
    "LayoutAsked",
    "NoGo",
    "Offer",
    "PairWall",
    "Place",
    "Placement",
    "RectangleLayout",
    "RowLayout",
    "RowSlot",
    "ShelfPlace",
    "Sides",
    "Slot",
    "Spacing",
    "densest_lattice",
    "discs_in_rectangle",
    "fill_rows",
    "fill_shelves",
    "lay_out",
    "pack_rectangles",
    "snapped_mm",
]
