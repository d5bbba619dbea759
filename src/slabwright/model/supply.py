"""Mix, joints, forms, crew, plant and prices."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from enum import Enum
from types import MappingProxyType

Point = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Mix:
    """The concrete asked for.

    Attributes
    ----------
    strength_pa : float
        Specified compressive strength, cylinder. [Pa]
    exposure : tuple of str
        Exposure classes of the chosen concrete standard, such as ``F2`` or ``XC2``.
    w_cm : float or None
        Highest water-cement ratio, by mass.
    air : float or None
        Total air content, a fraction.
    aggregate_size_m : float
        Nominal largest. [m]
    cement_kg_m3, water_kg_m3, aggregate_kg_m3 : float or None
        Where the supplier has given them. [kg/m³]
    cement_type : str
        As its standard writes it: ``I``, ``III``, ``IL``, ``CEM I``.
    slag, fly_ash : float
        Fraction of the cementitious mass.
    slump_m : float or None
        One slump for all; None for the plan by stage. [m]
    fibre_kg_m3 : float
    placing_temp_c : float or None
        At the chute. [°C]
    water_temp_c, aggregate_temp_c, cement_temp_c : float or None
        At the plant, as they lie there. [°C]
    aggregate_moisture : float
        Free moisture on stone and sand, of their mass; a part of ``water_kg_m3``.
    unit_weight_kg_m3 : float
        Fresh. [kg/m³]
    shrinkage : float or None
        Drying shrinkage in the end as the producer has tested it, a fraction; None to have it estimated from the mix.
    time_limit_s : float or None
        Batch to discharge, as agreed with the producer. [s]
    """

    strength_pa: float
    exposure: tuple[str, ...] = ()
    w_cm: float | None = None
    air: float | None = None
    aggregate_size_m: float = 0.01905
    cement_kg_m3: float | None = None
    water_kg_m3: float | None = None
    aggregate_kg_m3: float | None = None
    cement_type: str = "I"
    slag: float = 0.0
    fly_ash: float = 0.0
    slump_m: float | None = None
    fibre_kg_m3: float = 0.0
    placing_temp_c: float | None = None
    water_temp_c: float | None = None
    aggregate_temp_c: float | None = None
    cement_temp_c: float | None = None
    aggregate_moisture: float = 0.0
    unit_weight_kg_m3: float = 2400.0
    shrinkage: float | None = None
    time_limit_s: float | None = None


class JointKind(Enum):
    """How a joint is made."""

    SAW = "saw-cut"
    EARLY_ENTRY = "early-entry saw-cut"
    TOOLED = "tooled"
    CONSTRUCTION = "construction"
    ISOLATION = "isolation"


@dataclass(frozen=True, slots=True, kw_only=True)
class JointWishes:
    """What the builder wants of the joints; lines are pairs of plan points. [m]

    Attributes
    ----------
    kind : JointKind
    max_spacing_m : float or None
        None for the rule by thickness.
    spacing_thicknesses : float or None
        Spacing in slab thicknesses, 24 to 36 as a rule; None for what thickness, stone, slump and shrinkage allow.
    wider_by_steel : bool
        True where steel in the upper half of the floor may set joints further apart than the concrete alone allows.
    max_aspect : float or None
        Longest over shortest side of a panel; None for the rule.
    min_corner_rad : float or None
        Least corner of a panel that a joint may make; None for the rule. [rad]
    min_width_share : float or None
        Width of the narrowest panel over the spacing there; None for the rule.
    pinned, forbidden : tuple
        Lines to keep, lines not to use.
    depth_m : float or None
    allow_tees : bool
        True where a joint may die against another.
    """

    kind: JointKind = JointKind.SAW
    max_spacing_m: float | None = None
    spacing_thicknesses: float | None = None
    wider_by_steel: bool = False
    max_aspect: float | None = None
    min_corner_rad: float | None = None
    min_width_share: float | None = None
    pinned: tuple[tuple[Point, Point], ...] = ()
    forbidden: tuple[tuple[Point, Point], ...] = ()
    depth_m: float | None = None
    allow_tees: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Forms:
    """Edge forms.

    Attributes
    ----------
    material : str
        ``lumber`` or ``steel``.
    board_thickness_m, board_height_m : float
    section_modulus_m3, second_moment_m4, shear_area_m2 : float or None
        Of the whole height of a steel form, bent outwards, from its maker. [m³], [m⁴], [m²]
    yield_pa : float or None
        Yield strength of its steel. [Pa]
    stake_spacing_m : float or None
        None to have it worked out. [m]
    stake_embedment_m, stake_width_m : float
    kicker_embedment_m : float or None
        Of the stakes at the foot of kickers; None to have it worked out. [m]
    hold_down_n : float or None
        What keeps the form from rising at each stake beside its weight and the stake; None to have it worked out. [N]
    """

    material: str = "lumber"
    board_thickness_m: float = 0.0381
    board_height_m: float | None = None
    section_modulus_m3: float | None = None
    second_moment_m4: float | None = None
    shear_area_m2: float | None = None
    yield_pa: float | None = None
    stake_spacing_m: float | None = None
    stake_embedment_m: float = 0.3048
    stake_width_m: float = 0.0381
    kicker_embedment_m: float | None = None
    hold_down_n: float | None = None


class PlacingMethod(Enum):
    """How concrete gets from the truck to its place."""

    CHUTE = "chute"
    LINE_PUMP = "line pump"
    BOOM_PUMP = "boom pump"
    CONVEYOR = "conveyor"
    BUGGY = "buggy"


@dataclass(frozen=True, slots=True, kw_only=True)
class Crew:
    """People and rates; a rate is None where it is to be taken from common practice."""

    n_people: int | None = None
    n_finishers: int | None = None
    placing_rate_m3_h: float | None = None
    finishing_rate_m2_h: float | None = None
    n_saws: int = 1
    saw_speed_m_h: float | None = None
    start_hour_h: float | None = None
    curing_hour_h: float | None = None
    vibrating_screed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Plant:
    """The concrete plant and its trucks.

    Attributes
    ----------
    truck_m3 : float
        Load of one truck. [m³]
    n_trucks : int or None
        In the loop; None to have it worked out.
    travel_out_s, travel_back_s : float or None
    distance_m : float or None
    method : PlacingMethod
    placing_rate_m3_h : float or None
        Highest rate of the method. [m³/h]
    min_load_m3 : float
        Below which a short-load fee applies. [m³]
    site_load_limit_m3 : float or None
        Largest load the road or the site takes. [m³]
    reach_m : float or None
        Of chute, hose or belt from where it stands; None for the usual one of a chute, and for a pump that reaches all. [m]
    sides : tuple of str
        Sides of the plan at which trucks or the pump can stand; empty for all.
    """

    truck_m3: float = 7.645548579840001
    n_trucks: int | None = None
    travel_out_s: float | None = None
    travel_back_s: float | None = None
    distance_m: float | None = None
    method: PlacingMethod = PlacingMethod.CHUTE
    placing_rate_m3_h: float | None = None
    min_load_m3: float = 3.8227742899
    site_load_limit_m3: float | None = None
    reach_m: float | None = None
    sides: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Prices:
    """Money per SI unit by quantity line key (see ``studies/quantities``), and fees by name.

    Attributes
    ----------
    currency : str
        Sign or code printed before an amount.
    per_unit : Mapping[str, Decimal]
        Line key to price per SI unit of that line, or per piece.
    fees : Mapping[str, Decimal]
        ``short_load``, ``standby_per_min``, ``pump`` and others by name.
    """

    currency: str = "$"
    per_unit: Mapping[str, Decimal] = field(default_factory=lambda: MappingProxyType({}))
    fees: Mapping[str, Decimal] = field(default_factory=lambda: MappingProxyType({}))
