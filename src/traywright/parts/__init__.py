"""What the part is: solid, mass, contact rules, how it lies, and what must stay free to let it in and out."""

from traywright.parts.asked import PartAsked
from traywright.parts.balance import Balance, BodyWeight, balance
from traywright.parts.dimensions import (
    ArcTo,
    Boss,
    Dimensions,
    Disc,
    Hole,
    Level,
    Outline,
    Plate,
    Step,
    Tube,
    Turned,
)
from traywright.parts.drawing import Drawing, DrawingQuestion, DrawnLine, LeftOut, StrokesRead
from traywright.parts.dxf_written import contours_dxf, dxf_bytes
from traywright.parts.examined import BodyGroup, BodyTold, Examined, PoseTold, examine, examine_body, turned_down
from traywright.parts.faces import FaceTold, faces_told, normals_of
from traywright.parts.features import Features, features_of
from traywright.parts.heights import (
    hold_plane_mm,
    seat_levels,
    side_reach,
    side_rules,
    topside,
    topside_rules,
    underside,
    underside_rules,
)
from traywright.parts.opening_depths import OpeningAt, governing_findings, opening_by_depth
from traywright.parts.openings import envelope, envelope_ends_mm, governing_state, opening, section, silhouette
from traywright.parts.part import ContactRule, Part, Pose, Rule, Surface
from traywright.parts.photo import PhotoRead, read_photo
from traywright.parts.photo_markers import PHOTO_LINE_MM, PHOTO_PAPERS, PhotoPaper, mark_region, photo_marks
from traywright.parts.pose import take_pose
from traywright.parts.question import PartQuestion
from traywright.parts.read import build_part, build_parts, part_of_shape
from traywright.parts.read_drawing import is_named, read_drawing
from traywright.parts.resting import Resting, axis_poses, resting_poses
from traywright.parts.shape import LayerHeight, LayerTold, Shape, ShapeAsked
from traywright.parts.shape_difference import ShapeDifference, difference_findings, shape_difference
from traywright.parts.shape_file import read_shape
from traywright.parts.shape_print import Earlier, ShapePrint, known_again, print_of_text, shape_print
from traywright.parts.smooth_faces import faces_by_form
from traywright.parts.standing import lift_mm
from traywright.parts.states import AddedAt, GrownSkin, PartState
from traywright.parts.told import part_record, read_dimensions
from traywright.parts.true_volume import true_properties
from traywright.parts.undercuts import Undercut, undercut_findings, undercuts, undercuts_of_mesh
from traywright.parts.weak import Weak, weak_features, weak_findings
from traywright.parts.weighed import Weighed, WeighedAsked, weighed

__all__ = [
    "PHOTO_LINE_MM",
    "PHOTO_PAPERS",
    "AddedAt",
    "ArcTo",
    "Balance",
    "BodyGroup",
    "BodyTold",
    "BodyWeight",
    "Boss",
    "ContactRule",
    "Dimensions",
    "Disc",
    "Drawing",
    "DrawingQuestion",
    "DrawnLine",
    "Earlier",
    "Examined",
    "FaceTold",
    "Features",
    "GrownSkin",
    "Hole",
    "LayerHeight",
    "LayerTold",
    "LeftOut",
    "Level",
    "OpeningAt",
    "Outline",
    "Part",
    "PartAsked",
    "PartQuestion",
    "PartState",
    "PhotoPaper",
    "PhotoRead",
    "Plate",
    "Pose",
    "PoseTold",
    "Resting",
    "Rule",
    "Shape",
    "ShapeAsked",
    "ShapeDifference",
    "ShapePrint",
    "Step",
    "StrokesRead",
    "Surface",
    "Tube",
    "Turned",
    "Undercut",
    "Weak",
    "Weighed",
    "WeighedAsked",
    "axis_poses",
    "balance",
    "build_part",
    "build_parts",
    "contours_dxf",
    "difference_findings",
    "dxf_bytes",
    "envelope",
    "envelope_ends_mm",
    "examine",
    "examine_body",
    "faces_by_form",
    "faces_told",
    "features_of",
    "governing_findings",
    "governing_state",
    "hold_plane_mm",
    "is_named",
    "known_again",
    "lift_mm",
    "mark_region",
    "normals_of",
    "opening",
    "opening_by_depth",
    "part_of_shape",
    "part_record",
    "photo_marks",
    "print_of_text",
    "read_dimensions",
    "read_drawing",
    "read_photo",
    "read_shape",
    "resting_poses",
    "seat_levels",
    "section",
    "shape_difference",
    "shape_print",
    "side_reach",
    "side_rules",
    "silhouette",
    "take_pose",
    "topside",
    "topside_rules",
    "true_properties",
    "turned_down",
    "undercut_findings",
    "undercuts",
    "undercuts_of_mesh",
    "underside",
    "underside_rules",
    "weak_features",
    "weak_findings",
    "weighed",
]
