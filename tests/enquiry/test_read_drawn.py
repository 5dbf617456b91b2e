"""A drawing job as read: nouns, grounds, assumptions, and every refusal in three lines."""

from __future__ import annotations

import pytest

from enquiry.asked import PART, SHAPE
from enquiry.drawn import DRAWING, HEAD, ROW, SHOP, drawn
from house.source import ROOT
from traywright.base import Status, fingerprint, text
from traywright.base.errors import EnquiryError
from traywright.catalogue import load_cards, table
from traywright.enquiry import drawn_to_plain, is_drawn, read_drawn_enquiry, read_enquiry

EXAMPLES = sorted(path for path in (ROOT / "examples").glob("*/enquiry.toml") if is_drawn(path.read_bytes()))


def refused(content, reader=read_drawn_enquiry):
    with pytest.raises(EnquiryError) as refusal:
        reader(content)
    assert len(str(refusal.value).splitlines()) == 3
    assert "{" not in str(refusal.value).replace("{'", "")
    return refusal.value


def terms(key, value):
    return drawn(drawing=DRAWING + f"{key} = {value}\n")


def rows(told, key="depth"):
    return drawn(row="".join(f"[[drawing.{key}]]\n{one}\n" for one in told))


def head(key, value):
    return drawn(head=HEAD + f"{key} = {value}\n")


BAD = [
    (b"\xff", "ENQ-001", "TOML"),
    (b"[drawing]", "ENQ-002", "None"),
    (drawn(head=HEAD.replace("format = 1", "format = 7")), "ENQ-003", "7"),
    (terms("fiel", "1"), "ENQ-005", '"file"'),
    (terms("thikness_in", "1"), "ENQ-005", '"thickness_mm"'),
    (terms("quantity", "{ is = 2, lo = 1 }"), "ENQ-005", '"low"'),
    (rows(["layr = 'A'\nmm = 2"]), "ENQ-005", '"layer"'),
    (drawn(shop=SHOP + "boards = ['x']\n"), "ENQ-005", "boards"),
    (drawn(more="[offer]\nbreaks_packs = [1]\n"), "ENQ-005", "breaks_packs"),
    (drawn(more="[sho]\n"), "ENQ-005", '"shop"'),
    (drawn(drawing=DRAWING.replace('file = "files/plate.dxf"\n', "")), "ENQ-006", '"file"'),
    (drawn(drawing=DRAWING.replace('board = "hdpe-1000x1000x12"\n', "")), "ENQ-006", '"board"'),
    (drawn(shop=""), "ENQ-006", '"shop"'),
    (drawn(head="format = 1\n"), "ENQ-006", '"job"'),
    (drawn(drawing="", row=""), "ENQ-006", '"drawing"'),
    (drawn(head=HEAD.replace('title = "Plate"\n', "")), "ENQ-006", '"title"'),
    (b"format = 1\ndrawing = 3\n", "ENQ-007", "table"),
    (b"format = 1\ndrawing = []\n", "ENQ-007", "table"),
    (b"format = 1\n[[drawing]]\nfile = 'a.dxf'\n", "ENQ-007", "table"),
    (b"format = 1\njob = 'x'\n[drawing]\n", "ENQ-007", "table"),
    (drawn(row="depth = 4\n"), "ENQ-007", "list"),
    (drawn(row="depth = [4]\n"), "ENQ-007", "table"),
    (drawn(row="depth = { layer = 'A', mm = 4 }\n"), "ENQ-007", "list"),
    *[(terms(key, "7"), "ENQ-007", f"drawing.{key}") for key in ("keep", "corner", "sheet", "shape", "length_unit")],
    *[(terms(key, "'other'"), "ENQ-007", f"drawing.{key}") for key in ("keep", "corner", "sheet", "shape")],
    (terms("length_unit", "'ft'"), "ENQ-007", "inch"),
    *[(terms(key, "'A'"), "ENQ-007", "list") for key in ("cutters", "leave_out")],
    *[(terms(key, "[4]"), "ENQ-007", f"drawing.{key}.1") for key in ("cutters", "leave_out")],
    (terms("cutters", "['']"), "ENQ-007", "drawing.cutters.1"),
    (terms("leave_out", r'["a\u0007"]'), "ENQ-007", "layer"),
    (terms("outline", r'"a\nb"'), "ENQ-007", "layer"),
    (terms("outline", "['A']"), "ENQ-007", "layer"),
    (terms("outline", f"'{'x' * 2001}'"), "ENQ-007", "layer"),
    (terms("quantity", "1.5"), "ENQ-007", "whole number"),
    (terms("quantity", "'2'"), "ENQ-007", "number"),
    (terms("quantity", "true"), "ENQ-007", "number"),
    (terms("thickness_mm", "{ is = 48.6, status = 'sure' }"), "ENQ-007", "measured"),
    (terms("thickness_mm", "2026-11-25"), "ENQ-007", "number"),
    (rows(["layer = 5\nmm = 2"]), "ENQ-007", "layer"),
    (rows(["layer = 'A'\nmm = '2'"]), "ENQ-007", "number"),
    (rows(["layer = 'A'\nthrough = 1"]), "ENQ-007", "true or false"),
    (rows(["colour = 2.5\nmm = 2"]), "ENQ-007", "whole number"),
    (rows(["colour = 'red'\nmm = 2"]), "ENQ-007", "number"),
    (drawn(drawing=DRAWING.replace('"files/plate.dxf"', "3")), "ENQ-007", "drawing.file"),
    (drawn(drawing=DRAWING.replace('"files/plate.dxf"', "''")), "ENQ-007", "drawing.file"),
    (drawn(head=HEAD.replace('"D-1"', '"../D"')), "ENQ-007", "letters"),
    (drawn(head=HEAD.replace("2026-11-25", "'today'")), "ENQ-007", "a day"),
    (head("due", "2026-11-25T10:00:00"), "ENQ-007", "a day"),
    (head("hazards", "['fire']"), "ENQ-007", "lithium_cells"),
    (drawn(more="[offer]\ncurrency = 'Euro'\n"), "ENQ-007", "form"),
    *[(terms("quantity", told), "ENQ-008", "drawing.quantity") for told in ("0", "-1", "nan", "inf", "1" + "0" * 400)],
    *[(terms("thickness_mm", told), "ENQ-008", "drawing.thickness_mm") for told in ("0", "-5", "nan", "-inf", "501")],
    *[
        (rows([f"layer = 'A'\nmm = {told}"]), "ENQ-008", "drawing.depth.1.mm")
        for told in ("0", "-2", "nan", "inf", "501")
    ],
    (rows(["layer = 'A'\nmm = 501"], "engrave"), "ENQ-008", "drawing.engrave.1.mm"),
    *[(rows([f"colour = {told}\nmm = 2"]), "ENQ-008", "drawing.depth.1.colour") for told in ("0", "-1", "256", "nan")],
    (terms("thickness_mm", "{ is = 48.6, low = 49 }"), "ENQ-009", "49"),
    (terms("cutters", "['flat-8', 'flat-8']"), "ENQ-010", '"flat-8"'),
    (terms("thickness_mm", "48\nthickness_in = 2"), "ENQ-011", "thickness"),
    *[
        (drawn(drawing=DRAWING.replace("files/plate.dxf", name)), "ENQ-013", "outside")
        for name in ("/x.dxf", "../x.dxf", "files/../../x.dxf", "c:x.dxf", r"files\\x.dxf", "x" * 300 + ".dxf")
    ],
    (rows(["mm = 2"]), "ENQ-016", "layer or colour"),
    (rows(["layer = 'A'\ncolour = 2\nmm = 2"]), "ENQ-016", "layer or colour"),
    (rows(["layer = ' '\nmm = 2"]), "ENQ-016", "layer or colour"),
    (rows([""]), "ENQ-016", "drawing.depth.1"),
    (rows(["layer = 'A'"]), "ENQ-016", "through"),
    (rows(["layer = 'A'\nthrough = false"]), "ENQ-016", "through"),
    (rows(["layer = 'A'\nmm = 2\nthrough = true"]), "ENQ-016", "through"),
    (rows(["layer = 'A'\nmm = 2", "layer = 'B'\n"]), "ENQ-016", "drawing.depth.2"),
    (rows(["layer = 'A'\nthrough = true"], "engrave"), "ENQ-016", "drawing.engrave.1"),
    (rows(["layer = 'A'"], "engrave"), "ENQ-016", "drawing.engrave.1"),
    (terms("outline", "'rand'\nleave_out = ['RAND']"), "ENQ-016", "drawing.outline"),
    *[
        (drawn(more=f"[{name}]\n" if name != "part" else PART + SHAPE), "ENQ-018", f"[{name}]")
        for name in ("part", "loop", "pack", "foam")
    ],
    (drawn(more="[[lift]]\nat = 'bench'\n"), "ENQ-018", "[lift]"),
    (rows(["layer = 'Nut'\nmm = 2", "layer = 'NUT'\nmm = 3"]), "ENQ-019", '"NUT"'),
    (rows(["colour = 3\nmm = 2", "colour = 3\nmm = 2"]), "ENQ-019", '"3"'),
    (rows(["layer = 'A'\nmm = 1", "layer = 'a'\nmm = 1"], "engrave"), "ENQ-019", "drawing.engrave"),
    *[
        (drawn(drawing=DRAWING.replace("plate.dxf", name)), "ENQ-020", name)
        for name in ("plate.dwg", "plate", "plate.dxf.exe", "plate.pdf")
    ],
]


@pytest.mark.parametrize(("content", "code", "word"), BAD)
def test_bad_input_is_refused_in_three_lines(content, code, word):
    told = refused(content)
    assert (told.code, word in str(told)) == (code, True), str(told)


DEEP = [
    b"format = 1\nx = " + b"[" * 5000 + b"]" * 5000,
    b"format = 1\nx = " + b"[" * 60 + b"]" * 60,
    b"format = 1\n" + b".".join([b"a"] * 3000) + b" = 1\n",
    b"format = 1\nx = " + b"{ a = " * 40 + b"1" + b" }" * 40,
]


@pytest.mark.parametrize("content", DEEP)
@pytest.mark.parametrize("reader", [is_drawn, read_drawn_enquiry, read_enquiry])
def test_a_file_nested_deeper_than_anybody_means_is_refused(content, reader):
    told = refused(content, reader)
    assert (told.code, "20 deep" in str(told)) == ("ENQ-001", True)


def test_a_number_of_ten_thousand_digits_is_refused():
    assert refused(b"format = 1\nx = " + b"9" * 10000).code == "ENQ-001"


def test_the_smallest_drawing_job_is_read_and_says_what_was_assumed():
    told = read_drawn_enquiry(drawn(row=""))
    taken = told.enquiry.drawing
    assert (taken.length_unit, taken.quantity, taken.keep, taken.corner) == ("file", 1, "floor", "leave")
    assert (taken.sheet, taken.shape, taken.cutters, taken.depth, taken.outline) == ("share", "customer", (), (), "")
    assumed = {one.field for one in told.assumptions}
    asked = {row.id for row in table("enquiry_defaults").rows if row.id.startswith("drawing.")}
    assert asked <= assumed
    assert {"job.revision", "offer.currency", "offer.valid_days"} <= assumed
    assert not {one for one in assumed if one.startswith(("lift", "pack", "part", "loop", "shop"))}
    assert all(text("effect", one.effect) for one in told.assumptions)
    assert [one.id for one in told.assumptions] == [f"A{number}" for number in range(1, len(told.assumptions) + 1)]


def test_what_was_told_is_not_assumed():
    told = read_drawn_enquiry(terms("keep", "'depth'\nquantity = 4"))
    assert (told.enquiry.drawing.keep, told.enquiry.drawing.quantity) == ("depth", 4)
    assert not {"drawing.keep", "drawing.quantity"} & {one.field for one in told.assumptions}


def test_numbers_keep_their_ground_and_place():
    told = read_drawn_enquiry(terms("thickness_mm", "{ is = 48.6, status = 'measured', on = 2026-11-24 }"))
    measured, depth = told.given("drawing.thickness_mm"), told.given("drawing.depth.1.mm")
    assert (measured.value, measured.status, measured.dated) == (48.6, Status.MEASURED, "2026-11-24")
    assert (depth.ref, depth.value, depth.status) == ("enquiry:drawing.depth.1.mm", 4.5, Status.STATED)
    assert told.given("drawing.quantity").status is Status.ASSUMED
    assert told.has("drawing.quantity")
    assert not read_drawn_enquiry(drawn()).has("drawing.thickness_mm")


def test_a_thickness_in_inches_is_converted_once():
    # 0.5 in = 12.7 mm exactly, by definition of the inch
    assert read_drawn_enquiry(terms("thickness_in", "0.5")).given("drawing.thickness_mm").value == 12.7


def test_rows_for_a_layer_and_a_colour_of_the_same_name_stand_beside_each_other():
    told = read_drawn_enquiry(rows(["layer = '5'\nmm = 2", "colour = 5\nthrough = true"]))
    first, second = told.enquiry.drawing.depth
    assert (first.layer, first.colour, first.through) == ("5", None, False)
    assert (second.layer, second.colour, second.mm, second.through) == ("", 5, None, True)


@pytest.mark.parametrize("name", ["外形　線", "Tiefe_14\u00a0mm", "réf. n° 3", "عمق_\u200d6", 'a "b" \\ c', "#x = [1]"])
def test_a_layer_is_called_as_its_drawing_calls_it(name):
    quoted = name.replace("\\", "\\\\").replace('"', '\\"')
    told = read_drawn_enquiry(rows([f'layer = "{quoted}"\nmm = 2']))
    assert told.enquiry.drawing.depth[0].layer == name


def test_a_layer_left_out_may_stand_in_a_remembered_table():
    told = read_drawn_enquiry(terms("leave_out", "['DEPTH_A']"))
    assert told.enquiry.drawing.leave_out == (told.enquiry.drawing.depth[0].layer,)


def test_only_a_drawing_job_may_go_without_a_day():
    without = HEAD.replace("dated = 2026-11-25\n", "")
    assert read_drawn_enquiry(drawn(head=without)).enquiry.job.dated is None
    full = without.encode() + (PART + SHAPE + "[pack]\nboxes = ['x']\n[foam]\nallowed = ['y']\n" + SHOP).encode()
    told = refused(full + b"boards = ['z']\n", read_enquiry)
    assert (told.code, '"dated"' in str(told)) == ("ENQ-006", True)


def test_the_kinds_of_files_are_told_apart():
    assert is_drawn(drawn())
    assert is_drawn(b"drawing = 3")
    assert not is_drawn(b"format = 1")
    told = refused(drawn(), read_enquiry)
    assert (told.code, "as-drawn" in str(told)) == ("ENQ-004", True)


def test_a_drawing_job_becomes_a_full_enquiry():
    """[job], [shop] and [offer] stay as they are; what docs/enquiry.md lists is added."""
    kept = HEAD + "[offer]\ncurrency = 'CHF'\nvalid_days = 14\n"
    before = read_drawn_enquiry((kept + DRAWING + ROW + SHOP).encode())
    added = SHOP + 'boards = ["xlpe33-2000x1000x30"]\n' + PART + SHAPE
    added += '[pack]\nboxes = ["case-300x200x135"]\n[foam]\nallowed = ["XLPE33"]\n'
    after = read_enquiry((kept + added).encode())
    for key in ("number", "revision", "title", "dated", "customer", "confidential", "length_shown", "hazards"):
        assert getattr(after.enquiry.job, key) == getattr(before.enquiry.job, key)
    for key in ("machine", "dialect", "rates"):
        assert getattr(after.enquiry.shop, key) == getattr(before.enquiry.shop, key)
    assert after.enquiry.offer.currency == before.enquiry.offer.currency == "CHF"
    assert after.given("offer.valid_days") == before.given("offer.valid_days")


@pytest.mark.parametrize("path", EXAMPLES, ids=[path.parent.name for path in EXAMPLES])
def test_an_example_is_read_and_names_only_cards_and_files_that_are_there(path):
    told = read_drawn_enquiry(path.read_bytes()).enquiry
    catalogue = load_cards(None)
    assert catalogue.board(told.drawing.board)
    assert [catalogue.cutter(one).form for one in told.drawing.cutters] == ["flat"] * len(told.drawing.cutters)
    assert catalogue.machine(told.shop.machine)
    assert (path.parent / told.drawing.file).is_file()


def test_layout_and_remarks_of_the_file_do_not_change_its_fingerprint():
    first = fingerprint(drawn_to_plain(read_drawn_enquiry(drawn())))
    moved = (SHOP + DRAWING + "# deep\n" + ROW.replace("4.5", "4.50")).join(
        ["format = 1\n", HEAD[len("format = 1\n") :]]
    )
    assert fingerprint(drawn_to_plain(read_drawn_enquiry(moved.encode()))) == first


@pytest.mark.parametrize(
    "other",
    [
        drawn(row=ROW.replace("4.5", "4.6")),
        drawn(row=ROW.replace("4.5", "{ is = 4.5, status = 'measured' }")),
        drawn(row=ROW.replace("mm = 4.5", "through = true")),
        drawn(row=ROW.replace("DEPTH_A", "DEPTH_B")),
        terms("keep", "'depth'"),
        terms("corner", "'relief'"),
        terms("quantity", "2"),
        terms("leave_out", "['TEXT']"),
        terms("thickness_mm", "11.8"),
        terms("cutters", "['flat-6']"),
        terms("sheet", "'whole'"),
        drawn(head=HEAD.replace("Plate", "Plates")),
        drawn(head="invented = true\n" + HEAD),
    ],
)
def test_each_answer_changes_the_fingerprint(other):
    first = fingerprint(drawn_to_plain(read_drawn_enquiry(drawn())))
    assert fingerprint(drawn_to_plain(read_drawn_enquiry(other))) != first
