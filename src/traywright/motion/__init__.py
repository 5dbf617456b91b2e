"""Speed along a path under a machine's limits: time only, never a judgement."""

from traywright.motion.look_ahead import travel_time_s, vertex_speeds_mm_per_s
from traywright.motion.single_move import jerk_limited_s, junction_speed_mm_per_s, trapezoid_s

__all__ = [
    "jerk_limited_s",
    "junction_speed_mm_per_s",
    "trapezoid_s",
    "travel_time_s",
    "vertex_speeds_mm_per_s",
]
