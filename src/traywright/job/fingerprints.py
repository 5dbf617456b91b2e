"""Four fingerprints, so that a new hourly rate does not void an approval."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict

from traywright.base import canonical_json, fingerprint, sha256_of_bytes
from traywright.catalogue import Card, Cutter, Machine
from traywright.design import PackDrawn
from traywright.job.plain import Plain, plain_cell, plain_feature, plain_region, plain_setup
from traywright.nesting import Setup
from traywright.trays import Tray


def shape_of_tray(tray: Tray) -> Plain:
    """What a customer approves of a tray."""
    return {
        "id": tray.id,
        "kind": tray.kind.value,
        "outline": plain_region(tray.outline),
        "thickness_mm": tray.thickness_mm,
        "foam": tray.foam,
        "plies": [list(one) for one in tray.ply_boards],
        "cells": [plain_cell(one) for one in tray.cells],
        "features": [plain_feature(one) for one in tray.features],
        "keep": tray.keep,
        "per_pack": tray.per_pack,
    }


def trays_fingerprint(drawn: PackDrawn) -> str:
    """Fingerprint of trays and pack: what the customer approves."""
    layers = [[one.kind, one.id, one.bottom_mm, one.top_mm] for one in drawn.pack.layers]
    pack = {"box": drawn.pack.box, "kits": drawn.pack.kits, "layers": layers}
    return fingerprint({"trays": [shape_of_tray(one) for one in drawn.trays], "pack": pack})


def drawn_trays_fingerprint(trays: tuple[Tray, ...]) -> str:
    """Fingerprint of the trays of a drawing; there is no pack."""
    return fingerprint({"trays": [shape_of_tray(one) for one in trays]})


def cut_fingerprint(trays: str, setups: tuple[Setup, ...], machine: Machine, cutters: tuple[Cutter, ...]) -> str:
    """Fingerprint of trays, setups, machine and cutters: what programs carry.

    Parameters
    ----------
    trays
        Fingerprint of the trays.
    setups
        Every board as clamped; how many boards are cut so does not count, the program is the same.
    machine
        The machine they are clamped on.
    cutters
        Its cutters: a setup names their cards, and a card may change under its name.
    """
    return fingerprint(
        {
            "trays": trays,
            "setups": [{**plain_setup(one), "runs": 0} for one in setups],
            "machine": _numbers_of(machine),
            "cutters": [_numbers_of(one) for one in cutters],
        }
    )


def _numbers_of(card: Card) -> Plain:
    """What a card says, without its name and the grounds of its numbers."""
    return {key: value for key, value in asdict(card).items() if key not in {"grounds", "name"}}


def inputs_fingerprint(enquiry: Plain, files: Mapping[str, bytes], cards: Mapping[str, bytes]) -> str:
    """Fingerprint of the enquiry by its values, of its files and the cards by their bytes."""
    return fingerprint(
        {
            "enquiry": enquiry,
            "files": {name: sha256_of_bytes(content) for name, content in files.items()},
            "cards": {name: sha256_of_bytes(content) for name, content in cards.items()},
        }
    )


def offer_fingerprint(trays: str, quote: Plain) -> str:
    """Fingerprint of the trays and their price: what an order refers to."""
    return sha256_of_bytes(canonical_json([trays, quote]).encode())
