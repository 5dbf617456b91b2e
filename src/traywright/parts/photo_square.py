"""The printed scale square in a picture, and the straight edges beside it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from traywright.base.errors import PartError
from traywright.parts.photo_edges import Points, straight_edge

LEAST_SIDE_RATIO = 0.03  # source: ours: of the longer side of the picture; smaller squares measure nothing
QUAD_RATIO = 0.02  # source: ours: how far a side may be off its corners' line, over the outline
DARK_RATIO = 0.45  # source: ours: grey of print over that of paper


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SquareSeen:
    """A dark frame: its outer corners clockwise on the screen from the lower left, and its sides' points."""

    corners: Points
    sides: tuple[Points, ...]


def _quads(cv2: Any, dark: NDArray[np.uint8], longest: int) -> list[tuple[Points, bool]]:  # noqa: ANN401  # reason: untyped library
    """Convex four-cornered outlines of dark things, and whether they have a four-cornered light inside."""
    told, tree = cv2.findContours(dark, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE)
    found = []
    for number, outline in enumerate(told):
        if tree[0][number][3] >= 0:
            continue
        corners = _four(cv2, outline)
        if corners is None or np.linalg.norm(corners[1] - corners[0]) < LEAST_SIDE_RATIO * longest:
            continue
        inner, child = False, tree[0][number][2]
        while child >= 0:
            inside = _four(cv2, told[child])
            whole = abs(cv2.contourArea(outline))
            inner |= inside is not None and abs(cv2.contourArea(told[child])) > 0.3 * whole
            child = tree[0][child][0]
        found.append((corners, inner))
    return found


def _four(cv2: Any, outline: NDArray[np.int32]) -> Points | None:  # noqa: ANN401  # reason: untyped library
    """The corners of a convex outline of four sides of about one length, clockwise on the screen."""
    told = cv2.approxPolyDP(outline, QUAD_RATIO * cv2.arcLength(outline, True), True)  # noqa: FBT003  # reason: theirs
    if len(told) != 4 or not cv2.isContourConvex(told):
        return None
    corners = told.reshape(4, 2).astype(np.float64)
    after = np.roll(corners, -1, axis=0)
    area = float((corners[:, 0] * after[:, 1] - after[:, 0] * corners[:, 1]).sum())
    corners = corners if area > 0.0 else corners[::-1]
    # from the lower left: x small, y large
    first = int(np.argmin(corners[:, 0] - corners[:, 1]))
    turned: Points = np.roll(corners, -first, axis=0)
    return turned


def crossing(one: Points, other: Points) -> Points:
    """Where the straight lines through two rows of points cross."""
    rows, values = [], []
    for points in (one, other):
        middle = points.mean(axis=0)
        _, _, axes = np.linalg.svd(points - middle, full_matrices=False)
        rows.append(axes[1])
        values.append(axes[1] @ middle)
    found: Points = np.linalg.solve(np.array(rows), np.array(values))
    return found


def find_square(cv2: Any, part_id: str, picture: NDArray[np.float32], paper_grey: float) -> SquareSeen:  # noqa: ANN401  # reason: untyped library
    """The dark frame in a picture.

    Parameters
    ----------
    cv2
        The library that looks at pictures.
    part_id
        Named in errors.
    picture
        Smoothed grey.
    paper_grey
        Grey of the paper.

    Raises
    ------
    PartError
        PART-082 if there is none, PART-083 if there are several.
    """
    high, wide = picture.shape
    dark = (picture < DARK_RATIO * paper_grey).astype(np.uint8)
    quads = _quads(cv2, dark, max(wide, high))
    frames = [corners for corners, inner in quads if inner] or [corners for corners, _ in quads]
    kept = [one for one in frames if one.min() > 2.0 and one[:, 0].max() < wide - 3 and one[:, 1].max() < high - 3]
    if len(kept) != 1:
        raise PartError("PART-083" if kept else "PART-082", part=part_id, count=len(kept))
    corners = kept[0]
    sides = tuple(
        straight_edge(picture, corners[number], corners[(number + 1) % 4], outward_light=1, reach_px=8.0)
        for number in range(4)
    )
    return SquareSeen(corners=corners, sides=sides)


def sheet_edges(cv2: Any, picture: NDArray[np.float32], paper_grey: float) -> tuple[Points, ...]:  # noqa: ANN401  # reason: untyped library
    """Points of the straight edges of the sheet of paper, none where its outline is no four-sided one."""
    high, wide = picture.shape
    light = (picture > 0.72 * paper_grey).astype(np.uint8)
    light = cv2.morphologyEx(light, cv2.MORPH_CLOSE, np.ones((9, 9), np.uint8))
    told, _ = cv2.findContours(light, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    if not told:
        return ()
    outline = max(told, key=cv2.contourArea)
    if cv2.contourArea(outline) < 0.1 * wide * high:
        return ()
    hull = cv2.convexHull(outline)
    few = cv2.approxPolyDP(hull, 0.012 * cv2.arcLength(hull, True), True).reshape(-1, 2).astype(np.float64)  # noqa: FBT003  # reason: theirs
    after = np.roll(few, -1, axis=0)
    if float((few[:, 0] * after[:, 1] - after[:, 0] * few[:, 1]).sum()) < 0.0:
        few = few[::-1]
    found = []
    for start, end in zip(few, np.roll(few, -1, axis=0), strict=True):
        inside = (
            min(start.min(), end.min()) > 3 and max(start[0], end[0]) < wide - 4 and max(start[1], end[1]) < high - 4
        )
        if inside and np.linalg.norm(end - start) > 0.15 * max(wide, high):
            # a lens bends the edge between its corners: look far enough to either side
            found.append(straight_edge(picture, start, end, outward_light=-1, reach_px=40.0))
    return tuple(found)
