"""The text that the machine reads, in its dialect."""

from traywright.nc.program import Program, ProgramHead
from traywright.nc.write import cut_box_mm, write_program

__all__ = ["Program", "ProgramHead", "cut_box_mm", "write_program"]
