"""ASTM C94 and the trade about it: slump tolerance, time limits, water added on site."""

from dataclasses import dataclass

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source, practice
from slabwright.units import CUBIC_YARD_M3, GALLON_M3, INCH_M, POUND_KG, PSI_PA

ASTM_C94 = Source("ASTM C94", "Specification for Ready-Mixed Concrete, editions to 2021 as stated")
SLUMP_TOLERANCE = Clause(ASTM_C94, "2015, slump tolerances", Basis.MEMORY)
TIME_LIMIT = Clause(ASTM_C94, "2021, 6.1.10 and 12.9: no limit by default, the purchaser or the producer states it", Basis.QUOTED)
WATER_EFFECT = practice("a gallon of water to the cubic yard: about 1 in. more slump, 150 to 200 psi less, a tenth more shrinkage")
WATER_CEMENT = Clause(ASTM_C94, "water added on site within the ratio ordered, before discharge", Basis.MEMORY)

OLD_LIMIT_S = 90 * 60.0
"""Limit that editions before 2021 set by default. [s]"""
WATER_KG_M3_PER_GALLON = 8.345 * POUND_KG / CUBIC_YARD_M3
"""One gallon to the cubic yard. [kg/m³]"""


@dataclass(frozen=True, slots=True)
class SlumpRange:
    """Least and greatest slump accepted. [m]"""

    low_m: float
    high_m: float


@published("slump-tolerance", SLUMP_TOLERANCE)
def slump_range(*, slump_m: float, maximum: bool = False) -> SlumpRange:
    """Slumps that are accepted for one ordered.

    Parameters
    ----------
    slump_m : float
        Ordered. [m]
    maximum : bool
        True where the order says "not to exceed".

    Returns
    -------
    SlumpRange
        [m]

    Raises
    ------
    OutOfRange
        For a slump of nought.
    """
    if slump_m <= 0:
        raise OutOfRange(f"a slump is above nought (got {slump_m:g} m).")
    inches = slump_m / INCH_M
    if maximum:
        return SlumpRange(max(inches - (1.5 if inches <= 3 + 1e-9 else 2.5), 0.0) * INCH_M, slump_m)
    half = 0.5 if inches <= 2 + 1e-9 else 1.0 if inches <= 4 + 1e-9 else 1.5
    return SlumpRange(max(inches - half, 0.0) * INCH_M, (inches + half) * INCH_M)


@dataclass(frozen=True, slots=True)
class WaterToAdd:
    """Water that may still go into a load, and what that much does.

    Attributes
    ----------
    water_kg_m3 : float
        Per volume of concrete. [kg/m³]
    water_m3 : float
        For the load. [m³]
    w_cm : float
        Ratio then.
    slump_gain_m : float
        [m]
    strength_loss_pa : float
        [Pa]
    """

    water_kg_m3: float
    water_m3: float
    w_cm: float
    slump_gain_m: float
    strength_loss_pa: float


@published("water-to-add", WATER_CEMENT, validity="Before discharge begins; effects on slump and strength are common practice, no source.")
def water_to_add(
    *, cementitious_kg_m3: float, water_kg_m3: float, max_w_cm: float, load_m3: float = 1.0, working: Working | None = None
) -> WaterToAdd:
    """Water that may still be added on site without passing the water-cement ratio ordered.

    Parameters
    ----------
    cementitious_kg_m3, water_kg_m3 : float
        Batched, from the ticket; water with the moisture of the aggregate. [kg/m³]
    max_w_cm : float
        Ordered.
    load_m3 : float
        In the truck. [m³]
    working : Working, optional

    Returns
    -------
    WaterToAdd
        Nought where the ratio is reached already. [kg/m³], [m³], [m], [Pa]

    Raises
    ------
    OutOfRange
        For masses or a ratio without meaning.
    """
    if cementitious_kg_m3 <= 0 or water_kg_m3 < 0 or not 0 < max_w_cm < 2 or load_m3 <= 0:
        raise OutOfRange("water to add needs cement above nought, water not below it, a ratio between 0 and 2 and a load above nought.")
    work = working or Working()
    spare = work.line("w = max(r*C - W, 0)", "kg/m³", r=max_w_cm, C=(cementitious_kg_m3, "kg/m³"), W=(water_kg_m3, "kg/m³"))
    gallons = spare / WATER_KG_M3_PER_GALLON
    return WaterToAdd(
        spare,
        spare * load_m3 / 1000.0,
        (water_kg_m3 + spare) / cementitious_kg_m3,
        gallons * INCH_M,
        gallons * 175 * PSI_PA,
    )


@published("water-cement-after-adding", WATER_CEMENT)
def w_cm_after_adding(
    *, water_kg_m3: float, cementitious_kg_m3: float, added_m3: float, load_m3: float, working: Working | None = None
) -> float:
    """Water-cement ratio after water was added to a load.

    Parameters
    ----------
    water_kg_m3, cementitious_kg_m3 : float
        Batched. [kg/m³]
    added_m3 : float
        Water added to the load. [m³]
    load_m3 : float
        [m³]
    working : Working, optional

    Returns
    -------
    float
        [-]

    Raises
    ------
    OutOfRange
        For a load or cement of nought.
    """
    if load_m3 <= 0 or cementitious_kg_m3 <= 0 or added_m3 < 0:
        raise OutOfRange("the ratio needs a load and cement above nought and added water not below it.")
    gallons_per_yard = added_m3 / GALLON_M3 / (load_m3 / CUBIC_YARD_M3)
    pounds = POUND_KG / CUBIC_YARD_M3
    return (working or Working()).line(
        "r = (W + 8.345*g)/C",
        "",
        W=(water_kg_m3 / pounds, "lb/yd³"),
        g=(gallons_per_yard, "gal/yd³"),
        C=(cementitious_kg_m3 / pounds, "lb/yd³"),
    )


@published("age-at-discharge", TIME_LIMIT)
def age_at_discharge_s(*, batch_s: float, travel_s: float, wait_s: float, discharge_s: float) -> float:
    """Age of a load at its last chute.

    Parameters
    ----------
    batch_s, travel_s, wait_s, discharge_s : float
        [s]

    Returns
    -------
    float
        Against the limit agreed before delivery. [s]

    Raises
    ------
    OutOfRange
        For a negative time.
    """
    if min(batch_s, travel_s, wait_s, discharge_s) < 0:
        raise OutOfRange("times are nought or more.")
    return batch_s + travel_s + wait_s + discharge_s
