from __future__ import annotations

import io

import pytest
from pypdf import PdfReader

from traywright.base.errors import PaperError
from traywright.papers import photo_sheet_pdf


@pytest.mark.parametrize(("paper", "size"), [("A4", (297.0, 210.0)), ("letter", (279.4, 215.9))])
def test_the_sheet_has_its_size_and_says_how_to_measure_it(paper, size):
    content = photo_sheet_pdf(paper)
    assert content == photo_sheet_pdf(paper)
    (page,) = PdfReader(io.BytesIO(content)).pages
    assert (float(page.mediabox.width) / 72 * 25.4, float(page.mediabox.height) / 72 * 25.4) == pytest.approx(
        size, abs=0.1
    )
    assert "100 mm: measure this line" in page.extract_text()


def test_a_paper_that_is_not_known_is_refused():
    with pytest.raises(PaperError) as refused:
        photo_sheet_pdf("B5")
    assert refused.value.code == "PAP-010"
