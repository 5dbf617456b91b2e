"""Arcs in the horizontal plane from their words: centre, sweep and what is wrong with them."""

from __future__ import annotations

import math
from dataclasses import dataclass

from traywright.base.tolerance import ARC_MISMATCH_MM, TIE_RATIO

_FULL_DEG = 360.0
_POOR_FROM_DEG, _POOR_TO_DEG = 165.0, 195.0  # source: NISTIR 6556, 3.5.3.1
_LONGEST_RADIUS_ARC_DEG = 345.0  # source: NISTIR 6556, 3.5.3.1


@dataclass(frozen=True, slots=True, kw_only=True)
class Arc:
    """An arc's centre and sweep; ``mismatch_mm`` is how far the radii at start and end differ.

    ``is_poor`` marks an arc by radius whose centre hangs on the last decimal.
    """

    centre_mm: tuple[float, float]
    sweep_deg: float
    mismatch_mm: float
    is_poor: bool = False

    @property
    def is_broken(self) -> bool:
        """True if the two radii differ by more than a control accepts."""
        return self.mismatch_mm > ARC_MISMATCH_MM + TIE_RATIO


def _sweep_deg(
    start_mm: tuple[float, float], end_mm: tuple[float, float], centre_mm: tuple[float, float], *, clockwise: bool
) -> float:
    """Signed sweep from start to end about a centre, a full turn if they are the same."""
    sign = -1.0 if clockwise else 1.0
    if math.dist(start_mm, end_mm) <= TIE_RATIO:
        return sign * _FULL_DEG
    first = math.atan2(start_mm[1] - centre_mm[1], start_mm[0] - centre_mm[0])
    last = math.atan2(end_mm[1] - centre_mm[1], end_mm[0] - centre_mm[0])
    return sign * math.degrees((sign * (last - first)) % math.tau)


def arc_about(
    start_mm: tuple[float, float], end_mm: tuple[float, float], centre_mm: tuple[float, float], *, clockwise: bool
) -> Arc | None:
    """The arc about a centre, or nothing if its radius is 0.

    References
    ----------
    NISTIR 6556 (2000), 3.5.3.2.

    Examples
    --------
    >>> arc = arc_about((7.0, 7.0), (10.0, 16.0), (10.0, 11.0), clockwise=True)
    >>> round(arc.sweep_deg, 4), arc.is_broken
    (-143.1301, False)
    """
    first_mm, last_mm = math.dist(start_mm, centre_mm), math.dist(end_mm, centre_mm)
    if min(first_mm, last_mm) <= ARC_MISMATCH_MM:
        return None
    sweep = _sweep_deg(start_mm, end_mm, centre_mm, clockwise=clockwise)
    return Arc(centre_mm=centre_mm, sweep_deg=sweep, mismatch_mm=abs(first_mm - last_mm))


def arc_of_radius(
    start_mm: tuple[float, float], end_mm: tuple[float, float], radius_mm: float, *, clockwise: bool
) -> Arc | None:
    """The arc of a radius (negative: more than half a turn), or nothing if it cannot exist.

    References
    ----------
    NISTIR 6556 (2000), 3.5.3.1.

    Examples
    --------
    >>> arc = arc_of_radius((3.0, 1.0), (0.0, 1.0), 7.01, clockwise=True)
    >>> [round(one, 4) for one in arc.centre_mm]
    [1.5, 7.8476]
    """
    chord_mm = math.dist(start_mm, end_mm)
    half_mm = chord_mm / 2.0
    if chord_mm <= ARC_MISMATCH_MM or abs(radius_mm) < half_mm - ARC_MISMATCH_MM / 2.0:
        return None
    height_mm = math.sqrt(max(radius_mm**2 - half_mm**2, 0.0))
    # clockwise and at most half a turn: the centre lies to the right of the way from start to end
    side = (1.0 if clockwise else -1.0) * (1.0 if radius_mm > 0 else -1.0)
    ux, uy = (end_mm[0] - start_mm[0]) / chord_mm, (end_mm[1] - start_mm[1]) / chord_mm
    middle = ((start_mm[0] + end_mm[0]) / 2.0, (start_mm[1] + end_mm[1]) / 2.0)
    centre = (middle[0] + side * height_mm * uy, middle[1] - side * height_mm * ux)
    sweep = _sweep_deg(start_mm, end_mm, centre, clockwise=clockwise)
    poor = _POOR_FROM_DEG < abs(sweep) < _POOR_TO_DEG or abs(sweep) > _LONGEST_RADIUS_ARC_DEG
    return Arc(centre_mm=centre, sweep_deg=sweep, mismatch_mm=0.0, is_poor=poor)
