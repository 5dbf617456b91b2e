"""The keys that may stand at a place, for the nearest of an unknown one."""

from __future__ import annotations

import pytest

from traywright.enquiry.faults import known_keys, place_of


@pytest.mark.parametrize(
    ("path", "some", "none"),
    [
        ((), {"job", "part"}, {"number"}),
        (("part", 0), {"mass_kg", "mass_lb", "tolerance_in"}, {"job"}),
        (("part", 0, "dimensions", "turned", "step", 1), {"bore_mm", "bore_in"}, {"wall_mm"}),
        (("part", 0, "dimensions", "tube"), {"wall_mm"}, {"step"}),
        (("part", 0, "dimensions"), {"wall_mm", "step"}, {"mass_kg"}),
        (("part", 0, "contact", 3, "where"), {"band_mm", "face_ids"}, {"rule"}),
        (("part", 0, "name"), set(), {"name", "id"}),
        (("loop", "step", 0), {"handling"}, {"years"}),
    ],
)
def test_known_keys_of_a_place(path, some, none):
    known = set(known_keys(path))
    assert some <= known
    assert not none & known


def test_a_place_reads_as_people_say_it():
    told = {"part": ({"id": "pin", "dimensions": {"step": ({}, {})}},)}
    assert place_of(("part", 0, "dimensions", "turned", "step", 1), told) == "part.pin.dimensions.step.2"
    assert place_of((), told) == "enquiry"
