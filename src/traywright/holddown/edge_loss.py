"""How much of its vacuum hold a piece loses all round when it is cut free."""

from __future__ import annotations

import math

from scipy.special import ellipk, ellipkm1
from shapely.geometry.base import BaseGeometry

from traywright.base.tolerance import SAME_MM


def edge_loss_mm(kerf_mm: float, spoil_mm: float) -> float:
    """Width of the strip along a free edge that no longer holds, mm.

    Parameters
    ----------
    kerf_mm
        Width of the kerf, above 0.
    spoil_mm
        Thickness of the spoil board through which the vacuum comes, above 0.

    Returns
    -------
    float
        Width in mm; at most spoil_mm ln 4 / pi however wide the kerf.

    Notes
    -----
    Exact for an even spoil board, foam that is tight and a kerf between two edges: the flow into the kerf per length
    is K(m)/K(1-m) with m = 1 - exp(-pi w/h), K the complete elliptic integral of parameter m, w kerf, h thickness;
    the hold lost is that number times h, half of what lies beyond the kerf at each side. A spoil board of pressed
    fibres is not even: its layers carry air better along than through.

    References
    ----------
    Conformal map of a strip; checked against a solution on a fine section grid.

    Examples
    --------
    >>> round(edge_loss_mm(12.0, 18.0), 3)
    7.757
    """
    through = math.exp(-math.pi * kerf_mm / spoil_mm)
    flow = float(ellipkm1(through)) / float(ellipk(through))
    return (flow * spoil_mm - kerf_mm) / 2.0


def held_ratio(outline: BaseGeometry, solid: BaseGeometry, loss_mm: float) -> float:
    """Share of a piece's footprint that still holds when the piece is cut free.

    Parameters
    ----------
    outline
        The piece with all that is cut through it.
    solid
        The piece without what is cut through it.
    loss_mm
        Width lost along every free edge.

    Returns
    -------
    float
        0 to 1.

    Notes
    -----
    Strips at corners are counted once each way: too low for small pieces.

    Examples
    --------
    >>> from shapely.geometry import box
    >>> round(held_ratio(box(0, 0, 46, 46), box(0, 0, 46, 46), 7.757), 3)
    0.439
    """
    # the geometry library shrinks by next to nothing to nothing at all
    kept = solid if loss_mm <= SAME_MM else solid.buffer(-loss_mm)
    return float(kept.area / outline.area)
