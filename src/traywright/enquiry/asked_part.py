"""A part as the customer tells of it."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, WithJsonSchema

from traywright.enquiry.border import Axis, Bare, Facing, Flag, Name, Noun, Number, Pair, Said, Text, Triple, Whole
from traywright.enquiry.dimensions import Dimensions


@dataclass(frozen=True, slots=True, kw_only=True)
class FaceAt(Noun):
    """A face by its number in the file, held fast by its kind and centre (mm), since numbers change at each export.

    ``diameter_mm`` tells it from another round face with the same centre.
    """

    id: Whole
    kind: Said
    centre_mm: Triple
    diameter_mm: Bare | None = None

    def told(self) -> tuple[tuple[str, object], ...]:
        """The keys that are set, with their values, in the order of the noun."""
        pairs = tuple((field.name, getattr(self, field.name)) for field in fields(self))
        return tuple((name, value) for name, value in pairs if value is not None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Where(Noun):
    """Where on a part, in the axes of its file, mm: what is left out sets no bound.

    ``band_mm`` is a stretch ``along`` an axis; ``surface`` and ``diameter_mm`` pick round or flat faces, ``inside``
    bores (true) or shafts (false) of the round ones; ``facing`` and ``normal`` name a direction (without sign: both);
    ``edge_mm`` is a distance from the outline seen along ``normal``; ``border_mm`` one from each face's own edge;
    ``box_mm`` two corners.
    """

    band_mm: Pair | None = None
    along: Axis | None = None
    surface: Literal["plane", "cylinder", "cone", "sphere", "torus", "other"] | None = None
    diameter_mm: Bare | None = None
    inside: Flag | None = None
    facing: Facing | None = None
    normal: Facing | None = None
    edge_mm: Bare | None = None
    border_mm: Bare | None = None
    box_mm: tuple[Triple, Triple] | None = None
    face_ids: tuple[FaceAt, ...] | None = None

    def told(self) -> tuple[tuple[str, object], ...]:
        """The keys that are set, with their values in tuples, in the order of the noun."""
        pairs = [(field.name, getattr(self, field.name)) for field in fields(self) if field.name != "face_ids"]
        if self.face_ids is not None:
            pairs.append(("face_ids", tuple(one.told() for one in self.face_ids)))
        return tuple((name, value) for name, value in pairs if value is not None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact(Noun):
    """One line of the contact map; ``load`` false: foam may touch there and carries nothing."""

    rule: Literal["never", "not_at_rest", "allowed", "must_hold"]
    where: Where
    load: Flag = True
    why: Text = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class AddedAt(Noun):
    """Material added on one place of a part, mm."""

    where: Where
    mm: Bare


@dataclass(frozen=True, slots=True, kw_only=True)
class State(Noun):
    """A part in another state than raw: coated, wet, hot, in a bag.

    ``added_mm`` is all round, ``added`` place by place on top of it; ``bag_mm`` is what a bag adds all round, film and
    kinks. ``expansion_per_k`` tells how much it grows by heat; left out it is the usual value of its material.
    """

    name: Said
    added_mm: Bare = 0.0
    added: tuple[AddedAt, ...] = ()
    bag_mm: Bare | None = None
    mass_kg: Number | None = None
    temperature_c: Number | None = None
    expansion_per_k: Number | None = None
    wet: Flag = False


def _search_or_down(value: Any) -> Any:  # noqa: ANN401  # reason: whatever stands in the file
    """The short form ``pose = "search"`` as a table."""
    return {"search": True} if value == "search" else value


@dataclass(frozen=True, slots=True, kw_only=True)
class PoseAsked(Noun):
    """How a part is to lie: ``down`` in the axes of its file, or ``search`` for the program to choose."""

    down: Triple | None = None
    search: Flag = False


_POSE_SCHEMA = {
    "anyOf": [
        {"const": "search"},
        {
            "type": "object",
            "additionalProperties": False,
            "required": ["down"],
            "properties": {
                "down": {"type": "array", "items": {"type": "number"}, "minItems": 3, "maxItems": 3},
            },
        },
    ]
}


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedPart(Noun):
    """A part as asked: its shape from a file or by dimensions, its mass, and what may touch it where.

    ``file`` is empty where ``dimensions`` tell the shape; a drawing needs ``thickness_mm``, or ``turned`` for a half
    section. Without ``mass_kg`` the mass comes from the volume and ``density_kg_m3`` or the density of the card
    ``material``. ``fragility_gn`` None: the customer does not know.
    """

    id: Name
    name: Said
    revision: Text = ""
    file: Text = ""
    dimensions: Dimensions | None = None
    body: Text = ""
    length_unit: Literal["file", "mm", "inch", "m"] = "file"
    thickness_mm: Number | None = None
    turned: Flag = False
    per_kit: Whole
    material: Text = ""
    density_kg_m3: Number | None = None
    mass_kg: Number | None = None
    fragility_gn: Number | None = None
    tolerance_mm: Number
    pose: Annotated[PoseAsked, BeforeValidator(_search_or_down), WithJsonSchema(_POSE_SCHEMA)]
    turns_allowed_deg: Annotated[tuple[Bare, ...], Field(min_length=1)]
    static_sensitive: Flag
    stack_over_fragile: Flag
    default_rule: Literal["never", "not_at_rest", "allowed"]
    contact: tuple[Contact, ...] = ()
    state: tuple[State, ...] = ()
