"""What was typed for a layout, and how each option is read."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from traywright.base.errors import JobError
from traywright.base.tolerance import SNAP_MM
from traywright.layout import RowSlot, Sides

MOST_MM = 10_000.0
"""Longest length that is typed.  # source: ours: no foam tray is that large, a larger number is a slip of unit"""
MOST_KG = 100_000.0  # source: ours: no mass that is typed is larger
MOST_IN_KIT = 1_000  # source: ours: no kit holds more of one part
MOST_TURNS = 360  # source: ours: a turn a degree
QUARTERS_DEG = (0.0, 90.0, 180.0, 270.0)
OPPOSITE_DEG = (0.0, 180.0)
ROUND_DEG = 360.0
_TRAY = re.compile(r"([^x×]+)[x×]([^x×]+)", re.IGNORECASE)
WALL_EXAMPLE = "8, or 8,10,8,10"


@dataclass(frozen=True, slots=True, kw_only=True)
class LayoutTyped:
    """What was typed for a layout; None and empty stand for what was not typed.

    ``outlines`` are paths of files, or WKT; ``svg`` is the picture to write; ``most_s`` is given to each drawing.
    """

    outlines: tuple[str, ...]
    tray: str
    wall: str
    rim: str | None = None
    turns: str = "0,180"
    ratio: str | None = None
    mass: str | None = None
    together: bool = False
    kits: int = 0
    no_go: tuple[str, ...] = ()
    no_go_wall: str | None = None
    slots: tuple[str, ...] = ()
    length_unit: str = "file"
    rounds: int | None = None
    seed: int | None = None
    svg: Path | None = None
    most_s: float = 17.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Turns:
    """Turns that are allowed, and whether all may be turned on by one angle more."""

    turns_deg: tuple[float, ...]
    free: bool


def _split(option: str, typed: str, wanted: str, example: str) -> Iterator[float]:
    """Each number of a list with commas.

    Raises
    ------
    JobError
        JOB-026 if one cannot be read.
    """
    for one in typed.split(","):
        try:
            yield float(one)
        except ValueError as fault:
            raise JobError("JOB-026", told=typed, wanted=wanted, option=option, example=example) from fault


def _within(option: str, value: float, least: float, most: float) -> float:
    """The number, if it can be meant.

    Raises
    ------
    JobError
        JOB-055.
    """
    if not least <= value <= most:
        raise JobError("JOB-055", option=option, told=f"{value:g}", least=f"{least:g}", most=f"{most:g}")
    return value + 0.0


def tray_of(typed: str) -> tuple[float, float]:
    """Width and depth of a tray.

    Raises
    ------
    JobError
        JOB-026 if it cannot be read, JOB-055 if no tray is so small or large.

    Examples
    --------
    >>> tray_of("560x360")
    (560.0, 360.0)
    """
    option, example = "--tray", "560x360"
    found = _TRAY.fullmatch(typed.strip())
    if found is None:
        raise JobError("JOB-026", told=typed, wanted="WIDTHxDEPTH", option=option, example=example)
    width, depth = (
        _within(option, one, SNAP_MM, MOST_MM)
        for side in found.groups()
        for one in _split(option, side, "length", example)
    )
    return width, depth


def sides_of(option: str, typed: str) -> Sides:
    """One spacing for all sides, or right, back, left, front.

    Raises
    ------
    JobError
        JOB-026 if it cannot be read, JOB-055 if a spacing is negative, not finite or longer than any tray.

    Examples
    --------
    >>> sides_of("--wall", "8,10,8,12").front_mm
    12.0
    """
    wanted = "length or four lengths"
    each = [_within(option, one, 0.0, MOST_MM) for one in _split(option, typed, wanted, WALL_EXAMPLE)]
    if len(each) not in {1, 4}:
        raise JobError("JOB-026", told=typed, wanted=wanted, option=option, example=WALL_EXAMPLE)
    right, back, left, front = each if len(each) == 4 else each * 4
    return Sides(right_mm=right, back_mm=back, left_mm=left, front_mm=front)


def turns_of(typed: str) -> Turns:
    """Turns from 0 to below 360 degrees, each once.

    Raises
    ------
    JobError
        JOB-026 if they cannot be read, JOB-055 if one is not finite, JOB-056 if there are too many.

    Examples
    --------
    >>> turns_of("free")
    Turns(turns_deg=(0.0, 180.0), free=True)
    >>> turns_of("0,-90,360")
    Turns(turns_deg=(0.0, 270.0), free=False)
    """
    word, mark, told = typed.strip().partition(":")
    free = word == "free"
    if free and not mark:
        return Turns(turns_deg=OPPOSITE_DEG, free=True)
    wanted = told.strip() if free else typed.strip()
    if wanted == "quarter":
        return Turns(turns_deg=QUARTERS_DEG, free=free)
    option, most = "--turns", ROUND_DEG * MOST_TURNS
    each = [_within(option, one, -most, most) for one in _split(option, wanted, "list of degrees", "0,180")]
    if len(each) > MOST_TURNS:
        raise JobError("JOB-056", option=option, count=len(each), most=MOST_TURNS)
    return Turns(turns_deg=tuple(dict.fromkeys(one % ROUND_DEG for one in each)), free=free)


def _a_number_each(option: str, typed: str, count: int) -> list[float]:
    """As many numbers as there are outlines.

    Raises
    ------
    JobError
        JOB-026.
    """
    wanted, example = f"list of {count} numbers", ",".join(["1"] * count)
    each = list(_split(option, typed, wanted, example))
    if len(each) != count:
        raise JobError("JOB-026", told=typed, wanted=wanted, option=option, example=example)
    return each


def ratio_of(typed: str | None, count: int) -> tuple[int, ...]:
    """How many of each outline go with one kit.

    Raises
    ------
    JobError
        JOB-026 if they cannot be read or are not one for each outline, JOB-055 if one is no whole number from 1 up.

    Examples
    --------
    >>> ratio_of("1,2", 2), ratio_of(None, 2)
    ((1, 2), (1, 1))
    """
    if typed is None:
        return (1,) * count
    option = "--ratio"
    each = [_within(option, one, 1, MOST_IN_KIT) for one in _a_number_each(option, typed, count)]
    broken = next((one for one in each if not one.is_integer()), None)
    if broken is not None:
        raise JobError("JOB-026", told=f"{broken:g}", wanted="whole number", option=option, example="1,2,1")
    return tuple(int(one) for one in each)


def masses_of(typed: str | None, count: int) -> tuple[float, ...]:
    """Mass of each outline's part, kg.

    Raises
    ------
    JobError
        JOB-026 if they cannot be read or are not one for each outline, JOB-055 if one is negative or not finite.
    """
    if typed is None:
        return (0.0,) * count
    return tuple(_within("--mass", one, 0.0, MOST_KG) for one in _a_number_each("--mass", typed, count))


def slot_of(typed: str) -> RowSlot:
    """A lift slot: LINE,WIDTH or LINE,WIDTH,REACH.

    Raises
    ------
    JobError
        JOB-026 if it cannot be read, JOB-055 if a number cannot be meant.

    Examples
    --------
    >>> slot_of("12,20,15").reach_mm
    15.0
    """
    option, wanted, example = "--slot", "LINE,WIDTH,REACH", "12,20,15"
    each = list(_split(option, typed, wanted, example))
    if len(each) not in {2, 3}:
        raise JobError("JOB-026", told=typed, wanted=wanted, option=option, example=example)
    line, width, reach = (*each, 0.0)[:3]
    return RowSlot(
        line_mm=_within(option, line, -MOST_MM, MOST_MM),
        width_mm=_within(option, width, SNAP_MM, MOST_MM),
        reach_mm=_within(option, reach, 0.0, MOST_MM),
    )


def no_go_wall_of(typed: str | None, wall: Sides) -> float:
    """How far all keep from what nothing may enter; where it is not told, the largest wall.

    Raises
    ------
    JobError
        JOB-026 if it cannot be read, JOB-055 if it is negative or not finite.
    """
    if typed is None:
        return max(wall.each_mm())
    option = "--no-go-wall"
    each = [_within(option, one, 0.0, MOST_MM) for one in _split(option, typed, "length", "5")]
    if len(each) != 1:
        raise JobError("JOB-026", told=typed, wanted="length", option=option, example="5")
    return math.fsum(each)
