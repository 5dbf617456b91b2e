"""The one truth for a tray: its nouns, and what is derived from them."""

from traywright.trays.floor import Ball, Flat, Floor, Trough
from traywright.trays.height_map import target_grid
from traywright.trays.pack import Layer, Pack
from traywright.trays.plies import plies_of
from traywright.trays.sections import section_at
from traywright.trays.tray import Cell, Feature, FeatureKind, Ply, Tray, TrayKind, Wall
from traywright.trays.volumes import corner_left_mm2, foam_mass_kg, foam_volume_mm3, open_area_mm2, removed_mm3

__all__ = [
    "Ball",
    "Cell",
    "Feature",
    "FeatureKind",
    "Flat",
    "Floor",
    "Layer",
    "Pack",
    "Ply",
    "Tray",
    "TrayKind",
    "Trough",
    "Wall",
    "corner_left_mm2",
    "foam_mass_kg",
    "foam_volume_mm3",
    "open_area_mm2",
    "plies_of",
    "removed_mm3",
    "section_at",
    "target_grid",
]
