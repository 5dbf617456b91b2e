"""Whether one solid is another, turned and moved: by what turning does not change, then laid on it and measured."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from traywright.geometry import Mesh, mass_properties
from traywright.parts.faces import normals_of
from traywright.parts.spread import by_place, spread_over

Array = NDArray[np.float64]

LIKE_MM = 0.06
"""Surfaces of one shape lie no further apart: chords of read solids lie up to 0.05 mm inside the true surface, while
0.2 mm on one diameter moves it by 0.1 mm.  # source: ours"""

AREA_RATIO = 0.05  # source: ours: a first sieve only, wider than what chords do to an area
EVEN_RATIO = 0.02  # source: ours: principal moments nearer than this give no direction that can be built upon
NEAR_RATIO = 0.1  # source: ours: where they are nearer than this, other directions are tried too
FEW, FEW_PROBES = 128, 256  # source: ours: points of the first look, spread over the area and over the triangles
MOST_PROBES = 60_000  # source: ours: points of the check; a finer mesh is looked at in so many places
LOOK_RATIO = 0.05  # source: ours: the first look sees no further than this part of the size
SETTLED, STEPS = 4, 12  # source: ours: positions that are made exact, and steps to do so
BINS = 720  # source: ours: half a degree, well within what the steps mend
BLUR_BINS = 3.0  # source: ours: chords put an edge up to a degree or two beside its place
ROUND_LEAN_RATIO = 0.25  # source: ours: sine of half the widest chord of a round (0.5 rad)
MOST_PEAKS, MOST_FLATS = 12, 6  # source: ours: turns about one axis, and directions of flats, that are tried


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """How a body is laid on another: its points times ``turn`` (rows), plus ``shift_mm``."""

    turn: tuple[tuple[float, ...], ...]
    shift_mm: tuple[float, ...]

    def moved(self, points_mm: Array) -> Array:
        """Points where they come to lie."""
        moved: Array = points_mm @ np.asarray(self.turn).T + np.asarray(self.shift_mm)
        return moved


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Measured:
    """A solid in its own frame: about its centre of gravity, along its principal axes.

    ``spread_mm2`` are the principal second moments over the volume, rising, ``axes`` their directions in the file as
    rows of a right-handed frame, ``reach_mm`` the distance of the furthest point; ``corners`` stand in an order in
    which near triangles stand together; ``few`` are points for a first look, ``probes`` those of the check.
    """

    volume_mm3: float
    area_mm2: float
    centre: Array
    spread_mm2: Array
    axes: Array
    reach_mm: float
    corners: Array
    normals: Array
    areas: Array
    few: Array
    probes: Array


def _strided(points: Array, most: int) -> Array:
    """Some of many points, evenly by number."""
    if len(points) <= most:
        return points
    return points[np.arange(most) * len(points) // most]


def measured(mesh: Mesh) -> Measured:
    """A closed mesh ready to be laid on others.

    Parameters
    ----------
    mesh
        Closed mesh, mm.

    Raises
    ------
    ValueError
        If it encloses no volume.
    """
    told = mass_properties(mesh)
    centre = np.asarray(told.centre_mm)
    inertia = np.asarray(told.inertia_mm5)
    values, vectors = np.linalg.eigh((np.trace(inertia) / 2.0 * np.eye(3) - inertia) / told.volume_mm3)
    axes = vectors.T.copy()
    axes[2] *= np.sign(np.linalg.det(axes))
    points = (mesh.points_mm - centre) @ axes.T
    corners = points[mesh.triangles]
    corners = corners[by_place(corners.mean(axis=1))]
    normals, areas = normals_of(corners)
    probes = np.concatenate([points, corners.mean(axis=1)])
    return Measured(
        volume_mm3=told.volume_mm3,
        area_mm2=float(areas.sum()),
        centre=centre,
        spread_mm2=values,
        axes=axes,
        reach_mm=float(np.sqrt((points**2).sum(axis=1).max())),
        corners=corners,
        normals=normals,
        areas=areas,
        few=np.concatenate([spread_over(corners, areas, FEW)[0], _strided(probes, FEW_PROBES)]),
        probes=_strided(probes, MOST_PROBES),
    )


def mirrored(one: Measured) -> Measured:
    """The mirror image of a solid, mirrored in its own frame."""
    flip = np.array([-1.0, 1.0, 1.0])
    return Measured(
        volume_mm3=one.volume_mm3,
        area_mm2=one.area_mm2,
        centre=one.centre,
        spread_mm2=one.spread_mm2,
        axes=one.axes,
        reach_mm=one.reach_mm,
        corners=np.ascontiguousarray((one.corners * flip)[:, ::-1]),
        normals=one.normals * flip,
        areas=one.areas,
        few=one.few * flip,
        probes=one.probes * flip,
    )


def may_be_alike(one: Measured, other: Measured, within_mm: float = LIKE_MM) -> bool:
    """True unless volume, area, second moments or reach show that two solids differ by more than a distance.

    Notes
    -----
    A surface that is moved by less than t changes the volume by less than t times the area, and a second moment by
    less than that times the square of the reach.
    """
    area = max(one.area_mm2, other.area_mm2)
    reach = max(one.reach_mm, other.reach_mm)
    moments = one.spread_mm2 * one.volume_mm3 - other.spread_mm2 * other.volume_mm3
    return (
        abs(one.volume_mm3 - other.volume_mm3) <= within_mm * area
        and abs(one.area_mm2 - other.area_mm2) <= AREA_RATIO * area
        and abs(one.reach_mm - other.reach_mm) <= 3.0 * within_mm
        and float(np.abs(moments).max()) <= within_mm * area * reach**2
    )


def _around(one: Measured, frame: Array) -> Array:
    """What is not round about the third axis of a frame, by angle: flats, holes and edges, all and by height."""
    u, v, w = frame
    # three points a triangle, exact for what is quadratic
    points = (one.corners + np.roll(one.corners, -1, axis=1)).reshape(-1, 3) / 2.0
    normals, areas = np.repeat(one.normals, 3, axis=0), np.repeat(one.areas / 3.0, 3)
    x, y = points @ u, points @ v
    far = np.hypot(x, y)
    lean = np.abs(normals @ v * x - normals @ u * y) / np.where(far > 0.0, far, 1.0)
    weight = areas * np.maximum(0.0, lean - ROUND_LEAN_RATIO)
    angle = np.floor((np.arctan2(y, x) / (2.0 * np.pi) + 1.0) * BINS).astype(np.int64) % BINS
    height = points @ w / one.reach_mm
    channels = (weight, weight * height, weight * far / one.reach_mm)
    return np.array([np.bincount(angle, weights=each, minlength=BINS) for each in channels])


def _turns_about(one: Measured, other: Measured, axis: Array, onto: Array) -> Iterator[Array]:
    """Turns that bring an axis of one onto an axis of the other, those first that match best around it."""
    frames = []
    for way in (axis, onto):
        side = np.eye(3)[int(np.argmin(np.abs(way)))]
        u = np.cross(way, side)
        u = u / np.linalg.norm(u)
        frames.append(np.array([u, np.cross(way, u), way]))
    own, others = (np.fft.rfft(_around(body, frame)) for body, frame in zip((one, other), frames, strict=True))
    blur = np.exp(-0.5 * (2.0 * np.pi * np.arange(own.shape[1]) / BINS * BLUR_BINS) ** 2)
    match = np.fft.irfft((np.conj(own) * others).sum(axis=0) * blur, BINS)
    is_peak = (match >= np.roll(match, 1)) & (match > np.roll(match, -1))
    peaks = np.flatnonzero(is_peak)
    best = peaks[np.argsort(-match[peaks], kind="stable")][:MOST_PEAKS]
    for angle in (*(best * (2.0 * np.pi / BINS)).tolist(), 0.0):
        cos, sin = np.cos(angle), np.sin(angle)
        spin = np.array([[cos, -sin, 0.0], [sin, cos, 0.0], [0.0, 0.0, 1.0]])
        yield frames[1].T @ spin @ frames[0]


def flats_of(one: Measured) -> Array:
    """Directions that most of the surface faces, the largest first."""
    left, found = one.areas.copy(), []
    sums = one.areas[:, None] * one.normals
    for _ in range(MOST_FLATS):
        way = one.normals[int(np.argmax(left))]
        own = one.normals @ way > 1.0 - EVEN_RATIO / 4.0
        whole = (sums[own]).sum(axis=0)
        found.append((float(one.areas[own].sum()), whole / np.linalg.norm(whole)))
        left[own] = 0.0
        if not left.any():
            break
    found.sort(key=lambda each: -each[0])
    return np.array([way for _, way in found])


def _turns(one: Measured, other: Measured) -> Iterator[Array]:
    """Turns about the centre that may lay one on the other, likely ones first."""
    gaps = np.diff(other.spread_mm2) / other.spread_mm2[2]
    if gaps.min() > EVEN_RATIO:
        for signs in ((1, 1, 1), (1, -1, -1), (-1, 1, -1), (-1, -1, 1)):
            yield np.diag(signs).astype(np.float64)
    if gaps.min() < NEAR_RATIO:
        apart = 0 if gaps[0] > gaps[1] else 2
        for sign in (1.0, -1.0):
            yield from _turns_about(one, other, np.eye(3)[apart], sign * np.eye(3)[apart])
    if gaps.max() < NEAR_RATIO:
        onto = flats_of(other)[0]
        for way in flats_of(one):
            yield from _turns_about(one, other, way, onto)


def spots_of(points: Array, reach_mm: float, corners: Array) -> tuple[Array, NDArray[np.int64], Array]:
    """Distance, nearest triangle and nearest spot of points to a surface (see the kernel ``nearest_spots``)."""
    from traywright.parts import _kernels  # noqa: PLC0415  # reason: numba waits until bodies are compared

    return _kernels.nearest_spots(np.ascontiguousarray(points), reach_mm, np.ascontiguousarray(corners))


def _lies_on(one: Measured, other: Measured, turn: Array, shift: Array, within_mm: float) -> bool:
    """True if each probe of either lies on the surface of the other."""
    for points, corners in (
        (one.probes @ turn.T + shift, other.corners),
        ((other.probes - shift) @ turn, one.corners),
    ):
        if not np.isfinite(spots_of(points, within_mm, corners)[0]).all():
            return False
    return True


def settled(points: Array, other: Measured, turn: Array, shift: Array, look_mm: float) -> tuple[Array, Array]:
    """A position made exact: points are moved in small steps until they lie on the surface as well as they can.

    Parameters
    ----------
    points
        Points of the body that is moved, about its centre.
    other
        The body they are laid on.
    turn, shift
        The position to begin with.
    look_mm
        Points that lie further off are left out of the count.
    """
    for _ in range(STEPS):
        placed = points @ turn.T + shift
        far, owner, spots = spots_of(placed, look_mm, other.corners)
        near = np.isfinite(far)
        if near.sum() < 6:
            break
        normals = other.normals[owner[near]]
        off = np.einsum("ij,ij->i", placed[near] - spots[near], normals)
        rows = np.hstack([np.cross(placed[near], normals) / other.reach_mm, normals])
        step = np.linalg.lstsq(rows, -off, rcond=0.001)[0]
        spin, move = step[:3] / other.reach_mm, step[3:]
        small = _turn_of(spin)
        turn, shift = small @ turn, small @ shift + move
        if float(np.abs(step).max()) < LIKE_MM / 100.0:
            break
    return turn, shift


def _turn_of(spin: Array) -> Array:
    """Turn about a vector by its length (Rodrigues)."""
    angle = float(np.linalg.norm(spin))
    if angle <= 0.0:
        return np.eye(3)
    x, y, z = spin / angle
    cross = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
    turn: Array = np.eye(3) + np.sin(angle) * cross + (1.0 - np.cos(angle)) * (cross @ cross)
    return turn


def ways_to_lay(one: Measured, other: Measured, look_mm: float) -> list[tuple[float, Array]]:
    """Turns that may lay one body on the other, with the mean distance of a few points, the best first.

    Parameters
    ----------
    one, other
        Bodies of about one size.
    look_mm
        Points further off count as this far.
    """
    found = []
    for turn in _turns(one, other):
        far = np.minimum(spots_of(one.few @ turn.T, look_mm, other.corners)[0], look_mm)
        found.append((float(far.mean()), turn))
        if float(far.max()) <= LIKE_MM:
            break
    found.sort(key=lambda each: each[0])
    return found


def laid_on(one: Measured, other: Measured, within_mm: float = LIKE_MM) -> tuple[Array, Array] | None:
    """Turn and shift of one own frame that lay a body on another in its own, None if they are not of one shape.

    Parameters
    ----------
    one, other
        Bodies; a mirror image is not a turned body.
    within_mm
        Surfaces of one shape lie no further apart.

    Notes
    -----
    Every corner and every middle of a triangle of either (60 000 at most, evenly by number) must lie on the other.
    What differs only between them is not seen; a hole through a plate has middles on its wall.
    """
    if not may_be_alike(one, other, within_mm):
        return None
    look_mm = max(LOOK_RATIO * other.reach_mm, 4.0 * within_mm)
    for mean_mm, turn in ways_to_lay(one, other, look_mm)[:SETTLED]:
        if mean_mm > look_mm / 2.0:
            return None
        still = np.zeros(3)
        if _lies_on(one, other, turn, still, within_mm):
            return turn, still
        exact, shift = settled(one.few, other, turn, still, look_mm)
        if _lies_on(one, other, exact, shift, within_mm):
            return exact, shift
    return None


def placed_on(one: Measured, other: Measured, found: tuple[Array, Array]) -> Placed:
    """A turn and shift between own frames as a position of the body as it lies in the file."""
    own, shift = found
    turn = other.axes.T @ own @ one.axes
    move = other.centre + shift @ other.axes - turn @ one.centre
    return Placed(
        turn=tuple(tuple(float(each) for each in row) for row in turn), shift_mm=tuple(float(each) for each in move)
    )


def laid_between(one: Measured, other: Measured) -> tuple[Array, Array]:
    """Turn and shift between own frames for bodies that stay as they lie in their files."""
    return other.axes @ one.axes.T, (one.centre - other.centre) @ other.axes.T
