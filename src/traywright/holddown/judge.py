"""What is not known about the hold of a setup, and which pieces the rule does not hold well."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from traywright.base import Figure, Finding, Severity, finding, shown
from traywright.base.finding import Limit
from traywright.holddown.hold_advice import BridgeRules
from traywright.nesting.setup import Bridge


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """One piece with its bridges.

    ``wanted`` is the rule's count, ``to_rim`` how many lead to the rim, ``parts`` into how many parts the piece falls
    when all that goes through it is cut, ``figure`` the share of hold it keeps.
    """

    piece: str
    wanted: int
    to_rim: int
    bridges: tuple[Bridge, ...]
    parts: int
    figure: Figure


def _of_piece(one: Held, at: tuple[str, ...], rules: BridgeRules) -> Iterator[Finding]:
    """Findings on one piece; the same code on other pieces has the same cause."""
    count = len(one.bridges)
    rims_wanted = round(rules.to_rim.value)
    if count < one.wanted:
        yield finding("HOLD-002", Severity.WARN, at, cause="HOLD-002", piece=one.piece, count=count, wanted=one.wanted)
    elif one.to_rim < rims_wanted:
        yield finding(
            "HOLD-003", Severity.NOTE, at, cause="HOLD-003", piece=one.piece, count=one.to_rim, wanted=rims_wanted
        )
    if one.parts > 1:
        yield finding("HOLD-005", Severity.WARN, at, cause="HOLD-005", piece=one.piece, count=one.parts)
    least = rules.held_least
    if one.figure.value < least.value:
        yield finding(
            "HOLD-004",
            Severity.WARN,
            at,
            figure=one.figure.path,
            limit=Limit(value=least.value, unit="", status=least.status, source=least.source),
            cause="HOLD-004",
            piece=one.piece,
            held=shown(one.figure.value, 2, limit=least.value, upper=False),
            least=least.value,
        )


def judged(setup: str, held: tuple[Held, ...], rules: BridgeRules) -> tuple[Finding, ...]:
    """What is not known about a setup's hold, and the pieces that the rule does not hold well.

    Parameters
    ----------
    setup
        Id of the setup.
    held
        Its pieces with their bridges.
    rules
        The rule for bridges.

    Returns
    -------
    tuple[Finding, ...]
        HOLD-001 always, then HOLD-002 to HOLD-005 in piece order.
    """
    told = [finding("HOLD-001", Severity.NOTE, (setup,), cause="HOLD-001", setup=setup)]
    for one in held:
        told += _of_piece(one, (setup, one.piece), rules)
    return tuple(told)
