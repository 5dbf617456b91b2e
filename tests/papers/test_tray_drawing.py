from __future__ import annotations

import io
from dataclasses import replace
from xml.etree import ElementTree as ET

import ezdxf
import pytest

from papers.asked import papers_asked
from traywright.geometry import Region
from traywright.papers import draw_papers
from traywright.papers.tray_drawing import equal_trays, tray_sheet
from traywright.trays import Feature, FeatureKind, Flat, Tray, TrayKind

TEXT = "{http://www.w3.org/2000/svg}text"


def pad(name, *, thick_mm=25.0, features=()):
    return Tray(
        id=name,
        name=f"pad {name}",
        kind=TrayKind.PAD,
        outline=Region.rectangle(0.0, 0.0, 150.0, 130.0),
        thickness_mm=thick_mm,
        foam="demo-pe45-dissipative",
        ply_boards=(("demo-2000x1000x25", thick_mm),),
        features=features,
    )


def hole(name):
    region = Region.disc((30.0, 30.0), 10.0)
    return Feature(id=f"{name}.F1", kind=FeatureKind.HOLE, side="top", region=region, floor=Flat(z_mm=0.0))


def texts(content):
    root = ET.fromstring(content)  # noqa: S314  # reason: our own file
    return [one.text for one in root.iter(TEXT)]


@pytest.fixture(scope="module")
def with_pads():
    asked = papers_asked()
    return replace(asked, trays=(*asked.trays, pad("T2"), pad("T3"), pad("T4", thick_mm=30.0)))


def test_equal_pads_have_one_drawing_that_names_them_all(with_pads):
    papers = {one.file: one for one in draw_papers(with_pads)}
    drawings = sorted(name for name in papers if "tray-" in name)
    assert drawings == [f"papers/tray-{name}.{end}" for name in ("T1", "T2", "T4") for end in ("dxf", "svg")]
    told = " ".join(texts(papers["papers/tray-T2.svg"].content))
    assert "T2 pad T2, T3 pad T3" in told
    assert "2 in a pack" in told
    drawing = ezdxf.read(io.StringIO(papers["papers/tray-T2.dxf"].content.decode("utf-8")))
    assert any("T2, T3" in one.dxf.text for one in drawing.modelspace().query("TEXT"))


def test_pads_that_differ_in_one_cut_are_not_equal():
    plain, holed, also = pad("T2"), pad("T3", features=(hole("T3"),)), pad("T4", features=(hole("T4"),))
    assert [[one.id for one in alike] for alike in equal_trays((plain, holed, also))] == [["T2"], ["T3", "T4"]]


def test_trays_with_cells_stand_alone():
    one = papers_asked().trays[0]
    assert len(equal_trays((one, replace(one, id="T2")))) == 2


def test_a_drawing_in_inches_has_no_millimetres_on_its_plan():
    asked = papers_asked(length_shown="inch")
    told = texts(tray_sheet(asked, asked.trays).content)
    assert "1.181" in told
    assert "30" not in told
    assert "5.906" in told, "150 mm across"


def test_the_edge_is_graduated():
    asked = papers_asked(columns=4)
    assert {"100", "200"} <= set(texts(tray_sheet(asked, asked.trays).content))


def test_same_bytes_twice():
    asked, again = papers_asked(), papers_asked()
    assert tray_sheet(asked, asked.trays).content == tray_sheet(again, again.trays).content
