"""The colours of papers: black, white, a tint of foam and of parts, and three pencils; all read on a grey printer."""

from __future__ import annotations

INKS: dict[str, str] = {
    "ink": "#000000",
    "ink-2": "#3A3A3A",
    "hair": "#9A9A9A",
    "sheet": "#FFFFFF",
    "foam": "#F3EAD6",
    "foam-1": "#E9DBBB",
    "foam-2": "#DCCA9F",
    "foam-3": "#CDB884",
    "foam-4": "#BBA36B",
    "foam-5": "#A68C54",
    "foam-6": "#8F7542",
    "part": "#D2D8DC",
    "red": "#921408",
    "ochre": "#8A5C00",
    "blue": "#0B5A94",
}
"""Every ink by its name."""

DEPTH_STEPS = 6


def depth_ink(depth_mm: float, thickness_mm: float) -> str:
    """The tint of a floor that lies so deep in a piece so thick; white where it goes right through.

    Examples
    --------
    >>> depth_ink(10.0, 50.0), depth_ink(50.0, 50.0)
    ('foam-2', 'sheet')
    """
    if depth_mm >= thickness_mm:
        return "sheet"
    step = 1 + int(DEPTH_STEPS * max(depth_mm, 0.0) / thickness_mm)
    return f"foam-{min(step, DEPTH_STEPS)}"
