"""Random drawings written by hand as DXF and SVG, broken up as customers send them, against the exact areas drawn."""

from __future__ import annotations

import math
import random
from collections import Counter

from traywright.geometry import Contour
from traywright.parts import Drawing, read_drawing

TITLE = "Loops broken into shuffled lines and arcs, with gaps and doubles, read back: count and exact area of each."
COUNT = 1000
CELL_MM = 90.0
QUARTER = math.tan(math.pi / 8.0)
BOARD_MM = (1200.0, 800.0)

Piece = tuple[tuple[float, float], tuple[float, float], float]
"""Start, end and bulge of one edge."""


def _loop(draw: random.Random, left: float, front: float) -> Contour:
    """One loop inside a cell: a circle, a capsule, a rectangle, one with round corners, or a triangle."""
    wide, deep = draw.uniform(12.0, 80.0), draw.uniform(12.0, 80.0)
    kind = draw.choice(("circle", "capsule", "rectangle", "round", "triangle"))
    if kind == "circle":
        radius = min(wide, deep) / 2.0
        return Contour.circle((left + radius, front + radius), radius)
    if kind == "triangle":
        return Contour.polygon(((left, front), (left + wide, front), (left + wide / 3.0, front + deep)))
    r = draw.uniform(0.5, 0.4 * min(wide, deep))
    if kind == "capsule":
        wide_in = min(wide, 80.0 - 2.0 * r)
        corners = ((r, 0.0, 0.0), (r + wide_in, 0.0, 1.0), (r + wide_in, 2.0 * r, 0.0), (r, 2.0 * r, 1.0))
        return Contour(corners=tuple((left + x, front + y, bulge) for x, y, bulge in corners))
    if kind == "rectangle":
        return Contour.polygon(((left, front), (left + wide, front), (left + wide, front + deep), (left, front + deep)))
    corners = (
        *((r, 0.0, 0.0), (wide - r, 0.0, QUARTER), (wide, r, 0.0), (wide, deep - r, QUARTER)),
        *((wide - r, deep, 0.0), (r, deep, QUARTER), (0.0, deep - r, 0.0), (0.0, r, QUARTER)),
    )
    return Contour(corners=tuple((left + x, front + y, bulge) for x, y, bulge in corners))


def _pieces(loop: Contour) -> list[Piece]:
    """The edges of a loop."""
    return [(one.start_mm, one.end_mm, one.bulge_ratio) for one in loop.edges]


def _gap(draw: random.Random, pieces: list[Piece]) -> list[Piece]:
    """One straight edge shortened at its start by less than half a millimetre."""
    number = next((at for at, one in enumerate(pieces) if one[2] == 0.0), -1)
    if number < 0:
        return pieces
    (ax, ay), (bx, by), _ = pieces[number]
    share = draw.uniform(0.05, 0.45) / math.dist((ax, ay), (bx, by))
    short = ((ax + (bx - ax) * share, ay + (by - ay) * share), (bx, by), 0.0)
    return [*pieces[:number], short, *pieces[number + 1 :]]


def _line(start: tuple[float, float], end: tuple[float, float], layer: str) -> str:
    return f"0\nLINE\n8\n{layer}\n10\n{start[0]!r}\n20\n{start[1]!r}\n11\n{end[0]!r}\n21\n{end[1]!r}\n"


def _poly(pieces: list[Piece], layer: str, *, closed: bool) -> str:
    """A light polyline; an open one ends where its last edge ends."""
    spots = [(*start, bulge) for start, _, bulge in pieces]
    spots += [] if closed else [(*pieces[-1][1], 0.0)]
    rows = "".join(f"10\n{x!r}\n20\n{y!r}\n42\n{bulge!r}\n" for x, y, bulge in spots)
    return f"0\nLWPOLYLINE\n8\n{layer}\n100\nAcDbEntity\n100\nAcDbPolyline\n90\n{len(spots)}\n70\n{int(closed)}\n{rows}"


def _dxf(entities: list[str], unit: str) -> bytes:
    """A drawing as small programs write it."""
    code = {"mm": 4, "inch": 1, "": 0}[unit]
    head = (
        f"0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n9\n$INSUNITS\n70\n{code}\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n"
    )
    return f"{head}{''.join(entities)}0\nENDSEC\n0\nEOF\n".encode("ascii")


def _path(pieces: list[Piece], *, closed: bool) -> str:
    """A loop or an edge as SVG path data, y down."""
    words = [f"M{pieces[0][0][0]!r},{-pieces[0][0][1]!r}"]
    for (ax, ay), (bx, by), bulge in pieces:
        if bulge == 0.0:
            words.append(f"L{bx!r},{-by!r}")
            continue
        turn = 4.0 * math.atan(bulge)
        radius = math.dist((ax, ay), (bx, by)) / (2.0 * abs(math.sin(turn / 2.0)))
        large, sweep = int(abs(turn) > math.pi), int(bulge < 0.0)
        words.append(f"A{radius!r},{radius!r} 0 {large} {sweep} {bx!r},{-by!r}")
    return "".join(words) + ("Z" if closed else "")


def _svg(paths: list[tuple[str, str]], unit: str) -> bytes:
    """A drawing as SVG, a group a layer."""
    told = "mm" if unit == "mm" else "in" if unit == "inch" else ""
    body = "".join(f'<g id="{layer}"><path d="{path}" fill="none" stroke="black"/></g>' for layer, path in paths)
    size = f'width="2000{told}" height="2000{told}" viewBox="0 -2000 2000 2000"' if told else ""
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size}>{body}</svg>'.encode("ascii")


class _Sheet:
    """A drawing while it is written, in both formats at once."""

    def __init__(self, draw: random.Random, ratio: float) -> None:
        self._draw = draw
        self._ratio = ratio
        self.entities: list[str] = []
        self.paths: list[tuple[str, str]] = []
        self.gaps = self.doubles = 0

    def add(self, loop: Contour, layer: str) -> None:
        """Write one loop whole, loose, with a gap or with a line that stands twice."""
        style, pieces = self._draw.choice(("whole", "loose", "gap", "double")), _pieces(loop)
        cut = _gap(self._draw, pieces) if style == "gap" else pieces
        self.gaps += cut != pieces
        k = self._ratio
        told = [((a[0] * k, a[1] * k), (b[0] * k, b[1] * k), bulge) for a, b, bulge in cut]
        if style == "whole":
            self.entities.append(_poly(told, layer, closed=True))
            self.paths.append((layer, _path(told, closed=True)))
            return
        for a, b, bulge in told:
            self._edge((a, b, bulge) if self._draw.random() < 0.5 else (b, a, -bulge), layer)
        straight = [one for one in told if one[2] == 0.0]
        if style == "double" and straight:
            self.doubles += 1
            self._edge((straight[0][1], straight[0][0], 0.0), layer)

    def _edge(self, one: Piece, layer: str) -> None:
        """Write one edge alone."""
        self.entities.append(_line(one[0], one[1], layer) if one[2] == 0.0 else _poly([one], layer, closed=False))
        self.paths.append((layer, _path([one], closed=False)))


def judge(draw: random.Random) -> tuple[str, str]:
    """Nothing if every loop comes back with its own area and every mend is told; and how the drawing was written."""
    loops = [_loop(draw, 5.0 + CELL_MM * (at % 3), 5.0 + CELL_MM * (at // 3)) for at in range(draw.randint(1, 9))]
    unit, form = draw.choice(("mm", "inch", "")), draw.choice(("dxf", "svg"))
    sheet = _Sheet(draw, 1.0 / 25.4 if unit == "inch" else 1.0)
    for number, loop in enumerate(loops, start=1):
        sheet.add(loop, f"D_{number}")
    draw.shuffle(sheet.entities)
    draw.shuffle(sheet.paths)
    content = _dxf(sheet.entities, unit) if form == "dxf" else _svg(sheet.paths, unit)
    given = "file" if unit else "mm"
    drawing = read_drawing(content, f"x.{form}", length_unit=given, leave_out=(), board_mm=BOARD_MM)
    wanted = [one.area_mm2 for one in loops]
    return _fault(drawing, wanted, sheet.gaps, sheet.doubles), f"{form}, unit {unit or 'asked'}"


def _fault(drawing: Drawing, wanted: list[float], gaps: int, doubles: int) -> str:
    """What does not agree with what was drawn."""
    found = {one.layer: one for one in drawing.loops}
    told = Counter(one.code for one in drawing.findings)
    if len(drawing.loops) != len(wanted) or drawing.lines:
        return f"{len(found)} loops and {len(drawing.lines)} lines of {len(wanted)} loops"
    for number, area in enumerate(wanted, start=1):
        off = found[f"D_{number}"].contour.area_mm2 - area
        if abs(off) > 0.01:
            return f"D_{number} off by {off:.4f} mm2"
    if (told["PART-035"], told["PART-036"]) != (gaps, doubles):
        return f"told {told['PART-035']} gaps of {gaps}, {told['PART-036']} doubles of {doubles}"
    return ""
