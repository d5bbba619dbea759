"""ASHRAE Handbook, Fundamentals: soils, surface films, and insulation over fresh concrete."""

from enum import Enum

from slabwright.errors import Infeasible, OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source, practice
from slabwright.units import HEAT_FLUX, THERMAL_RESISTANCE

ASHRAE = Source("ASHRAE Fundamentals", "ASHRAE Handbook, Fundamentals")
SOILS = Clause(ASHRAE, "apparent conductivity of soils, after 1989", Basis.TEXT_SEEN)
FILMS = Clause(ASHRAE, "outside film 0.17 h·ft²·°F/Btu at 15 mph", Basis.MEMORY)
BLANKETS = practice("insulation per inch and per blanket; the maker's rating decides, and wet insulation loses most of it")

R_VALUE = THERMAL_RESISTANCE.units["R"].factor
OUTSIDE_FILM_M2K_W = 0.17 * R_VALUE
_BTU_IN = 0.1442279
"""Btu·in/h·ft²·°F in W/mK."""


class SoilKind(Enum):
    """Families of the conductivity table."""

    SAND = "sand"
    SILT = "silt"
    CLAY = "clay"
    LOAM = "loam"


_SOILS = {SoilKind.SAND: (5.4, 15.6), SoilKind.SILT: (11.4, 15.6), SoilKind.CLAY: (7.8, 10.8), SoilKind.LOAM: (6.6, 15.6)}


@published("soil-conductivity", SOILS)
def soil_conductivity_w_mk(*, soil: SoilKind, high: bool = False) -> float:
    """Design conductivity of a soil.

    Parameters
    ----------
    soil : SoilKind
        [-]
    high : bool
        The high design value, for moist ground; otherwise the low one.

    Returns
    -------
    float
        [W/mK]
    """
    return _SOILS[soil][int(high)] * _BTU_IN


class Cover(Enum):
    """What protects fresh concrete from the cold."""

    EXPANDED_POLYSTYRENE = "polystyrene board"
    MINERAL_WOOL = "mineral wool"
    STRAW = "dry straw"
    WOOD = "wood"


R_PER_INCH = {
    Cover.EXPANDED_POLYSTYRENE: (4.0, 4.0), Cover.MINERAL_WOOL: (3.5, 4.0), Cover.STRAW: (1.0, 1.5), Cover.WOOD: (1.25, 1.25),
}  # fmt: skip
BLANKET_R = (2.0, 7.0)
"""R of one inch of a material, and of one layer of curing blanket, low to high. [h·ft²·°F/Btu]"""


@published("blanket-heat-loss", FILMS)
def blanket_heat_loss_w_m2(*, concrete_temp_c: float, air_temp_c: float, blanket_m2k_w: float, working: Working | None = None) -> float:
    """Steady heat lost through a blanket in wind.

    Parameters
    ----------
    concrete_temp_c, air_temp_c : float
        [°C]
    blanket_m2k_w : float
        Resistance of the blanket. [m²K/W]

    Returns
    -------
    float
        [W/m²]

    Raises
    ------
    OutOfRange
        For a resistance below nought.
    """
    if blanket_m2k_w < 0:
        raise OutOfRange("a blanket's resistance cannot be below nought.")
    loss = (working or Working()).line(
        "q = (T_c - T_a)/(R_b + R_o)", "Btu/h·ft²", T_c=(1.8 * concrete_temp_c + 32.0, "°F"), T_a=(1.8 * air_temp_c + 32.0, "°F"),
        R_b=(blanket_m2k_w / R_VALUE, "h·ft²·°F/Btu"), R_o=(0.17, "h·ft²·°F/Btu"),
    )  # fmt: skip
    return loss * HEAT_FLUX.units["Btu/h·ft2"].factor


@published("blanket-r-value", FILMS, validity="Steady state: what the concrete and the ground give must make up the loss.")
def blanket_r_value_m2k_w(*, concrete_temp_c: float, air_temp_c: float, heat_given_w_m2: float, working: Working | None = None) -> float:
    """Resistance a blanket needs to hold concrete at a temperature with the heat that comes from below and within.

    Parameters
    ----------
    concrete_temp_c : float
        To be held at the surface. [°C]
    air_temp_c : float
        Lowest mean of the air. [°C]
    heat_given_w_m2 : float
        Heat the concrete and the ground give, mean over the protection. [W/m²]

    Returns
    -------
    float
        Nought where no blanket is needed. [m²K/W]

    Raises
    ------
    Infeasible
        If nothing gives heat while the air is colder.
    """
    if concrete_temp_c <= air_temp_c:
        return 0.0
    if heat_given_w_m2 <= 0:
        raise Infeasible("no blanket holds a temperature above the air's without heat from within; heat the enclosure.")
    return (working or Working()).line(
        "R_b = max(0, (T_c - T_a)/q - R_o)", "m²K/W", T_c=(concrete_temp_c, "°C"), T_a=(air_temp_c, "°C"),
        q=(heat_given_w_m2, "W/m²"), R_o=(OUTSIDE_FILM_M2K_W, "m²K/W"),
    )  # fmt: skip
