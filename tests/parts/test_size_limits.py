"""One pair of limits holds for a part's size, whichever kind of file tells it."""

from __future__ import annotations

import pytest

from parts.mesh_bytes import block, stl
from traywright.base.errors import PartError
from traywright.parts import ShapeAsked, read_shape


def drawn(x_mm, y_mm):
    page = 'xmlns="http://www.w3.org/2000/svg" width="20000mm" height="20000mm" viewBox="0 0 20000 20000"'
    return f'<svg {page}><rect x="1" y="1" width="{x_mm}" height="{y_mm}" fill="none" stroke="#000"/></svg>'.encode()


def read(sides, kind):
    asked = {"id": "a", "length_unit": "mm"}
    if kind == "drawn":
        return read_shape(ShapeAsked(**asked, file_name="a.svg", thickness_mm=sides[2]), drawn(*sides[:2]))
    return read_shape(ShapeAsked(**asked, file_name="a.stl"), stl(block(sides=sides)))


@pytest.mark.parametrize("kind", ["drawn", "meshed"])
@pytest.mark.parametrize(
    ("sides", "believed"),
    [
        ((0.4, 0.4, 40.0), True),
        ((0.6, 0.2, 0.1), True),
        ((0.4, 0.2, 0.1), False),
        ((9000.0, 300.0, 2.0), True),
        ((10_001.0, 300.0, 2.0), False),
    ],
)
def test_a_drawn_part_and_a_meshed_one_have_the_same_limits(kind, sides, believed):
    if believed:
        (body,) = read(sides, kind).bodies
        low, high = body.mesh.bounds_mm
        assert tuple(high - low) == pytest.approx(sides, rel=1e-4)
        return
    with pytest.raises(PartError) as caught:
        read(sides, kind)
    assert caught.value.code == "PART-016"
