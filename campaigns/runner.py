"""Large seeded runs that go on where they stopped; each leaves a table in docs/campaigns.

Called by: python3 run.py campaign NAME [--share F] [--seed N]. A campaign is a module beside this one with
``TITLE`` (one line), ``COUNT`` (cases of a full run) and ``judge(draw) -> str``: empty if the case held, else what did
not, in a few words; or a pair of that and what the case is counted as. ``draw`` is a random.Random of the case's own
seed, so a case can be run again alone. One whose cases take minutes has ``judge_briefly(draw)`` for the suite as well.
What campaigns share with nobody else lies in folders beside them.
"""

from __future__ import annotations

import argparse
import importlib.util
import json
import random
import sys
from collections import Counter
from collections.abc import Iterator
from importlib.metadata import version
from pathlib import Path
from types import ModuleType

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent
Outcome = tuple[str, str]
"""The fault of a case, empty if it held, and what the case is counted as."""

SHOWN = 20  # faults in the table; all of them stay in the record


def names() -> tuple[str, ...]:
    """The campaigns there are."""
    return tuple(sorted(path.stem for path in HERE.glob("*.py") if path != Path(__file__).resolve()))


def load(name: str) -> ModuleType:
    """A campaign by its name."""
    spec = importlib.util.spec_from_file_location(f"campaign_{name}", HERE / f"{name}.py")
    if spec is None or spec.loader is None:
        raise FileNotFoundError(name)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def judged(
    campaign: ModuleType, seed: int, numbers: Iterator[int] | range, *, briefly: bool = False
) -> Iterator[tuple[int, str, str]]:
    """Number and fault of each case, and what it is counted as, in order."""
    judge = getattr(campaign, "judge_briefly", campaign.judge) if briefly else campaign.judge
    for number in numbers:
        told = judge(random.Random(f"{seed}:{number}"))  # noqa: S311  # reason: repeatable, no secret
        fault, counted = (told, "") if isinstance(told, str) else told
        yield number, fault, counted


def done(record: Path) -> dict[int, Outcome]:
    """The cases that a former run left, by number; a half-written last line is dropped."""
    found: dict[int, Outcome] = {}
    for line in record.read_text(encoding="utf-8").splitlines() if record.exists() else ():
        try:
            number, fault, counted = json.loads(line)
        except ValueError:
            continue
        found[number] = (fault, counted)
    return found


def table(name: str, title: str, seed: int, cases: dict[int, Outcome], full: int) -> str:
    """The page of a campaign: release, seed, count, what was counted and the faults."""
    faults = {number: fault for number, (fault, _) in sorted(cases.items()) if fault}
    counted = Counter(kind for _, kind in cases.values() if kind)
    lines = [
        f"# Campaign: {name}",
        "",
        title,
        "",
        "| Release | Seed | Cases | Of a full run | Faults |",
        "|---|---|---|---|---|",
    ]
    lines.append(f"| {version('traywright')} | {seed} | {len(cases)} | {full} | {len(faults)} |")
    if counted:
        lines += ["", "| Counted as | Cases |", "|---|---|"]
        lines += [f"| {kind} | {count} |" for kind, count in sorted(counted.items())]
    if faults:
        lines += ["", "| Case | Fault |", "|---|---|"]
        lines += [f"| {number} | {fault} |" for number, fault in list(faults.items())[:SHOWN]]
    return "\n".join(lines) + "\n"


def main(words: list[str]) -> int:
    """0 if every case held, 1 if one did not, 2 if there is no such campaign."""
    reader = argparse.ArgumentParser(prog="run.py campaign", description="A large seeded run.")
    reader.add_argument("name", choices=names())
    reader.add_argument("--share", type=float, default=1.0, help="share of the full run, above 0 to 1")
    reader.add_argument("--seed", type=int, default=1)
    asked = reader.parse_args(words)
    if not 0.0 < asked.share <= 1.0:
        reader.error("--share lies above 0 and is at most 1")
    campaign = load(asked.name)
    count = max(1, round(campaign.COUNT * asked.share))
    release = version("traywright")
    record = ROOT / "build" / "campaigns" / f"{asked.name}-{release}-{asked.seed}.jsonl"
    record.parent.mkdir(parents=True, exist_ok=True)
    cases = {number: told for number, told in done(record).items() if number < count}
    with record.open("a", encoding="utf-8") as file:
        todo = (number for number in range(count) if number not in cases)
        for number, fault, counted in judged(campaign, asked.seed, todo):
            cases[number] = (fault, counted)
            file.write(json.dumps([number, fault, counted]) + "\n")
            file.flush()
            if sys.stderr.isatty():
                print(f"\r{len(cases)} of {count}", end="", file=sys.stderr)
    page = ROOT / "docs" / "campaigns" / f"{asked.name}.md"
    page.parent.mkdir(exist_ok=True)
    page.write_text(
        table(asked.name, campaign.TITLE, asked.seed, cases, campaign.COUNT), encoding="utf-8", newline="\n"
    )
    print(page.read_text(encoding="utf-8"))
    return int(any(fault for fault, _ in cases.values()))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
