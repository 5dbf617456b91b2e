from __future__ import annotations

import math
from dataclasses import asdict

import pytest

from parts.asked import KIT, SPINDLE, asked, contact, plate, skin_of_bodies
from traywright.base import Severity
from traywright.parts import Disc, Hole, Plate, Rule, build_part
from traywright.parts.build import solid_of_dimensions
from traywright.parts.face_match import place_faces
from traywright.parts.faces import faces_told, normals_of
from traywright.parts.skin import skin_of_mesh
from traywright.parts.step_file import bodies_of_step
from traywright.parts.where import FaceNamed


def drilled(*holes, length_mm=100.0):
    shape = Plate(
        length_mm=length_mm,
        width_mm=60.0,
        thickness_mm=10.0,
        holes=tuple(Hole(x_mm=x, y_mm=y, diameter_mm=d) for x, y, d in holes),
    )
    return skin_of_mesh("p", solid_of_dimensions("p", shape))


def named(skin, find, **changes):
    """The face of a skin that fits, as an enquiry names it."""
    face = next(one for one in faces_told(skin.fitted) if find(one))
    told = {"number": face.number, "kind": face.kind, "centre_mm": face.centre_mm}
    return FaceNamed(**(told | changes))


def placed(skin, *faces, strict=True):
    return place_faces("p", skin.mesh, skin.fitted, faces, strict=strict)


def hole_at(x_mm, y_mm):
    return lambda one: one.kind == "cylinder" and math.dist(one.centre_mm[:2], (x_mm, y_mm)) < 0.1


def codes(result):
    return [one.code for one in result.findings]


def parameters(result):
    return dict(result.findings[0].parameters)


def test_a_face_that_stayed_is_used_in_silence():
    skin = drilled((20, 30, 8), (60, 30, 8))
    one = named(skin, hole_at(60, 30))
    assert placed(skin, one).numbers == (one.number,)
    assert codes(placed(skin, one)) == []


def test_another_number_is_noted_with_both():
    skin = drilled((20, 30, 8), (60, 30, 8))
    was = named(skin, hole_at(60, 30))
    result = placed(skin, named(skin, hole_at(60, 30), number=77))
    assert (codes(result), result.numbers) == (["PART-100"], (was.number,))
    assert result.findings[0].severity is Severity.NOTE
    assert (parameters(result)["number"], parameters(result)["found"]) == (77, was.number)


def test_a_moved_face_is_told_with_how_far():
    was = named(drilled((20, 30, 8), (60, 30, 8)), hole_at(60, 30))
    now = drilled((20, 30, 8), (63, 34, 8))
    result = placed(now, was)
    assert result.numbers == (named(now, hole_at(63, 34)).number,)
    assert codes(result) == ["PART-101"]
    assert result.findings[0].severity is Severity.WARN
    assert parameters(result)["off_mm"] == pytest.approx(5.0, abs=0.01)
    assert result.findings[0].point_mm == pytest.approx((63, 34, 5), abs=0.01)


def test_a_face_further_than_a_tenth_of_the_part_or_ten_millimetres_is_another():
    skin = drilled((20, 30, 8))
    for off_mm, code in ((9.9, "PART-101"), (10.1, "PART-102")):
        assert codes(placed(skin, named(skin, hole_at(20, 30), centre_mm=(20.0, 30.0 - off_mm, 5.0)))) == [code]
    small = skin_of_mesh("p", solid_of_dimensions("p", Disc(diameter_mm=30.0, thickness_mm=5.0, bore_mm=8.0)))
    bore = named(small, lambda one: one.inside)
    for off_mm, code in ((2.9, "PART-101"), (3.1, "PART-102")):
        shifted = (bore.centre_mm[0] + off_mm, *bore.centre_mm[1:])
        name = FaceNamed(number=bore.number, kind="cylinder", centre_mm=shifted, diameter_mm=8.0)
        assert codes(placed(small, name)) == [code]


def test_between_two_nothing_is_chosen():
    was = named(drilled((60, 30, 8)), hole_at(60, 30))
    now = drilled((55, 30, 8), (65, 30, 8), (20, 30, 8))
    both = tuple(sorted(named(now, hole_at(x, 30)).number for x in (55, 65)))
    result = placed(now, was)
    assert (result.numbers, result.doubtful, codes(result)) == ((), both, ["PART-102"])
    assert result.findings[0].severity is Severity.STOP
    assert parameters(result)["count"] == 2
    # a different diameter settles it
    named_wide = FaceNamed(number=was.number, kind="cylinder", centre_mm=was.centre_mm, diameter_mm=8.0)
    assert codes(placed(drilled((55, 30, 8), (65, 30, 12)), named_wide)) == ["PART-101"]


def test_the_nearest_is_meant_if_the_next_is_three_times_as_far():
    was = named(drilled((60, 30, 4)), hole_at(60, 30))
    assert codes(placed(drilled((62, 30, 4), (53.9, 30, 4)), was)) == ["PART-101"]
    assert codes(placed(drilled((62, 30, 4), (54.1, 30, 4)), was)) == ["PART-102"]


def test_faces_that_share_a_middle_are_told_apart_by_number_or_diameter():
    ring = skin_of_mesh("p", solid_of_dimensions("p", Disc(diameter_mm=40.0, thickness_mm=8.0, bore_mm=30.0)))
    bore = named(ring, lambda one: one.inside)
    assert codes(placed(ring, bore)) == []
    lost = FaceNamed(number=99, kind="cylinder", centre_mm=bore.centre_mm)
    assert codes(placed(ring, lost)) == ["PART-102"]
    wide = FaceNamed(number=99, kind="cylinder", centre_mm=bore.centre_mm, diameter_mm=30.0)
    assert (codes(placed(ring, wide)), placed(ring, wide).numbers) == (["PART-100"], (bore.number,))


def test_a_changed_diameter_is_told_and_a_larger_change_is_another_face():
    was = named(drilled((60, 30, 8)), hole_at(60, 30), diameter_mm=8.0)
    result = placed(drilled((60, 30, 8.6)), was)
    assert codes(result) == ["PART-103"]
    assert (parameters(result)["was_mm"], parameters(result)["diameter_mm"]) == (8.0, pytest.approx(8.6, abs=0.01))
    assert codes(placed(drilled((60, 30, 9.0)), was)) == ["PART-102"]


def test_axis_and_area_count_where_they_are_told():
    skin = drilled((60, 30, 8))
    one = next(face for face in faces_told(skin.fitted) if face.kind == "cylinder")
    table = {"number": 99, "kind": "cylinder", "centre_mm": one.centre_mm}
    assert codes(placed(skin, FaceNamed(**table, axis=one.axis, area_mm2=one.area_mm2))) == ["PART-100"]
    assert codes(placed(skin, FaceNamed(**table, axis=(1.0, 0.0, 0.0)))) == ["PART-102"]
    assert codes(placed(skin, FaceNamed(**table, area_mm2=one.area_mm2 * 2))) == ["PART-102"]


def test_a_face_found_in_place_is_not_offered_to_another():
    before = drilled((56, 30, 4), (60, 30, 4), (20, 30, 4))
    one, other = named(before, hole_at(56, 30)), named(before, hole_at(60, 30))
    after = drilled((56, 30, 4), (62, 30, 4), (20, 30, 4))
    result = placed(after, one, other)
    assert sorted(result.numbers) == sorted(named(after, hole_at(x, 30)).number for x in (56, 62))
    assert "PART-102" not in codes(result)


def test_two_names_never_mean_one_face():
    before = drilled((58, 30, 4), (62, 30, 4))
    names = (named(before, hole_at(58, 30)), named(before, hole_at(62, 30)))
    assert codes(placed(drilled((60, 30, 4)), *names)) == ["PART-102", "PART-102"]
    assert codes(placed(before, names[0], names[0])) == []


def area(part, rule):
    _, areas = normals_of(part.surface.mesh.corners_mm)
    return float(areas[part.surface.rules == rule].sum())


GONE = ({"id": 1, "kind": "cylinder", "centre_mm": (20.0, 20.0, 5.0)},)
TWO = Plate(
    length_mm=100.0,
    width_mm=60.0,
    thickness_mm=10.0,
    holes=(Hole(x_mm=60.0, y_mm=30.0, diameter_mm=8.0), Hole(x_mm=80.0, y_mm=30.0, diameter_mm=8.0)),
)


def test_a_lost_face_is_read_the_strict_way_and_never_ends_the_job():
    part, noticed = build_part(asked(dimensions=TWO, contacts=(contact(Rule.NEVER, face_ids=GONE),)))
    assert [(one.code, one.severity) for one in noticed] == [("PART-102", Severity.STOP)]
    assert area(part, Rule.NEVER) == pytest.approx(2 * math.pi * 8 * 10, rel=0.01)
    allowed = contact(Rule.ALLOWED, face_ids=GONE, must_hold=True)
    part, noticed = build_part(asked(dimensions=TWO, contacts=(allowed,), default_rule=Rule.NEVER))
    assert [one.code for one in noticed] == ["PART-102"]
    assert area(part, Rule.ALLOWED) == 0.0
    assert not part.surface.must_hold.any()
    carries_nothing = contact(Rule.ALLOWED, face_ids=GONE, load=False)
    part, _ = build_part(asked(dimensions=TWO, contacts=(carries_nothing,), default_rule=Rule.NEVER))
    _, areas = normals_of(part.surface.mesh.corners_mm)
    assert areas[~part.surface.carries].sum() == pytest.approx(2 * math.pi * 8 * 10, rel=0.01)
    assert area(part, Rule.ALLOWED) == 0.0


def test_a_lost_face_does_not_become_a_clash_with_what_must_hold():
    hold = contact(Rule.ALLOWED, surface="cylinder", must_hold=True)
    part, noticed = build_part(asked(dimensions=TWO, contacts=(hold, contact(Rule.NEVER, face_ids=GONE))))
    assert [one.code for one in noticed] == ["PART-102"]
    assert not part.surface.must_hold.any()


def test_a_longer_plate_keeps_its_end():
    end = {"id": 0, "kind": "plane", "centre_mm": (100.0, 30.0, 5.0)}
    longer = Plate(length_mm=104.0, width_mm=60.0, thickness_mm=10.0)
    part, noticed = plate(dimensions=longer, contacts=(contact(Rule.NEVER, face_ids=(end,)),))
    assert [one.code for one in noticed] == ["PART-101"]
    assert area(part, Rule.NEVER) == pytest.approx(600)


def test_numbers_of_a_step_file_repeat_and_are_told():
    content = (KIT / SPINDLE.file_name).read_bytes()
    first, again = (skin_of_bodies("s", bodies_of_step("s", "s.step", content, 1.0)[0]) for _ in range(2))
    assert faces_told(first.fitted) == faces_told(again.fitted)
    assert (first.faces == again.faces).all()
    told = faces_told(first.fitted)
    assert [one.number for one in told] == list(range(20))
    journal = next(one for one in told if one.diameter_mm == 40.0)
    assert (journal.kind, journal.inside, journal.axis) == ("cylinder", False, (1.0, 0.0, 0.0))
    assert journal.centre_mm == pytest.approx((37.0, 0.0, 0.0), abs=0.01)
    assert journal.area_mm2 == pytest.approx(math.pi * 40 * 46, rel=1e-3)
    assert sorted(one.diameter_mm for one in told if one.inside and one.kind == "cylinder") == [6.6] * 6 + [16.0]
    assert set(asdict(journal)) == {"number", "kind", "diameter_mm", "axis", "centre_mm", "area_mm2", "inside"}
