"""Signs of the papers, drawn here: severities, screw, bridge, datum, arrow, people with a box, marks for handling."""

from __future__ import annotations

import math

from traywright.base import Severity
from traywright.papers.marks import THICK_MM, Area, Disc, Lettering, Marks, Points, Stroke, box, moved


def _corners(count: int, radius_mm: float, first_deg: float) -> Points:
    """Corners of a regular figure about (0, 0)."""
    turns = [math.radians(first_deg + 360.0 * one / count) for one in range(count)]
    return tuple((round(radius_mm * math.cos(one), 3), round(radius_mm * math.sin(one), 3)) for one in turns)


def severity_sign(severity: Severity, letter: str) -> Marks:
    """Stop a filled octagon, warn an open triangle, note an open circle, about (0, 0), the letter inside."""
    wide = len(letter) > 1
    big = 3.3 if wide else 2.6
    ink = "sheet" if severity is Severity.STOP else "ink"
    low = -2.3 if wide else -1.9
    sag = low + 0.75 if severity is Severity.WARN else -0.98
    told = Lettering(text=letter, at_mm=(0.0, sag), size_pt=8.0, voice="strong", ink=ink, anchor="middle")
    if severity is Severity.STOP:
        return (Area(rings_mm=(_corners(8, big, 22.5),), fill="red", ink="red", width_mm=0.2), told)
    if severity is Severity.WARN:
        half = 4.6 if wide else 3.5
        corners = ((-half, low), (half, low), (0.0, low + 1.62 * half))
        return (Area(rings_mm=(corners,), fill="sheet", ink="ochre", width_mm=0.5), told)
    return (Disc(centre_mm=(0.0, 0.0), radius_mm=big, fill="sheet", ink="ink", width_mm=0.4), told)


def placed_sign(severity: Severity, letter: str, x_mm: float) -> Marks:
    """A severity sign below (0, 0) with its centre at ``x_mm``, low enough that its top crosses no line above."""
    top = 4.15 if severity is Severity.WARN else 3.5
    if severity is Severity.WARN and len(letter) > 1:
        top = 5.55
    return moved(severity_sign(severity, letter), x_mm, -top)


def screw() -> Marks:
    """A screw head."""
    cross = (
        Stroke(points_mm=((-1.0, 0.0), (1.0, 0.0)), width_mm=0.4),
        Stroke(points_mm=((0.0, -1.0), (0.0, 1.0)), width_mm=0.4),
    )
    return (Disc(centre_mm=(0.0, 0.0), radius_mm=1.7, fill="sheet", width_mm=0.4), *cross)


def bridge() -> Marks:
    """A bridge."""
    return (Area(rings_mm=(box(-1.1, -1.1, 1.1, 1.1),), fill="ink"),)


def datum(radius_mm: float = 3.2) -> Marks:
    """The quartered circle of X0 Y0."""
    arc = [math.radians(10.0 * one) for one in range(10)]
    quarter = tuple((round(radius_mm * math.cos(one), 3), round(radius_mm * math.sin(one), 3)) for one in arc)
    first = ((0.0, 0.0), *quarter)
    other = tuple((-x, -y) for x, y in first)
    return (
        Disc(centre_mm=(0.0, 0.0), radius_mm=radius_mm, fill="sheet", width_mm=THICK_MM),
        Area(rings_mm=(first,), fill="ink"),
        Area(rings_mm=(other,), fill="ink"),
    )


def arrow(dx_mm: float, dy_mm: float) -> Marks:
    """An arrow of movement from (0, 0); arrows mean movement or force only."""
    long = math.hypot(dx_mm, dy_mm)
    ux, uy = dx_mm / long, dy_mm / long
    neck = (dx_mm - 2.6 * ux, dy_mm - 2.6 * uy)
    head = ((dx_mm, dy_mm), (neck[0] - 1.0 * uy, neck[1] + 1.0 * ux), (neck[0] + 1.0 * uy, neck[1] - 1.0 * ux))
    return (Stroke(points_mm=((0.0, 0.0), neck), width_mm=0.8), Area(rings_mm=(head,), fill="ink"))


def _person(way: float) -> Marks:
    """One person who stands on (0, 0) and reaches towards ``way`` (1 right, -1 left)."""
    body = (
        (-2.0, 11.0),
        (-1.4, 17.5),
        (1.4, 17.5),
        (2.0, 11.0),
        (2.4, 0.0),
        (0.5, 0.0),
        (0.0, 8.6),
        (-0.5, 0.0),
        (-2.4, 0.0),
    )
    arm = ((0.0, 17.0), (1.2, 17.2), (8.0, 12.6), (7.2, 11.2), (0.4, 14.6))
    reach = tuple((x * way, y) for x, y in arm)
    return (
        Disc(centre_mm=(0.0, 20.4), radius_mm=2.2, fill="ink"),
        Area(rings_mm=(body,), fill="ink"),
        Area(rings_mm=(reach,), fill="ink"),
    )


def _carton(left_mm: float, low_mm: float, width_mm: float, height_mm: float) -> Marks:
    """A box with its lid."""
    right, high = left_mm + width_mm, low_mm + height_mm
    lid = high - height_mm / 4
    return (
        Area(rings_mm=(box(left_mm, low_mm, right, high),), fill="foam-1", width_mm=0.4),
        Stroke(points_mm=((left_mm, lid), (right, lid)), width_mm=0.4),
        Stroke(points_mm=((left_mm + width_mm * 0.3, lid - 1.6), (right - width_mm * 0.3, lid - 1.6)), width_mm=0.4),
    )


def lifting_sign(people: int) -> Marks:
    """People who carry a box, the ground below them, about the middle of the ground; 50 mm wide, 23 mm high."""
    ground = Stroke(points_mm=((-25.0, 0.0), (25.0, 0.0)), width_mm=0.4)
    if people > 1:
        two = moved(_person(1.0), -16.0, 0.0) + moved(_person(-1.0), 16.0, 0.0)
        return (ground, *_carton(-9.5, 5.5, 19.0, 11.5), *two)
    return (ground, *_carton(-2.0, 7.0, 11.0, 8.5), *moved(_person(1.0), -9.0, 0.0))


def one_person_crossed() -> Marks:
    """One person with the box, crossed out; 24 mm wide, 22 mm high, from the lower left corner."""
    alone = moved((*_carton(4.5, 7.5, 8.0, 6.0), *_person(1.0)), 5.0, 0.5)
    cross = (
        Stroke(points_mm=((15.0, 4.0), (22.0, 19.0)), ink="red", width_mm=1.0),
        Stroke(points_mm=((15.0, 19.0), (22.0, 4.0)), ink="red", width_mm=1.0),
    )
    return (*alone, *cross)


def handling_marks() -> Marks:
    """The marks for the way up and for dry keeping after ISO 780, 26 mm wide and 20 mm high."""
    up: Marks = (Stroke(points_mm=((1.0, 1.5), (12.0, 1.5)), width_mm=0.9),)
    for x in (4.0, 9.0):
        up += (
            Stroke(points_mm=((x, 1.5), (x, 14.0)), width_mm=0.9),
            Stroke(points_mm=((x - 2.2, 11.0), (x, 16.0), (x + 2.2, 11.0)), width_mm=0.9),
        )
    arc = [math.radians(10.0 * one) for one in range(19)]
    cover = tuple((20.0 + 5.5 * math.cos(one), 11.5 + 5.5 * math.sin(one)) for one in arc)
    hook = ((20.0, 11.5), (20.0, 3.0), (20.6, 2.0), (22.0, 2.0), (22.6, 3.2))
    return (*up, Area(rings_mm=(cover,), fill="sheet", width_mm=0.6), Stroke(points_mm=hook, width_mm=0.9))
