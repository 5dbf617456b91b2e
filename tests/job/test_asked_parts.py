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


STATES = """[[part.state]]
name = "painted"
added_mm = 0.2
added = [{ where = { facing = "+z" }, mm = 0.3 }]
mass_kg = 1.9
[[part.state]]
name = "hot"
temperature_c = 95
bag_mm = 0.5
"""


def with_states(states=STATES, block=BLOCK):
    read = read_enquiry(block.replace("[pack]", states + "[pack]", 1).encode())
    ((pose,), noticed) = build_poses(read, {}, load_cards())
    return pose, {one.code for _, one in noticed}


def test_states_reach_the_part_and_are_told():
    pose, codes = with_states()
    painted, hot = pose.part.states
    assert (painted.name, painted.added_mm, painted.added[0].added_mm) == ("painted", 0.2, 0.3)
    assert painted.mass.ref == "enquiry:part.block.state.painted.mass_kg"
    assert (hot.temperature.value, hot.bag_mm) == (95.0, 0.5)
    assert hot.expansion.ref == "table:thermal_expansion#aluminium.expansion_per_k"
    assert hot.size_ratio == pytest.approx(1.0 + 23.5e-6 * 75.0)
    assert [one.state for one in pose.part.grown] == ["painted"]
    assert {"PART-113", "PART-116", "PART-117"} <= codes
    assert "PART-112" not in codes


def test_an_expansion_that_is_told_goes_before_the_table_s():
    pose, codes = with_states(STATES.replace("temperature_c = 95", "temperature_c = 95\nexpansion_per_k = 50e-6"))
    assert pose.part.states[1].expansion.value == 50e-6
    assert "PART-116" not in codes


def test_heat_of_a_material_that_no_table_knows_is_not_calculated():
    block = BLOCK.replace('material = "aluminium"', "density_kg_m3 = 1200")
    pose, codes = with_states(block=block)
    assert pose.part.states[1].expansion is None
    assert "PART-112" in codes


def test_a_state_at_room_temperature_is_as_raw():
    _, codes = with_states('[[part.state]]\nname = "as raw"\ntemperature_c = 23\n')
    assert codes == set()


def test_an_outline_with_a_thickness_is_a_part():
    files = {
        "board.dxf": (SOLIDS / "control_board.dxf").read_bytes(),
        "half.svg": (SOLIDS / "spindle_half.svg").read_bytes(),
    }
    ((plate,), _) = poses("thickness_mm = 1.6", shape='file = "board.dxf"', files=files)
    assert plate.part.volume_mm3 == pytest.approx(14_410.274 * 1.6, rel=1e-5)
    ((turned,), _) = poses("turned = true", shape='file = "half.svg"', files=files)
    assert turned.part.volume_mm3 == pytest.approx(260_364.727, rel=1e-6)
    with pytest.raises(PartError) as refused:
        poses(shape='file = "board.dxf"', files=files)
    assert refused.value.code == "PART-095"
