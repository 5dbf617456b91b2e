"""Whether the numbers of a program are in the unit that the setup is drawn in."""

from __future__ import annotations

import math

from traywright.base import Finding
from traywright.base.units import MM_PER_INCH
from traywright.verification.motion import Heard, Motion, MotionKind
from traywright.verification.tell import known_point, tell

_NEAR_RATIO = 1.25  # source: common practice, no source: cutter radius and open ends change extents by less


def extents_mm(motions: tuple[Motion, ...]) -> tuple[float, float]:
    """Width and depth of what the feed motions span."""
    boxes = [one.box_mm() for one in motions if one.kind is not MotionKind.RAPID and one.is_known]
    if not boxes:
        return (0.0, 0.0)
    width = max(high[0] for _, high in boxes) - min(low[0] for low, _ in boxes)
    depth = max(high[1] for _, high in boxes) - min(low[1] for low, _ in boxes)
    return (width, depth)


def _off_by_inch(spans_mm: tuple[float, float], wanted_mm: tuple[float, float]) -> bool:
    """True if both spans differ from what is wanted by about the inch, the same way."""
    if min(*spans_mm, *wanted_mm) <= 0.0:
        return False
    steps = [math.log(span / wanted) for span, wanted in zip(spans_mm, wanted_mm, strict=True)]
    near = math.log(_NEAR_RATIO)
    return any(all(abs(step - sign * math.log(MM_PER_INCH)) <= near for step in steps) for sign in (-1.0, 1.0))


def judge_units(heard: Heard, wanted_mm: tuple[float, float], setup: str) -> tuple[Finding, ...]:
    """No unit word, inches where millimetres are asked, or millimetres with the numbers of inches.

    Parameters
    ----------
    heard
        What the reader understood.
    wanted_mm
        Width and depth of all pieces as they lie on the board.
    setup
        Id of the setup.
    """
    at = (setup,)
    motions = heard.motions
    for motion in motions:
        if motion.unit != "mm":
            code = "RB-031" if motion.unit == "inch" else "RB-030"
            point = next((one.end_mm for one in motions if known_point(one.end_mm)), ())
            return (tell(code, at, {"line": heard.unit_line or motion.line}, point_mm=point),)
    spans_mm = extents_mm(motions)
    if _off_by_inch(spans_mm, wanted_mm):
        first = next(one for one in motions if one.kind is not MotionKind.RAPID)
        told = {"line": first.line, "width_mm": round(spans_mm[0], 2), "wanted_mm": round(wanted_mm[0], 2)}
        return (tell("RB-032", at, told, point_mm=first.end_mm),)
    return ()
