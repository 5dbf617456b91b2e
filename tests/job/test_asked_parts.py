"""An enquiry's parts as the parts room builds them."""

from __future__ import annotations

import pytest
from tests.jobs.conftest import ROOT

from parts.asked import SOLIDS
from traywright.base.errors import JobError, PartError
from traywright.catalogue import load_cards
from traywright.enquiry import read_enquiry
from traywright.job.asked_parts import build_poses

BLOCK = (ROOT / "examples" / "one_block" / "enquiry.toml").read_text(encoding="utf-8")
SHAPE = 'dimensions = { kind = "block", length_mm = 100, width_mm = 60, thickness_mm = 30 }'
KIT = SOLIDS / "kit_assembly.step"


def poses(*lines, shape=SHAPE, files=None):
    told = BLOCK.replace(SHAPE, "\n".join((shape, *lines)))
    return build_poses(read_enquiry(told.encode()), files or {}, load_cards())


def test_a_searched_pose_is_the_hardest_to_tip():
    tall = SHAPE.replace("thickness_mm = 30", "thickness_mm = 180")
    ((told,), _) = poses(shape=tall)
    assert told.size_mm[2] == pytest.approx(180.0)
    ((found,), noticed) = poses('pose = "search"', shape=tall)
    assert found.size_mm[2] == pytest.approx(60.0)
    assert noticed == ()


def test_one_body_of_a_file_is_the_part():
    content = KIT.read_bytes()
    ((prism,), _) = poses('body = "prism_1"', shape='file = "kit.step"', files={"kit.step": content})
    assert prism.part.volume_mm3 == pytest.approx(62_274.9, rel=0.001)
    with pytest.raises(PartError) as refused:
        poses('body = "prisma_1"', shape='file = "kit.step"', files={"kit.step": content})
    assert refused.value.code == "PART-132"
    assert "prism_1" in str(refused.value)


def test_a_file_that_fells_its_reader_ends_in_a_refusal():
    fells = (ROOT / "tests" / "data" / "hostile" / "fells_its_reader.step").read_bytes()
    with pytest.raises(JobError) as refused:
        poses(shape='file = "fells.step"', files={"fells.step": fells})
    assert refused.value.code == "JOB-042"
    assert "fells.step" in str(refused.value)
