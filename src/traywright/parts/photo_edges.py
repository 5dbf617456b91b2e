"""Edges in a picture to a fraction of a pixel: the steepest step of grey along a line across them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]
BLUR = 1.2  # source: ours: pixels of smoothing before steps are looked for, about what a lens blurs
STEP = 0.25  # source: ours: share of a pixel between samples across an edge


def sampled(picture: NDArray[np.floating], points: Points) -> NDArray[np.float64]:
    """Grey at points (x, y in pixels, centres at whole numbers), between pixels in proportion."""
    high, wide = picture.shape
    x = np.clip(points[..., 0], 0.0, wide - 1.001)
    y = np.clip(points[..., 1], 0.0, high - 1.001)
    left, top = x.astype(np.int64), y.astype(np.int64)
    u, v = x - left, y - top
    upper = picture[top, left] * (1.0 - u) + picture[top, left + 1] * u
    lower = picture[top + 1, left] * (1.0 - u) + picture[top + 1, left + 1] * u
    grey: NDArray[np.float64] = upper * (1.0 - v) + lower * v
    return grey


def steepest(
    picture: NDArray[np.floating], points: Points, across: Points, reach_px: float
) -> tuple[Points, NDArray[np.float64]]:
    """The points moved to the steepest rise of grey along their directions, and how steep it is (grey a pixel).

    Parameters
    ----------
    picture
        Smoothed grey.
    points, across
        Near an edge, and unit directions from dark to light, both of shape (n, 2).
    reach_px
        Pixels that are looked at to either side.
    """
    steps = np.arange(-reach_px, reach_px + STEP / 2.0, STEP)
    grey = sampled(picture, points[:, None, :] + steps[None, :, None] * across[:, None, :])
    rise = (grey[:, 2:] - grey[:, :-2]) / (2.0 * STEP)
    best = np.clip(np.argmax(rise, axis=1), 1, rise.shape[1] - 2)
    rows = np.arange(len(points))
    before, top, after = rise[rows, best - 1], rise[rows, best], rise[rows, best + 1]
    bend = before - 2.0 * top + after
    off = np.where(np.abs(bend) > 0.0, 0.5 * (before - after) / np.where(bend == 0.0, 1.0, bend), 0.0)
    moved = points + (steps[best + 1] + np.clip(off, -1.0, 1.0) * STEP)[:, None] * across
    return moved, top


def along(start: Points, end: Points, margin_ratio: float, spacing_px: float) -> Points:
    """Points evenly along a line, its ends left out."""
    count = max(8, int(np.linalg.norm(end - start) * (1.0 - 2.0 * margin_ratio) / spacing_px))
    shares = np.linspace(margin_ratio, 1.0 - margin_ratio, count)[:, None]
    found: Points = start * (1.0 - shares) + end * shares
    return found


def straight_edge(
    picture: NDArray[np.floating], start: Points, end: Points, *, outward_light: int, reach_px: float
) -> Points:
    """Points of a straight edge between two corners that run clockwise on the screen.

    Parameters
    ----------
    picture
        Smoothed grey.
    start, end
        Corners, about.
    outward_light
        1 if it is lighter outside, -1 if it is darker.
    reach_px
        Pixels that are looked at to either side.
    """
    points = along(start, end, 0.06, 3.0)
    way = (end - start) / np.linalg.norm(end - start)
    # y runs down: the outside of a loop that runs clockwise on the screen lies to its left
    out = np.array([way[1], -way[0]])
    across = np.broadcast_to(out * outward_light, points.shape)
    found, steep = steepest(picture, points, across, reach_px)
    good = steep > 0.35 * float(np.median(steep))
    return found[good]
