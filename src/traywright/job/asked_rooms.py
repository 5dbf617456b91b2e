"""The enquiry's terms as arguments of design, protection and quoting."""

from __future__ import annotations

from traywright.base import Figure, Given, Status, text
from traywright.catalogue import Board, Catalogue, Cutter, Foam, Handling, Machine, table
from traywright.design import KindAsked, PackAsked, PackDrawn
from traywright.enquiry import EnquiryRead
from traywright.parts import Pose
from traywright.protection import AssessmentAsked, Damage, LidGap, Lift, WallNeed, schedule_heights
from traywright.quoting import LoopAsked, LoopPlan, plan_loop

QUARTER_DEG = 90


def foam_of(read: EnquiryRead, catalogue: Catalogue) -> Foam:
    """The foam of the job: the first that the enquiry allows."""
    return catalogue.foam(read.enquiry.foam.allowed[0])


def boards_of(read: EnquiryRead, catalogue: Catalogue) -> tuple[Board, ...]:
    """The boards of that foam which the enquiry names, thin ones first."""
    foam = foam_of(read, catalogue)
    boards = (catalogue.board(one) for one in read.enquiry.shop.boards)
    return tuple(sorted((one for one in boards if one.foam == foam.id), key=lambda one: (one.thickness_mm, one.id)))


def cutters_of(machine: Machine, catalogue: Catalogue) -> tuple[Cutter, ...]:
    """The cutters of a machine in the order of their numbers."""
    return tuple(catalogue.cutter(one) for one in machine.cutters)


def handlings_of(read: EnquiryRead, catalogue: Catalogue) -> tuple[Handling, ...]:
    """The cards of all legs, each once; without a leg the handling that was assumed."""
    return tuple(catalogue.handling(one) for one in dict.fromkeys(read.handlings))


def drops_of(handlings: tuple[Handling, ...]) -> tuple[Given, ...]:
    """Every drop height of the handlings' schedules, highest first, each once."""
    heights = (one for card in handlings for one in schedule_heights(card, table("drop_heights")))
    return tuple({one.value: one for one in sorted(heights, key=lambda one: (-one.value, one.ref))}.values())


def pack_asked(
    read: EnquiryRead, catalogue: Catalogue, poses: tuple[Pose, ...], needs: tuple[WallNeed, ...]
) -> PackAsked:
    """The plan that the enquiry states, for the design."""
    pack = read.enquiry.pack
    machine = catalogue.machine(read.enquiry.shop.machine)
    flat = [one for one in cutters_of(machine, catalogue) if one.form == "flat"]
    return PackAsked(
        kinds=tuple(
            KindAsked(
                pose=pose,
                per_kit=one.per_kit,
                turns_deg=tuple(round(turn / QUARTER_DEG) * QUARTER_DEG for turn in one.turns_allowed_deg),
            )
            for one, pose in zip(read.enquiry.part, poses, strict=True)
        ),
        kits=read.given("pack.kits_per_pack"),
        wall_mm=read.given("pack.wall_mm") if read.has("pack.wall_mm") else None,
        needs=needs,
        box=catalogue.box(pack.boxes[0]),
        foam=foam_of(read, catalogue),
        boards=boards_of(read, catalogue),
        cutter=max(flat, key=lambda one: (one.reach_mm, -one.diameter_mm)),
        divider=catalogue.divider(pack.divider) if pack.divider else None,
    )


def assessment_asked(
    read: EnquiryRead, catalogue: Catalogue, poses: tuple[Pose, ...], drawn: PackDrawn
) -> AssessmentAsked:
    """The drawn pack, how it is handled, lifted and what went wrong before, for protection."""
    figures = {one.path: one for one in drawn.figures}
    return AssessmentAsked(
        pack=drawn.pack,
        trays=drawn.trays,
        poses=tuple((one.part.id, one) for one in poses),
        foam=foam_of(read, catalogue),
        handlings=handlings_of(read, catalogue),
        gross=figures["design/pack/gross"],
        lid_gap=LidGap(
            nominal=figures["design/pack/gap"],
            rss=figures["design/pack/gap_spread"],
            worst=figures["design/pack/gap_worst"],
        ),
        lifts=tuple(_lift(read, one.at, one.people, one.coupling) for one in read.enquiry.lift),
        damages=tuple(Damage(said=one.said, part=one.part, kind=one.kind) for one in read.enquiry.job.damage),
        hazards=read.enquiry.job.hazards,
    )


def _lift(read: EnquiryRead, at: str, people: int, coupling: str) -> Lift:
    """One lift with the ground of each number."""

    def given(key: str) -> Given:
        return read.given(f"lift.{at}.{key}")

    return Lift(
        at=at,
        people=people,
        hand_distance=given("hand_distance_mm"),
        height=given("height_mm"),
        travel=given("travel_mm"),
        twist=given("twist_deg"),
        frequency=given("lifts_per_min"),
        hours=given("hours"),
        coupling=coupling,
    )


def loop_of(read: EnquiryRead) -> LoopPlan | None:
    """The loop's own figures; None where the enquiry tells of no loop."""
    loop = read.enquiry.loop
    if loop is None or not loop.step:
        return None
    steps = tuple(read.given(f"loop.step.{one.name}.days") for one in loop.step)
    return plan_loop(
        LoopAsked(
            kits_per_week=read.given("loop.kits_per_week"),
            weeks_per_year=read.given("loop.weeks_per_year"),
            years=read.given("loop.years"),
            days=(*steps, read.given("loop.queue_days")),
            spare_packs=read.given("loop.spare_packs"),
            kits_per_pack=read.given("pack.kits_per_pack"),
            working_days_per_week=table("quote_rules").given("working_days_per_week", "value"),
        )
    )


def packs_of(read: EnquiryRead, loop: LoopPlan | None) -> Given | Figure:
    """Packs of the headline price: those asked, else those that the loop holds."""
    return read.given("pack.packs") if loop is None or read.has("pack.packs") else loop.pool


def break_given(read: EnquiryRead, number: int) -> Given:
    """One break quantity of the offer with its ground; ``number`` counts from 1.

    Raises
    ------
    IndexError
        If the offer has fewer breaks.
    """
    field = "offer.breaks_packs"
    assumed = any(one.field == field for one in read.assumptions)
    return Given(
        ref=f"enquiry:{field}.{number}",
        value=float(read.enquiry.offer.breaks_packs[number - 1]),
        unit="pack",
        status=Status.ASSUMED if assumed else Status.STATED,
        source=text("source", "assumed_break" if assumed else "customer"),
    )
