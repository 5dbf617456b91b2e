"""The read-back: what a program's text really cuts, held against the trays by a witness of its own."""

from traywright.verification.judge import grouped, read_back
from traywright.verification.motion import Heard, Motion, MotionKind
from traywright.verification.read_back import ReadBack
from traywright.verification.reader import read_program
from traywright.verification.stock import Bite, Swept, cut_away, first_stock, sweep, volume_mm3

__all__ = [
    "Bite",
    "Heard",
    "Motion",
    "MotionKind",
    "ReadBack",
    "Swept",
    "cut_away",
    "first_stock",
    "grouped",
    "read_back",
    "read_program",
    "sweep",
    "volume_mm3",
]
