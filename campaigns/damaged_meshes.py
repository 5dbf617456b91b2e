"""Meshes of known solids damaged as exporters, scanners and mail damage them: read with the truth, or refused."""

from __future__ import annotations

import random

import numpy as np
from numpy.typing import NDArray

from traywright.base.errors import PartError
from traywright.geometry import Mesh, Region, combined, extruded, mass_properties, turned_about_x
from traywright.parts import ShapeAsked, examine, read_shape

TITLE = "Binary STL of five solids, triangles lost, flipped, doubled, jittered, bytes flipped or cut: truth or refusal."
COUNT = 600
OFF_RATIO = 0.01
"""Volume that a mesh may be off once it was mended, over the true one; more must have been refused."""
ROW = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("mark", "<u2")])


def _solids() -> tuple[Mesh, ...]:
    """A block, a shaft, a plate with a hole, a block with a boss, two blocks apart."""
    block = extruded(Region.rectangle(0, 0, 60, 40), 0.0, 25.0)
    shaft = turned_about_x(Region.polygon([(0, 0), (90, 0), (90, 12), (40, 12), (40, 20), (0, 20)]), 0.05)
    holed = extruded(Region.rectangle(0, 0, 80, 50).difference(Region.disc((30.0, 25.0), 12.0)), 0.0, 6.0)
    bossed = combined([block, extruded(Region.disc((30.0, 20.0), 10.0), 20.0, 40.0)])
    away = Mesh(block.points_mm + np.array([100.0, 0.0, 0.0]), block.triangles)
    pair = Mesh(
        np.concatenate([block.points_mm, away.points_mm]),
        np.concatenate([block.triangles, away.triangles + len(block.points_mm)]),
    )
    return block, shaft, holed, bossed, pair


SOLIDS = _solids()


def _damaged(draw: random.Random, corners: NDArray[np.float64]) -> tuple[NDArray[np.float64], str]:
    """The triangles after one kind of damage, and its name."""
    kind = draw.choice(("sound", "lost", "flipped", "doubled", "jittered", "shuffled"))
    order = list(range(len(corners)))
    draw.shuffle(order)
    some = order[: draw.randint(1, 4)]
    if kind == "lost":
        return np.delete(corners, some, axis=0), kind
    if kind == "flipped":
        turned = corners.copy()
        turned[some] = turned[some][:, ::-1]
        return turned, kind
    if kind == "doubled":
        return np.concatenate([corners, corners[some]]), kind
    if kind == "jittered":
        noise = np.array([[[draw.gauss(0.0, 0.002) for _ in range(3)] for _ in range(3)] for _ in order])
        return corners + noise, kind
    return (corners[order], kind) if kind == "shuffled" else (corners, kind)


def _bytes(corners: NDArray[np.float64]) -> bytes:
    rows = np.zeros(len(corners), dtype=ROW)
    rows["corners"] = corners
    return bytes(80) + len(rows).to_bytes(4, "little") + rows.tobytes()


def judge(draw: random.Random) -> tuple[str, str]:
    """Nothing if the solid comes back with its volume or is refused in three lines; and what was done to it."""
    solid = draw.choice(SOLIDS)
    corners, kind = _damaged(draw, solid.corners_mm)
    content = bytearray(_bytes(corners))
    spoilt = draw.random() < 0.3
    if spoilt:
        for _ in range(draw.randint(1, 5)):
            content[draw.randrange(len(content))] ^= 1 << draw.randrange(8)
        content = content[: draw.randrange(len(content))] if draw.random() < 0.3 else content
        kind = "bytes"
    try:
        told = examine(read_shape(ShapeAsked(id="a", file_name="a.stl", length_unit="mm"), bytes(content)))
    except PartError as refused:
        return "" if str(refused).count("\n") == 2 else "not three lines", f"{kind}, refused"
    if spoilt:
        return "", f"{kind}, read"
    true_mm3 = mass_properties(solid).volume_mm3
    off = abs(told.whole.properties.volume_mm3 / true_mm3 - 1.0)
    return "" if off <= OFF_RATIO else f"{kind}: volume off by {off:.4f}", f"{kind}, read"
