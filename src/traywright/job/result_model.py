"""The shape of result.json, key by key; its JSON Schema is made from this table of models, hence its length."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict

Point = tuple[float, float]
Spot = tuple[float, float, float]


class Strict(BaseModel):
    """A level of the file: every key is there, no other key is."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)


class MethodModel(Strict):
    """Version of each room's method; a changed method has a new number."""

    protection: int
    layout: int
    cutting: int
    verification: int
    quoting: int


class MadeByModel(Strict):
    """Which release made the file."""

    release: str
    method: MethodModel


class FingerprintModel(Strict):
    """The four fingerprints: a new rate does not void an approval."""

    inputs: str
    trays: str
    cut: str
    offer: str


class VerdictModel(Strict):
    """The verdict in one line."""

    word: str
    status: str
    stops: int
    warnings: int
    notes: int
    overrides: int
    read_back: bool


class TakenModel(Strict):
    """A number that was taken because nothing was said."""

    value: float | str | None
    unit: str
    status: str
    source: str


class AssumptionModel(Strict):
    """What was assumed, where, and which effect it has."""

    id: str
    field: str
    taken: TakenModel
    effect: str


class QuestionModel(Strict):
    """A question, the key of its words, and the answer that was taken."""

    id: str
    field: str
    asks: str
    taken: str


class LimitModel(Strict):
    """What a figure is held against."""

    value: float
    unit: str
    status: str
    source: str


class ParameterModel(Strict):
    """One value for a finding's sentence."""

    name: str
    value: float | str


class FindingModel(Strict):
    """One judgement; figure is a G- number of this file or empty."""

    code: str
    severity: Literal["stop", "warn", "note"]
    at: list[str]
    point_mm: list[float]
    figure: str
    limit: LimitModel | None
    fix: str
    cause: str
    overridden: bool
    parameters: list[ParameterModel]


class FindingsModel(Strict):
    """The findings of one room."""

    findings: list[FindingModel]


class FigureModel(Strict):
    """A figure; inputs are G- numbers, cards, enquiry keys or catalogue rows."""

    id: str
    path: str
    what: str
    of: str
    case: str
    value: float
    low: float
    high: float
    unit: str
    method: str
    inputs: list[str]
    status: str
    source: str


class PoseModel(Strict):
    """A resting pose: what points down in the file's axes."""

    down: Spot
    size_mm: Spot


class PartModel(Strict):
    """A part as it was understood."""

    id: str
    name: str
    revision: str
    sha256: str
    shape: str
    unit_read: str
    watertight: bool
    chord_mm: float
    tolerance_mm: float
    volume_mm3: float
    mass: str
    mass_kg: float
    static_sensitive: bool
    size_mm: Spot
    centre_of_gravity_mm: Spot
    poses: list[PoseModel]
    pose_used: int
    mends: list[str]
    findings: list[FindingModel]


class PolygonModel(Strict):
    """One polygon with holes."""

    shell: list[Point]
    holes: list[list[Point]]


class FloorModel(Strict):
    """A floor's height above the underside; a trough and a ball have an axis and a radius as well."""

    kind: Literal["flat", "trough", "ball"]
    start_mm: Spot
    end_mm: Spot
    radius_mm: float


class FeatureModel(Strict):
    """A recess of a tray."""

    id: str
    kind: str
    side: str
    region_mm: list[PolygonModel]
    floor: FloorModel
    for_cell: str


class WallModel(Strict):
    """Foam in one direction: needed (null: ``without_need`` says why), kept, and the gap of the parts at rest."""

    towards: str
    needed_mm: float | None
    without_need: str
    kept_mm: float
    gap_mm: float


class CellModel(Strict):
    """One part in its place."""

    id: str
    part: str
    pose: int
    at_mm: Spot
    turn_deg: float
    kit_no: int
    play_mm: float
    walls: list[WallModel]


class PlyModel(Strict):
    """One board thickness of a tray."""

    id: str
    kind: str
    from_mm: float
    to_mm: float
    board: str
    count: int


class TrayModel(Strict):
    """A tray, pad, cap, cover or lid."""

    id: str
    name: str
    kind: str
    size_mm: Spot
    outline_mm: list[PolygonModel]
    foam: str
    keep: str
    per_pack: int
    mass_kg: float
    removed_mm3: float
    open_area_mm2: float
    corner_left_mm2: float
    plies: list[PlyModel]
    cells: list[CellModel]
    features: list[FeatureModel]
    edits: list[str]


class LayerModel(Strict):
    """One thing in the stack."""

    kind: str
    id: str
    bottom_mm: float
    top_mm: float


class GapModel(Strict):
    """Room under the lid."""

    nominal: float
    rss: float
    worst: float


class PackModel(Strict):
    """One box as packed."""

    box: str
    kits: int
    gross_kg: float
    foam_kg: float
    divider_kg: float
    payload_kg: float
    layers: list[LayerModel]
    gap_mm: GapModel
    centre_of_gravity_mm: Spot


class ProtectionModel(Strict):
    """What protection says."""

    verdict: str
    findings: list[FindingModel]


class PieceModel(Strict):
    """A ply on a board."""

    id: str
    ply: str
    at_mm: Point
    turn_deg: int
    side_up: str


class BoardModel(Strict):
    """One kind of board layout."""

    id: str
    board: str
    cut_from: str
    blank_mm: list[PolygonModel]
    thickness_mm: float
    count: int
    pieces: list[PieceModel]
    spare_pieces: int
    yield_ratio: float


class BoardNeedModel(Strict):
    """Whole boards of one card against their bound."""

    board: str
    boards: int
    blanks: int
    pieces: int
    spare_pieces: int
    bound_boards: int
    proven: bool


class NestingModel(Strict):
    """What nesting says."""

    needs: list[BoardNeedModel]
    findings: list[FindingModel]


class BridgeModel(Strict):
    """An uncut link."""

    id: str
    piece: str
    at_mm: Point
    along: Point
    waist_mm: float
    height_mm: float


class CutterModel(Strict):
    """A cutter by its number on the machine."""

    number: int
    card: str


class SetupModel(Strict):
    """One board clamped once."""

    id: str
    board_layout: str
    board: str
    blank_mm: list[PolygonModel]
    thickness_mm: float
    side_up: str
    datum: str
    z_zero: str
    pieces: list[PieceModel]
    bridges: list[BridgeModel]
    screws_mm: list[Point]
    zones: list[str]
    cutters: list[CutterModel]
    program: str
    runs: int


class OperationModel(Strict):
    """One operation of a program."""

    id: str
    kind: str
    level_mm: float
    cutter: int
    features: list[str]
    line: int


class ProgramModel(Strict):
    """One program."""

    id: str
    setup: str
    file: str
    dialect: str
    sha256: str
    lines: int
    time_s: float
    length_over_feed_s: float
    cut_length_mm: float
    operations: list[OperationModel]


class HoldModel(Strict):
    """Hold-down of one setup; the forces are not calculated yet."""

    setup: str
    bridges: int
    word: str
    findings: list[FindingModel]


class VerificationModel(Strict):
    """The read-back of one program."""

    program: str
    setup: str
    true: bool
    grid_mm: float
    gouge_mm: float
    remainder_mm: float
    error_bound_mm: float
    removed_mm3: float
    findings: list[FindingModel]


class QuoteLineModel(Strict):
    """One line of the price; quantity is a G- number."""

    id: str
    what: str
    detail: str
    quantity: str
    rate: str
    amount: str


class BreakModel(Strict):
    """Price of one quantity."""

    packs: int
    cost: str
    price: str
    per_pack: str
    per_kit_trip: str | None


class QuoteModel(Strict):
    """The price; money is text."""

    currency: str
    packs: int
    lines: list[QuoteLineModel]
    breaks: list[BreakModel]
    findings: list[FindingModel]


class PaperModel(Strict):
    """One paper."""

    name: str
    file: str
    sha256: str


class ResultModel(Strict):
    """The whole file."""

    format: Literal[1]
    invented: bool
    made_by: MadeByModel
    fingerprint: FingerprintModel
    verdict: VerdictModel
    assumptions: list[AssumptionModel]
    questions: list[QuestionModel]
    figures: list[FigureModel]
    parts: list[PartModel]
    trays: list[TrayModel]
    pack: PackModel | None
    design: FindingsModel
    protection: ProtectionModel
    boards: list[BoardModel]
    nesting: NestingModel
    setups: list[SetupModel]
    programs: list[ProgramModel]
    hold: list[HoldModel]
    verification: list[VerificationModel]
    quote: QuoteModel
    papers: list[PaperModel]
    job: FindingsModel
    findings: list[str]
