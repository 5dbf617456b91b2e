"""What was found in a part's file, as JSON values."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any

from traywright.base import Finding, message, text
from traywright.base.units import MM_PER_M
from traywright.geometry import Region
from traywright.job.part_mass import PartMass
from traywright.job.plain import plain_finding
from traywright.parts import (
    BodyGroup,
    BodyTold,
    Examined,
    FaceTold,
    Features,
    LayerTold,
    OpeningAt,
    PartQuestion,
    Pose,
    PoseTold,
    Shape,
    Undercut,
    Weak,
    opening_by_depth,
)

Plain = dict[str, Any]
Hollows = Sequence[Sequence[Undercut]]
DIGITS = 6
NO_FEATURES = Features()


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What more is known of a group's first body: faces and weak features, hollows pose by pose, its print in words."""

    features: Features = NO_FEATURES
    hollows: tuple[tuple[Undercut, ...], ...] = ()
    shape: str = ""


def _round(value: float) -> float:
    return round(value, DIGITS) + 0.0


def _mass_kg(volume_mm3: float, density_kg_m3: float | None) -> float | None:
    return None if density_kg_m3 is None else _round(density_kg_m3 * volume_mm3 / MM_PER_M**3)


def plain_pose(pose: PoseTold, number: int, mass_kg: float | None, hollows: Sequence[Undercut] = ()) -> Plain:
    """One pose; its tip energy is null where the mass is not known or no other pose is.

    Places of hollows are in the file's frame turned so that ``down`` points to -z.
    """
    resting = pose.resting
    tips = math.isfinite(resting.rise_mm)
    return {
        "number": number,
        "down": list(resting.down),
        "rests": resting.rests,
        "rolls": resting.rolls,
        "tip_energy_j": _round(resting.tip_energy_j(mass_kg)) if tips and mass_kg is not None else None,
        "tip_rise_mm": _round(resting.rise_mm) if tips else None,
        "tip_deg": resting.tip_deg,
        "centre_height_mm": resting.height_mm,
        "height_mm": pose.height_mm,
        "silhouette_mm2": _round(pose.silhouette_mm2),
        "outline_mm2": _round(pose.outline_mm2),
        "undercuts": [_values(one) for one in hollows],
    }


def plain_lying(pose: Pose) -> Plain:
    """A pose with what foam must leave free at each depth, heights from the part's lowest point."""
    opening = opening_by_depth(pose)
    return {
        "number": pose.index,
        "down": list(pose.down),
        "turn": [list(row) for row in pose.turn],
        "shift_mm": list(pose.shift_mm),
        "size_mm": list(pose.size_mm),
        "centre_of_gravity_mm": [_round(one) for one in pose.centre_of_gravity_mm],
        "opening": [_values(one) for one in opening],
    }


def _body(body: BodyTold, density_kg_m3: float | None, hollows: Hollows = ()) -> Plain:
    mass_kg = _mass_kg(body.properties.volume_mm3, density_kg_m3)
    under = [*hollows, *([()] * (len(body.poses) - len(hollows)))]
    return {
        "name": body.name,
        "volume_mm3": _round(body.properties.volume_mm3),
        "mass_kg": mass_kg,
        "centre_of_gravity_mm": [_round(one) for one in body.properties.centre_mm],
        "size_mm": list(body.size_mm),
        "poses": [plain_pose(one, number, mass_kg, under[number]) for number, one in enumerate(body.poses)],
        "poses_left_out": body.left_out,
    }


def _group(group: BodyGroup, known: Known, density_kg_m3: float | None) -> Plain:
    return {
        **_body(group.body, density_kg_m3, known.hollows),
        "count": len(group.names),
        "names": list(group.names),
        "likely": group.likely,
        "why": group.reason,
        "own_mirror_image": group.own_mirror_image,
        "other_hand_of": group.other_hand_of,
        "shape": known.shape,
        "watertight": True,
        "mends": list(group.closed.mends),
        "deviation_mm": _round(group.closed.deviation_mm),
        "faces": [_face(one) for one in known.features.faces],
        "weak": [_values(one) for one in known.features.weak],
    }


def _values(noun: FaceTold | Weak | LayerTold | Undercut | OpeningAt) -> Plain:
    """A noun of numbers and words as JSON values."""
    return {key: list(one) if isinstance(one, tuple) else one for key, one in asdict(noun).items()}


def _face(face: FaceTold) -> Plain:
    """A face under the keys by which a contact of the enquiry names it."""
    told = _values(face)
    return {"id": told.pop("number"), **told}


def plain_told(one: Finding) -> Plain:
    """A finding with its sentences beside its code."""
    said = message(one.code, dict(one.parameters), one.fix)
    return {**plain_finding(one, {}), "what": said.what, "why": said.why, "todo": said.fix}


def plain_question(asked: PartQuestion) -> Plain:
    """A question with its readings and the one that was taken."""
    return {
        "field": asked.field,
        "asks": text(asked.group, asked.asks, **dict(asked.parameters)),
        "readings": [{"answer": answer, "means": means} for answer, means in asked.readings],
        "taken": asked.taken,
    }


def _outline(name: str, plan: Region) -> Plain:
    """An outline without a thickness: what can be told of it from above and below, under the keys of ``_body``."""
    x_mm, y_mm = plan.centre_mm
    wide_mm, deep_mm = plan.size_mm
    poses = [
        {
            "number": number,
            "down": [0.0, 0.0, down],
            "rests": True,
            "rolls": False,
            "tip_energy_j": None,
            "tip_rise_mm": None,
            "tip_deg": None,
            "centre_height_mm": None,
            "height_mm": None,
            "silhouette_mm2": _round(plan.area_mm2),
            "outline_mm2": _round(plan.filled().area_mm2),
            "undercuts": [],
        }
        for number, down in enumerate((-1.0, 1.0))
    ]
    return {
        "name": name,
        "volume_mm3": None,
        "mass_kg": None,
        "centre_of_gravity_mm": [_round(x_mm), _round(y_mm), None],
        "size_mm": [_round(wide_mm), _round(deep_mm), None],
        "poses": poses,
        "poses_left_out": 0,
    }


def _lone_outline(whole: Plain) -> Plain:
    """An outline as the one body of its file, under the keys of ``_group``."""
    return {
        **whole,
        "count": 1,
        "names": [whole["name"]],
        "likely": "part",
        "why": "",
        "own_mirror_image": None,
        "other_hand_of": None,
        "shape": "",
        "watertight": False,
        "mends": [],
        "deviation_mm": 0.0,
        "faces": [],
        "weak": [],
    }


def _rings(plan: Region | None) -> list[list[list[float]]]:
    """Outline and holes of a plan, point by point."""
    if plan is None:
        return []
    rings = [ring for shell, holes in plan.rings() for ring in (shell, *holes)]
    return [[[_round(x), _round(y)] for x, y in ring] for ring in rings]


def _file(shape: Shape) -> Plain:
    """What holds of the file as a whole."""
    return {
        "unit": shape.unit,
        "unit_in_file": shape.unit_told,
        "kind": shape.kind,
        "sha256": shape.sha256,
        "chord_mm": _round(shape.chord_mm),
        "layers": [_values(one) for one in shape.layers],
        "plan_mm": _rings(shape.plan),
        "plus_minus_mm": _round(shape.plus_minus_mm),
    }


def plain_outline(name: str, shape: Shape) -> Plain:
    """A drawing without a thickness as JSON values.

    Parameters
    ----------
    name
        Of the part.
    shape
        A drawing's shape, with its plan and no bodies.
    """
    whole = _outline(name, shape.plan or Region.empty())
    return {
        **_file(shape),
        "bodies": [_lone_outline(whole)],
        "whole": whole,
        "kept": None,
        "questions": [plain_question(one) for one in shape.questions],
        "findings": [plain_told(one) for one in shape.findings],
    }


def _kept(mass: PartMass) -> Plain | None:
    """How the bodies balance that are likely parts, as they lie in the file; null where no mass is known."""
    if mass.balance is None:
        return None
    told = mass.balance
    return {
        "mass_kg": _round(told.mass_kg),
        "centre_of_gravity_mm": [_round(one) for one in told.centre_of_gravity_mm],
        "inertia_kg_mm2": [[_round(one) for one in row] for row in told.inertia_kg_mm2],
        "principal_kg_mm2": [_round(one) for one in told.principal_kg_mm2],
        "axes": [[_round(one) for one in row] for row in told.axes],
        "equal_density": told.equal_density,
    }


def plain_examined(told: Examined, known: Sequence[Known], mass: PartMass) -> Plain:
    """What was found in a file, as JSON values.

    Parameters
    ----------
    told
        What was found.
    known
        What more is known of each group's first body.
    mass
        What the bodies weigh.
    """
    noticed = (*told.findings, *mass.findings, *(one for each in known for one in each.features.findings))
    return {
        **_file(told.shape),
        "bodies": [_group(one, each, mass.density_kg_m3) for one, each in zip(told.groups, known, strict=True)],
        "whole": _body(told.whole, mass.density_kg_m3),
        "kept": _kept(mass),
        "questions": [plain_question(one) for one in (*told.questions, *mass.questions)],
        "findings": [plain_told(one) for one in noticed],
    }
