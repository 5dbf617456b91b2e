"""A part's file on its own: what it holds, how it lies, what must be asked."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from traywright.base.errors import JobError, PartError
from traywright.catalogue import load_cards
from traywright.job.guarded import MOST_S, guarded
from traywright.job.part_plain import plain_examined, plain_outline
from traywright.job.progress import Progress, silent
from traywright.parts import Features, LayerHeight, ShapeAsked, examine, features_of, read_shape

MOST_TYPED = 100_000.0  # source: ours: no mass in kg, density in kg/m3 or thickness in mm is larger
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
    pose: int | None = None
    most_s: float = MOST_S


@dataclass(frozen=True, slots=True, kw_only=True)
class _Asked:
    shape: ShapeAsked
    file: Path
    density_kg_m3: float | None


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


def _tell(asked: _Asked) -> dict[str, Any]:
    """What a file holds as JSON values; done in a process of its own."""
    shape = read_shape(asked.shape, _content(asked.file))
    if not shape.bodies:
        return plain_outline(asked.shape.id, shape)
    told = examine(shape)
    features = [features_of(one.body.name, one.closed) if one.likely == "part" else Features() for one in told.groups]
    return plain_examined(told, features, asked.density_kg_m3)


def _checked(file: Path, typed: PartTyped) -> None:
    """Refuse a number that is not finite or not above 0.

    Raises
    ------
    PartError
        PART-006.
    """
    told = {"mass_kg": typed.mass_kg, "density_kg_m3": typed.density_kg_m3, "thickness_mm": typed.thickness_mm}
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


def _density(typed: PartTyped) -> float | None:
    if typed.material is None:
        return typed.density_kg_m3
    return load_cards().material(typed.material).density_kg_m3


def tell_part(file: Path, typed: PartTyped, *, progress: Progress = silent) -> dict[str, Any]:
    """What a part's file holds, as JSON values.

    Parameters
    ----------
    file
        Any of the kinds that are read.
    typed
        What was typed beside it.
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
    _checked(file, typed)
    shape = ShapeAsked(
        id=file.stem,
        file_name=file.name,
        length_unit=typed.length_unit,
        mass_kg=typed.mass_kg,
        thickness_mm=typed.thickness_mm,
        turned=typed.turned,
        heights=tuple(_height(file, one) for one in typed.heights),
    )
    progress("parts", 0.0, file.name)
    asked = _Asked(shape=shape, file=file, density_kg_m3=_density(typed))
    told = guarded(_tell, asked, file=file.name, most_s=typed.most_s)
    progress("parts", 1.0, "")
    return {"file": file.name, **told}
