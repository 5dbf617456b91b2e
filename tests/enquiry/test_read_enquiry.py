"""The enquiry as read: nouns, grounds, assumptions, and every refusal in three lines."""

from __future__ import annotations

import tomllib

import pytest

from enquiry.asked import HEAD, LOOP, PART, REST, SHAPE, enquiry
from house.source import ROOT
from traywright.base import Status, fingerprint
from traywright.base.errors import EnquiryError
from traywright.base.messages import text
from traywright.catalogue import load_cards, table
from traywright.enquiry import is_drawn, read_enquiry, to_plain

EXAMPLES = sorted(path for path in (ROOT / "examples").glob("*/enquiry.toml") if not is_drawn(path.read_bytes()))


def refused(content):
    with pytest.raises(EnquiryError) as refusal:
        read_enquiry(content)
    assert len(str(refusal.value).splitlines()) == 3
    assert "{" not in str(refusal.value).replace("{'", "")
    return refusal.value


def with_dimensions(told):
    return enquiry(shape=f"[part.dimensions]\n{told}\n")


# the 25 kinds of bad input that reach this room, as content -> code, and a word that the sentence must hold
BAD = [
    (b"\xff\xfe", "ENQ-001", "TOML"),
    (b"format = ", "ENQ-001", "end of document"),
    (b"", "ENQ-002", "None"),
    (enquiry(head=HEAD.replace("format = 1", "format = true")), "ENQ-002", "True"),
    (enquiry(head=HEAD.replace("format = 1", 'format = "1"')), "ENQ-002", "1"),
    (enquiry(head=HEAD.replace("format = 1", "format = 0")), "ENQ-002", "0"),
    (enquiry(head=HEAD.replace("format = 1", "format = 2")), "ENQ-003", "2"),
    (enquiry(more='[drawing]\nfile = "x.dxf"\n'), "ENQ-004", "drawing"),
    (enquiry(part=PART + "mas_kg = 1\n"), "ENQ-005", '"mass_kg"'),
    (enquiry(part=PART + "mas_lb = 1\n"), "ENQ-005", '"mass_kg"'),
    (enquiry(shape=SHAPE + "lenght_mm = 1\n"), "ENQ-005", '"length_mm"'),
    (enquiry(rest=REST + "dialects = 'x'\n"), "ENQ-005", '"dialect"'),
    (enquiry(more="[sho]\n"), "ENQ-005", '"shop"'),
    (enquiry(part=PART + "mass_kg = { is = 1, hihg = 2 }\n"), "ENQ-005", '"high"'),
    (enquiry(part=PART + "pose = { donw = [0, 0, -1] }\n"), "ENQ-005", '"down"'),
    (enquiry(shape=SHAPE + '[[part.contact]]\nrule = "never"\nwhere = { boxx_mm = 1 }\n'), "ENQ-005", '"box_mm"'),
    (enquiry(shape=SHAPE.replace("width_mm = 60", "")), "ENQ-006", '"width_mm"'),
    (enquiry(shape=SHAPE.replace('kind = "block"', "")), "ENQ-006", '"kind"'),
    (enquiry(head=HEAD.replace('number = "T-1"', "")), "ENQ-006", '"number"'),
    (enquiry(part=""), "ENQ-007", "part is"),
    (enquiry(part="", shape=""), "ENQ-006", '"part"'),
    (enquiry(rest=""), "ENQ-006", "missing"),
    (enquiry(more=LOOP.replace("kits_per_week = 5", "")), "ENQ-006", '"kits_per_week"'),
    (enquiry(more='[[lift]]\nat = "ladder"\n'), "ENQ-006", '"height_mm"'),
    (enquiry(part=PART + 'mass_kg = "2"\n'), "ENQ-007", "a number"),
    (enquiry(part=PART + "mass_kg = true\n"), "ENQ-007", "a number"),
    (enquiry(part=PART + "mass_kg = [2]\n"), "ENQ-007", "a number"),
    (enquiry(part=PART + 'mass_kg = { is = "2" }\n'), "ENQ-007", "a number"),
    (enquiry(part=PART + 'mass_kg = { is = 2, status = "sure" }\n'), "ENQ-007", "measured"),
    (enquiry(part=PART + "mass_kg = { is = 2, source = 3 }\n"), "ENQ-007", "text"),
    (enquiry(part=PART + "per_kit = 1.5\n"), "ENQ-007", "whole number"),
    (enquiry(part=PART + 'static_sensitive = "no"\n'), "ENQ-007", "true or false"),
    (enquiry(part=PART + 'default_rule = "maybe"\n'), "ENQ-007", "not_at_rest"),
    (enquiry(part=PART.replace('"block"', '"../block"')), "ENQ-007", "letters"),
    (enquiry(part=PART.replace('"Block"', '""')), "ENQ-007", "text"),
    (enquiry(part=PART.replace('"Block"', '"a\\u0007"')), "ENQ-007", "printable"),
    (enquiry(part=PART.replace('"Block"', f'"{"x" * 2001}"')), "ENQ-007", "printable"),
    (enquiry(head=HEAD.replace("dated = 2026-11-25", 'dated = "today"')), "ENQ-007", "a day"),
    (enquiry(head=HEAD.replace("dated = 2026-11-25", "dated = 2026-11-25T10:00:00")), "ENQ-007", "a day"),
    (enquiry(head=HEAD.replace('"T-1"', '"T 1"')), "ENQ-007", "letters"),
    (enquiry(head=HEAD + 'hazards = ["fire"]\n'), "ENQ-007", "lithium_cells"),
    (enquiry(head=HEAD + '[[job.damage]]\nsaid = "x"\nkind = "broken"\n'), "ENQ-007", "dented"),
    (enquiry(rest=REST.replace('["XLPE33"]', "[]")), "ENQ-007", "list"),
    (enquiry(rest=REST.replace('["XLPE33"]', '"XLPE33"')), "ENQ-007", "list"),
    (enquiry(more="[offer]\ndamage_cost_per_part = 3.5\n"), "ENQ-007", "money"),
    (enquiry(more='[offer]\ndamage_cost_per_part = "-3"\n'), "ENQ-007", "money"),
    (enquiry(more='[offer]\ndamage_cost_per_part = "NaN"\n'), "ENQ-007", "money"),
    (enquiry(more='[offer]\ncurrency = "Euro"\n'), "ENQ-007", "form"),
    (enquiry(shape=SHAPE.replace('"block"', '"bloc"')), "ENQ-007", "block"),
    (enquiry(shape=SHAPE + '[[part.contact]]\nrule = "never"\nwhere = "top"\n'), "ENQ-007", "table"),
    (enquiry(head=HEAD.replace("[job]", "[job]\ndue = 5")), "ENQ-007", "a day"),
    (b"format = 1\njob = 5\n", "ENQ-007", "table"),
    (b"format = 1\npart = 5\n", "ENQ-007", "list"),
    (enquiry(more=LOOP + "temperature_c = [50, -20]\n"), "ENQ-007", "smaller first"),
    *[
        (enquiry(part=PART + f"mass_kg = {value}\n"), "ENQ-008", "part.block.mass_kg")
        for value in ("0", "-2", "nan", "inf", "-inf", "1e9", "1" + "0" * 400)
    ],
    *[
        (enquiry(part=PART + f"per_kit = {value}\n"), "ENQ-008", "part.block.per_kit")
        for value in ("0", "-1", "1000000000", "nan")
    ],
    (enquiry(shape=SHAPE.replace("60", "0")), "ENQ-008", "part.block.dimensions.width_mm"),
    (enquiry(part=PART + "turns_allowed_deg = [nan]\n"), "ENQ-008", "turns_allowed_deg"),
    (enquiry(part=PART + "mass_kg = { is = 2, low = 0 }\n"), "ENQ-008", "part.block.mass_kg"),
    (enquiry(part=PART + "mass_kg = { is = 2, low = 2.1 }\n"), "ENQ-009", "2.1"),
    (enquiry(shape=SHAPE + PART + SHAPE), "ENQ-010", '"block"'),
    (enquiry(more=LOOP + LOOP.partition("5\n")[2]), "ENQ-010", '"out"'),
    (enquiry(part=PART + "mass_kg = 1\nmass_lb = 2\n"), "ENQ-011", '"mass_lb"'),
    (enquiry(part=PART + "mass_lb = 1\nmass_kg = 2\n"), "ENQ-011", '"mass_lb"'),
    (enquiry(shape=""), "ENQ-012", "shape"),
    (enquiry(part=PART + 'file = "files/x.step"\n'), "ENQ-012", "shape"),
    *[
        (enquiry(part=PART + f"file = '{name}'\n", shape=""), "ENQ-013", "outside")
        for name in ("/x.step", "../x.step", "files/../../x.step", "c:x.step", "files\\x.step")
    ],
    (enquiry(part=PART + 'file = "files/x.doc"\n', shape=""), "ENQ-014", "STEP"),
    (enquiry(part=PART.replace('material = "aluminium"', "")), "ENQ-015", "mass"),
    (enquiry(shape=SHAPE + '[[part.contact]]\nrule = "never"\nwhere = {}\n'), "ENQ-016", "contact.1.where"),
    (
        enquiry(shape=SHAPE + '[[part.contact]]\nrule = "never"\nwhere = { band_mm = [0, 5] }\n'),
        "ENQ-016",
        "along",
    ),
    (
        enquiry(shape=SHAPE + '[[part.contact]]\nrule = "never"\nwhere = { band_mm = [5, 0], along = "x" }\n'),
        "ENQ-016",
        "order",
    ),
    (enquiry(shape=SHAPE + '[[part.contact]]\nrule = "never"\nwhere = { edge_mm = 4 }\n'), "ENQ-016", "normal"),
    (enquiry(part=PART + "pose = { down = [0, 0, 0] }\n"), "ENQ-016", "search"),
    (enquiry(shape=SHAPE + "[[part.dimensions.hole]]\nx_mm = 5\ny_mm = 5\ndiameter_mm = 3\n"), "ENQ-016", "through"),
    (
        enquiry(shape=SHAPE + "[[part.dimensions.boss]]\nx_mm = 5\ny_mm = 5\nsize = {}\nheight_mm = 3\n"),
        "ENQ-016",
        "diameter_mm",
    ),
    (with_dimensions('kind = "outline"\nthickness_mm = 3'), "ENQ-016", "level"),
    (enquiry(head=HEAD + '[[job.damage]]\nsaid = "x"\npart = "blok"\nkind = "dented"\n'), "ENQ-017", '"block"'),
]


@pytest.mark.parametrize(("content", "code", "word"), BAD, ids=[f"{code}-{word}" for _, code, word in BAD])
def test_bad_input_is_refused_in_three_lines(content, code, word):
    fault = refused(content)
    assert fault.code == code, str(fault)
    assert word in str(fault)


def test_the_small_enquiry_is_good():
    assert read_enquiry(enquiry()).enquiry.part[0].dimensions.width_mm == 60.0


@pytest.mark.parametrize("kind", ["turned", "plate", "block", "tube", "disc", "outline"])
def test_every_kind_of_dimensions_is_read(kind):
    told = {
        "turned": "step = [{ length_mm = 10, diameter_mm = 5 }, { length_mm = 4, diameter_mm = 3, bore_mm = 1 }]",
        "plate": "length_mm = 9\nwidth_mm = 8\nthickness_mm = 1\n"
        "hole = [{ x_mm = 1, y_mm = 1, diameter_mm = 1, through = true }]",
        "block": "length_mm = 9\nwidth_mm = 8\nthickness_mm = 1\n"
        'boss = [{ x_mm = 1, y_mm = 1, size = { length_mm = 2, width_mm = 1 }, height_mm = 1, side = "bottom" }]',
        "tube": "length_mm = 9\nwidth_mm = 8\nheight_mm = 7\nwall_mm = 1",
        "disc": "diameter_mm = 9\nthickness_mm = 1",
        "outline": "thickness_mm = 3\n"
        'points_mm = [[0, 0], [10, 0], { to = [10, 10], centre = [10, 5], way = "ccw" }, [0, 10]]',
    }[kind]
    assert read_enquiry(with_dimensions(f'kind = "{kind}"\n{told}')).enquiry.part[0].dimensions.kind == kind


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
def test_an_example_is_read_and_names_only_cards_and_files_that_are_there(path):
    told, cards = read_enquiry(path.read_bytes()).enquiry, load_cards()
    for part in told.part:
        assert not part.file or (path.parent / part.file).is_file()
        assert not part.material or cards.material(part.material)
    assert all(cards.box(box) for box in told.pack.boxes)
    assert all(cards.foam(foam) for foam in told.foam.allowed)
    assert {cards.board(board).foam for board in told.shop.boards} <= set(told.foam.allowed)
    assert all(cards.handling(one) for one in read_enquiry(path.read_bytes()).handlings)
    assert cards.machine(told.shop.machine).id == told.shop.machine
    assert cards.dialect(told.shop.dialect).id == told.shop.dialect
    assert cards.rates(told.shop.rates).currency == told.offer.currency
    assert told.invented


def test_the_examples_hold_what_they_are_for():
    assert [path.parent.name for path in EXAMPLES] == ["one_block", "survey_kit", "two_blocks"]
    two = read_enquiry(EXAMPLES[2].read_bytes()).enquiry
    assert [part.per_kit for part in two.part] == [2, 1]
    assert two.part[0].dimensions.step[0].diameter_mm == 38.1


def test_a_number_of_its_own_table_keeps_its_ground():
    part = (
        PART + 'mass_kg = { is = 2, low = 1.9, high = 2.2, status = "measured", source = "scale", on = 2026-11-20 }\n'
    )
    told = read_enquiry(enquiry(part=part))
    mass = told.enquiry.part[0].mass_kg
    assert (mass.ref, mass.value, mass.low, mass.high) == ("enquiry:part.block.mass_kg", 2.0, 1.9, 2.2)
    assert (mass.status, mass.source, mass.dated, mass.unit) == (Status.MEASURED, "scale", "2026-11-20", "kg")
    assert told.given("part.block.mass_kg") == mass


def test_a_bare_number_is_stated_and_every_place_is_named():
    told = read_enquiry(enquiry(more=LOOP))
    assert told.given("part.block.dimensions.length_mm").status is Status.STATED
    assert told.given("loop.step.out.days").value == 1.0
    assert told.has("loop.kits_per_week")
    assert not told.has("part.block.mass_kg")
    places = [place for place, _ in told.numbers]
    assert len(places) == len(set(places))


def test_pounds_and_inches_are_converted_once():
    told = read_enquiry(enquiry(part=PART + "mass_lb = { is = 2, low = 1 }\ntolerance_in = 0.01\n")).enquiry.part[0]
    # 2 lb = 0.90718474 kg, 0.01 in = 0.254 mm, both exact by definition
    assert told.mass_kg.value == pytest.approx(0.90718474, abs=1e-9)
    assert told.mass_kg.low == pytest.approx(0.45359237, abs=1e-9)
    assert told.tolerance_mm.value == pytest.approx(0.254, abs=1e-9)


def test_what_is_left_out_is_assumed_and_listed_with_its_ground():
    told = read_enquiry(enquiry())
    by_field = {one.field: one for one in told.assumptions}
    tolerance = by_field["part.block.tolerance_mm"]
    assert tolerance.taken.ref == "table:enquiry_defaults#part.tolerance_mm.value"
    assert tolerance.taken.status is Status.ASSUMED
    assert told.enquiry.part[0].tolerance_mm == tolerance.taken
    assert by_field["lift.pallet.height_mm"].taken.value == table("enquiry_defaults").row(
        "lift.pallet.height_mm"
    ).number("value")
    assert by_field["part.block.default_rule"].taken_text == "allowed"
    assert [one.id for one in told.assumptions] == [f"A{number}" for number in range(1, len(told.assumptions) + 1)]


def test_every_default_has_its_effect_in_words():
    assert all(text("effect", row.text("effect")) for row in table("enquiry_defaults").rows)


def test_what_is_told_is_not_assumed():
    told = read_enquiry(enquiry(part=PART + "tolerance_in = 0.01\nper_kit = 2\n"))
    assert {"part.block.tolerance_mm", "part.block.per_kit"}.isdisjoint({one.field for one in told.assumptions})


def test_packs_are_left_to_the_loop_where_there_is_one():
    assert read_enquiry(enquiry()).enquiry.pack.packs == 1
    assert read_enquiry(enquiry(more=LOOP)).enquiry.pack.packs is None


def test_a_leg_without_handling_and_no_leg_at_all_take_the_rough_answer():
    for more, field in [("", "loop.step.handling"), (LOOP, "loop.step.out.handling")]:
        told = read_enquiry(enquiry(more=more))
        assert told.handlings == ("parcel",)
        assert field in {one.field for one in told.assumptions}


def test_what_cannot_be_assumed_is_asked():
    part = PART.replace("fragility_gn = 100\n", "")
    head = HEAD + '[[job.damage]]\nsaid = "it smelt"\nkind = "other"\n'
    told = read_enquiry(enquiry(head=head, part=part))
    assert [(one.id, one.field) for one in told.questions] == [
        ("Q1", "part.block.fragility_gn"),
        ("Q2", "job.damage.1"),
        ("Q3", "loop"),
    ]
    assert all(text("question", one.asks, **dict(one.parameters)) for one in told.questions)
    assert told.enquiry.part[0].fragility_gn is None


def test_a_pose_is_searched_for_or_told():
    assert read_enquiry(enquiry(part=PART + 'pose = "search"\n')).enquiry.part[0].pose.search
    assert read_enquiry(enquiry(part=PART + "pose = { down = [0, 1, 0] }\n")).enquiry.part[0].pose.down == (0, 1, 0)


def test_a_temperature_is_one_number_or_two():
    for told, both in [("23", (23.0, 23.0)), ("[-20, 50]", (-20.0, 50.0))]:
        step = read_enquiry(enquiry(more=LOOP + f"temperature_c = {told}\n")).enquiry.loop.step[0]
        assert step.temperature_c == both


def test_a_face_by_its_number_comes_with_kind_and_centre():
    where = "where = { face_ids = [{ id = 7, kind = 'plane', centre_mm = [1, 2, 3] }] }\n"
    contact = (
        read_enquiry(enquiry(shape=SHAPE + f'[[part.contact]]\nrule = "never"\n{where}')).enquiry.part[0].contact[0]
    )
    assert contact.where.told() == (("face_ids", ((("id", 7), ("kind", "plane"), ("centre_mm", (1.0, 2.0, 3.0))),)),)


def test_a_round_face_may_be_asked_by_its_side_and_named_with_its_diameter():
    face = "{ id = 7, kind = 'sphere', centre_mm = [1, 2, 3], diameter_mm = 8 }"
    where = f"where = {{ surface = 'torus', inside = true, face_ids = [{face}] }}\n"
    told = read_enquiry(enquiry(shape=SHAPE + f'[[part.contact]]\nrule = "never"\n{where}')).enquiry.part[0].contact[0]
    named = (("id", 7), ("kind", "sphere"), ("centre_mm", (1.0, 2.0, 3.0)), ("diameter_mm", 8.0))
    assert told.where.told() == (("surface", "torus"), ("inside", True), ("face_ids", (named,)))


def test_layout_and_remarks_of_the_file_do_not_change_its_fingerprint():
    first = fingerprint(to_plain(read_enquiry(enquiry())))
    spaced = enquiry(head="# a remark\n" + HEAD, part=PART.replace("100", "100.0"))
    assert fingerprint(to_plain(read_enquiry(spaced))) == first
    assert fingerprint(to_plain(read_enquiry(enquiry(part=PART.replace("100", "101"))))) != first


def test_the_ground_of_a_number_changes_the_fingerprint():
    measured = PART.replace("100", '{ is = 100, status = "measured" }')
    assert fingerprint(to_plain(read_enquiry(enquiry(part=measured)))) != fingerprint(to_plain(read_enquiry(enquiry())))


def test_reading_the_kept_sample_of_each_release():
    # the first release's sample is an example; a later layout keeps this one readable
    sample = (ROOT / "examples" / "one_block" / "enquiry.toml").read_bytes()
    assert tomllib.loads(sample.decode())["format"] == 1
    assert read_enquiry(sample).enquiry.format == 1
