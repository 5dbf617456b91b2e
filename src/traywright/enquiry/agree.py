"""What no single key can show: the enquiry's parts must agree with each other."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import PurePosixPath

from traywright.base import nearest, text
from traywright.base.errors import EnquiryError
from traywright.enquiry.asked_part import AskedPart, Where
from traywright.enquiry.dimensions import Block, BossSize, DrilledHole, OutlineShape, Plate
from traywright.enquiry.enquiry import Enquiry

_SHAPES = frozenset(
    {".step", ".stp", ".p21", ".stl", ".3mf", ".obj", ".ply", ".dxf", ".svg", ".svgz", ".jpg", ".jpeg", ".png"}
)

LONGEST_NAME = 255
"""Bytes of one name of a path.  # source: POSIX NAME_MAX of every common file system"""


def check_once(names: tuple[str, ...], where: str) -> None:
    """Refuse a name that stands twice: places are called by it."""
    for index, name in enumerate(names):
        if name in names[:index]:
            raise EnquiryError("ENQ-010", place=where, name=name)


def check_inside(place: str, file: str) -> None:
    """Refuse a file outside the job's folder, or with a name that no disk takes.

    Parameters
    ----------
    place
        Who names the file: ``part.spindle``, ``drawing``.
    file
        Its path as written.

    Raises
    ------
    EnquiryError
        ENQ-013.
    """
    path = PurePosixPath(file)
    outside = path.is_absolute() or ".." in path.parts or "\\" in file or ":" in file
    if outside or any(len(one.encode("utf-8")) > LONGEST_NAME for one in path.parts):
        raise EnquiryError("ENQ-013", place=place, file=file)


def _file(part: AskedPart) -> None:
    """Refuse a file outside the job's folder, or of a kind that is not read."""
    check_inside(f"part.{part.id}", part.file)
    if PurePosixPath(part.file).suffix.lower() not in _SHAPES:
        raise EnquiryError("ENQ-014", part=part.id, file=part.file)


def _hole_faults(holes: tuple[DrilledHole, ...], part: str) -> Iterator[tuple[str, str]]:
    """Holes that are neither blind nor through, or both."""
    for number, hole in enumerate(holes, start=1):
        if (hole.depth_mm is None) != hole.through:
            yield f"part.{part}.dimensions.hole.{number}", "depth_or_through"


def _size_faults(size: BossSize, place: str) -> Iterator[tuple[str, str]]:
    """Bosses that are neither round nor square-cornered, or both."""
    square = size.length_mm is not None and size.width_mm is not None
    either = (size.length_mm is not None or size.width_mm is not None) != (size.diameter_mm is not None)
    if not either or (size.diameter_mm is None and not square):
        yield place, "size"


def _shape_faults(part: AskedPart) -> Iterator[tuple[str, str]]:
    """What a part's dimensions leave open: place, and key of the message group ``wanted``."""
    told, place = part.dimensions, f"part.{part.id}.dimensions"
    if isinstance(told, Plate | Block):
        yield from _hole_faults(told.hole, part.id)
    if isinstance(told, Block):
        for number, boss in enumerate(told.boss, start=1):
            yield from _size_faults(boss.size, f"{place}.boss.{number}.size")
    if isinstance(told, OutlineShape):
        plain = bool(told.points_mm) and told.thickness_mm is not None
        if plain == bool(told.level):
            yield place, "outline"


def _where_faults(where: Where, place: str) -> Iterator[tuple[str, str]]:
    """Places that do not say enough to be found, or run backwards."""
    if not where.told():
        yield place, "where"
    if (where.band_mm is None) != (where.along is None):
        yield place, "band"
    if where.edge_mm is not None and where.normal is None:
        yield place, "edge"
    if where.band_mm is not None and where.band_mm[0] >= where.band_mm[1]:
        yield place, "order"
    if where.box_mm is not None and any(low >= high for low, high in zip(*where.box_mm, strict=True)):
        yield place, "order"


def _part_faults(part: AskedPart) -> Iterator[tuple[str, str]]:
    """All that a part leaves open or contradicts."""
    yield from _shape_faults(part)
    for number, contact in enumerate(part.contact, start=1):
        yield from _where_faults(contact.where, f"part.{part.id}.contact.{number}.where")
    down = part.pose.down
    if part.pose.search == (down is not None) or (down is not None and not any(down)):
        yield f"part.{part.id}.pose", "pose"


def _part_agrees(part: AskedPart) -> None:
    """Refuse a part without a shape, without a mass, or with a place that cannot be found."""
    if bool(part.file) == (part.dimensions is not None):
        raise EnquiryError("ENQ-012", part=part.id)
    if part.file:
        _file(part)
    if part.mass_kg is None and part.density_kg_m3 is None and not part.material:
        raise EnquiryError("ENQ-015", part=part.id)
    for place, wanted in _part_faults(part):
        raise EnquiryError("ENQ-016", place=place, wanted=text("wanted", wanted))


def check_agreement(enquiry: Enquiry) -> None:
    """Refuse an enquiry whose parts contradict each other.

    Raises
    ------
    EnquiryError
        ENQ-010 a name twice, ENQ-012 no shape or two, ENQ-013 a file outside the folder, ENQ-014 a kind of file that is
        not read, ENQ-015 no mass, ENQ-016 a place or shape left open, ENQ-017 a damage to a part that is not asked.
    """
    check_once(tuple(part.id for part in enquiry.part), "part")
    check_once(tuple(lift.at for lift in enquiry.lift), "lift")
    if enquiry.loop is not None:
        check_once(tuple(step.name for step in enquiry.loop.step), "loop.step")
    for part in enquiry.part:
        _part_agrees(part)
    ids = [part.id for part in enquiry.part]
    for number, damage in enumerate(enquiry.job.damage, start=1):
        if damage.part and damage.part not in ids:
            close = nearest(damage.part, ids)
            raise EnquiryError("ENQ-017", place=f"job.damage.{number}", part=damage.part, nearest=close)
