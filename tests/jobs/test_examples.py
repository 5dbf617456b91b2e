"""The other two examples: a second job with inches and two of one part, and the smallest job."""

from __future__ import annotations

import json

import pytest
from tests.jobs.conftest import ROOT, traywright


def test_two_blocks_ends_well(two_blocks):
    assert two_blocks.code == 0, two_blocks.stderr
    result = two_blocks.result
    assert all(one["true"] for one in result["verification"])
    assert len(result["programs"]) > 0


def test_two_of_one_part_a_kit_are_two_cells_a_kit(two_blocks):
    result = two_blocks.result
    counts = {}
    for tray in result["trays"]:
        for cell in tray["cells"]:
            counts[cell["part"]] = counts.get(cell["part"], 0) + 1
    kits = result["pack"]["kits"]
    assert sorted(count // kits for count in counts.values()) == [1, 2]
    assert all(count % kits == 0 for count in counts.values())


def test_inches_of_the_enquiry_are_millimetres_in_the_result(two_blocks):
    """The second example tells one part in inches: its size comes out as 25.4 times the number of the file."""
    sizes = {one["id"]: one["size_mm"] for one in two_blocks.result["parts"]}
    text = (two_blocks.folder / "enquiry.toml").read_text(encoding="utf-8")
    assert "_in" in text
    lengths = [
        float(line.split("=")[1].split("#")[0]) for line in text.splitlines() if line.strip().startswith("length_in")
    ]
    assert lengths
    assert any(max(size) == pytest.approx(sum(lengths) * 25.4) for size in sizes.values())


def test_one_block_closes_the_chain(one_block):
    assert one_block.code == 0, one_block.stderr
    result = one_block.result
    assert all(one["true"] for one in result["verification"])
    assert float(result["quote"]["breaks"][0]["price"]) > 0
    assert [one for tray in result["trays"] for one in tray["cells"]]


def test_where_no_packs_are_asked_the_loop_tells_how_many(tmp_path):
    """A traceback: the key that a loop stands in for was looked up all the same."""
    text = (ROOT / "examples" / "one_block" / "enquiry.toml").read_text(encoding="utf-8")
    loop = '\n[loop]\nkits_per_week = 10\nspare_packs = 1\n\n[[loop.step]]\nkind = "leg"\nname = "out"\ndays = 3\n'
    path = tmp_path / "enquiry.toml"
    path.write_text(text.replace("packs = 2\n", "") + loop, encoding="utf-8")
    told = traywright("job", path, "--out", tmp_path / "out", "--json", "--workers", 1)
    assert told.returncode == 0, told.stderr
    result = json.loads(told.stdout)
    # 10 kits a week over 5 working days, 3 days away: 6 packs on the way, 1 spare
    assert result["quote"]["packs"] == 7
    by_path = {one["path"]: one for one in result["figures"]}
    assert by_path["quoting/loop/pool"]["id"] in by_path["quoting/7/packs"]["inputs"]
