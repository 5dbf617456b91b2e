"""Which bodies of a file look like fasteners, and the one question that is asked about it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from traywright.base import Finding, Severity, finding, text
from traywright.catalogue import Table
from traywright.geometry import Mesh
from traywright.parts.alike import Likeness
from traywright.parts.congruent import measured
from traywright.parts.fastener_form import fastener_form
from traywright.parts.question import PartQuestion

WORDS = frozenset(
    {
        *("screw", "bolt", "nut", "washer", "pin", "rivet", "stud", "dowel", "setscrew", "capscrew", "grubscrew"),
        *("circlip", "fastener", "schraube", "mutter", "scheibe", "stift", "bolzen", "niet"),
        *("vis", "ecrou", "rondelle", "goupille"),
    }
)
"""Words in a body's name that say what it is: English, German, French.  # source: common practice, no source"""

STANDARD = re.compile(
    r"(?<![A-Za-z])(?:DIN|ISO|EN|ANSI|ASME|JIS|BS)(?:[ _-]?(?:EN|ISO|B))*[ _-]?\d{2,5}", re.IGNORECASE
)
THREAD = re.compile(r"(?<![A-Za-z])M\d{1,2}(?:[.,]\d)?[ _]?[xX-][ _]?\d{1,3}(?!\d)")
SMALL_RATIO = 0.05  # source: ours: volume over that of the largest other body
SHORT_RATIO = 0.75  # source: ours: longest side over that of the largest other body
MOST_TRIANGLES = 200_000  # source: ours: no fastener has as many
NAMED, FORMED, SEVERAL, ENOUGH = 2, 2, 1, 3  # source: ours: a name and a form count double; alone neither is enough


@dataclass(frozen=True, slots=True, kw_only=True)
class FastenerProposal:
    """A group of bodies that is proposed for dropping, with the grounds.

    ``form`` is screw, nut, washer, pin or empty, ``thread`` what it fits, ``word`` what in its name says so.
    """

    group: int
    name: str
    count: int
    form: str
    thread: str
    word: str

    @property
    def why(self) -> str:
        """Key of the message group ``likely`` under which the reason stands."""
        return f"{self.form or 'fastener'}_named" if self.word else self.form

    @property
    def reason(self) -> str:
        """The reason in words."""
        told: str = text("likely", self.why, thread=self.thread, word=self.word)
        return told


@dataclass(frozen=True, slots=True, kw_only=True)
class BodiesQuestion:
    """The one question about the bodies of a file: which are parts.

    ``kept`` are names and counts of the groups that stay, ``proposed`` those that are proposed for dropping; the
    readings are drop (what is proposed goes) and keep_all.
    """

    kept: tuple[tuple[str, int], ...]
    proposed: tuple[FastenerProposal, ...]
    readings: tuple[str, ...] = ("drop", "keep_all")
    taken: str = "drop"

    def asked(self, field: str) -> PartQuestion:
        """The question as the file's other questions are asked."""
        kept = ", ".join(f"{count} x {name}" for name, count in self.kept)
        dropped = "; ".join(f"{one.count} x {one.name} ({one.reason})" for one in self.proposed)
        both = ", ".join((kept, *(f"{one.count} x {one.name}" for one in self.proposed)))
        return PartQuestion(
            field=field,
            asks="bodies",
            parameters=(("kept", kept), ("dropped", dropped)),
            readings=(("drop", kept), ("keep_all", both)),
            taken=self.taken,
        )


def fastener_word(name: str) -> str:
    """What in a body's name says that it is a fastener, empty if nothing does.

    Examples
    --------
    >>> [fastener_word(one) for one in ("spindle_1", "screw_04", "DIN 912", "HexNut", "ISO4762 M4x12", "Minute")]
    ['', 'screw', 'DIN 912', 'nut', 'ISO4762', '']
    """
    for pattern in (STANDARD, THREAD):
        found = pattern.search(name)
        if found:
            return found.group(0)
    for word in re.findall(r"[A-Z]?[a-z]+|[A-Z]+", name):
        low = str(word).lower()
        if low in WORDS or (low.endswith("s") and low[:-1] in WORDS):
            return low if low in WORDS else low[:-1]
    return ""


def _proposals(likenesses: Sequence[Likeness], meshes: Sequence[Mesh], threads: Table) -> list[FastenerProposal]:
    """All groups that look like fasteners, whatever their size against the others, with the grounds."""
    found = []
    for number, one in enumerate(likenesses):
        word = next((told for told in map(fastener_word, one.names) if told), "")
        mesh = meshes[one.first]
        seen = fastener_form(measured(mesh), threads) if len(mesh.triangles) <= MOST_TRIANGLES else None
        grounds = NAMED * bool(word) + FORMED * (seen is not None) + SEVERAL * (len(one.members) > 1)
        if grounds >= ENOUGH and (word or seen):
            found.append(
                FastenerProposal(
                    group=number,
                    name=one.names[0],
                    count=len(one.members),
                    form=seen.form if seen else "",
                    thread=seen.thread if seen else "",
                    word=word,
                )
            )
    return found


def propose_fasteners(
    likenesses: Sequence[Likeness], meshes: Sequence[Mesh], threads: Table
) -> tuple[FastenerProposal, ...]:
    """Groups that look like fasteners beside larger bodies, with the grounds; nothing is dropped by it.

    Parameters
    ----------
    likenesses
        Groups of the file's bodies.
    meshes
        The bodies, mm.
    threads
        The table ``fasteners``.

    Returns
    -------
    tuple
        In the order of the groups. Empty where nothing but fasteners would be left: then they are the parts.

    Notes
    -----
    Grounds are a word or standard in the name (2), the form with a thread's diameter (2), more than one of them (1);
    three are needed, and the body must be small against the largest body that is no fastener.

    Examples
    --------
    >>> from traywright.catalogue import table
    >>> propose_fasteners((), (), table("fasteners"))
    ()
    """
    if len(likenesses) < 2:
        return ()
    found = _proposals(likenesses, meshes, threads)
    looks = {one.group for one in found}
    others = [one for number, one in enumerate(likenesses) if number not in looks]
    if not others:
        return ()
    most_mm3 = SMALL_RATIO * max(one.volume_mm3 for one in others)
    longest_mm = SHORT_RATIO * max(one.size_mm[0] for one in others)
    return tuple(
        one
        for one in found
        if likenesses[one.group].volume_mm3 <= most_mm3 and likenesses[one.group].size_mm[0] <= longest_mm
    )


def bodies_question(likenesses: Sequence[Likeness], proposed: Sequence[FastenerProposal]) -> BodiesQuestion | None:
    """The question which bodies are parts, None where nothing is proposed for dropping.

    Parameters
    ----------
    likenesses
        Groups of the file's bodies.
    proposed
        What is proposed for dropping.
    """
    if not proposed:
        return None
    groups = {one.group for one in proposed}
    kept = tuple((one.names[0], len(one.members)) for number, one in enumerate(likenesses) if number not in groups)
    return BodiesQuestion(kept=kept, proposed=tuple(proposed))


def body_findings(
    part_id: str, likenesses: Sequence[Likeness], proposed: Sequence[FastenerProposal]
) -> tuple[Finding, ...]:
    """What is to be said of the bodies of a file: pairs of left and right, and what is proposed for dropping.

    Parameters
    ----------
    part_id
        Named in the findings.
    likenesses, proposed
        Groups of the file's bodies, and what is proposed for dropping.
    """
    found = []
    for number, one in enumerate(likenesses):
        if one.other_hand_of is not None and one.other_hand_of < number:
            other = likenesses[one.other_hand_of]
            told: dict[str, Any] = {"name": one.names[0], "other": other.names[0]}
            told |= {"count": len(one.members), "others": len(other.members)}
            found.append(finding("PART-070", Severity.WARN, (part_id,), part=part_id, **told))
    for each in proposed:
        told = {"count": each.count, "name": each.name, "reason": each.reason}
        found.append(finding("PART-071", Severity.NOTE, (part_id,), part=part_id, **told))
    return tuple(found)
