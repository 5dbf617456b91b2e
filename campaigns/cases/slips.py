"""Slips in a program text: each changes as little as a slip would, at a drawn place, and leaves a text that reads."""

from __future__ import annotations

import random
import re
from collections.abc import Callable

from traywright.catalogue import Machine
from traywright.nesting.setup import Setup

Lines = list[str]
Slip = Callable[[random.Random, Lines, Setup, Machine], bool]
"""Changes the lines; False if the program has no place for it."""

NUMBER = r"-?[0-9]+\.[0-9]+"
FLOOR_OFF_MM = 0.3
CENTRE_OFF_MM = 0.5
PLACE_OFF_MM = 1.5
LAST_MM = 0.0015  # two numbers of a text that mean one height: comments have three decimals


def _where(lines: Lines, pattern: str) -> list[int]:
    """Rows of the lines that hold a pattern; comments never do."""
    return [row for row, line in enumerate(lines) if not line.startswith("(") and re.search(pattern, line)]


def _swap(lines: Lines, row: int, letter: str, change: Callable[[float], float]) -> None:
    """Change the number of one word."""
    lines[row] = re.sub(rf"{letter}({NUMBER})", lambda hit: f"{letter}{change(float(hit[1])):.4f}", lines[row], count=1)


def _zero_mm(setup: Setup) -> float:
    """Height of the program's Z0 above the spoil board."""
    return setup.thickness_mm if setup.z_zero == "top" else 0.0


def _z_of(line: str) -> float:
    """The Z word of a line."""
    found = re.search(rf"Z({NUMBER})", line)
    return float(found[1]) if found else 0.0


def _floors(lines: Lines, setup: Setup) -> list[int]:
    """Rows that go straight down to the floor of their operation, above the spoil board."""
    level_mm, found = 0.0, []
    for row, line in enumerate(lines):
        told = re.match(rf"\(.* level ({NUMBER})\)", line)
        level_mm = float(told[1]) if told else level_mm
        if level_mm > 0.0 and line.startswith("G1 Z") and abs(_z_of(line) + _zero_mm(setup) - level_mm) < LAST_MM:
            found.append(row)
    return found


def floor_off(draw: random.Random, lines: Lines, setup: Setup, _machine: Machine) -> bool:
    """One way down to a floor is 0.3 mm off."""
    rows = _floors(lines, setup)
    if rows:
        off = draw.choice((FLOOR_OFF_MM, -FLOOR_OFF_MM))
        _swap(lines, draw.choice(rows), "Z", lambda z: z + off)
    return bool(rows)


def all_floors_off(draw: random.Random, lines: Lines, setup: Setup, _machine: Machine) -> bool:
    """Every way down to one floor is 0.3 mm off."""
    rows = _floors(lines, setup)
    if rows:
        level, off = _z_of(lines[draw.choice(rows)]), draw.choice((FLOOR_OFF_MM, -FLOOR_OFF_MM))
        for row in rows:
            if abs(_z_of(lines[row]) - level) < LAST_MM:
                _swap(lines, row, "Z", lambda z: z + off)
    return bool(rows)


def dropped_cut(draw: random.Random, lines: Lines, _setup: Setup, _machine: Machine) -> bool:
    """One cut is left out."""
    del lines[draw.choice(_where(lines, r"G[123] .*[XY]"))]
    return True


def no_feed(draw: random.Random, lines: Lines, _setup: Setup, _machine: Machine) -> bool:
    """Feed 0."""
    _swap(lines, draw.choice(_where(lines, r" F[0-9]")), "F", lambda _: 0.0)
    return True


def spindle_off(draw: random.Random, lines: Lines, _setup: Setup, _machine: Machine) -> bool:
    """The spindle is never started, or stopped somewhere between two cuts."""
    if draw.choice((False, True)):
        row = _where(lines, r"M3\b")[0]
        lines[row] = lines[row].replace(" M3", "")
    else:
        lines.insert(draw.choice(_where(lines, r"G1 .*[XY]")), "M5")
    return True


def rapid_down(draw: random.Random, lines: Lines, _setup: Setup, _machine: Machine) -> bool:
    """One way down into the board is a rapid."""
    row = draw.choice(_where(lines, rf"G1 Z{NUMBER}"))
    lines[row] = re.sub(r"G1( Z\S+).*", r"G0\1", lines[row])
    return True


def bridge_cut(draw: random.Random, lines: Lines, setup: Setup, machine: Machine) -> bool:
    """The lift over one bridge is written at full depth."""
    if not setup.bridges:
        return False
    lift, low = setup.bridges[0].height_mm - _zero_mm(setup), -machine.into_spoil_mm - _zero_mm(setup)
    rows = [row for row in _where(lines, r"G1 .*[XY].*Z") if abs(_z_of(lines[row]) - lift) < LAST_MM]
    if rows:
        _swap(lines, draw.choice(rows), "Z", lambda _: low)
    return bool(rows)


def arc_centre(draw: random.Random, lines: Lines, _setup: Setup, _machine: Machine) -> bool:
    """One arc's centre is half a millimetre off."""
    rows = _where(lines, r"G[23] ")
    if rows:
        _swap(lines, draw.choice(rows), draw.choice("IJ"), lambda one: one + CENTRE_OFF_MM)
    return bool(rows)


def arc_other_way(draw: random.Random, lines: Lines, _setup: Setup, _machine: Machine) -> bool:
    """One arc turns the other way round."""
    rows = _where(lines, r"G[23] ")
    if rows:
        row = draw.choice(rows)
        lines[row] = re.sub("G[23] ", "G3 " if "G2 " in lines[row] else "G2 ", lines[row])
    return bool(rows)


def past_travel(draw: random.Random, lines: Lines, _setup: Setup, machine: Machine) -> bool:
    """One place lies past the end of the travel."""
    letter = draw.choice("XY")
    past = 1.5 * (machine.travel_x_mm if letter == "X" else machine.travel_y_mm)
    _swap(lines, draw.choice(_where(lines, rf"G[01] .*{letter}{NUMBER}")), letter, lambda _: past)
    return True


def missing_retract(draw: random.Random, lines: Lines, _setup: Setup, _machine: Machine) -> bool:
    """One retract before a way across is left out."""
    rows = [row for row in _where(lines, r"G0 Z")[1:] if re.search("G1|G2|G3", lines[row - 1])]
    if rows:
        del lines[draw.choice(rows)]
    return bool(rows)


def inches(_draw: random.Random, lines: Lines, _setup: Setup, _machine: Machine) -> bool:
    """G20 for G21."""
    row = _where(lines, "G21")[0]
    lines[row] = lines[row].replace("G21", "G20")
    return True


def place_off(draw: random.Random, lines: Lines, _setup: Setup, _machine: Machine) -> bool:
    """One place of a cut lies 1.5 mm off."""
    letter, off = draw.choice("XY"), draw.choice((PLACE_OFF_MM, -PLACE_OFF_MM))
    _swap(lines, draw.choice(_where(lines, rf"G1 .*{letter}{NUMBER}")), letter, lambda one: one + off)
    return True


def lost_minus(draw: random.Random, lines: Lines, _setup: Setup, _machine: Machine) -> bool:
    """One minus is lost."""
    rows = _where(lines, r"G[0-3] .*[XYZIJ]-[0-9.]*[1-9]")
    if rows:
        row = draw.choice(rows)
        lines[row] = re.sub(r"([XYZIJ])-", r"\1", lines[row], count=1)
    return bool(rows)


SLIPS: dict[str, Slip] = {
    "one floor 0.3 mm off": floor_off,
    "all of one floor 0.3 mm off": all_floors_off,
    "a dropped cut": dropped_cut,
    "feed 0": no_feed,
    "spindle off": spindle_off,
    "a rapid down into foam": rapid_down,
    "a bridge cut through": bridge_cut,
    "an arc centre 0.5 mm off": arc_centre,
    "an arc the other way round": arc_other_way,
    "a move past travel": past_travel,
    "a missing retract": missing_retract,
    "G20 for G21": inches,
    "a place 1.5 mm off": place_off,
    "a lost minus": lost_minus,
}


def slipped(draw: random.Random, text: str, setup: Setup, machine: Machine) -> tuple[str, str]:
    """Name of a drawn slip and the text with it, its lines numbered anew so that no gap tells of it."""
    names = sorted(SLIPS)
    draw.shuffle(names)
    for name in names:
        lines = [re.sub(r"^N[0-9]+ ", "", line) for line in text.splitlines()]
        if SLIPS[name](draw, lines, setup, machine) and "\n".join(lines) != re.sub(r"(?m)^N[0-9]+ ", "", text).rstrip():
            return name, _numbered(lines)
    raise ValueError(setup.id)


def _numbered(lines: Lines) -> str:
    """The text with its blocks numbered one by one."""
    number, told = 0, []
    for line in lines:
        number += not line.startswith("(")
        told.append(line if line.startswith("(") else f"N{number} {line}")
    return "\n".join(told) + "\n"
