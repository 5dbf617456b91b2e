"""Regions, grids and meshes, trusted by both witnesses: its checks are published ones."""

from traywright.geometry.clip import split_by_plane, split_by_region
from traywright.geometry.columns import SolidColumns, solid_columns
from traywright.geometry.contour import Contour, Corner, Edge
from traywright.geometry.grid import Grid
from traywright.geometry.height_map import highest, highest_marks, lowest, lowest_marks
from traywright.geometry.mesh import Mesh
from traywright.geometry.prism import combined, extruded, segments_of_circle, turned_about_x
from traywright.geometry.region import Point, Region, Ring
from traywright.geometry.shadow import shadow
from traywright.geometry.solids import (
    MassProperties,
    fused,
    is_closed,
    mass_properties,
    open_edges,
    section_at,
    shadow_below,
    shared_volume_mm3,
)

__all__ = [
    "Contour",
    "Corner",
    "Edge",
    "Grid",
    "MassProperties",
    "Mesh",
    "Point",
    "Region",
    "Ring",
    "SolidColumns",
    "combined",
    "extruded",
    "fused",
    "highest",
    "highest_marks",
    "is_closed",
    "lowest",
    "lowest_marks",
    "mass_properties",
    "open_edges",
    "section_at",
    "segments_of_circle",
    "shadow",
    "shadow_below",
    "shared_volume_mm3",
    "solid_columns",
    "split_by_plane",
    "split_by_region",
    "turned_about_x",
]
