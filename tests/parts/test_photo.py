"""Parts from photographs, held against the outlines that were drawn."""

from __future__ import annotations

import csv

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.jobs.conftest import ROOT

from parts import photographs as made
from traywright.base.errors import PartError
from traywright.parts import ShapeAsked, read_shape
from traywright.parts.photo import read_photo

PHOTOS = ROOT / "tests" / "data" / "photo"
CLAMP = (PHOTOS / "clamp_plate_photo.jpg").read_bytes()


def clamp_outline():
    loops = {}
    with (PHOTOS / "clamp_plate_outline.csv").open(encoding="utf-8") as stream:
        for row in csv.DictReader(stream):
            loops.setdefault(row["loop"], []).append((float(row["x_mm"]), float(row["y_mm"])))
    shell, *holes = sorted(loops.values(), key=lambda ring: -shapely.Polygon(ring).area)
    return shapely.Polygon(shell, holes)


def read(content, **said):
    return read_photo(ShapeAsked(id="a", file_name="a.png", **said), content)


def refused(content, name="a.png", **said):
    with pytest.raises(PartError) as caught:
        read_shape(ShapeAsked(id="a", file_name=name, **said), content)
    assert str(caught.value).count("\n") == 2
    return caught.value.code


def test_the_clamp_plate_beside_a_square():
    """Mean error at most 0.4 mm, largest at most 1.0 mm, and the printed plus-or-minus covers the truth."""
    told = read(CLAMP, thickness_mm=2.0)
    off = made.misses(told.plan, clamp_outline())
    assert off.mean() <= 0.4
    assert off.max() <= 1.0
    assert off.max() <= told.plus_minus_mm <= 1.0
    assert (told.scale, told.questions) == ("square", ())


def test_without_a_thickness_it_is_asked_and_the_plus_or_minus_allows_for_it():
    told = read(CLAMP)
    assert [one.asks for one in told.questions] == ["thickness"]
    assert made.misses(told.plan, clamp_outline()).max() <= told.plus_minus_mm
    assert told.plus_minus_mm > read(CLAMP, thickness_mm=2.0).plus_minus_mm + 1.0


def test_the_outline_becomes_a_plate_of_its_thickness():
    shape = read_shape(ShapeAsked(id="a", file_name="a.jpg", thickness_mm=2.0), CLAMP)
    low, high = shape.bodies[0].mesh.bounds_mm
    assert (low[2], high[2]) == (0.0, 2.0)
    assert shape.chord_mm == shape.plus_minus_mm


@pytest.mark.parametrize("seed", range(5))
def test_flat_parts_on_the_marker_sheet(seed):
    """Perspective, lens and noise by seed: mean at most 0.15 mm, largest at most 0.4 mm."""
    shape = made.plate(seed)
    told = read(made.photograph(seed, shape), thickness_mm=0.01)
    off = made.misses(told.plan, shape)
    assert told.scale == "sheet"
    assert off.mean() <= 0.15
    assert off.max() <= 0.4
    assert off.max() <= told.plus_minus_mm


@pytest.mark.parametrize(("seed", "thickness_mm"), [(1, 4.0), (0, 12.0)])
def test_tall_parts_stay_within_the_printed_plus_or_minus(seed, thickness_mm):
    shape = made.plate(seed)
    told = read(made.photograph(seed, shape, thickness_mm), thickness_mm=thickness_mm)
    assert made.misses(told.plan, shape).max() <= told.plus_minus_mm


def test_a_sheet_printed_too_small_is_put_right_by_its_measured_line():
    shape = made.plate(3)
    told = read(made.photograph(3, shape, scale=0.97), thickness_mm=0.01, line_mm=97.0)
    assert made.misses(told.plan, shape).mean() <= 0.15


def frame(x, y, side=40.0):
    outer = shapely.box(x, y, x + side, y + side)
    return outer.difference(shapely.box(x + 4, y + 4, x + side - 4, y + side - 4))


def test_what_cannot_be_measured_is_refused():
    shape = made.plate()
    nothing = shapely.Polygon()
    assert refused(made.photograph(0, shape, dark=nothing), thickness_mm=2.0) == "PART-082"
    two = shapely.union_all([frame(20, 20), frame(220, 150)])
    assert refused(made.photograph(0, shape, dark=two), thickness_mm=2.0) == "PART-083"
    assert refused(made.photograph(0, shapely.box(5000, 5000, 5001, 5001)), thickness_mm=2.0) == "PART-084"
    assert refused(made.photograph(0, shapely.box(20, 80, 150, 120)), thickness_mm=2.0) == "PART-085"
    both = shapely.union_all([shapely.box(60, 60, 110, 140), shapely.box(160, 60, 220, 140)])
    assert refused(made.photograph(0, both), thickness_mm=2.0) == "PART-086"


def png_head(wide, high):
    return (
        b"\x89PNG\r\n\x1a\n"
        + (13).to_bytes(4, "big")
        + b"IHDR"
        + wide.to_bytes(4, "big")
        + high.to_bytes(4, "big")
        + bytes(9)
    )


@pytest.mark.parametrize(
    ("name", "content", "code"),
    [
        ("a.png", png_head(60_000, 60_000), "PART-081"),
        ("a.png", png_head(20, 20), "PART-081"),
        ("a.png", png_head(2000, 2000), "PART-003"),
        ("a.jpg", b"\xff\xd8\xff\xe0", "PART-003"),
        ("a.jpg", b"no picture", "PART-002"),
        ("a.png", b"", "PART-003"),
    ],
)
def test_a_picture_that_claims_what_it_is_not_is_refused(name, content, code):
    assert refused(content, name, thickness_mm=2.0) == code


SMALL = None


def small():
    global SMALL  # noqa: PLW0603  # reason: computed once
    if SMALL is None:
        import cv2

        grey = cv2.imdecode(np.frombuffer(CLAMP, np.uint8), cv2.IMREAD_GRAYSCALE)
        SMALL = cv2.imencode(".jpg", cv2.resize(grey, (600, 450)))[1].tobytes()
    return SMALL


@given(st.data())
@settings(max_examples=25)
def test_damaged_bytes_are_an_outline_or_a_refusal(draw):
    content = bytearray(small())
    for _ in range(draw.draw(st.integers(1, 4))):
        at = draw.draw(st.integers(0, len(content) - 1))
        if draw.draw(st.booleans()):
            content[at] ^= 1 << draw.draw(st.integers(0, 7))
        else:
            del content[at : at + draw.draw(st.integers(1, 400))]
    told = ""
    try:
        read_shape(ShapeAsked(id="a", file_name="a.jpg", thickness_mm=2.0), bytes(content))
    except PartError as caught:
        told = str(caught)
    assert told == "" or told.count("\n") == 2
