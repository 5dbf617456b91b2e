"""The floor of a feature: a closed z(x, y) above the tray's underside."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Flat:
    """One height; 0 or less means right through."""

    z_mm: float

    def z_at(self, x_mm: Array, y_mm: Array) -> Array:
        """Height of the floor above the underside, mm, at points."""
        return np.full(np.broadcast(x_mm, y_mm).shape, self.z_mm)

    @property
    def lowest_mm(self) -> float:
        """Lowest height of the floor."""
        return self.z_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Trough:
    """A lying cylinder: axis from one end to the other, all in tray millimetres."""

    start_mm: tuple[float, float, float]
    end_mm: tuple[float, float, float]
    radius_mm: float

    def z_at(self, x_mm: Array, y_mm: Array) -> Array:
        """Height of the floor above the underside, mm; the axis height outside the cylinder."""
        ax, ay, az = self.start_mm
        bx, by, bz = self.end_mm
        length = float(np.hypot(bx - ax, by - ay))
        along = ((x_mm - ax) * (bx - ax) + (y_mm - ay) * (by - ay)) / length
        across = ((x_mm - ax) * (by - ay) - (y_mm - ay) * (bx - ax)) / length
        axis = az + (bz - az) * np.clip(along / length, 0.0, 1.0)
        return np.asarray(axis - np.sqrt(np.maximum(self.radius_mm**2 - across**2, 0.0)))

    @property
    def lowest_mm(self) -> float:
        """Lowest height of the floor."""
        return min(self.start_mm[2], self.end_mm[2]) - self.radius_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Ball:
    """The lower half of a sphere."""

    centre_mm: tuple[float, float, float]
    radius_mm: float

    def z_at(self, x_mm: Array, y_mm: Array) -> Array:
        """Height of the floor above the underside, mm; the centre height outside the sphere."""
        cx, cy, cz = self.centre_mm
        square = self.radius_mm**2 - (x_mm - cx) ** 2 - (y_mm - cy) ** 2
        return np.asarray(cz - np.sqrt(np.maximum(square, 0.0)))

    @property
    def lowest_mm(self) -> float:
        """Lowest height of the floor."""
        return self.centre_mm[2] - self.radius_mm


Floor = Flat | Trough | Ball
