"""A tray from above and cut upright: regions in millimetres of the thing, derived from its features and its parts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely

from traywright.base.tolerance import SAME_MM
from traywright.geometry import Mesh, Region
from traywright.geometry import section_at as solid_section
from traywright.parts import Pose, silhouette
from traywright.trays.floor import Flat
from traywright.trays.pack import Pack
from traywright.trays.tray import Cell, Feature, Tray

STATIONS = 25  # places along a curved floor at which its height is taken
KEPT = 256  # cuts of one part that are kept: the same part lies in many cells


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """What an upright plane meets: foam by piece and parts by cell, in (place along the plane, height), mm."""

    foam: tuple[tuple[str, Region], ...]
    parts: tuple[tuple[str, Region], ...]


def lying(cell: Cell, poses: Mapping[str, Pose]) -> Region:
    """A part's outline from above where it lies in the tray."""
    outline = silhouette(poses[cell.part])
    return outline.turned(cell.turn_deg).moved(cell.at_mm[0], cell.at_mm[1])


def floors(tray: Tray, side: str = "top") -> tuple[tuple[float, Region], ...]:
    """What is seen from one side: each floor's lowest height with the region where it is the deepest, highest first.

    Parameters
    ----------
    tray
        The tray.
    side
        ``top`` or ``underside``.

    Notes
    -----
    From the top the lowest floor wins where features overlap, and a floor of 0 or less is a hole.
    """
    of_side = [one for one in tray.features if one.side == side or one.floor.lowest_mm <= 0.0]
    heights = sorted({max(one.floor.lowest_mm, 0.0) for one in of_side})
    seen: list[tuple[float, Region]] = []
    taken = Region.empty()
    for height in heights if side == "top" else reversed(heights):
        here = Region.union_of([one.region for one in of_side if abs(max(one.floor.lowest_mm, 0.0) - height) < SAME_MM])
        left = here.intersection(tray.outline).difference(taken)
        taken = taken.union(here)
        if not left.is_empty:
            seen.append((height, left))
    return tuple(reversed(seen))


def _runs(region: Region, axis: str, at_mm: float) -> tuple[tuple[float, float], ...]:
    """Stretches of an upright plane that lie in a region, from and to."""
    left, front, right, back = region.bounds_mm
    ends = [(left - 1.0, at_mm), (right + 1.0, at_mm)] if axis == "x" else [(at_mm, front - 1.0), (at_mm, back + 1.0)]
    number = 0 if axis == "x" else 1
    found = shapely.intersection(region.shape, shapely.LineString(ends))
    runs = []
    for one in (each for each in shapely.get_parts(found).tolist() if not each.is_empty):
        places = sorted(point[number] for point in shapely.get_coordinates(one).tolist())
        if one.geom_type == "LineString" and places[-1] > places[0]:
            runs.append((places[0], places[-1]))
    return tuple(sorted(runs))


def _taken(feature: Feature, run: tuple[float, float], axis: str, at_mm: float, top_mm: float) -> Region:
    """What a feature takes from the plane over one stretch."""
    if isinstance(feature.floor, Flat):
        floor = max(feature.floor.z_mm, 0.0)
        low, high = (floor, top_mm) if feature.side == "top" else (0.0, min(floor, top_mm) if floor > 0.0 else top_mm)
        return Region.rectangle(run[0], low, run[1], high)
    along = np.linspace(run[0], run[1], STATIONS)
    across = np.full(STATIONS, at_mm)
    heights = feature.floor.z_at(along, across) if axis == "x" else feature.floor.z_at(across, along)
    edge = top_mm if feature.side == "top" else 0.0
    curve = [(float(place), float(min(max(z, 0.0), top_mm))) for place, z in zip(along, heights, strict=True)]
    return Region.polygon([(run[0], edge), *curve, (run[1], edge)])


def foam_cut(tray: Tray, axis: str, at_mm: float) -> Region:
    """Foam of a tray in an upright plane, in (place along the plane, height above the underside).

    Parameters
    ----------
    tray
        The tray.
    axis
        ``x`` for a plane along x at y = ``at_mm``, ``y`` for a plane along y at x = ``at_mm``.

    Examples
    --------
    >>> from traywright.trays.tray import TrayKind
    >>> pad = Tray(
    ...     id="T1",
    ...     name="pad",
    ...     kind=TrayKind.PAD,
    ...     outline=Region.rectangle(0, 0, 60, 40),
    ...     thickness_mm=25,
    ...     foam="pe",
    ...     ply_boards=(("pe-25", 25.0),),
    ... )
    >>> foam_cut(pad, "x", 20.0).bounds_mm
    (0.0, 0.0, 60.0, 25.0)
    """
    whole = Region.union_of(
        [Region.rectangle(low, 0.0, high, tray.thickness_mm) for low, high in _runs(tray.outline, axis, at_mm)]
    )
    gone = [
        _taken(one, run, axis, at_mm, tray.thickness_mm)
        for one in tray.features
        for run in _runs(one.region, axis, at_mm)
    ]
    return whole.difference(Region.union_of(gone)) if gone else whole


@lru_cache(maxsize=KEPT)
def _solid_cut(solid: Mesh, turn_deg: float, axis: str, at_mm: float) -> Region:
    """A turned solid in an upright plane through a place beside its own origin."""
    turn = np.radians(turn_deg)
    x = solid.points_mm[:, 0] * np.cos(turn) - solid.points_mm[:, 1] * np.sin(turn)
    y = solid.points_mm[:, 0] * np.sin(turn) + solid.points_mm[:, 1] * np.cos(turn)
    z = solid.points_mm[:, 2]
    along, across = (x, y) if axis == "x" else (y, x)
    # the plane becomes level: (along, z, -across) is a turn for x, for y a turn needs the other sign
    sign = -1.0 if axis == "x" else 1.0
    upright = Mesh(np.column_stack([along, z, sign * across]), solid.triangles)
    return solid_section(upright, sign * at_mm)


def part_cut(cell: Cell, pose: Pose, axis: str, at_mm: float) -> Region:
    """A part in its cell in an upright plane of the tray; empty where the plane misses it."""
    beside = at_mm - (cell.at_mm[1] if axis == "x" else cell.at_mm[0])
    reach = float(np.hypot(pose.size_mm[0], pose.size_mm[1])) / 2.0
    if abs(beside) > reach:
        return Region.empty()
    found = _solid_cut(pose.solid, cell.turn_deg, axis, round(beside, 3))
    return found.moved(cell.at_mm[0] if axis == "x" else cell.at_mm[1], cell.at_mm[2])


def tray_cut(tray: Tray, poses: Mapping[str, Pose], axis: str, at_mm: float) -> Cut:
    """A tray and its parts in an upright plane."""
    parts = tuple((cell.id, part_cut(cell, poses[cell.part], axis, at_mm)) for cell in tray.cells)
    return Cut(
        foam=((tray.id, foam_cut(tray, axis, at_mm)),),
        parts=tuple((name, region) for name, region in parts if not region.is_empty),
    )


def pack_cut(pack: Pack, trays: Sequence[Tray], poses: Mapping[str, Pose], axis: str, at_mm: float) -> Cut:
    """The closed pack in an upright plane; heights above the box's inside bottom, dividers as pieces of their own."""
    by_id = {one.id: one for one in trays}
    widest = max((one.outline.bounds_mm[2 if axis == "x" else 3] for one in trays), default=0.0)
    foam: list[tuple[str, Region]] = []
    parts: list[tuple[str, Region]] = []
    for layer in pack.layers:
        if layer.id not in by_id:
            foam.append((layer.id, Region.rectangle(0.0, layer.bottom_mm, widest, layer.top_mm)))
            continue
        cut = tray_cut(by_id[layer.id], poses, axis, at_mm)
        foam += [(name, region.moved(0.0, layer.bottom_mm)) for name, region in cut.foam]
        parts += [(name, region.moved(0.0, layer.bottom_mm)) for name, region in cut.parts]
    return Cut(foam=tuple(foam), parts=tuple(parts))


def middle_of(tray: Tray, poses: Mapping[str, Pose], axis: str) -> float:
    """Where a section tells most: through the middle of the first cell, or of the tray."""
    if not tray.cells:
        left, front, right, back = tray.outline.bounds_mm
        return (front + back) / 2.0 if axis == "x" else (left + right) / 2.0
    left, front, right, back = lying(tray.cells[0], poses).bounds_mm
    return round((front + back) / 2.0 if axis == "x" else (left + right) / 2.0, 3)
