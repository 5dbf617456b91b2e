"""A judged drawing job as arguments of the papers."""

from __future__ import annotations

from traywright.base import text
from traywright.job.drawn_result import DrawnJudged
from traywright.job.ranking import shown_first
from traywright.job.to_papers import assumption_lines
from traywright.papers import DrawnPapersAsked, DrawnTray, PaperHead


def drawn_papers_asked(judged: DrawnJudged) -> DrawnPapersAsked:
    """Everything the papers show; the job must have a price.

    Raises
    ------
    ValueError
        If the job has no price: then there are no papers.
    """
    done, judgement = judged.done, judged.judgement
    if done.quote is None:
        raise ValueError(done.asked.read.enquiry.job.number)
    asked, enquiry = done.asked, done.asked.read.enquiry
    first, _ = shown_first(judgement.ranked)
    return DrawnPapersAsked(
        head=_head(judged),
        trays=_trays(judged),
        plies=done.plies,
        board=asked.board,
        stuff=asked.stuff.name,
        solid=asked.solid,
        machine=done.machine,
        cutters=tuple(enumerate(done.cutters, start=1)),
        boards=done.nest.plan,
        made=tuple((one.setup, one.plan, one.program, one.read_back) for one in done.made),
        figures=judgement.book.figures,
        numbers=tuple(judgement.book.numbers().items()),
        findings=judgement.ranked,
        first=first,
        overrides=tuple((one.finding, one.at, one.because, one.by) for one in enquiry.override),
        assumptions=assumption_lines(asked.read.assumptions),
        quote=done.quote,
        quantity=round(asked.read.given("drawing.quantity").value),
        nominal_mm=asked.board.thickness_mm,
        measured_mm=done.drawn.trays[0].thickness_mm,
        shape=enquiry.drawing.shape,
        corner=enquiry.drawing.corner,
        file_sha256=done.drawing.sha256,
        file=enquiry.drawing.file,
        loops=tuple((one.layer, one.contour) for one in done.drawing.loops),
        left_out=tuple((one.layer, one.drawn_as, one.count) for one in done.drawing.left_out),
        asked=tuple((text("question", one.asks, **dict(one.parameters)), one.taken) for one in asked.questions),
    )


def _trays(judged: DrawnJudged) -> tuple[DrawnTray, ...]:
    """The trays with their exact areas."""
    exact = {one.tray: one for one in judged.done.drawn.areas}
    return tuple(
        DrawnTray(
            tray=tray,
            depths_mm=exact[tray.id].depths_mm,
            ending_mm2=exact[tray.id].ending_mm2,
            outline_mm2=exact[tray.id].outline_mm2,
            open_mm2=exact[tray.id].open_mm2,
            removed_mm3=exact[tray.id].removed_mm3,
            corner_left_mm2=exact[tray.id].corner_left_mm2,
        )
        for tray in judged.done.drawn.trays
    )


def _head(judged: DrawnJudged) -> PaperHead:
    """What stands on every paper."""
    asked, judgement = judged.done.asked, judged.judgement
    enquiry, job = asked.read.enquiry, asked.read.enquiry.job
    return PaperHead(
        number=job.number,
        revision=job.revision,
        title=job.title,
        customer=job.customer,
        dated=job.dated.isoformat() if job.dated else "",
        due=job.due.isoformat() if job.due else "",
        valid_days=round(enquiry.offer.valid_days.value),
        length_shown=job.length_shown,
        invented=enquiry.invented,
        draft=judgement.verdict.word in {text("verdict", "fail"), text("verdict", "not_shown")},
        verdict=judgement.verdict.word,
        release=asked.release,
        fingerprint_trays=judgement.fingerprint["trays"],
        fingerprint_cut=judgement.fingerprint["cut"],
        fingerprint_offer=judgement.fingerprint["offer"],
    )
