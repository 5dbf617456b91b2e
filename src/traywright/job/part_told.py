"""A part's file on its own: what it holds, how it lies, what must be asked."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from traywright.base import Given, Status, text
from traywright.base.errors import JobError, PartError
from traywright.catalogue import Catalogue, load_cards
from traywright.job.earlier_parts import found_again
from traywright.job.guarded import MOST_S, guarded
from traywright.job.part_mass import mass_of
from traywright.job.part_plain import Known, plain_examined, plain_lying, plain_outline, plain_told
from traywright.job.progress import Progress, silent
from traywright.parts import (
    BodyGroup,
    Examined,
    LayerHeight,
    PartAsked,
    ShapeAsked,
    difference_findings,
    examine,
    features_of,
    part_of_shape,
    read_shape,
    shape_difference,
    shape_print,
    take_pose,
    turned_down,
    undercuts_of_mesh,
)

MOST_TYPED = 100_000.0  # source: ours: no mass in kg, density in kg/m3 or thickness in mm is larger
NO_DENSITY = Given(
    ref="none",
    value=1000.0,
    unit="kg/m3",
    status=Status.INVENTED,
    source="ours: stands in where no density was typed; nothing that is told of a pose in full comes from it",
)
"""Keeps the place of a density that nobody told: a part must have one, the answer of ``plain_lying`` has no mass."""
MOST_FILE_BYTES = 400_000_000  # source: ours: eight million triangles of a binary STL


@dataclass(frozen=True, slots=True, kw_only=True)
class PartTyped:
    """What was typed of a part's file; None and empty stand for what was not typed."""

    length_unit: str = "file"
    thickness_mm: float | None = None
    mass_kg: float | None = None
    density_kg_m3: float | None = None
    material: str | None = None
    turned: bool = False
    heights: tuple[str, ...] = ()
    square_mm: float = 60.0
    line_mm: float = 100.0
    pose: int | None = None
    jobs: Path | None = None
    most_s: float = MOST_S


@dataclass(frozen=True, slots=True, kw_only=True)
class _Asked:
    """What one file is asked in a process of its own; ``first`` is the file that it is held against, if any."""

    shape: ShapeAsked
    file: Path
    density: Given | None
    mass: Given | None
    materials: tuple[tuple[str, float], ...]
    pose: int | None = None
    first: _Asked | None = None


def _content(file: Path) -> bytes:
    """The bytes of a file.

    Raises
    ------
    JobError
        JOB-043 if it is larger than any part's file, JOB-044 if it cannot be read.
    """
    try:
        if file.stat().st_size > MOST_FILE_BYTES:
            raise JobError("JOB-043", file=file.name, most_mb=MOST_FILE_BYTES // 1_000_000)
        return file.read_bytes()
    except OSError as refused:
        raise JobError("JOB-044", file=file.name, told=str(refused.strerror)) from refused


def _known(group: BodyGroup) -> Known:
    """What more is told of a body that is likely a part."""
    if group.likely != "part":
        return Known()
    mesh = group.closed.mesh
    return Known(
        features=features_of(group.body.name, group.closed),
        hollows=tuple(undercuts_of_mesh(turned_down(mesh, one.resting.down)) for one in group.body.poses),
        shape=shape_print(mesh).text,
    )


def _held_against(asked: _Asked, told: Examined) -> list[dict[str, Any]]:
    """Findings of where the file's part differs from that of the first file."""
    if asked.first is None:
        return []
    old = read_shape(asked.first.shape, _content(asked.first.file))
    if not old.bodies:
        return []
    first = _main(examine(old, asked.first.shape.id))
    new = _main(told)
    found = difference_findings(asked.shape.id, shape_difference(first.closed.mesh, new.closed.mesh))
    return [plain_told(one) for one in found]


def _main(told: Examined) -> BodyGroup:
    """The largest body that is likely a part."""
    return max((one for one in told.groups if one.likely == "part"), key=lambda one: one.body.properties.volume_mm3)


def _tell(asked: _Asked) -> dict[str, Any]:
    """What a file holds as JSON values; done in a process of its own."""
    shape = read_shape(asked.shape, _content(asked.file))
    if not shape.bodies:
        return {**plain_outline(asked.shape.id, shape), "differs": [], "pose": None}
    told = examine(shape, asked.shape.id)
    mass = mass_of(asked.shape.id, told, density=asked.density, mass=asked.mass, materials=asked.materials)
    # the edges of a photographed outline are noise: nothing is looked for on them
    known = [Known() if shape.kind == "photo" else _known(one) for one in told.groups]
    plain = plain_examined(told, known, mass)
    return {**plain, "differs": _held_against(asked, told), "pose": _pose_in_full(asked, told)}


def _pose_in_full(asked: _Asked, told: Examined) -> dict[str, Any] | None:
    """One pose of the largest body that is likely a part, with what foam must leave free depth by depth.

    Raises
    ------
    PartError
        PART-136 if the body has no such pose.
    """
    if asked.pose is None:
        return None
    body = _main(told)
    if asked.pose >= len(body.body.poses):
        raise PartError("PART-136", part=asked.shape.id, number=asked.pose, count=len(body.body.poses))
    down = body.body.poses[asked.pose].resting.down
    wanted = PartAsked(id=asked.shape.id, name=asked.shape.id, density=asked.density or NO_DENSITY)
    part, _ = part_of_shape(wanted, told.shape, body.members[:1])
    return plain_lying(take_pose(part, down, asked.pose))


def _checked(file: Path, typed: PartTyped) -> None:
    """Refuse a number that is not finite or not above 0.

    Raises
    ------
    PartError
        PART-006.
    """
    told = {
        "mass_kg": typed.mass_kg,
        "density_kg_m3": typed.density_kg_m3,
        "thickness_mm": typed.thickness_mm,
        "square_mm": typed.square_mm,
        "line_mm": typed.line_mm,
    }
    for key, value in told.items():
        if value is not None and not 0.0 < value <= MOST_TYPED:
            raise PartError("PART-006", part=file.stem, key=key, value=str(value), most_mm=MOST_TYPED)


def _height(file: Path, told: str) -> LayerHeight:
    """A height as typed: LAYER=MM or LAYER=through.

    Raises
    ------
    PartError
        PART-012 if it is neither.
    """
    layer, _, value = told.rpartition("=")
    if layer and value == "through":
        return LayerHeight(layer=layer, height_mm=0.0, through=True)
    try:
        return LayerHeight(layer=layer, height_mm=float(value))
    except ValueError as fault:
        raise PartError("PART-012", part=file.stem, key="height", value=told) from fault


def _given(file: Path, key: str, value: float | None, unit: str) -> Given | None:
    """A number as it was typed."""
    if value is None:
        return None
    place = f"enquiry:part.{file.stem}.{key}"
    return Given(ref=place, value=value, unit=unit, status=Status.STATED, source=text("source", "customer"))


def _asked(file: Path, typed: PartTyped, cards: Catalogue) -> _Asked:
    """One file with what was typed.

    Raises
    ------
    PartError
        PART-006, PART-012 if something typed cannot be meant.
    CatalogueError
        CAT-001 if there is no such material card.
    """
    _checked(file, typed)
    shape = ShapeAsked(
        id=file.stem,
        file_name=file.name,
        length_unit=typed.length_unit,
        mass_kg=typed.mass_kg,
        thickness_mm=typed.thickness_mm,
        turned=typed.turned,
        square_mm=typed.square_mm,
        line_mm=typed.line_mm,
        heights=tuple(_height(file, one) for one in typed.heights),
    )
    density = _given(file, "density_kg_m3", typed.density_kg_m3, "kg/m3")
    if typed.material is not None:
        density = cards.material(typed.material).given("density_kg_m3")
    known = [cards.material(one) for one in cards.ids("material")]
    return _Asked(
        shape=shape,
        file=file,
        density=density,
        mass=_given(file, "mass_kg", typed.mass_kg, "kg"),
        materials=tuple((one.name, one.density_kg_m3) for one in known),
        pose=typed.pose,
    )


def tell_part(
    file: Path, typed: PartTyped, *, first: Path | None = None, progress: Progress = silent
) -> dict[str, Any]:
    """What a part's file holds, as JSON values.

    Parameters
    ----------
    file
        Any of the kinds that are read.
    typed
        What was typed beside it.
    first
        A file that it is held against: where its largest part differs is told.
    progress
        Told when reading begins and ends.

    Raises
    ------
    PartError
        If the file is refused; PART-006 if a number that was typed cannot be meant.
    JobError
        JOB-040 to JOB-042 if it takes too much time or memory or fells its reader, JOB-043 if it is too large, JOB-044
        if it is not there or cannot be read.
    CatalogueError
        CAT-001 if there is no such material card.
    """
    cards = load_cards()
    asked = _asked(file, typed, cards)
    if first is not None:
        asked = replace(asked, first=_asked(first, typed, cards))
    progress("parts", 0.0, file.name)
    told = guarded(_tell, asked, file=file.name, most_s=typed.most_s)
    progress("parts", 1.0, "")
    return {"file": file.name, **told, "known": _known_again(typed.jobs, told["bodies"])}


def _known_again(jobs: Path | None, bodies: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Findings of bodies that an earlier job has."""
    if jobs is None:
        return []
    shapes = [(one["name"], one["shape"]) for one in bodies if one["shape"]]
    return [plain_told(one) for one in found_again(jobs, shapes)]
