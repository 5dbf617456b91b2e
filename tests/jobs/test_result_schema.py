"""result.json has every key of its schema and no other, at every level."""

from __future__ import annotations

import copy
import json
import sys
from collections.abc import Iterator
from typing import Any

import jsonschema
import pytest
from tests.jobs.conftest import ROOT

from traywright.base import canonical_json
from traywright.job import result_schema

PATH = ROOT / "schemas" / "result.schema.json"


def levels(value: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The path of one object of each shape in a value."""
    if isinstance(value, dict):
        yield path
        for key, inner in value.items():
            yield from levels(inner, (*path, key))
    elif isinstance(value, list) and value:
        for number, inner in enumerate(value):
            yield from levels(inner, (*path, number))


def at(value: Any, path: tuple[Any, ...]) -> Any:
    """What stands at a path."""
    for step in path:
        value = value[step]
    return value


def shapes(result: dict[str, Any]) -> list[tuple[Any, ...]]:
    """One path for each different kind of place, numbers of lists left out."""
    first: dict[tuple[str, ...], tuple[Any, ...]] = {}
    for path in levels(result):
        first.setdefault(tuple(str(step) if isinstance(step, str) else "*" for step in path), path)
    return list(first.values())


def validator() -> Any:
    """A validator of the committed schema."""
    return jsonschema.Draft202012Validator(json.loads(PATH.read_text(encoding="utf-8")))


def test_the_committed_schema_is_that_of_the_source():
    assert PATH.read_text(encoding="utf-8") == canonical_json(result_schema()), "run: python docs/build_schemas.py"


def test_the_results_are_valid(demo, two_blocks, one_block):
    for ran in (demo, two_blocks, one_block):
        validator().validate(ran.result)


def test_a_key_more_or_less_is_refused_at_every_level(demo):
    check, result = validator(), demo.result
    places = shapes(result)
    assert len(places) > 40
    for path in places:
        more = slim(result, path)
        at(more, path)["one_more"] = 1
        assert not check.is_valid(more), path
        for key in at(result, path):
            less = slim(result, path)
            del at(less, path)[key]
            assert not check.is_valid(less), (*path, key)


def slim(result: dict[str, Any], path: tuple[Any, ...]) -> dict[str, Any]:
    """A copy of the result with short lists beside the path, so that many checks stay quick."""
    kept = {
        key: value if not isinstance(value, list) or key == path[:1] else value[:0] for key, value in result.items()
    }
    if path:
        kept[path[0]] = copy.deepcopy(result[path[0]])
    return kept


def test_numbers_that_json_does_not_know_are_refused():
    with pytest.raises(ValueError, match="nan"):
        canonical_json({"a": float("nan")})
    assert sys.float_info.max > 0
