"""A customer's drawing as trays: nothing moved, rounded or improved but the place of the origin."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise
from typing import Any

import shapely

from traywright.base import Figure, Finding, Given, Severity, derive, finding, text
from traywright.base.errors import DesignError
from traywright.base.tolerance import SAME_MM
from traywright.catalogue import Solid, table
from traywright.design.corner_relief import relieved
from traywright.design.drawn_areas import areas_of, opened_at, remains_of
from traywright.design.drawn_asked import DepthAsked, DrawnAreas, DrawnAsked, DrawnTrays
from traywright.design.drawn_colour import judge_colours, mirrored_question
from traywright.design.drawn_corners import judge_corners
from traywright.design.drawn_depths import depths_of
from traywright.design.drawn_nesting import shapes_of
from traywright.design.drawn_shapes import Outlined, Shape, outlines_of
from traywright.design.drawn_thin import judge_thin
from traywright.geometry import Region
from traywright.parts import DrawnLine
from traywright.trays import Feature, FeatureKind, Flat, Tray, TrayKind


def draw_as_drawn(asked: DrawnAsked) -> DrawnTrays:
    """The trays of a drawing, with what was found on them.

    Parameters
    ----------
    asked
        The drawing, the depths, the board and the cutters.

    Returns
    -------
    DrawnTrays
        One tray for each outline, left to right, at the board's measured thickness.

    Raises
    ------
    DesignError
        TRAY-022 no outline, TRAY-026 layers without depth, TRAY-027 a floor thinner than the sheet's least at the
        measured thickness, TRAY-028 no flat cutter, TRAY-029 a recess whose depth is gone on so thin a board.
    """
    if not asked.cutters:
        raise DesignError("TRAY-028")
    outlined, findings = outlines_of(asked)
    loops = [one for tray in outlined for one in tray.loops]
    depths = depths_of(asked, loops)
    told = [*findings, *_thickness_findings(asked)]
    trays, areas, figures = [], [], []
    for number, one in enumerate(outlined, start=1):
        shapes, steps = shapes_of(one, depths)
        kept, too_deep = _without_too_deep(shapes, asked)
        tray, more = _tray(f"T{number}", one, kept, asked)
        own = _areas(tray, one, kept, asked)
        told += [*steps, *too_deep, *more, *judge_corners(tray, kept, asked, _smallest_mm(asked) / 2.0)]
        told += [*judge_thin(tray, kept, wall_least(asked)), *judge_colours(tray, kept, asked)]
        trays.append(tray)
        areas.append(own)
        figures += list(_figures(tray, own, kept, asked))
    if asked.drawing.lines and not asked.engrave:
        told.append(_not_cut(asked))
    return DrawnTrays(
        trays=tuple(trays),
        areas=tuple(areas),
        depths=_taken(depths, asked),
        cutters=tuple(one.id for one in asked.cutters),
        corner_cutter=asked.cutters[-1].id if asked.corner == "smaller_cutter" and len(asked.cutters) > 1 else "",
        findings=tuple(told),
        figures=tuple(figures),
        questions=mirrored_question(asked.drawing),
    )


def _smallest_mm(asked: DrawnAsked) -> float:
    """Diameter of the cutter that goes into corners."""
    return min(one.diameter_mm for one in asked.cutters)


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


# -- depths and floors --------------------------------------------------------------------------------------------


def _keeps_depth(asked: DrawnAsked) -> bool:
    """True where a depth counts from the top: asked so, or a sheet of two colours."""
    return asked.keep == "depth" or asked.board.is_two_colour


def _floor_mm(shape: Shape, asked: DrawnAsked) -> float:
    """Height of a recess's floor above the underside of the board as measured; 0 for right through."""
    if shape.depth.depth is None:
        return 0.0
    whole_mm = asked.thickness.value if _keeps_depth(asked) else asked.board.thickness_mm
    return round(whole_mm - shape.asked_mm, 6)


def _without_too_deep(shapes: tuple[Shape, ...], asked: DrawnAsked) -> tuple[tuple[Shape, ...], list[Finding]]:
    """Shapes whose floor lies in the board; a pocket through the sheet that was not meant so is told and not cut."""
    over = [one for one in shapes if one.depth.depth is not None and _floor_mm(one, asked) <= SAME_MM]
    findings = []
    for one in over:
        x, y = one.place_mm
        findings.append(
            finding(
                "TRAY-030",
                Severity.STOP,
                (one.line.layer,),
                point_mm=(round(x, 3), round(y, 3)),
                cause="through the sheet",
                count=len(over),
                layer=one.line.layer,
                depth_mm=one.asked_mm,
                thickness_mm=asked.thickness.value,
                place=f"({x:.1f}, {y:.1f})",
            )
        )
    return tuple(one for one in shapes if one not in over), findings


def _check_floors(tray: Tray, asked: DrawnAsked) -> Iterator[Finding]:
    """Refuse a floor under the sheet's least on the board as measured; tell one that is so on the nominal board."""
    least = floor_least(asked)
    blind = [one for one in tray.features if one.floor.lowest_mm > SAME_MM]
    for one in blind:
        if one.floor.lowest_mm > tray.thickness_mm - SAME_MM:
            raise DesignError("TRAY-029", tray=tray.id, thickness_mm=tray.thickness_mm, floor_mm=one.floor.lowest_mm)
    thin = [one for one in blind if one.floor.lowest_mm < least.value - SAME_MM]
    if not thin:
        return
    lowest = min(thin, key=lambda one: (one.floor.lowest_mm, one.id))
    words: dict[str, Any] = {
        "floor_mm": round(lowest.floor.lowest_mm, 3),
        "least_mm": least.value,
        "thickness_mm": tray.thickness_mm,
        "place": _place(lowest.region),
    }
    if asked.thickness.ref.startswith("enquiry:"):
        raise DesignError("TRAY-027", tray=tray.id, **words)
    yield finding("TRAY-031", Severity.WARN, (tray.id, lowest.id), cause="floor", count=len(thin), **words)


def _place(region: Region) -> str:
    """Middle of a region in words."""
    x, y = region.centre_mm
    return f"({x:.1f}, {y:.1f})"


def _thickness_findings(asked: DrawnAsked) -> Iterator[Finding]:
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


# -- trays --------------------------------------------------------------------------------------------------------


def _tray(tray_id: str, outlined: Outlined, shapes: tuple[Shape, ...], asked: DrawnAsked) -> tuple[Tray, list[Finding]]:
    """One tray with its features."""
    left, front, _, _ = outlined.outline.contour.bounds_mm
    outline = outlined.outline.contour.moved(-left, -front).region()
    lines = _engravings(outlined, asked)
    features = [
        Feature(
            id=f"{tray_id}.F{number}",
            kind=_kind(one, shapes),
            side="top",
            region=one.region,
            floor=Flat(z_mm=_floor_mm(one, asked)),
        )
        for number, one in enumerate(shapes, start=1)
    ]
    features += [
        Feature(
            id=f"{tray_id}.F{number}",
            kind=FeatureKind.ENGRAVING,
            side="top",
            region=region,
            floor=Flat(z_mm=round(asked.thickness.value - deep_mm, 6)),
        )
        for number, (region, deep_mm) in enumerate(lines, start=len(shapes) + 1)
    ]
    findings: list[Finding] = []
    if asked.corner == "relief":
        features, findings = _with_relief(features, asked)
    tray = Tray(
        id=tray_id,
        name=text("tray_name", "as_drawn"),
        kind=TrayKind.TRAY,
        outline=outline,
        thickness_mm=asked.thickness.value,
        foam=asked.stuff.id,
        ply_boards=((asked.board.id, asked.thickness.value),),
        features=tuple(features),
        keep="depth" if _keeps_depth(asked) else "floor",
    )
    return tray, [*findings, *_check_floors(tray, asked)]


def _kind(shape: Shape, shapes: tuple[Shape, ...]) -> FeatureKind:
    """What a recess is, by its depth, its form and what it crosses."""
    round_one = shape.line.drawn_as == "CIRCLE"
    if shape.depth.depth is None:
        return FeatureKind.HOLE if round_one else FeatureKind.WINDOW
    crossed = [
        one
        for one in shapes
        if one.asked_mm < shape.asked_mm and one.fine.intersects(shape.fine) and not one.fine.covers(shape.fine)
    ]
    if any(shapely.get_num_geometries(one.fine.difference(shape.fine)) > 1 for one in crossed):
        return FeatureKind.SLOT
    return FeatureKind.FINGER_NOTCH if crossed and round_one else FeatureKind.POCKET


def _engravings(outlined: Outlined, asked: DrawnAsked) -> list[tuple[Region, float]]:
    """Open lines that are cut as lines: their ground as wide as the smallest cutter, and how deep."""
    left, front, _, _ = outlined.outline.contour.bounds_mm
    found = []
    for one in asked.drawing.lines:
        deep_mm = _line_depth_mm(one, asked)
        points = one.contour.moved(-left, -front).points_mm()
        if deep_mm is not None:
            grooves = [Region.capsule(a, b, _smallest_mm(asked) / 2.0) for a, b in pairwise(points)]
            found.append((Region.union_of(grooves), deep_mm))
    return found


def _line_depth_mm(line: DrawnLine, asked: DrawnAsked) -> float | None:
    """How deep an open line is cut; None where it is not."""
    for row in asked.engrave:
        by_layer = bool(row.layer) and row.layer.lower() == line.layer.lower()
        if row.depth is not None and (by_layer or (row.colour and row.colour == line.colour)):
            return row.depth.value
    return None


def _with_relief(features: list[Feature], asked: DrawnAsked) -> tuple[list[Feature], list[Finding]]:
    """Features over-cut in corners tighter than the cutter: the one change to the customer's shape, told."""
    radius_mm = _smallest_mm(asked) / 2.0
    wider = []
    added_mm2 = 0.0
    for one in features:
        if one.kind is FeatureKind.ENGRAVING:
            wider.append(one)
            continue
        region = relieved(one.region, radius_mm).region
        added_mm2 += region.area_mm2 - one.region.area_mm2
        wider.append(replace(one, region=region))
    note = finding(
        "TRAY-034", Severity.WARN, ("drawing",), cause="relief", added_mm2=round(added_mm2, 1), radius_mm=radius_mm
    )
    return wider, [note]


def _not_cut(asked: DrawnAsked) -> Finding:
    """Open lines that are not cut."""
    layers = sorted({one.layer for one in asked.drawing.lines})
    return finding(
        "TRAY-035", Severity.NOTE, tuple(layers), cause="open", count=len(asked.drawing.lines), layers=", ".join(layers)
    )


# -- figures ------------------------------------------------------------------------------------------------------


def _taken(depths: dict[str, DepthAsked], asked: DrawnAsked) -> tuple[DepthAsked, ...]:
    """The table as it was taken: what was told first, then what names told."""
    rows = list(asked.depths)
    known = {(one.layer.lower(), one.colour) for one in rows}
    for one in sorted(depths.values(), key=lambda each: (each.layer, each.colour)):
        place = (one.layer.lower(), one.colour)
        if place not in known:
            known.add(place)
            rows.append(one)
    return tuple(rows)


def _areas(tray: Tray, outlined: Outlined, shapes: tuple[Shape, ...], asked: DrawnAsked) -> DrawnAreas:
    """Exact areas of one tray."""
    deep = tuple((one, tray.thickness_mm - _floor_mm(one, asked)) for one in shapes)
    depths_mm, ending_mm2 = areas_of(outlined, deep)
    left = remains_of(opened_at(outlined, deep), _smallest_mm(asked) / 2.0)
    return DrawnAreas(
        tray=tray.id,
        outline_mm2=outlined.outline.contour.area_mm2,
        depths_mm=depths_mm,
        ending_mm2=ending_mm2,
        open_mm2=sum(ending_mm2),
        removed_mm3=sum(deep_mm * area for deep_mm, area in zip(depths_mm, ending_mm2, strict=True)),
        corner_left_mm2=0.0 if asked.corner == "relief" else sum(one.area for one in left),
    )


def _figures(tray: Tray, areas: DrawnAreas, shapes: tuple[Shape, ...], asked: DrawnAsked) -> Iterator[Figure]:
    """The areas and the volume as figures."""
    told = [one.depth.depth for one in shapes if one.depth.depth is not None]
    depths = tuple({one.ref: one for one in told}.values())
    inputs = (asked.thickness, *depths)
    lines = text("figure", "exact_lines")
    for deep_mm, area in zip(areas.depths_mm, areas.ending_mm2, strict=True):
        path = f"design/{tray.id}/area_{deep_mm:g}"
        what = text("figure", "area_at", deep_mm=f"{deep_mm:g}")
        yield derive(path, area, "mm2", what=what, method=lines, inputs=inputs, of=tray.id)
    cutter = min(asked.cutters, key=lambda one: (one.diameter_mm, one.id)).given("diameter_mm")
    for key, value, unit, grounds in (
        ("outline", areas.outline_mm2, "mm2", inputs),
        ("open_area", areas.open_mm2, "mm2", inputs),
        ("removed", areas.removed_mm3, "mm3", inputs),
        ("corner_left", areas.corner_left_mm2, "mm2", (*inputs, cutter)),
    ):
        path = f"design/{tray.id}/{key}"
        yield derive(path, value, unit, what=text("figure", key), method=lines, inputs=grounds, of=tray.id)
