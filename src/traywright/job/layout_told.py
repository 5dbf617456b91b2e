"""Outlines laid out in a tray, as the command line and others ask for it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from traywright.base.errors import JobError, LayoutError
from traywright.base.files import write_whole
from traywright.geometry import Region
from traywright.job.layout_model import plain_layout
from traywright.job.layout_options import (
    LayoutTyped,
    masses_of,
    no_go_wall_of,
    ratio_of,
    sides_of,
    slot_of,
    tray_of,
    turns_of,
)
from traywright.job.layout_outline import names_of, read_outline, read_regions
from traywright.job.progress import Progress, silent
from traywright.layout import Container, Effort, Kind, LayoutAsked, NoGo, Offer, RowSlot, Spacing, lay_out
from traywright.layout.asked import KINDS_MOST
from traywright.papers import layout_picture

STAGE = "layout"


@dataclass(frozen=True, slots=True, kw_only=True)
class LayoutTold:
    """Two offers for one question, what must be told of the reading, and where the picture lies, if one was asked."""

    asked: LayoutAsked
    offers: tuple[Offer, Offer]
    notes: tuple[str, ...]
    picture: Path | None

    @property
    def plain(self) -> dict[str, Any]:
        """The offers as JSON values."""
        return plain_layout(self.offers)


def lay_out_outlines(typed: LayoutTyped, *, progress: Progress = silent) -> LayoutTold:
    """Outlines of files laid out in a tray: in regular rows, and the most that is found.

    Parameters
    ----------
    typed
        Outlines, tray, walls and what else was typed.
    progress
        Told which outline is read and when the layout begins and ends.

    Raises
    ------
    JobError
        JOB-026, JOB-055, JOB-056 for an option that cannot be read or meant; JOB-050 to JOB-054 for a file that is no
        outline; JOB-040 to JOB-042 if a drawing takes too much time or memory or fells its reader; JOB-057 for a slot
        beside its outline, JOB-058 if the picture cannot be written.
    PartError
        If a drawing is refused.
    LayoutError
        If the question is refused.
    """
    if len(typed.outlines) > KINDS_MOST:
        raise LayoutError("LAY-006", kinds=len(typed.outlines), most=KINDS_MOST)
    asked, notes = _asked(typed, progress)
    effort = _effort(typed)
    progress(STAGE, 0.5, "")
    offers = lay_out(asked, effort)
    if typed.svg is not None:
        _write(typed.svg, layout_picture(asked, offers))
    progress(STAGE, 1.0, "")
    return LayoutTold(asked=asked, offers=offers, notes=notes, picture=typed.svg)


def _effort(typed: LayoutTyped) -> Effort:
    """How long to look; what was not typed is left to the layout room."""
    told = {"rounds": typed.rounds, "seed": typed.seed}
    return Effort(**{key: value for key, value in told.items() if value is not None})


def _asked(typed: LayoutTyped, progress: Progress) -> tuple[LayoutAsked, tuple[str, ...]]:
    """The question, and the notes of reading; every option is read before any file."""
    count = len(typed.outlines)
    width_mm, depth_mm = tray_of(typed.tray)
    wall = sides_of("--wall", typed.wall)
    rim = wall if typed.rim is None else sides_of("--rim", typed.rim)
    turns = turns_of(typed.turns)
    ratio, masses = ratio_of(typed.ratio, count), masses_of(typed.mass, count)
    slots = tuple(slot_of(one) for one in typed.slots)
    keep_off_mm = no_go_wall_of(typed.no_go_wall, wall)
    regions, notes = _read_all(typed, progress)
    kinds = tuple(
        Kind(id=name, outline=_with_slots(name, region, slots), in_kit=in_kit, mass_kg=mass, slots=slots)
        for name, region, in_kit, mass in zip(names_of(typed.outlines), regions[:count], ratio, masses, strict=True)
    )
    no_go = tuple(NoGo(region=one, wall_mm=keep_off_mm) for one in regions[count:])
    asked = LayoutAsked(
        kinds=kinds,
        container=Container(width_mm=width_mm, depth_mm=depth_mm, no_go=no_go),
        spacing=Spacing(wall=wall, rim=rim),
        turns_deg=turns.turns_deg,
        free_turn=turns.free,
        together=typed.together,
        kits_most=typed.kits,
    )
    return asked, notes


def _read_all(typed: LayoutTyped, progress: Progress) -> tuple[list[Region], tuple[str, ...]]:
    """The outlines, then the regions that nothing may enter, and what must be told of them."""
    regions: list[Region] = []
    notes: list[str] = []
    names = names_of((*typed.outlines, *typed.no_go))
    for number, (name, told) in enumerate(zip(names, (*typed.outlines, *typed.no_go), strict=True)):
        progress(STAGE, 0.5 * number / len(names), name)
        read = read_outline if number < len(typed.outlines) else read_regions
        found = read(name, told, length_unit=typed.length_unit, most_s=typed.most_s)
        regions.append(found.region)
        notes += found.notes
    return regions, tuple(notes)


def _with_slots(name: str, outline: Region, slots: tuple[RowSlot, ...]) -> Region:
    """The outline, if each slot runs through it.

    Raises
    ------
    JobError
        JOB-057 if one lies beside it.
    """
    left, front, right, back = outline.bounds_mm
    for one in slots:
        half = one.width_mm / 2.0
        if not outline.overlaps(Region.rectangle(left, one.line_mm - half, right, one.line_mm + half)):
            told = {"line_mm": f"{one.line_mm:g}", "front_mm": f"{front:g}", "back_mm": f"{back:g}"}
            raise JobError("JOB-057", name=name, **told)
    return outline


def _write(file: Path, content: bytes) -> None:
    """Write the picture whole.

    Raises
    ------
    JobError
        JOB-058.
    """
    try:
        write_whole(file, content)
    except OSError as refused:
        raise JobError("JOB-058", file=str(file), told=str(refused.strerror)) from refused
