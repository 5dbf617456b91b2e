"""A part as it lies."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from traywright.base.errors import PartError
from traywright.geometry import Mesh
from traywright.parts.part import Part, Pose, Surface

DOWN = np.array([0.0, 0.0, -1.0])


def turn_to_down(down: NDArray[np.float64]) -> NDArray[np.float64]:
    """The smallest turn (3x3) that brings a unit direction to -z; straight up is turned about x."""
    across = np.cross(down, DOWN)
    cosine = float(down @ DOWN)
    if np.linalg.norm(across) <= np.finfo(np.float64).eps:
        return np.eye(3) if cosine > 0.0 else np.diag([1.0, -1.0, -1.0])
    skew = np.array([[0.0, -across[2], across[1]], [across[2], 0.0, -across[0]], [-across[1], across[0], 0.0]])
    turn = np.eye(3) + skew + skew @ skew / (1.0 + cosine)
    exact: NDArray[np.float64] = np.round(turn, 15) + 0.0
    return exact


def _placed(points: NDArray[np.float64], turn: NDArray[np.float64], shift: NDArray[np.float64]) -> NDArray[np.float64]:
    placed: NDArray[np.float64] = np.round(points @ turn.T + shift, 6) + 0.0
    return placed


def take_pose(part: Part, down: tuple[float, float, float], index: int = 0) -> Pose:
    """The part turned so that a direction of its file's frame points down.

    Parameters
    ----------
    part
        The part.
    down
        Any direction but zero, in the axes of the file.
    index
        Number of the pose among the part's poses, from 0.

    Returns
    -------
    Pose
        z 0 at the lowest point, x and y 0 at the middle of the bounding box in plan, mm. The turn is the smallest
        that does it, so a part that already lies right keeps its x and y.

    Raises
    ------
    PartError
        PART-017 if the direction has no length.
    """
    length = math.sqrt(sum(one * one for one in down))
    if not (math.isfinite(length) and length > 0.0):
        raise PartError("PART-017", part=part.id)
    turn = turn_to_down(np.asarray(down, dtype=np.float64) / length)
    turned = part.solid.points_mm @ turn.T
    low, high = turned.min(axis=0), turned.max(axis=0)
    shift = np.array([-(low[0] + high[0]) / 2.0, -(low[1] + high[1]) / 2.0, -low[2]])
    surface = part.surface
    x_mm, y_mm, z_mm = (float(one) for one in _placed(np.array([part.centre_of_gravity_mm]), turn, shift)[0])
    width_mm, depth_mm, height_mm = (float(one) for one in np.round(high - low, 6))
    return Pose(
        part=part,
        index=index,
        down=(down[0] / length, down[1] / length, down[2] / length),
        turn=tuple((float(row[0]), float(row[1]), float(row[2])) for row in turn),
        shift_mm=(float(shift[0]), float(shift[1]), float(shift[2])),
        solid=Mesh(_placed(part.solid.points_mm, turn, shift), part.solid.triangles),
        surface=Surface(
            mesh=Mesh(_placed(surface.mesh.points_mm, turn, shift), surface.mesh.triangles),
            rules=surface.rules,
            faces=surface.faces,
            carries=surface.carries,
            must_hold=surface.must_hold,
        ),
        centre_of_gravity_mm=(x_mm, y_mm, z_mm),
        size_mm=(width_mm, depth_mm, height_mm),
    )
