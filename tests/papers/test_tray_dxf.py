from __future__ import annotations

import io
import os
import subprocess
import sys

import ezdxf
import pytest

from papers.asked import papers_asked
from traywright.papers.tray_dxf import layer_of, tray_dxf


def area_mm2(points):
    pairs = zip(points, [*points[1:], points[0]], strict=True)
    return sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairs) / 2.0


@pytest.fixture(scope="module")
def read():
    asked = papers_asked()
    content = tray_dxf(asked, asked.trays).content
    return asked.trays[0], ezdxf.read(io.StringIO(content.decode("utf-8")))


def test_the_file_is_in_millimetres_and_sound(read):
    _, drawing = read
    assert drawing.header["$INSUNITS"] == 4
    assert not drawing.audit().errors


def test_loops_are_closed_and_their_areas_are_those_of_the_features(read):
    tray, drawing = read
    by_layer = {}
    for loop in drawing.modelspace().query("LWPOLYLINE"):
        assert loop.closed
        points = [(x, y) for x, y, *_ in loop.get_points()]
        by_layer[loop.dxf.layer] = by_layer.get(loop.dxf.layer, 0.0) + area_mm2(points)
    wanted = {"OUTLINE": tray.outline.area_mm2, "PART": 30.0 * 20.0 * len(tray.cells)}
    for one in tray.features:
        wanted[layer_of(one)] = wanted.get(layer_of(one), 0.0) + one.region.area_mm2
    assert sorted(by_layer) == sorted(wanted)
    for layer, area in wanted.items():
        assert by_layer[layer] == pytest.approx(area, abs=0.01), layer
    assert {"FLOOR_30.000", "FLOOR_25.000", "THROUGH"} <= set(by_layer)


def test_cells_are_named_on_the_text_layer(read):
    tray, drawing = read
    told = [one.dxf.text for one in drawing.modelspace().query("TEXT") if one.dxf.layer == "TEXT"]
    assert [one for one in told if one.startswith("T1.C")] == [f"{one.id} block kit {one.kit_no}" for one in tray.cells]
    assert any("JOB-7 C T1 50 mm" in one for one in told)


def test_neither_date_nor_chance(read):
    asked = papers_asked()
    one, other = (tray_dxf(asked, asked.trays).content for _ in range(2))
    assert one == other
    assert b"2026-1" not in one


def test_the_bytes_do_not_hang_on_the_order_of_sets():
    """The library keeps its classes in a set: two runs of the demo gave two files."""
    script = (
        "import hashlib; from papers.asked import papers_asked; from traywright.papers import draw_papers;"
        "told = [one for one in draw_papers(papers_asked()) if one.file.endswith('.dxf')];"
        "print(hashlib.sha256(told[0].content).hexdigest())"
    )
    prints = set()
    for seed in ("1", "2", "3", "4", "5"):
        settings = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": os.pathsep.join(sys.path)}
        ran = subprocess.run([sys.executable, "-c", script], env=settings, capture_output=True, text=True, check=True)
        prints.add(ran.stdout)
    assert len(prints) == 1
