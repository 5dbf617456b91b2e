"""What a full enquiry states and no stage reads yet: it is told, so that nobody relies on it."""

from __future__ import annotations

from collections.abc import Iterator

from traywright.base.units import ROOM_C
from traywright.enquiry.asked_part import State
from traywright.enquiry.enquiry import Enquiry, EnquiryRead
from traywright.enquiry.loop import Loop


def unread_terms(read: EnquiryRead) -> tuple[str, ...]:
    """Places that the file states and that change nothing yet, in the order of the file.

    Parameters
    ----------
    read
        An enquiry as read.

    Notes
    -----
    What was assumed is no promise to anybody and is not listed; nor is a word that asks for nothing:
    ``confidential = "open"`` or ``"local_only"`` (nothing leaves the machine anyway), ``in_the_box = true``.
    """
    assumed = {one.field for one in read.assumptions}
    return tuple(place for place in _unread(read.enquiry) if place not in assumed)


def _changes_nothing(state: State) -> bool:
    """True for the temperature of a state that is no hotter than the room: the part is taken as its drawing tells."""
    return state.temperature_c is not None and state.temperature_c.value <= ROOM_C


def _unread(asked: Enquiry) -> Iterator[str]:
    """Every place of the enquiry that no stage reads, also where it was assumed."""
    if asked.job.supersedes:
        yield "job.supersedes"
    if asked.job.confidential == "watermark":
        yield "job.confidential"
    for part in asked.part:
        yield from (f"part.{part.id}.state.{one.name}.temperature_c" for one in part.state if _changes_nothing(one))
    if asked.loop is not None:
        yield from _unread_of_way(asked.loop)
    if asked.foam.never_touch_materials:
        yield "foam.never_touch_materials"
    yield "shop.use_remnants"
    yield from ("offer.damage_cost_per_part", "offer.tax_ratio")


def _unread_of_way(loop: Loop) -> Iterator[str]:
    """Places of the loop that no stage reads."""
    yield from ("loop.stockout_ratio", "loop.kits_stay_together")
    for step in loop.step:
        place = f"loop.step.{step.name}"
        stated = {
            "distance_km": step.distance_km is not None,
            "temperature_c": step.temperature_c is not None,
            "in_the_box": not step.in_the_box,
            "repacked_by": bool(step.repacked_by),
        }
        yield from (f"{place}.{key}" for key, told in stated.items() if told)
