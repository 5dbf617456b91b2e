"""Sheets of two colours: contrast of pockets and lines, notches that look like tools, mirrored silhouettes."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

import shapely
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from traywright.base import Finding, Severity, finding
from traywright.base.tolerance import DRAWN_MM
from traywright.catalogue import table
from traywright.design.drawn_asked import DrawnAsked
from traywright.design.drawn_shapes import Shape
from traywright.parts import Drawing, DrawingQuestion
from traywright.trays import FeatureKind, Tray


def judge_colours(tray: Tray, shapes: tuple[Shape, ...], asked: DrawnAsked) -> Iterator[Finding]:
    """What a sheet of two colours shows; nothing for a sheet of one.

    Parameters
    ----------
    tray
        The tray.
    shapes
        Its loops.
    asked
        For the board.
    """
    yield from _mirrored(tray, shapes)
    board = asked.board
    if board.top_colour_mm is None:
        return
    change, spread = board.top_colour_mm, board.top_colour_tolerance_mm or 0.0
    more = table("design_rules").given("contrast_more", "value").value
    blind = [one for one in tray.features if one.floor.lowest_mm > 0.0]
    for one in blind:
        deep = tray.thickness_mm - one.floor.lowest_mm
        if one.kind is FeatureKind.ENGRAVING:
            yield _engraving(tray, one.id, deep, change, spread)
        elif change - spread < deep < change + more:
            x, y = one.region.centre_mm
            yield finding(
                "TRAY-039",
                Severity.WARN,
                (tray.id, one.id),
                point_mm=(round(x, 3), round(y, 3)),
                cause=f"patchy {tray.id}",
                count=sum(change - spread < tray.thickness_mm - each.floor.lowest_mm < change + more for each in blind),
                deep_mm=round(deep, 3),
                change_mm=change,
                spread_mm=spread,
                margin_mm=round(deep - change - spread, 3),
                wanted_mm=change + more,
                place=f"({x:.1f}, {y:.1f})",
            )
    yield from _false_tools(tray, asked, change)


def _engraving(tray: Tray, feature: str, deep_mm: float, change_mm: float, spread_mm: float) -> Finding:
    """Whether a cut line shows the lower colour."""
    shows = "both" if abs(deep_mm - change_mm) <= spread_mm else "deeper" if deep_mm > change_mm else "shallower"
    severity = Severity.WARN if shows == "both" else Severity.NOTE
    words = {"deep_mm": round(deep_mm, 3), "change_mm": change_mm}
    return finding("TRAY-040", severity, (tray.id, feature), cause=f"line {shows}", fix=shows, **words)  # type: ignore[arg-type]


def _false_tools(tray: Tray, asked: DrawnAsked, change_mm: float) -> Iterator[Finding]:
    """Notches and slots that reach the lower colour: beside the tool they look like a missing one."""
    kinds = {FeatureKind.FINGER_NOTCH, FeatureKind.SLOT}
    seen = [one for one in tray.features if one.kind in kinds and tray.thickness_mm - one.floor.lowest_mm > change_mm]
    for one in seen:
        x, y = one.region.centre_mm
        yield finding(
            "TRAY-041",
            Severity.WARN,
            (tray.id, one.id),
            point_mm=(round(x, 3), round(y, 3)),
            cause=f"false tool {tray.id}",
            count=len(seen),
            base_colour=asked.board.base_colour,
            place=f"({x:.1f}, {y:.1f})",
        )


def _mirrored(tray: Tray, shapes: tuple[Shape, ...]) -> Iterator[Finding]:
    """Two loops that are mirror images of each other and not turned copies: a left and a right tool."""
    pairs = [
        (one, other)
        for one, other in combinations(shapes, 2)
        if abs(one.fine.area - other.fine.area) < DRAWN_MM * one.fine.length
        and abs(one.fine.length - other.fine.length) < DRAWN_MM * FEW
        and _is_mirror_image(one.fine, other.fine)
    ]
    for one, other in pairs:
        (x, y), (u, v) = one.place_mm, other.place_mm
        yield finding(
            "TRAY-042",
            Severity.NOTE,
            (tray.id,),
            point_mm=(round(x, 3), round(y, 3)),
            cause=f"mirrored {tray.id}",
            count=len(pairs),
            place=f"({x:.1f}, {y:.1f})",
            other=f"({u:.1f}, {v:.1f})",
        )


FEW = 10
"""Corners over which a length may be off by DRAWN_MM each.  # source: common practice, no source"""


def _about_origin(shape: BaseGeometry) -> BaseGeometry:
    """A shape with its centre of area at the origin."""
    middle = shape.centroid
    return affinity.translate(shape, -middle.x, -middle.y)


def _is_mirror_image(one: BaseGeometry, other: BaseGeometry) -> bool:
    """True if a shape is the mirror image of another in some quarter turn and no turned copy of it."""
    here, there = _about_origin(one), _about_origin(other)
    turned = [affinity.rotate(here, angle, origin=(0.0, 0.0)) for angle in (0.0, 90.0, 180.0, 270.0)]
    if any(_same(each, there) for each in turned):
        return False
    return any(_same(affinity.scale(each, -1.0, 1.0, origin=(0.0, 0.0)), there) for each in turned)


def _same(one: BaseGeometry, other: BaseGeometry) -> bool:
    """True if two shapes cover each other."""
    return bool(shapely.symmetric_difference(one, other).area < DRAWN_MM * one.length)


def mirrored_question(drawing: Drawing) -> tuple[DrawingQuestion, ...]:
    """The question whether a drawing with mirrored words is seen from below."""
    if not drawing.mirrored_words:
        return ()
    return (DrawingQuestion(field="drawing.seen_from", asks="seen_from", parameters=(), taken="top"),)
