"""A part of an earlier job is found again by its shape alone."""

from __future__ import annotations

import json

import pytest

from parts.asked import KIT, SOLIDS, SPINDLE, demo
from traywright.base.errors import JobError
from traywright.job.earlier_parts import found_again
from traywright.parts import part_record, read_shape, shape_print, take_pose
from traywright.parts.shape import ShapeAsked


@pytest.fixture
def jobs(tmp_path):
    part = demo(SPINDLE)[0]
    record = part_record(part, take_pose(part, (0.0, 0.0, -1.0)))
    (tmp_path / "J-17").mkdir()
    (tmp_path / "J-17" / "result.json").write_text(json.dumps({"parts": [record]}), encoding="utf-8")
    (tmp_path / "older").mkdir()
    (tmp_path / "older" / "result.json").write_text('{"parts": [{"id": "a"}]}', encoding="utf-8")
    (tmp_path / "broken").mkdir()
    (tmp_path / "broken" / "result.json").write_text("{", encoding="utf-8")
    return tmp_path


def shape_of(path):
    shape = read_shape(ShapeAsked(id="a", file_name=path.name, length_unit="file"), path.read_bytes())
    return shape_print(shape.bodies[0].mesh).text


def test_the_same_part_from_another_file_is_known_again(jobs):
    found = found_again(jobs, [("a", shape_of(SOLIDS / "spindle_inch.step")), ("b", shape_of(SOLIDS / "spindle.stl"))])
    assert [(one.code, dict(one.parameters)["job"]) for one in found] == [("PART-075", "J-17"), ("PART-075", "J-17")]


def test_another_part_is_not(jobs):
    assert found_again(jobs, [("a", shape_of(KIT / "prism.step"))]) == ()


def test_a_folder_that_is_not_there_is_refused(tmp_path):
    with pytest.raises(JobError) as refused:
        found_again(tmp_path / "gone", [])
    assert refused.value.code == "JOB-044"
