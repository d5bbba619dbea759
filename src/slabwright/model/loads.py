"""Loads on posts and walls, by case."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum
from types import MappingProxyType


class LoadCase(Enum):
    """Cases that load combinations are built from."""

    DEAD = "dead"
    LIVE = "live"
    ROOF_LIVE = "roof_live"
    SNOW = "snow"
    WIND_DOWN = "wind_down"
    WIND_UPLIFT = "wind_uplift"
    SEISMIC = "seismic"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reaction:
    """What a post brings to its base in one case.

    Attributes
    ----------
    down_n : float
        Vertical force, positive down. [N] An uplift case is stored with a negative value.
    shear_x_n, shear_y_n : float
        Horizontal force on the base along the plan axes. [N]
    moment_x_nm, moment_y_nm : float
        Moment that tilts the base towards +x, towards +y. [N·m]
    """

    down_n: float = 0.0
    shear_x_n: float = 0.0
    shear_y_n: float = 0.0
    moment_x_nm: float = 0.0
    moment_y_nm: float = 0.0


Reactions = Mapping[LoadCase, Reaction]
NO_REACTIONS: Reactions = MappingProxyType({})


@dataclass(frozen=True, slots=True, kw_only=True)
class Tributary:
    """Area that a post carries, from which its reactions are built when none are stated.

    All pressures are on the horizontal projection, as positive numbers. [Pa]
    """

    length_m: float
    width_m: float
    roof_dead_pa: float = 0.0
    roof_live_pa: float = 0.0
    snow_pa: float = 0.0
    wind_down_pa: float = 0.0
    wind_uplift_pa: float = 0.0


class BaseFixity(Enum):
    """How a post stands on its base."""

    PINNED = "pinned"
    FIXED = "fixed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Anchor:
    """Generic cast-in anchors of one post base.

    Attributes
    ----------
    kind : str
        ``headed`` or ``hooked``.
    diameter_m, embedment_m : float
        Rod diameter and effective embedment. [m]
    steel_strength_pa : float
        Specified tensile strength of the rod, f_uta. [Pa]
    n_x, n_y : int
        Rods along and across the base.
    spacing_x_m, spacing_y_m : float
        Rod spacing along and across. [m]
    head_area_m2 : float
        Net bearing area of one head; 0 where not given. [m²]
    """

    kind: str = "headed"
    diameter_m: float = 0.0127
    embedment_m: float = 0.1778
    steel_strength_pa: float = 400e6
    n_x: int = 1
    n_y: int = 1
    spacing_x_m: float = 0.0
    spacing_y_m: float = 0.0
    head_area_m2: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Post:
    """A post standing on the foundation.

    Attributes
    ----------
    name : str
    at : tuple
        Plan position. [m]
    base_x_m, base_y_m : float
        Size of the base plate or post foot along the plan axes before rotation. [m]
    rotation_rad : float
        Of the base, counter-clockwise. [rad]
    reactions : Reactions
        By case; empty where a tributary area is given or nothing is known.
    tributary : Tributary or None
    fixity : BaseFixity
    isolated : bool
        True where an isolation joint parts the post from the floor.
    anchor : Anchor or None
    """

    name: str
    at: tuple[float, float]
    base_x_m: float
    base_y_m: float
    rotation_rad: float = 0.0
    reactions: Reactions = field(default_factory=lambda: NO_REACTIONS)
    tributary: Tributary | None = None
    fixity: BaseFixity = BaseFixity.PINNED
    isolated: bool = False
    anchor: Anchor | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Wall:
    """A wall standing on the foundation.

    Attributes
    ----------
    name : str
    line : tuple of points
        Its centre line in plan. [m]
    thickness_m : float
    line_loads_n_m : Mapping[LoadCase, float]
        Vertical load per length by case, positive down. [N/m]
    """

    name: str
    line: tuple[tuple[float, float], ...]
    thickness_m: float
    line_loads_n_m: Mapping[LoadCase, float] = field(default_factory=lambda: MappingProxyType({}))


@dataclass(frozen=True, slots=True, kw_only=True)
class Wheel:
    """A wheel or leg that moves over the floor or stands on it.

    Attributes
    ----------
    name : str
    load_n : float
        Load of one wheel. [N]
    contact_pressure_pa : float
        Tyre or foot pressure. [Pa]
    spacing_m : float
        Distance to the other wheel of the axle; 0 for a single one. [m]
    within : tuple of points
        The part of the floor it goes over; empty for all of it. [m]
    """

    name: str
    load_n: float
    contact_pressure_pa: float
    spacing_m: float = 0.0
    within: tuple[tuple[float, float], ...] = ()
