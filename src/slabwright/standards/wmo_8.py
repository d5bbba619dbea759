"""WMO-No. 8, the guide to instruments: vapour in the air, and wind near the ground."""

import math

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.sources import Basis, Clause, Source

WMO_8 = Source("WMO-No. 8", "Guide to Instruments and Methods of Observation, WMO-No. 8")
MAGNUS = Clause(WMO_8, "saturation vapour pressure, 17.62 and 243.12 °C", Basis.TEXT_SEEN)
LOG_WIND = Clause(WMO_8, "wind profile over open grass, roughness 0.03 m", Basis.MEMORY)

NEAR_SURFACE_M = 0.5
MAST_M = 10.0
OPEN_GRASS_M = 0.03


@published("saturation-pressure", MAGNUS, validity="Over water.", limits={"temp_c": (-45.0, 60.0)})
def saturation_pressure_pa(*, temp_c: float) -> float:
    r"""Pressure of water vapour that the air can hold.

    Parameters
    ----------
    temp_c : float
        [°C]

    Returns
    -------
    float
        [Pa]

    Raises
    ------
    OutOfRange
        Below -100 °C.

    Notes
    -----
    .. math:: e_s = 6.112\,\exp\frac{17.62\,T}{243.12 + T}\ \text{hPa}
    """
    if temp_c < -100.0:
        raise OutOfRange(f"no vapour formula reaches {temp_c:g} °C.")
    return 611.2 * math.exp(17.62 * temp_c / (243.12 + temp_c))


@published("dew-point", MAGNUS, limits={"air_temp_c": (-40.0, 50.0)})
def dew_point_c(*, air_temp_c: float, rel_humidity: float) -> float:
    r"""Temperature at which air of this humidity sheds dew.

    Parameters
    ----------
    air_temp_c : float
        [°C]
    rel_humidity : float
        A fraction above 0 and up to 1. [-]

    Returns
    -------
    float
        [°C]

    Raises
    ------
    OutOfRange
        If the humidity is not above 0 and up to 1.

    Notes
    -----
    .. math:: T_d = \frac{243.12\,g}{17.62 - g},\quad g = \frac{17.62\,T}{243.12 + T} + \ln r

    Examples
    --------
    >>> round(dew_point_c(air_temp_c=20.0, rel_humidity=0.5), 2)
    9.26
    """
    if not 0.0 < rel_humidity <= 1.0:
        raise OutOfRange(f"rel_humidity must be a fraction above 0 and up to 1 (got {rel_humidity!r}); divide a percentage by 100.")
    g = 17.62 * air_temp_c / (243.12 + air_temp_c) + math.log(rel_humidity)
    return 243.12 * g / (17.62 - g)


@published("surface-humidity", MAGNUS)
def surface_humidity(*, surface_temp_c: float, air_temp_c: float, rel_humidity: float) -> float:
    """Relative humidity of room air where it touches a surface; above 1 the surface is wet.

    Parameters
    ----------
    surface_temp_c, air_temp_c : float
        [°C]
    rel_humidity : float
        Of the room air, a fraction. [-]

    Returns
    -------
    float
        [-]
    """
    return rel_humidity * saturation_pressure_pa(temp_c=air_temp_c) / saturation_pressure_pa(temp_c=surface_temp_c)


@published("wind-at-height", LOG_WIND)
def wind_at_height_m_s(
    *, wind_speed_m_s: float, measured_at_m: float = MAST_M, wanted_at_m: float = NEAR_SURFACE_M, roughness_m: float = OPEN_GRASS_M
) -> float:
    r"""Wind at another height over open ground.

    Parameters
    ----------
    wind_speed_m_s : float
        At the height it was measured. [m/s]
    measured_at_m, wanted_at_m : float
        Heights above ground. [m]
    roughness_m : float
        Of the ground; 0.03 m for open grass, a choice. [m]

    Returns
    -------
    float
        [m/s]

    Raises
    ------
    OutOfRange
        If a height is not above the roughness.

    Notes
    -----
    .. math:: V_2 = V_1 \ln(z_2/z_0) / \ln(z_1/z_0)
    """
    if not 0.0 < roughness_m < min(measured_at_m, wanted_at_m):
        raise OutOfRange("both heights must be above the roughness of the ground.")
    return wind_speed_m_s * math.log(wanted_at_m / roughness_m) / math.log(measured_at_m / roughness_m)
