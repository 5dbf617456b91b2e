"""Every tolerance of the house, each with the reason for its value."""

from __future__ import annotations

SNAP_MM = 0.001
"""Step of every designed coordinate: a tenth of what a router repeats, so rounding never shows in foam."""

SAME_MM = 0.0005
"""Two lengths nearer than half a snap step are one length."""

ARC_CHORD_MM = 0.01
"""Largest distance of a chord from its arc in a Region: far below foam accuracy (about 0.5 mm), few points."""

DRAWN_CHORD_MM = 0.002
"""Largest distance of a chord from a customer's arc: a fifth of the 0.01 mm that a drawing is held to."""

DRAWN_MM = 0.01
"""What goes out may be off what a customer drew by no more than this: a tenth of what a router repeats."""

GAP_MM = 0.5
"""Widest gap between the ends of two drawn lines that is joined, and told.  # source: common practice, no source"""

ROUND_RATIO = 1e-7
"""Two half axes of a drawn curve nearer than this are those of a circle: 0.0001 mm on a metre."""

TIE_RATIO = 1e-9
"""Two scores nearer than this are equal; then the stated order of ids decides (float noise must not)."""

TURN_DEG = 0.00001
"""Two turns nearer than this are one: 0.0002 mm at the far end of a metre."""

ARC_MISMATCH_MM = 0.002
"""Largest difference of an arc's start and end radius in a program (NISTIR 6556, 3.5.3, millimetre limit)."""

SOLVER_RATIO = 1e-10
"""Relative stop of our one-dimensional solvers: six shown digits and room to spare."""

READ_BACK_MM = 0.2
"""Gouge or remainder beyond the printed bound that makes a read-back false (target of the trade, no source)."""

GRID_MM = 0.5
"""Coarsest height map of a read-back."""

POINT_MM = 0.0001
"""Step to which points of a read solid are rounded: single precision in metres repeats to about 0.00002 mm."""

PART_CHORD_RATIO = 0.00005
"""Chord of a read solid over its largest size: on 200 mm the chord of a Region."""

PART_CHORD_LEAST_MM = 0.002
"""Finest chord of a read solid: finer gives triangles, not truth."""

PART_CHORD_MOST_MM = 0.05
"""Coarsest chord of a read solid: a tenth of what foam holds."""

SPENT_RATIO = 0.985
"""Share of a foam's last strain (1 - R) at which we call it spent: the gas curve runs to infinity at 1."""

PROTECTION_CELL_MM = 2.0
"""Cell of the maps on which foam columns stand: a tenth of the thinnest wall in use, areas to about 1 %."""

NARROW_CELL_MM = 0.5
"""Finest cell of those maps, for strips and edges: eight across a border of 4 mm."""
