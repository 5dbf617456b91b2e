"""A DXF file in the hands of the drawing library, its entities counted on the bytes first."""

from __future__ import annotations

import io
import re
from typing import Any

from traywright.base.errors import PartError
from traywright.parts.drawing_limits import MOST_ENTITIES, MOST_PAIRS, check_count, check_size
from traywright.parts.dxf_marks import marked

BINARY = b"AutoCAD Binary DXF\r\n\x1a\x00"
"""Sign at the start of a binary file.  # source: DXF reference, binary DXF files"""

MOST_BINARY_BYTES = 8 * 1024 * 1024
"""Largest binary file.  # source: ours: seven bytes an entity at least, so that its names can be counted"""

END = b"EOF"
"""Value of the last group.  # source: DXF reference, general file structure"""

NO_ENTITIES = frozenset({b"SECTION", b"ENDSEC", b"BLOCK", b"ENDBLK", b"VERTEX", b"SEQEND", b"ATTRIB", END})
"""Groups of code 0 that are not counted as drawn.  # source: DXF reference: marks, and parts of an entity"""

_NAME = re.compile(rb"\x00[A-Z][A-Z0-9_]+(?=\x00)")
"""What may be the name of an entity in a binary file."""

Library = Any
"""An object of the drawing library, which has no types that say more."""


def loaded(content: bytes) -> tuple[Library, int]:
    """The drawing in the library's hands, and how many damaged entities the library gave up.

    Parameters
    ----------
    content
        Bytes of a DXF file, text or binary.

    Raises
    ------
    PartError
        PART-029 too large, PART-032 damaged or cut short.
    """
    check_size(content)
    binary = content.startswith(BINARY)
    drawn = _check_binary(content) if binary else _check_text(content)
    from ezdxf.lldxf.const import DXFError  # noqa: PLC0415  # reason: --help stays quick

    faults = (DXFError, ArithmeticError, AssertionError, AttributeError, EOFError, LookupError, RecursionError)
    try:
        drawing = _taken(content, binary=binary)
        found = sum(1 for block in drawing.blocks for _ in block)
    except (*faults, TypeError, ValueError, NotImplementedError) as refused:
        # reason: a damaged file fails anywhere inside the library
        raise PartError("PART-032", place=type(refused).__name__) from refused
    return drawing, 0 if binary else max(0, drawn - found)


def _taken(content: bytes, *, binary: bool) -> Library:
    """What the library makes of a file; it mends what it can and gives up what it cannot."""
    if binary:
        from ezdxf.document import Drawing  # noqa: PLC0415  # reason: --help stays quick
        from ezdxf.lldxf.tagger import binary_tags_loader  # noqa: PLC0415  # reason: --help stays quick

        return Drawing.load(binary_tags_loader(content))
    from ezdxf import recover  # noqa: PLC0415  # reason: --help stays quick

    return recover.read(io.BytesIO(marked(content)))[0]


def _check_binary(content: bytes) -> int:
    """Refuse a binary file with too many names; 0, as names of layers cannot be told from those of entities."""
    if len(content) > MOST_BINARY_BYTES:
        raise PartError("PART-029", told=f"{len(content) / 1e6:.0f} MB", most=f"{MOST_BINARY_BYTES / 1e6:.0f} MB")
    # a name of an entity, and at most two of layer and line type
    check_count(sum(1 for _ in _NAME.finditer(content)), 3 * MOST_ENTITIES)
    if END not in content[-16:]:
        raise PartError("PART-032", place="EOF")
    return 0


def _check_text(content: bytes) -> int:
    """Refuse a text file with too many groups or entities, or cut short; how many things are drawn in it."""
    check_count(content.count(b"\n") // 2, MOST_PAIRS)
    lines = content.split(b"\n")
    if not any(one.strip() == END for one in lines[-4:]):
        raise PartError("PART-032", place="EOF")
    section, opened, drawn, names = b"", False, 0, 0
    for code, told in zip(lines[::2], lines[1::2], strict=False):
        mark = code.strip()
        if mark == b"2" and opened:
            section = told.strip()
        opened = False
        if mark != b"0":
            continue
        names += 1
        name = told.strip()
        opened = name == b"SECTION"
        drawn += section in {b"BLOCKS", b"ENTITIES"} and name not in NO_ENTITIES
    check_count(names)
    return drawn
