"""What protection is asked: a closed pack, how it is handled, and what went wrong before."""

from __future__ import annotations

from dataclasses import dataclass

from traywright.base import Figure, Given
from traywright.catalogue import Foam, Handling
from traywright.parts import Pose
from traywright.protection.lifting import Lift
from traywright.trays import Pack, Tray


@dataclass(frozen=True, slots=True, kw_only=True)
class Damage:
    """One complaint of the past: what was said, of which part id (empty: all), and its kind.

    ``kind`` is scratched, dented, crushed, loose, mixed_up, wet, static or other; it names the check that answers.
    """

    said: str
    part: str
    kind: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LidGap:
    """Room between stack and lid, mm: nominal, and how far it may be off by root sum of squares and at worst."""

    nominal: Figure | Given
    rss: Figure | Given
    worst: Figure | Given


@dataclass(frozen=True, slots=True, kw_only=True)
class AssessmentAsked:
    """A closed pack to be judged.

    ``poses`` pairs part ids with the pose they lie in; ``foam`` is the grade whose curve is used (trays of another foam
    count as hard); ``handlings`` are the cards of all legs; ``gross`` is the pack's gross mass.
    """

    pack: Pack
    trays: tuple[Tray, ...]
    poses: tuple[tuple[str, Pose], ...]
    foam: Foam
    handlings: tuple[Handling, ...]
    gross: Figure
    lid_gap: LidGap
    lifts: tuple[Lift, ...] = ()
    damages: tuple[Damage, ...] = ()
    hazards: tuple[str, ...] = ()
