"""The door for a customer's drawing: what was typed and what the folder knows become one enquiry, then the job runs."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from traywright import __version__
from traywright.base import Finding, Status, canonical_json, file_name, text
from traywright.base.errors import JobError
from traywright.catalogue import Catalogue, load_cards, used_cards
from traywright.design import DepthAsked
from traywright.enquiry import drawn_enquiry_toml, is_drawn, read_drawn_enquiry
from traywright.job.drawn_done import DrawnDone, DrawnJobAsked
from traywright.job.drawn_result import DrawnJudged, drawn_plain, judge_drawn
from traywright.job.drawn_stages import drawing_of, run_drawn_stages, trays_of
from traywright.job.drawn_to_papers import drawn_papers_asked
from traywright.job.folder import RESULT, beside, cards_beside, check_folder, content_of, locked, write_folder
from traywright.job.pipeline import Clock
from traywright.job.progress import Progress, silent
from traywright.job.ran import JobRan, closing_lines
from traywright.job.ranking import shown_first
from traywright.job.shop_folder import ShopFolder
from traywright.papers import Paper, draw_drawn_papers
from traywright.parts import Drawing, DrawingQuestion

Answers = dict[str, Any]
FILES = "files"


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawingTold:
    """What was typed of a drawing: its file's name and bytes, and answers as the tables of ``enquiry.toml``.

    ``again`` takes what was not typed from the folder's own enquiry; ``file`` may then be empty. ``findings`` tell
    what was found while the drawing was made here.
    """

    file: str
    content: bytes | None
    answers: Answers
    again: bool = False
    findings: tuple[Finding, ...] = ()


def run_as_drawn(
    told: DrawingTold, out: Path, *, shop: ShopFolder, workers: int = 2, progress: Progress = silent
) -> JobRan:
    """Cut a drawing as it is: its folder with program, read-back, price and papers.

    Parameters
    ----------
    told
        What was typed.
    out
        The job's folder, written whole at the end.
    shop
        The shop's own cards, and the depth tables it keeps for its customers.
    workers
        Processes, 1 or more; the bytes written are the same with any number.
    progress
        Shows the stages.

    Raises
    ------
    TraywrightError
        If the drawing, an answer or a card is refused, or the folder cannot be written.
    """
    clock, folder = Clock(progress), out.resolve()
    with locked(folder):
        check_folder(folder)
        with clock.stage("read"):
            answers, files = _asked_for(told, folder, shop)
            shop.depths(str(answers.get("job", {}).get("customer", "")))  # a broken table is told before the work
            own = {**shop.cards(), **(cards_beside(folder) if told.again else {})}
            asked = replace(_settled(answers, files, load_cards(own)), findings=told.findings)
        ran = _run(asked, folder, clock=clock, workers=workers, shown=out)
        shop.remember(asked.read.enquiry.job.customer, told.answers.get("drawing", {}).get("depth", ()))
    return ran


def run_drawn_enquiry(enquiry: Path, out: Path, *, workers: int, progress: Progress, catalogue: Catalogue) -> JobRan:
    """Run a drawing job from an enquiry on disk; the drawing lies beside it.

    Raises
    ------
    TraywrightError
        As ``run_as_drawn``.
    """
    clock, folder = Clock(progress), out.resolve()
    with locked(folder):
        check_folder(folder)
        with clock.stage("read"):
            content = content_of(enquiry)
            name = read_drawn_enquiry(content).enquiry.drawing.file
            files = {name: beside(enquiry.parent, name, "drawing.file")}
            asked = _settled(tomllib.loads(content.decode("utf-8")), files, catalogue, as_it_is=content)
        return _run(asked, folder, clock=clock, workers=workers, shown=out)


def _asked_for(told: DrawingTold, folder: Path, shop: ShopFolder) -> tuple[Answers, dict[str, bytes]]:
    """Answers and files: what was typed goes before what the folder knows, and that before the customer's table."""
    kept: Answers = {}
    if told.again:
        written = folder / "enquiry.toml"
        if not written.is_file():
            raise JobError("JOB-025", folder=str(folder))
        content = content_of(written)
        if not is_drawn(content):
            raise JobError("JOB-030", folder=str(folder))
        read_drawn_enquiry(content)  # refuses what cannot be meant before it is merged
        kept = tomllib.loads(content.decode("utf-8"))
    answers = _merged({**kept, "format": 1}, told.answers)
    drawing = answers.setdefault("drawing", {})
    if told.content is None:
        return answers, {drawing["file"]: beside(folder, drawing["file"], "drawing.file")}
    drawing["file"] = f"{FILES}/{_safe_name(told.file)}"
    customer = answers.get("job", {}).get("customer", "")
    known = shop.depths(customer)
    drawing["depth"] = _depth_rows(known, drawing.get("depth", []))
    return answers, {drawing["file"]: told.content}


def _safe_name(name: str) -> str:
    """A file name of letters that every system takes, with the ending of the customer's file."""
    stem, _, ending = name.rpartition(".")
    return f"{file_name(stem or ending)}.{ending.lower()}" if stem else file_name(name)


def _merged(kept: Answers, typed: Answers) -> Answers:
    """Tables with what was typed over what was kept; depth rows are put together."""
    found = {key: dict(one) if isinstance(one, dict) else one for key, one in kept.items()}
    for key, one in typed.items():
        if not isinstance(one, dict):
            found[key] = one
            continue
        table = found.setdefault(key, {})
        for name, value in one.items():
            rows = name in {"depth", "engrave"}
            table[name] = _depth_rows(table.get(name, []), value) if rows else value
    return found


def _depth_rows(kept: list[Answers], typed: list[Answers]) -> list[Answers]:
    """Rows of a depth table; a row that is typed takes the place of one for the same layer or colour."""
    by_place = {(str(one.get("layer", "")).lower(), one.get("colour", 0)): one for one in (*kept, *typed)}
    return list(by_place.values())


def _settled(
    answers: Answers, files: Mapping[str, bytes], catalogue: Catalogue, as_it_is: bytes | None = None
) -> DrawnJobAsked:
    """The job with every question answered in its enquiry; ``as_it_is`` is kept where nothing had to be asked."""
    content = as_it_is or drawn_enquiry_toml(answers).encode("utf-8")
    asked = DrawnJobAsked(
        read=read_drawn_enquiry(content),
        content=content,
        files=files,
        catalogue=catalogue,
        release=__version__,
    )
    drawing = drawing_of(asked)
    drawn = trays_of(asked, drawing)
    told = asked.read.enquiry.drawing.seen_from
    questions = (*drawing.questions, *(one for one in drawn.questions if not told))
    named = any(one.depth is not None and one.depth.ref == NAMED for one in drawn.depths)
    if not questions and not named and as_it_is is not None:
        return asked
    answered = _answered(answers, drawing, drawn.depths, questions)
    content = drawn_enquiry_toml(answered).encode("utf-8")
    return replace(asked, read=read_drawn_enquiry(content), content=content, questions=questions)


def _answered(
    answers: Answers,
    drawing: Drawing,
    depths: tuple[DepthAsked, ...],
    questions: tuple[DrawingQuestion, ...],
) -> Answers:
    """The answers with all that was taken written into them, so that the next run asks nothing."""
    told = dict(answers["drawing"])
    told["length_unit"] = drawing.unit_read
    told["depth"] = [_depth_row(one) for one in depths]
    for one in questions:
        key = one.field.removeprefix("drawing.")
        if key == "leave_out":
            # a layer that is cut may hold a word besides: it is not left out
            out = (each.layer for each in drawing.left_out if each.layer not in drawing.layers)
            told[key] = sorted({*told.get(key, ()), *out})
        elif key not in {"length_unit", "depth"}:
            told[key] = one.taken
    return {**answers, "drawing": told}


NAMED = "enquiry:drawing.depth"
"""Ground of a depth that no row of the enquiry tells: it was read from a layer's name."""


def _depth_row(one: DepthAsked) -> Answers:
    """A row of the depth table as it is written; a depth that nobody stated keeps its ground."""
    place: Answers = {"layer": one.layer} if one.layer else {"colour": one.colour}
    if one.depth is None:
        return {**place, "through": True}
    if one.depth.status is Status.STATED and one.depth.source == text("source", "stated"):
        return {**place, "mm": one.depth.value}
    return {**place, "mm": {"is": one.depth.value, "status": one.depth.status.word, "source": one.depth.source}}


def _run(asked: DrawnJobAsked, folder: Path, *, clock: Clock, workers: int, shown: Path) -> JobRan:
    """The stages, the papers and the folder of a job whose questions are answered."""
    done = run_drawn_stages(asked, workers=workers, clock=clock)
    cards = used_cards(asked.catalogue, _card_ids(done))
    judged = judge_drawn(done, cards)
    with clock.stage("papers"):
        papers = draw_drawn_papers(drawn_papers_asked(judged)) if done.quote is not None else ()
    plain = drawn_plain(judged, papers)
    with clock.stage("write"):
        write_folder(folder, _files(done, cards, papers, plain))
    first, more = shown_first(judged.judgement.ranked)
    job = asked.read.enquiry.job
    return JobRan(
        title=text("screen", "title", number=job.number, revision=job.revision, title=job.title),
        result=plain,
        result_text=canonical_json(plain),
        first=first,
        more=more,
        asked_lines=tuple(_asked_lines(judged)),
        closing_lines=closing_lines(done.quote, done.made, shown, papers, clock, price="price_pieces"),
    )


def _asked_lines(judged: DrawnJudged) -> list[str]:
    """What was not asked for, and each question with the answer that was taken."""
    lines = [text("screen", "not_asked")]
    for one in judged.done.asked.questions:
        words = text("question", one.asks, **dict(one.parameters))
        lines.append(text("screen", "question_line", words=words, taken=one.taken, field=one.field))
    return lines


def _card_ids(done: DrawnDone) -> tuple[str, ...]:
    """Ids of every card that the job used."""
    shop, asked = done.asked.read.enquiry.shop, done.asked
    named = [asked.board.id, asked.stuff.id, shop.machine, shop.dialect, shop.rates]
    named += [*asked.machine.cutters, *done.machine.cutters, *asked.read.enquiry.drawing.cutters]
    return tuple(dict.fromkeys(named))


def _files(
    done: DrawnDone, cards: Mapping[str, bytes], papers: tuple[Paper, ...], plain: dict[str, Any]
) -> dict[str, bytes]:
    """Every file of the job's folder."""
    files = {"enquiry.toml": done.asked.content, RESULT: canonical_json(plain).encode("utf-8")}
    files |= dict(done.asked.files)
    files |= {f"cards/{name}": content for name, content in cards.items()}
    files |= {f"programs/{one.program.name}": one.program.text.encode("ascii") for one in done.made}
    files |= {one.file: one.content for one in papers}
    return files
