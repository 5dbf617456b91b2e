"""The demo's three parts as the job asks for them, and short ways to ask for others."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from traywright.base import Given, Status
from traywright.parts import ContactRule, PartAsked, Plate, Rule, build_part, take_pose
from traywright.parts.mended import mended
from traywright.parts.shape import ClosedBody
from traywright.parts.skin import skin_of

ROOT = Path(__file__).resolve().parents[2]
KIT = ROOT / "examples" / "survey_kit" / "files"
SOLIDS = ROOT / "tests" / "data" / "solids"


def told(key, value, unit):
    return Given(ref=f"enquiry:part.{key}", value=value, unit=unit, status=Status.STATED, source="customer")


def kg(value):
    return told("mass_kg", value, "kg")


def density(value):
    return told("density_kg_m3", value, "kg/m3")


def contact(rule, *, load=True, must_hold=False, why="", **where):
    return ContactRule(rule=rule, where=tuple(where.items()), load=load, must_hold=must_hold, why=why)


def skin_of_bodies(part_id, bodies):
    whole = [(one, mended(part_id, one)) for one in bodies]
    return skin_of(
        part_id,
        [ClosedBody(name=one.name, mesh=told.mesh, faces=told.faces, kinds=one.kinds) for one, told in whole],
    )


def asked(**changes):
    fields = {"id": "part", "name": "Part", "mass": kg(1.0)} | changes
    return PartAsked(**fields)


def plate(**changes):
    shape = Plate(length_mm=100.0, width_mm=60.0, thickness_mm=10.0)
    return build_part(asked(**({"dimensions": shape} | changes)))


def lying(part, down=(0.0, 0.0, -1.0)):
    return take_pose(part, down)


SPINDLE = asked(
    id="spindle",
    file_name="spindle.step",
    mass=kg(2.024),
    density=density(7850.0),
    tolerance_mm=0.1,
    contacts=(
        contact(Rule.NOT_AT_REST, band_mm=(14, 60), along="x", surface="cylinder", diameter_mm=40, why="journal A"),
        contact(Rule.NOT_AT_REST, band_mm=(122, 152), along="x", surface="cylinder", diameter_mm=32, why="journal B"),
        contact(Rule.NEVER, band_mm=(152, 168), along="x", why="thread"),
    ),
)
PRISM = asked(
    id="prism",
    file_name="prism.step",
    mass=kg(0.157),
    density=density(2510.0),
    default_rule=Rule.NEVER,
    contacts=(contact(Rule.ALLOWED, border_mm=6), contact(Rule.ALLOWED, facing="z")),
)
BOARD = asked(
    id="control_board",
    file_name="control_board.step",
    mass=kg(0.142),
    default_rule=Rule.NEVER,
    contacts=(
        contact(Rule.ALLOWED, edge_mm=4, normal="z"),
        contact(Rule.NEVER, box_mm=((133, 33, 1.6), (155, 63, 12.6)), why="connector"),
    ),
)


@cache
def demo(which):
    """One of the demo's parts with what was noticed."""
    return build_part(which, (KIT / which.file_name).read_bytes())


@cache
def demo_lying(which, down=(0.0, 0.0, -1.0)):
    return take_pose(demo(which)[0], down)
