"""A drawing job written to its file and read again is the same job."""

from __future__ import annotations

import math
import tomllib
from datetime import date, time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from enquiry.drawn import drawn
from traywright.base.errors import EnquiryError
from traywright.enquiry import drawn_enquiry_toml, drawn_to_plain, read_drawn_enquiry
from traywright.enquiry.border import LONGEST_TEXT

PRINTED = st.text(st.characters(exclude_categories=["C", "Z"]), min_size=1, max_size=12)
LAYERS = st.text(st.characters(exclude_categories=["Cc", "Cs", "Zl", "Zp"]), min_size=1, max_size=12).filter(
    lambda name: bool(name.strip())
)
DEPTHS = st.floats(0.001, 499.0) | st.integers(1, 499)
GROUNDS = st.fixed_dictionaries(
    {"is": DEPTHS}, optional={"status": st.sampled_from(["measured", "stated"]), "source": PRINTED, "on": st.dates()}
)
ROWS = st.lists(
    st.one_of(
        st.fixed_dictionaries({"layer": LAYERS, "mm": DEPTHS | GROUNDS}),
        st.fixed_dictionaries({"layer": LAYERS, "through": st.just(True)}),
        st.fixed_dictionaries({"colour": st.integers(1, 255), "mm": DEPTHS}),
    ),
    max_size=4,
    unique_by=lambda row: (row.get("layer", "").lower(), row.get("colour")),
)
ANSWERS = st.fixed_dictionaries(
    {
        "job": st.fixed_dictionaries(
            {"number": st.from_regex(r"[A-Za-z0-9_-]{1,20}", fullmatch=True), "title": PRINTED},
            optional={
                "revision": st.just("B"),
                "customer": PRINTED,
                "dated": st.dates() | st.dates().map(date.isoformat),
                "supersedes": PRINTED,
            },
        ),
        "drawing": st.fixed_dictionaries(
            {"file": st.just("files/a.dxf"), "board": PRINTED, "depth": ROWS},
            optional={
                "length_unit": st.sampled_from(["file", "mm", "cm", "m", "inch"]),
                "quantity": st.integers(1, 99_999),
                "cutters": st.lists(PRINTED, unique=True, max_size=3),
                "keep": st.sampled_from(["floor", "depth"]),
                "corner": st.sampled_from(["leave", "relief", "smaller_cutter"]),
                "leave_out": st.lists(LAYERS, max_size=3),
                "thickness_mm": DEPTHS | GROUNDS,
                "sheet": st.sampled_from(["share", "whole"]),
                "shape": st.sampled_from(["customer", "shop"]),
            },
        ),
        "shop": st.fixed_dictionaries({"machine": PRINTED, "dialect": PRINTED, "rates": PRINTED}),
    },
    optional={
        "invented": st.booleans(),
        "offer": st.fixed_dictionaries({}, optional={"currency": st.just("CHF"), "valid_days": st.integers(1, 90)}),
        "override": st.lists(
            st.fixed_dictionaries(
                {"finding": st.just("CUT-001"), "at": PRINTED, "because": PRINTED, "by": PRINTED, "dated": st.dates()}
            ),
            max_size=2,
        ),
    },
)


def as_told(answers):
    """The answers as a TOML reader hands them back."""
    job = {
        key: date.fromisoformat(one) if key == "dated" and isinstance(one, str) else one
        for key, one in answers["job"].items()
    }
    told = {"format": 1, **answers, "job": job}
    return {key: one for key, one in told.items() if one != {}}


@given(ANSWERS)
def test_what_is_written_is_what_is_read(answers):
    written = drawn_enquiry_toml(answers)
    assert tomllib.loads(written) == as_told(answers)
    told = read_drawn_enquiry(written.encode())
    again = drawn_enquiry_toml(tomllib.loads(written))
    assert again == written
    assert drawn_to_plain(read_drawn_enquiry(again.encode())) == drawn_to_plain(told)
    assert len(told.enquiry.drawing.depth) == len(answers["drawing"]["depth"])


@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=40), st.text(max_size=8).filter(str.isprintable))
def test_any_text_and_any_key_come_back(told, key):
    written = drawn_enquiry_toml({"job": {"title": told, f"k{key}": told}, f"x{key}": {"a": [{"b": told}]}})
    assert tomllib.loads(written)["job"]["title"] == told
    assert tomllib.loads(written)["job"][f"k{key}"] == told
    assert tomllib.loads(written)[f"x{key}"]["a"] == [{"b": told}]
    assert "\r" not in written


@given(st.floats(allow_nan=False) | st.integers(-(2**63), 2**63 - 1))
def test_any_number_comes_back(number):
    assert tomllib.loads(drawn_enquiry_toml({"drawing": {"quantity": number}}))["drawing"]["quantity"] == number


def test_odd_values_are_handed_on_to_the_reader():
    written = drawn_enquiry_toml({"drawing": {"a": math.nan, "b": time(10, 0), "c": [], "d": {}, "e": True, "f": None}})
    told = tomllib.loads(written)["drawing"]
    assert math.isnan(told.pop("a"))
    assert told == {"b": time(10, 0), "c": [], "d": {}, "e": True}


@pytest.mark.parametrize(
    ("more", "code"),
    [
        ({"part": [{"id": "a"}]}, "ENQ-018"),
        ({"pack": {"boxes": ["x"]}}, "ENQ-018"),
        ({"strange": 1}, "ENQ-005"),
        ({"strange": {"a": 1}}, "ENQ-005"),
        ({"strange": [{"a": 1}]}, "ENQ-005"),
        ({"format": 2}, "ENQ-003"),
    ],
)
def test_what_a_drawing_job_does_not_know_is_not_lost_in_silence(more, code):
    written = drawn_enquiry_toml({**tomllib.loads(drawn().decode()), **more})
    with pytest.raises(EnquiryError) as refusal:
        read_drawn_enquiry(written.encode())
    assert refusal.value.code == code


@pytest.mark.parametrize(
    "answers",
    [
        {"job": {"dated": "25.11.2026"}},
        {"job": {"dated": ""}},
        {"job": {"due": 5}},
        {"job": {"title": "half a sign \udcff"}},
        {"drawing": {"depth": [{"layer": "\ud800"}]}},
        {"drawing": {"leave_out": ["\udc80"]}},
        {"drawing": {"\udc80": 1}},
    ],
)
def test_a_text_that_cannot_be_kept_is_refused_in_three_lines(answers):
    with pytest.raises(EnquiryError) as refusal:
        drawn_enquiry_toml(answers)
    assert refusal.value.code == "ENQ-007"
    assert len(str(refusal.value).splitlines()) == 3
    str(refusal.value).encode("utf-8")


def test_the_file_reads_from_top_to_bottom_as_the_job_is_told():
    written = drawn_enquiry_toml(
        {
            "shop": {"rates": "r", "machine": "m", "dialect": "d"},
            "drawing": {"keep": "floor", "depth": [{"mm": 4, "layer": "A"}], "file": "files/a.dxf"},
            "offer": {"currency": "EUR"},
            "job": {"title": "T", "number": "N"},
        }
    )
    keys = [line.partition(" = ")[0] for line in written.splitlines() if line and not line.startswith("#")]
    assert keys == [
        *("format", "[job]", "number", "title", "[drawing]", "file", "keep", "[[drawing.depth]]", "layer", "mm"),
        *("[shop]", "machine", "dialect", "rates", "[offer]", "currency"),
    ]
    assert written.endswith("\n")


def test_each_remark_names_every_answer():
    for key in ("length_unit", "keep", "corner", "sheet", "shape"):
        written = drawn_enquiry_toml({"drawing": {key: "x"}})
        remark = next(line for line in written.splitlines() if line.startswith(key)).partition("#")[2]
        for word in remark.partition(":")[0].replace(" or ", ", ").split(", "):
            content = drawn(drawing=f'[drawing]\nfile = "a.svg"\nboard = "b"\n{key} = "{word.strip()}"\n')
            assert getattr(read_drawn_enquiry(content).enquiry.drawing, key) == word.strip()


def test_the_longest_text_is_kept():
    title = "é" * LONGEST_TEXT
    answers = {**tomllib.loads(drawn().decode()), "job": {"number": "N", "title": title}}
    assert read_drawn_enquiry(drawn_enquiry_toml(answers).encode()).enquiry.job.title == title
