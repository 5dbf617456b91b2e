"""A customer's drawing as trays: nothing moved, rounded or improved but the place of the origin."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from shapely.geometry.base import BaseGeometry

from traywright.base import Figure, Finding, Severity, derive, finding, text
from traywright.base.errors import DesignError
from traywright.base.tolerance import SAME_MM
from traywright.catalogue import Cutter, Solid
from traywright.design.drawn_areas import (
    Deep,
    air_around,
    areas_of,
    opened_at,
    outline_fine,
    remains_of,
    with_air,
    within,
)
from traywright.design.drawn_asked import DepthAsked, DrawnAreas, DrawnAsked, DrawnTrays
from traywright.design.drawn_colour import judge_colours, mirrored_question
from traywright.design.drawn_corners import judge_corners, shut_loops
from traywright.design.drawn_depths import check_outlines, depths_from_names, depths_of, open_pockets, rows_without_use
from traywright.design.drawn_floors import (
    DECIMALS,
    check_floors,
    cut_mm,
    floor_mm,
    keeps_depth,
    thickness_findings,
    wall_least,
    without_too_deep,
)
from traywright.design.drawn_kinds import kinds_of
from traywright.design.drawn_lines import (
    grooves_in_board,
    grooves_of,
    lines_cut,
    lines_left,
    lines_outside,
    without_engraved,
)
from traywright.design.drawn_mirror import mirrored
from traywright.design.drawn_nesting import shapes_of
from traywright.design.drawn_relief import with_relief
from traywright.design.drawn_shapes import Outlined, Shape, moved_to_tray, outlines_of
from traywright.design.drawn_thin import judge_thin
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
    check_outlines(outlined, asked)
    depths = depths_of(asked, [one for tray in outlined for one in without_engraved(tray, asked).loops])
    cutters = _mounted(asked, max((cut_mm(one, asked) for one in depths.values()), default=0.0))
    told = [*findings, *thickness_findings(asked), *lines_left(asked), *lines_outside(outlined, asked)]
    told += [*depths_from_names(depths), *rows_without_use(asked), *open_pockets(asked)]
    trays: list[Tray] = []
    areas: list[DrawnAreas] = []
    figures: list[Figure] = []
    for number, one in enumerate(outlined, start=1):
        drawn = _draw(f"T{number}", one, depths, cutters=cutters, asked=asked)
        told += drawn.findings
        trays.append(drawn.tray)
        areas.append(drawn.areas)
        figures += drawn.figures
    smaller = asked.corner == "smaller_cutter"
    if smaller and len(cutters) == 1:
        told.append(_no_smaller(cutters[0]))
    return DrawnTrays(
        trays=tuple(trays),
        areas=tuple(areas),
        depths=_taken(depths, asked),
        cutters=tuple(one.id for one in cutters),
        corner_cutter=cutters[-1].id if len(cutters) > 1 else "",
        findings=tuple(told),
        figures=tuple(figures),
        questions=mirrored_question(asked.drawing),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Drawn:
    """One tray with all that is told of it."""

    tray: Tray
    areas: DrawnAreas
    findings: tuple[Finding, ...]
    figures: tuple[Figure, ...]


def _mounted(asked: DrawnAsked, deepest_mm: float) -> tuple[Cutter, ...]:
    """The cutters to mount, the largest first: none smaller than the smallest that reaches the deepest recess.

    Where none reaches, all stay, and cutting says which recess it is.
    """
    reaching = [one.diameter_mm for one in asked.cutters if one.reach_mm >= deepest_mm - SAME_MM]
    least_mm = min(reaching, default=0.0)
    kept = (one for one in asked.cutters if one.diameter_mm >= least_mm - SAME_MM)
    return tuple(sorted(kept, key=lambda one: (-one.diameter_mm, one.id)))


def _no_smaller(cutter: Cutter) -> Finding:
    """A smaller cutter was asked for corners, and none reaches down."""
    words = {"diameter_mm": cutter.diameter_mm}
    return finding("TRAY-043", Severity.WARN, (cutter.id,), cause="no smaller cutter", **words)  # type: ignore[arg-type]


def _draw(
    tray_id: str,
    outlined: Outlined,
    depths: dict[str, DepthAsked],
    *,
    cutters: tuple[Cutter, ...],
    asked: DrawnAsked,
) -> _Drawn:
    """One tray, judged."""
    radius_mm = cutters[-1].radius_mm
    loops, steps = shapes_of(without_engraved(outlined, asked), depths)
    kept, too_deep = without_too_deep(loops, asked)
    grooves, cut_through = grooves_in_board(grooves_of(outlined, asked, radius_mm), asked)
    every = tuple((one, cut_mm(one.depth, asked)) for one in kept)
    air = air_around(outlined, radius_mm)
    shut = shut_loops(every, radius_mm, air, ramped=isinstance(asked.stuff, Solid))
    kept = tuple(one for one in kept if one not in shut)
    relief: list[Finding] = []
    drawn = kept
    if asked.corner == "relief":
        kept, relief = with_relief(kept, radius_mm, tray_id)
    tray = _tray(tray_id, outlined, kept, grooves, asked)
    deep = tuple((one, cut_mm(one.depth, asked)) for one in kept)
    lines = tuple((one, one.asked_mm) for one in grooves)
    remains = within(remains_of(with_air(opened_at(outlined, deep), air), radius_mm), [outline_fine(outlined)])
    if relief:
        # what counts is what was drawn; in the over-cut itself the cutter may leave what it likes
        remains = within(remains, [one.fine for one in drawn])
    areas = _areas(outlined, tray_id, (*deep, *lines), remains)
    findings = (
        *_shift(tray_id, outlined),
        *steps,
        *too_deep,
        *cut_through,
        *lines_cut(tray_id, grooves, 2.0 * radius_mm),
        *relief,
        *check_floors(tray, asked),
        *judge_corners(tray, every, remains, shut=shut, asked=asked, radius_mm=radius_mm),
        *judge_thin(tray, kept, wall_least(asked)),
        *mirrored(tray, kept),
        *judge_colours(tray, asked),
    )
    figures = tuple(_figures(areas, (*kept, *grooves), asked, cutters[-1]))
    return _Drawn(tray=tray, areas=areas, findings=findings, figures=figures)


def _shift(tray_id: str, outlined: Outlined) -> Iterator[Finding]:
    """Where the tray's corner lies in the drawing, if not at its zero."""
    left, front, _, _ = outlined.outline.contour.bounds_mm
    if max(abs(left), abs(front)) > SAME_MM:
        words: dict[str, Any] = {"x_mm": round(left, 3), "y_mm": round(front, 3), "tray": tray_id}
        yield finding("TRAY-044", Severity.NOTE, (tray_id,), cause=f"shift {tray_id}", **words)


# -- trays --------------------------------------------------------------------------------------------------------


def _tray(
    tray_id: str, outlined: Outlined, shapes: tuple[Shape, ...], grooves: tuple[Shape, ...], asked: DrawnAsked
) -> Tray:
    """One tray with its features: recesses by place, then engraving, which keeps its depth from the top."""
    kinds = kinds_of(shapes)
    cut = [(one.region, kind, floor_mm(one.depth, asked)) for one, kind in zip(shapes, kinds, strict=True)]
    top_mm = asked.thickness.value
    cut += [(one.region, FeatureKind.ENGRAVING, round(top_mm - one.asked_mm, DECIMALS)) for one in grooves]
    return Tray(
        id=tray_id,
        name=text("tray_name", "as_drawn"),
        kind=TrayKind.TRAY,
        outline=moved_to_tray(outlined.outline, outlined).contour.region(),
        thickness_mm=top_mm,
        foam=asked.stuff.id,
        ply_boards=((asked.board.id, top_mm),),
        features=tuple(
            Feature(id=f"{tray_id}.F{number}", kind=kind, side="top", region=region, floor=Flat(z_mm=height_mm))
            for number, (region, kind, height_mm) in enumerate(cut, start=1)
        ),
        keep="depth" if keeps_depth(asked) else "floor",
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


def _areas(outlined: Outlined, tray_id: str, deep: Deep, remains: Sequence[BaseGeometry]) -> DrawnAreas:
    """Exact areas of one tray."""
    depths_mm, ending_mm2 = areas_of(outlined, deep)
    return DrawnAreas(
        tray=tray_id,
        outline_mm2=outlined.outline.contour.area_mm2,
        depths_mm=depths_mm,
        ending_mm2=ending_mm2,
        open_mm2=sum(ending_mm2),
        removed_mm3=sum(deep_mm * area for deep_mm, area in zip(depths_mm, ending_mm2, strict=True)),
        corner_left_mm2=sum(float(one.area) for one in remains),
    )


def _figures(areas: DrawnAreas, shapes: tuple[Shape, ...], asked: DrawnAsked, smallest: Cutter) -> Iterator[Figure]:
    """The areas and the volume as figures."""
    told = [one.depth.depth for one in shapes if one.depth.depth is not None]
    depths = tuple({one.ref: one for one in told}.values())
    inputs = (asked.thickness, *depths)
    lines = text("figure", "exact_lines")
    for deep_mm, area in zip(areas.depths_mm, areas.ending_mm2, strict=True):
        path = f"design/{areas.tray}/area_{deep_mm:g}"
        what = text("figure", "area_at", deep_mm=f"{deep_mm:g}")
        yield derive(path, area, "mm2", what=what, method=lines, inputs=inputs, of=areas.tray)
    for key, value, unit, grounds in (
        ("outline", areas.outline_mm2, "mm2", inputs),
        ("open_area", areas.open_mm2, "mm2", inputs),
        ("removed", areas.removed_mm3, "mm3", inputs),
        ("corner_left", areas.corner_left_mm2, "mm2", (*inputs, smallest.given("diameter_mm"))),
    ):
        path = f"design/{areas.tray}/{key}"
        yield derive(path, value, unit, what=text("figure", key), method=lines, inputs=grounds, of=areas.tray)
