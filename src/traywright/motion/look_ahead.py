"""Time along a whole path, looking ahead over its corners."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def _planned(
    points_mm: Array, feeds_mm_per_s: Array, *, acceleration_mm_per_s2: float, junction_mm: float, each_axis: bool
) -> tuple[float, Array]:
    """Time and vertex speeds; a path of fewer than two points takes no time."""
    from traywright.motion._kernels import look_ahead  # noqa: PLC0415  # reason: numba loads only when a path is timed

    points = np.ascontiguousarray(points_mm, dtype=np.float64)
    feeds = np.ascontiguousarray(feeds_mm_per_s, dtype=np.float64)
    if points.ndim != 2 or points.shape[1] != 3 or feeds.shape != (max(len(points) - 1, 0),):
        raise ValueError(points.shape, feeds.shape)
    if len(points) < 2:
        return 0.0, np.zeros(len(points))
    if not (feeds > 0.0).all():
        raise ValueError(float(feeds.min()))
    planned: Any = look_ahead(points, feeds, acceleration_mm_per_s2, junction_mm, each_axis)
    return float(planned[0]), planned[1]


def travel_time_s(
    points_mm: Array,
    feeds_mm_per_s: Array,
    *,
    acceleration_mm_per_s2: float,
    junction_mm: float,
    each_axis: bool = False,
) -> float:
    """Time along a path from rest to rest under a machine's limits, s.

    Parameters
    ----------
    points_mm
        Vertices, shape (n, 3); arcs as chords.
    feeds_mm_per_s
        Highest speed of each move, shape (n - 1,), above 0.
    acceleration_mm_per_s2
        Acceleration along the path, above 0.
    junction_mm
        Allowed deviation at a corner, above 0.
    each_axis
        True if the acceleration is each axis' own: a diagonal move then accelerates faster.

    Returns
    -------
    float
        Time in s.

    Raises
    ------
    ValueError
        If the shapes do not fit, or a feed is not above 0: a bug in the caller.

    Notes
    -----
    A vertex is passed at most at the junction speed (:func:`junction_speed_mm_per_s`) and at sqrt(a R), R the radius
    of the circle whose chords the two moves are: without the second the first grows without end on fine chords.
    Then a pass backward and one forward, then a trapezoid a move. Jerk and the control's block rate are left out.

    Examples
    --------
    >>> line = np.array([[0.0, 0.0, 0.0], [100.0, 0.0, 0.0]])
    >>> travel_time_s(line, np.array([100.0]), acceleration_mm_per_s2=1000.0, junction_mm=0.02)
    1.1
    """
    return _planned(
        points_mm,
        feeds_mm_per_s,
        acceleration_mm_per_s2=acceleration_mm_per_s2,
        junction_mm=junction_mm,
        each_axis=each_axis,
    )[0]


def vertex_speeds_mm_per_s(
    points_mm: Array,
    feeds_mm_per_s: Array,
    *,
    acceleration_mm_per_s2: float,
    junction_mm: float,
    each_axis: bool = False,
) -> Array:
    """Speed at each vertex of a path as planned by :func:`travel_time_s`, mm/s.

    Parameters
    ----------
    points_mm
        Vertices, shape (n, 3).
    feeds_mm_per_s
        Highest speed of each move, shape (n - 1,), above 0.
    acceleration_mm_per_s2
        Acceleration along the path, above 0.
    junction_mm
        Allowed deviation at a corner, above 0.
    each_axis
        True if the acceleration is each axis' own.

    Returns
    -------
    Array
        Speeds, shape (n,); 0 at both ends.

    Examples
    --------
    >>> corner = np.array([[0.0, 0.0, 0.0], [100.0, 0.0, 0.0], [100.0, 100.0, 0.0]])
    >>> speeds = vertex_speeds_mm_per_s(
    ...     corner, np.array([100.0, 100.0]), acceleration_mm_per_s2=1000.0, junction_mm=0.02
    ... )
    >>> [round(float(one), 5) for one in speeds]
    [0.0, 6.94869, 0.0]
    """
    return _planned(
        points_mm,
        feeds_mm_per_s,
        acceleration_mm_per_s2=acceleration_mm_per_s2,
        junction_mm=junction_mm,
        each_axis=each_axis,
    )[1]
