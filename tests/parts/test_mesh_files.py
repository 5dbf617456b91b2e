"""Mesh files of four formats: what they hold, and what is refused."""

from __future__ import annotations

import numpy as np
import pytest

from parts.mesh_bytes import block, model, model_object, obj, ply, stl, stl_text, threemf
from traywright.base.errors import PartError
from traywright.geometry import mass_properties
from traywright.parts import ShapeAsked, read_shape

BLOCK = block()
VOLUME = 48_000.0
ITEM = '<item objectid="1"/>'
PLAIN = threemf(model(model_object(1, BLOCK, 'name="Block"'), items=ITEM))


def read(name, content, **said):
    return read_shape(ShapeAsked(id="a", file_name=name, **said), content)


def refused(name, content, **said):
    with pytest.raises(PartError) as caught:
        read(name, content, **said)
    assert str(caught.value).count("\n") == 2
    return caught.value.code


def volumes(shape):
    return [round(mass_properties(one.mesh).volume_mm3) for one in shape.bodies]


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("a.stl", stl(BLOCK)),
        ("a.STL", stl_text(BLOCK)),
        ("a.stl", stl_text(BLOCK).replace(b"\n", b"\r\n")),
        ("a.stl", b"solid but binary".ljust(80) + stl(BLOCK)[80:]),
        ("a.obj", obj(("Block", BLOCK))),
        ("a.ply", ply(BLOCK)),
        ("a.ply", ply(BLOCK, "binary_little_endian")),
        ("a.ply", ply(BLOCK, "binary_big_endian")),
        ("a.3mf", PLAIN),
    ],
)
def test_every_form_of_a_mesh_gives_the_same_block(name, content):
    shape = read(name, content)
    assert volumes(shape) == [VOLUME]
    assert shape.unit == "mm"
    assert shape.findings == ()
    assert len(shape.questions) == (0 if name.endswith("3mf") else 1)


def test_a_3mf_states_its_unit_and_names_its_bodies():
    small = block(sides=(2.0, 1.0, 0.5))
    shape = read("a.3mf", threemf(model(model_object(1, small, 'name="Clip"'), items=ITEM, unit='unit="inch"')))
    assert (shape.unit, shape.unit_told, [one.name for one in shape.bodies]) == ("inch", "inch", ["Clip"])
    assert volumes(shape) == [round(25.4**3)]
    without = read("a.3mf", threemf(model(model_object(1, BLOCK), items=ITEM, unit="")))
    assert (without.unit_told, volumes(without)) == ("mm", [VOLUME])


def test_components_of_a_3mf_stand_where_they_are_placed():
    one = model_object(1, BLOCK, 'name="Block"')
    turned = '<component objectid="1" transform="0 1 0 -1 0 0 0 0 1 500 0 0"/>'
    mirrored = '<component objectid="1" transform="-1 0 0 0 1 0 0 0 1 0 300 0"/>'
    group = f'<object id="2"><components>{turned}{mirrored}</components></object>'
    items = '<item objectid="2" transform="1 0 0 0 1 0 0 0 1 0 0 7"/>'
    shape = read("a.3mf", threemf(model(one, group, items=items)))
    assert volumes(shape) == [VOLUME, VOLUME]
    low = [np.round(one.mesh.bounds_mm[0], 3).tolist() for one in shape.bodies]
    # (x, y) -> (-y, x) + 500, then up by 7; the mirrored one runs to the left
    assert low == [[460.0, 0.0, 7.0], [-60.0, 300.0, 7.0]]


def test_supports_are_left_out_and_told():
    support = model_object(2, block(x=200.0), 'type="support"')
    told = threemf(model(model_object(1, BLOCK), support, items=ITEM + '<item objectid="2"/>'))
    shape = read("a.3mf", told)
    assert (volumes(shape), [one.code for one in shape.findings]) == ([VOLUME], ["PART-068"])


def test_a_model_may_lie_in_another_file_of_the_archive():
    inner = model(model_object(1, BLOCK, 'name="Deep"'), items="")
    outer = model(items='<item objectid="1" p:path="/3D/Objects/deep.model"/>').replace(
        "<model ", '<model xmlns:p="urn:production" '
    )
    assert [one.name for one in read("a.3mf", threemf(outer, **{"3D/Objects/deep.model": inner})).bodies] == ["Deep"]


def test_objects_of_an_obj_are_bodies_and_other_files_are_not_opened():
    shape = read("a.obj", obj(("Left arm", BLOCK), ("Right", block(x=100.0, sides=(10.0, 10.0, 10.0)))))
    assert [one.name for one in shape.bodies] == ["Left arm", "Right"]
    assert volumes(shape) == [VOLUME, 1000.0]


def test_polygons_negative_numbers_and_long_lines_of_an_obj():
    lines = [f"v {x} {y} {z}" for z in (0, 20) for x, y in ((0, 0), (60, 0), (60, 40), (30, 10), (0, 40))]
    lines += ["f 5 4 3 2 1", "f -5 -4 \\", "-3 -2 -1"]  # the underside and the top have an inward corner
    lines += [f"f {a} {b} {b + 5} {a + 5}" for a, b in ((1, 2), (2, 3), (3, 4), (4, 5), (5, 1))]
    assert volumes(read("a.obj", "\n".join(lines).encode())) == [(60 * 40 - 60 * 30 / 2) * 20]


CUT = ply(BLOCK, "binary_little_endian")[:-30]
SELF = '<object id="1"><components><component objectid="1"/></components></object>'
DEEP = "".join(
    f'<object id="{n}"><components><component objectid="{n + 1}"/><component objectid="{n + 1}"/></components></object>'
    for n in range(1, 31)
) + model_object(31, BLOCK)


@pytest.mark.parametrize(
    ("name", "content", "code"),
    [
        ("a.stl", bytes(80) + (10_000_000).to_bytes(4, "little"), "PART-062"),
        ("a.stl", stl(BLOCK)[:-25], "PART-062"),
        ("a.stl", stl_text(BLOCK)[:-100], "PART-003"),
        ("a.stl", stl_text(BLOCK).replace(b"60.000000", b"60,000000"), "PART-060"),
        ("a.stl", stl_text(BLOCK).replace(b"60.000000", b"nan"), "PART-060"),
        ("a.stl", b"solid empty\nendsolid empty\n", "PART-003"),
        ("a.stl", bytes(84), "PART-004"),
        ("a.stl", b"ply\n" + bytes(200), "PART-002"),
        ("a.obj", b"\x89PNG\r\n\x1a\n" + bytes(200), "PART-002"),
        ("a.obj", b"a letter to the shop\n" * 30, "PART-003"),
        ("a.obj", b"v 0 0 0\nv 1 0 0\nv 0 1 0\n", "PART-064"),
        ("a.obj", b"v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 9\n", "PART-063"),
        ("a.obj", b"v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 0\n", "PART-063"),
        ("a.obj", b"v 0 0 0\nv 1 0 x\nf 1 2 3\n", "PART-060"),
        ("a.obj", b"v 0 0 0\nv 1 0 inf\nv 0 1 0\nf 1 2 3\n", "PART-060"),
        ("a.ply", b"ply\nformat ascii 1.0\n", "PART-003"),
        ("a.ply", ply(BLOCK).replace(b"element face 12", b"element face 12000000"), "PART-061"),
        ("a.ply", ply(BLOCK).replace(b"element vertex 8", b"element vertex 4000000000"), "PART-062"),
        ("a.ply", CUT, "PART-062"),
        ("a.ply", ply(BLOCK).replace(b"element face 12", b"element face 0"), "PART-064"),
        ("a.ply", ply(BLOCK).replace(b"property float x", b"property real x"), "PART-003"),
        ("a.3mf", PLAIN[:200], "PART-003"),
        ("a.3mf", threemf("<model"), "PART-003"),
        ("a.3mf", threemf(model(model_object(1, BLOCK), items="")[:-300]), "PART-003"),
        ("a.3mf", threemf(model(items=ITEM)), "PART-067"),
        ("a.3mf", threemf(model(SELF, items=ITEM)), "PART-067"),
        ("a.3mf", threemf(model(DEEP, items=ITEM)), "PART-061"),
        ("a.3mf", threemf(model(model_object(1, BLOCK), items=ITEM, unit='unit="cubit"')), "PART-060"),
        ("a.3mf", threemf('<!DOCTYPE m [<!ENTITY a "b">]>' + model(model_object(1, BLOCK), items=ITEM)), "PART-066"),
        ("a.3mf", threemf(model(model_object(1, BLOCK), items=ITEM), **{"../../out.model": "x"}), "PART-065"),
        ("a.3mf", threemf(model(model_object(1, BLOCK), items=ITEM), **{"C:/out.model": "x"}), "PART-065"),
    ],
)
def test_a_hostile_mesh_file_is_refused_in_three_lines(name, content, code):
    assert refused(name, content) == code


def test_an_archive_that_lies_about_its_size_is_inflated_no_further_than_the_limit(monkeypatch):
    monkeypatch.setattr("traywright.parts.threemf_file.MOST_BYTES", 5_000)
    told = threemf(" " * 4_000 + model(model_object(1, BLOCK), items=ITEM))
    assert refused("a.3mf", told) == "PART-065"


def test_an_archive_that_grows_beyond_the_limit_is_refused_by_what_it_says_of_itself(monkeypatch):
    monkeypatch.setattr("traywright.parts.threemf_file.MOST_BYTES", 50_000_000)
    assert refused("a.3mf", threemf("0" * 60_000_000)) == "PART-065"


def test_bytes_after_the_last_triangle_are_told():
    shape = read("a.stl", stl(BLOCK) + b"colour table")
    assert (volumes(shape), [one.code for one in shape.findings]) == ([VOLUME], ["PART-068"])


def test_too_many_triangles_are_refused_before_they_are_read(monkeypatch):
    monkeypatch.setattr("traywright.parts.mesh_limits.MOST_TRIANGLES", 5)
    for name, content in (
        ("a.stl", stl(BLOCK)),
        ("a.stl", stl_text(BLOCK)),
        ("a.obj", obj(("b", BLOCK))),
        ("a.3mf", PLAIN),
    ):
        assert refused(name, content) == "PART-061"
