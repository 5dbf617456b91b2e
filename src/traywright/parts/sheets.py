"""Sheets of a surface: what is doubled, loose or within is dropped, what runs against its neighbours is turned."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from traywright.parts.loose import (
    ALONE,
    CROWDED,
    Loose,
    Mend,
    areas_of,
    linked,
    place_of,
    sheets_of,
    sixfold_volumes,
)

DOUBLED, SCRAPS, WALLS, TURNED, INSIDE_OUT = "PART-118", "PART-120", "PART-122", "PART-023", "PART-024"
SCRAP_AREA_RATIO = 0.01  # source: ours: a loose piece of up to this share of the surface is a scrap
SOLID_AREA_RATIO = 0.5  # source: ours: what is closed may drop what is loose if it is this much of the surface
FLAT_RATIO = 0.05  # source: ours: a sheet that holds less than this share of a ball of its area is flat
TWO_SIDED_RATIO = 0.9  # source: ours: a surface drawn from both sides has nearly every triangle twice
MOST_WALLS = 24  # source: ours: inner walls tried; a file with more is no solid with a wall
MOST_WORK = 3_000_000  # source: ours: triangles looked at for walls in all, some seconds
MOST_SHEETS = 400  # source: ours: a heap of more bodies is turned as a whole
FULL_TURN_RAD = 2.0 * np.pi


def turned_back(loose: Loose, picked: NDArray[np.bool_]) -> Loose:
    """The surface with some triangles run the other way."""
    triangles = loose.triangles.copy()
    triangles[picked] = triangles[picked][:, ::-1]
    return replace(loose, triangles=triangles)


def without_doubles(loose: Loose) -> tuple[Loose, Mend | None]:
    """The surface with each triangle once; two that lie on each other face to face are a wall of no thickness: both go.

    Of a surface that is drawn from both sides throughout, one side stays.
    """
    corners = np.sort(loose.triangles, axis=1)
    order = np.lexsort((corners[:, 2], corners[:, 1], corners[:, 0]))
    new = np.ones(len(order), dtype=bool)
    new[1:] = (corners[order[1:]] != corners[order[:-1]]).any(axis=1)
    group = np.empty(len(order), dtype=np.int64)
    group[order] = np.cumsum(new) - 1
    first, second, third = loose.triangles.T
    rising = ((first < second) & (second < third)) | ((second < third) & (third < first))
    rising |= (third < first) & (first < second)
    count = int(group.max()) + 1
    up, down = np.bincount(group[rising], minlength=count), np.bincount(group[~rising], minlength=count)
    if (up + down <= 1).all():
        return loose, None
    two_sided = float(((up > 0) & (down > 0)).mean()) >= TWO_SIDED_RATIO
    wanted = np.where(up > down, 1, np.where(down > up, -1, 1 if two_sided else 0))
    right = np.where(rising, 1, -1) == wanted[group]
    kept = np.zeros(len(group), dtype=bool)
    rows = np.nonzero(right)[0]
    kept[rows[np.unique(group[rows], return_index=True)[1]]] = True
    if not kept.any():
        return loose, None
    place = loose.corners[int(np.argmin(kept))].mean(axis=0)
    mend = Mend(code=DOUBLED, count=int((~kept).sum()), largest_mm=0.0, place_mm=place_of(place))
    return loose.only(kept), mend


def _ball_mm3(area_mm2: NDArray[np.float64]) -> NDArray[np.float64]:
    """What a ball of an area holds: no skin of that area holds more."""
    volume: NDArray[np.float64] = area_mm2**1.5 / (6.0 * np.sqrt(np.pi))
    return volume


def _dropped(loose: Loose, gone: NDArray[np.bool_], code: str, count: int) -> tuple[Loose, Mend]:
    """The surface without some triangles, with how large the largest piece is and what all could have enclosed."""
    pieces, areas = loose.only(gone), areas_of(loose)[gone]
    sheet, _, _ = sheets_of(pieces)
    largest = pieces.corners[int(np.argmax(areas))].mean(axis=0)
    # the most that a skin of this area with a cap as large can hold is a ball (isoperimetric inequality)
    ball_mm3 = float(_ball_mm3(2.0 * areas.sum())) if code == SCRAPS else 0.0
    low, high = np.full((int(sheet.max()) + 1, 3), np.inf), np.full((int(sheet.max()) + 1, 3), -np.inf)
    np.minimum.at(low, sheet, pieces.corners.min(axis=1))
    np.maximum.at(high, sheet, pieces.corners.max(axis=1))
    size_mm = float((high - low).max())
    mend = Mend(code=code, count=count, largest_mm=size_mm, place_mm=place_of(largest), volume_mm3=ball_mm3)
    return loose.only(~gone), mend


def _held_ratio(loose: Loose, sheet: NDArray[np.int32], area: NDArray[np.float64]) -> NDArray[np.float64]:
    """What each sheet holds if a cone closes its rim, over what a ball of its area holds: 0 for a flat one."""
    rows, sides = np.nonzero(linked(loose)[0] == ALONE)
    rim = loose.points[loose.triangles[rows, sides]]
    sums = np.stack([np.bincount(sheet[rows], weights=rim[:, axis], minlength=len(area)) for axis in range(3)], axis=1)
    apex = sums / np.maximum(1, np.bincount(sheet[rows], minlength=len(area)))[:, None]
    corners = turned_back(loose, sheets_of(loose)[1]).corners - apex[sheet][:, None]
    own = np.einsum("ij,ij->i", corners[:, 0], np.cross(corners[:, 1], corners[:, 2]))
    held: NDArray[np.float64] = np.abs(np.bincount(sheet, weights=own, minlength=len(area))) / 6.0
    return held / _ball_mm3(area)


def without_scraps(loose: Loose) -> tuple[Loose, Mend | None]:
    """The surface without small flat sheets that are open; of any size if the rest is most of the surface.

    What holds something is the rest of a body and no scrap.
    """
    sheet, _, _ = sheets_of(loose)
    beside, _ = linked(loose)
    count = int(sheet.max()) + 1
    area = np.bincount(sheet, weights=areas_of(loose), minlength=count)
    is_open = np.bincount(sheet, weights=(beside == ALONE).any(axis=1), minlength=count) > 0
    is_open &= (area > 0.0) & (_held_ratio(loose, sheet, np.where(area > 0.0, area, 1.0)) <= FLAT_RATIO)
    if not is_open.any() or is_open.all():
        return loose, None
    share = float(area[~is_open].sum() / area.sum())
    if share < SOLID_AREA_RATIO:
        is_open &= area <= SCRAP_AREA_RATIO * area.sum()
    if not is_open.any():
        return loose, None
    return _dropped(loose, is_open[sheet], SCRAPS, int(is_open.sum()))


def _odd(loose: Loose) -> bool:
    """True if an odd number of triangles meet at some side."""
    ends = np.sort(np.concatenate([loose.triangles[:, [0, 1]], loose.triangles[:, [1, 2]], loose.triangles[:, [2, 0]]]))
    keys = ends[:, 0] * len(loose.points) + ends[:, 1]
    return bool((np.unique(keys, return_counts=True)[1] % 2).any())


def without_walls(loose: Loose) -> tuple[Loose, Mend | None]:
    """The surface without sheets that part a closed space in two; what is left encloses the most."""
    gone = np.zeros(len(loose.triangles), dtype=bool)
    dropped, work = 0, 0
    while dropped < MOST_WALLS:
        rest = loose.only(~gone)
        beside, _ = linked(rest)
        if (beside == ALONE).any() or not (beside == CROWDED).any() or not _odd(rest):
            break
        sheet, _, _ = sheets_of(rest)
        touching = np.unique(sheet[(beside == CROWDED).any(axis=1)])
        work += len(touching) * len(rest.triangles)
        if len(touching) > MOST_WALLS or work > MOST_WORK:
            break
        best = max(((_enclosed(rest.only(sheet != one)), -int(one)) for one in touching), default=(0.0, 0))
        if not best[0] > 0.0:
            break
        gone[np.nonzero(~gone)[0][sheet == -best[1]]] = True
        dropped += 1
    if not dropped or _odd(loose.only(~gone)):
        return loose, None
    return _dropped(loose, gone, WALLS, dropped)


def _enclosed(loose: Loose) -> float:
    """Six times the volume that triangles enclose once they run one way; 0 if they are odd somewhere."""
    if not len(loose.triangles) or _odd(loose):
        return 0.0
    sheet, turned, torn = sheets_of(loose)
    return 0.0 if torn else float(np.abs(sixfold_volumes(turned_back(loose, turned), sheet)).sum())


def run_one_way(loose: Loose) -> tuple[Loose, Mend | None]:
    """The surface with each sheet run one way, that of most of its triangles, or outward if half run either way."""
    sheet, turned, _ = sheets_of(loose)
    odds = np.bincount(sheet, weights=np.where(turned, 1, -1))
    inward = sixfold_volumes(turned_back(loose, turned), sheet) < 0.0
    turned ^= ((odds > 0) | ((odds == 0) & inward))[sheet]
    if not turned.any():
        return loose, None
    place = loose.corners[int(np.argmax(turned))].mean(axis=0)
    mend = Mend(code=TURNED, count=int(turned.sum()), largest_mm=0.0, place_mm=place_of(place))
    return turned_back(loose, turned), mend


def winding(loose: Loose, spot: NDArray[np.float64]) -> float:
    """How often the surface goes round a spot: 1 within a closed one, 0 without.

    References
    ----------
    A. van Oosterom, J. Strackee, The Solid Angle of a Plane Triangle, IEEE Trans. Biomed. Eng. 30 (1983), from memory.
    """
    a, b, c = np.moveaxis(loose.corners - spot, 1, 0)
    la, lb, lc = (np.linalg.norm(one, axis=1) for one in (a, b, c))
    above = np.einsum("ij,ij->i", a, np.cross(b, c))
    below = la * lb * lc + lc * np.einsum("ij,ij->i", a, b)
    below += la * np.einsum("ij,ij->i", b, c) + lb * np.einsum("ij,ij->i", c, a)
    return float(np.arctan2(above, below).sum() / FULL_TURN_RAD)


def _within(inner: Loose, outer: Loose) -> bool:
    """True if a closed sheet lies within another, told by its first corner."""
    low, high = outer.corners.min(axis=(0, 1)), outer.corners.max(axis=(0, 1))
    least, most = inner.corners.min(axis=(0, 1)), inner.corners.max(axis=(0, 1))
    if (least < low).any() or (most > high).any():
        return False
    return abs(winding(outer, inner.points[inner.triangles[0, 0]])) > SOLID_AREA_RATIO


def outward(loose: Loose) -> tuple[Loose, Mend | None]:
    """The closed surface with its sheets turned outward; one that runs inward within another is a void and stays."""
    sheet, _, _ = sheets_of(loose)
    volumes = sixfold_volumes(loose, sheet)
    turned = np.zeros(len(volumes), dtype=bool)
    if volumes.sum() < 0.0:
        turned[:] = True
        volumes = -volumes
    alone = np.ones(len(volumes), dtype=bool)
    alone[sheet[(linked(loose)[0] < 0).any(axis=1)]] = False  # sheets that touch along a side are judged together
    if (volumes < 0.0).any() and len(volumes) <= MOST_SHEETS:
        own = [loose.only(sheet == number) for number in range(len(volumes))]
        for number in np.nonzero((volumes < 0.0) & alone)[0]:
            holding = (other for other in np.nonzero(volumes > 0.0)[0] if volumes[other] > -volumes[number])
            if not any(_within(own[number], own[other]) for other in holding):
                turned[number] ^= True
    if not turned.any():
        return loose, None
    picked = turned[sheet]
    place = loose.corners[int(np.argmax(picked))].mean(axis=0)
    mend = Mend(code=INSIDE_OUT, count=int(turned.sum()), largest_mm=0.0, place_mm=place_of(place))
    return turned_back(loose, picked), mend
