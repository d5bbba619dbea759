"""ASTM C138: unit weight, yield, cement content and air of fresh concrete."""

from dataclasses import dataclass

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source
from slabwright.units import FOOT_M, PCF_KG_M3, POUND_KG

ASTM_C138 = Source("ASTM C138", "Density, Yield and Air Content (Gravimetric) of Concrete, 2023")
YIELD = Clause(ASTM_C138, "yield, relative yield, cement content", Basis.TEXT_SEEN)
GRAVIMETRIC_AIR = Clause(ASTM_C138, "air content", Basis.MEMORY)


@dataclass(frozen=True, slots=True)
class Yield:
    """What a load really is.

    Attributes
    ----------
    volume_m3 : float
        [m³]
    relative : float
        Over the volume designed; under 1 the load is short.
    cement_kg_m3 : float
        Really in it; nought where the cement was not given. [kg/m³]
    """

    volume_m3: float
    relative: float
    cement_kg_m3: float


@published("yield", YIELD)
def load_yield(
    *, batch_mass_kg: float, unit_weight_kg_m3: float, designed_m3: float, cement_kg: float = 0.0, working: Working | None = None
) -> Yield:
    """Volume of a load from its batch mass and measured unit weight.

    Parameters
    ----------
    batch_mass_kg : float
        All ingredients. [kg]
    unit_weight_kg_m3 : float
        Measured fresh. [kg/m³]
    designed_m3 : float
        On the ticket. [m³]
    cement_kg : float
        Batched. [kg]
    working : Working, optional

    Returns
    -------
    Yield
        [m³], [-], [kg/m³]

    Raises
    ------
    OutOfRange
        For masses, weights or volumes of nought.
    """
    if min(batch_mass_kg, unit_weight_kg_m3, designed_m3) <= 0 or cement_kg < 0:
        raise OutOfRange("yield needs a batch mass, a unit weight and a designed volume above nought.")
    work = working or Working()
    cubic_feet = work.line("Y = M/D", "ft³", M=(batch_mass_kg / POUND_KG, "lb"), D=(unit_weight_kg_m3 / PCF_KG_M3, "pcf"))
    relative = work.line("R_y = Y/Y_d", "", Y=(cubic_feet, "ft³"), Y_d=(designed_m3 / FOOT_M**3, "ft³"))
    return Yield(cubic_feet * FOOT_M**3, relative, cement_kg / (cubic_feet * FOOT_M**3))


@published("air-content", GRAVIMETRIC_AIR)
def air_content(*, airless_weight_kg_m3: float, unit_weight_kg_m3: float, working: Working | None = None) -> float:
    """Air of fresh concrete from its theoretical and measured unit weight.

    Parameters
    ----------
    airless_weight_kg_m3 : float
        Theoretical, without air. [kg/m³]
    unit_weight_kg_m3 : float
        Measured. [kg/m³]
    working : Working, optional

    Returns
    -------
    float
        A fraction. [-]

    Raises
    ------
    OutOfRange
        For weights of nought or a measured weight above the airless one.
    """
    if min(airless_weight_kg_m3, unit_weight_kg_m3) <= 0 or unit_weight_kg_m3 > airless_weight_kg_m3:
        raise OutOfRange("air content needs unit weights above nought, the measured one not above the airless one.")
    return (working or Working()).line("A = (T - D)/T", "", T=(airless_weight_kg_m3, "kg/m³"), D=(unit_weight_kg_m3, "kg/m³"))
