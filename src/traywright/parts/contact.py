"""The contact map: the part's surface cut along the limits of its contacts, each piece with its strictest rule."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray

from traywright.base import Finding, Severity, finding
from traywright.base.errors import PartError
from traywright.base.tolerance import SAME_MM
from traywright.geometry import Mesh, Region, shadow, split_by_plane, split_by_region
from traywright.parts.face_match import place_faces
from traywright.parts.faces import FACE_MATCH_MM, ROUND, Face, edge_pairs, normals_of
from traywright.parts.part import ContactRule, Rule, Surface
from traywright.parts.where import Direction, Where, read_where

FACING_DEG = 15.0  # source: ours: a bevel of 30 or 45 degrees does not face the way its neighbour does
RESOLVED_MM = 1.5  # source: ours: triangles of curved faces are this small where a border passes
UNCOVERED = -1


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Skin:
    """A closed mesh with the faces its triangles belong to: as the file has them, and joined where they are one."""

    mesh: Mesh
    faces: NDArray[np.int32]
    fitted: tuple[Face, ...]
    joined: NDArray[np.int32]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Pieces:
    """Pieces of the surface on their way: the triangle of the skin each comes from, and what covers it."""

    corners: NDArray[np.float64]
    sources: NDArray[np.int64]
    rules: NDArray[np.int8]
    carries: NDArray[np.bool_]
    must_hold: NDArray[np.bool_]

    def of(self, corners: NDArray[np.float64], picked: NDArray[np.int64]) -> _Pieces:
        """The same marks on other corners."""
        return _Pieces(
            corners=corners,
            sources=self.sources[picked],
            rules=self.rules[picked],
            carries=self.carries[picked],
            must_hold=self.must_hold[picked],
        )

    def picked(self, which: NDArray[np.bool_]) -> _Pieces:
        """Some of the pieces."""
        numbers = np.flatnonzero(which)
        return self.of(self.corners[numbers], numbers)

    def covered(self, contact: ContactRule) -> _Pieces:
        """The pieces after one more contact covers them: the strictest rule wins."""
        return _Pieces(
            corners=self.corners,
            sources=self.sources,
            rules=np.maximum(self.rules, np.int8(contact.rule)),
            carries=self.carries & contact.load,
            must_hold=self.must_hold | contact.must_hold,
        )


def _together(several: Sequence[_Pieces]) -> _Pieces:
    return _Pieces(
        corners=np.concatenate([one.corners for one in several]),
        sources=np.concatenate([one.sources for one in several]),
        rules=np.concatenate([one.rules for one in several]),
        carries=np.concatenate([one.carries for one in several]),
        must_hold=np.concatenate([one.must_hold for one in several]),
    )


def frame_along(view: Direction) -> NDArray[np.float64]:
    """Two axes of the plane square to a direction and the direction itself, as rows of a right-handed turn."""
    normal = np.asarray(view, dtype=np.float64)
    side = np.eye(3)[(int(np.argmax(np.abs(normal))) + 1) % 3]
    first = side - (side @ normal) * normal
    first = first / np.linalg.norm(first)
    return np.array([first, np.cross(normal, first), normal])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Met:
    """Triangles that a contact means by their faces, those it may mean and that were not placed, and findings."""

    meets: NDArray[np.bool_]
    doubtful: NDArray[np.bool_]
    findings: tuple[Finding, ...]


def _of_kind(where: Where, fitted: tuple[Face, ...]) -> NDArray[np.bool_]:
    """Faces of the kind, diameter and side asked for."""
    kinds = np.array([not where.surface or one.kind == where.surface for one in fitted])
    if where.diameter_mm is not None:
        wide = np.array([one.diameter_mm for one in fitted])
        kinds &= np.abs(wide - where.diameter_mm) <= FACE_MATCH_MM
    if where.inside is not None:
        kinds &= np.array([one.kind in ROUND and one.inside is where.inside for one in fitted])
    return kinds


def _meets_faces(part_id: str, where: Where, skin: Skin, rule: Rule) -> _Met:
    """Triangles of the skin whose face is of the kind, diameter, direction and number asked for."""
    kinds = _of_kind(where, skin.fitted)
    named, doubtful = np.ones(len(kinds), dtype=bool), np.zeros(len(kinds), dtype=bool)
    findings: tuple[Finding, ...] = ()
    if where.faces:
        strict = rule > Rule.ALLOWED
        placed = place_faces(part_id, skin.mesh, skin.fitted, where.faces, strict=strict)
        numbers, findings = np.arange(len(kinds)), placed.findings
        doubtful = np.isin(numbers, placed.doubtful)
        named = np.isin(numbers, placed.numbers) | (doubtful & strict)
    meets: NDArray[np.bool_] = (kinds & named)[skin.faces]
    if where.facing:
        normals, _ = normals_of(skin.mesh.corners_mm)
        least = math.cos(math.radians(FACING_DEG))
        meets = meets & np.any([normals @ np.asarray(one) >= least for one in where.facing], axis=0)
    return _Met(meets=meets, doubtful=doubtful[skin.faces], findings=findings)


def _between(pieces: _Pieces, axis: Direction, low_mm: float, high_mm: float) -> tuple[_Pieces, list[_Pieces]]:
    """Pieces between two planes, and the others."""
    others = []
    for normal, at_mm in ((np.asarray(axis), high_mm), (-np.asarray(axis), -low_mm)):
        inner, inner_of, outer, outer_of = split_by_plane(pieces.corners, normal, at_mm)
        others.append(pieces.of(outer, outer_of))
        pieces = pieces.of(inner, inner_of)
    return pieces, others


def _near_edge(pieces: _Pieces, skin: Skin, view: Direction, within_mm: float) -> tuple[_Pieces, list[_Pieces]]:
    """Pieces within a distance of the part's outer outline seen along a direction, and the others."""
    frame = frame_along(view)
    outline = shadow(Mesh(skin.mesh.points_mm @ frame.T, skin.mesh.triangles)).filled()
    inner, inner_of, outer, outer_of = split_by_region(pieces.corners, outline.grown(-within_mm), frame)
    return pieces.of(outer, outer_of), [pieces.of(inner, inner_of)]


def _flat_outline(corners: NDArray[np.float64], frame: NDArray[np.float64]) -> Region:
    """Outline of the triangles of a plane face in its own plane."""
    flat = (corners @ frame.T)[:, [0, 1, 2, 0], :2]
    return Region(shapely.union_all(shapely.polygons(flat)))


def _halved(pieces: _Pieces) -> _Pieces:
    """Pieces halved across their longest side."""
    sides = np.linalg.norm(pieces.corners - np.roll(pieces.corners, -1, axis=1), axis=2)
    turn = (np.argmax(sides, axis=1)[:, None] + np.arange(3)[None, :]) % 3
    points = pieces.corners[np.arange(len(turn))[:, None], turn]
    middle = (points[:, 0] + points[:, 1]) / 2.0
    halves = np.concatenate(
        [
            np.stack([points[:, 0], middle, points[:, 2]], axis=1),
            np.stack([middle, points[:, 1], points[:, 2]], axis=1),
        ]
    )
    return pieces.of(halves, np.tile(np.arange(len(points)), 2))


def _edge_points(skin: Skin, number: int) -> NDArray[np.float64]:
    """Points along the edge of a face, a tenth of a millimetre apart at most in number."""
    pairs = edge_pairs(skin.mesh)
    here = skin.joined[pairs[:, :2]]
    rim = pairs[(here[:, 0] != here[:, 1]) & (here == number).any(axis=1)][:, 2:]
    start, end = skin.mesh.points_mm[rim[:, 0]], skin.mesh.points_mm[rim[:, 1]]
    count = np.maximum(1, np.ceil(np.linalg.norm(end - start, axis=1) / FACE_MATCH_MM)).astype(np.int64)
    which = np.repeat(np.arange(len(rim)), count)
    step = np.arange(len(which)) - np.repeat(np.cumsum(count) - count, count)
    share = (step / count[which])[:, None]
    return np.concatenate([start[which] * (1.0 - share) + end[which] * share, end])


def _curved_border(pieces: _Pieces, skin: Skin, within_mm: float, rule: Rule) -> tuple[_Pieces, list[_Pieces]]:
    """Pieces of one curved face near its edge, and the others, small triangles judged towards the stricter side."""
    from scipy.spatial import cKDTree  # noqa: PLC0415  # reason: waits until a curved face has a border

    rim = _edge_points(skin, int(skin.joined[pieces.sources[0]]))
    if not len(rim):
        return pieces.picked(np.zeros(len(pieces.corners), dtype=bool)), [pieces]
    tree, near, others = cKDTree(rim), [], []
    while len(pieces.corners):
        longest = np.linalg.norm(pieces.corners - np.roll(pieces.corners, -1, axis=1), axis=2).max(axis=1)
        far = tree.query(pieces.corners.reshape(-1, 3))[0].reshape(-1, 3)
        # no spot of a triangle is further from its nearest corner than its longest side over the root of three
        slack = longest / math.sqrt(3.0)
        inside, outside = far.max(axis=1) + slack <= within_mm, far.min(axis=1) - slack > within_mm
        small = (longest <= RESOLVED_MM) & ~inside & ~outside
        judged = (far <= within_mm).all(axis=1) if rule is Rule.ALLOWED else (far <= within_mm).any(axis=1)
        near.append(pieces.picked(inside | (small & judged)))
        others.append(pieces.picked(outside | (small & ~judged)))
        pieces = _halved(pieces.picked(~inside & ~outside & ~small))
    return _together(near), others


def _near_border(pieces: _Pieces, skin: Skin, within_mm: float, rule: Rule) -> tuple[_Pieces, list[_Pieces]]:
    """Pieces within a distance of the edge of their own face, and the others."""
    near, others = [], []
    normals, _ = normals_of(skin.mesh.corners_mm)
    owner = skin.joined[pieces.sources]
    for number in np.unique(owner).tolist():
        own = pieces.picked(owner == number)
        whole = np.flatnonzero(skin.joined == number)
        if skin.fitted[int(skin.faces[whole[0]])].kind == "plane":
            x, y, z = normals[whole].sum(axis=0) / np.linalg.norm(normals[whole].sum(axis=0))
            frame = frame_along((float(x), float(y), float(z)))
            outline = _flat_outline(skin.mesh.corners_mm[whole], frame)
            inner, inner_of, outer, outer_of = split_by_region(own.corners, outline.grown(-within_mm), frame)
            near.append(own.of(outer, outer_of))
            others.append(own.of(inner, inner_of))
        else:
            covered, rest = _curved_border(own, skin, within_mm, rule)
            near.append(covered)
            others += rest
    return (_together(near) if near else pieces), others


def _covered(
    part_id: str, pieces: _Pieces, contact: ContactRule, skin: Skin
) -> tuple[_Pieces, bool, tuple[Finding, ...]]:
    """All pieces after one contact, whether it covers anything, and what was noticed of the faces it names."""
    where = read_where(part_id, contact)
    met = _meets_faces(part_id, where, skin, contact.rule)
    meets = met.meets[pieces.sources]
    if not contact.load:
        pieces = replace(pieces, carries=pieces.carries & ~met.doubtful[pieces.sources])
    others, inside = [pieces.picked(~meets)], pieces.picked(meets)
    if where.band_mm:
        inside, out = _between(inside, where.along, where.band_mm[0], where.band_mm[1])
        others += out
    if where.box_mm:
        for axis, low_mm, high_mm in zip(("x", "y", "z"), *where.box_mm, strict=True):
            inside, out = _between(inside, read_axis(axis), low_mm, high_mm)
            others += out
    if where.edge_mm is not None:
        inside, out = _near_edge(inside, skin, where.view, where.edge_mm)
        others += out
    if where.border_mm is not None:
        inside, out = _near_border(inside, skin, where.border_mm, contact.rule)
        others += out
    return _together([*others, inside.covered(contact)]), len(inside.corners) > 0, met.findings


def read_axis(name: str) -> Direction:
    """Unit vector of an axis by its letter."""
    return {"x": (1.0, 0.0, 0.0), "y": (0.0, 1.0, 0.0), "z": (0.0, 0.0, 1.0)}[name]


def _uncut(skin: Skin) -> _Pieces:
    """The whole surface, covered by no contact."""
    count = len(skin.mesh.triangles)
    return _Pieces(
        corners=skin.mesh.corners_mm,
        sources=np.arange(count),
        rules=np.full(count, UNCOVERED, dtype=np.int8),
        carries=np.ones(count, dtype=bool),
        must_hold=np.zeros(count, dtype=bool),
    )


def pieces_at(
    part_id: str,
    skin: Skin,
    contacts: tuple[ContactRule, ...],
    default_rule: Rule,
    where: tuple[tuple[str, object], ...],
) -> tuple[NDArray[np.float64], NDArray[np.int8], tuple[Finding, ...]]:
    """Pieces of the surface at one place, shape (n, 3, 3), the rule of each, and what was noticed of named faces.

    Parameters
    ----------
    part_id
        Named in errors.
    skin
        Closed mesh with its faces, mm, frame of the file.
    contacts, default_rule
        The contact map.
    where
        The place, with the keys of a contact.

    Raises
    ------
    PartError
        PART-011, PART-012 or PART-013 for a ``where`` that cannot be read.
    """
    pieces = _uncut(skin)
    for contact in contacts:
        pieces, _, _ = _covered(part_id, pieces, contact, skin)
    rules = np.where(pieces.rules == UNCOVERED, np.int8(default_rule), pieces.rules).astype(np.int8)
    pieces = replace(pieces, rules=rules, must_hold=np.zeros(len(rules), dtype=bool))
    place = ContactRule(rule=Rule.ALLOWED, where=where, must_hold=True)
    pieces, _, noticed = _covered(part_id, pieces, place, skin)
    return pieces.corners[pieces.must_hold], pieces.rules[pieces.must_hold], noticed


def surface_with_rules(
    part_id: str, skin: Skin, contacts: tuple[ContactRule, ...], default_rule: Rule
) -> tuple[Surface, tuple[Finding, ...]]:
    """The part's surface, each piece with the strictest rule of the contacts that cover it.

    Parameters
    ----------
    part_id
        Named in findings and errors.
    skin
        Closed mesh with its faces, mm, frame of the file.
    contacts
        The contact map.
    default_rule
        Holds where no contact covers the spot.

    Returns
    -------
    tuple
        The surface; a finding for each contact that covers no spot, and for each named face that is not where it
        was (see ``place_faces``).

    Raises
    ------
    PartError
        PART-011, PART-012 or PART-013 for a ``where`` that cannot be read, PART-014 if a spot must hold and may not
        (where a named face was not placed it loses the mark instead, since the findings stop the job).

    Notes
    -----
    Bands, boxes, edges and borders of plane faces are cut exactly. Borders of curved faces are resolved to 1.5 mm,
    towards the stricter side.
    """
    pieces = _uncut(skin)
    findings: list[Finding] = []
    for number, contact in enumerate(contacts):
        pieces, found, noticed = _covered(part_id, pieces, contact, skin)
        findings += noticed
        if not found and not noticed:
            findings.append(
                finding("PART-021", Severity.WARN, (part_id,), part=part_id, number=number + 1, why=contact.why)
            )
    rules = np.where(pieces.rules == UNCOVERED, np.int8(default_rule), pieces.rules).astype(np.int8)
    _, areas = normals_of(pieces.corners)
    clash = pieces.must_hold & ((rules > Rule.ALLOWED) | ~pieces.carries) & (areas > SAME_MM)
    if clash.any() and not any(one.severity is Severity.STOP for one in findings):
        raise PartError("PART-014", part=part_id)
    order = np.argsort(pieces.sources, kind="stable")
    corners = pieces.corners[order]
    surface = Surface(
        mesh=Mesh(corners.reshape(-1, 3), np.arange(3 * len(corners)).reshape(-1, 3)),
        rules=rules[order],
        faces=skin.faces[pieces.sources[order]].astype(np.int32),
        carries=pieces.carries[order],
        must_hold=(pieces.must_hold & (rules == Rule.ALLOWED))[order],
    )
    return surface, tuple(findings)
