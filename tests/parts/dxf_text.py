"""DXF written by hand, group by group, so that a test does not lean on the library that reads it."""

from __future__ import annotations

from traywright.parts import read_drawing

BOARD_MM = (1200.0, 600.0)


def groups(*pairs) -> str:
    return "".join(f"{code}\n{told}\n" for code, told in pairs)


def line(start, end, layer="CUT", **more) -> str:
    (ax, ay), (bx, by) = start, end
    own = [(6 if key == "linetype" else int(key[1:]), told) for key, told in more.items()]
    return groups((0, "LINE"), (8, layer), *own, (10, ax), (20, ay), (30, 0.0), (11, bx), (21, by), (31, 0.0))


def arc(centre, radius, first, last, layer="CUT", up=1.0) -> str:
    place = ((10, centre[0]), (20, centre[1]), (30, 0.0), (40, radius), (50, first), (51, last))
    return groups((0, "ARC"), (8, layer), *place, (210, 0.0), (220, 0.0), (230, up))


def circle(centre, radius, layer="CUT") -> str:
    return groups((0, "CIRCLE"), (8, layer), (10, centre[0]), (20, centre[1]), (30, 0.0), (40, radius))


def polyline(corners, layer="CUT", closed=True) -> str:
    """Corners as x, y, bulge."""
    told = [pair for x, y, bulge in corners for pair in ((10, x), (20, y), (42, bulge))]
    return groups((0, "LWPOLYLINE"), (8, layer), (90, len(corners)), (70, int(closed)), *told)


def insert(name, at=(0.0, 0.0), layer="0", scale=(1.0, 1.0), turn=0.0, **array) -> str:
    place = ((10, at[0]), (20, at[1]), (30, 0.0), (41, scale[0]), (42, scale[1]), (43, 1.0), (50, turn))
    own = [(int(key[1:]), told) for key, told in array.items()]
    return groups((0, "INSERT"), (8, layer), (2, name), *place, *own)


def block(name, *entities, base=(0.0, 0.0)) -> str:
    head = ((0, "BLOCK"), (8, "0"), (2, name), (70, 0), (10, base[0]), (20, base[1]), (30, 0.0), (3, name))
    return groups(*head) + "".join(entities) + groups((0, "ENDBLK"), (8, "0"))


def layer(name, colour=7, flags=0) -> str:
    return groups((0, "LAYER"), (2, name), (70, flags), (62, colour), (6, "CONTINUOUS"))


def drawing(*entities, unit=4, blocks=(), layers=(), release="AC1009") -> bytes:
    """A whole file; unit None leaves the unit out."""
    head = [(0, "SECTION"), (2, "HEADER"), (9, "$ACADVER"), (1, release)]
    head += [] if unit is None else [(9, "$INSUNITS"), (70, unit)]
    told = groups(*head, (0, "ENDSEC"))
    if layers:
        told += groups((0, "SECTION"), (2, "TABLES"), (0, "TABLE"), (2, "LAYER"), (70, len(layers)))
        told += "".join(layers) + groups((0, "ENDTAB"), (0, "ENDSEC"))
    told += groups((0, "SECTION"), (2, "BLOCKS")) + "".join(blocks) + groups((0, "ENDSEC"))
    told += groups((0, "SECTION"), (2, "ENTITIES")) + "".join(entities) + groups((0, "ENDSEC"), (0, "EOF"))
    return told.encode("utf-8")


def rectangle(left, front, right, back, layer="CUT") -> list[str]:
    """Four loose lines."""
    corners = [(left, front), (right, front), (right, back), (left, back)]
    return [line(one, other, layer) for one, other in zip(corners, [*corners[1:], corners[0]], strict=True)]


def read(content, *, length_unit="mm", leave_out=(), keep_layers=(), board_mm=BOARD_MM):
    return read_drawing(
        content, "a.dxf", length_unit=length_unit, leave_out=leave_out, keep_layers=keep_layers, board_mm=board_mm
    )


def areas(content, **how) -> list[float]:
    return [one.contour.area_mm2 for one in read(content, **how).loops]


def codes(drawn) -> list[str]:
    return sorted({one.code for one in drawn.findings})
