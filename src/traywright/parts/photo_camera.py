"""The camera of a photograph: lens, place and focal length, from straight edges and a plane figure of known size."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]
LENS_MOST = 0.6  # source: ours: a stronger bend of straight lines is no lens of a telephone
TURNS = 20  # source: ours: each turn takes a tenth of what is left of a strong bend
FOCAL_LEAST, FOCAL_MOST = 0.4, 8.0  # source: ours: times the longer side of the picture


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Lens:
    """How a lens bends lines: ``bends_ratio`` are the factors of the square and fourth power of the distance.

    ``middle_px`` is the middle of the picture and ``half_px`` half its diagonal, in pixels: distances are told in it.
    """

    middle_px: tuple[float, float]
    half_px: float
    bends_ratio: tuple[float, float] = (0.0, 0.0)

    def undone(self, points: Points) -> Points:
        """Points as a lens without bend would show them, in pixels from the middle."""
        off = (points - np.array(self.middle_px)) / self.half_px
        square = (off**2).sum(axis=-1, keepdims=True)
        straight: Points = off * (1.0 + self.bends_ratio[0] * square + self.bends_ratio[1] * square**2) * self.half_px
        return straight

    def bent(self, undone: Points) -> Points:
        """The picture's points of points that ``undone`` gives, in pixels of the picture."""
        off = undone / self.half_px
        found = off.copy()
        for _ in range(TURNS):
            square = (found**2).sum(axis=-1, keepdims=True)
            found = off / (1.0 + self.bends_ratio[0] * square + self.bends_ratio[1] * square**2)
        pixels: Points = found * self.half_px + np.array(self.middle_px)
        return pixels


def _unstraight(lens: Lens, lines: Sequence[Points]) -> NDArray[np.float64]:
    """How far the points of each line lie off its own straight line, pixels, evenly weighted."""
    found = []
    for points in lines:
        straight = lens.undone(points)
        off = straight - straight.mean(axis=0)
        _, _, axes = np.linalg.svd(off, full_matrices=False)
        found.append(off @ axes[1] / math.sqrt(len(points)))
    return np.concatenate(found)


def lens_from_lines(wide: int, high: int, lines: Sequence[Points]) -> tuple[Lens, float]:
    """The lens under which edges that are straight look straight, and what is left of their bend (pixels, mean).

    Parameters
    ----------
    wide, high
        Size of the picture.
    lines
        Points of edges that are straight in truth.

    References
    ----------
    D. C. Brown, Close-range camera calibration, Photogrammetric Engineering 37 (1971), from memory: straight lines must
    be straight.
    """
    from scipy.optimize import least_squares  # noqa: PLC0415  # reason: waits until a photograph is read

    plain = Lens(middle_px=((wide - 1) / 2.0, (high - 1) / 2.0), half_px=math.hypot(wide, high) / 2.0)

    def lens(bends: NDArray[np.float64]) -> Lens:
        return Lens(middle_px=plain.middle_px, half_px=plain.half_px, bends_ratio=(float(bends[0]), float(bends[1])))

    told = least_squares(
        lambda bends: _unstraight(lens(bends), lines),
        np.zeros(2),
        loss="soft_l1",
        f_scale=0.3,
        bounds=([-LENS_MOST] * 2, [LENS_MOST] * 2),
    )
    best = lens(told.x)
    return best, float(np.sqrt((_unstraight(best, lines) ** 2).sum() / len(lines)))


def homography(plane_mm: Points, seen: Points) -> NDArray[np.float64]:
    """The 3x3 matrix that takes points of a plane (mm) to where they are seen, by least squares.

    Parameters
    ----------
    plane_mm, seen
        Four points or more, shape (n, 2).
    """
    scale = max(float(np.abs(seen).max()), 1.0)
    size = max(float(np.abs(plane_mm).max()), 1.0)
    rows = []
    for (x, y), (u, v) in zip(plane_mm / size, seen / scale, strict=True):
        rows += [[x, y, 1.0, 0.0, 0.0, 0.0, -u * x, -u * y, -u], [0.0, 0.0, 0.0, x, y, 1.0, -v * x, -v * y, -v]]
    _, _, axes = np.linalg.svd(np.array(rows))
    told = axes[-1].reshape(3, 3)
    found = np.diag([scale, scale, 1.0]) @ told @ np.diag([1.0 / size, 1.0 / size, 1.0])
    matrix: NDArray[np.float64] = found / found[2, 2]
    return matrix


def lens_and_homography(wide: int, high: int, plane_mm: Points, seen: Points) -> tuple[Lens, NDArray[np.float64]]:
    """Lens and view of a plane together, from many known points of it.

    Parameters
    ----------
    wide, high
        Size of the picture.
    plane_mm, seen
        Known points and where they are seen in the picture (pixels), shape (n, 2).
    """
    from scipy.optimize import least_squares  # noqa: PLC0415  # reason: waits until a photograph is read

    plain = Lens(middle_px=((wide - 1) / 2.0, (high - 1) / 2.0), half_px=math.hypot(wide, high) / 2.0)

    def lens(bends: NDArray[np.float64]) -> Lens:
        return Lens(middle_px=plain.middle_px, half_px=plain.half_px, bends_ratio=(float(bends[0]), float(bends[1])))

    def off(bends: NDArray[np.float64]) -> NDArray[np.float64]:
        straight = lens(bends).undone(seen)
        told = np.column_stack([plane_mm, np.ones(len(plane_mm))]) @ homography(plane_mm, straight).T
        miss: NDArray[np.float64] = (told[:, :2] / told[:, 2:] - straight).ravel()
        return miss

    told = least_squares(off, np.zeros(2), loss="soft_l1", f_scale=0.5, bounds=([-LENS_MOST] * 2, [LENS_MOST] * 2))
    best = lens(told.x)
    return best, homography(plane_mm, best.undone(seen))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Camera:
    """A camera over a plane: from where it looks and how points above the plane are seen.

    ``matrix`` takes (x, y, z, 1) in mm to the picture (pixels from its middle, lens undone, times a factor);
    ``place_mm`` is the camera's own place, ``focal_px`` its focal length in pixels.
    """

    matrix: NDArray[np.float64]
    place_mm: tuple[float, float, float]
    focal_px: float

    def on_plane(self, seen: Points, height_mm: NDArray[np.float64]) -> Points:
        """Where points of the picture lie at heights above the plane, mm."""
        at = np.empty((len(seen), 3, 3))
        at[:, :, 0], at[:, :, 1] = self.matrix[:, 0], self.matrix[:, 1]
        at[:, :, 2] = self.matrix[:, 2] * height_mm[:, None] + self.matrix[:, 3]
        told = np.linalg.solve(at, np.column_stack([seen, np.ones(len(seen))])[:, :, None])[:, :, 0]
        found: Points = told[:, :2] / told[:, 2:]
        return found


def focal_of(matrix: NDArray[np.float64], longest_px: float) -> float | None:
    """Focal length in pixels that makes the axes of a plane square and alike; None if the view tells none."""
    first, second = matrix[:, 0], matrix[:, 1]
    square = -(first[0] * second[0] + first[1] * second[1])
    alike = first[0] ** 2 + first[1] ** 2 - second[0] ** 2 - second[1] ** 2
    weights = np.array([first[2] * second[2], second[2] ** 2 - first[2] ** 2])
    values = np.array([square, alike])
    norm = float(weights @ weights)
    if not norm > 0.0:
        return None
    found = float(weights @ values) / norm
    if not (FOCAL_LEAST * longest_px) ** 2 <= found <= (FOCAL_MOST * longest_px) ** 2:
        return None
    return math.sqrt(found)


def camera_of(matrix: NDArray[np.float64], focal_px: float) -> Camera:
    """The camera of a homography and a focal length.

    Parameters
    ----------
    matrix
        From the plane (mm) to the picture (pixels from its middle, lens undone, y down).
    focal_px
        Pixels.
    """
    back = np.diag([1.0 / focal_px, 1.0 / focal_px, 1.0]) @ matrix
    size = math.sqrt(float(np.linalg.norm(back[:, 0]) * np.linalg.norm(back[:, 1])))
    back = back / size
    if back[2, 2] < 0.0:
        back = -back
    third = np.cross(back[:, 0], back[:, 1])
    # x to the right and y up on the plane, y down in the picture: up from the table is away from the cross product
    turn = np.column_stack([back[:, 0], back[:, 1], third])
    place = -np.linalg.solve(turn, back[:, 2])
    if place[2] < 0.0:
        turn = np.column_stack([back[:, 0], back[:, 1], -third])
        place = -np.linalg.solve(turn, back[:, 2])
    whole = np.diag([focal_px, focal_px, 1.0]) @ np.column_stack([turn, back[:, 2]])
    x_mm, y_mm, z_mm = (float(one) for one in place)
    return Camera(matrix=whole, place_mm=(x_mm, y_mm, z_mm), focal_px=focal_px)
