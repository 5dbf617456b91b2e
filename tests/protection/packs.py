"""Parts, trays and packs that the tests of this room share, small enough to be worked out by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from traywright.base import Figure, Given, Status
from traywright.catalogue import Ground, load_cards
from traywright.geometry import Mesh, Region, extruded
from traywright.parts.part import Part, Pose, Rule, Surface
from traywright.protection import AssessmentAsked, Damage, DropCase, LidGap, Lift
from traywright.trays import Cell, Feature, FeatureKind, Flat, Layer, Pack, Tray, TrayKind

CATALOGUE = load_cards(None)
PE = CATALOGUE.foam("PE45")
PARCEL = CATALOGUE.handling("parcel")


def without_curve():
    return replace(PE, plateau_kpa=None)


def with_creep(limit_kpa):
    ground = Ground(unit="kPa", status=Status.STATED, source="test")
    grounds = tuple(sorted({**dict(PE.grounds), "creep_limit_kpa": ground}.items()))
    return replace(PE, creep_limit_kpa=limit_kpa, grounds=grounds)


def given(ref, value, unit):
    return Given(ref=ref, value=value, unit=unit, status=Status.STATED, source="test")


def figure(path, value, unit):
    return Figure(
        path=path,
        what=path,
        of="pack",
        case="",
        value=value,
        low=value,
        high=value,
        unit=unit,
        method="test",
        inputs=("enquiry:part.block.mass_kg",),
        status=Status.STATED,
        source="test",
    )


def drop(height_mm, *, own=True):
    height = given(f"table:drop_heights#test/{height_mm}.drop_mm", height_mm, "mm")
    return DropCase(schedule="test", row=str(height_mm), height=height, own=own)


def pose_of(mesh, *, mass_kg=1.0, fragility_gn=100.0, rule=None, part="block", static_sensitive=False):
    """A pose of a mesh; ``rule`` maps the middle points of triangles to rule numbers."""
    count = len(mesh.triangles)
    rules = np.zeros(count, np.int8) if rule is None else rule(mesh.corners_mm.mean(axis=1)).astype(np.int8)
    surface = Surface(
        mesh=mesh,
        rules=rules,
        faces=np.zeros(count, np.int32),
        carries=np.ones(count, bool),
        must_hold=np.zeros(count, bool),
    )
    low, high = mesh.bounds_mm
    solid = Part(
        id=part,
        name=part,
        revision="A",
        solid=mesh,
        surface=surface,
        sha256="",
        unit_read="mm",
        watertight=True,
        chord_mm=0.01,
        volume_mm3=1.0,
        mass=given(f"enquiry:part.{part}.mass_kg", mass_kg, "kg"),
        fragility=None if fragility_gn is None else given(f"enquiry:part.{part}.fragility_gn", fragility_gn, "gn"),
        centre_of_gravity_mm=(0.0, 0.0, 0.0),
        size_mm=tuple(float(one) for one in high - low),
        tolerance_mm=0.0,
        static_sensitive=static_sensitive,
        stack_over_fragile=False,
    )
    return Pose(
        part=solid,
        index=0,
        down=(0.0, 0.0, -1.0),
        turn=((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
        shift_mm=(0.0, 0.0, 0.0),
        solid=mesh,
        surface=surface,
        centre_of_gravity_mm=(0.0, 0.0, 0.0),
        size_mm=solid.size_mm,
    )


def block(length_mm=60.0, depth_mm=40.0, height_mm=30.0, **more):
    """A block in its pose frame; all of it may be touched unless a rule says otherwise."""
    half = (length_mm / 2, depth_mm / 2)
    return pose_of(extruded(Region.rectangle(-half[0], -half[1], *half), 0.0, height_mm), **more)


def stepped(**more):
    """A block 60 x 40 x 10 with a block 20 x 40 x 20 under its middle: two heights seen from below."""
    upper = extruded(Region.rectangle(-30, -20, 30, 20), 20.0, 30.0)
    lower = extruded(Region.rectangle(-10, -20, 10, 20), 0.0, 20.0)
    points = np.concatenate([upper.points_mm, lower.points_mm])
    triangles = np.concatenate([upper.triangles, lower.triangles + len(upper.points_mm)])
    return pose_of(Mesh(points, triangles), **more)


def pocket(cell, x_mm, y_mm, *, floor_mm=30.0, half=(31.0, 21.0), number=1):
    region = Region.rectangle(x_mm - half[0], y_mm - half[1], x_mm + half[0], y_mm + half[1])
    return Feature(
        id=f"{cell}.F{number}",
        kind=FeatureKind.POCKET,
        side="top",
        region=region,
        floor=Flat(z_mm=floor_mm),
        for_cell=cell,
    )


def row_tray(*, pitch_mm=100.0, count=2, floor_mm=30.0, thickness_mm=60.0, turns=(0.0, 0.0), extra=(), foam=PE.id):
    """Blocks 60 x 40 in a row along x, 1 mm clearance, rim 29 mm left, right, front and back."""
    at = [60.0 + index * pitch_mm for index in range(count)]
    cells = tuple(
        Cell(
            id=f"T1.C{index + 1}",
            part="block",
            pose=0,
            at_mm=(x_mm, 50.0, floor_mm),
            turn_deg=turns[index % len(turns)],
            kit_no=index + 1,
            play_mm=1.0,
        )
        for index, x_mm in enumerate(at)
    )
    features = tuple(pocket(one.id, one.at_mm[0], one.at_mm[1], floor_mm=floor_mm) for one in cells)
    return Tray(
        id="T1",
        name="block tray",
        kind=TrayKind.TRAY,
        outline=Region.rectangle(0, 0, at[-1] + 60.0, 100.0),
        thickness_mm=thickness_mm,
        foam=foam,
        ply_boards=(("board", thickness_mm),),
        cells=cells,
        features=(*features, *extra),
    )


def pad(tray, *, thickness_mm=25.0, foam=PE.id, features=()):
    return Tray(
        id="T2",
        name="pad",
        kind=TrayKind.PAD,
        outline=tray.outline,
        thickness_mm=thickness_mm,
        foam=foam,
        ply_boards=(("board", thickness_mm),),
        features=features,
    )


def stacked(*things):
    """A pack of trays (and of numbers: dividers of that thickness), from the bottom up."""
    layers, height_mm = [], 0.0
    for thing in things:
        hard = isinstance(thing, float)
        thick_mm = thing if hard else thing.thickness_mm
        kind, id_ = ("divider", "sheet") if hard else (thing.kind.value, thing.id)
        layers.append(Layer(kind=kind, id=id_, bottom_mm=height_mm, top_mm=height_mm + thick_mm))
        height_mm += thick_mm
    return Pack(
        box="box",
        kits=1,
        layers=tuple(layers),
        payload_kg=1.0,
        foam_kg=1.0,
        divider_kg=0.0,
        gross_kg=14.0,
        gap_nominal_mm=2.0,
        gap_rss_mm=1.0,
        gap_worst_mm=1.5,
        centre_of_gravity_mm=(0.0, 0.0, 0.0),
    )


def lift(**more):
    told = {
        "hand_distance": 400.0,
        "height": 750.0,
        "travel": 0.0,
        "twist": 0.0,
        "frequency": 0.2,
        "hours": 1.0,
        "people": 1,
        "coupling": "fair",
        **more,
    }
    units = {"frequency": "1/min", "hours": "h", "twist": "deg"}
    numbers = {
        key: given(f"enquiry:lift.0.{key}", value, units.get(key, "mm"))
        for key, value in told.items()
        if key not in {"people", "coupling"}
    }
    return Lift(at="bench", people=told["people"], coupling=told["coupling"], **numbers)


def question(tray=None, *, poses=None, foam=PE, gross_kg=14.0, layers=None, lid=(2.0, 1.0, 1.5), **more):
    tray = tray or row_tray()
    over = pad(tray)
    gaps = dict(zip(("nominal", "rss", "worst"), lid, strict=True))
    return AssessmentAsked(
        pack=stacked(*(layers or (over, tray, over))),
        trays=(tray, over),
        poses=tuple(sorted((poses or {"block": block()}).items())),
        foam=foam,
        handlings=(PARCEL,),
        gross=figure("pack/gross", gross_kg, "kg"),
        lid_gap=LidGap(**{key: figure(f"pack/gap/{key}", value, "mm") for key, value in gaps.items()}),
        **more,
    )


def damage(kind, *, part="block"):
    return Damage(said="came back so", part=part, kind=kind)


def codes(assessment):
    return {one.code for one in assessment.findings}


def rule_below(rule, height_mm):
    """A rule for all triangles whose middle lies below a height; the others may be touched."""
    return lambda middles: np.where(middles[:, 2] < height_mm, int(rule), int(Rule.ALLOWED))
