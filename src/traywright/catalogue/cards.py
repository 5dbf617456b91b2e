"""What the shop knows: one card a thing, each number with its ground. One table of nouns, hence its length."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from traywright.base import Given, Status


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """What one number of a card stands on."""

    unit: str
    status: Status
    source: str
    dated: str = ""
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """A card: an id, a ground for the whole and grounds of single numbers that differ.

    ``grounds`` holds, for every number on the card, its key and what it stands on, in key order.
    """

    id: str
    name: str
    grounds: tuple[tuple[str, Ground], ...]

    def given(self, key: str) -> Given:
        """One number of the card with its ground, ready to be the input of a figure.

        Raises
        ------
        KeyError
            If the card has no number of that key.
        """
        ground = dict(self.grounds)[key]
        return Given(
            ref=f"card:{self.id}#{key}",
            value=float(getattr(self, key)),
            unit=ground.unit,
            status=ground.status,
            source=ground.source,
            low=ground.low,
            high=ground.high,
            dated=ground.dated,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Material(Card):
    """What a part is made of."""

    density_kg_m3: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Foam(Card):
    """A foam grade.

    The compressive curve is sigma(e) = plateau + gas x [((1-R)/(1-R-e))^gamma - 1], R = density / solid density;
    a foam without ``plateau_kpa`` has no curve: it is laid out, cut and priced, and protection is not calculated.
    """

    family: str
    density_kg_m3: float
    solid_density_kg_m3: float | None
    plateau_kpa: float | None
    gas_kpa: float | None
    ramp_ratio: float | None
    strain_data_to_ratio: float | None
    strain_warn_ratio: float
    strain_limit_ratio: float
    creep_limit_kpa: float | None
    closed_cell: bool
    dissipative: bool
    expansion_per_k: float | None

    @property
    def has_curve(self) -> bool:
        """True if the compressive curve is known."""
        return None not in {self.plateau_kpa, self.gas_kpa, self.solid_density_kg_m3, self.ramp_ratio}


@dataclass(frozen=True, slots=True, kw_only=True)
class Solid(Card):
    """A sheet material that is no foam: hard plastic, plywood, fibre board. It has rules of cutting of its own.

    ``ramp_deg`` is the steepest way down into it, ``step_down_ratio`` the deepest pass over the cutter's diameter,
    ``skin_mm`` what stays under every cut that goes through until all else is cut; ``welds`` tells that hot chips stick
    to the cutter.
    """

    family: str
    density_kg_m3: float
    feed_mm_per_s: float
    spindle_rpm: float
    ramp_deg: float
    step_down_ratio: float
    skin_mm: float
    wall_least_mm: float
    floor_least_mm: float
    welds: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Board(Card):
    """A board as bought: of a foam, or of a solid.

    A two-colour sheet tells its upper colour with thickness and tolerance and the colour below it; ``floor_least_mm``
    and ``wall_least_mm`` are what a sheet of foam keeps under a recess and between two, where it is not what the rules
    of design say.
    """

    foam: str = ""
    solid: str = ""
    length_mm: float
    width_mm: float
    thickness_mm: float
    thickness_tolerance_mm: float
    edge_mm: float
    price: Decimal
    currency: str
    top_colour: str = ""
    top_colour_mm: float | None = None
    top_colour_tolerance_mm: float | None = None
    base_colour: str = ""
    floor_least_mm: float | None = None
    wall_least_mm: float | None = None

    @property
    def is_two_colour(self) -> bool:
        """True for a sheet of two colours."""
        return self.top_colour_mm is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class Box(Card):
    """A transit box: usable inside, after ribs, draft and lid."""

    outside_length_mm: float
    outside_width_mm: float
    outside_height_mm: float
    inside_length_mm: float
    inside_width_mm: float
    inside_height_mm: float
    mass_kg: float
    price: Decimal
    currency: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Divider(Card):
    """A bought sheet between layers."""

    thickness_mm: float
    mass_kg_per_m2: float
    price: Decimal
    currency: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutter(Card):
    """A cutter with its real reach; ``form`` is ``flat`` or ``ball``."""

    form: str
    diameter_mm: float
    reach_mm: float
    flutes: int
    step_down_mm: float
    step_over_ratio: float
    centre_cutting: bool

    @property
    def radius_mm(self) -> float:
        """Half the diameter."""
        return self.diameter_mm / 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine(Card):
    """A flat-bed router: travel, speeds, zero and bed.

    Board frame: origin at the datum corner (front left), x right, y back, z up, z0 on the spoil board (``bed``).
    """

    travel_x_mm: float
    travel_y_mm: float
    travel_z_mm: float
    bed_x_mm: float
    bed_y_mm: float
    feed_mm_per_s: float
    plunge_ratio: float
    rapid_mm_per_s: float
    acceleration_mm_per_s2: float
    junction_mm: float
    spindle_rpm: float
    spin_up_s: float
    cutter_change_s: float
    setup_s: float
    kerf_mm: float
    saw_kerf_mm: float
    clearance_mm: float
    into_spoil_mm: float
    spoil_thickness_mm: float
    z_zero: str
    datum: str
    cutters: tuple[str, ...]
    vacuum_zones: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Dialect(Card):
    """How this control wants its text."""

    unit: str
    decimals: int
    line_numbers: bool
    extension: str
    longest_line: int
    work_offset: str
    length_offset: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Rates(Card):
    """What an hour, a joint and a risk cost; money in the card's currency."""

    currency: str
    machine_per_h: Decimal
    bench_per_h: Decimal
    design_per_h: Decimal
    overhead_ratio: float
    scrap_ratio: float
    margin_ratio: float
    glue_per_m2: Decimal
    minimum_charge: Decimal
    machine_allowance_ratio: float
    design_h: float
    bond_h_per_joint: float
    bridge_h: float
    pack_h: float
    load_h_per_board: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Handling(Card):
    """How a leg is handled; ``drop_schedule`` names rows of the table ``drop_heights``."""

    drop_schedule: str
    temperature_low_c: float
    temperature_high_c: float
