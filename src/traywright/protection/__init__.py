"""How much foam a part needs, and how a finished pack stands its loads: figures and findings, no drawing."""

from traywright.protection.asked import AssessmentAsked, Damage, LidGap
from traywright.protection.assess import assess
from traywright.protection.drops import DropCase, drop_classes, schedule_heights
from traywright.protection.gas_model import RATES, Curve, curve_of, energy_kpa, stress_kpa
from traywright.protection.landing import Columns, Landing, land, settle, slab_columns
from traywright.protection.lifting import Lift, LiftLimit, lift_figures, lift_limit
from traywright.protection.needs import need_mm, wall_needs
from traywright.protection.wall_need import DIRECTIONS, Assessment, WallNeed

__all__ = [
    "DIRECTIONS",
    "RATES",
    "Assessment",
    "AssessmentAsked",
    "Columns",
    "Curve",
    "Damage",
    "DropCase",
    "Landing",
    "LidGap",
    "Lift",
    "LiftLimit",
    "WallNeed",
    "assess",
    "curve_of",
    "drop_classes",
    "energy_kpa",
    "land",
    "lift_figures",
    "lift_limit",
    "need_mm",
    "schedule_heights",
    "settle",
    "slab_columns",
    "stress_kpa",
    "wall_needs",
]
