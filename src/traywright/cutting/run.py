"""A run: what the cutter does between one plunge and the next lift."""

from __future__ import annotations

from dataclasses import dataclass

XYZ = tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One way down, one path at feed, one way up.

    ``points_mm`` is the path (board frame); the first point is where the cutter plunges to; ``air_to_mm`` the height
    down to which that plunge is through air; ``air_mm`` how much of the path is through foam already gone.
    """

    points_mm: tuple[XYZ, ...]
    air_to_mm: float
    air_mm: float
