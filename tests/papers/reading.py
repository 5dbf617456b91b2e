"""Words of a PDF, page by page."""

from __future__ import annotations

import io

from pypdf import PdfReader


def pages(content):
    return [page.extract_text() for page in PdfReader(io.BytesIO(content)).pages]


def words(content):
    return " ".join(" ".join(pages(content)).split())
