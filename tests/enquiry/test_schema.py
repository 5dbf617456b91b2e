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
from traywright.enquiry import drawn_enquiry_toml, enquiry_schema, read_drawn_enquiry, read_enquiry

PATH = ROOT / "schemas" / "enquiry.schema.json"
DRAWN = ["drawer_as_drawn", "jig_plate"]
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


@pytest.mark.parametrize("name", ["one_block", "survey_kit", "two_blocks", *DRAWN])
def test_an_example_keeps_the_schema(name):
    assert [fault.message for fault in SCHEMA.iter_errors(example(name))] == []


@pytest.mark.parametrize("name", ["survey_kit", "two_blocks", *DRAWN])
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


@pytest.mark.parametrize(
    ("table", "key"), [("job", "number"), ("drawing", "file"), ("shop", "machine"), ("format", "")]
)
def test_a_needed_key_of_a_drawing_job_is_missed(table, key):
    told = example("jig_plate")
    if key:
        del told[table][key]
    else:
        del told[table]
    assert not SCHEMA.is_valid(told)


def test_a_file_is_of_one_kind():
    drawn, full = example("jig_plate"), example("one_block")
    for key in ("part", "pack", "foam"):
        assert not SCHEMA.is_valid({**drawn, key: full[key]}), key
    assert not SCHEMA.is_valid({**full, "drawing": drawn["drawing"]})


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("quantity", 0),
        ("quantity", 1.5),
        ("thickness_mm", 501),
        ("thickness_mm", {"is": 12, "status": "sure"}),
        ("keep", "top"),
        ("length_unit", "ft"),
        ("cutters", "flat-6"),
        ("depth", [{"layer": "A", "mm": 0}]),
        ("depth", [{"layer": "A", "mm": 501}]),
        ("depth", [{"colour": 256, "mm": 2}]),
        ("depth", [{"colour": 0, "mm": 2}]),
        ("depth", [{"layer": 5, "mm": 2}]),
        ("engrave", [{"layer": "A", "deep": 2}]),
    ],
)
def test_schema_and_reader_refuse_the_same_answers(key, value):
    told = example("jig_plate")
    told["drawing"][key] = value
    assert not SCHEMA.is_valid(told)
    del told["job"]["dated"]
    with pytest.raises(EnquiryError):
        read_drawn_enquiry(drawn_enquiry_toml(told).encode())
