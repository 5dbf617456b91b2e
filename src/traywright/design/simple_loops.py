"""Loops of a simple tray: a pocket with its finger notches, or a row of pockets with its slot, is one closed line."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from traywright.geometry import Contour, Point
from traywright.geometry.contour import Corner

HALF_TURN = 1.0
"""Bulge of a half circle.  # source: DXF reference, LWPOLYLINE, group code 42"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pocket:
    """A pocket by the size of its opening, mm: a rectangle, or a disc whose depth is its width."""

    wide_mm: float
    deep_mm: float
    is_round: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Grip:
    """Room for fingers: width of a notch or slot, and how far it reaches beyond the pocket, mm; 0 wide: none."""

    wide_mm: float
    reach_mm: float


def rectangle(left_mm: float, front_mm: float, right_mm: float, back_mm: float) -> Contour:
    """A rectangle as a contour.

    Parameters
    ----------
    left_mm, front_mm, right_mm, back_mm
        Its edges.
    """
    return Contour.polygon(((left_mm, front_mm), (right_mm, front_mm), (right_mm, back_mm), (left_mm, back_mm)))


def notched(middle_mm: Point, pocket: Pocket, grip: Grip) -> Contour:
    """A pocket with a notch in the middle of its front and one of its back, round at the end.

    Parameters
    ----------
    middle_mm
        Middle of the pocket.
    pocket
        Its opening.
    grip
        Width of a notch, above 0 and no more than the pocket's width, and its reach beyond the pocket.

    Examples
    --------
    >>> import math
    >>> loop = notched((0.0, 0.0), Pocket(wide_mm=60, deep_mm=40, is_round=False), Grip(wide_mm=20, reach_mm=15))
    >>> loop.bounds_mm
    (-30.0, -35.0, 30.0, 35.0)
    >>> round(loop.area_mm2 - (60 * 40 + 2 * (20 * 5 + math.pi * 10**2 / 2)), 6)
    0.0
    """
    half, deep = grip.wide_mm / 2.0, pocket.deep_mm / 2.0
    foot = math.sqrt(deep * deep - half * half) if pocket.is_round else deep
    # a notch that reaches less than half its width is a shallower arc
    straight = max(deep + grip.reach_mm - half, foot)
    bow = min(HALF_TURN, (deep + grip.reach_mm - straight) / half)
    notch = [(-half, -foot, 0.0), (-half, -straight, bow), (half, -straight, 0.0)]
    if pocket.is_round:
        # the disc from one notch to the other
        side = [(half, -foot, math.tan((math.pi - 2.0 * math.asin(half / deep)) / 4.0))]
    else:
        wide = pocket.wide_mm / 2.0
        side = [(half, -foot, 0.0), (wide, -deep, 0.0), (wide, deep, 0.0)]
    front = [*notch, *side]
    back = [(-x, -y, bulge) for x, y, bulge in front]
    return _closed([*front, *back]).moved(*middle_mm)


def threaded(first_mm: Point, count: int, pitch_mm: float, pocket: Pocket, grip: Grip) -> Contour:
    """A row of pockets along x with a slot through the middle of all, round at its ends.

    Parameters
    ----------
    first_mm
        Middle of the left pocket.
    count
        Pockets of the row, 1 or more.
    pitch_mm
        From one middle to the next.
    pocket
        Opening of each.
    grip
        Width of the slot, above 0 and no more than the pocket's depth, and its reach beyond the outer pockets.

    Examples
    --------
    >>> import math
    >>> disc = Pocket(wide_mm=40, deep_mm=40, is_round=True)
    >>> row = threaded((0.0, 0.0), 2, 60.0, disc, Grip(wide_mm=20, reach_mm=15))
    >>> row.bounds_mm
    (-35.0, -20.0, 95.0, 20.0)
    """
    half, wide = grip.wide_mm / 2.0, pocket.wide_mm / 2.0
    ends = (-wide - grip.reach_mm + half, (count - 1) * pitch_mm + wide + grip.reach_mm - half)
    lower: list[Corner] = [(ends[0], -half, 0.0)]
    for number in range(count):
        lower += [(x + number * pitch_mm, y, bulge) for x, y, bulge in _dip(pocket, half)]
    lower.append((ends[1], -half, HALF_TURN))
    # the upper side is the lower one turned by half a turn about the middle of the row
    last = (count - 1) * pitch_mm
    upper = [(last - x, -y, bulge) for x, y, bulge in lower]
    return _closed([*lower, *upper]).moved(*first_mm)


def _dip(pocket: Pocket, half_mm: float) -> list[Corner]:
    """The front of one pocket, from the slot's edge and back to it."""
    wide, deep = pocket.wide_mm / 2.0, pocket.deep_mm / 2.0
    if not pocket.is_round:
        return [(-wide, -half_mm, 0.0), (-wide, -deep, 0.0), (wide, -deep, 0.0), (wide, -half_mm, 0.0)]
    foot = math.sqrt(deep * deep - half_mm * half_mm)
    bulge = math.tan((math.pi - 2.0 * math.asin(half_mm / deep)) / 4.0)
    return [(-foot, -half_mm, bulge), (foot, -half_mm, 0.0)]


def plain(middle_mm: Point, pocket: Pocket) -> Contour:
    """A pocket alone.

    Parameters
    ----------
    middle_mm
        Its middle.
    pocket
        Its opening.
    """
    x, y = middle_mm
    wide, deep = pocket.wide_mm / 2.0, pocket.deep_mm / 2.0
    return Contour.circle(middle_mm, wide) if pocket.is_round else rectangle(x - wide, y - deep, x + wide, y + deep)


def lying_across(loop: Contour) -> Contour:
    """The loop with x and y changed over, still counter-clockwise.

    Parameters
    ----------
    loop
        A closed contour.
    """
    corners = tuple((y, x, -bulge + 0.0) for x, y, bulge in loop.corners)
    return Contour(corners=corners, closed=True, true_arcs=loop.true_arcs).turned_back()


def _closed(corners: Sequence[Corner]) -> Contour:
    """The loop without a corner that stands where the one before it does."""
    kept = [one for one, after in zip(corners, (*corners[1:], corners[0]), strict=True) if one[:2] != after[:2]]
    return Contour(corners=tuple(kept))
