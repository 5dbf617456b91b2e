"""Moves as blocks: rapids one way at a time, arcs by their centre and checked after rounding."""

from __future__ import annotations

import math

from traywright.base.tolerance import ARC_CHORD_MM, ARC_MISMATCH_MM
from traywright.cutting import XYZ, Move, MoveKind
from traywright.nc.words import Writing

ARC_WORDS = {MoveKind.ARC_CW: "G2", MoveKind.ARC_CCW: "G3"}


class BlockWriter:
    """Writes moves one after another and remembers where the control stands.

    Parameters
    ----------
    writing
        How numbers are written.
    z_shift_mm
        Added to every height: minus the board's thickness where z 0 is its top.
    """

    def __init__(self, writing: Writing, z_shift_mm: float) -> None:
        self._writing = writing
        self._z_shift_mm = z_shift_mm
        self._here: XYZ = (math.inf, math.inf, math.inf)  # unknown until the first moves
        self._words: dict[str, str] = {}
        self._feed = ""

    def _lengths(self, at_mm: XYZ) -> XYZ:
        """A place in the text's rounded numbers."""
        x, y, z = at_mm
        length = self._writing.length
        return (length(x), length(y), length(z + self._z_shift_mm))

    def _changed(self, at_mm: XYZ, axes: str) -> list[str]:
        """Words of the axes that change; the control then stands there."""
        words = []
        for axis, value in zip("XYZ", self._lengths(at_mm), strict=True):
            word = self._writing.word(axis, value)
            if axis in axes and self._words.get(axis) != word:
                words.append(word)
                self._words[axis] = word
        return words

    def _with_feed(self, words: list[str], feed_mm_per_s: float) -> str:
        """A block at feed; the feed word only where it changes."""
        feed = self._writing.feed(feed_mm_per_s)
        if feed != self._feed:
            words = [*words, feed]
            self._feed = feed
        return " ".join(words)

    def safe_height(self, z_mm: float) -> list[str]:
        """Block of a rapid straight up, written even where the control stands there: a cutter was changed.

        Parameters
        ----------
        z_mm
            The safe height, mm above the spoil board.
        """
        self._words.pop("Z", None)
        return self.rapid_up(z_mm)

    def rapid_up(self, z_mm: float) -> list[str]:
        """Block of a rapid straight up; none where the control stands there.

        Parameters
        ----------
        z_mm
            The height, mm above the spoil board.
        """
        self._here = (self._here[0], self._here[1], z_mm)
        words = self._changed((0.0, 0.0, z_mm), "Z")
        return [" ".join(["G0", *words])] if words else []

    def rapid(self, to_mm: XYZ) -> list[str]:
        """Blocks of a rapid: up before across, across before down.

        Parameters
        ----------
        to_mm
            Where to, board frame.
        """
        rising = to_mm[2] >= self._here[2]
        blocks = []
        for axes in ("Z", "XY") if rising else ("XY", "Z"):
            words = self._changed(to_mm, axes)
            blocks += [" ".join(["G0", *words])] if words else []
        self._here = to_mm
        return blocks

    def _line(self, to_mm: XYZ, feed_mm_per_s: float) -> list[str]:
        """Block of a straight cut; none where nothing changes."""
        words = self._changed(to_mm, "XYZ")
        self._here = to_mm
        return [self._with_feed(["G1", *words], feed_mm_per_s)] if words else []

    def _arc(self, move: Move) -> list[str]:
        """Block of an arc, or lines along it where rounding has parted its ends from its centre."""
        start_mm = self._here
        start, end = self._lengths(start_mm), self._lengths(move.to_mm)
        i, j = (self._writing.length(one) for one in (move.centre_mm[0], move.centre_mm[1]))
        i, j = round(i - start[0], self._writing.decimals), round(j - start[1], self._writing.decimals)
        radius = math.hypot(i, j)
        mismatch = abs(radius - math.hypot(end[0] - start[0] - i, end[1] - start[1] - j))
        if mismatch * self._writing.unit_mm > ARC_MISMATCH_MM / 2.0 or start[:2] == end[:2]:
            return [block for one in _chords(start_mm, move) for block in self._line(one, move.feed_mm_per_s)]
        self._changed(move.to_mm, "XYZ")
        self._here = move.to_mm
        word = self._writing.word
        at = [word("X", end[0]), word("Y", end[1]), word("I", i + 0.0), word("J", j + 0.0)]
        return [self._with_feed([ARC_WORDS[move.kind], *at], move.feed_mm_per_s)]

    def blocks(self, move: Move) -> list[str]:
        """Blocks of one move.

        Parameters
        ----------
        move
            The move; a full circle is written as two halves.
        """
        if move.kind is MoveKind.RAPID:
            return self.rapid(move.to_mm)
        if move.kind is MoveKind.LINE:
            return self._line(move.to_mm, move.feed_mm_per_s)
        return [block for half in _halves(self._here, move) for block in self._arc(half)]


def _halves(start_mm: XYZ, move: Move) -> tuple[Move, ...]:
    """A full circle as two half circles, every other arc as it is."""
    if math.dist(start_mm[:2], move.to_mm[:2]) > ARC_MISMATCH_MM:
        return (move,)
    cx, cy = move.centre_mm
    across = (2.0 * cx - start_mm[0], 2.0 * cy - start_mm[1], move.to_mm[2])
    first = Move(kind=move.kind, to_mm=across, feed_mm_per_s=move.feed_mm_per_s, centre_mm=move.centre_mm)
    return (first, move)


def _chords(start_mm: XYZ, move: Move) -> tuple[XYZ, ...]:
    """Points along an arc whose chords stay near it; the last is the arc's end."""
    cx, cy = move.centre_mm
    radius_mm = math.hypot(start_mm[0] - cx, start_mm[1] - cy)
    first = math.atan2(start_mm[1] - cy, start_mm[0] - cx)
    last = math.atan2(move.to_mm[1] - cy, move.to_mm[0] - cx)
    full = 2.0 * math.pi
    turn = (last - first) % full if move.kind is MoveKind.ARC_CCW else -((first - last) % full)
    if radius_mm <= ARC_CHORD_MM or abs(turn) * radius_mm <= ARC_CHORD_MM:
        return (move.to_mm,)
    count = math.ceil(abs(turn) / (2.0 * math.acos(1.0 - ARC_CHORD_MM / radius_mm)))
    angles = (first + turn * one / count for one in range(1, count))
    return (*((cx + radius_mm * math.cos(a), cy + radius_mm * math.sin(a), move.to_mm[2]) for a in angles), move.to_mm)
