"""The outline of a part in a picture: where it is dark on the paper, its edge to a fraction of a pixel."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from traywright.base.errors import PartError
from traywright.parts.photo_edges import Points, steepest

LEAST_PART_RATIO = 0.002  # source: ours: of the paper's area; smaller things are dirt
LEAST_HOLE_RATIO = 0.0004  # source: ours: of the part's area
REACH = 5.0  # source: ours: pixels to either side of the first outline
AROUND = 6  # source: ours: neighbours on either side by which a jump is known
JUMP = 1.2  # source: ours: pixels off what the neighbours moved by
SPACING = 3  # source: ours: pixels from one point of the outline to the next


def _outlines(cv2: Any, dark: NDArray[np.uint8], least: float) -> list[tuple[Any, list[Any]]]:  # noqa: ANN401  # reason: untyped library
    """Outlines of things larger than an area, each with its holes."""
    told, tree = cv2.findContours(dark, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE)
    found = []
    for number, outline in enumerate(told):
        if tree[0][number][3] >= 0 or cv2.contourArea(outline) < least:
            continue
        holes, child = [], tree[0][number][2]
        while child >= 0:
            if cv2.contourArea(told[child]) > LEAST_HOLE_RATIO * cv2.contourArea(outline):
                holes.append(told[child])
            child = tree[0][child][0]
        found.append((outline, holes))
    return found


def _calm(points: Points, found: Points, across: Points) -> Points:
    """The points found, but for those that jumped to another edge: there what their neighbours moved by."""
    moved = np.einsum("ij,ij->i", found - points, across)
    half = min(AROUND, len(moved) // 2)
    near = np.stack([np.roll(moved, shift) for shift in range(-half, half + 1)])
    usual = np.median(near, axis=0)
    wild = np.abs(moved - usual) > JUMP
    calm: Points = points + np.where(wild, usual, moved)[:, None] * across
    return calm


def _edge(picture: NDArray[np.float32], outline: Any, *, hole: bool) -> tuple[Points, Points]:  # noqa: ANN401  # reason: untyped library
    """Points of an outline at its steepest step, and the directions from the part outward, in pixels."""
    points = outline.reshape(-1, 2).astype(np.float64)
    count = len(points)
    window = np.hanning(9)
    window = window / window.sum()
    wrapped = np.concatenate([points[-4:], points, points[:4]])
    smooth = np.column_stack([np.convolve(wrapped[:, axis], window, mode="valid") for axis in (0, 1)])
    way = np.roll(smooth, -3, axis=0) - np.roll(smooth, 3, axis=0)
    way = way / np.maximum(np.linalg.norm(way, axis=1), 1e-9)[:, None]  # source: ours: no direction is no length
    out = np.column_stack([way[:, 1], -way[:, 0]])
    after = np.roll(points, -1, axis=0)
    clockwise = float((points[:, 0] * after[:, 1] - after[:, 0] * points[:, 1]).sum()) > 0.0
    picked = np.arange(0, count, SPACING)
    # out of the material: out of an outline, into a hole
    across = (out if clockwise is not hole else -out)[picked]
    found, _ = steepest(picture, smooth[picked], across, REACH)
    return _calm(smooth[picked], found, across), across


def find_part(
    cv2: Any,  # noqa: ANN401  # reason: untyped library
    part_id: str,
    picture: NDArray[np.float32],
    paper: NDArray[np.bool_],
    grey: float,
) -> tuple[tuple[Points, Points], ...]:
    """The loops of the part: its outline first, then its holes; points and directions out of the material, in pixels.

    Parameters
    ----------
    cv2
        The library that looks at pictures.
    part_id
        Named in errors.
    picture
        Smoothed grey.
    paper
        True where the paper is looked at: the sheet without the scale.
    grey
        Grey between part and paper.

    Raises
    ------
    PartError
        PART-084 if nothing dark lies there, PART-085 if it runs into the edge of what is looked at, PART-086 if there
        are several things.
    """
    dark = ((picture < grey) & paper).astype(np.uint8)
    found = _outlines(cv2, dark, LEAST_PART_RATIO * float(paper.sum()))
    if not found:
        raise PartError("PART-084", part=part_id)
    found.sort(key=lambda one: -cv2.contourArea(one[0]))
    if len(found) > 1 and cv2.contourArea(found[1][0]) > 0.05 * cv2.contourArea(found[0][0]):
        raise PartError("PART-086", part=part_id, count=len(found))
    outline, holes = found[0]
    rim = cv2.erode(paper.astype(np.uint8), np.ones((5, 5), np.uint8)) == 0
    at = outline.reshape(-1, 2)
    if rim[at[:, 1], at[:, 0]].any():
        raise PartError("PART-085", part=part_id)
    return (_edge(picture, outline, hole=False), *(_edge(picture, hole, hole=True) for hole in holes))
