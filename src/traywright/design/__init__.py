"""Trays and the pack, drawn from parts, needs and the shop's rules."""

from traywright.design.asked import KindAsked, PackAsked, PackDrawn
from traywright.design.corner_relief import Relieved, relieved
from traywright.design.draw import draw_pack
from traywright.design.drawn_asked import DepthAsked, DrawnAreas, DrawnAsked, DrawnTrays
from traywright.design.drawn_trays import draw_as_drawn
from traywright.design.layers import ply_boards
from traywright.design.simple import SimpleAsked, SimpleDrawn, SimplePart, draw_simple, simple_part, simple_size

__all__ = [
    "DepthAsked",
    "DrawnAreas",
    "DrawnAsked",
    "DrawnTrays",
    "KindAsked",
    "PackAsked",
    "PackDrawn",
    "Relieved",
    "SimpleAsked",
    "SimpleDrawn",
    "SimplePart",
    "draw_as_drawn",
    "draw_pack",
    "draw_simple",
    "ply_boards",
    "relieved",
    "simple_part",
    "simple_size",
]
