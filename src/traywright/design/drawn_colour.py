"""Sheets of two colours: contrast of pockets and lines, and notches that look like tools."""

from __future__ import annotations

from collections.abc import Iterator

from traywright.base import Finding, Severity, finding
from traywright.catalogue import table
from traywright.design.drawn_asked import DrawnAsked
from traywright.parts import Drawing, DrawingQuestion
from traywright.trays import FeatureKind, Tray


def judge_colours(tray: Tray, asked: DrawnAsked) -> Iterator[Finding]:
    """What a sheet of two colours shows; nothing for a sheet of one.

    Parameters
    ----------
    tray
        The tray.
    asked
        For the board.
    """
    board = asked.board
    if board.top_colour_mm is None:
        return
    change, spread = board.top_colour_mm, board.top_colour_tolerance_mm or 0.0
    more = table("design_rules").given("contrast_more", "value").value
    blind = [one for one in tray.features if one.floor.lowest_mm > 0.0]
    patchy = [one for one in blind if one.kind is not FeatureKind.ENGRAVING]
    patchy = [one for one in patchy if change - spread < tray.thickness_mm - one.floor.lowest_mm < change + more]
    for one in blind:
        deep = tray.thickness_mm - one.floor.lowest_mm
        if one.kind is FeatureKind.ENGRAVING:
            yield _engraving(tray, one.id, deep, change, spread)
        elif one in patchy:
            x, y = one.region.centre_mm
            yield finding(
                "TRAY-039",
                Severity.WARN,
                (tray.id, one.id),
                point_mm=(round(x, 3), round(y, 3)),
                cause=f"patchy {tray.id}",
                count=len(patchy),
                deep_mm=round(deep, 3),
                change_mm=change,
                spread_mm=spread,
                margin_mm=round(deep - change - spread, 3),
                wanted_mm=change + more,
                place=f"({x:.1f}, {y:.1f})",
            )
    yield from _false_tools(tray, asked, change)


def _engraving(tray: Tray, feature: str, deep_mm: float, change_mm: float, spread_mm: float) -> Finding:
    """Whether a cut line shows the lower colour."""
    shows = "both" if abs(deep_mm - change_mm) <= spread_mm else "deeper" if deep_mm > change_mm else "shallower"
    severity = Severity.WARN if shows == "both" else Severity.NOTE
    words = {"deep_mm": round(deep_mm, 3), "change_mm": change_mm}
    return finding("TRAY-040", severity, (tray.id, feature), cause=f"line {shows}", fix=shows, **words)  # type: ignore[arg-type]


def _false_tools(tray: Tray, asked: DrawnAsked, change_mm: float) -> Iterator[Finding]:
    """Notches and slots that reach the lower colour: beside the tool they look like a missing one."""
    kinds = {FeatureKind.FINGER_NOTCH, FeatureKind.SLOT}
    seen = [one for one in tray.features if one.kind in kinds and tray.thickness_mm - one.floor.lowest_mm > change_mm]
    for one in seen:
        x, y = one.region.centre_mm
        yield finding(
            "TRAY-041",
            Severity.WARN,
            (tray.id, one.id),
            point_mm=(round(x, 3), round(y, 3)),
            cause=f"false tool {tray.id}",
            count=len(seen),
            base_colour=asked.board.base_colour,
            place=f"({x:.1f}, {y:.1f})",
        )


def mirrored_question(drawing: Drawing) -> tuple[DrawingQuestion, ...]:
    """The question whether a drawing with mirrored words is seen from below."""
    if not drawing.mirrored_words:
        return ()
    return (DrawingQuestion(field="drawing.seen_from", asks="seen_from", parameters=(), taken="top"),)
