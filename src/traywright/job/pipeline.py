"""The stages in their order: each is called with what the former ones handed on."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace

from traywright.design import draw_pack
from traywright.holddown import place_bridges
from traywright.job.asked_parts import build_poses
from traywright.job.asked_rooms import (
    assessment_asked,
    boards_of,
    cutters_of,
    drops_of,
    foam_of,
    handlings_of,
    loop_of,
    pack_asked,
    packs_of,
)
from traywright.job.fingerprints import cut_fingerprint, trays_fingerprint
from traywright.job.job_done import JobAsked, JobDone, Nested
from traywright.job.making import MakeAsked, make
from traywright.job.pool import map_in_order
from traywright.job.pricing import BreakAsked, nest_break, packs_told, price_job
from traywright.job.progress import Progress
from traywright.job.warm import warm_kernels
from traywright.nc import ProgramHead
from traywright.nesting import PlyCount
from traywright.protection import assess, wall_needs
from traywright.trays import plies_of


class Clock:
    """CPU seconds by stage; shown, never written into a result."""

    def __init__(self, progress: Progress) -> None:
        self._progress = progress
        self._spent: dict[str, float] = {}

    @contextmanager
    def stage(self, name: str) -> Iterator[Callable[[float, str], None]]:
        """Tell that a stage begins and ends, and count its CPU seconds."""
        self._progress(name, 0.0, "")
        start = time.process_time()
        yield lambda fraction, message: self._progress(name, fraction, message)
        self.add(name, time.process_time() - start)
        self._progress(name, 1.0, "")

    def add(self, name: str, cpu_s: float) -> None:
        """Add CPU seconds that a stage spent in other processes."""
        self._spent[name] = self._spent.get(name, 0.0) + cpu_s

    @property
    def spent(self) -> tuple[tuple[str, float], ...]:
        """Stages in the order they ran, with their CPU seconds."""
        return tuple(self._spent.items())


def run_stages(asked: JobAsked, *, workers: int, clock: Clock) -> JobDone:
    """All stages of a job up to the price.

    Parameters
    ----------
    asked
        The job.
    workers
        Processes for nesting, cutting and read-back; the result is the same with any number.
    clock
        Shows the stages and counts their CPU seconds.

    Raises
    ------
    TraywrightError
        If a result cannot exist; judgements come back as findings.
    """
    with clock.stage("compile"):
        warm_kernels()
    with clock.stage("parts"):
        poses, part_findings = build_poses(asked.read, asked.files, asked.catalogue)
    with clock.stage("protection_needs"):
        drops = drops_of(handlings_of(asked.read, asked.catalogue))
        # goods under other rules get a layout and no protection figure of any kind
        judged = not asked.read.enquiry.job.hazards
        needs = wall_needs(poses, foam_of(asked.read, asked.catalogue), drops) if judged else ()
    with clock.stage("design"):
        drawn = draw_pack(pack_asked(asked.read, asked.catalogue, poses, needs))
    with clock.stage("protection"):
        assessment = assess(assessment_asked(asked.read, asked.catalogue, poses, drawn))
    plies = tuple(ply for tray in drawn.trays for ply in plies_of(tray))
    done = JobDone(
        asked=asked,
        poses=poses,
        part_findings=part_findings,
        drawn=drawn,
        assessment=assessment,
        plies=plies,
        nested=None,
        made=(),
        loop=loop_of(asked.read),
        quote=None,
    )
    if drawn.complete:
        done = _made(done, workers=workers, clock=clock)
    return done


def _made(done: JobDone, *, workers: int, clock: Clock) -> JobDone:
    """Boards, programs and price of a plan that can be built."""
    asked = done.asked
    read, catalogue = asked.read, asked.catalogue
    headline = packs_of(read, done.loop)
    breaks = tuple(dict.fromkeys((*read.enquiry.offer.breaks_packs, round(headline.value))))
    counted = tuple(PlyCount(ply=ply, count=tray.per_pack) for tray in done.drawn.trays for ply in plies_of(tray))
    questions = tuple(
        BreakAsked(
            packs=packs,
            counted=counted,
            boards=boards_of(read, catalogue),
            machine=catalogue.machine(read.enquiry.shop.machine),
            job_number=read.enquiry.job.number,
            wanted=(packs_told(read, packs, headline), read.given("pack.kits_per_pack")),
        )
        for packs in sorted(breaks)
    )
    with clock.stage("nesting") as told:
        answers, cpu_s = map_in_order(
            nest_break, questions, workers=workers, told=lambda count: told(count / len(questions), "")
        )
    clock.add("nesting", cpu_s if workers > 1 else 0.0)
    nested = Nested(
        packs=round(headline.value),
        results=tuple((one.packs, each) for one, each in zip(questions, answers, strict=True)),
    )
    done = replace(done, nested=nested)
    makes = _make_questions(done, nested)
    with clock.stage("cutting") as told:
        made, cpu_s = map_in_order(
            make, makes, workers=workers, told=lambda count: told(count / len(makes), makes[count - 1].setup.id)
        )
    clock.add("cutting", cpu_s if workers > 1 else 0.0)
    done = replace(done, made=made)
    with clock.stage("quoting"):
        return replace(done, quote=price_job(done, headline))


def _make_questions(done: JobDone, nested: Nested) -> tuple[MakeAsked, ...]:
    """Each setup of the headline break with its bridges, ready for a worker."""
    read, catalogue = done.asked.read, done.asked.catalogue
    shop, job = read.enquiry.shop, read.enquiry.job
    machine, dialect = catalogue.machine(shop.machine), catalogue.dialect(shop.dialect)
    plies = {ply.id: ply for ply in done.plies}
    held = []
    for setup in nested.headline.plan.setups:
        cutters = tuple((number, catalogue.cutter(card)) for number, card in setup.cutters)
        on_it = tuple((name, plies[name]) for name in sorted({piece.ply for piece in setup.pieces}))
        advice = place_bridges(setup, dict(on_it), machine, dict(cutters))
        named = f"{setup.program}.{dialect.extension.lstrip('.')}"
        held.append((replace(setup, bridges=advice.bridges, program=named), advice, on_it, cutters))
    head = ProgramHead(
        job=job.number,
        revision=job.revision,
        release=done.asked.release,
        cut=cut_fingerprint(
            trays_fingerprint(done.drawn),
            tuple(setup for setup, _, _, _ in held),
            machine,
            cutters_of(machine, catalogue),
        ),
    )
    return tuple(
        MakeAsked(setup=setup, hold=advice, plies=on_it, machine=machine, cutters=cutters, dialect=dialect, head=head)
        for setup, advice, on_it, cutters in held
    )
