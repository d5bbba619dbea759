"""International Building Code: presumptive soil values, sliding, light-frame footings, seismic footing steel."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source
from slabwright.units import FOOT_M, INCH_M, POUND_FORCE_N, PSF_PA

IBC = Source("IBC", "International Building Code, editions 2009 to 2021 as stated")
PRESUMPTIVE_BEARING = Clause(IBC, "2012, Table 1806.2 (same vertical values in IRC Table R401.4.1)", Basis.TEXT_SEEN)
SLIDING_CAP = Clause(IBC, "2012, 1806.3.2 and Table 1806.2 note b", Basis.QUOTED)
LIGHT_FRAME_FOOTING = Clause(IBC, "2009-2021, Table 1809.7", Basis.MEMORY)
PLAIN_FOOTING_EDGE = Clause(IBC, "2009-2021, 1809.8", Basis.MEMORY)
SEISMIC_FOOTING_STEEL = Clause(IBC, "2012-2021, 1905.1.7 amending ACI 318 14.1.4", Basis.TEXT_SEEN)
FOOTING_SLOPE = Clause(IBC, "1809.3", Basis.TEXT_SEEN)


@dataclass(frozen=True, slots=True)
class PresumptiveBearing:
    """Presumptive values of a class of ground.

    Attributes
    ----------
    vertical_pa : float
        Allowable vertical foundation pressure. [Pa]
    lateral_n_m3 : float
        Allowable lateral bearing per depth below natural grade. [N/m³]
    friction : float or None
        Sliding coefficient on the dead load; None for cohesive ground.
    cohesion_pa : float or None
        Sliding resistance per contact area; None for granular ground and rock. [Pa]
    """

    vertical_pa: float
    lateral_n_m3: float
    friction: float | None
    cohesion_pa: float | None


def _values(vertical_psf: float, lateral_pcf: float, friction: float | None, cohesion_psf: float | None) -> PresumptiveBearing:
    cohesion_pa = None if cohesion_psf is None else cohesion_psf * PSF_PA
    return PresumptiveBearing(vertical_psf * PSF_PA, lateral_pcf * POUND_FORCE_N / FOOT_M**3, friction, cohesion_pa)


_ROCK, _FOLIATED = _values(12000, 1200, 0.70, None), _values(4000, 400, 0.35, None)
_GRAVEL, _SAND, _CLAY = _values(3000, 200, 0.35, None), _values(2000, 150, 0.25, None), _values(1500, 100, None, 130)
SOIL_CLASSES: Mapping[str, PresumptiveBearing] = MappingProxyType(
    {
        "crystalline bedrock": _ROCK,
        "sedimentary rock": _FOLIATED,
        "foliated rock": _FOLIATED,
        **dict.fromkeys(("GW", "GP"), _GRAVEL),
        **dict.fromkeys(("SW", "SP", "SM", "SC", "GM", "GC"), _SAND),
        **dict.fromkeys(("CL", "ML", "MH", "CH"), _CLAY),
    }
)
NO_VALUE_CLASSES = ("OL", "OH", "PT", "mud", "organic silt", "organic clay", "peat", "fill")


@published(
    "presumptive-bearing",
    PRESUMPTIVE_BEARING,
    validity="Undisturbed ground or engineered fill without a soils report; mud, organic soil, peat and unprepared fill have no value.",
)
def presumptive_bearing(*, soil_class: str) -> PresumptiveBearing:
    """Presumptive bearing, lateral bearing and sliding of a class of ground.

    Parameters
    ----------
    soil_class : str
        Unified class such as ``SM``, or ``crystalline bedrock``, ``sedimentary rock``, ``foliated rock``.

    Returns
    -------
    PresumptiveBearing
        [Pa], [N/m³]

    Raises
    ------
    OutOfRange
        For a class without a presumptive value, or an unknown one.
    """
    wanted = soil_class.strip()
    for name, values in SOIL_CLASSES.items():
        if wanted.upper() == name.upper():
            return values
    if wanted.upper() in (name.upper() for name in NO_VALUE_CLASSES):
        raise OutOfRange(f'soil class "{wanted}" has no presumptive bearing value; a soils report must give one.')
    raise OutOfRange(f'soil class "{wanted}" is not in the presumptive table; write one of {", ".join(SOIL_CLASSES)}.')


@published("sliding-resistance", SLIDING_CAP)
def sliding_resistance_n(*, soil_class: str, dead_n: float, contact_area_m2: float, working: Working | None = None) -> float:
    """Resistance to sliding: friction on the dead load, or cohesion on the contact area up to half the dead load.

    Parameters
    ----------
    soil_class : str
        As in the presumptive table.
    dead_n : float
        Dead load on the ground. [N]
    contact_area_m2 : float
        Area of contact. [m²]

    Returns
    -------
    float
        [N]
    """
    working = working or Working()
    values = presumptive_bearing(soil_class=soil_class)
    dead_lb = dead_n / POUND_FORCE_N
    if values.friction is not None:
        return working.line("R = mu*D", "lb", mu=values.friction, D=(dead_lb, "lb")) * POUND_FORCE_N
    cohesion_psf = (values.cohesion_pa or 0.0) / PSF_PA
    resistance_lb = working.line(
        "R = min(c*A, 0.5*D)", "lb", c=(cohesion_psf, "psf"), A=(contact_area_m2 / FOOT_M**2, "ft²"), D=(dead_lb, "lb")
    )
    return resistance_lb * POUND_FORCE_N


@dataclass(frozen=True, slots=True)
class LightFrameFooting:
    """Width and thickness of a footing under a light-frame wall. [m]"""

    width_m: float
    thickness_m: float


@published(
    "light-frame-footing", LIGHT_FRAME_FOOTING, validity="Floors supported do not count the slab on the ground; the roof is included."
)
def light_frame_footing(*, floors: int) -> LightFrameFooting:
    """Prescriptive footing under a light-frame wall by the number of floors it carries.

    Parameters
    ----------
    floors : int
        1 to 3, the roof besides. A wall that carries only a roof is read as one floor.

    Returns
    -------
    LightFrameFooting
        [m]

    Raises
    ------
    OutOfRange
        For more than three floors.
    """
    sizes_in = {1: (12, 6), 2: (15, 6), 3: (18, 8)}
    if not 0 <= floors <= 3:
        raise OutOfRange(f"the light-frame table covers up to 3 floors (got {floors}); size the footing by calculation.")
    width_in, thickness_in = sizes_in[max(1, floors)]
    return LightFrameFooting(width_in * INCH_M, thickness_in * INCH_M)


def plain_footing_edge_thickness_m(*, light_frame_house: bool = False) -> float:
    """Least edge thickness of a plain concrete footing on soil under walls other than light-frame.

    Parameters
    ----------
    light_frame_house : bool
        True for occupancy group R-3 with a projection not over the thickness.

    Returns
    -------
    float
        8 in, or 6 in. for the house. [m]
    """
    return (6 if light_frame_house else 8) * INCH_M


@dataclass(frozen=True, slots=True)
class SeismicSteel:
    """Continuous steel of a plain wall footing. [m²]"""

    required_m2: float
    provided_m2: float
    holds: bool


@published(
    "seismic-footing-steel",
    SEISMIC_FOOTING_STEEL,
    validity="Seismic design categories C and up; stud-wall dwellings of up to three stories may fall under the 0.002.",
)
def seismic_footing_steel(*, width_m: float, thickness_m: float, n_top: int, n_bottom: int, bar_number: int = 4) -> SeismicSteel:
    """Continuous bars of a plain concrete wall footing: two or more, No. 4 or larger, 0.002 of the section, top and bottom.

    Parameters
    ----------
    width_m, thickness_m : float
        Of the footing. [m]
    n_top, n_bottom : int
        Bars near the top and near the bottom.
    bar_number : int
        US bar number.

    Returns
    -------
    SeismicSteel
        [m²]
    """
    from slabwright.standards.astm_a615 import bar_of_number

    required_m2 = 0.002 * width_m * thickness_m
    provided_m2 = (n_top + n_bottom) * bar_of_number(number=bar_number).area_m2
    holds = n_top >= 1 and n_bottom >= 1 and bar_number >= 4 and provided_m2 >= required_m2 * (1 - 1e-9)
    return SeismicSteel(required_m2, provided_m2, holds)
