"""A judged job as arguments of the papers."""

from __future__ import annotations

from collections.abc import Iterable

from traywright.base import text
from traywright.enquiry import Assumption
from traywright.job.asked_rooms import boards_of, foam_of
from traywright.job.ranking import shown_first
from traywright.job.result_file import Judged
from traywright.papers import AssumptionLine, PaperHead, PapersAsked


def papers_asked(judged: Judged) -> PapersAsked:
    """Everything the papers show; the job must have a price.

    Raises
    ------
    ValueError
        If the job has no boards or no price: then there are no papers.
    """
    done = judged.done
    if done.quote is None or done.nested is None:
        raise ValueError(done.asked.read.enquiry.job.number)
    read, catalogue = done.asked.read, done.asked.catalogue
    enquiry = read.enquiry
    machine = catalogue.machine(enquiry.shop.machine)
    first, _ = shown_first(judged.judgement.ranked)
    return PapersAsked(
        head=_head(judged),
        poses=done.poses,
        trays=done.drawn.trays,
        plies=done.plies,
        pack=done.drawn.pack,
        packs=done.nested.packs,
        box=catalogue.box(enquiry.pack.boxes[0]),
        divider=catalogue.divider(enquiry.pack.divider) if enquiry.pack.divider else None,
        foam=foam_of(read, catalogue),
        machine=machine,
        cutters=tuple((number, catalogue.cutter(card)) for number, card in enumerate(machine.cutters, start=1)),
        boards=done.nested.headline.plan,
        made=tuple((one.setup, one.plan, one.program, one.read_back) for one in done.made),
        figures=judged.judgement.book.figures,
        numbers=tuple(judged.judgement.book.numbers().items()),
        findings=judged.judgement.ranked,
        first=first,
        overrides=tuple((one.finding, one.at, one.because, one.by) for one in enquiry.override),
        assumptions=assumption_lines(read.assumptions),
        quote=done.quote,
        board_cards=boards_of(read, catalogue),
    )


def _head(judged: Judged) -> PaperHead:
    """What stands on every paper."""
    enquiry = judged.done.asked.read.enquiry
    job = enquiry.job
    return PaperHead(
        number=job.number,
        revision=job.revision,
        title=job.title,
        customer=job.customer,
        dated=job.dated.isoformat(),
        due=job.due.isoformat() if job.due else "",
        valid_days=round(enquiry.offer.valid_days.value),
        length_shown=job.length_shown,
        invented=enquiry.invented,
        draft=judged.judgement.verdict.word in {text("verdict", "fail"), text("verdict", "not_shown")},
        verdict=judged.judgement.verdict.word,
        release=judged.done.asked.release,
        fingerprint_trays=judged.judgement.fingerprint["trays"],
        fingerprint_cut=judged.judgement.fingerprint["cut"],
        fingerprint_offer=judged.judgement.fingerprint["offer"],
    )


def assumption_lines(assumptions: Iterable[Assumption]) -> tuple[AssumptionLine, ...]:
    """What was assumed, in words."""
    return tuple(
        AssumptionLine(
            field=one.field,
            taken=one.taken_text if one.taken is None else f"{one.taken.value:g} {one.taken.unit}".rstrip(),
            status="assumed" if one.taken is None else one.taken.status.word,
            effect=text("effect", one.effect),
        )
        for one in assumptions
    )
