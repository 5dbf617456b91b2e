from __future__ import annotations

import pytest

from traywright.base.errors import PartError
from traywright.parts.unit_sanity import SizeStated, unit_of_part

SPINDLE = SizeStated(size_as_mm=(168.0, 92.0, 92.0), volume_as_mm3=257_490.9)
SPINDLE_INCH = SizeStated(size_as_mm=(6.6142, 3.622, 3.622), volume_as_mm3=15.713)


def taken(shape, told="", asked_for="file"):
    return unit_of_part("a", "a.stl", shape, told=told, asked_for=asked_for)


def test_a_stated_unit_that_fits_is_taken_in_silence():
    for told, shape in (("mm", SPINDLE), ("inch", SPINDLE_INCH)):
        found = taken(shape, told)
        assert (found.unit, found.questions, found.findings) == (told, (), ())


def test_no_unit_is_always_asked_and_millimetres_go_first():
    found = taken(SPINDLE)
    assert found.unit == "mm"
    assert [one.asks for one in found.questions] == ["unit_unknown"]
    assert [unit for unit, _ in found.questions[0].readings] == ["mm", "inch", "m", "cm"]


@pytest.mark.parametrize(
    ("shape", "unit"),
    [
        (SPINDLE_INCH, "inch"),
        (SizeStated(size_as_mm=(0.168, 0.092, 0.092), volume_as_mm3=2.57e-4), "m"),
        (SizeStated(size_as_mm=(40.0, 40.0, 2.0), volume_as_mm3=3200.0), "mm"),
    ],
)
def test_a_thousand_times_too_small_is_read_by_its_size(shape, unit):
    assert taken(shape).unit == unit


def test_the_mass_decides_between_two_believable_sizes():
    size = (16.8, 9.2, 9.2)
    assert taken(SizeStated(size_as_mm=size, volume_as_mm3=257.4909)).unit == "mm"
    # 33 kg in 16.8 mm would be 128 million kg/m3, in 427 mm it is steel
    assert taken(SizeStated(size_as_mm=size, volume_as_mm3=257.4909, mass_kg=33.0)).unit == "inch"


def test_inches_under_a_millimetre_flag_are_asked_with_both_readings():
    found = taken(SizeStated(size_as_mm=SPINDLE_INCH.size_as_mm, volume_as_mm3=15.713, mass_kg=2.02), told="mm")
    assert found.unit == "mm"
    assert [one.code for one in found.findings] == ["PART-130"]
    assert [unit for unit, _ in found.questions[0].readings] == ["mm", "inch"]
    assert "7845" in found.questions[0].readings[1][1]


def test_a_stated_thickness_speaks_against_a_unit():
    plate = SizeStated(size_as_mm=(9.0, 5.0, 0.1), volume_as_mm3=4.5, thickness_mm=2.54)
    assert taken(plate, told="mm").questions
    assert not taken(plate, told="inch").questions


def test_the_word_of_the_enquiry_goes_first_and_the_difference_is_told():
    found = taken(SPINDLE, told="inch", asked_for="mm")
    assert (found.unit, [one.code for one in found.findings]) == ("mm", ["PART-026"])


def test_what_is_believable_in_no_unit_is_refused():
    with pytest.raises(PartError) as refused:
        taken(SizeStated(size_as_mm=(1e9, 1.0, 1.0), volume_as_mm3=1.0))
    assert refused.value.code == "PART-131"
    with pytest.raises(PartError) as refused:
        taken(SPINDLE, asked_for="cubit")
    assert refused.value.code == "PART-012"
