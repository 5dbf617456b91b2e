"""Outlines and questions for the tests of the layout room."""

from __future__ import annotations

from pathlib import Path

import shapely

from traywright.geometry import Region
from traywright.layout import Container, Kind, LayoutAsked, Sides, Spacing

ROOT = Path(__file__).resolve().parents[2]
QUARTERS_DEG = (0.0, 90.0, 180.0, 270.0)
NAMES = ("l_bracket", "flanged_shaft", "ring", "c_clamp", "wrench", "connecting_rod")


def outline(name):
    return Region(shapely.from_wkt((ROOT / "examples" / "outlines" / f"{name}.wkt").read_text(encoding="utf-8")))


def question(*kinds, width_mm=560.0, depth_mm=360.0, wall_mm=8.0, no_go=(), **settings):
    wall = Sides.all_round(wall_mm)
    told = {"turns_deg": (0.0, 180.0), "spacing": Spacing(wall=wall, rim=wall)} | settings
    return LayoutAsked(
        kinds=tuple(one if isinstance(one, Kind) else Kind(id=one, outline=outline(one)) for one in kinds),
        container=Container(width_mm=width_mm, depth_mm=depth_mm, no_go=no_go),
        **told,
    )
