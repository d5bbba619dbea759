"""ACI Materials Journal 95-M34 (1998) and the 1954 formula it restates: evaporation from a wet concrete surface."""

import math

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source
from slabwright.standards.wmo_8 import saturation_pressure_pa
from slabwright.units import EVAPORATION

ACI_95_M34 = Source(
    "ACI Materials Journal 95-M34", "Plastic Shrinkage Cracking and Evaporation Formulas, ACI Materials Journal 95(4), 1998"
)
PCA_1954 = Source("PCA 1954", "Causes and Prevention of Crack Development in Plastic Concrete, PCA Annual Meeting, 1954, pp. 130-136")
ACI_SP_338 = Source("ACI SP-338", "After Two Hundred Years of Estimating Evaporation, It Is Still a Mystery, ACI SP-338, 2020, pp. 10-28")
SIMPLIFIED = Clause(ACI_95_M34, "pp. 365-375, final simplified equation, V in km/h", Basis.QUOTED)
SIMPLIFIED_US = Clause(ACI_95_M34, "inch-pound form, back from unrounded constants", Basis.QUOTED)
PRESSURE_FORM = Clause(PCA_1954, "restated in 95-M34 and in 2006", Basis.MEMORY)
SCATTER = Clause(ACI_SP_338, "abstract", Basis.TEXT_SEEN)

EVAPORATION_SPREAD = 0.40
"""Actual evaporation may differ from the estimate by this fraction of it; two figures are the most to print."""


def _fraction(rel_humidity: float) -> float:
    if not 0.0 <= rel_humidity <= 1.0:
        raise OutOfRange(f"rel_humidity must be a fraction from 0 to 1 (got {rel_humidity!r}); divide a percentage by 100.")
    return rel_humidity


@published(
    "evaporation-rate",
    SIMPLIFIED,
    validity="Wet surface, wind close above it; a guide to risk, true rates may differ by 40 %. Negative: dew forms.",
    limits={"concrete_temp_c": (0.0, 45.0), "air_temp_c": (0.0, 45.0)},
)
def evaporation_rate_kg_m2_h(
    *, concrete_temp_c: float, air_temp_c: float, rel_humidity: float, wind_speed_m_s: float, working: Working | None = None
) -> float:
    r"""Rate at which water evaporates from a wet concrete surface.

    Parameters
    ----------
    concrete_temp_c : float
        Of the concrete surface. [°C]
    air_temp_c : float
        Of the air beside the slab. [°C]
    rel_humidity : float
        Of that air, a fraction from 0 to 1. [-]
    wind_speed_m_s : float
        About 0.5 m above the surface, not at mast height. [m/s]

    Returns
    -------
    float
        Negative where dew would form. [kg/m²/h]

    Raises
    ------
    OutOfRange
        If the humidity is not a fraction from 0 to 1, or a temperature is below -18 °C.

    Notes
    -----
    .. math:: E = 5\,[(T_c+18)^{2.5} - r\,(T_a+18)^{2.5}]\,(V+4)\times10^{-6}

    Two published forms are not the same number: this rounded metric one reads up to 5 % lower than the inch-pound one. The
    program uses this one in both families of units and converts its result.

    Examples
    --------
    >>> round(evaporation_rate_kg_m2_h(concrete_temp_c=25, air_temp_c=25, rel_humidity=0.5, wind_speed_m_s=15 / 3.6), 3)
    0.576
    """
    if min(concrete_temp_c, air_temp_c) < -18.0:
        raise OutOfRange(f"the formula ends at -18 °C (got concrete {concrete_temp_c:g} °C, air {air_temp_c:g} °C).")
    return (working or Working()).line(
        "E = 5e-6*((T_c + 18)**2.5 - r*(T_a + 18)**2.5)*(V + 4)",
        "kg/m²·h",
        T_c=(concrete_temp_c, "°C"),
        r=_fraction(rel_humidity),
        T_a=(air_temp_c, "°C"),
        V=(3.6 * wind_speed_m_s, "km/h"),
    )


@published("evaporation-rate-us", SIMPLIFIED_US, validity="Wet surface; the inch-pound form, for comparison with a chart in those units.")
def evaporation_rate_us_kg_m2_h(*, concrete_temp_c: float, air_temp_c: float, rel_humidity: float, wind_speed_m_s: float) -> float:
    r"""Rate of evaporation by the inch-pound form of the simplified equation.

    Parameters
    ----------
    concrete_temp_c, air_temp_c : float
        [°C]
    rel_humidity : float
        A fraction from 0 to 1. [-]
    wind_speed_m_s : float
        [m/s]

    Returns
    -------
    float
        [kg/m²/h]

    Raises
    ------
    OutOfRange
        If the humidity is not a fraction from 0 to 1.

    Notes
    -----
    .. math:: E = (T_c^{2.5} - r\,T_a^{2.5})(1 + 0.4 V)\times10^{-6}\ \text{lb/ft²/h, °F, mph}
    """
    concrete_f, air_f, wind_mph = 1.8 * concrete_temp_c + 32.0, 1.8 * air_temp_c + 32.0, wind_speed_m_s / 0.44704
    rate_lb_ft2_h = (math.pow(concrete_f, 2.5) - _fraction(rel_humidity) * math.pow(air_f, 2.5)) * (1.0 + 0.4 * wind_mph) * 1e-6
    return rate_lb_ft2_h * EVAPORATION.units["lb/ft2/h"].factor


def vapour_transfer_kg_pa_s_m2(*, wind_speed_m_s: float) -> float:
    """Vapour that leaves a wet surface per pascal of difference, from the pressure form. [kg/(Pa·s·m²)]

    Parameters
    ----------
    wind_speed_m_s : float
        About 0.5 m above the surface. [m/s]
    """
    return 0.315 * (0.253 + 0.060 * 3.6 * wind_speed_m_s) / 1e3 / 3600.0


@published("evaporation-rate-by-pressure", PRESSURE_FORM, validity="Wet surface, wind 0.5 m above it; derived from a lake.")
def evaporation_by_pressure_kg_m2_h(*, concrete_temp_c: float, air_temp_c: float, rel_humidity: float, wind_speed_m_s: float) -> float:
    r"""Rate of evaporation from the difference of vapour pressures, the older form.

    Parameters
    ----------
    concrete_temp_c, air_temp_c : float
        [°C]
    rel_humidity : float
        A fraction from 0 to 1. [-]
    wind_speed_m_s : float
        [m/s]

    Returns
    -------
    float
        [kg/m²/h]

    Raises
    ------
    OutOfRange
        If the humidity is not a fraction from 0 to 1.

    Notes
    -----
    .. math:: W = 0.315\,(e_0 - r\,e_a)(0.253 + 0.060 V),\quad e\text{ in kPa}, V\text{ in km/h}
    """
    difference_pa = saturation_pressure_pa(temp_c=concrete_temp_c) - _fraction(rel_humidity) * saturation_pressure_pa(temp_c=air_temp_c)
    return 3600.0 * vapour_transfer_kg_pa_s_m2(wind_speed_m_s=wind_speed_m_s) * difference_pa
