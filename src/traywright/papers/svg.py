"""Marks as an SVG in millimetres: the same bytes for the same marks."""

from __future__ import annotations

from xml.sax.saxutils import escape, quoteattr

from traywright.papers.inks import INKS
from traywright.papers.lettering import MM_PER_PT
from traywright.papers.marks import Area, Disc, Lettering, Mark, Marks, Points, Stroke

FAMILIES = {
    "facts": "'DejaVu Sans','Bitstream Vera Sans',sans-serif",
    "machine": "'DejaVu Sans Mono','Bitstream Vera Sans Mono',monospace",
    "judgement": "'DejaVu Serif','Bitstream Vera Serif',Georgia,serif",
}
HALO_MM = 0.8  # source: own choice: paper around letters that stand on a hatch


def _number(value: float) -> str:
    """A coordinate to a thousandth, without needless zeros and without minus zero."""
    told = f"{round(value, 3) + 0.0:.3f}".rstrip("0").rstrip(".")
    return "0" if told == "-0" else told


def _path(rings: tuple[Points, ...], height_mm: float, *, closed: bool) -> str:
    """Path text of rings, y turned to point down."""
    told = []
    for ring in rings:
        points = " ".join(f"{_number(x)},{_number(height_mm - y)}" for x, y in ring)
        told.append(f"M{points}{'Z' if closed else ''}")
    return "".join(told)


def _line(ink: str, width_mm: float, dash_mm: tuple[float, ...]) -> str:
    """Attributes of a line."""
    if not width_mm > 0.0:
        return ""
    dash = f' stroke-dasharray="{" ".join(_number(one) for one in dash_mm)}"' if dash_mm else ""
    return f' stroke="{INKS[ink]}" stroke-width="{_number(width_mm)}"{dash}'


def _fill(fill: str) -> str:
    """Attribute of a filling."""
    return f' fill="{INKS[fill]}"' if fill else ' fill="none"'


def _text(mark: Lettering, height_mm: float) -> str:
    """A line of text."""
    x, y = _number(mark.at_mm[0]), _number(height_mm - mark.at_mm[1])
    anchor = {"left": "start", "middle": "middle", "right": "end"}[mark.anchor]
    turn = f' transform="rotate({_number(-mark.turn_deg)} {x} {y})"' if mark.turn_deg else ""
    weight = ' font-weight="bold"' if mark.voice in {"strong", "judgement"} else ""
    family = FAMILIES.get(mark.voice, FAMILIES["facts"])
    halo = (
        f' stroke="{INKS["sheet"]}" stroke-width="{HALO_MM}" paint-order="stroke" stroke-linejoin="round"'
        if mark.halo
        else ""
    )
    return (
        f'<text x="{x}" y="{y}" font-size="{_number(mark.size_pt * MM_PER_PT)}" text-anchor="{anchor}"'
        f" font-family={quoteattr(family)}{weight}"
        f"{_fill(mark.ink)}{halo}{turn}>{escape(mark.text)}</text>"
    )


def _element(mark: Mark, height_mm: float) -> str:
    """One mark."""
    if isinstance(mark, Area):
        told = _path(mark.rings_mm, height_mm, closed=True)
        return f'<path d="{told}" fill-rule="evenodd"{_fill(mark.fill)}{_line(mark.ink, mark.width_mm, mark.dash_mm)}/>'
    if isinstance(mark, Stroke):
        told = _path((mark.points_mm,), height_mm, closed=False)
        return f'<path d="{told}" fill="none"{_line(mark.ink, mark.width_mm, mark.dash_mm)}/>'
    if isinstance(mark, Disc):
        x, y = _number(mark.centre_mm[0]), _number(height_mm - mark.centre_mm[1])
        line = _line(mark.ink, mark.width_mm, ())
        return f'<circle cx="{x}" cy="{y}" r="{_number(mark.radius_mm)}"{_fill(mark.fill)}{line}/>'
    return _text(mark, height_mm)


def svg_of(marks: Marks, *, width_mm: float, height_mm: float, title: str) -> bytes:
    """The marks as one SVG drawing on white paper.

    Parameters
    ----------
    marks
        Marks, origin lower left.
    width_mm, height_mm
        Size of the paper.
    title
        What screen readers say.

    Examples
    --------
    >>> svg_of((), width_mm=10.0, height_mm=5.0, title="T1")[:5]
    b'<svg '
    """
    width, height = _number(width_mm), _number(height_mm)
    space = 'xmlns="http://www.w3.org/2000/svg"'
    size = f'width="{width}mm" height="{height}mm" viewBox="0 0 {width} {height}"'
    lines = [
        f'<svg {space} {size} role="img" stroke-linejoin="round">',
        f"<title>{escape(title)}</title>",
        f'<rect width="{width}" height="{height}" fill="{INKS["sheet"]}"/>',
        *(_element(one, height_mm) for one in marks),
        "</svg>",
    ]
    return ("\n".join(lines) + "\n").encode("utf-8")
