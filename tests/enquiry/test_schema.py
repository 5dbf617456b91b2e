"""The committed schema of the enquiry is that of the source, and refuses a key too many or too few at each level."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterator
from copy import deepcopy
from datetime import date

import pytest
from jsonschema import Draft202012Validator

from house.source import ROOT
from traywright.base import canonical_json
from traywright.base.errors import EnquiryError
from traywright.enquiry import enquiry_schema, read_enquiry

PATH = ROOT / "schemas" / "enquiry.schema.json"
SCHEMA = Draft202012Validator(enquiry_schema())


def plain(value):
    if isinstance(value, dict):
        return {key: plain(one) for key, one in value.items()}
    if isinstance(value, list):
        return [plain(one) for one in value]
    return value.isoformat() if isinstance(value, date) else value


def example(name):
    return plain(tomllib.loads((ROOT / "examples" / name / "enquiry.toml").read_text(encoding="utf-8")))


def tables_in(value) -> Iterator[dict]:
    if isinstance(value, dict):
        yield value
        for one in value.values():
            yield from tables_in(one)
    elif isinstance(value, list):
        for one in value:
            yield from tables_in(one)


def test_the_committed_schema_is_up_to_date():
    text = PATH.read_text(encoding="utf-8")
    assert text == canonical_json(enquiry_schema()), "run: python docs/build_schemas.py"
    Draft202012Validator.check_schema(json.loads(text))


@pytest.mark.parametrize("name", ["one_block", "survey_kit", "two_blocks"])
def test_an_example_keeps_the_schema(name):
    assert [fault.message for fault in SCHEMA.iter_errors(example(name))] == []


@pytest.mark.parametrize("name", ["survey_kit", "two_blocks"])
def test_a_strange_key_is_refused_at_each_level(name):
    for number in range(len(list(tables_in(example(name))))):
        told = deepcopy(example(name))
        list(tables_in(told))[number]["strange"] = 1
        assert not SCHEMA.is_valid(told), number


def test_a_needed_key_is_missed():
    for keys in [("job", "number"), ("pack", "boxes"), ("foam", "allowed"), ("shop", "machine"), ("format",)]:
        told = example("one_block")
        owner = told
        for key in keys[:-1]:
            owner = owner[key]
        del owner[keys[-1]]
        assert not SCHEMA.is_valid(told), keys


@pytest.mark.parametrize("value", [0, -1, 1e9, "2", True, None, {"low": 1}, {"is": 1, "status": "sure"}])
def test_schema_and_reader_refuse_the_same_masses(value):
    told = example("one_block")
    told["part"][0]["mass_kg"] = value
    assert not SCHEMA.is_valid(told)
    if value is not None:
        written = json.dumps(value).replace(":", " =").replace('"low"', "low").replace('"is"', "is")
        content = (ROOT / "examples" / "one_block" / "enquiry.toml").read_text(encoding="utf-8")
        bare = written.replace('"status"', "status")
        content = content.replace("fragility_gn", f"mass_kg = {bare}\nfragility_gn")
        with pytest.raises(EnquiryError):
            read_enquiry(content.encode())


def test_both_units_at_once_are_refused():
    told = example("one_block")
    told["part"][0]["dimensions"]["length_in"] = 4
    assert not SCHEMA.is_valid(told)
