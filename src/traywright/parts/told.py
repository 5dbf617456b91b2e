"""Dimensions and results as plain tables: what comes from an enquiry, what goes into a result."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Mapping
from typing import Any

from traywright.base.errors import PartError
from traywright.parts.dimensions import (
    ArcTo,
    Boss,
    Dimensions,
    Disc,
    Hole,
    Level,
    Outline,
    OutlinePoint,
    Plate,
    Step,
    Tube,
    Turned,
)
from traywright.parts.part import Part, Pose
from traywright.parts.shape_print import shape_print

Table = Mapping[str, Any]


def _steps(told: Table) -> Turned:
    return Turned(steps=tuple(Step(**one) for one in told["step"]))


def _hole(told: Table) -> Hole:
    depth_mm = None if told.get("through") else told["depth_mm"]
    return Hole(x_mm=told["x_mm"], y_mm=told["y_mm"], diameter_mm=told["diameter_mm"], depth_mm=depth_mm)


def _boss(told: Table) -> Boss:
    size = told["size"]
    if isinstance(size, Mapping):
        round_mm = size.get("diameter_mm")
        wide = (size["length_mm"], size["width_mm"]) if round_mm is None else (round_mm,)
    else:
        wide = tuple(size) if isinstance(size, list | tuple) else (size,)
    return Boss(
        x_mm=told["x_mm"],
        y_mm=told["y_mm"],
        size_mm=wide,
        height_mm=told["height_mm"],
        on_top=told.get("side", "top") == "top",
    )


def _plate(told: Table) -> Plate:
    return Plate(
        length_mm=told["length_mm"],
        width_mm=told["width_mm"],
        thickness_mm=told["thickness_mm"],
        corner_radius_mm=told.get("corner_radius_mm", 0.0),
        holes=tuple(_hole(one) for one in told.get("hole", ())),
        bosses=tuple(_boss(one) for one in told.get("boss", ())),
    )


def _tube(told: Table) -> Tube:
    return Tube(
        length_mm=told["length_mm"], width_mm=told["width_mm"], height_mm=told["height_mm"], wall_mm=told["wall_mm"]
    )


def _disc(told: Table) -> Disc:
    return Disc(diameter_mm=told["diameter_mm"], thickness_mm=told["thickness_mm"], bore_mm=told.get("bore_mm", 0.0))


def _point(told: Any) -> OutlinePoint:  # noqa: ANN401  # reason: a pair, or a table of an arc
    if isinstance(told, Mapping):
        to_mm, centre_mm = told["to"], told["centre"]
        return ArcTo(
            to_mm=(to_mm[0], to_mm[1]),
            centre_mm=(centre_mm[0], centre_mm[1]),
            counter_clockwise={"ccw": True, "cw": False}[told["way"]],
        )
    return (told[0], told[1])


def _outline(told: Table) -> Outline:
    if told.get("level"):
        return Outline(
            levels=tuple(
                Level(
                    points_mm=tuple(_point(each) for each in one["points_mm"]),
                    bottom_mm=one["from_mm"],
                    top_mm=one["to_mm"],
                )
                for one in told["level"]
            )
        )
    points = tuple(_point(one) for one in told["points_mm"])
    return Outline(levels=(Level(points_mm=points, bottom_mm=0.0, top_mm=told["thickness_mm"]),))


_KINDS: dict[str, tuple[Callable[[Table], Dimensions], tuple[str, ...]]] = {
    "turned": (_steps, ("step",)),
    "plate": (_plate, ("length_mm", "width_mm", "thickness_mm", "corner_radius_mm", "hole")),
    "block": (_plate, ("length_mm", "width_mm", "thickness_mm", "corner_radius_mm", "hole", "boss")),
    "tube": (_tube, ("length_mm", "width_mm", "height_mm", "wall_mm")),
    "disc": (_disc, ("diameter_mm", "thickness_mm", "bore_mm")),
    "outline": (_outline, ("points_mm", "thickness_mm", "level")),
}


def read_dimensions(part_id: str, told: Table) -> Dimensions:
    """The dimensions of a part from the keys of its enquiry.

    Parameters
    ----------
    part_id
        Named in errors.
    told
        ``kind`` and the keys of that kind as the enquiry writes them; ``dataclasses.asdict`` of the enquiry's noun
        will do.

    Raises
    ------
    PartError
        PART-018 for a kind that is not known, PART-019 for a key that is missing, unknown or of another form.

    Examples
    --------
    >>> read_dimensions("a", {"kind": "disc", "diameter_mm": 40.0, "thickness_mm": 5.0})
    Disc(diameter_mm=40.0, thickness_mm=5.0, bore_mm=0.0)
    """
    kind = str(told.get("kind", ""))
    if kind not in _KINDS:
        near = difflib.get_close_matches(kind, _KINDS, 1, 0.0)
        raise PartError("PART-018", part=part_id, kind=kind, near=near[0])
    make, known = _KINDS[kind]
    strange = sorted(set(told) - {"kind", *known})
    if strange:
        raise PartError("PART-019", part=part_id, key=strange[0], known=", ".join(known))
    try:
        return make(told)
    except (KeyError, TypeError, IndexError) as fault:
        raise PartError("PART-019", part=part_id, key=str(fault), known=", ".join(known)) from fault


def part_record(part: Part, pose: Pose) -> dict[str, Any]:
    """What a result keeps of a part: how it was read, its size and mass, and how it lies.

    Parameters
    ----------
    part
        The part.
    pose
        How it lies.

    Returns
    -------
    dict
        JSON values; lengths in mm to 0.0001, volume in mm³ to 0.01, mass in kg to 0.000001. ``mass`` is the ref or
        path under which the mass is found.
    """
    return {
        "id": part.id,
        "name": part.name,
        "revision": part.revision,
        "sha256": part.sha256,
        "shape": shape_print(part.solid).text,
        "unit_read": part.unit_read,
        "watertight": part.watertight,
        "triangles": len(part.solid.triangles),
        "chord_mm": round(part.chord_mm, 4),
        "tolerance_mm": round(part.tolerance_mm, 4),
        "volume_mm3": round(part.volume_mm3, 2),
        "mass": part.mass.path,
        "mass_kg": round(part.mass_kg, 6),
        "size_mm": [round(one, 4) for one in part.size_mm],
        "centre_of_gravity_mm": [round(one, 4) + 0.0 for one in part.centre_of_gravity_mm],
        "static_sensitive": part.static_sensitive,
        "mends": list(part.mends),
        "pose": {
            "index": pose.index,
            "down": [round(one, 6) + 0.0 for one in pose.down],
            "size_mm": [round(one, 4) for one in pose.size_mm],
            "centre_of_gravity_mm": [round(one, 4) + 0.0 for one in pose.centre_of_gravity_mm],
        },
    }
