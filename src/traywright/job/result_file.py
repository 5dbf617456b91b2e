"""A finished job as result.json: every key of the model, figures by number, findings by rank."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from traywright.base import Figure, Finding, Severity, finding, sha256_of_bytes
from traywright.enquiry import to_plain, unread_terms
from traywright.job.asked_rooms import cutters_of
from traywright.job.figure_book import book_of
from traywright.job.fingerprints import cut_fingerprint, inputs_fingerprint, offer_fingerprint, trays_fingerprint
from traywright.job.job_done import JobDone
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
from traywright.parts import Pose, part_record
from traywright.trays import Tray


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """A job with its judgement: what papers and the file are made from."""

    done: JobDone
    judgement: Judgement


def judge(done: JobDone, cards: Mapping[str, bytes]) -> Judged:
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
    machine = asked.catalogue.machine(asked.read.enquiry.shop.machine)
    verdict = verdict_of(
        found,
        book.figures,
        overrides,
        protection=done.assessment.verdict,
        read_back=bool(done.made) and all(one.read_back.true for one in done.made),
        complete=done.drawn.complete and done.quote is not None,
    )
    trays = trays_fingerprint(done.drawn)
    prints = {
        "inputs": inputs_fingerprint(to_plain(asked.read), asked.files, cards),
        "trays": trays,
        "cut": cut_fingerprint(
            trays,
            tuple(one.setup for one in done.made),
            machine,
            cutters_of(machine, asked.catalogue),
        ),
    }
    setups = tuple(one.setup.id for one in done.made)
    parts = tuple(one.part.id for one in done.poses)
    judgement = Judgement(
        book=book,
        rooms=(*rooms, ("job", own)),
        numbered=(("parts", parts), ("hold", setups), ("verification", setups)),
        overrides=overrides,
        ranked=one_a_cause((*found, *own)),
        verdict=verdict,
        fingerprint={**prints, "offer": offer_fingerprint(prints["trays"], _quote(done, {}))},
    )
    return Judged(done=done, judgement=judgement)


def _quote(done: JobDone, numbers: Mapping[str, str]) -> Plain:
    """The price, in the currency of the offer."""
    return plain_quote(done.quote, done.asked.read.enquiry.offer.currency, numbers)


def _by_room(done: JobDone) -> Iterable[tuple[str, tuple[Finding, ...]]]:
    """Every room's findings under the key of the file that holds them."""
    for part, group in _grouped(done.part_findings):
        yield f"parts/{part}", group
    yield "design", done.drawn.findings
    yield "protection", done.assessment.findings
    if done.nested is not None:
        yield "nesting", done.nested.headline.findings
    for one in done.made:
        yield f"hold/{one.setup.id}", one.hold.findings
        yield f"verification/{one.setup.id}", one.read_back.findings
    if done.quote is not None:
        yield "quote", done.quote.findings
    yield "stages", tuple(_not_calculated(done))


def _grouped(pairs: tuple[tuple[str, Finding], ...]) -> Iterable[tuple[str, tuple[Finding, ...]]]:
    """Findings of each part, in part order."""
    for part in dict.fromkeys(part for part, _ in pairs):
        yield part, tuple(one for each, one in pairs if each == part)


def _not_calculated(done: JobDone) -> Iterable[Finding]:
    """What could not be worked out because an earlier stage stopped, and what was stated and no stage reads."""
    unread = unread_terms(done.asked.read)
    if unread:
        yield finding("JOB-029", Severity.NOTE, unread, cause="unread", count=len(unread))
    if not done.drawn.complete:
        yield finding("JOB-023", Severity.WARN, ("pack",))
    elif done.quote is None:
        yield finding("JOB-024", Severity.WARN, ("pack",))


def _figures(done: JobDone) -> Iterable[Figure]:
    """Every figure of the job."""
    yield from (one.part.mass for one in done.poses if isinstance(one.part.mass, Figure))
    yield from done.drawn.figures
    yield from done.assessment.figures
    if done.nested is not None:
        yield from done.nested.headline.figures
    for one in done.made:
        yield one.time
        yield from one.hold.figures
    if done.loop is not None:
        yield from done.loop.figures
    if done.quote is not None:
        yield from done.quote.figures


def result_plain(judged: Judged, papers: tuple[Paper, ...]) -> dict[str, Any]:
    """The whole result.json as plain values, checked against its model.

    Parameters
    ----------
    judged
        The job.
    papers
        The papers with their bytes.
    """
    done, judgement = judged.done, judged.judgement
    read, numbers = done.asked.read, judged.judgement.book.numbers()
    plan = done.nested.headline.plan if done.nested is not None else None
    plain = {
        "format": 1,
        "invented": read.enquiry.invented,
        "made_by": {"release": done.asked.release, "method": METHODS},
        "fingerprint": dict(judgement.fingerprint),
        "verdict": plain_verdict(judgement.verdict),
        "assumptions": plain_assumptions(read.assumptions),
        "questions": [{"id": one.id, "field": one.field, "asks": one.asks, "taken": ""} for one in read.questions],
        "figures": plain_figures(judgement.book),
        "parts": [_part(pose, judgement) for pose in done.poses],
        "trays": [_tray(tray, done) for tray in done.drawn.trays],
        "pack": _pack(done),
        "design": {"findings": judgement.findings("design")},
        "protection": {"verdict": done.assessment.verdict, "findings": judgement.findings("protection")},
        **plain_boards(plan, judgement.findings("nesting")),
        "setups": [plain_setup(one.setup) for one in done.made],
        "programs": [plain_program(one) for one in done.made],
        "hold": [plain_hold(one, judgement) for one in done.made],
        "verification": [plain_read_back(one, judgement) for one in done.made],
        "quote": {**_quote(done, numbers), "findings": judgement.findings("quote")},
        "papers": [{"name": one.name, "file": one.file, "sha256": sha256_of_bytes(one.content)} for one in papers],
        "job": {"findings": [*judgement.findings("stages"), *judgement.findings("job")]},
        "findings": judgement.pointers(),
    }
    ResultModel.model_validate(plain)
    return plain


def _part(pose: Pose, judgement: Judgement) -> Plain:
    """One part as understood."""
    told = part_record(pose.part, pose)
    known = ("id", "name", "revision", "sha256", "unit_read", "watertight", "chord_mm", "tolerance_mm", "volume_mm3")
    keys = (*known, "shape", "mass_kg", "size_mm", "centre_of_gravity_mm", "static_sensitive", "mends")
    return {
        **{key: told[key] for key in keys},
        "mass": _number_of(pose, judgement),
        "poses": [{"down": told["pose"]["down"], "size_mm": told["pose"]["size_mm"]}],
        "pose_used": 0,
        "findings": judgement.findings(f"parts/{pose.part.id}"),
    }


def _number_of(pose: Pose, judgement: Judgement) -> str:
    """Number of the figure that a part's mass is; a leaf keeps its name."""
    path = pose.part.mass.path
    return judgement.book.numbers().get(path, path)


def _tray(tray: Tray, done: JobDone) -> Plain:
    """One tray with what the machine's cutters leave in its corners."""
    catalogue = done.asked.catalogue
    machine = catalogue.machine(done.asked.read.enquiry.shop.machine)
    packs = done.nested.packs if done.nested is not None else 0
    stuff, cutters = catalogue.foam(tray.foam), cutters_of(machine, catalogue)
    return plain_tray(tray, stuff, cutters, count=packs * tray.per_pack)


def _pack(done: JobDone) -> Plain:
    """One box as packed."""
    pack = done.drawn.pack
    return {
        **{key: getattr(pack, key) for key in ("box", "kits", "gross_kg", "foam_kg", "divider_kg", "payload_kg")},
        "layers": [
            {"kind": one.kind, "id": one.id, "bottom_mm": one.bottom_mm, "top_mm": one.top_mm} for one in pack.layers
        ],
        "gap_mm": {"nominal": pack.gap_nominal_mm, "rss": pack.gap_rss_mm, "worst": pack.gap_worst_mm},
        "centre_of_gravity_mm": list(pack.centre_of_gravity_mm),
    }
