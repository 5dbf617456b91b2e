"""All that is known of a part's file: bodies, mass, poses, shadows, and what must be asked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from traywright.base import Finding
from traywright.catalogue import table
from traywright.geometry import MassProperties, Mesh, mass_properties, shadow
from traywright.parts.alike import group_alike
from traywright.parts.fasteners import bodies_question, body_findings, propose_fasteners
from traywright.parts.pose import turn_to_down
from traywright.parts.question import PartQuestion
from traywright.parts.resting import Direction, Resting, axis_poses, resting_poses
from traywright.parts.shape import ClosedBody, Shape
from traywright.parts.true_volume import Missing, together, true_properties

Areas = tuple[float, float]

MOST_RESTING = 12  # source: ours: the hardest to tip are told, the others counted


@dataclass(frozen=True, slots=True, kw_only=True)
class PoseTold:
    """One way to lie with what it covers.

    ``silhouette_mm2`` is the area of the shadow straight down (what can be looked through is a hole),
    ``outline_mm2`` the same with such holes filled, ``height_mm`` the height of the part as it lies.
    """

    resting: Resting
    silhouette_mm2: float
    outline_mm2: float
    height_mm: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BodyTold:
    """One body with its mass properties at density one and its poses, resting ones first.

    ``left_out`` counts resting poses that are not told, being the easiest to tip.
    """

    name: str
    mesh: Mesh
    properties: MassProperties
    size_mm: tuple[float, float, float]
    poses: tuple[PoseTold, ...]
    left_out: int


def turned_down(mesh: Mesh, down: Direction) -> Mesh:
    """A mesh turned so that a direction points to -z, coordinates rounded so that they repeat.

    Parameters
    ----------
    mesh
        Any mesh.
    down
        Unit direction.
    """
    turn = turn_to_down(np.asarray(down, dtype=np.float64))
    return Mesh(np.round(mesh.points_mm @ turn.T, 6) + 0.0, mesh.triangles)


def _pose(mesh: Mesh, resting: Resting, known: dict[Direction, Areas]) -> PoseTold:
    """A pose with its shadow; seen from below it is the same area as from above."""
    lying = turned_down(mesh, resting.down)
    low, high = lying.bounds_mm
    x, y, z = resting.down
    areas = known.get((-x + 0.0, -y + 0.0, -z + 0.0))
    if areas is None:
        seen = shadow(lying)
        areas = (seen.area_mm2, seen.filled().area_mm2)
    known[resting.down] = areas
    return PoseTold(
        resting=resting,
        silhouette_mm2=areas[0],
        outline_mm2=areas[1],
        height_mm=round(float(high[2] - low[2]), 6),
    )


def poses_of(mesh: Mesh, centre_mm: Direction, chord_mm: float) -> tuple[tuple[PoseTold, ...], int]:
    """The poses of a closed mesh, resting ones first, then the axis ones that do not rest, and how many are left out.

    Parameters
    ----------
    mesh
        Closed mesh.
    centre_mm
        Centre of gravity.
    chord_mm
        How far the mesh may lie inside the true surface.
    """
    points: NDArray[np.float64] = mesh.points_mm
    resting = resting_poses(points, centre_mm, chord_mm=chord_mm)
    told = (*resting[:MOST_RESTING], *axis_poses(points, centre_mm, resting[:MOST_RESTING]))
    known: dict[Direction, Areas] = {}
    return tuple(_pose(mesh, one, known) for one in told), max(0, len(resting) - MOST_RESTING)


def examine_body(name: str, mesh: Mesh, chord_mm: float, missing: Missing | None = None) -> BodyTold:
    """A body with its mass properties, size and poses.

    Parameters
    ----------
    name
        Told with it.
    mesh
        Closed mesh, mm.
    chord_mm
        How far the mesh may lie inside the true surface.
    missing
        What the mesh lacks to the true surface, where that is known.

    Raises
    ------
    ValueError
        If the mesh encloses no volume.
    """
    properties = true_properties(mass_properties(mesh), missing)
    low, high = mesh.bounds_mm
    x_mm, y_mm, z_mm = (float(one) for one in np.round(high - low, 6))
    poses, left_out = poses_of(mesh, properties.centre_mm, chord_mm)
    return BodyTold(
        name=name,
        mesh=mesh,
        properties=properties,
        size_mm=(x_mm, y_mm, z_mm),
        poses=poses,
        left_out=left_out,
    )


def whole_of(bodies: Sequence[ClosedBody]) -> Mesh:
    """All bodies of a file as one mesh, not fused: bodies that touch keep their faces."""
    start, points, triangles = 0, [], []
    for one in bodies:
        points.append(one.mesh.points_mm)
        triangles.append(one.mesh.triangles + start)
        start += len(one.mesh.points_mm)
    return Mesh(np.concatenate(points), np.concatenate(triangles))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BodyGroup:
    """Bodies of one shape: which, and what the first of them is.

    ``members`` are their numbers in the shape, ``names`` what the file calls them: names may stand several times.
    ``likely`` is part or fastener, ``reason`` why it may be a fastener; ``other_hand_of`` the number of the group that
    is its mirror image, None where there is none; ``own_mirror_image`` is True for a shape that is its own mirror
    image, None where that was not looked at.
    """

    body: BodyTold
    closed: ClosedBody
    members: tuple[int, ...]
    names: tuple[str, ...]
    likely: str = "part"
    reason: str = ""
    other_hand_of: int | None = None
    own_mirror_image: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Examined:
    """A file as it was understood: its shape, its bodies by kind, and the whole of it as it lies in the file."""

    shape: Shape
    groups: tuple[BodyGroup, ...]
    whole: BodyTold
    questions: tuple[PartQuestion, ...]
    findings: tuple[Finding, ...]


def _alone(shape: Shape) -> Examined:
    """A file of one body."""
    (only,) = shape.bodies
    body = examine_body(only.name, only.mesh, shape.chord_mm, only.missing)
    group = BodyGroup(body=body, closed=only, members=(0,), names=(only.name,))
    return Examined(shape=shape, groups=(group,), whole=body, questions=shape.questions, findings=shape.findings)


def examine(shape: Shape, part_id: str = "part") -> Examined:
    """All that is known of a file's shape: bodies of one shape together, fasteners proposed for dropping.

    Parameters
    ----------
    shape
        As read, with at least one body.
    part_id
        Named in findings.
    """
    if len(shape.bodies) == 1:
        return _alone(shape)
    meshes = [one.mesh for one in shape.bodies]
    likenesses = group_alike(meshes, [one.name for one in shape.bodies])
    proposed = propose_fasteners(likenesses, meshes, table("fasteners"))
    reasons = {one.group: one.reason for one in proposed}
    asked = bodies_question(likenesses, proposed)
    groups = []
    for number, one in enumerate(likenesses):
        first = shape.bodies[one.first]
        groups.append(
            BodyGroup(
                body=examine_body(first.name, first.mesh, shape.chord_mm, first.missing),
                closed=first,
                members=one.members,
                names=one.names,
                likely="fastener" if number in reasons else "part",
                reason=reasons.get(number, ""),
                other_hand_of=one.other_hand_of,
                own_mirror_image=one.congruent_to_mirror_image,
            )
        )
    missing = together([one.missing for one in shape.bodies])
    return Examined(
        shape=shape,
        groups=tuple(groups),
        whole=examine_body(part_id, whole_of(shape.bodies), shape.chord_mm, missing),
        questions=(*shape.questions, *(() if asked is None else (asked.asked("body"),))),
        findings=(*shape.findings, *body_findings(part_id, likenesses, proposed)),
    )
