"""A finished job as result.json: every key of the model, figures by number, findings by rank."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from traywright.base import Figure, Finding, Severity, canonical_json, finding, sha256_of_bytes, text
from traywright.enquiry import EnquiryRead
from traywright.job.asked_rooms import cutters_of
from traywright.job.figure_book import FigureBook, book_of
from traywright.job.fingerprints import cut_fingerprint, inputs_fingerprint, shape_of_tray, trays_fingerprint
from traywright.job.job_done import JobDone
from traywright.job.making import Made
from traywright.job.plain import Plain, plain_board, plain_figures, plain_finding, plain_setup
from traywright.job.ranking import cause_of, one_a_cause
from traywright.job.result_model import ResultModel
from traywright.job.verdict import Verdict, is_overridden, override_findings, verdict_of
from traywright.papers import Paper
from traywright.parts import Pose, part_record
from traywright.trays import Tray, foam_mass_kg, open_area_mm2, plies_of, removed_mm3

METHODS = {"protection": 1, "layout": 1, "cutting": 1, "verification": 1, "quoting": 1}
"""Version of each room's method; raise it when a number changes, and list it under "Results change"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """A job with its figures numbered and its findings ranked: what papers and the file are made from."""

    done: JobDone
    book: FigureBook
    rooms: tuple[tuple[str, tuple[Finding, ...]], ...]
    ranked: tuple[Finding, ...]
    verdict: Verdict
    fingerprint: Mapping[str, str]


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
    prints = {
        "inputs": inputs_fingerprint(asked.read, asked.files, cards),
        "trays": trays_fingerprint(done.drawn),
        "cut": cut_fingerprint(
            done.drawn,
            tuple(one.setup for one in done.made),
            machine,
            cutters_of(machine, asked.catalogue),
        ),
    }
    offer = _plain_quote(done, {})
    return Judged(
        done=done,
        book=book,
        rooms=(*rooms, ("job", own)),
        ranked=one_a_cause((*found, *own)),
        verdict=verdict,
        fingerprint={**prints, "offer": sha256_of_bytes(canonical_json([prints["trays"], offer]).encode())},
    )


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
    """What could not be worked out because an earlier stage stopped."""
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


class _Writer:
    """Writes findings with their figures' numbers and overrides."""

    def __init__(self, judged: Judged) -> None:
        self._numbers = judged.book.numbers()
        self._overrides = judged.done.asked.read.enquiry.override
        self._rooms = dict(judged.rooms)

    def number_of(self, path: str) -> str:
        """Number of a figure; a leaf keeps its name."""
        return self._numbers.get(path, path)

    def findings(self, room: str) -> list[Plain]:
        """The findings of one room."""
        return [
            plain_finding(one, self._numbers, overridden=is_overridden(one, self._overrides))
            for one in self._rooms.get(room, ())
        ]


def result_plain(judged: Judged, papers: tuple[Paper, ...]) -> dict[str, Any]:
    """The whole result.json as plain values, checked against its model.

    Parameters
    ----------
    judged
        The job.
    papers
        The papers with their bytes.
    """
    done, write = judged.done, _Writer(judged)
    read, verdict = done.asked.read, judged.verdict
    plain = {
        "format": 1,
        "invented": read.enquiry.invented,
        "made_by": {"release": done.asked.release, "method": METHODS},
        "fingerprint": dict(judged.fingerprint),
        "verdict": {
            "word": verdict.word,
            "status": verdict.status.word,
            "stops": verdict.stops,
            "warnings": verdict.warnings,
            "notes": verdict.notes,
            "overrides": verdict.overrides,
            "read_back": verdict.read_back,
        },
        "assumptions": _assumptions(read),
        "questions": [{"id": one.id, "field": one.field, "taken": one.asks} for one in read.questions],
        "figures": plain_figures(judged.book),
        "parts": [_part(pose, write) for pose in done.poses],
        "trays": [_tray(tray, done) for tray in done.drawn.trays],
        "pack": _pack(done),
        "design": {"findings": write.findings("design")},
        "protection": {"verdict": done.assessment.verdict, "findings": write.findings("protection")},
        **_boards(done, write),
        "setups": [plain_setup(one.setup) for one in done.made],
        "programs": [_program(one) for one in done.made],
        "hold": [_hold(one, write) for one in done.made],
        "verification": [_verification(one, write) for one in done.made],
        "quote": {**_plain_quote(done, judged.book.numbers()), "findings": write.findings("quote")},
        "papers": [{"name": one.name, "file": one.file, "sha256": sha256_of_bytes(one.content)} for one in papers],
        "job": {"findings": [*write.findings("stages"), *write.findings("job")]},
        "findings": _pointers(judged),
    }
    ResultModel.model_validate(plain)
    return plain


def _assumptions(read: EnquiryRead) -> list[Plain]:
    """What was assumed, with its ground."""
    told = []
    for one in read.assumptions:
        given = one.taken
        told.append(
            {
                "id": one.id,
                "field": one.field,
                "taken": {
                    "value": one.taken_text if given is None else given.value,
                    "unit": "" if given is None else given.unit,
                    "status": "assumed" if given is None else given.status.word,
                    "source": "" if given is None else given.source,
                },
                "effect": one.effect,
            }
        )
    return told


def _part(pose: Pose, write: _Writer) -> Plain:
    """One part as understood."""
    told = part_record(pose.part, pose)
    known = ("id", "name", "revision", "sha256", "unit_read", "watertight", "chord_mm", "tolerance_mm", "volume_mm3")
    keys = (*known, "mass_kg", "size_mm", "centre_of_gravity_mm", "static_sensitive", "mends")
    return {
        **{key: told[key] for key in keys},
        "mass": write.number_of(pose.part.mass.path),
        "poses": [{"down": told["pose"]["down"], "size_mm": told["pose"]["size_mm"]}],
        "pose_used": 0,
        "findings": write.findings(f"parts/{pose.part.id}"),
    }


def _tray(tray: Tray, done: JobDone) -> Plain:
    """One tray with its plies and derived sizes."""
    foam = done.asked.catalogue.foam(tray.foam)
    shape = shape_of_tray(tray)
    width_mm, depth_mm = tray.outline.size_mm
    packs = done.nested.packs if done.nested is not None else 0
    return {
        **{key: shape[key] for key in ("id", "kind", "foam", "keep", "per_pack", "cells", "features")},
        "name": tray.name,
        "size_mm": [width_mm, depth_mm, tray.thickness_mm],
        "outline_mm": shape["outline"],
        "mass_kg": foam_mass_kg(tray, foam),
        "removed_mm3": removed_mm3(tray),
        "open_area_mm2": open_area_mm2(tray),
        "plies": [
            {
                "id": ply.id,
                "kind": ply.kind,
                "from_mm": ply.from_mm,
                "to_mm": ply.to_mm,
                "board": ply.board,
                "count": packs * tray.per_pack,
            }
            for ply in plies_of(tray)
        ],
        "edits": [],
    }


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


def _boards(done: JobDone, write: _Writer) -> Plain:
    """Board layouts and how many boards they take."""
    plan = done.nested.headline.plan if done.nested is not None else None
    keys = ("board", "boards", "blanks", "pieces", "spare_pieces", "bound_boards", "proven")
    needs = [{key: getattr(one, key) for key in keys} for one in (plan.needs if plan else ())]
    return {
        "boards": [plain_board(one) for one in (plan.layouts if plan else ())],
        "nesting": {"needs": needs, "findings": write.findings("nesting")},
    }


def _program(made: Made) -> Plain:
    """One program with its operations."""
    line_of = dict(made.program.operations)
    return {
        "id": made.program.name,
        "setup": made.setup.id,
        "file": f"programs/{made.program.name}",
        "dialect": made.program.dialect,
        "sha256": sha256_of_bytes(made.program.text.encode()),
        "lines": made.program.lines,
        "time_s": made.plan.time_s,
        "length_over_feed_s": made.plan.length_over_feed_s,
        "cut_length_mm": made.plan.cut_length_mm,
        "operations": [
            {
                "id": one.id,
                "kind": one.kind,
                "level_mm": one.level_mm,
                "cutter": one.cutter,
                "features": list(one.features),
                "line": line_of[one.id],
            }
            for one in made.plan.operations
        ],
    }


def _hold(made: Made, write: _Writer) -> Plain:
    """Hold-down of one setup: its bridges, the forces not calculated."""
    found = write.findings(f"hold/{made.setup.id}")
    return {
        "setup": made.setup.id,
        "bridges": len(made.setup.bridges),
        "word": text("verdict", "not_calculated"),
        "findings": found,
    }


def _verification(made: Made, write: _Writer) -> Plain:
    """The read-back of one program."""
    keys = ("program", "setup", "true", "grid_mm", "gouge_mm", "remainder_mm", "error_bound_mm", "removed_mm3")
    told = {key: getattr(made.read_back, key) for key in keys}
    return {**told, "findings": write.findings(f"verification/{made.setup.id}")}


def _plain_quote(done: JobDone, numbers: Mapping[str, str]) -> Plain:
    """The price; without one, no lines and no breaks."""
    quote = done.quote
    if quote is None:
        return {"currency": done.asked.read.enquiry.offer.currency, "packs": 0, "lines": [], "breaks": []}
    return {
        "currency": quote.currency,
        "packs": quote.packs,
        "lines": [
            {
                "id": one.id,
                "what": one.what,
                "detail": one.detail,
                "quantity": numbers.get(one.quantity, one.quantity),
                "rate": str(one.rate),
                "amount": str(one.amount),
            }
            for one in quote.lines
        ],
        "breaks": [
            {
                "packs": one.packs,
                "cost": str(one.cost),
                "price": str(one.price),
                "per_pack": str(one.per_pack),
                "per_kit_trip": None if one.per_kit_trip is None else str(one.per_kit_trip),
            }
            for one in quote.breaks
        ],
    }


def _pointers(judged: Judged) -> list[str]:
    """Where each ranked finding stands in the file, the worst first; of one cause the first."""
    places: dict[tuple[str, str], str] = {}
    index = {"stages": 0, "job": len(dict(judged.rooms).get("stages", ()))}
    for room, group in judged.rooms:
        for number, one in enumerate(group):
            places.setdefault(
                (one.code, cause_of(one)), f"{_place(room, judged)}.findings/{number + index.get(room, 0)}"
            )
    return [places[(one.code, one.cause)] for one in judged.ranked]


def _place(room: str, judged: Judged) -> str:
    """The path of a room's findings in the file."""
    kind, _, name = room.partition("/")
    if kind == "stages":
        return "job"
    if not name:
        return kind
    names = [one.part.id for one in judged.done.poses] if kind == "parts" else [m.setup.id for m in judged.done.made]
    return f"{kind}/{names.index(name)}"
