"""How an element of an SVG file looks: attributes, style sheet and inheritance, as far as lines are concerned.

References
----------
W3C, Scalable Vector Graphics (SVG) 1.1 (Second Edition), Recommendation 16 August 2011, chapter 6.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from traywright.parts.svg_colours import colour_of, number_of_colour
from traywright.parts.svg_xml import Node

_LOOKS = frozenset({
    "fill", "stroke", "color", "display", "visibility", "opacity", "fill-opacity", "stroke-opacity", "clip-path",
    "mask", "marker", "marker-start", "marker-mid", "marker-end",
})  # fmt: skip
_PLACES = frozenset({
    "transform", "transform-origin", "translate", "rotate", "scale", "d", "x", "y", "cx", "cy", "r", "rx", "ry",
    "width", "height",
})  # fmt: skip
_SIMPLE = re.compile(r"(\*|[A-Za-z][\w-]*)?(?:\.([\w-]+)|(#)([\w-]+))?")
_CLEAR = re.compile(r"0*\.?0+%?")

WHITE_LEAST = 250  # source: ours: off-white of a page, 255 being white

Declared = dict[str, str]


def _declarations(text: str) -> Iterator[tuple[str, str]]:
    for one in text.split(";"):
        key, found, value = one.partition(":")
        if found:
            yield key.strip().lower(), value.replace("!important", "").strip()


def _wanted(text: str) -> Declared:
    return {key: value for key, value in _declarations(text) if key in _LOOKS or key in _PLACES}


class Sheet:
    """Rules of the style sheets in a file, by their simple selectors; ``unread`` counts the others."""

    def __init__(self) -> None:
        self.rules: dict[str, dict[str, tuple[int, str]]] = {}
        self.unread = 0
        self.count = 0

    def add(self, text: str) -> None:
        """Rules of one style element; blocks within an @ rule are for other media and are passed over."""
        depth, head, at_rule = 0, "", False
        first, *others = text.split("/*")
        bare = first + " ".join(one.partition("*/")[2] for one in others)
        for word in re.findall(r"[{}]|[^{}]+", bare):
            if word == "{":
                depth += 1
                at_rule = at_rule or head.lstrip().startswith("@")
            elif word == "}":
                depth = max(depth - 1, 0)
                at_rule = at_rule and depth > 0
            elif depth == 0:
                head = word.rpartition(";")[2]
            elif not at_rule:
                self._rule(head, _wanted(word))

    def _rule(self, selectors: str, declared: Declared) -> None:
        for selector in selectors.split(","):
            plain = selector.strip()
            if not plain or not _SIMPLE.fullmatch(plain):
                self.unread += 1
            elif declared:
                self.count += 1
                kept = self.rules.setdefault(plain.removeprefix("*") or "*", {})
                kept.update({key: (self.count, value) for key, value in declared.items()})

    def of(self, node: Node) -> Declared:
        """What the sheet says of an element, the stronger selector last: element, class, id."""
        classes, name = node.attributes.get("class", "").split(), node.name
        own = node.attributes.get("id", "")
        declared: Declared = {}
        for keys in (("*",), (name,), [f".{one}" for one in classes], [f"{name}.{one}" for one in classes]):
            found = [pair for key in keys for pair in self.rules.get(key, {}).items()]
            declared.update({key: value for key, (_, value) in sorted(found, key=lambda pair: pair[1][0])})
        for key in (f"#{own}", f"{name}#{own}") if own else ():
            declared.update({name: value for name, (_, value) in self.rules.get(key, {}).items()})
        return declared


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """What an element inherits, and what it shows.

    ``drawn`` is False under ``display: none`` or no opacity, ``seen`` under ``visibility: hidden``; ``cover`` is its
    own clip path, or its mask, else empty; ``placed`` are properties of its style that move or size it.
    """

    fill: str = "black"
    stroke: str = "none"
    ink: str = "black"
    fill_clear: bool = False
    stroke_clear: bool = False
    drawn: bool = True
    seen: bool = True
    cover: str = ""
    marked: bool = False
    placed: frozenset[str] = frozenset()

    @property
    def filled(self) -> bool:
        """True if its inside is painted."""
        return self.fill not in {"none", "transparent"} and not self.fill_clear

    @property
    def stroked(self) -> bool:
        """True if its line is painted."""
        return self.stroke not in {"none", "transparent"} and not self.stroke_clear

    @property
    def is_paper(self) -> bool:
        """True if it is painted as white paper is, without a line."""
        inside = colour_of(self.fill)
        return self.filled and not self.stroked and inside is not None and min(inside) >= WHITE_LEAST

    @property
    def colour(self) -> int:
        """Number of the nearest DXF colour of its line, else of its inside."""
        paint = self.stroke if self.stroked else self.fill
        return number_of_colour(colour_of(self.ink if paint.lower() == "currentcolor" else paint))


def _paint(declared: Mapping[str, str], key: str, inherited: str) -> str:
    told = declared.get(key, "inherit")
    return inherited if told in {"inherit", "unset", ""} else told


def look_of(node: Node, sheet: Sheet, outer: Look) -> Look:
    """How an element looks inside another one: attributes, then the style sheet, then its own style, inherited."""
    plain = {key: value.strip() for key, value in node.attributes.items() if key in _LOOKS}
    styled = {**sheet.of(node), **_wanted(node.attributes.get("style", ""))}
    declared = {**plain, **styled}

    def clear(key: str, inherited: bool) -> bool:  # noqa: FBT001  # reason: inherited is the value itself
        return bool(_CLEAR.fullmatch(declared[key])) if key in declared else inherited

    visibility = declared.get("visibility", "inherit")
    covers = [one for one in (declared.get("mask", ""), declared.get("clip-path", "")) if one not in {"", "none"}]
    marks = [declared.get(key, "none") for key in sorted(_LOOKS) if key.startswith("marker")]
    return replace(
        outer,
        fill=_paint(declared, "fill", outer.fill),
        stroke=_paint(declared, "stroke", outer.stroke),
        ink=_paint(declared, "color", outer.ink),
        fill_clear=clear("fill-opacity", outer.fill_clear),
        stroke_clear=clear("stroke-opacity", outer.stroke_clear),
        drawn=outer.drawn and declared.get("display", "inline") != "none" and not clear("opacity", inherited=False),
        seen=outer.seen if visibility == "inherit" else visibility == "visible",
        cover=covers[0] if covers else "",
        marked=outer.marked or any(one != "none" for one in marks),
        placed=frozenset(key for key in styled if key in _PLACES),
    )
