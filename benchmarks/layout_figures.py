"""The figures of docs/layout.md: what the layout room reaches, in how many CPU seconds, beside what is known."""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Iterator
from pathlib import Path

import shapely

from traywright.geometry import Region
from traywright.layout import (
    Container,
    Effort,
    Kind,
    LayoutAsked,
    Sides,
    Spacing,
    densest_lattice,
    lay_out,
    pack_rectangles,
)

ROOT = Path(__file__).resolve().parents[1]
PAGE = ROOT / "docs" / "layout.md"
BEGIN, END = "<!-- figures: python3 run.py bench layout -->", "<!-- figures end -->"
QUARTERS_DEG = (0.0, 90.0, 180.0, 270.0)
WALL_MM = 8.0
# Counts that were asked for in rows and in all; a grid of bounding boxes takes 20, 16, 28, 20, 12, 8.
ASKED = {
    "l_bracket": (32, 33),
    "flanged_shaft": (21, 22),
    "ring": (33, 33),
    "c_clamp": (20, 20),
    "wrench": (18, 20),
    "connecting_rod": (15, 17),
}
FULL = Effort()


def tables(cpu_s: Callable[[], float]) -> Iterator[str]:
    """The tables, line by line, as they are worked out."""
    yield from _six(cpu_s)
    yield from _lattices(cpu_s)
    yield from _pallets(cpu_s)


def _six(cpu_s: Callable[[], float]) -> Iterator[str]:
    yield "Six outlines of `examples/outlines` in 560 x 360, wall and rim 8; rows head-to-tail, most in quarter turns:"
    yield ""
    yield "| Outline | Rows | asked | CPU s | Most | asked | CPU s | Bound |"
    yield "|---|---|---|---|---|---|---|---|"
    lay_out(_question(Region.rectangle(0, 0, 90, 60), QUARTERS_DEG), Effort(rounds=1))  # compiles
    for name, (rows, most) in ASKED.items():
        outline = Region(shapely.from_wkt((ROOT / "examples" / "outlines" / f"{name}.wkt").read_text(encoding="utf-8")))
        before_s = cpu_s()
        regular, _ = lay_out(_question(outline, (0.0, 180.0)), Effort(rounds=0))
        between_s = cpu_s()
        _, found = lay_out(_question(outline, QUARTERS_DEG), FULL)
        after_s = cpu_s()
        in_rows = f"{regular.count} | {rows} | {between_s - before_s:.2f}"
        in_all = f"{found.count} | {most} | {after_s - between_s:.1f}"
        yield f"| {name.replace('_', ' ')} | {in_rows} | {in_all} | {found.bound} |"
    yield ""


def _question(outline: Region, turns_deg: tuple[float, ...]) -> LayoutAsked:
    wall = Sides.all_round(WALL_MM)
    return LayoutAsked(
        kinds=(Kind(id="one", outline=outline),),
        container=Container(width_mm=560.0, depth_mm=360.0),
        spacing=Spacing(wall=wall, rim=wall),
        turns_deg=turns_deg,
    )


def _lattices(cpu_s: Callable[[], float]) -> Iterator[str]:
    yield "Densest lattices, share of the plane that is covered:"
    yield ""
    yield "| Outline | Found | Known | Ratio | CPU s | Known from |"
    yield "|---|---|---|---|---|---|"
    densest_lattice(_regular(4), Sides.all_round(0.0), half_turned=True)  # compiles
    for name, outline, known, source in _known():
        before_s = cpu_s()
        found = densest_lattice(outline, Sides.all_round(0.0), half_turned=True).density_ratio
        ratio = f"{found:.5f} | {known:.5f} | {found / known:.4f} | {cpu_s() - before_s:.1f}"
        yield f"| {name} | {ratio} | {source} |"
    yield ""


def _regular(corners: int) -> Region:
    turn = (2.0 * math.pi * k / corners for k in range(corners))
    return Region.polygon([(20.0 * math.cos(a), 20.0 * math.sin(a)) for a in turn])


def _known() -> Iterator[tuple[str, Region, float, str]]:
    yield "regular pentagon", _regular(5), 0.92131, "Hales and Kusner 2016"
    yield "regular heptagon", _regular(7), 0.89269, "from memory"
    yield "regular octagon", _regular(8), 0.90616, "from memory"
    yield "circle (192 corners)", _regular(192), math.pi / math.sqrt(12.0), "Thue 1910"
    yield "triangle", Region.polygon([(0, 0), (40, 3), (12, 30)]), 1.0, "tiles"
    yield "quadrilateral", Region.polygon([(0, 0), (40, 5), (33, 38), (6, 29)]), 1.0, "tiles"
    yield "hollow quadrilateral", Region.polygon([(0, 0), (40, 0), (14, 9), (8, 35)]), 1.0, "tiles"


def _pallets(cpu_s: Callable[[], float]) -> Iterator[str]:
    yield "Equal rectangles, instances of `tests/data/layout/pallet`:"
    yield ""
    yield "| Sheet | Rectangle | Found | Optimum | Bound | CPU s |"
    yield "|---|---|---|---|---|---|"
    path = ROOT / "tests" / "data" / "layout" / "pallet" / "pallet_known.json"
    for one in json.loads(path.read_text(encoding="utf-8")):
        before_s = cpu_s()
        found = pack_rectangles(
            width_mm=one["L"],
            depth_mm=one["W"],
            item_width_mm=one["l"],
            item_depth_mm=one["w"],
            kerf_mm=0.0,
            edge_mm=0.0,
        )
        told = f"{found.count} | {one['optimum']} | {found.bound} | {cpu_s() - before_s:.2f}"
        yield f"| {one['L']} x {one['W']} | {one['l']} x {one['w']} | {told} |"
    yield ""


def write(lines: list[str]) -> None:
    """Nothing; the page holds the figures between its two marks."""
    page = PAGE.read_text(encoding="utf-8")
    before, _, rest = page.partition(BEGIN)
    _, _, after = rest.partition(END)
    PAGE.write_text(before + BEGIN + "\n\n" + "\n".join(lines) + "\n" + END + after, encoding="utf-8", newline="\n")
