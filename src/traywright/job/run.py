"""A job from an enquiry on disk to a whole folder: files in, stages, papers, files out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from traywright import __version__
from traywright.base import Finding, canonical_json, text
from traywright.base.errors import JobError
from traywright.catalogue import Catalogue, load_cards, used_cards
from traywright.enquiry import EnquiryRead, read_enquiry
from traywright.job.folder import RESULT, check_folder, locked, write_folder
from traywright.job.job_done import JobAsked, JobDone
from traywright.job.pipeline import Clock, run_stages
from traywright.job.progress import Progress, silent
from traywright.job.ranking import shown_first
from traywright.job.result_file import Judged, judge, result_plain
from traywright.job.to_papers import papers_asked
from traywright.papers import Paper, draw_papers

SHOP_CARDS = "cards"
S_PER_MIN = 60.0


@dataclass(frozen=True, slots=True, kw_only=True)
class JobRan:
    """A job that was run and written: its result, what shows first, and the lines that close the run."""

    title: str
    result: dict[str, Any]
    result_text: str
    first: tuple[Finding, ...]
    more: int
    closing_lines: tuple[str, ...]


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
        closing_lines=_closing_lines(judged, out, papers, clock),
    )


def read_job(enquiry: Path) -> JobAsked:
    """The enquiry with the files it names and the cards it may use.

    Raises
    ------
    JobError
        JOB-001 if the enquiry cannot be read; JOB-009 if a file it names is missing or lies outside its folder.
    """
    content = _content(enquiry)
    read = read_enquiry(content)
    folder = enquiry.parent
    own = {
        path.relative_to(folder / SHOP_CARDS).as_posix(): path.read_bytes()
        for path in sorted((folder / SHOP_CARDS).rglob("*.toml"))
    }
    files = {one.file: _beside(folder, one.file, f"part.{one.id}.file") for one in read.enquiry.part if one.file}
    return JobAsked(read=read, content=content, files=files, catalogue=load_cards(own), release=__version__)


def _content(path: Path) -> bytes:
    """Bytes of a file."""
    try:
        return path.read_bytes()
    except OSError as refused:
        raise JobError("JOB-001", file=str(path), told=str(refused.strerror)) from refused


def _beside(folder: Path, name: str, key: str) -> bytes:
    """Bytes of a file that the enquiry names, which must lie in the enquiry's folder."""
    path = (folder / name).resolve()
    if not path.is_relative_to(folder.resolve()) or not path.is_file():
        raise JobError("JOB-009", key=key, file=name)
    return _content(path)


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


def _closing_lines(judged: Judged, out: Path, papers: tuple[Paper, ...], clock: Clock) -> tuple[str, ...]:
    """The price, the cutting time, where the files lie, and the CPU seconds of each stage."""
    lines = []
    quote = judged.done.quote
    if quote is not None:
        one = next(each for each in quote.breaks if each.packs == quote.packs)
        trip = "" if one.per_kit_trip is None else text("screen", "price_trip", per_kit_trip=str(one.per_kit_trip))
        words = {"packs": one.packs, "price": one.price, "per_pack": one.per_pack, "currency": quote.currency}
        lines.append(text("screen", "price", trip=trip, **words))
    made = judged.done.made
    if made:
        time_min = sum(one.setup.runs * one.plan.time_s for one in made) / S_PER_MIN
        plain_min = sum(one.setup.runs * one.plan.length_over_feed_s for one in made) / S_PER_MIN
        lines.append(text("screen", "cutting_time", time_min=time_min, plain_min=plain_min))
    lines.append(text("screen", "where", name=text("screen", "files"), file=str(out)))
    lines.extend(f"  {name}" for name in (RESULT, *(one.file for one in papers if one.name != "tray")))
    lines.append(text("screen", "cpu_title"))
    lines.extend(f"  {text('stage', name)}: {spent:.1f}" for name, spent in clock.spent)
    return tuple(lines)
