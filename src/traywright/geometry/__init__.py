"""Regions, grids and meshes, trusted by both witnesses: its checks are published ones."""

from traywright.geometry.grid import Grid
from traywright.geometry.mesh import Mesh
from traywright.geometry.region import Point, Region, Ring

__all__ = ["Grid", "Mesh", "Point", "Region", "Ring"]
