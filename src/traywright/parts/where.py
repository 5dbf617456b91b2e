"""The ``where`` of a contact, read strictly: which faces, which cuts."""

from __future__ import annotations

import difflib
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from traywright.base.errors import PartError
from traywright.parts.part import ContactRule

Direction = tuple[float, float, float]

AXES: dict[str, Direction] = {
    "x": (1.0, 0.0, 0.0),
    "y": (0.0, 1.0, 0.0),
    "z": (0.0, 0.0, 1.0),
    "+x": (1.0, 0.0, 0.0),
    "+y": (0.0, 1.0, 0.0),
    "+z": (0.0, 0.0, 1.0),
    "-x": (-1.0, 0.0, 0.0),
    "-y": (0.0, -1.0, 0.0),
    "-z": (0.0, 0.0, -1.0),
}
SURFACES = ("plane", "cylinder", "cone", "sphere", "torus", "other")
KEYS = (
    "along",
    "band_mm",
    "border_mm",
    "box_mm",
    "diameter_mm",
    "edge_mm",
    "face_ids",
    "facing",
    "inside",
    "normal",
    "surface",
)
NAMED_KEYS = ("area_mm2", "axis", "centre_mm", "diameter_mm", "id", "kind")
NEEDED_KEYS = frozenset({"centre_mm", "id", "kind"})


@dataclass(frozen=True, slots=True, kw_only=True)
class FaceNamed:
    """A face named by its number in the file, with kind and middle so that a new export is noticed.

    Diameter, area and axis help to tell it from its neighbours; None or empty where the enquiry does not tell them.
    """

    number: int
    kind: str
    centre_mm: tuple[float, ...]
    diameter_mm: float | None = None
    area_mm2: float | None = None
    axis: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Where:
    """A place on a part's surface, every condition to be met; a condition not asked for is empty or None.

    ``facing`` are the directions of which a spot's normal must meet one; ``view`` is the direction along which the
    outline of ``edge_mm`` is seen; ``inside`` True asks for hollow rounds (bores), False for outer ones (shafts).
    """

    band_mm: tuple[float, ...]
    along: Direction
    box_mm: tuple[tuple[float, ...], ...]
    edge_mm: float | None
    border_mm: float | None
    view: Direction
    surface: str
    diameter_mm: float | None
    facing: tuple[Direction, ...]
    faces: tuple[FaceNamed, ...]
    inside: bool | None = None


def _refuse(part_id: str, key: str, value: object) -> PartError:
    return PartError("PART-012", part=part_id, key=key, value=str(value))


def _number(part_id: str, key: str, value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise _refuse(part_id, key, value)
    return float(value)


def _row(part_id: str, key: str, value: object, count: int) -> tuple[float, ...]:
    if isinstance(value, str) or not isinstance(value, Sequence) or len(value) != count:
        raise _refuse(part_id, key, value)
    return tuple(_number(part_id, key, one) for one in value)


def _direction(part_id: str, key: str, value: object) -> Direction:
    if isinstance(value, str):
        if value not in AXES:
            raise _refuse(part_id, key, value)
        return AXES[value]
    x, y, z = _row(part_id, key, value, 3)
    length = math.sqrt(x * x + y * y + z * z)
    if not length > 0.0:
        raise _refuse(part_id, key, value)
    return (x / length, y / length, z / length)


def _facing(part_id: str, key: str, value: object) -> tuple[Direction, ...]:
    """Directions of a facing: an axis without a sign means both ways."""
    told = _direction(part_id, key, value)
    if isinstance(value, str) and value in {"x", "y", "z"}:
        return (told, AXES["-" + value])
    return (told,)


def _box(part_id: str, value: object) -> tuple[tuple[float, ...], ...]:
    if isinstance(value, str) or not isinstance(value, Sequence) or len(value) != 2:
        raise _refuse(part_id, "box_mm", value)
    low, high = (_row(part_id, "box_mm", one, 3) for one in value)
    if any(least > most for least, most in zip(low, high, strict=True)):
        raise _refuse(part_id, "box_mm", value)
    return (low, high)


def _positive(part_id: str, told: Mapping[str, object], key: str) -> float | None:
    if key not in told:
        return None
    number = _number(part_id, key, told[key])
    if not number > 0.0:
        raise _refuse(part_id, key, number)
    return number


def _fields_of(one: object) -> dict[str, object]:
    """The fields of a noun of another room that names a face."""
    return {key: getattr(one, key) for key in NAMED_KEYS if getattr(one, key, None) is not None}


def _face(part_id: str, table: Mapping[str, object], told: object) -> FaceNamed:
    """One named face, its optional keys checked where they are told.

    Raises
    ------
    PartError
        PART-012 for a key or value that cannot be meant, PART-013 for a kind that no face can have.
    """
    number, kind = table.get("id"), str(table.get("kind"))
    if not set(table) >= NEEDED_KEYS or set(table) - set(NAMED_KEYS) or not isinstance(number, int):
        raise _refuse(part_id, "face_ids", told)
    if kind not in SURFACES:
        raise PartError("PART-013", part=part_id, number=number, kind=kind)
    return FaceNamed(
        number=number,
        kind=kind,
        centre_mm=_row(part_id, "centre_mm", table["centre_mm"], 3),
        diameter_mm=_positive(part_id, table, "diameter_mm"),
        area_mm2=_positive(part_id, table, "area_mm2"),
        axis=_direction(part_id, "axis", table["axis"]) if "axis" in table else (),
    )


def _faces(part_id: str, value: object) -> tuple[FaceNamed, ...]:
    if isinstance(value, str) or not isinstance(value, Sequence):
        raise _refuse(part_id, "face_ids", value)
    tables = [dict(one) if isinstance(one, Mapping | tuple) else _fields_of(one) for one in value]
    return tuple(_face(part_id, table, one) for table, one in zip(tables, value, strict=True))


def _flag(part_id: str, told: Mapping[str, object]) -> bool | None:
    if "inside" not in told:
        return None
    if not isinstance(told["inside"], bool):
        raise _refuse(part_id, "inside", told["inside"])
    return told["inside"]


def _band(part_id: str, told: Mapping[str, object]) -> tuple[float, ...]:
    if "band_mm" not in told:
        return ()
    low, high = _row(part_id, "band_mm", told["band_mm"], 2)
    if not low < high or "along" not in told:
        raise _refuse(part_id, "band_mm", told["band_mm"])
    return (low, high)


def read_where(part_id: str, contact: ContactRule) -> Where:
    """The place a contact speaks of, checked key by key.

    Parameters
    ----------
    part_id
        Named in errors.
    contact
        One line of the contact map.

    Raises
    ------
    PartError
        PART-011 for a key that is not known, PART-012 for a value that cannot be meant, PART-013 for a face of a kind
        that is none.

    Examples
    --------
    >>> from traywright.parts.part import Rule
    >>> read_where("p", ContactRule(rule=Rule.ALLOWED, where=(("facing", "z"),))).facing
    ((0.0, 0.0, 1.0), (0.0, 0.0, -1.0))
    """
    told = dict(contact.where)
    for key in sorted(told):
        if key not in KEYS:
            near = difflib.get_close_matches(key, KEYS, 1, 0.0)
            raise PartError("PART-011", part=part_id, key=key, near=near[0])
    surface = str(told.get("surface", ""))
    if surface and surface not in SURFACES:
        raise _refuse(part_id, "surface", surface)
    key = "facing" if "facing" in told else "normal"
    seen = "edge_mm" in told and "facing" not in told
    return Where(
        band_mm=_band(part_id, told),
        along=_direction(part_id, "along", told.get("along", "x")),
        box_mm=_box(part_id, told["box_mm"]) if "box_mm" in told else (),
        edge_mm=_positive(part_id, told, "edge_mm"),
        border_mm=_positive(part_id, told, "border_mm"),
        view=_direction(part_id, "normal", told.get("normal", "z")),
        surface=surface,
        diameter_mm=_positive(part_id, told, "diameter_mm"),
        facing=() if seen or key not in told else _facing(part_id, key, told[key]),
        faces=_faces(part_id, told["face_ids"]) if "face_ids" in told else (),
        inside=_flag(part_id, told),
    )
