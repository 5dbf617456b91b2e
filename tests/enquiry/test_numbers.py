"""Numbers of a file: sister units, grounds, and no input that makes the reader stumble."""

from __future__ import annotations

import math
import tomllib
from datetime import date

from hypothesis import given, settings
from hypothesis import strategies as st

from house.source import ROOT
from traywright.base.errors import EnquiryError
from traywright.enquiry import read_enquiry
from traywright.enquiry.numbers import with_grounds, without_sisters

JUNK = [0, -1, 1e30, 10**400, math.nan, math.inf, "", "x", "search", True, [], [[]], [0], [{}], {}, {"is": []}]
JUNK += [{"is": {}}, {"is": 1, "low": 2}, {"x": 1}, {"is": 1, "on": []}, date(2026, 11, 25), ["x", 1], {"kind": "disc"}]


def toml(value) -> str:
    """A value as TOML on one line."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key} = {toml(one)}" for key, one in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(toml(one) for one in value) + "]"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return f'"{value}"'
    return value.isoformat() if isinstance(value, date) else repr(value)


def places(value, path=()):
    if path:
        yield path
    if isinstance(value, dict | list):
        for key, one in value.items() if isinstance(value, dict) else enumerate(value):
            yield from places(one, (*path, key))


EXAMPLES = [
    tomllib.loads((ROOT / "examples" / name / "enquiry.toml").read_text(encoding="utf-8"))
    for name in ("survey_kit", "two_blocks")
]
PLACES = [(number, path) for number, told in enumerate(EXAMPLES) for path in places(told)]


def exchanged(value, path, junk):
    if not path:
        return junk
    head, rest = path[0], path[1:]
    if isinstance(value, dict):
        return {key: exchanged(one, rest, junk) if key == head else one for key, one in value.items()}
    return [exchanged(one, rest, junk) if index == head else one for index, one in enumerate(value)]


@settings(max_examples=150)
@given(st.sampled_from(PLACES), st.sampled_from(JUNK))
def test_junk_at_any_place_is_read_or_refused_in_three_lines(at, junk):
    number, path = at
    told = exchanged(EXAMPLES[number], path, junk)
    content = "\n".join(f"{key} = {toml(one)}" for key, one in told.items())
    try:
        read_enquiry(content.encode())
    except EnquiryError as fault:
        assert len(str(fault).splitlines()) == 3, str(fault)  # noqa: PT017  # reason: reading it is right as well


def test_an_example_survives_being_written_on_one_line_a_key():
    for told in EXAMPLES:
        content = "\n".join(f"{key} = {toml(one)}" for key, one in told.items())
        assert read_enquiry(content.encode()).enquiry.part


@given(st.floats(0.001, 700.0))
def test_inches_and_millimetres_tell_the_same_length(length_in):
    told = without_sisters({"length_in": length_in})["length_mm"]
    assert math.isclose(told, length_in * 25.4, abs_tol=1e-9)


def test_lists_and_inner_tables_are_converted_whole():
    told = without_sisters({"points_in": [[1, 2], {"to": [3, 4], "way": "cw"}], "band_in": {"is": 1, "low": 0.5}})
    assert told["points_mm"] == [[25.4, 50.8], {"to": [76.2, 101.6], "way": "cw"}]
    assert told["band_mm"] == {"is": 25.4, "low": 12.7}


def test_a_place_is_called_by_the_names_in_the_file():
    told = with_grounds({"part": [{"id": "pin", "state": [{"name": "hot", "mass_kg": 1}]}]})
    assert told["part"][0]["state"][0]["mass_kg"].ref == "enquiry:part.pin.state.hot.mass_kg"
