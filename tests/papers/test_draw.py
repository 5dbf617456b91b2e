from __future__ import annotations

import io
import re
from functools import cache
from xml.etree import ElementTree as ET

import pytest
from pypdf import PdfReader

from papers.asked import papers_asked
from traywright.base.errors import PaperError
from traywright.papers import draw_papers

BANNED = re.compile(r"\b(safe|safely|certified|protects|guaranteed?|proof)\b", re.IGNORECASE)
PDFS = ("papers/quote.pdf", "papers/protection.pdf", "papers/packing.pdf", "papers/machine-B1-S1.pdf")


@cache
def drawn():
    return {one.file: one for one in draw_papers(papers_asked())}


def pages(content):
    return [page.extract_text() for page in PdfReader(io.BytesIO(content)).pages]


def words(content):
    return " ".join(" ".join(pages(content)).split())


def test_every_paper_is_there():
    assert sorted(drawn()) == sorted([*PDFS, "papers/overview.svg", "papers/tray-T1.dxf", "papers/tray-T1.svg"])


def test_same_question_same_bytes():
    again = {one.file: one.content for one in draw_papers(papers_asked())}
    assert again == {name: one.content for name, one in drawn().items()}


@pytest.mark.parametrize("name", PDFS)
def test_faces_are_embedded(name):
    reader = PdfReader(io.BytesIO(drawn()[name].content))
    faces = set()
    for page in reader.pages:
        for face in page["/Resources"]["/Font"].values():
            told = face.get_object()
            faces.add(told["/BaseFont"])
            assert "/FontFile2" in told["/FontDescriptor"], told["/BaseFont"]
    assert faces
    assert not any("Helvetica" in one for one in faces)


@pytest.mark.parametrize("name", PDFS)
def test_each_page_says_whose_it_is_and_what_it_is_worth(name):
    content = drawn()[name].content
    told = pages(content)
    for number, page in enumerate(told, start=1):
        assert "JOB-7 · C" in page
        assert "fails the screening check" in page
        assert "draft: fails the screening check" in page
        assert f"{number} / {len(told)}" in page
        assert "0.1.0" in page
    assert not BANNED.search(words(content))


@pytest.mark.parametrize("name", ["papers/quote.pdf", "papers/protection.pdf", "papers/machine-B1-S1.pdf"])
def test_an_override_stays_visible(name):
    assert "Override of PRO-022 at T1.C1 by the owner: tested by the customer" in words(drawn()[name].content)


def test_invented_data_is_marked_and_a_sound_plan_is_no_draft():
    papers = draw_papers(papers_asked(stops=0, invented=True, draft=False, verdict="estimated"))
    for one in papers:
        if one.file.endswith(".pdf"):
            told = words(one.content)
            assert "[invented demo data: no order may rest on it]" in told
            assert "draft" not in told
        elif one.file.endswith(".svg"):
            assert b"[invented demo data: no order may rest on it]" in one.content


def test_a_figure_is_rounded_away_from_passing():
    told = words(drawn()["papers/protection.pdf"].content)
    assert "0.62 / 0.71" in told, "0.7004 against 0.7 must not read 0.70"
    assert "70.0 / 81.0" in told
    assert "G-0002" in told
    assert "G-0003" in told


def test_a_quote_adds_up():
    told = words(drawn()["papers/quote.pdf"].content)
    for amount in ("155.00", "1 079.50", "1 234.50", "246.90"):
        assert amount in told
    assert "until 2026-12-25" in told
    assert "part.block.tolerance_mm" in told
    assert "not calculated" in told, "no cost per kit trip without a loop"


def test_a_machine_sheet_tells_what_the_operator_needs():
    told = words(drawn()["papers/machine-B1-S1.pdf"].content)
    for words_wanted in (
        "B1.S1",
        "JOB-7-B1-S1.nc, run 2 times",
        "10.2 min",
        "998 × 1000 × 50 mm",
        "48.5 to 51.5 mm",
        "T1 = flat cutter, Ø 12 mm, reach 60 mm",
        "X0 Y0 at the board's front left corner; Z0 on the bed",
        "Pocket, 4",
        "Outline, 1; bridges, 1",
        "Read back true",
        "Never leave the machine running unattended.",
    ):
        assert words_wanted in told
    assert "T2 =" not in told, "a cutter that cuts nothing here is not asked for"


def test_a_false_read_back_says_so():
    asked = papers_asked()
    setup, plan, program, read = asked.made[0]
    from dataclasses import replace

    false = replace(asked, made=((setup, plan, program, replace(read, true=False, gouge_mm=1.2346)),))
    told = next(one for one in draw_papers(false) if one.name == "machine")
    assert "Read back NOT true: do not run. Gouge 1.235 mm" in words(told.content)


def test_a_packing_card_tells_mass_and_people():
    told = words(drawn()["papers/packing.pdf"].content)
    assert "[12.4] kg" in told, "mass is rounded up, and invented stands in brackets"
    assert "lifting index 1.20 at bench (G-0008)" in told


@pytest.mark.parametrize(("columns", "rows"), [(1, 1), (10, 6)])
def test_one_cell_or_sixty(columns, rows):
    asked = papers_asked(columns=columns, rows=rows)
    papers = {one.file: one for one in draw_papers(asked)}
    root = ET.fromstring(papers["papers/tray-T1.svg"].content)  # noqa: S314  # reason: our own file
    labels = {one.text for one in root.iter("{http://www.w3.org/2000/svg}text")}
    assert {f"C{number + 1}" for number in range(columns * rows)} <= labels
    assert f"{columns * rows} ×" in words(papers["papers/packing.pdf"].content)


def test_forty_findings_go_on_over_the_pages():
    papers = {one.file: one for one in draw_papers(papers_asked(stops=40))}
    told = pages(papers["papers/protection.pdf"].content)
    assert len(told) > 3
    text = words(papers["papers/protection.pdf"].content)
    assert text.count("takes a peak of 81.1 G") == 40 + 3, "each finding once, the weakest three once more as pictures"
    assert "AN" in text.split()
    assert "37 more findings" in words(papers["papers/quote.pdf"].content)


def test_a_long_name_is_cut_where_it_must_and_breaks_nothing():
    long = "Werkstätten für Prüfgeräte " * 12
    papers = {one.file: one for one in draw_papers(papers_asked(customer=long, title=long))}
    for name in PDFS:
        assert "…" in words(papers[name].content)


def test_a_letter_without_a_sign_is_an_error():
    with pytest.raises(PaperError) as told:
        draw_papers(papers_asked(customer="例"))
    assert told.value.code == "PAP-001"
    assert "U+4F8B" in str(told.value)


def test_no_letters_under_eight_points():
    sizes = {float(one) for one in re.findall(rb'font-size="([0-9.]+)"', drawn()["papers/tray-T1.svg"].content)}
    assert min(sizes) >= round(8.0 * 25.4 / 72.0, 3)


@pytest.mark.parametrize("name", ["papers/overview.svg", "papers/tray-T1.svg"])
def test_a_drawing_is_well_formed(name):
    root = ET.fromstring(drawn()[name].content)  # noqa: S314  # reason: our own file
    assert root.tag == "{http://www.w3.org/2000/svg}svg"
    assert b"nan" not in drawn()[name].content.lower()
