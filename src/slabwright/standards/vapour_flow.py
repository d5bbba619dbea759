"""Vapour through a sheet under the floor, retarder classes, and how long a slab dries."""

from dataclasses import dataclass
from enum import Enum

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.sources import Basis, Clause, arithmetic, practice
from slabwright.standards.ibc import IBC
from slabwright.standards.wmo_8 import saturation_pressure_pa
from slabwright.units import INCH_M, PERMEANCE, VAPOUR_FLOW

PERMEANCE_FLOW = arithmetic("permeance times difference of vapour pressure")
RETARDER_CLASSES = Clause(IBC, "2021, vapour retarder classes I, II, III", Basis.TEXT_SEEN)
DRYING_RULE = practice("28 to 30 days of drying per inch of slab after the roof is on, one side only; a planning maxim, never a prediction")
FLOORING_FLOW = practice("3 lb per 1,000 ft² in 24 h, the flow at which many floor coverings are held")

PERM_KG_PA_S_M2 = PERMEANCE.units["perm"].factor
FLOORING_LIMIT_KG_M2_S = 3.0 * VAPOUR_FLOW.units["lb/1000 ft2/24 h"].factor
DRYING_DAYS_PER_INCH = (28.0, 30.0)


class RetarderClass(Enum):
    """Vapour retarder classes of the building code."""

    I = "I"  # noqa: E741 - the code's own name
    II = "II"
    III = "III"
    NONE = "none"


CLASS_LIMIT_PERM = {RetarderClass.I: 0.1, RetarderClass.II: 1.0, RetarderClass.III: 10.0}
"""Greatest permeance of each class. [perm]"""


@published("retarder-class", RETARDER_CLASSES)
def retarder_class(*, permeance_kg_pa_s_m2: float) -> str:
    """Class of a vapour retarder.

    Parameters
    ----------
    permeance_kg_pa_s_m2 : float
        [kg/(Pa·s·m²)]

    Returns
    -------
    str
    """
    perms = permeance_kg_pa_s_m2 / PERM_KG_PA_S_M2
    found = (name for name, limit in CLASS_LIMIT_PERM.items() if perms <= limit * (1.0 + 1e-6))
    return next(found, RetarderClass.NONE).value


@dataclass(frozen=True, slots=True)
class VapourDrive:
    """Vapour driven upward through the sheet.

    Attributes
    ----------
    difference_pa : float
        Of vapour pressure, soil less room. [Pa]
    flow_kg_m2_s : float
        Upward; negative when the room is moister. [kg/m²/s]
    """

    difference_pa: float
    flow_kg_m2_s: float


@published("permeance-flow", PERMEANCE_FLOW)
def permeance_flow(
    *, permeance_kg_pa_s_m2: float, soil_temp_c: float, room_temp_c: float, room_humidity: float, soil_humidity: float = 1.0
) -> VapourDrive:
    """Vapour that passes a sheet from the soil into a room.

    Parameters
    ----------
    permeance_kg_pa_s_m2 : float
        Of the sheet. [kg/(Pa·s·m²)]
    soil_temp_c, room_temp_c : float
        [°C]
    room_humidity, soil_humidity : float
        Relative, fractions; soil under a slab is at 1. [-]

    Returns
    -------
    VapourDrive

    Raises
    ------
    OutOfRange
        If a humidity is no fraction or the permeance is below nought.
    """
    if not (0.0 <= room_humidity <= 1.0 and 0.0 <= soil_humidity <= 1.0):
        raise OutOfRange("a humidity must be a fraction from 0 to 1; divide a percentage by 100.")
    if permeance_kg_pa_s_m2 < 0:
        raise OutOfRange("a permeance cannot be below nought.")
    difference = soil_humidity * saturation_pressure_pa(temp_c=soil_temp_c) - room_humidity * saturation_pressure_pa(temp_c=room_temp_c)
    return VapourDrive(difference, permeance_kg_pa_s_m2 * difference)


@dataclass(frozen=True, slots=True)
class DryingTime:
    """Shortest and longest drying by the rule. [d]"""

    low_days: float
    high_days: float


@published("drying-time", DRYING_RULE, validity="Planning only; a moisture test decides, and without a retarder there may be no end.")
def drying_time(*, thickness_m: float, two_sided: bool = False) -> DryingTime:
    """How long a slab dries before a covering, by the rule of the trade.

    Parameters
    ----------
    thickness_m : float
        [m]
    two_sided : bool
        True for a suspended slab that dries on both faces; counts half the thickness.

    Returns
    -------
    DryingTime
        [d]

    Raises
    ------
    OutOfRange
        For a thickness not above nought.
    """
    if thickness_m <= 0:
        raise OutOfRange("a slab needs a thickness above nought.")
    inches = thickness_m / INCH_M * (0.5 if two_sided else 1.0)
    low, high = DRYING_DAYS_PER_INCH
    return DryingTime(low * inches, high * inches)
