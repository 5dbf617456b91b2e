"""The offers of a layout as JSON, key by key, and their JSON Schema."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any, Literal

from traywright.job.result_model import Strict
from traywright.layout import Offer

DIGITS = 6
Rectangle = tuple[float, float, float, float]
"""Left, front, right, back, mm."""


class PlacementModel(Strict):
    """Where one copy stands: turned counter-clockwise about its file's origin, which then stands at x, y."""

    kind: str
    x_mm: float
    y_mm: float
    turn_deg: float


class OfferModel(Strict):
    """One layout; ``least_wall_mm`` is null where fewer than two outlines stand."""

    name: Literal["regular", "most"]
    count: int
    kits: int
    bound: int
    proven: bool
    rows: int
    least_wall_mm: float | None
    fill_ratio: float
    slots: tuple[Rectangle, ...]
    placements: tuple[PlacementModel, ...]


class LayoutModel(Strict):
    """What ``traywright layout --json`` prints."""

    offers: tuple[OfferModel, OfferModel]


def layout_schema() -> dict[str, Any]:
    """The JSON Schema of a layout; committed as ``schemas/layout.schema.json``.

    Examples
    --------
    >>> layout_schema()["required"]
    ['offers']
    """
    schema = LayoutModel.model_json_schema(mode="serialization")
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}


def _round(value: float) -> float:
    return round(value, DIGITS) + 0.0


def _plain_offer(offer: Offer) -> dict[str, Any]:
    """One offer as JSON values."""
    apart = offer.least_wall_mm
    return {
        "name": offer.name,
        "count": offer.count,
        "kits": offer.kits,
        "bound": offer.bound,
        "proven": offer.proven,
        "rows": offer.rows,
        "least_wall_mm": _round(apart) if math.isfinite(apart) else None,
        "fill_ratio": _round(offer.fill_ratio),
        "slots": [[_round(side) for side in one] for one in offer.slots],
        "placements": [
            {"kind": one.kind, "x_mm": _round(one.x_mm), "y_mm": _round(one.y_mm), "turn_deg": _round(one.turn_deg)}
            for one in offer.placements
        ],
    }


def plain_layout(offers: Sequence[Offer]) -> dict[str, Any]:
    """Offers as JSON values, in the order given.

    Examples
    --------
    >>> plain_layout([])
    {'offers': []}
    """
    return {"offers": [_plain_offer(one) for one in offers]}
