"""JSON Schema of the enquiry's file, made of its nouns, its defaults and the ranges in ``input_limits``."""

from __future__ import annotations

from typing import Any

from pydantic import TypeAdapter

from traywright.catalogue import DIALECT, number_schema, range_schema, table
from traywright.enquiry.assumptions import TABLE
from traywright.enquiry.drawing_terms import DrawnEnquiry
from traywright.enquiry.numbers import SISTERS
from traywright.enquiry.read_enquiry import FORMAT, adapter

Schema = dict[str, Any]

_OWNERS = {
    "Enquiry": "",
    "DrawnEnquiry": "",
    "JobHead": "job",
    "DrawnHead": "job",
    "AskedPart": "part",
    "Loop": "loop",
    "LoopStep": "loop.step",
    "Lift": "lift",
    "PackTerms": "pack",
    "ShopChoice": "shop",
    "OfferTerms": "offer",
    "DrawingTerms": "drawing",
    "DrawnOffer": "offer",
}
"""Nouns with keys that have a default, and where they stand in the file."""

_ENDS = {"minimum": "from", "exclusiveMinimum": "over", "maximum": "to"}
"""Keywords of a range, as the names of its sort say them."""

_LIMIT_OWNERS = {
    "Lift": "lift",
    "AddedAt": "added",
    "FaceAt": "face_ids",
    "DrawingTerms": "drawing",
    "DepthTerm": "depth",
}
"""Nouns whose keys have believable ranges of their own."""


def _with_defaults(name: str, required: list[str]) -> list[str]:
    """The keys of a noun that the file must hold: those without a default."""
    place = _OWNERS.get(name)
    if place is None:
        return required
    spare = {
        row.id.removeprefix(f"{place}.").partition(".")[0]
        for row in table(TABLE).rows
        if row.id.startswith(f"{place}.")
    }
    if name == "Lift":
        spare |= {"height_mm"}
    if not place:
        spare = {"lift", "offer"}
    return [key for key in required if key not in spare]


def _ranged(schema: Schema, key: str, owner: str, *, single: bool) -> Schema:
    """A value's schema with the range of its key in every number of it; a single number may be a table."""
    if schema.get("type") in {"number", "integer"}:
        bare = range_schema(key, owner=owner, whole=schema["type"] == "integer")
        return number_schema(bare) if single else bare
    told = {name: one for name, one in schema.items() if name not in {"title", "default"}}
    if isinstance(told.get("items"), dict):
        told["items"] = _ranged(told["items"], key, owner, single=False)
    if "prefixItems" in told:
        told["prefixItems"] = [_ranged(one, key, owner, single=False) for one in told["prefixItems"]]
    if "anyOf" in told:
        # TOML has no null: what is not told is left out
        ways = [_ranged(one, key, owner, single=single) for one in told["anyOf"] if one != {"type": "null"}]
        return ways[0] if len(ways) == 1 else told | {"anyOf": ways}
    return told


def _sister(key: str) -> str:
    """The same key in inches or pounds; empty where there is none."""
    return next((key.removesuffix(end) + sister for sister, (end, _) in SISTERS.items() if key.endswith(end)), "")


def _without_range(schema: Any) -> Any:  # noqa: ANN401  # reason: JSON values are any of seven types
    """A schema without its upper and lower bounds: those are told in the other unit."""
    if isinstance(schema, list):
        return [_without_range(one) for one in schema]
    if not isinstance(schema, dict):
        return schema
    return {key: _without_range(one) for key, one in schema.items() if key not in {"minimum", "maximum"}}


def _noun(name: str, schema: Schema) -> Schema:
    """The schema of one noun: ranges, sister units, and only what the file must hold as required."""
    owner = _LIMIT_OWNERS.get(name, "")
    properties = {key: _ranged(one, key, owner, single=True) for key, one in schema["properties"].items()}
    sisters = {_sister(key): _without_range(one) for key, one in properties.items() if _sister(key)}
    required = _with_defaults(name, schema.get("required", []))
    told: Schema = {
        "type": "object",
        "additionalProperties": False,
        "properties": dict(sorted((properties | sisters).items())),
        "required": sorted(key for key in required if not _sister(key)),
    }
    either = [{"oneOf": [{"required": [key]}, {"required": [_sister(key)]}]} for key in required if _sister(key)]
    never = [
        {"not": {"required": [key, _sister(key)]}} for key in sorted(properties) if _sister(key) and key not in required
    ]
    return told | ({"allOf": [*either, *never]} if either or never else {})


def _name_of(bare: Schema) -> str:
    """The name under which the schema holds a sort of number: its range."""
    ends = [f"{word}_{bare[key]:g}" for key, word in _ENDS.items() if key in bare]
    return "_".join([bare["type"], *ends])


def _shared(schema: Any, pool: Schema) -> Any:  # noqa: ANN401  # reason: JSON values are any of seven types
    """A schema that names each sort of number instead of telling it; ``pool`` collects them."""
    if isinstance(schema, list):
        return [_shared(one, pool) for one in schema]
    if not isinstance(schema, dict):
        return schema
    ways = schema.get("anyOf", [])
    if len(ways) == 2 and ways[0].get("type") in {"number", "integer"} and ways[1].get("required") == ["is"]:
        name = _name_of(ways[0])
        pool[name] = schema
        return {"$ref": f"#/$defs/{name}"}
    return {key: _shared(one, pool) for key, one in schema.items()}


def _nouns_of(whole: Schema, name: str) -> Schema:
    """The schemas of the nouns of one kind of file, its own under its name."""
    top = {key: one for key, one in whole.items() if key != "$defs"}
    nouns = {one: _noun(one, schema) for one, schema in {**whole["$defs"], name: top}.items()}
    nouns[name]["properties"]["format"] = {"const": FORMAT}
    return nouns


def enquiry_schema() -> Schema:
    """The JSON Schema of ``enquiry.toml``; committed as ``schemas/enquiry.schema.json``.

    Notes
    -----
    A file is either a full enquiry or a drawing that is cut as it is. The schema knows keys, sorts and ranges. That a
    name stands once, that a part has one shape and a mass, that places are told whole and a row of depths says one
    thing is checked by the readers alone. Days are texts in it, as JSON has no other way.

    Examples
    --------
    >>> [one["$ref"] for one in enquiry_schema()["oneOf"]]
    ['#/$defs/Enquiry', '#/$defs/DrawnEnquiry']
    """
    nouns = _nouns_of(adapter().json_schema(), "Enquiry")
    nouns |= _nouns_of(TypeAdapter(DrawnEnquiry).json_schema(), "DrawnEnquiry")
    pool: Schema = {}
    told = {name: _shared(one, pool) for name, one in sorted(nouns.items())}
    kinds = [{"$ref": f"#/$defs/{name}"} for name in ("Enquiry", "DrawnEnquiry")]
    return {"$schema": DIALECT, "title": "enquiry", "oneOf": kinds, "$defs": told | pool}
