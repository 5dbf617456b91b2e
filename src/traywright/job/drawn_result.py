"""A drawing job as result.json: the same document as any job's; parts, protection and loop are not asked."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from traywright.base import Figure, Finding, Severity, finding, sha256_of_bytes, text
from traywright.enquiry import drawn_to_plain
from traywright.job.drawn_done import DrawnDone
from traywright.job.figure_book import book_of
from traywright.job.fingerprints import (
    cut_fingerprint,
    drawn_trays_fingerprint,
    inputs_fingerprint,
    offer_fingerprint,
)
from traywright.job.plain import Plain, plain_figures, plain_setup
from traywright.job.ranking import one_a_cause
from traywright.job.result_model import ResultModel
from traywright.job.result_parts import (
    METHODS,
    Judgement,
    plain_assumptions,
    plain_boards,
    plain_hold,
    plain_program,
    plain_quote,
    plain_read_back,
    plain_tray,
    plain_verdict,
)
from traywright.job.verdict import override_findings, verdict_of
from traywright.papers import Paper


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnJudged:
    """A drawing job with its judgement: what papers and the file are made from."""

    done: DrawnDone
    judgement: Judgement


def judge_drawn(done: DrawnDone, cards: Mapping[str, bytes]) -> DrawnJudged:
    """Figures numbered, findings ranked, the verdict and the four fingerprints.

    Parameters
    ----------
    done
        What the stages made.
    cards
        Content of the cards used, by their name in the job's folder.
    """
    asked = done.asked
    overrides = asked.read.enquiry.override
    rooms = tuple(_by_room(done))
    found = one_a_cause(one for _, each in rooms for one in each)
    own = override_findings(found, overrides)
    book = book_of(_figures(done))
    verdict = verdict_of(
        found,
        book.figures,
        overrides,
        protection=text("verdict", "not_asked"),
        read_back=bool(done.made) and all(one.read_back.true for one in done.made),
        complete=done.quote is not None,
    )
    trays = drawn_trays_fingerprint(done.drawn.trays)
    prints = {
        "inputs": inputs_fingerprint(drawn_to_plain(asked.read), asked.files, cards),
        "trays": trays,
        "cut": cut_fingerprint(trays, tuple(one.setup for one in done.made), done.machine, done.cutters),
        "offer": offer_fingerprint(trays, _quote(done, {})),
    }
    setups = tuple(one.setup.id for one in done.made)
    return DrawnJudged(
        done=done,
        judgement=Judgement(
            book=book,
            rooms=(*rooms, ("job", own)),
            numbered=(("hold", setups), ("verification", setups)),
            overrides=overrides,
            ranked=one_a_cause((*found, *own)),
            verdict=verdict,
            fingerprint=prints,
        ),
    )


def _quote(done: DrawnDone, numbers: Mapping[str, str]) -> Plain:
    """The price, in the currency of the offer."""
    return plain_quote(done.quote, done.asked.read.enquiry.offer.currency, numbers)


def _by_room(done: DrawnDone) -> Iterable[tuple[str, tuple[Finding, ...]]]:
    """Every room's findings under the key of the file that holds them; what the drawing's reader found is design's."""
    yield "design", (*done.asked.findings, *done.drawing.findings, *done.drawn.findings)
    yield "nesting", done.nest.findings
    told = any(one.code == CORNERS_DRAWN for one in done.drawn.findings)
    for one in done.made:
        yield f"hold/{one.setup.id}", one.hold.findings
        yield f"verification/{one.setup.id}", _once(one.read_back.findings, told=told)
    if done.quote is not None:
        yield "quote", done.quote.findings
    yield "stages", () if done.quote is not None else (finding("JOB-024", Severity.WARN, ("pack",)),)


CORNERS_DRAWN, CORNERS_READ = "TRAY-037", "RB-062"
"""Corners that keep material, as the drawing shows them, and as the program leaves them: one cause, one warning."""


def _once(findings: tuple[Finding, ...], *, told: bool) -> tuple[Finding, ...]:
    """Findings of a read-back; corners that the design has told already are a note."""
    return tuple(replace(one, severity=Severity.NOTE) if told and one.code == CORNERS_READ else one for one in findings)


def _figures(done: DrawnDone) -> Iterable[Figure]:
    """Every figure of the job."""
    yield from done.drawn.figures
    yield from done.nest.figures
    for one in done.made:
        yield one.time
        yield from one.hold.figures
    if done.quote is not None:
        yield from done.quote.figures


def drawn_plain(judged: DrawnJudged, papers: tuple[Paper, ...]) -> dict[str, Any]:
    """The whole result.json as plain values, checked against its model.

    Parameters
    ----------
    judged
        The job.
    papers
        The papers with their bytes.
    """
    done, judgement = judged.done, judged.judgement
    read = done.asked.read
    plain = {
        "format": 1,
        "invented": read.enquiry.invented,
        "made_by": {"release": done.asked.release, "method": METHODS},
        "fingerprint": dict(judgement.fingerprint),
        "verdict": plain_verdict(judgement.verdict),
        "assumptions": plain_assumptions(read.assumptions),
        "questions": [
            {"id": f"Q{number}", "field": one.field, "asks": one.asks, "taken": one.taken}
            for number, one in enumerate(done.asked.questions, start=1)
        ],
        "figures": plain_figures(judgement.book),
        "parts": [],
        "trays": _trays(done),
        "pack": None,
        "design": {"findings": judgement.findings("design")},
        "protection": {"verdict": text("verdict", "not_asked"), "findings": []},
        **plain_boards(done.nest.plan, judgement.findings("nesting")),
        "setups": [plain_setup(one.setup) for one in done.made],
        "programs": [plain_program(one) for one in done.made],
        "hold": [plain_hold(one, judgement) for one in done.made],
        "verification": [plain_read_back(one, judgement) for one in done.made],
        "quote": {**_quote(done, judgement.book.numbers()), "findings": judgement.findings("quote")},
        "papers": [{"name": one.name, "file": one.file, "sha256": sha256_of_bytes(one.content)} for one in papers],
        "job": {"findings": [*judgement.findings("stages"), *judgement.findings("job")]},
        "findings": judgement.pointers(),
    }
    ResultModel.model_validate(plain)
    return plain


def _trays(done: DrawnDone) -> list[Plain]:
    """The trays; their areas come from the lines and arcs of the drawing, not from chords."""
    count = round(done.asked.read.given("drawing.quantity").value)
    exact = {one.tray: one for one in done.drawn.areas}
    return [
        {
            **plain_tray(tray, done.asked.stuff, done.cutters, count=count),
            "removed_mm3": exact[tray.id].removed_mm3,
            "open_area_mm2": exact[tray.id].open_mm2,
            "corner_left_mm2": exact[tray.id].corner_left_mm2,
        }
        for tray in done.drawn.trays
    ]
