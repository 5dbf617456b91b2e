"""Marks that a text DXF by hand or by a small program leaves out, set so that the library takes its entities."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

MARKS = {
    b"ELLIPSE": b"AcDbEllipse",
    b"LEADER": b"AcDbLeader",
    b"LWPOLYLINE": b"AcDbPolyline",
    b"MTEXT": b"AcDbMText",
    b"SPLINE": b"AcDbSpline",
}
"""Subclass marks of entities that came with release AC1012.  # source: DXF reference, group code 100"""

ANY = b"AcDbEntity"
"""Mark of every entity.  # source: DXF reference, group code 100"""

OF_ANY = frozenset({b"5", b"6", b"8", b"48", b"60", b"62", b"67", b"330", b"370", b"410", b"420"})
"""Groups that stand before an entity's own mark.  # source: DXF reference, common group codes for entities"""

OLDEST, TAKEN = b"AC1012", b"AC1015"
"""First release with these entities, and the one under which they are read.  # source: DXF reference, $ACADVER"""

Pairs = list[tuple[bytes, bytes]]


def marked(content: bytes) -> bytes:
    """A text DXF in which the entities that need a mark carry it; as it is, where they all do.

    Parameters
    ----------
    content
        The file; what it draws is not changed.
    """
    if not any(name in content for name in MARKS):
        return content
    lines = [one.rstrip(b"\r") for one in content.split(b"\n")]
    pairs = list(zip((one.strip() for one in lines[::2]), lines[1::2], strict=False))
    if _release(pairs) >= OLDEST and not _lacks(pairs):
        return content
    told = list(_with_marks(_with_release(pairs)))
    return b"".join(code + b"\n" + value + b"\n" for code, value in told)


def _release(pairs: Pairs) -> bytes:
    """The release that the header states; empty for none."""
    for (code, name), (_, value) in pairwise(pairs):
        if code == b"9" and name.strip() == b"$ACADVER":
            return value.strip()
    return b""


def _entities(pairs: Pairs) -> Iterator[Pairs]:
    """Groups from one code 0 to the next."""
    entity: Pairs = []
    for pair in pairs:
        if pair[0] == b"0" and entity:
            yield entity
            entity = []
        entity.append(pair)
    yield entity


def _lacks(pairs: Pairs) -> bool:
    """True if an entity lacks a mark."""
    for one in _entities(pairs):
        mark = MARKS.get(one[0][1].strip())
        if mark and not {ANY, mark} <= {told.strip() for code, told in one if code == b"100"}:
            return True
    return False


def _with_release(pairs: Pairs) -> Iterator[tuple[bytes, bytes]]:
    """The file under a release that knows these entities."""
    release = _release(pairs)
    if not release:
        header = ((b"0", b"SECTION"), (b"2", b"HEADER"))
        yield from (*header, (b"9", b"$ACADVER"), (b"1", TAKEN))
        if tuple((code, told.strip()) for code, told in pairs[:2]) == header:
            yield from pairs[2:]
            return
        yield (b"0", b"ENDSEC")
    before = b""
    for code, told in pairs:
        stated = before == b"$ACADVER" and release < OLDEST
        yield (code, TAKEN) if stated else (code, told)
        before = told.strip() if code == b"9" else b""


def _with_marks(pairs: Iterator[tuple[bytes, bytes]]) -> Iterator[tuple[bytes, bytes]]:
    """Every group, and the marks in their places."""
    for one in _entities(list(pairs)):
        mark = MARKS.get(one[0][1].strip()) if one[0][0] == b"0" else None
        if mark is None:
            yield from one
            continue
        yield one[0]
        own = [pair for pair in one[1:] if pair[0] != b"100"]
        yield (b"100", ANY)
        yield from (pair for pair in own if pair[0] in OF_ANY)
        yield (b"100", mark)
        yield from (pair for pair in own if pair[0] not in OF_ANY)
