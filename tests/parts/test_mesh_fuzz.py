"""Bytes of mesh files cut, flipped and spliced: bodies or a refusal, nothing else."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from parts.mesh_bytes import block, model, model_object, obj, ply, stl, stl_text, threemf
from traywright.base.errors import PartError
from traywright.parts import ShapeAsked, examine, read_shape

BLOCK = block()
TOLD = model(model_object(1, BLOCK), items='<item objectid="1"/>')
FILES = {
    "binary.stl": stl(BLOCK),
    "text.stl": stl_text(BLOCK),
    "a.obj": obj(("Block", BLOCK)),
    "text.ply": ply(BLOCK),
    "little.ply": ply(BLOCK, "binary_little_endian"),
    "big.ply": ply(BLOCK, "binary_big_endian"),
    "a.3mf": threemf(TOLD),
}
PIECES = st.sampled_from(
    [b"", b"\0", b"nan", b"1e308", b"-1", b"\xff\xff\xff\xff", b"99999999", b"\n", b"<", b"f 1 2 3\n"]
)


@st.composite
def damaged(draw, content):
    told = bytearray(content)
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, max(0, len(told) - 1)))
        how = draw(st.sampled_from(["flip", "cut", "drop", "put", "twice"]))
        if how == "flip" and told:
            told[at] ^= 1 << draw(st.integers(0, 7))
        elif how == "cut":
            del told[at:]
        elif how == "drop":
            del told[at : at + draw(st.integers(1, 60))]
        elif how == "put":
            told[at:at] = draw(PIECES)
        else:
            told[at:at] = told[max(0, at - draw(st.integers(1, 200))) : at]
    return bytes(told)


def answered(name, content):
    told = ""
    try:
        examine(read_shape(ShapeAsked(id="a", file_name=name, length_unit="mm"), content))
    except PartError as refused:
        told = str(refused)
    assert told == "" or told.count("\n") == 2


@pytest.mark.parametrize("name", FILES)
def test_a_damaged_file_is_read_or_refused(name):
    @given(damaged(FILES[name]))
    @settings(max_examples=60)
    def check(content):
        answered(name, content)

    check()


@given(damaged(TOLD.encode()))
@settings(max_examples=60)
def test_a_damaged_model_in_a_sound_archive_is_read_or_refused(told):
    answered("a.3mf", threemf(told))
