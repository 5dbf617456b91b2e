"""Where the floors of a drawn tray stand on the board as measured, and what is refused or told of them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from traywright.base import Finding, Given, Severity, finding
from traywright.base.errors import DesignError
from traywright.base.tolerance import SAME_MM
from traywright.catalogue import Solid, table
from traywright.design.drawn_asked import DepthAsked, DrawnAsked
from traywright.design.drawn_shapes import Shape
from traywright.geometry import Region
from traywright.trays import Tray

DECIMALS = 6  # source: a thousandth of a snap step; a difference of two lengths without the noise of floats


def floor_least(asked: DrawnAsked) -> Given:
    """Least floor under a recess of this sheet."""
    return _least(asked, "floor_least_mm", "floor_least")


def wall_least(asked: DrawnAsked) -> Given:
    """Least wall of this sheet."""
    return _least(asked, "wall_least_mm", "wall_least")


def _least(asked: DrawnAsked, key: str, row: str) -> Given:
    """What the solid's card says, else the board's, else the rule of design."""
    if isinstance(asked.stuff, Solid):
        return asked.stuff.given(key)
    return (
        asked.board.given(key) if getattr(asked.board, key) is not None else table("design_rules").given(row, "value")
    )


def keeps_depth(asked: DrawnAsked) -> bool:
    """True where a depth counts from the top: asked so, or a sheet of two colours."""
    return asked.keep == "depth" or asked.board.is_two_colour


def floor_mm(depth: DepthAsked, asked: DrawnAsked) -> float:
    """Height of a recess's floor above the underside of the board as measured; 0 for right through."""
    if depth.depth is None:
        return 0.0
    whole_mm = asked.thickness.value if keeps_depth(asked) else asked.board.thickness_mm
    return round(whole_mm - depth.depth.value, DECIMALS)


def cut_mm(depth: DepthAsked, asked: DrawnAsked) -> float:
    """How deep a recess is cut into the board as measured."""
    return round(asked.thickness.value - max(floor_mm(depth, asked), 0.0), DECIMALS)


def without_too_deep(shapes: tuple[Shape, ...], asked: DrawnAsked) -> tuple[tuple[Shape, ...], list[Finding]]:
    """Shapes whose floor lies in the board; a pocket through the sheet that was not meant so is told and not cut."""
    over = [one for one in shapes if one.depth.depth is not None and floor_mm(one.depth, asked) <= SAME_MM]
    nominal_mm = asked.thickness.value if keeps_depth(asked) else asked.board.thickness_mm
    told = [through_the_sheet(one, len(over), nominal_mm) for one in over]
    return tuple(one for one in shapes if one not in over), told


def through_the_sheet(one: Shape, count: int, thickness_mm: float) -> Finding:
    """A recess that would go through the sheet and was not meant so."""
    x, y = one.place_mm
    return finding(
        "TRAY-030",
        Severity.STOP,
        (one.line.layer,),
        point_mm=(round(x, 3), round(y, 3)),
        cause="through the sheet",
        count=count,
        layer=one.line.layer,
        depth_mm=one.asked_mm,
        thickness_mm=thickness_mm,
        place=f"({x:.1f}, {y:.1f})",
    )


def check_floors(tray: Tray, asked: DrawnAsked) -> Iterator[Finding]:
    """Refuse a floor under the sheet's least on the board as measured; tell one that is so on the nominal board.

    Raises
    ------
    DesignError
        TRAY-027 for a floor too thin on a measured board, TRAY-029 for a floor that lies above its top.
    """
    least = floor_least(asked)
    blind = [one for one in tray.features if one.floor.lowest_mm > SAME_MM]
    for one in blind:
        if one.floor.lowest_mm > tray.thickness_mm - SAME_MM:
            raise DesignError("TRAY-029", tray=tray.id, thickness_mm=tray.thickness_mm, floor_mm=one.floor.lowest_mm)
    thin = [one for one in blind if one.floor.lowest_mm < least.value - SAME_MM]
    if not thin:
        return
    lowest = min(thin, key=lambda one: (one.floor.lowest_mm, one.id))
    x, y = lowest.region.centre_mm
    words: dict[str, Any] = {
        "floor_mm": round(lowest.floor.lowest_mm, 3),
        "least_mm": least.value,
        "thickness_mm": tray.thickness_mm,
        "place": _place(lowest.region),
    }
    if asked.thickness.ref.startswith("enquiry:"):
        raise DesignError("TRAY-027", tray=tray.id, **words)
    point = (round(x, 3), round(y, 3))
    yield finding(
        "TRAY-031", Severity.WARN, (tray.id, lowest.id), point_mm=point, cause="floor", count=len(thin), **words
    )


def _place(region: Region) -> str:
    """Middle of a region in words."""
    x, y = region.centre_mm
    return f"({x:.1f}, {y:.1f})"


def thickness_findings(asked: DrawnAsked) -> Iterator[Finding]:
    """A board measured outside its card's tolerance, and what it keeps against what was asked."""
    board, measured = asked.board, asked.thickness.value
    if abs(measured - board.thickness_mm) > board.thickness_tolerance_mm + SAME_MM:
        yield finding(
            "TRAY-032",
            Severity.WARN,
            (board.id,),
            board=board.id,
            measured_mm=measured,
            nominal_mm=board.thickness_mm,
            tolerance_mm=board.thickness_tolerance_mm,
        )
    if board.is_two_colour and asked.keep == "floor" and abs(measured - board.thickness_mm) > SAME_MM:
        yield finding("TRAY-033", Severity.NOTE, (board.id,), board=board.id)
