"""Ten faults put into a good program text, each by changing as little as a slip would."""

from __future__ import annotations

import re

FEED_DOWN = re.compile(r"G1 Z-?[0-9.]+")


def _lines(text):
    return text.splitlines()


def _joined(lines):
    return "\n".join(lines) + "\n"


def _first(lines, pattern, start=0):
    return next(at for at in range(start, len(lines)) if re.search(pattern, lines[at]))


def shallow(text, by_mm=0.3, every=False):
    """The first pocket floor (or every one) a little too high; returns text and the changed line."""
    lines = _lines(text)
    at = _first(lines, r"G1 Z[1-9]")
    for row in range(at, len(lines)):
        hit = re.search(r"G1 Z([1-9][0-9.]*)", lines[row])
        if hit and (every or row == at):
            lines[row] = lines[row].replace(f"Z{hit.group(1)}", f"Z{float(hit.group(1)) + by_mm:.4f}")
    return _joined(lines), at + 1


def missing_retract(text):
    """The retract before the second way across is left out."""
    lines = _lines(text)
    at = _first(lines, r"G0 Z", _first(lines, "G1 Z"))
    across = _first(lines, "G0 X", at)
    del lines[at]
    return _joined(lines), across  # the crossing moved up by one line


def wrong_centre(text):
    """One arc's centre is off by half a millimetre."""
    lines = _lines(text)
    at = _first(lines, r"G[23] .*I")
    lines[at] = re.sub(r"I(-?[0-9.]+)", lambda hit: f"I{float(hit.group(1)) + 0.5:.4f}", lines[at])
    return _joined(lines), at + 1


def rapid_down(text):
    """The first move down into the foam is a rapid."""
    lines = _lines(text)
    at = next(row for row, line in enumerate(lines) if FEED_DOWN.search(line))
    lines[at] = re.sub(r"G1( Z\S+).*", r"G0\1", lines[at])
    return _joined(lines), at + 1


def inches(text):
    """G20 for G21."""
    lines = _lines(text)
    at = _first(lines, "G21")
    lines[at] = lines[at].replace("G21", "G20")
    return _joined(lines), at + 1


def dropped_line(text):
    """The longest straight cut is left out, and the lines are numbered anew."""
    lines = _lines(text)
    here, longest, at = {"X": 0.0, "Y": 0.0}, 0.0, 0
    for row, line in enumerate(lines):
        words = {letter: float(number) for letter, number in re.findall(r"([XY])(-?[0-9.]+)", line.split("(")[0])}
        gone = sum(abs(number - here[letter]) for letter, number in words.items())
        here |= words
        if re.search(r"G1 [XY]\S+$", line) and gone > longest:
            longest, at = gone, row
    del lines[at]
    count = 0
    for row, line in enumerate(lines):
        if line.startswith("N"):
            count += 1
            lines[row] = re.sub(r"^N[0-9]+", f"N{count}", line)
    return _joined(lines), at + 1


def no_feed(text):
    """Feed 0."""
    lines = _lines(text)
    at = _first(lines, r"F[0-9]", _first(lines, r"F[0-9]") + 1)
    lines[at] = re.sub(r"F[0-9.]+", "F0.0", lines[at])
    return _joined(lines), at + 1


def spindle_off(text):
    """The spindle is never started."""
    lines = _lines(text)
    at = _first(lines, r"M3\b")
    lines[at] = lines[at].replace(" M3", "")
    return _joined(lines), _first(lines, "G1 Z") + 1


def bridge_cut(text, height_mm=6.0, floor_mm=-0.3):
    """The lift over the first bridge is written at full depth."""
    lines = _lines(text)
    at = _first(lines, rf"Z{height_mm:.4f}")
    lines[at] = lines[at].replace(f"Z{height_mm:.4f}", f"Z{floor_mm:.4f}")
    return _joined(lines), at + 2  # the way along the bridge follows


def past_travel(text):
    """One rapid across goes past the end of the travel."""
    lines = _lines(text)
    at = _first(lines, r"G0 X")
    lines[at] = re.sub(r"X[0-9.]+", "X4000.0000", lines[at])
    return _joined(lines), at + 1


FAULTS = {
    "a depth of 0.3 mm": (shallow, {"RB-061"}),
    "a missing retract": (missing_retract, {"RB-052"}),
    "a wrong arc centre": (wrong_centre, {"RB-020"}),
    "a rapid as first move down": (rapid_down, {"RB-053"}),
    "G20 for G21": (inches, {"RB-031"}),
    "a dropped line": (dropped_line, {"RB-060", "RB-061", "RB-066"}),
    "feed 0": (no_feed, {"RB-041"}),
    "spindle off": (spindle_off, {"RB-040"}),
    "a bridge cut through": (bridge_cut, {"RB-063"}),
    "a move past travel": (past_travel, {"RB-050"}),
}
