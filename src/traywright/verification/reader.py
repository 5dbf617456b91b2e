"""A strict reader of program text: what each line makes the machine do, in the order of the report.

It is written from NISTIR 6556 alone, apart from any writer of programs. What it does not read it refuses, line by line.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from traywright.base import Finding, Severity
from traywright.base.units import MM_PER_INCH, S_PER_MIN
from traywright.verification import modal
from traywright.verification.arcs import Arc, arc_about, arc_of_radius
from traywright.verification.modal import judge_block
from traywright.verification.motion import UNKNOWN, XYZ, Heard, Motion, MotionKind
from traywright.verification.tell import tell
from traywright.verification.words import Block, read_line, refusal

_KINDS = {
    modal.RAPID: MotionKind.RAPID,
    modal.LINE: MotionKind.FEED,
    modal.ARC_CW: MotionKind.ARC_CW,
    modal.ARC_CCW: MotionKind.ARC_CCW,
}


class _Control:
    """The modal state of a control while it obeys one program."""

    def __init__(self, name: str, start_mm: XYZ) -> None:
        self.name = name
        self.place = start_mm
        self.mode = -1
        self.unit = ""
        self.unit_line = 0
        self.feed = 0.0
        self.rpm = 0.0
        self.spindle_line = 0
        self.spun_s = 0.0
        self.asked_tool = 0
        self.tool = 0
        self.length_offset = 0
        self.work_offset = -1
        self.ended = False
        self.motions: list[Motion] = []
        self.findings: list[Finding] = []
        self.changes: list[tuple[int, XYZ]] = []

    @property
    def mm_per_unit(self) -> float:
        """Millimetres of one programmed unit; without a unit word, 1."""
        return MM_PER_INCH if self.unit == "inch" else 1.0

    def obey(self, block: Block) -> None:
        """Do what a line asks, in the report's order of execution (Table 8), or refuse it whole."""
        codes = block.codes("G")
        own = [code for code in codes if code in modal.MOTIONS]
        mode = own[0] if own else self.mode
        refused = judge_block(block, mode, self.name)
        if refused:
            self.findings.extend(refused)
            return
        self._set_numbers(block)
        self._set_spindle(block)
        self._set_modes(block, codes)
        self.mode = mode
        axes = "".join(letter for letter in "XYZ" if block.value_of(letter) is not None)
        arc_words = any(block.value_of(letter) is not None for letter in "IJR")
        if axes or arc_words:
            self._move(block, axes, in_machine=modal.MACHINE_FRAME in codes)
        elif modal.MACHINE_FRAME in codes or modal.ARC_CW in own or modal.ARC_CCW in own:
            self._refuse("RB-017", block, word="X Y Z")
        self.ended = bool(modal.END_WORDS & set(block.codes("M")))

    def _refuse(self, code: str, block: Block, **parameters: str | float) -> None:
        """Note a refusal at a line, with the place where the cutter stands."""
        told = {"line": block.line, **parameters}
        self.findings.append(tell(code, (self.name,), told, point_mm=self.place))

    def _set_numbers(self, block: Block) -> None:
        """Feed, speed and the cutter asked for."""
        feed, rpm, tool = block.value_of("F"), block.value_of("S"), block.value_of("T")
        self.feed = self.feed if feed is None else feed
        self.rpm = self.rpm if rpm is None else rpm
        self.asked_tool = self.asked_tool if tool is None else int(tool)

    def _set_spindle(self, block: Block) -> None:
        """Cutter change, then spindle, then dwell."""
        codes = block.codes("M")
        if modal.CHANGE in codes:
            self.tool = self.asked_tool
            self.spindle_line = 0  # source: NISTIR 6556, 3.6.3: the spindle stands when the change is complete
            self.changes.append((block.line, self.place))
        if modal.SPINDLE_OFF in codes:
            self.spindle_line = 0
        if modal.SPINDLE_ON in codes and not self.spindle_line:
            self.spindle_line, self.spun_s = block.line, 0.0
        self.spun_s += block.value_of("P") or 0.0

    def _set_modes(self, block: Block, codes: tuple[int, ...]) -> None:
        """Unit, length offset and work offset."""
        for code in codes:
            if code in {modal.INCH, modal.MILLIMETRE}:
                self._set_unit(block, "inch" if code == modal.INCH else "mm")
            elif code == modal.LENGTH_ON:
                self.length_offset = int(block.value_of("H") or 0)
            elif code == modal.LENGTH_OFF:
                self.length_offset = 0
            elif code in modal.WORK_OFFSETS:
                self._set_work_offset(block, code)

    def _set_unit(self, block: Block, unit: str) -> None:
        """Take a unit once; a second, other one is refused."""
        if self.unit not in {"", unit}:
            self._refuse("RB-034", block)
        self.unit, self.unit_line = unit, block.line

    def _set_work_offset(self, block: Block, code: int) -> None:
        """Take one zero for the whole program; a second, other one is refused."""
        if self.work_offset not in {-1, code}:
            self._refuse("RB-033", block, word=f"G{code // 10}")
        self.work_offset = code

    def _move(self, block: Block, axes: str, *, in_machine: bool) -> None:
        """Add the motion that a line with axis words asks for."""
        if self.mode not in _KINDS:
            self._refuse("RB-017", block, word=axes or "I J R")
            return
        kind = _KINDS[self.mode]
        if in_machine:
            self._park(block, axes, kind)
            return
        end = self._end_of(block)
        if not kind.is_arc:
            self._add(block, kind, axes, end)
            return
        arc = self._arc_of(block, axes, end, clockwise=kind is MotionKind.ARC_CW)
        if arc is not None:
            self._judge_arc(block, arc)
            self._add(block, kind, axes, end, arc)

    def _end_of(self, block: Block) -> XYZ:
        """Where the axis words lead, millimetres."""
        given = [block.value_of(letter) for letter in "XYZ"]
        ends = [
            old if new is None else new * self.mm_per_unit + 0.0 for old, new in zip(self.place, given, strict=True)
        ]
        return (ends[0], ends[1], ends[2])

    def _park(self, block: Block, axes: str, kind: MotionKind) -> None:
        """A rapid in the machine's own frame: its Z0 is the top of the travel, other places are not known here."""
        if kind is not MotionKind.RAPID:
            self._refuse("RB-017", block, word="G53")
            return
        top = block.value_of("Z") == 0.0
        lost = [math.nan if letter in axes else old for letter, old in zip("XYZ", self.place, strict=True)]
        self._add(block, kind, axes, (lost[0], lost[1], math.inf if top else lost[2]))

    def _arc_of(self, block: Block, axes: str, end: XYZ, *, clockwise: bool) -> Arc | None:
        """The arc of a line, or nothing and a refusal."""
        offsets = [block.value_of(letter) for letter in "IJ"]
        radius = block.value_of("R")
        by_centre = offsets != [None, None]
        if not set(axes) & {"X", "Y"} or by_centre == (radius is not None):
            self._refuse("RB-017", block, word="I J R")
            return None
        if not all(math.isfinite(one) for one in (*self.place, *end)):
            self._refuse("RB-021", block)
            return None
        x, y, _ = self.place
        if radius is not None:
            arc = arc_of_radius((x, y), end[:2], radius * self.mm_per_unit, clockwise=clockwise)
        else:
            centre = (x + (offsets[0] or 0.0) * self.mm_per_unit, y + (offsets[1] or 0.0) * self.mm_per_unit)
            arc = arc_about((x, y), end[:2], centre, clockwise=clockwise)
        if arc is None:
            self._refuse("RB-021", block)
        return arc

    def _judge_arc(self, block: Block, arc: Arc) -> None:
        """Findings on an arc that can be drawn but should not be written so."""
        if arc.is_broken:
            self._refuse("RB-020", block, mismatch_mm=round(arc.mismatch_mm, 4))
        if arc.is_poor:
            told = {"line": block.line}
            self.findings.append(tell("RB-022", (self.name,), told, severity=Severity.WARN, point_mm=self.place))

    def _add(self, block: Block, kind: MotionKind, axes: str, end: XYZ, arc: Arc | None = None) -> None:
        """Put a motion at the end of the list and stand at its end."""
        rapid = kind is MotionKind.RAPID
        self.motions.append(
            Motion(
                line=block.line,
                kind=kind,
                axes=axes,
                start_mm=self.place,
                end_mm=end,
                centre_mm=arc.centre_mm if arc else (0.0, 0.0),
                sweep_deg=arc.sweep_deg if arc else 0.0,
                feed_mm_per_s=0.0 if rapid else self.feed * self.mm_per_unit / S_PER_MIN,
                spindle_line=self.spindle_line if self.rpm > 0 else 0,
                spindle_rpm=self.rpm,
                spun_s=self.spun_s,
                tool=self.tool,
                length_offset=self.length_offset,
                unit=self.unit,
            )
        )
        self.place = end


def _lines(text: str, name: str, findings: list[Finding]) -> Iterator[tuple[int, str]]:
    """The lines between the marks of the tape, numbered as an editor numbers them."""
    rows = [row.rstrip("\r") for row in text.split("\n")]
    marks = [at for at, row in enumerate(rows) if row.strip() == "%"]
    first = next((at for at, row in enumerate(rows) if row.strip()), 0)
    wrapped = bool(marks) and marks[0] == first
    closing = marks[1] if wrapped and len(marks) > 1 else len(rows)
    if wrapped and closing == len(rows):
        findings.append(refusal("RB-019", len(rows), name, word="%"))
    for at, row in enumerate(rows):
        if at > closing and row.strip():
            findings.append(refusal("RB-018", at + 1, name))
        elif at < closing and not (wrapped and at == first):
            yield at + 1, row


def _numbers_in_step(numbers: list[tuple[int, int]], motions: list[Motion], name: str) -> list[Finding]:
    """A finding where the line numbers of a program leave their own step: a line is missing or doubled."""
    steps = [(later[1] - one[1], later[0]) for one, later in pairwise(numbers)]
    widths = [step for step, _ in steps]
    if not widths:
        return []
    usual = max(sorted(set(widths)), key=widths.count)
    if widths.count(usual) * 10 < len(widths) * 9 and len(widths) > 1:  # numbers without a step say nothing
        return []
    left = [(line, step) for step, line in steps if step != usual]
    found = []
    for line, step in left:
        after = next((one for one in motions if one.line >= line and one.is_known), None)
        found.append(tell("RB-023", (name,), {"line": line, "step": step}, point_mm=after.start_mm if after else ()))
    return found


def read_program(text: str, name: str = "", *, start_mm: XYZ = UNKNOWN) -> Heard:
    r"""What a program text asks of a machine: its motions in millimetres, and every line that is refused.

    Parameters
    ----------
    text
        The whole program.
    name
        Id of the program, carried by the findings.
    start_mm
        Where the cutter stands before the first line; not known unless told.

    Returns
    -------
    Heard
        Motions with line number, feed, spindle and cutter; findings ``RB-010`` to ``RB-023``, ``RB-033``, ``RB-034``.

    Notes
    -----
    Read: G0 G1 G2 G3 G4 G17 G20 G21 G40 G43 G49 G53 G54-G59 G61 G64 G80 G90 G94, M0 M2 M3 M5 M6 M7 M8 M9 M30, T S F H.
    Other planes, incremental words, cycles, expressions, parameters and block delete are refused. The rounding of
    corners under G64 is the control's own and is not drawn. ``G53 Z0`` is taken as the top of the travel (common
    practice, no source).

    References
    ----------
    NISTIR 6556 (2000), sections 3.3 to 3.8.

    Examples
    --------
    >>> heard = read_program("G21 G0 Z50\nX0 Y0\nG1 Z-0.5 F20\nM2\n")
    >>> [(one.line, str(one.kind)) for one in heard.motions]
    [(1, 'rapid'), (2, 'rapid'), (3, 'feed')]
    """
    findings: list[Finding] = []
    control = _Control(name, start_mm)
    numbers: list[tuple[int, int]] = []
    last = 0
    for line, row in _lines(text, name, findings):
        block, fault = read_line(row, line, name)
        last = line if row.strip() else last
        if control.ended and (block is not None or fault is not None):
            findings.append(refusal("RB-018", line, name))
            break
        if fault is not None:
            findings.append(fault)
        if block is not None:
            numbers += [(line, block.number)] if block.number >= 0 else []
            control.obey(block)
    if not control.ended:
        findings.append(refusal("RB-019", last, name, word="M30"))
    findings += control.findings + _numbers_in_step(numbers, control.motions, name)
    return Heard(
        motions=tuple(control.motions),
        findings=tuple(sorted(findings, key=lambda one: int(dict(one.parameters)["line"]))),
        changes=tuple(control.changes),
        ended=control.ended,
        unit_line=control.unit_line,
        lines=last,
    )
