"""The pieces of result.json that every kind of job has: trays, boards, programs, read-backs, price, findings."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from traywright.base import Finding, sha256_of_bytes, text
from traywright.catalogue import Cutter, Foam, Solid
from traywright.enquiry import Assumption, Override
from traywright.job.figure_book import FigureBook
from traywright.job.fingerprints import shape_of_tray
from traywright.job.making import Made
from traywright.job.plain import Plain, plain_board, plain_finding
from traywright.job.ranking import cause_of
from traywright.job.verdict import Verdict, is_overridden
from traywright.nesting import BoardPlan
from traywright.quoting import Quote
from traywright.trays import Tray, corner_left_mm2, foam_volume_mm3, open_area_mm2, plies_of, removed_mm3

METHODS = {"protection": 1, "layout": 1, "cutting": 1, "verification": 1, "quoting": 1}
"""Version of each room's method; raise it when a number changes, and list it under "Results change"."""

MM3_PER_M3 = 1e9

Rooms = tuple[tuple[str, tuple[Finding, ...]], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgement:
    """A job's figures numbered, its findings ranked, its verdict and fingerprints.

    ``numbered`` names what a room of several (``parts/x``, ``hold/B1.S1``) stands for, in the order of the file.
    """

    book: FigureBook
    rooms: Rooms
    numbered: tuple[tuple[str, tuple[str, ...]], ...]
    overrides: tuple[Override, ...]
    ranked: tuple[Finding, ...]
    verdict: Verdict
    fingerprint: Mapping[str, str]

    def findings(self, room: str) -> list[Plain]:
        """The findings of one room with their figures' numbers and overrides."""
        numbers = self.book.numbers()
        return [
            plain_finding(one, numbers, overridden=is_overridden(one, self.overrides))
            for one in dict(self.rooms).get(room, ())
        ]

    def pointers(self) -> list[str]:
        """Where each ranked finding stands in the file, the worst first; of one cause the first."""
        places: dict[tuple[str, str], str] = {}
        before = {"stages": 0, "job": len(dict(self.rooms).get("stages", ()))}
        for room, group in self.rooms:
            for number, one in enumerate(group):
                place = f"{self._place(room)}.findings/{number + before.get(room, 0)}"
                places.setdefault((one.code, cause_of(one)), place)
        return [places[(one.code, one.cause)] for one in self.ranked]

    def _place(self, room: str) -> str:
        """The path of a room's findings in the file."""
        kind, _, name = room.partition("/")
        if kind == "stages":
            return "job"
        return f"{kind}/{dict(self.numbered)[kind].index(name)}" if name else kind


def plain_verdict(verdict: Verdict) -> Plain:
    """The verdict in one line."""
    keys = ("word", "stops", "warnings", "notes", "overrides", "read_back")
    return {**{key: getattr(verdict, key) for key in keys}, "status": verdict.status.word}


def plain_assumptions(assumptions: Iterable[Assumption]) -> list[Plain]:
    """What was assumed, with its ground."""
    told = []
    for one in assumptions:
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


def plain_tray(tray: Tray, stuff: Foam | Solid, cutters: Iterable[Cutter], *, count: int) -> Plain:
    """One tray with its plies and derived sizes.

    Parameters
    ----------
    tray
        The tray.
    stuff
        What it is of.
    cutters
        The cutters mounted: the smallest flat one decides what stays in corners.
    count
        How many of the tray are made.
    """
    shape = shape_of_tray(tray)
    width_mm, depth_mm = tray.outline.size_mm
    flat = [one.radius_mm for one in cutters if one.form == "flat"]
    return {
        **{key: shape[key] for key in ("id", "kind", "foam", "keep", "per_pack", "cells", "features")},
        "name": tray.name,
        "size_mm": [width_mm, depth_mm, tray.thickness_mm],
        "outline_mm": shape["outline"],
        "mass_kg": foam_volume_mm3(tray) * stuff.density_kg_m3 / MM3_PER_M3,
        "removed_mm3": removed_mm3(tray),
        "open_area_mm2": open_area_mm2(tray),
        "corner_left_mm2": corner_left_mm2(tray, min(flat)) if flat else 0.0,
        "plies": [
            {
                "id": ply.id,
                "kind": ply.kind,
                "from_mm": ply.from_mm,
                "to_mm": ply.to_mm,
                "board": ply.board,
                "count": count,
            }
            for ply in plies_of(tray)
        ],
        "edits": [],
    }


def plain_boards(plan: BoardPlan | None, findings: list[Plain]) -> Plain:
    """Board layouts and how many boards they take."""
    keys = ("board", "boards", "blanks", "pieces", "spare_pieces", "bound_boards", "proven")
    needs = [{key: getattr(one, key) for key in keys} for one in (plan.needs if plan else ())]
    return {
        "boards": [plain_board(one) for one in (plan.layouts if plan else ())],
        "nesting": {"needs": needs, "findings": findings},
    }


def plain_program(made: Made) -> Plain:
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


def plain_hold(made: Made, judgement: Judgement) -> Plain:
    """Hold-down of one setup: its bridges, the forces not calculated."""
    found = judgement.findings(f"hold/{made.setup.id}")
    return {
        "setup": made.setup.id,
        "bridges": len(made.setup.bridges),
        "word": text("verdict", "not_calculated"),
        "findings": found,
    }


def plain_read_back(made: Made, judgement: Judgement) -> Plain:
    """The read-back of one program."""
    keys = ("program", "setup", "true", "grid_mm", "gouge_mm", "remainder_mm", "error_bound_mm", "removed_mm3")
    told = {key: getattr(made.read_back, key) for key in keys}
    return {**told, "findings": judgement.findings(f"verification/{made.setup.id}")}


def plain_quote(quote: Quote | None, currency: str, numbers: Mapping[str, str]) -> Plain:
    """The price; without one, no lines and no breaks."""
    if quote is None:
        return {"currency": currency, "packs": 0, "lines": [], "breaks": []}
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
