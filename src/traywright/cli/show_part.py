"""What the command line shows of parts' files."""

from __future__ import annotations

import sys
from typing import Any

from rich.console import Console
from rich.table import Table

from traywright.base import canonical_json, text

Plain = dict[str, Any]


def _words(key: str, **parameters: Any) -> str:  # noqa: ANN401  # reason: words and numbers of a sentence
    return text("part_screen", key, **parameters)


def _row(numbers: list[float | None], digits: int = 2) -> str:
    return " ".join("-" if one is None else f"{one:.{digits}f}" for one in numbers)


def _or_unknown(value: float | None, digits: int) -> str:
    return _words("unknown") if value is None else f"{value:.{digits}f}"


def _bodies(told: Plain) -> Table:
    """One row a kind of body."""
    table = Table(expand=True)
    for key in ("body", "count", "likely", "size", "volume", "mass", "centre"):
        table.add_column(_words(f"column_{key}"), overflow="fold")
    for one in told["bodies"]:
        table.add_row(
            one["name"],
            str(one["count"]),
            _words(one["likely"]),
            _row(one["size_mm"]),
            _or_unknown(one["volume_mm3"], 1),
            _or_unknown(one["mass_kg"], 4),
            _row(one["centre_of_gravity_mm"], 3),
        )
    return table


def _layers(told: Plain) -> Table:
    """One row a layer of a drawing."""
    table = Table(expand=True)
    for key in ("layer", "loops", "area", "length", "taken"):
        table.add_column(_words(f"column_{key}"), overflow="fold")
    for one in told["layers"]:
        numbers = str(one["loops"]), f"{one['area_mm2']:.3f}", f"{one['perimeter_mm']:.3f}"
        table.add_row(one["name"], *numbers, one["taken"])
    return table


def _way(pose: Plain) -> str:
    """How a pose rests, in a word."""
    if not pose["rests"]:
        return _words("does_not_rest")
    return _words("rolls") if pose["rolls"] else _words("rests")


def _poses(body: Plain) -> Table:
    """One row a pose."""
    table = Table(expand=True, title=_words("poses_of", name=body["name"]), title_justify="left")
    for key in ("pose", "down", "rests", "tip", "rise", "silhouette", "height"):
        table.add_column(_words(f"column_{key}"), overflow="fold")
    for one in body["poses"]:
        table.add_row(
            str(one["number"]),
            _row(one["down"], 3),
            _way(one),
            _or_unknown(one["tip_energy_j"], 4),
            _or_unknown(one["tip_rise_mm"], 2),
            f"{one['silhouette_mm2']:.1f}",
            _or_unknown(one["height_mm"], 2),
        )
    return table


def _opening(pose: Plain) -> Table:
    """One row a depth of the pose that was asked for."""
    table = Table(title=_words("opening", number=pose["number"]), title_justify="left")
    for key in ("from", "area", "until", "state"):
        table.add_column(_words(f"column_{key}"))
    for one in pose["opening"]:
        table.add_row(f"{one['z_mm']:.3f}", f"{one['area_mm2']:.2f}", f"{one['until_mm2']:.2f}", one["state"])
    return table


def _by_code(findings: list[Plain]) -> list[list[Plain]]:
    """Findings with those of one code together, as the codes come."""
    groups: dict[str, list[Plain]] = {}
    for one in findings:
        groups.setdefault(one["code"], []).append(one)
    return list(groups.values())


def _show(console: Console, told: Plain) -> None:
    """One file."""
    unit = {"unit": told["unit"], "own": told["unit_in_file"] or _words("no_unit")}
    console.print(_words("head", file=told["file"], kind=told["kind"], **unit), style="bold", markup=False)
    if told["layers"]:
        console.print(_layers(told))
    console.print(_bodies(told))
    for body in told["bodies"]:
        if body["likely"] == "part":
            console.print(_poses(body))
            if body["poses_left_out"]:
                console.print(_words("poses_left_out", count=body["poses_left_out"]), markup=False)
    if told.get("pose"):
        console.print(_opening(told["pose"]))
    for one in told["questions"]:
        taken = one["taken"] or _words("nothing")
        console.print(_words("asked", asks=one["asks"], taken=taken), markup=False, soft_wrap=True)
    for first, *others in _by_code([*told["findings"], *told.get("differs", []), *told["known"]]):
        also = _words("also", count=len(others)) if others else ""
        console.print(_words("finding", also=also, **first), markup=False, soft_wrap=True)


def show_parts(told: list[Plain], *, as_json: bool) -> None:
    """Print what parts' files hold; as JSON one object for one file, a list for several."""
    if as_json:
        sys.stdout.write(canonical_json(told[0] if len(told) == 1 else told))
        return
    console = Console(highlight=False)
    for one in told:
        _show(console, one)
