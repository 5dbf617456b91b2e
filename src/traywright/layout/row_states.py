"""Every row that one kind can stand in: motifs of one or two poses, how many, how spread and from where."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from traywright.layout._kernels_rows import pair_motifs
from traywright.layout.no_fit import Raster

MOTIFS = 12
"""Motifs of two poses kept for each ordered pair of poses."""  # source: own trials, more gave no more
SHIFTS = 7
"""Places along the row that are tried."""  # source: own trials
SPREADS = (0.0, 0.5, 1.0)
"""Shares of the spare length that go into the pitch."""  # source: own trials


Steps = tuple[int, int, int]
"""Pose, x and y of one copy in steps."""
NO_STRIP = (math.inf, -math.inf)


@dataclass(frozen=True, slots=True, kw_only=True)
class Motif:
    """Poses one after the other, each with its place in steps, repeated at a pitch."""

    members: tuple[Steps, ...]
    pitch: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """Copies of one row.

    ``ends_steps`` are where its outlines end in front and behind, ``strip_steps`` where its slots do with the wall that
    others must keep from them, from the row's origin.
    """

    copies: tuple[Steps, ...]
    ends_steps: tuple[float, float]
    strip_steps: tuple[float, float] = NO_STRIP


class RowsAsked(NamedTuple):
    """A question whose rows run along x: its raster, and where each pose's slots lie.

    ``slots_steps[a]`` are front and back of each slot of pose a from its centre; ``wall_steps`` is what others keep
    from them.
    """

    raster: Raster
    slots_steps: tuple[tuple[tuple[float, float], ...], ...]
    wall_steps: float


def motifs(asked: RowsAsked, poses: Sequence[int], line_steps: int) -> tuple[Motif, ...]:
    """Motifs of one and of two poses of one kind, single ones first, then the tightest of each pair.

    Parameters
    ----------
    asked
        The question.
    poses
        Poses of the kind.
    line_steps
        Steps between the offsets along y that are tried; where there are slots, only those at which they are one line.
    """
    found = [_single(asked.raster, one) for one in poses]
    for one, other in product(poses, poses):
        if one != other:
            here, there = asked.slots_steps[one], asked.slots_steps[other]
            lines = _level(here, there) if here else _lines(asked.raster, one, other, line_steps)
            found += _pairs(asked.raster, one, other, lines)
    return tuple(found)


def _level(here: Sequence[tuple[float, float]], there: Sequence[tuple[float, float]]) -> list[int]:
    """The one offset along y at which all slots of two poses lie on the same lines, if there is one."""
    offsets = {round(a[0] - b[0]) for a, b in zip(sorted(here), sorted(there), strict=True)}
    return list(offsets) if len(offsets) == 1 else []


def _single(raster: Raster, pose: int) -> Motif:
    marks, half = raster.maps[pose, pose], raster.half
    line = marks[half:, half]
    pitch = 1
    while any(line[pitch * k] for k in (1, 2, 3) if pitch * k <= half):
        pitch += 1
    return Motif(members=((pose, 0, 0),), pitch=pitch)


def _lines(raster: Raster, one: int, other: int, line_steps: int) -> list[int]:
    deep = int(max(raster.ends[one, 3] - raster.ends[one, 2], raster.ends[other, 3] - raster.ends[other, 2]))
    most = min(raster.half, int(deep / raster.step_mm) + 1)
    return list(range(-(most // line_steps) * line_steps, most + 1, line_steps))


def _pairs(raster: Raster, one: int, other: int, lines: Sequence[int]) -> list[Motif]:
    """The motifs of two poses that no other beats in both pitch and depth, and the least of pitch times depth."""
    most = int(raster.places[:, 1].max() - raster.places[:, 0].min()) + 2 * raster.half
    found = pair_motifs(raster.maps, one, other, np.array(lines, dtype=np.int64), most)
    if not len(found):
        return []
    ends = raster.ends / raster.step_mm
    front = np.minimum(ends[one, 2], ends[other, 2] + found[:, 0])
    deep = np.maximum(ends[one, 3], ends[other, 3] + found[:, 0]) - front
    # a row above starts a spacing further, which half the difference of lift and box tells well enough
    spare = max(0.0, float(raster.lift[one, one].max()) - (ends[one, 3] - ends[one, 2]))
    worth = found[:, 2] * (deep + spare)
    order = np.lexsort((found[:, 1], found[:, 0], worth))
    kept, least = [], np.inf
    for k in np.lexsort((found[:, 1], found[:, 0], deep, found[:, 2])):
        if deep[k] < least - 0.5:
            kept.append(int(k))
            least = deep[k]
    chosen = sorted({*kept, *(int(k) for k in order[:4])}, key=lambda k: (worth[k], k))[:MOTIFS]
    return [
        Motif(members=((one, 0, 0), (other, int(found[k, 1]), int(found[k, 0]))), pitch=int(found[k, 2]))
        for k in chosen
    ]


def rows_of(asked: RowsAsked, motif: Motif) -> Iterator[Row]:
    """Each full row of a motif and each of one less, in three spreads and from several places along the row.

    Parameters
    ----------
    asked
        The question.
    motif
        What is repeated.
    """
    full = _most(asked.raster, motif)
    for count in (full, full - 1):
        for pitch in _pitches(asked.raster, motif, count) if count > 0 else ():
            yield from _shifted(asked, _row(motif, count, pitch), SHIFTS)


def short_rows_of(asked: RowsAsked, motif: Motif, wanted: int) -> Iterator[Row]:
    """The full row of a motif and the one that ends a count, tight, all from one end, so that each meets the next."""
    full = min(wanted, _most(asked.raster, motif))
    for count in sorted({full, wanted % full} - {0}) if full else ():
        yield from _shifted(asked, _row(motif, count, motif.pitch), 1)


def _shifted(asked: RowsAsked, row: tuple[Steps, ...], places: int) -> Iterator[Row]:
    first, last = _room(asked.raster, row)
    if first <= last and _apart(asked.raster, row):
        for shift in sorted({round(float(one)) for one in np.linspace(first, last, min(places, last - first + 1))}):
            yield _made(asked, row, shift)


def _made(asked: RowsAsked, row: Sequence[Steps], shift: int) -> Row:
    ends = asked.raster.ends / asked.raster.step_mm
    slots = [(y + front, y + back) for pose, _, y in row for front, back in asked.slots_steps[pose]]
    strip = NO_STRIP
    if slots:
        strip = (min(one for one, _ in slots) - asked.wall_steps, max(one for _, one in slots) + asked.wall_steps)
    return Row(
        copies=tuple(sorted(((pose, x + shift, y) for pose, x, y in row), key=lambda one: (one[1], one[2], one[0]))),
        ends_steps=(min(ends[pose, 2] + y for pose, _, y in row), max(ends[pose, 3] + y for pose, _, y in row)),
        strip_steps=strip,
    )


def _row(motif: Motif, count: int, pitch: int) -> tuple[Steps, ...]:
    members = motif.members
    repeats = (divmod(k, len(members)) for k in range(count))
    return tuple((members[m][0], members[m][1] + turn * pitch, members[m][2]) for turn, m in repeats)


def _room(raster: Raster, row: Sequence[Steps]) -> tuple[int, int]:
    """First and last place of the row's origin along x."""
    first = max(int(raster.places[pose, 0]) - x for pose, x, _ in row)
    last = min(int(raster.places[pose, 1]) - x for pose, x, _ in row)
    return first, last


def _goes_in(raster: Raster, row: Sequence[Steps]) -> bool:
    first, last = _room(raster, row)
    return first <= last


def _most(raster: Raster, motif: Motif) -> int:
    count = 0
    while _goes_in(raster, _row(motif, count + 1, motif.pitch)):
        count += 1
    return count


def _pitches(raster: Raster, motif: Motif, count: int) -> list[int]:
    """The least pitch and wider ones that use up the spare length."""
    repeats = (count - 1) // len(motif.members)
    if repeats == 0:
        return [motif.pitch]
    first, last = _room(raster, _row(motif, count, motif.pitch))
    widest = min(motif.pitch + (last - first) // repeats, 2 * motif.pitch)
    return sorted({motif.pitch + round((widest - motif.pitch) * share) for share in SPREADS})


def _apart(raster: Raster, row: Sequence[Steps]) -> bool:
    """True if no two copies of the row stand too near."""
    half = raster.half
    for k, (here, x, y) in enumerate(row):
        for there, u, v in row[k + 1 :]:
            if u - x > 2 * half:
                break
            if abs(u - x) <= half and abs(v - y) <= half and raster.maps[here, there, u - x + half, v - y + half]:
                return False
    return True


def as_arrays(rows: Sequence[Row]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Copies of each row, and pose, x, y of each copy, unused places zero."""
    counts = np.array([len(one.copies) for one in rows], dtype=np.int64)
    filled = np.zeros((len(rows), int(counts.max()), 3), dtype=np.int64)
    for number, row in enumerate(rows):
        filled[number, : len(row.copies)] = row.copies
    return counts, filled
