"""Trays and the pack, drawn from parts, needs and the shop's rules."""

from traywright.design.asked import KindAsked, PackAsked, PackDrawn
from traywright.design.corner_relief import Relieved, relieved
from traywright.design.draw import draw_pack
from traywright.design.drawn_asked import DepthAsked, DrawnAreas, DrawnAsked, DrawnTrays
from traywright.design.drawn_trays import draw_as_drawn
from traywright.design.layers import ply_boards

__all__ = [
    "DepthAsked",
    "DrawnAreas",
    "DrawnAsked",
    "DrawnTrays",
    "KindAsked",
    "PackAsked",
    "PackDrawn",
    "Relieved",
    "draw_as_drawn",
    "draw_pack",
    "ply_boards",
    "relieved",
]
