"""The surface of a body made whole: every mend is counted, placed, and told with how far it may lie off."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from traywright.base import Finding, Severity, finding
from traywright.base.errors import PartError
from traywright.base.tolerance import POINT_MM, SNAP_MM
from traywright.geometry import Mesh, is_closed
from traywright.parts.body import Body
from traywright.parts.holes import filled, largest_hole
from traywright.parts.loose import AT_A_TIME, Loose, Mend, alone_sides, linked, real, sixfold_volumes
from traywright.parts.overlapping import united
from traywright.parts.seams import joined, split, without_needles
from traywright.parts.sheets import (
    outward,
    run_one_way,
    without_doubles,
    without_scraps,
    without_walls,
)

GAPS_MM = (SNAP_MM, 0.01, 0.05, 0.1)  # source: ours: a tenth is what a router repeats and foam does not feel
SEWN_RATIO = 0.5  # source: ours: with more open sides a triangle the points are still apart, and nothing is split
GAP_RATIO = 0.001  # source: ours: no gap wider than this share of the part is joined


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Mended:
    """A closed mesh, the file's face of each triangle, the mends, and by how much they may be wrong in volume."""

    mesh: Mesh
    faces: NDArray[np.int64]
    mends: tuple[Mend, ...] = ()

    @property
    def volume_error_mm3(self) -> float:
        """What all mends together may add or take away at most."""
        return float(sum(one.volume_mm3 for one in self.mends))

    @property
    def deviation_mm(self) -> float:
        """How far the surface may lie off where it was mended."""
        return max((one.largest_mm for one in self.mends if one.code not in DROPPED), default=0.0)


DROPPED = frozenset({"PART-120", "PART-122", "PART-123"})
"""Codes of mends whose millimetres are the size of what was dropped or within, not a distance of the surface."""


def _steps_of(points: NDArray[np.float64]) -> NDArray[np.signedinteger[Any]]:
    """Points in whole steps, some at a time: a mesh of two million triangles must leave room for the rest."""
    most = float(np.abs(points).max()) / POINT_MM
    steps = np.empty(points.shape, dtype=np.int32 if most < np.iinfo(np.int32).max else np.int64)
    for start in range(0, len(points), AT_A_TIME):
        steps[start : start + AT_A_TIME] = np.rint(points[start : start + AT_A_TIME] / POINT_MM)
    return steps


def on_shared_points(corners: NDArray[np.float64], faces: NDArray[np.int64]) -> Loose:
    """Triangles on shared points, equal ones joined, in the order of x, y and z; those of no size are dropped.

    Parameters
    ----------
    corners
        Corner points of each triangle, shape (n, 3, 3), mm.
    faces
        The file's face of each, or none.
    """
    from traywright.parts._kernels import joined_points  # noqa: PLC0415  # reason: numba waits until a part is read

    steps = _steps_of(corners.reshape(-1, 3))
    firsts, owner = joined_points(steps)
    unique = steps[firsts]
    del steps
    order = np.lexsort((unique[:, 2], unique[:, 1], unique[:, 0]))
    rank = np.empty(len(order), dtype=np.int64)
    rank[order] = np.arange(len(order))
    return real(Loose(points=np.round(unique[order] * POINT_MM, 6), triangles=rank[owner].reshape(-1, 3), faces=faces))


def _is_open(loose: Loose) -> bool:
    """True if a side has no neighbour at all."""
    return bool((linked(loose)[0] == -1).any())


def _sewn(loose: Loose) -> Iterator[tuple[Loose, Mend | None]]:
    """The surface as its gaps are joined, step by step, until no side is open."""
    most_mm = GAP_RATIO * loose.size_mm
    for gap_mm in GAPS_MM:
        if not _is_open(loose) or gap_mm > max(most_mm, SNAP_MM):
            return
        loose, told = joined(without_needles(loose), gap_mm)
        yield loose, told
        if len(alone_sides(loose)[0]) <= SEWN_RATIO * len(loose.triangles):
            loose, told = split(loose, gap_mm)
            yield loose, told


def _made_whole(loose: Loose, mends: list[Mend]) -> Loose:
    """The surface with all that can be mended mended, each mend only where it is needed."""
    whole = loose
    for whole, told in _sewn(loose):  # noqa: B007  # reason: the last one is wanted
        mends += [told] if told else []
    for mend in (without_scraps, without_walls, run_one_way, filled, run_one_way):
        whole, told = mend(whole)
        mends += [told] if told else []
    return whole


def _together(mends: Iterable[Mend]) -> tuple[Mend, ...]:
    """Mends of one code as one: counts and volumes added, the largest told."""
    found: dict[str, Mend] = {}
    for one in mends:
        was = found.get(one.code, replace(one, count=0, volume_mm3=0.0))
        larger = one if one.largest_mm > was.largest_mm else was
        count, volume_mm3 = was.count + one.count, was.volume_mm3 + one.volume_mm3
        found[one.code] = replace(larger, count=count, volume_mm3=volume_mm3)
    return tuple(found[code] for code in sorted(found))


def mended(part_id: str, body: Body) -> Mended:
    """The closed surface of a body's triangles, with all that was mended.

    Parameters
    ----------
    part_id
        Named in errors.
    body
        Its triangles as read, mm.

    Raises
    ------
    PartError
        PART-004 if there is no triangle, PART-005 if the surface stays open: with its largest hole.

    Notes
    -----
    A surface that is closed as it comes is left as it is. Else, in this order: doubled triangles dropped; points of
    open sides joined over gaps of 0.001, 0.01, 0.05 and 0.1 mm (up to a thousandth of the size), after each step open
    sides split where corners lie on them, until no side is open; scraps and inner walls dropped; triangles turned;
    small holes filled. At last closed sheets are turned outward, and solids that overlap are made one.
    """
    loose = on_shared_points(body.corners, body.faces) if len(body.corners) else None
    if loose is None or not len(loose.triangles):
        raise PartError("PART-004", part=part_id)
    mends: list[Mend] = []
    if not _is_one_sheet(loose):
        loose = _solids(part_id, _closed(part_id, loose, mends), mends)
    elif sixfold_volumes(loose, np.zeros(len(loose.triangles), dtype=np.int32))[0] < 0.0:
        loose, told = outward(loose)
        mends += [told] if told else []
    return Mended(mesh=Mesh(loose.points, loose.triangles), faces=loose.faces, mends=_together(mends))


def _is_one_sheet(loose: Loose) -> bool:
    """True if each side has one neighbour that runs it the other way, and all hang together."""
    from traywright.parts._kernels import sheets  # noqa: PLC0415  # reason: numba waits until a part is read

    beside, same = linked(loose)
    return not (beside < 0).any() and not same.any() and int(sheets(beside, same)[0].max()) == 0


def _closed(part_id: str, loose: Loose, mends: list[Mend]) -> Loose:
    """The surface with each side run as often one way as the other.

    Raises
    ------
    PartError
        PART-004 if nothing is left, PART-005 if it stays open.
    """
    beside, same = linked(loose)
    if not (beside < 0).any() and not same.any():
        return loose
    loose, told = without_doubles(loose)
    mends += [told] if told else []
    if not is_closed(Mesh(loose.points, loose.triangles)):
        loose = _made_whole(loose, mends)
    if not is_closed(Mesh(loose.points, loose.triangles)):
        raise _refused(part_id, loose)
    return loose


def _solids(part_id: str, loose: Loose, mends: list[Mend]) -> Loose:
    """The closed surface with its sheets outward, and what overlaps made one.

    Raises
    ------
    PartError
        PART-005 if the sheets bound no solid.
    """
    try:
        for last in (outward, united):
            loose, told = last(loose)
            mends += [told] if told else []
    except ValueError as fault:
        raise _refused(part_id, loose) from fault
    return loose


def _refused(part_id: str, loose: Loose) -> PartError:
    """That the surface stays open, with its largest hole."""
    if not len(loose.triangles):
        return PartError("PART-004", part=part_id)
    hole = largest_hole(loose)
    x_mm, y_mm, z_mm = hole.place_mm
    told = {"count": hole.sides, "holes": hole.count, "size_mm": round(hole.size_mm, 3)}
    return PartError("PART-005", part=part_id, x_mm=x_mm, y_mm=y_mm, z_mm=z_mm, **told)


def mend_findings(part_id: str, found: Mended) -> tuple[Finding, ...]:
    """One warning a kind of mend, with how many, how far at most, where, and what it may do to the volume."""
    return tuple(_finding(part_id, one) for one in found.mends)


def _finding(part_id: str, one: Mend) -> Finding:
    x_mm, y_mm, z_mm = one.place_mm
    return finding(
        one.code,
        Severity.WARN,
        (part_id,),
        point_mm=one.place_mm,
        part=part_id,
        count=one.count,
        largest_mm=float(f"{one.largest_mm:.3g}"),
        volume_mm3=float(f"{one.volume_mm3:.3g}"),
        x_mm=x_mm,
        y_mm=y_mm,
        z_mm=z_mm,
    )
