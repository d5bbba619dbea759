"""The place and what lies under the slab: site conditions, soil, base course, retarder, insulation, services."""

from dataclasses import dataclass
from enum import Enum

Point = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where the job is.

    Attributes
    ----------
    latitude_deg, longitude_deg : float or None
        Degrees north and east.
    elevation_m : float
        Above sea level. [m]
    time_zone : str
        Name in the time zone database, such as ``America/Denver``; empty where not stated.
    frost_depth_m : float or None
    groundwater_depth_m : float or None
        Below outside grade, in the wet season. [m]
    ground_snow_pa : float or None
    street_side : str
        Side of the plan that faces the street: ``south``, ``east``, ``north`` or ``west``.
    address, washout : str
        Where trucks go, and where they wash out, in words for the dispatcher; empty where not stated.
    """

    latitude_deg: float | None = None
    longitude_deg: float | None = None
    elevation_m: float = 0.0
    time_zone: str = ""
    frost_depth_m: float | None = None
    groundwater_depth_m: float | None = None
    ground_snow_pa: float | None = None
    street_side: str = "south"
    address: str = ""
    washout: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Soil:
    """The bearing ground.

    Attributes
    ----------
    soil_class : str
        Class of the presumptive table, such as ``GW`` or ``CL``; empty where not known.
    allowable_bearing_pa : float or None
        From the soils report. [Pa]
    subgrade_modulus_pa_m : float or None
        k under the floor. [Pa/m]
    pad_subgrade_modulus_pa_m : float or None
        k under pads and edge where they bear on other ground. [Pa/m]
    cbr : float or None
        California bearing ratio, per cent as the test reports it.
    elastic_modulus_pa : float or None
    n_spt : float or None
        Blows of the standard penetration test.
    undrained_strength_pa : float or None
        Of clay: half its unconfined compressive strength. [Pa]
    unit_weight_kg_m3 : float
        Of the soil removed. [kg/m³]
    friction : float or None
        Coefficient under the slab.
    notes : str
        Of the soils report.
    """

    soil_class: str = ""
    allowable_bearing_pa: float | None = None
    subgrade_modulus_pa_m: float | None = None
    pad_subgrade_modulus_pa_m: float | None = None
    cbr: float | None = None
    elastic_modulus_pa: float | None = None
    n_spt: float | None = None
    undrained_strength_pa: float | None = None
    unit_weight_kg_m3: float = 1762.0
    friction: float | None = None
    notes: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BaseCourse:
    """Compacted base under the floor; ``compaction`` is the fraction of the reference density asked for."""

    thickness_m: float
    material: str = "crushed stone"
    compaction: float | None = None
    shrink_factor: float | None = None
    loose_density_kg_m3: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Retarder:
    """The sheet under the concrete.

    Attributes
    ----------
    thickness_m : float
        0.000254 for 10 mil. [m]
    sheet_class : str
        Class of the sheet standard, ``A``, ``B`` or ``C``; empty where not stated.
    permeance_kg_pa_s_m2 : float or None
    roll_width_m, roll_length_m : float
    lap_m : float
    under_edge : bool
        True where the sheet runs down under edge and pads; False where it stops at them.
    """

    thickness_m: float
    sheet_class: str = ""
    permeance_kg_pa_s_m2: float | None = None
    roll_width_m: float = 3.6576
    roll_length_m: float = 30.48
    lap_m: float = 0.1524
    under_edge: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Insulation:
    """Board under the floor or at the edge; ``place`` is ``floor``, ``edge`` or ``skirt``."""

    place: str
    thickness_m: float
    resistance_m2k_w: float
    width_m: float | None = None


class PipeKind(Enum):
    """What runs through or under the floor."""

    WATER = "water"
    WASTE = "waste"
    DRAIN = "floor drain"
    CHANNEL = "channel drain"
    CONDUIT = "conduit"
    GAS = "gas"
    RADON = "radon vent"


class Wrap(Enum):
    """What keeps the concrete from gripping a pipe."""

    NONE = "none"
    FOAM = "foam"
    SLEEVE = "sleeve"
    TAPE = "tape"


@dataclass(frozen=True, slots=True, kw_only=True)
class Pipe:
    """A pipe, conduit or drain.

    Attributes
    ----------
    name : str
    kind : PipeKind
    run : tuple of points
        One point where it rises through the floor, or a line of two or more with the riser last. [m]
    diameter_m : float
        Outside. [m]
    wrap : Wrap
    wrap_thickness_m : float
    depth_m : float or None
        Of its crown below the top of the floor along the run. [m]
    fall : float or None
        Drop per run, a fraction.
    rim_m : float or None
        Rim or top against the finished floor at that point, positive above. [m]
    riser : bool
        False where it only crosses below.
    """

    name: str
    kind: PipeKind
    run: tuple[Point, ...]
    diameter_m: float
    wrap: Wrap = Wrap.NONE
    wrap_thickness_m: float = 0.0
    depth_m: float | None = None
    fall: float | None = None
    rim_m: float | None = None
    riser: bool = True


class EmbedKind(Enum):
    """What is cast into the concrete."""

    ANCHOR_BOLT = "anchor bolt"
    HOLD_DOWN = "hold-down"
    POST_BASE = "post base"
    EMBED_PLATE = "embed plate"
    SLEEVE = "sleeve"
    ELECTRODE = "earth electrode"


@dataclass(frozen=True, slots=True, kw_only=True)
class Embed:
    """Items cast in: single, or a row along a line at a spacing."""

    name: str
    kind: EmbedKind
    line: tuple[Point, ...]
    diameter_m: float = 0.0127
    embedment_m: float = 0.1778
    projection_m: float = 0.0
    max_spacing_m: float | None = None
    wet_set: bool = False
