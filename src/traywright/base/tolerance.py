"""Every tolerance of the house, each with the reason for its value."""

from __future__ import annotations

SNAP_MM = 0.001
"""Step of every designed coordinate: a tenth of what a router repeats, so rounding never shows in foam."""

SAME_MM = 0.0005
"""Two lengths nearer than half a snap step are one length."""

ARC_CHORD_MM = 0.01
"""Largest distance of a chord from its arc in a Region: far below foam accuracy (about 0.5 mm), few points."""

TIE_RATIO = 1e-9
"""Two scores nearer than this are equal; then the stated order of ids decides (float noise must not)."""

ARC_MISMATCH_MM = 0.002
"""Largest difference of an arc's start and end radius in a program (NISTIR 6556, 3.5.3, millimetre limit)."""

SOLVER_RATIO = 1e-10
"""Relative stop of our one-dimensional solvers: six shown digits and room to spare."""

READ_BACK_MM = 0.2
"""Gouge or remainder beyond the printed bound that makes a read-back false (target of the trade, no source)."""

GRID_MM = 0.5
"""Coarsest height map of a read-back."""
