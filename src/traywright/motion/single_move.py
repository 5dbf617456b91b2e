"""Closed forms of one move from rest to rest, and of one corner."""

from __future__ import annotations

import math


def trapezoid_s(length_mm: float, *, feed_mm_per_s: float, acceleration_mm_per_s2: float) -> float:
    """Time of one straight move from rest to rest under constant acceleration, s.

    Parameters
    ----------
    length_mm
        Length of the move, 0 or more.
    feed_mm_per_s
        Highest speed, above 0.
    acceleration_mm_per_s2
        Acceleration and braking, above 0.

    Returns
    -------
    float
        Time in s; a move too short to reach the feed is a triangle.

    Notes
    -----
    v = feed, a = acceleration, L = length: t = L/v + v/a where L >= v²/a, else 2 sqrt(L/a).

    Examples
    --------
    >>> trapezoid_s(100.0, feed_mm_per_s=100.0, acceleration_mm_per_s2=1000.0)
    1.1
    """
    v, a = feed_mm_per_s, acceleration_mm_per_s2
    if length_mm >= v * v / a:
        return length_mm / v + v / a
    return 2.0 * math.sqrt(length_mm / a)


def jerk_limited_s(
    length_mm: float, *, feed_mm_per_s: float, acceleration_mm_per_s2: float, jerk_mm_per_s3: float
) -> float:
    """Time of one straight move from rest to rest with a limit on jerk, s.

    Parameters
    ----------
    length_mm
        Length of the move, 0 or more.
    feed_mm_per_s
        Highest speed, above 0.
    acceleration_mm_per_s2
        Highest acceleration, above 0.
    jerk_mm_per_s3
        Highest jerk, above 0.

    Returns
    -------
    float
        Time in s.

    Notes
    -----
    v, a, j, L as usual. Where v j >= a²: t = L/v + v/a + a/j from L = v²/a + v a/j on; below it
    a/j + sqrt((a/j)² + 4L/a); and 4 (L/2j)^(1/3) up to L = 2a³/j². Where v j < a² the acceleration is never reached:
    t = L/v + 2 sqrt(v/j) from L = 2 v sqrt(v/j) on, else 4 (L/2j)^(1/3).

    Examples
    --------
    >>> round(jerk_limited_s(20.0, feed_mm_per_s=100.0, acceleration_mm_per_s2=1000.0, jerk_mm_per_s3=20000.0), 6)
    0.35
    """
    v, a, j, L = feed_mm_per_s, acceleration_mm_per_s2, jerk_mm_per_s3, length_mm
    cubic = 4.0 * math.cbrt(L / (2.0 * j))
    if v * j < a * a:
        ramp = math.sqrt(v / j)
        return L / v + 2.0 * ramp if L >= 2.0 * v * ramp else cubic
    if L >= v * v / a + v * a / j:
        return L / v + v / a + a / j
    if L > 2.0 * a**3 / j**2:
        return a / j + math.sqrt((a / j) ** 2 + 4.0 * L / a)
    return cubic


def junction_speed_mm_per_s(included_deg: float, *, acceleration_mm_per_s2: float, junction_mm: float) -> float:
    """Speed at which a corner may be passed, by the deviation that is allowed there, mm/s.

    Parameters
    ----------
    included_deg
        Angle between the two moves, 0 (straight back) to 180 (straight on).
    acceleration_mm_per_s2
        Acceleration, above 0.
    junction_mm
        Allowed deviation at the corner, above 0.

    Returns
    -------
    float
        Speed in mm/s; infinite straight on.

    Notes
    -----
    A circle tangent to both moves that passes at distance d from the corner has the radius d s/(1-s) with
    s = sin(angle/2); the speed is what the acceleration allows on it: v² = a d s/(1-s). On chords of a circle this
    grows without end as chords get shorter, therefore the path planner limits curvature as well.

    References
    ----------
    Published in the comments of open motion control sources.

    Examples
    --------
    >>> round(junction_speed_mm_per_s(90.0, acceleration_mm_per_s2=1000.0, junction_mm=0.02), 5)
    6.94869
    """
    half = math.sin(math.radians(included_deg) / 2.0)
    if half >= 1.0:
        return math.inf
    return math.sqrt(acceleration_mm_per_s2 * junction_mm * half / (1.0 - half))
