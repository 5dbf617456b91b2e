"""Closed sheets of one body that overlap are made one solid."""

from __future__ import annotations

from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from traywright.base.tolerance import SAME_MM
from traywright.geometry import Mesh, fused, shared_volume_mm3
from traywright.parts.loose import Loose, Mend, place_of, sheets_of
from traywright.parts.shells import solids_apart

UNITED = "PART-123"
OVERLAP_RATIO = 0.01  # source: ours: bodies that share less of the smaller one touch, as a press fit does
MOST_SOLIDS = 400  # source: ours: a heap of more bodies is looked at body by body, not pair by pair


def _owner(count: int, pairs: list[tuple[int, int]]) -> NDArray[np.int64]:
    """The first of the solids that each one hangs together with."""
    owner = np.arange(count)
    for one, other in pairs:
        low, high = sorted((owner[one], owner[other]))
        owner[owner == high] = low
    return owner


def _pairs(solids: list[Mesh]) -> list[tuple[int, int, float, NDArray[np.float64]]]:
    """Solids that overlap by more than touching ones do: which, by how much, and where."""
    bounds = [one.bounds_mm for one in solids]
    found = []
    for one, other in combinations(range(len(solids)), 2):
        low = np.maximum(bounds[one][0], bounds[other][0])
        high = np.minimum(bounds[one][1], bounds[other][1])
        if (high - low <= SAME_MM).any():
            continue
        shared_mm3, least_mm3 = shared_volume_mm3(solids[one], solids[other])
        if shared_mm3 > OVERLAP_RATIO * least_mm3:
            found.append((one, other, shared_mm3, (low + high) / 2.0))
    return found


def united(loose: Loose) -> tuple[Loose, Mend | None]:
    """The closed surface with solids that overlap made one; those that only touch stay.

    Raises
    ------
    ValueError
        If a solid is not closed.
    """
    if not 0 < int(sheets_of(loose)[0].max()) < MOST_SOLIDS:
        return loose, None
    apart = solids_apart(Mesh(loose.points, loose.triangles))
    if not 1 < len(apart) <= MOST_SOLIDS:
        return loose, None
    solids = [one for one, _ in apart]
    pairs = _pairs(solids)
    if not pairs:
        return loose, None
    labels = [
        loose.faces[picked] if len(loose.faces) else np.zeros(int(picked.sum()), dtype=np.int64) for _, picked in apart
    ]
    owner = _owner(len(solids), [(one, other) for one, other, _, _ in pairs])
    points, triangles, faces, start = [], [], [], 0
    for number in np.unique(owner):
        group = np.nonzero(owner == number)[0]
        mesh, own = solids[number], labels[number]
        if len(group) > 1:
            mesh, own = fused([solids[one] for one in group], [labels[one] for one in group])
        points.append(np.round(mesh.points_mm, 6) + 0.0)
        triangles.append(mesh.triangles + start)
        faces.append(own)
        start += len(mesh.points_mm)
    whole = Loose(
        points=np.concatenate(points),
        triangles=np.concatenate(triangles),
        faces=np.concatenate(faces) if len(loose.faces) else loose.faces,
    )
    largest = max(pairs, key=lambda one: one[2])
    size_mm = float(largest[2] ** (1.0 / 3.0))
    return whole, Mend(
        code=UNITED, count=len(solids) - len(np.unique(owner)) + 1, largest_mm=size_mm, place_mm=place_of(largest[3])
    )
