"""The stages that are timed, each at three sizes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import layout_work
import part_files
import work


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """What is timed: a name, three sizes, what a size counts, how the work is laid ready, how often it runs.

    ``beside`` is other work at the same sizes that is timed in the same run, if there is any.
    """

    name: str
    sizes: tuple[int, ...]
    counted: str
    prepare: Callable[[int], work.Work]
    repeats: int = 3
    beside: Callable[[int], work.Work] | None = None


STAGES = (
    Stage(name="parallel-regions", sizes=(2000, 8000, 32000), counted="corners", prepare=work.parallel_regions),
    Stage(name="parts", sizes=(1, 2, 3), counted="parts", prepare=work.parts),
    Stage(
        name="part-turned",
        sizes=(20_000, 200_000, 2_000_000),
        counted="triangles",
        prepare=part_files.turned_facts,
        beside=part_files.turned_loaded,
    ),
    Stage(
        name="part-rounded",
        sizes=(20_000, 200_000, 2_000_000),
        counted="triangles",
        prepare=part_files.rounded_facts,
        beside=part_files.rounded_loaded,
    ),
    Stage(
        name="layout-outlines",
        sizes=(10, 70, 500),
        counted="outlines",
        prepare=layout_work.outlines_placed,
        repeats=1,
    ),
    Stage(
        name="layout-corners",
        sizes=(20, 300, 5000),
        counted="corners",
        prepare=layout_work.outline_corners,
        repeats=1,
    ),
    Stage(name="walls-needed", sizes=(1, 2, 3), counted="parts", prepare=work.walls_needed),
    Stage(name="design", sizes=(2, 4, 6), counted="kits in a pack", prepare=work.design),
    Stage(name="protection", sizes=(2, 4, 6), counted="kits in a pack", prepare=work.protection),
    Stage(name="cutting", sizes=(4, 16, 64), counted="pockets", prepare=work.cutting),
    Stage(name="read-back", sizes=(4, 16, 64), counted="pockets", prepare=work.read_back_stage),
    Stage(name="whole-job", sizes=(1, 2, 3), counted="kits in a pack", prepare=work.whole_job, repeats=1),
)
