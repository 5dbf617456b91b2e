"""A job from an enquiry on disk to a whole folder: files in, stages, papers, files out."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from traywright import __version__
from traywright.base import canonical_json, text
from traywright.catalogue import Catalogue, load_cards, used_cards
from traywright.enquiry import EnquiryRead, is_drawn, read_enquiry
from traywright.job.as_drawn import run_drawn_enquiry
from traywright.job.folder import RESULT, beside, cards_beside, check_folder, content_of, locked, write_folder
from traywright.job.job_done import JobAsked, JobDone
from traywright.job.pipeline import Clock, run_stages
from traywright.job.progress import Progress, silent
from traywright.job.ran import JobRan, closing_lines
from traywright.job.ranking import shown_first
from traywright.job.result_file import judge, result_plain
from traywright.job.to_papers import papers_asked
from traywright.papers import Paper, draw_papers

SHOP_CARDS = "cards"


def run_job_folder(enquiry: Path, out: Path, *, workers: int = 2, progress: Progress = silent) -> JobRan:
    """Run a job and write its folder.

    Parameters
    ----------
    enquiry
        The enquiry.toml; files that it names lie beside it, and the shop's own cards in a folder ``cards`` there.
    out
        Folder for the result, written whole at the end; nothing is written if the job is refused or cancelled.
    workers
        Processes, 1 or more; the bytes written are the same with any number.
    progress
        Shows the stages.

    Raises
    ------
    TraywrightError
        If the enquiry, a card or a part is refused, or the folder cannot be written.
    """
    if is_drawn(content_of(enquiry)):
        catalogue = load_cards(cards_beside(enquiry.parent))
        return run_drawn_enquiry(enquiry, out, workers=workers, progress=progress, catalogue=catalogue)
    clock = Clock(progress)
    folder = out.resolve()
    with locked(folder):
        check_folder(folder)
        with clock.stage("read"):
            asked = read_job(enquiry)
        done = run_stages(asked, workers=workers, clock=clock)
        cards = cards_of(asked)
        judged = judge(done, cards)
        with clock.stage("papers"):
            papers = draw_papers(papers_asked(judged)) if done.quote is not None else ()
        plain = result_plain(judged, papers)
        with clock.stage("write"):
            write_folder(folder, _files(asked, cards, done, papers, plain))
    first, more = shown_first(judged.judgement.ranked)
    job = asked.read.enquiry.job
    return JobRan(
        title=text("screen", "title", number=job.number, revision=job.revision, title=job.title),
        result=plain,
        result_text=canonical_json(plain),
        first=first,
        more=more,
        closing_lines=closing_lines(done.quote, done.made, out, papers, clock),
    )


def read_job(enquiry: Path) -> JobAsked:
    """The enquiry with the files it names and the cards it may use.

    Raises
    ------
    JobError
        JOB-001 if the enquiry cannot be read; JOB-009 if a file it names is missing or lies outside its folder.
    """
    content = content_of(enquiry)
    read = read_enquiry(content)
    folder = enquiry.parent
    files = {one.file: beside(folder, one.file, f"part.{one.id}.file") for one in read.enquiry.part if one.file}
    catalogue = load_cards(cards_beside(folder))
    return JobAsked(read=read, content=content, files=files, catalogue=catalogue, release=__version__)


def cards_of(asked: JobAsked) -> Mapping[str, bytes]:
    """Content of the cards that the job uses, by their name in the job's folder."""
    return used_cards(asked.catalogue, _card_ids(asked.read, asked.catalogue))


def _card_ids(read: EnquiryRead, catalogue: Catalogue) -> tuple[str, ...]:
    """Ids of every card that a stage may ask for."""
    enquiry = read.enquiry
    machine = catalogue.machine(enquiry.shop.machine)
    named = [enquiry.foam.allowed[0], enquiry.pack.boxes[0], machine.id, enquiry.shop.dialect, enquiry.shop.rates]
    named += [*machine.cutters, *enquiry.shop.boards, *read.handlings, enquiry.pack.divider]
    named += [one.material for one in enquiry.part]
    return tuple(dict.fromkeys(one for one in named if one))


def _files(
    asked: JobAsked, cards: Mapping[str, bytes], done: JobDone, papers: tuple[Paper, ...], plain: dict[str, Any]
) -> dict[str, bytes]:
    """Every file of the job's folder."""
    files = {"enquiry.toml": asked.content, RESULT: canonical_json(plain).encode("utf-8")}
    files |= dict(asked.files)
    files |= {f"{SHOP_CARDS}/{name}": content for name, content in cards.items()}
    files |= {f"programs/{one.program.name}": one.program.text.encode("ascii") for one in done.made}
    files |= {one.file: one.content for one in papers}
    return files
