"""Drawings cut as they are, through the command line: the drawer, the jig plate, rows of pockets, a measured board."""

from __future__ import annotations

import json
import math
import os
import shutil
import subprocess
import sys
from pathlib import Path

import ezdxf
import jsonschema
import pytest
from pypdf import PdfReader
from tests.jobs.conftest import ROOT, Ran, traywright

DRAWER = ROOT / "examples" / "drawer_as_drawn" / "files" / "drawer_as_drawn.dxf"
JIG = ROOT / "examples" / "jig_plate" / "files" / "jig_plate.dxf"
REMNANT = "NEST-012"
SCHEMA = json.loads((ROOT / "schemas" / "result.schema.json").read_text(encoding="utf-8"))


def as_drawn(folder: Path, *words: object) -> Ran:
    told = traywright("as-drawn", *words, "--out", folder, "--workers", 1, "--shop", folder.parent / "shop")
    return Ran(folder, told.returncode, told.stdout, told.stderr)


@pytest.fixture(scope="session")
def drawer(tmp_path_factory) -> Ran:
    """The drawer, as a customer's file comes: no unit, a gap, a doubled line, words and a dimension."""
    folder = tmp_path_factory.mktemp("drawer") / "job"
    return as_drawn(folder, DRAWER, "--board", "two-colour-1200x600x30", "--cutter", "flat-8", "--json")


@pytest.fixture(scope="session")
def jig(tmp_path_factory) -> Ran:
    """A drilling jig in hard plastic, from its enquiry."""
    folder = tmp_path_factory.mktemp("jig") / "job"
    told = traywright("job", ROOT / "examples" / "jig_plate" / "enquiry.toml", "--out", folder, "--workers", 1)
    return Ran(folder, told.returncode, told.stdout, told.stderr)


def figures(ran: Ran) -> dict[str, float]:
    return {one["path"]: one["value"] for one in ran.result["figures"]}


def found(ran: Ran, code: str) -> list[dict]:
    groups = [ran.result[key]["findings"] for key in ("design", "nesting", "quote", "job")]
    groups += [one["findings"] for key in ("hold", "verification") for one in ran.result[key]]
    return [one for group in groups for one in group if one["code"] == code]


def test_the_drawer_ends_well_and_reads_back_true(drawer):
    assert drawer.code == 0, drawer.stderr
    assert json.loads(drawer.stdout) == drawer.result
    jsonschema.Draft202012Validator(SCHEMA).validate(drawer.result)
    assert [one["true"] for one in drawer.result["verification"]] == [True]
    assert drawer.result["verdict"]["word"] == "not asked"
    assert drawer.result["protection"] == {"verdict": "not asked", "findings": []}
    assert drawer.result["parts"] == []
    assert drawer.result["pack"] is None


def test_areas_volume_and_corners_of_the_drawer(drawer):
    """Areas by final depth from the sizes of the drawing (rectangles, circles, segments), to 0.01 mm²."""
    told, tray = figures(drawer), drawer.result["trays"][0]
    by_depth = {24: 3740.00, 20: 6283.72, 18: 23378.42, 14: 16209.56, 12: 3897.93, 6: 6720.00}
    for deep, area in by_depth.items():
        assert told[f"design/T1/area_{deep}"] == pytest.approx(area, abs=0.01)
    assert told["design/T1/outline"] == pytest.approx(221998.16, abs=0.01)
    assert tray["open_area_mm2"] == pytest.approx(60229.62, abs=0.01)
    assert tray["removed_mm3"] == pytest.approx(950274.8, rel=1e-4)
    assert tray["corner_left_mm2"] == pytest.approx(54.1, abs=0.05)


def test_every_trap_of_the_drawer_is_told(drawer):
    gap, doubled = found(drawer, "PART-035"), found(drawer, "PART-036")
    assert len(gap) == len(doubled) == 1
    assert gap[0]["point_mm"] == pytest.approx([300, 130], abs=0.2)
    assert {"name": "gap_mm", "value": 0.3} in gap[0]["parameters"]
    assert [(one["field"], one["taken"]) for one in drawer.result["questions"]] == [
        ("drawing.length_unit", "mm"),
        ("drawing.leave_out", "DIM, TEXT"),
    ]
    assert len(found(drawer, "TRAY-037")) == 18
    assert len(found(drawer, "TRAY-039")) == 1
    assert len(found(drawer, "TRAY-041")) == 5
    walls = [{each["name"]: each["value"] for each in one["parameters"]} for one in found(drawer, "TRAY-038")]
    assert sorted(one["wide_mm"] for one in walls) == pytest.approx([2.0, 7.0, *[8.0] * 7], abs=0.01)


def test_at_most_five_findings_stand_first(drawer):
    verdict = drawer.result["verdict"]
    assert verdict["stops"] == 0
    assert 1 <= verdict["warnings"] <= 5


def test_the_order_of_the_drawer(drawer):
    """By levels, shallowest first; the deep slot goes to the capsules' depth with them, and to its own later."""
    operations = drawer.result["programs"][0]["operations"]
    levels = [round(30 - one["level_mm"], 3) for one in operations if one["kind"] != "outline"]
    assert levels == sorted(levels)
    assert set(levels) == {6, 12, 14, 18, 20, 24}
    slot = next(one["id"] for one in drawer.result["trays"][0]["features"] if one["kind"] == "slot")
    depths = [
        round(30 - one["level_mm"], 3) for one in operations if any(name.endswith(slot) for name in one["features"])
    ]
    assert depths == [14, 20]


def test_the_file_to_the_read_back_takes_at_most_five_seconds(tmp_path):
    """CPU seconds that the command itself tells, compile apart; the machine's speed is no reason for a second try."""
    told = as_drawn(tmp_path / "job", DRAWER, "--board", "two-colour-1200x600x30", "--cutter", "flat-8")
    spent = [line.strip().split(": ") for line in told.stdout.splitlines() if line.startswith("  ") and ": " in line]
    stages = {name: float(value) for name, value in spent if value.replace(".", "").isdigit()}
    del stages["Compile kernels"]
    upto = sum(value for name, value in stages.items() if name not in {"Papers", "Write the folder"})
    assert upto <= 5.0, stages


def test_again_asks_nothing_and_keeps_what_was_answered(drawer, tmp_path):
    folder = tmp_path / "job"
    shutil.copytree(drawer.folder, folder)
    ran = as_drawn(folder, "--again", "--qty", 4)
    assert ran.code == 0, ran.stderr
    assert ran.result["questions"] == []
    assert sum(one["count"] * len(one["pieces"]) for one in ran.result["boards"]) == 4
    assert ran.result["trays"] == [
        {**one, "plies": [{**ply, "count": 4} for ply in one["plies"]]} for one in drawer.result["trays"]
    ]
    kept = (folder / "enquiry.toml").read_text(encoding="utf-8")
    assert "quantity = 4" in kept
    assert 'length_unit = "mm"' in kept


def test_the_drawing_goes_out_as_it_came_in(drawer):
    """Areas and radii of the loops on paper against the customer's own file, read by another library."""
    sent = ezdxf.readfile(DRAWER).modelspace()
    came = [one.dxf.radius for one in sent.query("CIRCLE")]
    drawn = ezdxf.readfile(next((drawer.folder / "papers").glob("*.dxf"))).modelspace()
    loops = [one for one in drawn.query("LWPOLYLINE") if one.closed]
    out = []
    for one in loops:
        bulges = [bulge for *_, bulge in one.get_points("xyb")]
        if all(abs(bulge) > 0.01 for bulge in bulges):
            (x, y, bulge), (u, v, _) = one.get_points("xyb")[:2]
            out.append(math.dist((x, y), (u, v)) / 2 / abs(math.sin(2 * math.atan(bulge))))
    out += [one.dxf.radius for one in drawn.query("CIRCLE")]
    assert sorted(out) == pytest.approx(sorted(came), abs=0.01)


def test_the_price_is_the_minimum_charge_and_the_rest_is_a_remnant(drawer):
    quote = drawer.result["quote"]
    assert quote["breaks"][0]["price"] == "120.00"
    assert found(drawer, "QUO-010")
    assert found(drawer, REMNANT)


def test_one_page_for_the_machine_and_one_for_the_customer(drawer):
    pages = {one.name: PdfReader(one) for one in sorted((drawer.folder / "papers").glob("*.pdf"))}
    assert len(pages) == 2
    assert [len(one.pages) for one in pages.values()] == [1, 1]
    words = {name: "".join(page.extract_text() for page in one.pages) for name, one in pages.items()}
    customer = next(text for name, text in words.items() if "machine" not in name)
    assert "Cut as drawn" in customer
    assert "not ours" in customer


def test_the_jig_is_done_the_same_way(jig):
    assert jig.code == 0, jig.stderr
    assert [one["true"] for one in jig.result["verification"]] == [True]
    told = figures(jig)
    # by hand: holes, slots and steps from the sizes of the drawing
    through = 4 * math.pi * 4.5**2 + 3 * math.pi * 100 + 2 * (60 * 10 + math.pi * 25)
    inner = 140 * 60 - (4 - math.pi) * 36 - 3 * math.pi * 100
    outer = 180 * 90 - (4 - math.pi) * 36 - (140 * 60 - (4 - math.pi) * 36)
    assert told["design/T1/area_12"] == pytest.approx(through, abs=0.01)
    assert told["design/T1/area_8"] == pytest.approx(inner, abs=0.01)
    assert told["design/T1/area_4"] == pytest.approx(outer, abs=0.01)
    assert jig.result["quote"]["packs"] == 2


def test_nothing_plunges_into_hard_plastic(jig):
    """Feed and spindle speed are the plastic's own; the read-back judges the way down."""
    text = next((jig.folder / "programs").iterdir()).read_text(encoding="ascii")
    assert "F3000" in text  # 50 mm/s of the card
    assert "S12000" in text  # the card asks for 16000, the machine has 12000


@pytest.mark.parametrize(("keep", "floor", "depth"), [("floor", 10.0, 38.6), ("depth", 8.6, 40.0)])
def test_a_board_measured_thin_agrees_in_program_paper_and_read_back(tmp_path, keep, floor, depth):
    """Nominal 50, measured 48.6, a pocket 40 deep: the floor of 10 stays, or the depth of 40."""
    (tmp_path / "shop" / "cards" / "board").mkdir(parents=True)
    card = (ROOT / "src/traywright/catalogue/data/cards/board/demo-2000x1000x50.toml").read_text(encoding="utf-8")
    own = tmp_path / "shop" / "cards" / "board" / "own-50.toml"
    own.write_text(card + "floor_least_mm = 5\n", encoding="utf-8")
    drawing = tmp_path / "tray.dxf"
    made = ezdxf.new("R2010", units=4)
    for layer, left, front, right, back in (("OUTLINE", 0, 0, 300, 200), ("D_40", 50, 50, 250, 150)):
        made.modelspace().add_lwpolyline(
            [(left, front), (right, front), (right, back), (left, back)], close=True, dxfattribs={"layer": layer}
        )
    made.saveas(drawing)
    ran = as_drawn(tmp_path / "job", drawing, "--board", "own-50", "--thickness", 48.6, "--keep", keep)
    assert ran.code == 0, ran.stderr
    tray = ran.result["trays"][0]
    assert tray["keep"] == keep
    assert tray["size_mm"][2] == 48.6
    assert tray["features"][0]["floor"]["start_mm"][2] == pytest.approx(floor)
    assert figures(ran)[f"design/T1/area_{depth:g}"] == pytest.approx(20000)
    assert ran.result["verification"][0]["true"]
    pocket = next(one for one in ran.result["programs"][0]["operations"] if one["kind"] == "pocket")
    assert pocket["level_mm"] == pytest.approx(floor)
    program = next((tmp_path / "job" / "programs").iterdir()).read_text(encoding="ascii")
    assert f"Z{floor:.3f}".rstrip("0").rstrip(".") in program
    words = "".join(
        page.extract_text()
        for one in sorted((tmp_path / "job" / "papers").glob("*.pdf"))
        for page in PdfReader(one).pages
    )
    assert f"{floor:g}" in words
    assert f"{depth:g}" in words
    assert "48.6" in words


def test_a_floor_under_the_least_at_the_measured_thickness_is_refused(tmp_path):
    made = ezdxf.new("R2010", units=4)
    for layer, left, front, right, back in (("OUTLINE", 0, 0, 300, 200), ("D_39.5", 50, 50, 250, 150)):
        made.modelspace().add_lwpolyline(
            [(left, front), (right, front), (right, back), (left, back)], close=True, dxfattribs={"layer": layer}
        )
    made.saveas(tmp_path / "tray.dxf")
    ran = as_drawn(
        tmp_path / "job",
        *(tmp_path / "tray.dxf", "--board", "demo-2000x1000x50", "--thickness", 48.6, "--keep", "depth"),
    )
    assert ran.code == 2
    assert len(ran.stderr.strip().splitlines()[-3:]) == 3
    assert "TRAY-027" in ran.stderr
    assert not (tmp_path / "job").exists()


def test_a_depth_table_is_typed_once_for_a_customer(tmp_path):
    made = ezdxf.new("R2010", units=4)
    for layer, left, front, right, back in (("OUTLINE", 0, 0, 300, 200), ("GREEN", 50, 50, 250, 150)):
        made.modelspace().add_lwpolyline(
            [(left, front), (right, front), (right, back), (left, back)], close=True, dxfattribs={"layer": layer}
        )
    made.saveas(tmp_path / "tray.dxf")
    words = (tmp_path / "tray.dxf", "--board", "demo-2000x1000x50", "--customer", "Example Toolroom")
    refused = as_drawn(tmp_path / "none", *words)
    assert refused.code == 2
    assert "GREEN" in refused.stderr
    first = as_drawn(tmp_path / "first", *words, "--depth", "GREEN=20")
    second = as_drawn(tmp_path / "second", *words)
    assert first.code == second.code == 0, second.stderr
    assert figures(second)["design/T1/area_20"] == pytest.approx(20000)


@pytest.mark.parametrize("corner", ["leave", "smaller_cutter", "relief"])
def test_two_cutters_read_back_true_whatever_is_chosen_for_corners(tmp_path, corner):
    """A fault: areas and read-back took the smaller cutter, and only the larger one cut."""
    made = ezdxf.new("R2010", units=4)
    for layer, left, front, right, back in (("OUTLINE", 0, 0, 200, 150), ("D_8", 60, 40, 120, 100)):
        made.modelspace().add_lwpolyline(
            [(left, front), (right, front), (right, back), (left, back)], close=True, dxfattribs={"layer": layer}
        )
    made.saveas(tmp_path / "tray.dxf")
    ran = as_drawn(
        tmp_path / "job",
        *(tmp_path / "tray.dxf", "--board", "two-colour-1200x600x30", "--corner", corner),
        *("--cutter", "flat-12", "--cutter", "flat-8"),
    )
    assert ran.code == 0, ran.stderr
    assert ran.result["verification"][0]["true"], found(ran, "RB-061")
    left = ran.result["trays"][0]["corner_left_mm2"]
    assert left == pytest.approx(0.0, abs=1.0) if corner == "relief" else left == pytest.approx(4 * 3.434, abs=0.05)


def test_layer_names_that_dxf_does_not_take_do_not_stop_the_job(tmp_path):
    """A fault: the drawing of the loops could not be written, after all the cutting."""
    body = '<g id="outline"><rect width="200" height="150" fill="none" stroke="black"/></g>'
    for number, name in enumerate(("a=b", "A/B", "x:y", "Pocket", "POCKET")):
        box = f'<rect x="{10 + 36 * number}" y="40" width="24" height="60" fill="none" stroke="black"/>'
        body += f'<g id="g{number}" label="{name}">{box}</g>'
    head = '<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="150mm" viewBox="0 0 200 150">'
    (tmp_path / "tray.svg").write_text(f"{head}{body}</svg>", encoding="utf-8")
    words = [each for name in ("a=b", "A/B", "x:y", "Pocket") for each in ("--depth", f"{name}=8")]
    ran = as_drawn(tmp_path / "job", tmp_path / "tray.svg", "--board", "two-colour-1200x600x30", *words)
    assert ran.code == 0, ran.stderr
    assert figures(ran)["design/T1/area_8"] == pytest.approx(5 * 24 * 60)


@pytest.mark.parametrize(
    "content", ["broken = [", "format = 1\ndrawing = 3\n", "format = 1\n", "format = 1\n[drawing]\nfile = 3\n"]
)
def test_again_in_a_folder_of_something_else_is_three_lines(tmp_path, content):
    folder = tmp_path / "job"
    folder.mkdir()
    (folder / "result.json").write_text("{}", encoding="utf-8")
    (folder / "enquiry.toml").write_text(content, encoding="utf-8")
    ran = as_drawn(folder, "--again")
    assert ran.code == 2
    assert "Traceback" not in ran.stderr
    assert (folder / "enquiry.toml").read_text(encoding="utf-8") == content


def test_a_layer_that_is_cut_and_holds_a_word_is_cut_again(tmp_path):
    """A fault: the word's layer was written as left out, and the next run cut no pocket."""
    made = ezdxf.new("R2010", units=4)
    for layer, left, front, right, back in (("OUTLINE", 0, 0, 300, 200), ("DEPTH_14", 50, 50, 250, 150)):
        made.modelspace().add_lwpolyline(
            [(left, front), (right, front), (right, back), (left, back)], close=True, dxfattribs={"layer": layer}
        )
    made.modelspace().add_text("A", dxfattribs={"layer": "DEPTH_14", "insert": (60, 60)})
    made.saveas(tmp_path / "tray.dxf")
    as_drawn(tmp_path / "job", tmp_path / "tray.dxf", "--board", "demo-2000x1000x50")
    ran = as_drawn(tmp_path / "job", "--again")
    assert ran.code == 0, ran.stderr
    assert figures(ran)["design/T1/area_14"] == pytest.approx(20000)


def test_rows_of_pockets_without_a_drawing(tmp_path):
    told = traywright(
        *("simple", "--part", "180x120x62", "--count", 12, "--board", "demo-2000x1000x50", "--grip", "each"),
        *("--out", tmp_path / "job", "--workers", 1, "--shop", tmp_path / "shop"),
    )
    assert told.returncode == 0, told.stderr
    ran = Ran(tmp_path / "job", told.returncode, told.stdout, told.stderr)
    assert all(one["true"] for one in ran.result["verification"])
    pockets = sum(one["kind"] == "pocket" for tray in ran.result["trays"] for one in tray["features"])
    assert pockets * ran.result["quote"]["packs"] >= 12


HOSTILE = """
import resource, sys
resource.setrlimit(resource.RLIMIT_AS, (3 << 30, 3 << 30))
from traywright.__main__ import main
sys.argv = ["traywright", *sys.argv[1:]]
main()
"""


@pytest.mark.parametrize("kind", ["million entities", "entity bomb", "block that holds itself", "not a number"])
def test_hostile_files_are_refused_in_three_lines(tmp_path, kind):
    """Within 20 s of CPU and, without what the libraries map, 1 GB."""
    line = "0\nLINE\n8\nA\n10\n0.0\n20\n0.0\n11\n{x}\n21\n1.0\n"
    head, tail = "0\nSECTION\n2\nENTITIES\n", "0\nENDSEC\n0\nEOF\n"
    block = (
        "0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n8\n0\n2\nB\n70\n0\n10\n0\n20\n0\n0\nINSERT\n8\n0\n2\nB\n10\n0\n20\n0\n"
        "0\nENDBLK\n8\n0\n0\nENDSEC\n"
    )
    texts = {
        "million entities": ("m.dxf", head + line.format(x="5.0") * 1_000_000 + tail),
        "entity bomb": (
            "b.svg",
            (
                '<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">]>'
                '<svg xmlns="http://www.w3.org/2000/svg"><text>&b;</text></svg>'
            ),
        ),
        "block that holds itself": (
            "r.dxf",
            block + head + "0\nINSERT\n8\n0\n2\nB\n10\n0\n20\n0\n" + tail,
        ),
        "not a number": ("n.dxf", head + line.format(x="nan") + tail),
    }
    name, content = texts[kind]
    (tmp_path / name).write_text(content, encoding="ascii")
    words = ("as-drawn", tmp_path / name, "--board", "demo-2000x1000x50", "--out", tmp_path / "job", "--shop", tmp_path)
    before = os.times()
    told = subprocess.run(
        [sys.executable, "-c", HOSTILE, *map(str, words)], capture_output=True, text=True, check=False, timeout=120
    )
    after = os.times()
    assert told.returncode == 2, told.stderr[-2000:]
    assert "Traceback" not in told.stderr
    assert (after.children_user - before.children_user) + (after.children_system - before.children_system) < 20
    assert not (tmp_path / "job").exists()
