"""Invented packs that the tests of the design share."""

from __future__ import annotations

from functools import cache

from traywright.base import Given, Status
from traywright.catalogue import load_cards
from traywright.design import KindAsked, PackAsked
from traywright.parts import (
    Boss,
    ContactRule,
    Dimensions,
    PartAsked,
    Plate,
    Pose,
    Rule,
    Step,
    Turned,
    build_part,
    take_pose,
)
from traywright.protection.wall_need import DIRECTIONS, WallNeed

DOWN = (0.0, 0.0, -1.0)


def given(ref: str, value: float, unit: str) -> Given:
    return Given(ref=f"enquiry:{ref}", value=value, unit=unit, status=Status.STATED, source="test")


@cache
def pose(
    part_id: str,
    dimensions: Dimensions,
    mass_kg: float,
    *,
    contacts: tuple[ContactRule, ...] = (),
    default_rule: Rule = Rule.ALLOWED,
) -> Pose:
    asked = PartAsked(
        id=part_id,
        name=part_id,
        dimensions=dimensions,
        mass=given(f"part.{part_id}.mass_kg", mass_kg, "kg"),
        contacts=contacts,
        default_rule=default_rule,
    )
    return take_pose(build_part(asked, None)[0], DOWN)


def block(part_id: str = "block", size=(80.0, 50.0, 20.0), mass_kg: float = 0.3) -> Pose:
    return pose(part_id, Plate(length_mm=size[0], width_mm=size[1], thickness_mm=size[2]), mass_kg)


def roller() -> Pose:
    """A turned part of three steps whose middle must not be touched."""
    steps = (
        Step(length_mm=20, diameter_mm=60),
        Step(length_mm=50, diameter_mm=30),
        Step(length_mm=40, diameter_mm=44),
    )
    ground = ContactRule(rule=Rule.NEVER, where=(("band_mm", (20, 70)), ("along", "x"), ("diameter_mm", 30)))
    return pose("roller", Turned(steps=steps), 1.2, contacts=(ground,))


def panel() -> Pose:
    """A plate that rests on its border only, with a block standing on it."""
    plate = Plate(
        length_mm=120,
        width_mm=80,
        thickness_mm=5,
        bosses=(Boss(x_mm=60, y_mm=40, size_mm=(30, 30), height_mm=12),),
    )
    border = ContactRule(rule=Rule.ALLOWED, where=(("edge_mm", 10), ("normal", "z")))
    return pose("panel", plate, 0.15, contacts=(border,), default_rule=Rule.NEVER)


def needs(part_id: str, **by_direction: float) -> tuple[WallNeed, ...]:
    return tuple(
        WallNeed(
            part=part_id,
            direction=one,
            foam="demo",
            by_drop_mm=((460.0, by_direction[one] / 2), (610.0, by_direction[one])),
        )
        for one in DIRECTIONS
        if one in by_direction
    )


def pack(*poses: Pose, kits: float = 4, wall_mm: float | None = 20.0, per_kit: int = 1, **other) -> PackAsked:
    cards = load_cards()
    told = {
        "needs": (),
        "box": cards.box("tote-600x400x385"),
        "foam": cards.foam("demo-pe45-dissipative"),
        "boards": (cards.board("demo-2000x1000x25"), cards.board("demo-2000x1000x50")),
        "cutter": cards.cutter("flat-12"),
    } | other
    return PackAsked(
        kinds=tuple(KindAsked(pose=one, per_kit=per_kit) for one in poses),
        kits=given("pack.kits_per_pack", kits, ""),
        wall_mm=None if wall_mm is None else given("pack.wall_mm", wall_mm, "mm"),
        **told,
    )
