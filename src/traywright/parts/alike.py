"""Bodies of one shape found among many, also turned and moved ones; left and right hands are told apart."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from traywright.geometry import Mesh
from traywright.parts.congruent import Array, Measured, Placed, flats_of, laid_on, measured, mirrored, placed_on

OWN_FLATS = 3  # source: ours: flats along which a body's own box may stand
NEAR_BOX_RATIO = 1.02  # source: ours: a box this near the least in volume is told if it stands along flats
SQUARE_RATIO = 0.0001  # source: ours: cosine of what counts as square: 0.02 mm on 200 mm
MOST_ALONE = 50_000  # source: ours: triangles of a single body up to which its mirror image is looked at


@dataclass(frozen=True, slots=True, kw_only=True)
class Likeness:
    """Bodies of one shape.

    ``members`` are their numbers, ``first`` the least of them; ``turns`` lays each member on the first. ``size_mm`` is
    the least box about the first along its own axes, longest side first. ``other_hand_of`` is the number of the group
    that is the mirror image of this one, None where there is none; ``congruent_to_mirror_image`` is True for a shape
    that is its own mirror image, so that a mirrored body is one more of the same; None where that was not looked at.
    """

    members: tuple[int, ...]
    names: tuple[str, ...]
    first: int
    volume_mm3: float
    size_mm: tuple[float, ...]
    other_hand_of: int | None
    congruent_to_mirror_image: bool | None
    turns: tuple[Placed, ...]


STAYS = Placed(turn=((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)), shift_mm=(0.0, 0.0, 0.0))


def _least_box(points: Array, axis: Array) -> Array:
    """Axes, as rows of a right-handed frame, of the least box about points that stands along an axis."""
    import shapely  # noqa: PLC0415  # reason: waits until bodies are told

    side = np.cross(axis, np.eye(3)[int(np.argmin(np.abs(axis)))])
    side = side / np.linalg.norm(side)
    plane = np.array([side, np.cross(axis, side)])
    box = shapely.minimum_rotated_rectangle(shapely.MultiPoint(points @ plane.T))
    edge = np.diff(shapely.get_coordinates(box)[:2], axis=0)[0]
    way = edge / np.linalg.norm(edge) @ plane
    return np.array([axis, way, np.cross(axis, way)])


def own_frame(one: Measured) -> Array:
    """Axes of a body's own box in its own frame, as rows.

    Along flats that stand square to each other where that is about the least box, else the least box along the most
    distinct principal axis or a flat.
    """
    points = one.corners.reshape(-1, 3)
    gaps, flats = np.diff(one.spread_mm2), flats_of(one)
    square = [
        np.array([flats[0], way, np.cross(flats[0], way)])
        for way in flats[1:]
        if abs(float(flats[0] @ way)) <= SQUARE_RATIO
    ]
    axes = (np.eye(3)[0 if gaps[0] > gaps[1] else 2], *flats[:OWN_FLATS])
    frames = [*square, *(_least_box(points, axis) for axis in axes)]
    boxes = [float(np.ptp(points @ frame.T, axis=0).prod()) for frame in frames]
    return next(frame for frame, box in zip(frames, boxes, strict=True) if box <= min(boxes) * NEAR_BOX_RATIO)


def own_size_mm(one: Measured) -> tuple[float, ...]:
    """Sides of a body's own box, longest first, to 0.0001 mm."""
    sides = np.ptp(one.corners.reshape(-1, 3) @ own_frame(one).T, axis=0)
    return tuple(sorted((round(float(each), 4) for each in sides), reverse=True))


def _grouped(bodies: Sequence[Measured]) -> list[list[tuple[int, Placed]]]:
    """Numbers of the bodies of each shape with how each is laid on the first."""
    groups: list[list[tuple[int, Placed]]] = []
    for number, body in enumerate(bodies):
        for group in groups:
            first = bodies[group[0][0]]
            found = laid_on(body, first)
            if found is not None:
                group.append((number, placed_on(body, first, found)))
                break
        else:
            groups.append([(number, STAYS)])
    return groups


def _own_mirror(one: Measured, *, alone: bool) -> bool | None:
    """True for a shape that is its own mirror image, None where that is not looked at."""
    if alone and len(one.corners) > MOST_ALONE:
        return None
    return laid_on(mirrored(one), one) is not None


def _hands(firsts: Sequence[Measured], own: Sequence[bool | None]) -> dict[int, int]:
    """Pairs of groups of which one is the mirror image of the other."""
    pairs: dict[int, int] = {}
    sided = [number for number, is_own in enumerate(own) if is_own is False]
    for place, number in enumerate(sided):
        if number in pairs:
            continue
        image = mirrored(firsts[number])
        for other in sided[place + 1 :]:
            if other not in pairs and laid_on(image, firsts[other]) is not None:
                pairs |= {number: other, other: number}
                break
    return pairs


def group_alike(meshes: Sequence[Mesh], names: Sequence[str]) -> tuple[Likeness, ...]:
    """Bodies of one shape together, in the order of the first of each.

    Parameters
    ----------
    meshes
        Closed meshes, mm.
    names
        One name a mesh.

    Returns
    -------
    tuple
        Each body stands in one of them. A mirrored body stands with the others if the shape is its own mirror image,
        else in a group of its own that tells whose other hand it is.

    Raises
    ------
    ValueError
        If a mesh encloses no volume.

    Notes
    -----
    Bodies that may be alike by volume, area, second moments and reach are laid on each other; they are of one shape
    if no probe lies further off than ``LIKE_MM``. The same solid in coarser chords than that counts as another shape.

    Examples
    --------
    >>> from traywright.geometry import Region, extruded
    >>> bracket = extruded(Region.polygon([(0, 0), (30, 0), (30, 5), (5, 5), (5, 12), (0, 12)]), 0.0, 20.0)
    >>> upright = Mesh(bracket.points_mm[:, [1, 2, 0]] + 100.0, bracket.triangles)
    >>> [(one.names, one.congruent_to_mirror_image) for one in group_alike([bracket, upright], ["a", "b"])]
    [(('a', 'b'), True)]
    """
    bodies = [measured(one) for one in meshes]
    groups = _grouped(bodies)
    firsts = [bodies[group[0][0]] for group in groups]
    own = [_own_mirror(one, alone=len(bodies) == 1) for one in firsts]
    hands = _hands(firsts, own)
    told: list[Likeness] = []
    for group, first, is_own in zip(groups, firsts, own, strict=True):
        likeness = Likeness(
            members=tuple(number for number, _ in group),
            names=tuple(names[number] for number, _ in group),
            first=group[0][0],
            volume_mm3=first.volume_mm3,
            size_mm=own_size_mm(first),
            other_hand_of=None,
            congruent_to_mirror_image=is_own,
            turns=tuple(placed for _, placed in group),
        )
        told.append(replace(likeness, other_hand_of=hands.get(len(told))))
    return tuple(told)
