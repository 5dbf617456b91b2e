"""How small and how large a part may be, whichever way its shape is told."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from traywright.base.errors import PartError

SMALLEST_MM = 0.5  # source: ours: a smaller part is a slip of unit
LARGEST_MM = 10_000.0  # source: ours: no foam tray is that large, a larger number is a slip of unit


def checked_size(part_id: str, low_mm: ArrayLike, high_mm: ArrayLike) -> tuple[float, float, float]:
    """Size of a bounding box (mm, to 0.000001), refused if no part is that small or large.

    Parameters
    ----------
    part_id
        Named in errors.
    low_mm, high_mm
        Least and largest x, y, z.

    Raises
    ------
    PartError
        PART-016 if the longest side is below 0.5 mm or above 10 m.

    Examples
    --------
    >>> checked_size("a", (1.0, 2.0, 0.0), (41.0, 22.0, 5.0))
    (40.0, 20.0, 5.0)
    """
    x_mm, y_mm, z_mm = (float(one) for one in np.round(np.subtract(high_mm, low_mm), 6))
    if not SMALLEST_MM <= max(x_mm, y_mm, z_mm) <= LARGEST_MM:
        told = {"x_mm": x_mm, "y_mm": y_mm, "z_mm": z_mm, "least_mm": SMALLEST_MM, "most_mm": LARGEST_MM}
        raise PartError("PART-016", part=part_id, **told)
    return (x_mm, y_mm, z_mm)
