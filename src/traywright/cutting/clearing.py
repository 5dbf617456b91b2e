"""Clear recesses of one piece down to one level: passes, rings, plunges."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import LineString, Point
from shapely.geometry.base import BaseGeometry

from traywright.base.tolerance import ARC_CHORD_MM, SAME_MM, SNAP_MM
from traywright.catalogue.cards import Cutter
from traywright.cutting.entering import solid_runs
from traywright.cutting.gone import Cuts, Layer, air_down_to, removed_at
from traywright.cutting.ramp import is_closed, turned_to
from traywright.cutting.rings import EASE_MM, REST_MM, THIN_MM, Line, contour_paths, quarter_chords, shrunk
from traywright.cutting.run import XYZ, Run


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """Where a piece is cut: its outline, the other pieces, links of bridges with their height, board thickness.

    ``slope_ratio`` is height over way of an entry into a solid; 0: foam, the cutter plunges.
    """

    outline: BaseGeometry
    others: BaseGeometry
    links: tuple[tuple[BaseGeometry, float], ...]
    thickness_mm: float
    slope_ratio: float = 0.0

    def barred(self, level_mm: float) -> BaseGeometry:
        """What must not be touched outside the piece by a cut down to a level: other pieces, links that are higher.

        Parameters
        ----------
        level_mm
            The level, mm above the spoil board.
        """
        higher = (link for link, height_mm in self.links if height_mm > level_mm + SAME_MM)
        return shapely.union_all([self.others, *higher])


def pass_heights(cuts: Cuts, target: BaseGeometry, level_mm: float, *, site: Site, cutter: Cutter) -> tuple[float, ...]:
    """Heights of the passes that take a target down to its level, equal steps within the cutter's step down.

    Parameters
    ----------
    cuts
        What was swept so far.
    target
        What is to be cleared.
    level_mm
        The level, mm above the spoil board.
    site
        The piece.
    cutter
        The cutter, for its step down.
    """
    top_mm = site.thickness_mm
    for height_mm in sorted({height_mm for height_mm, _ in cuts}, reverse=True):
        if height_mm < level_mm or not target.difference(removed_at(cuts, height_mm)).buffer(-REST_MM / 2.0).is_empty:
            break
        top_mm = height_mm
    return steps_down(top_mm, level_mm, cutter)


def steps_down(top_mm: float, level_mm: float, cutter: Cutter) -> tuple[float, ...]:
    """Heights of equal passes from one height to another, within the cutter's step down of foam.

    Parameters
    ----------
    top_mm, level_mm
        From and to, mm above the spoil board; the scratch into the spoil board is no foam and asks for no pass.
    cutter
        The cutter, for its step down.
    """
    foam_mm = top_mm - max(level_mm, 0.0)
    count = max(1, math.ceil((foam_mm - SAME_MM) / cutter.step_down_mm))
    return tuple(top_mm - (top_mm - level_mm) * (one + 1) / count for one in range(count))


def centre_place(target: BaseGeometry, extra: BaseGeometry, cutter: Cutter) -> BaseGeometry:
    """Where the cutter's centre may be while it clears a target.

    Parameters
    ----------
    target
        What is to be cleared.
    extra
        Ground beside it that may be swept as well: foam already gone, run-outs.
    cutter
        The cutter.
    """
    near = extra.intersection(target.buffer(2.0 * cutter.diameter_mm))
    room = shapely.union_all([target, near])
    closed = room.buffer(ARC_CHORD_MM / 2.0, join_style="mitre").buffer(-ARC_CHORD_MM / 2.0, join_style="mitre")
    place = shrunk(closed, cutter.radius_mm)
    # a slot as wide as the cutter is a line for its centre, a hole as wide a point: both are kept
    loose = shrunk(closed, cutter.radius_mm - EASE_MM)
    more = _covered(loose, cutter).difference(_covered(place, cutter))
    return place if more.buffer(-REST_MM / 2.0).is_empty else loose


def _covered(place: BaseGeometry, cutter: Cutter) -> BaseGeometry:
    """What a cutter covers from all of a place."""
    return place.buffer(cutter.radius_mm, quad_segs=quarter_chords(cutter.radius_mm))


def _roomiest_place(
    target: BaseGeometry, left: BaseGeometry, run_out: BaseGeometry, gone: BaseGeometry, cutter: Cutter
) -> BaseGeometry:
    """The centre's place within the target itself; foam already gone is used only where that reaches more."""
    tight = centre_place(target, run_out, cutter)
    missed = left.difference(_covered(tight, cutter)).buffer(-REST_MM / 2.0)
    if missed.is_empty or gone.is_empty:
        return tight
    wide = centre_place(target, shapely.union_all([gone, run_out]), cutter)
    still = missed.difference(_covered(wide, cutter))
    return wide if still.area < missed.area - THIN_MM else tight


def _entry(path: Line, site: Site, gone: BaseGeometry) -> Line:
    """A path started where a plunge does least: outside the piece, else in foam already gone."""
    if not is_closed(path):
        ends_outside = [not site.outline.covers(Point(one)) for one in (path[0], path[-1])]
        return path[::-1] if ends_outside == [False, True] else path
    ring = LineString(path)
    for place in (ring.difference(site.outline), ring.intersection(gone)):
        if place.length > SAME_MM:
            longest = max(shapely.get_parts(place).tolist(), key=lambda one: (one.length, one.bounds))
            return turned_to(path, longest.interpolate(0.5, normalized=True))
    return path


def _halves(path: Line, site: Site) -> list[Line]:
    """A channel one cutter wide that is open at both ends is cut from both ends and meets in the middle."""
    if len(path) < 2 or is_closed(path) or any(site.outline.covers(Point(one)) for one in (path[0], path[-1])):
        return [path]
    line = LineString(path)
    middle = line.interpolate(0.5, normalized=True)
    along = line.project(middle)
    ahead = [one for one in path if line.project(Point(one)) < along - SAME_MM]
    behind = [one for one in path if line.project(Point(one)) > along + SAME_MM]
    centre = np.array(middle.coords[0])
    return [np.array([*ahead, centre]), np.array([*behind[::-1], centre])]


def _chained(paths: list[Line], place: BaseGeometry, site: Site, gone: BaseGeometry) -> list[list[Line]]:
    """Paths joined into runs: a straight link at depth where it stays in the centre's place, else a lift."""
    roomy = place.buffer(ARC_CHORD_MM)
    shapely.prepare(roomy)
    runs: list[list[Line]] = []
    for path in paths:
        if runs:
            end = Point(runs[-1][-1][-1])
            turned = turned_to(path, end) if is_closed(path) else path
            if roomy.covers(LineString([end, turned[0]])):
                runs[-1].append(turned)
                continue
        runs += [[one] for one in _halves(_entry(path, site, gone), site)]
    return runs


def _run(paths: list[Line], layer: Layer) -> Run:
    """Paths at one height as a run."""
    flat = np.vstack(paths)
    fresh = np.concatenate([[True], np.hypot(*np.diff(flat, axis=0).T) > SNAP_MM])
    points: tuple[XYZ, ...] = tuple((float(x), float(y), layer.z_mm) for x, y in flat[fresh])
    length_mm = 0.0 if layer.air.is_empty or len(points) < 2 else LineString(points).intersection(layer.air).length
    air_to_mm = air_down_to(layer.cuts, Point(points[0]), layer.cutter, layer.thickness_mm)
    return Run(points_mm=points, air_to_mm=air_to_mm, air_mm=float(length_mm))


def _runs_of(paths: list[Line], layer: Layer, site: Site) -> tuple[Run, ...]:
    """Runs along the paths of one place at one height: plunged into foam, ramped into a solid."""
    if layer.slope_ratio > 0.0:
        return solid_runs(paths, layer)
    return tuple(_run(chain, layer) for chain in _chained(paths, layer.place, site, layer.gone))


def _stepped_down(runs: list[Run], run: Run, above: BaseGeometry) -> list[Run]:
    """Runs with one more: joined to the last where its start is reached through the pass above without a lift."""
    if not runs or above.is_empty:
        return [*runs, run]
    end, start = runs[-1].points_mm[-1], run.points_mm[0]
    if end[2] < start[2] - SAME_MM or not above.covers(LineString([end[:2], start[:2]])):
        return [*runs, run]
    across = (start[0], start[1], end[2])
    rest = run.points_mm if end[2] > start[2] + SAME_MM else run.points_mm[1:]
    joined = Run(
        points_mm=(*runs[-1].points_mm, across, *rest),
        air_to_mm=runs[-1].air_to_mm,
        air_mm=runs[-1].air_mm + run.air_mm + math.dist(end[:2], start[:2]),
    )
    return [*runs[:-1], joined]


def clear(
    target: BaseGeometry, run_out: BaseGeometry, level_mm: float, *, cuts: Cuts, site: Site, cutter: Cutter
) -> tuple[tuple[Run, ...], Cuts]:
    """Runs that clear a target down to a level, and what is swept after them.

    Parameters
    ----------
    target
        Recesses to clear, united.
    run_out
        Ground outside the piece that may be swept.
    level_mm
        The level, mm above the spoil board.
    cuts
        What was swept in this piece so far: foam that is gone is not cut again.
    site
        The piece.
    cutter
        The cutter.

    Returns
    -------
    tuple[tuple[Run, ...], Cuts]
        Runs in order and the longer record of cuts.
    """
    runs: list[Run] = []
    above: BaseGeometry = Point()
    asked = target
    if site.slope_ratio > 0.0:  # a corner that the cutter never enters asks for no pass
        room = shapely.union_all([run_out, *(area for _, area in cuts)])
        asked = target.intersection(_covered(centre_place(target, room, cutter), cutter))
    for z_mm in pass_heights(cuts, asked, level_mm, site=site, cutter=cutter):
        gone = removed_at(cuts, z_mm)
        left = target.difference(gone)
        if left.buffer(-REST_MM / 2.0).is_empty:
            continue
        place = _roomiest_place(target, left, run_out, gone, cutter)
        layer = Layer(
            z_mm=z_mm,
            place=place,
            cuts=cuts,
            gone=gone,
            air=gone.buffer(-(cutter.radius_mm - THIN_MM), quad_segs=quarter_chords(cutter.radius_mm)),
            thickness_mm=site.thickness_mm,
            slope_ratio=site.slope_ratio,
            cutter=cutter,
        )
        step_mm = cutter.diameter_mm * cutter.step_over_ratio
        ways = contour_paths(left, place, radius_mm=cutter.radius_mm, step_mm=step_mm)
        found = [run for paths in ways for run in _runs_of(paths, layer, site)]
        if site.slope_ratio > 0.0 and ways and not found:  # no room for a ramp: what follows must know
            break
        for run in found:
            runs = _stepped_down(runs, run, above)
        above = place.buffer(ARC_CHORD_MM)
        cuts = (*cuts, (z_mm, _covered(place, cutter)))
    return tuple(runs), cuts
