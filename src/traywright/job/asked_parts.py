"""The enquiry's parts as arguments of the parts room, built and posed."""

from __future__ import annotations

from collections.abc import Mapping

from traywright.base import Finding, Given
from traywright.base.errors import JobError
from traywright.catalogue import Catalogue, table
from traywright.enquiry import AskedPart, Contact, EnquiryRead, State
from traywright.job.asked_shape import shape_of
from traywright.job.guarded import MOST_S, guarded
from traywright.parts import (
    AddedAt,
    ContactRule,
    Part,
    PartAsked,
    PartState,
    Pose,
    Rule,
    build_parts,
    governing_findings,
    resting_poses,
    take_pose,
)

_RULES = {
    "never": Rule.NEVER,
    "not_at_rest": Rule.NOT_AT_REST,
    "allowed": Rule.ALLOWED,
    "must_hold": Rule.ALLOWED,
}
DOWN = (0.0, 0.0, -1.0)


def build_poses(
    read: EnquiryRead, files: Mapping[str, bytes], catalogue: Catalogue
) -> tuple[tuple[Pose, ...], tuple[tuple[str, Finding], ...]]:
    """Each part of the enquiry as it lies, and what was found on the way, by part.

    Parameters
    ----------
    read
        The enquiry.
    files
        Content of the files it names.
    catalogue
        Cards of the materials it names.

    Raises
    ------
    PartError
        If a part cannot be read or built.
    JobError
        JOB-009 if a file is missing, JOB-040 to JOB-042 if one takes too much time or memory or fells its reader.
    """
    questions = []
    for one in read.enquiry.part:
        if one.file and one.file not in files:
            raise JobError("JOB-009", key=f"part.{one.id}.file", file=one.file)
        questions.append((part_asked(one, read, catalogue), files.get(one.file)))
    poses: list[Pose] = []
    found: list[tuple[str, Finding]] = []
    for one, (part, told) in zip(read.enquiry.part, _built(tuple(questions)), strict=True):
        pose = take_pose(part, _down(one, part))
        poses.append(pose)
        found.extend((one.id, each) for each in (*told, *governing_findings(pose)))
    return tuple(poses), tuple(found)


def _built(questions: tuple[tuple[PartAsked, bytes | None], ...]) -> tuple[tuple[Part, tuple[Finding, ...]], ...]:
    """The parts, built in a process of its own where a file from outside is among them."""
    names = ", ".join(asked.file_name for asked, content in questions if content is not None)
    if names:
        return guarded(build_parts, questions, file=names, most_s=MOST_S * len(questions))
    return build_parts(questions)


def _down(one: AskedPart, part: Part) -> tuple[float, float, float]:
    """The direction that is told, or the resting pose that is hardest to tip."""
    if one.pose.search:
        return resting_poses(part.solid.points_mm, part.centre_of_gravity_mm, chord_mm=part.chord_mm)[0].down
    return one.pose.down or DOWN


def part_asked(one: AskedPart, read: EnquiryRead, catalogue: Catalogue) -> PartAsked:
    """One part of the enquiry in the words of the parts room."""
    return PartAsked(
        id=one.id,
        name=one.name,
        revision=one.revision,
        file_name=one.file,
        body=one.body,
        dimensions=None if one.dimensions is None else shape_of(one.dimensions),
        length_unit=one.length_unit,
        thickness_mm=None if one.thickness_mm is None else read.given(f"part.{one.id}.thickness_mm").value,
        turned=one.turned,
        mass=_given(read, f"part.{one.id}.mass_kg"),
        density=_density(one, read, catalogue),
        fragility=_given(read, f"part.{one.id}.fragility_gn"),
        tolerance_mm=read.given(f"part.{one.id}.tolerance_mm").value,
        contacts=tuple(_contact(each) for each in one.contact),
        default_rule=_RULES[one.default_rule],
        static_sensitive=one.static_sensitive,
        stack_over_fragile=one.stack_over_fragile,
        states=tuple(_state(one, each, read) for each in one.state),
    )


def _state(one: AskedPart, state: State, read: EnquiryRead) -> PartState:
    """One state of a part; where it is hot and its expansion is not told, that of the material's table."""
    place = f"part.{one.id}.state.{state.name}"
    return PartState(
        name=state.name,
        added_mm=state.added_mm,
        added=tuple(AddedAt(where=each.where.told(), added_mm=each.mm) for each in state.added),
        bag_mm=state.bag_mm or 0.0,
        mass=_given(read, f"{place}.mass_kg"),
        temperature=_given(read, f"{place}.temperature_c"),
        expansion=_given(read, f"{place}.expansion_per_k") or _usual_expansion(one.material),
        wet=state.wet,
    )


def _usual_expansion(material: str) -> Given | None:
    """Expansion of a material from the table, None for one that it does not have."""
    known = table("thermal_expansion")
    if all(row.id != material for row in known.rows):
        return None
    return known.given(material, "expansion_per_k")


def _given(read: EnquiryRead, field: str) -> Given | None:
    """A number of the enquiry, if it is told."""
    return read.given(field) if read.has(field) else None


def _density(one: AskedPart, read: EnquiryRead, catalogue: Catalogue) -> Given | None:
    """The density told, or that of the material's card."""
    told = _given(read, f"part.{one.id}.density_kg_m3")
    if told is not None or not one.material:
        return told
    return catalogue.material(one.material).given("density_kg_m3")


def _contact(contact: Contact) -> ContactRule:
    """One line of the contact map."""
    return ContactRule(
        rule=_RULES[contact.rule],
        where=contact.where.told(),
        must_hold=contact.rule == "must_hold",
        load=contact.load,
        why=contact.why,
    )
