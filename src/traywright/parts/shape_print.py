"""The fingerprint of a shape: the same in every pose, unit and tessellation, so that a part is known again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from traywright.base import Finding, Severity, finding
from traywright.geometry import Mesh, mass_properties
from traywright.parts.faces import normals_of
from traywright.parts.spread import spread_over

Array = NDArray[np.float64]

POINTS = 32_768  # source: ours: shares of the surface to about 0.1 % of the furthest
SHARES = 16  # source: ours: steps of the surface from the innermost to the outermost sixteenth
SAME_RATIO = 0.005
"""Prints of one shape differ by no more: chords of up to 0.05 mm on parts of 20 mm and more change none of its numbers
by more.  # source: ours"""
SAME_SIZE_RATIO = 0.005  # source: ours: chords of 0.03 mm on a screw of 7 mm take a quarter of a percent
HANDED_RATIO = 0.00002  # source: ours: ten times what chords leave of a shape that is its own mirror image
CLOSEST_RATIO = 0.02  # source: ours: principal moments nearer than this give no frame in which a hand shows
MARK = "shape/1"
SCALES = (("inch", 25.4), ("foot", 304.8), ("cm", 10.0), ("m", 1000.0))  # source: units in mm, exact by definition


@dataclass(frozen=True, slots=True, kw_only=True)
class ShapePrint:
    """What is left of a shape if pose and unit are taken away, with its size beside it.

    ``scale_mm`` is the third root of the volume; all else is divided by its power. ``area_ratio`` is the surface,
    ``moments_ratio`` the principal second moments of the solid, rising, ``far_ratio`` how far the surface lies from
    the centre of gravity, on average of each sixteenth of it, the nearest first; ``hand_ratio`` is a third moment
    that changes sign in the mirror, 0 for a shape that is its own mirror image.
    """

    scale_mm: float
    area_ratio: float
    moments_ratio: tuple[float, ...]
    far_ratio: tuple[float, ...]
    hand_ratio: float

    @property
    def text(self) -> str:
        """One line for a job's record, read back by ``print_of_text``."""
        parts = (
            (self.scale_mm,),
            (self.area_ratio,),
            self.moments_ratio,
            self.far_ratio,
            (self.hand_ratio,),
        )
        return " ".join([MARK, *(",".join(f"{one:.6g}" for one in part) for part in parts)])


def print_of_text(told: str) -> ShapePrint | None:
    """The print that a record holds, None if it is none of this kind."""
    mark, *parts = told.split(" ")
    if mark != MARK or len(parts) != 5:
        return None
    try:
        numbers = [tuple(float(one) for one in part.split(",")) for part in parts]
    except ValueError:
        return None
    if [len(one) for one in numbers] != [1, 1, 3, SHARES, 1]:
        return None
    scale, area, moments, far, hand = numbers
    return ShapePrint(scale_mm=scale[0], area_ratio=area[0], moments_ratio=moments, far_ratio=far, hand_ratio=hand[0])


def _third_moment(corners: Array) -> float:
    """Integral of x y z over the solid whose triangles are told about the origin."""
    sixfold = np.einsum("ij,ij->i", corners[:, 0], np.cross(corners[:, 1], corners[:, 2]))
    x, y, z = (corners[:, :, axis] for axis in range(3))
    once = x.sum(axis=1) * y.sum(axis=1) * z.sum(axis=1)
    twice = (
        x.sum(axis=1) * (y * z).sum(axis=1) + y.sum(axis=1) * (x * z).sum(axis=1) + z.sum(axis=1) * (x * y).sum(axis=1)
    )
    thrice = (x * y * z).sum(axis=1)
    return float((sixfold * (once + twice + 2.0 * thrice)).sum() / 720.0)


def shape_print(mesh: Mesh) -> ShapePrint:
    """Fingerprint of the shape of a closed mesh.

    Parameters
    ----------
    mesh
        Closed mesh, any unit.

    Raises
    ------
    ValueError
        If it encloses no volume.

    Notes
    -----
    Moments are exact for the mesh; distances are those of 32 768 points of a fixed sequence (R2), so the same file
    gives the same print. The hand is the integral of xyz in the frame of the principal axes, which any turn of that
    frame by half a turn leaves as it is; where two principal moments lie within 2 % there is no such frame, and no hand
    is told. A hole of a thousandth of the volume is below what a print shows: see ``shape_difference``.

    Examples
    --------
    >>> from traywright.geometry import Region, extruded
    >>> one = shape_print(extruded(Region.rectangle(0, 0, 40, 30), 0.0, 20.0))
    >>> round(one.scale_mm, 3), round(one.area_ratio, 3), [round(each, 4) for each in one.moments_ratio]
    (28.845, 6.25, [0.0401, 0.0901, 0.1603])
    >>> print_of_text(one.text) is not None
    True
    """
    told = mass_properties(mesh)
    scale = told.volume_mm3 ** (1.0 / 3.0)
    inertia = np.asarray(told.inertia_mm5) / scale**5
    values, vectors = np.linalg.eigh(np.trace(inertia) / 2.0 * np.eye(3) - inertia)
    axes = vectors.T * np.array([[1.0], [1.0], [np.sign(np.linalg.det(vectors))]])
    corners = ((mesh.points_mm - np.asarray(told.centre_mm)) / scale) @ axes.T
    corners = corners[mesh.triangles]
    # the points are dealt out from the middle outward, so that each sixteenth of the surface gets its own
    corners = corners[np.argsort(np.round((corners.mean(axis=1) ** 2).sum(axis=1), 9), kind="stable")]
    _, areas = normals_of(corners)
    points, _ = spread_over(corners, areas, POINTS)
    far = np.sort(np.linalg.norm(points, axis=1)).reshape(SHARES, -1).mean(axis=1)
    apart = float(np.diff(values).min() / values[2])
    return ShapePrint(
        scale_mm=float(scale),
        area_ratio=float(areas.sum()),
        moments_ratio=tuple(float(one) for one in values),
        far_ratio=tuple(float(one) for one in far),
        hand_ratio=_third_moment(corners) if apart > CLOSEST_RATIO else 0.0,
    )


def how_far(one: ShapePrint, other: ShapePrint) -> float:
    """Largest difference of two prints as a share of what they tell; size and hand are left out.

    Examples
    --------
    >>> from traywright.geometry import Region, extruded
    >>> made = [shape_print(extruded(Region.rectangle(0, 0, length, 30), 0.0, 20.0)) for length in (40, 40, 42)]
    >>> how_far(*made[:2]), round(how_far(*made[1:]), 3)
    (0.0, 0.031)
    """
    moments = np.asarray(one.moments_ratio) / np.asarray(other.moments_ratio)
    far = (np.asarray(one.far_ratio) - np.asarray(other.far_ratio)) / other.far_ratio[-1]
    # a second moment goes with the square of a length
    return float(
        max(abs(one.area_ratio / other.area_ratio - 1.0), float(np.abs(moments - 1.0).max()) / 2.0, np.abs(far).max())
    )


def is_other_hand(one: ShapePrint, other: ShapePrint) -> bool:
    """True if two prints of one shape show that one solid is the mirror image of the other."""
    least = min(abs(one.hand_ratio), abs(other.hand_ratio))
    return least > HANDED_RATIO and one.hand_ratio * other.hand_ratio < 0.0


def same_shape(one: ShapePrint, other: ShapePrint) -> bool:
    """True if two prints are those of one shape, whatever its size; a mirror image is another shape."""
    return how_far(one, other) <= SAME_RATIO and not is_other_hand(one, other)


def size_ratio(one: ShapePrint, other: ShapePrint) -> float:
    """How many times as large one is as the other, by its lengths."""
    return one.scale_mm / other.scale_mm


def unit_slip(one: ShapePrint, other: ShapePrint) -> str:
    """The unit that one of two files was read in while the other was meant in mm, empty if no unit explains the sizes.

    Examples
    --------
    >>> from traywright.geometry import Region, extruded
    >>> small, large = (shape_print(extruded(Region.rectangle(0, 0, 4 * n, 3 * n), 0.0, n)) for n in (1.0, 25.4))
    >>> same_shape(small, large), unit_slip(small, large), unit_slip(small, small)
    (True, 'inch', '')
    """
    ratio = max(size_ratio(one, other), size_ratio(other, one))
    return next((unit for unit, times in SCALES if abs(ratio / times - 1.0) <= SAME_SIZE_RATIO), "")


@dataclass(frozen=True, slots=True, kw_only=True)
class Earlier:
    """A part of an earlier job with its print."""

    job: str
    part: str
    print: ShapePrint


def known_again(part_id: str, now: ShapePrint, earlier: Sequence[Earlier]) -> tuple[Finding, ...]:
    """What is to be said of a part whose shape an earlier job has: the same, larger, or the other hand of it.

    Parameters
    ----------
    part_id
        The part of this job.
    now
        Its print.
    earlier
        Parts of earlier jobs; the findings keep their order.
    """
    found = []
    for one in earlier:
        if how_far(now, one.print) > SAME_RATIO:
            continue
        times = size_ratio(now, one.print)
        told: dict[str, Any] = {"part": part_id, "other": one.part, "job": one.job}
        if is_other_hand(now, one.print):
            found.append(finding("PART-077", Severity.WARN, (part_id,), **told))
        elif abs(times - 1.0) <= SAME_SIZE_RATIO:
            found.append(finding("PART-075", Severity.NOTE, (part_id,), **told))
        else:
            unit = unit_slip(now, one.print) or "mm"
            found.append(finding("PART-076", Severity.WARN, (part_id,), times=f"{times:.4g}", unit=unit, **told))
    return tuple(found)
