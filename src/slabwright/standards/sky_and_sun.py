"""Sky, sun and air at a flat surface: long wave, clear-sky radiation, clouds, films; one-formula papers together."""

import math

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.sources import Basis, Clause, Source, arithmetic
from slabwright.standards.heat_of_hydration import NISTIR_6551
from slabwright.units import HEAT_TRANSFER

NBSIR_83_2655 = Source(
    "NBSIR 83-2655", "Thermal Analysis Research Program Reference Manual, NBSIR 83-2655, 1983, with work of 1978 on sky emissivity"
)
SOLAR_ENERGY_32 = Source("Solar Energy 32", "Emissivity of clear skies, Solar Energy 32, 1984")
SWINBANK_1963 = Source(
    "Quarterly Journal RMS 89", "Long-wave radiation from clear skies, Quarterly Journal of the Royal Meteorological Society 89, 1963"
)
SAND2012_2389 = Source("SAND2012-2389", "Global Horizontal Irradiance Clear Sky Models, SAND2012-2389, 2012, on a model of 1945")
SOLAR_ENERGY_24 = Source(
    "Solar Energy 24", "Solar and terrestrial radiation dependent on the amount and type of cloud, Solar Energy 24, 1980"
)
HRB_168 = Source("HRB Bulletin 168", "Calculation of Maximum Pavement Temperatures from Weather Reports, HRB Bulletin 168, 1957")
PAVEMENT_HEAT = Source("pavement heat papers", "Published ranges for concrete surfaces in papers on heat in pavements")
SKY_EMISSIVITY = Clause(NBSIR_83_2655, "p. 21; cubic cloud term from memory", Basis.TEXT_SEEN)
SKY_TEMPERATURE = arithmetic("T = (radiation / sigma)^(1/4)")
SKY_1984 = Clause(SOLAR_ENERGY_32, "clear sky", Basis.TEXT_SEEN)
SKY_1963 = Clause(SWINBANK_1963, "0.0552 T^1.5", Basis.TEXT_SEEN)
CLEAR_SKY = Clause(SAND2012_2389, "1098 cos z exp(-0.059/cos z)", Basis.TEXT_SEEN)
CLOUDS = Clause(SOLAR_ENERGY_24, "1 - 0.75 N^3.4", Basis.MEMORY)
FILM = Clause(NISTIR_6551, "wind-speed correlation of 1924 and 1954; numbers from memory", Basis.TEXT_SEEN)
COMBINED_FILM = Clause(HRB_168, "eq. 2, exponent from memory", Basis.TEXT_SEEN)
SURFACES = Clause(PAVEMENT_HEAT, "absorptivity and emissivity of concrete", Basis.MEMORY)

STEFAN_BOLTZMANN_W_M2K4 = 5.6697e-8
ABSORPTIVITY_GREY, ABSORPTIVITY_WHITE, EMISSIVITY = 0.60, 0.40, 0.90
"""Of grey concrete (0.55 to 0.65), of white-pigmented curing compound (0.35 to 0.45), of either for long wave (0.88 to 0.95)."""


@published("sky-emissivity", SKY_EMISSIVITY)
def sky_emissivity(*, dew_point_c: float, cloud: float = 0.0) -> float:
    r"""Emissivity of the sky.

    Parameters
    ----------
    dew_point_c : float
        Of the air near the ground. [°C]
    cloud : float
        Fraction of the sky covered. [-]

    Returns
    -------
    float
        [-]

    Raises
    ------
    OutOfRange
        If the cloud is not a fraction from 0 to 1.

    Notes
    -----
    .. math:: \varepsilon = [0.787 + 0.764\ln(T_d/273)]\,[1 + 0.0224N - 0.0035N^2 + 0.00028N^3],\ N\text{ in tenths}
    """
    if not 0.0 <= cloud <= 1.0:
        raise OutOfRange(f"cloud must be a fraction from 0 to 1 (got {cloud!r}); divide tenths by 10.")
    n = 10.0 * cloud
    clear = 0.787 + 0.764 * math.log((dew_point_c + 273.15) / 273.0)
    return min(1.0, clear * (1.0 + 0.0224 * n - 0.0035 * n**2 + 0.00028 * n**3))


@published("sky-temperature", SKY_EMISSIVITY, validity="The formulas for clear skies spread over about 2 K.")
def sky_temperature_c(*, air_temp_c: float, dew_point_c: float, cloud: float = 0.0) -> float:
    """Temperature of a black sky that sends down as much long wave.

    Parameters
    ----------
    air_temp_c, dew_point_c : float
        Near the ground. [°C]
    cloud : float
        Fraction of the sky covered. [-]

    Returns
    -------
    float
        [°C]

    Raises
    ------
    OutOfRange
        If the cloud is not a fraction from 0 to 1.
    """
    return (air_temp_c + 273.15) * math.pow(sky_emissivity(dew_point_c=dew_point_c, cloud=cloud), 0.25) - 273.15


def sky_radiation_w_m2(*, air_temp_c: float, dew_point_c: float, cloud: float = 0.0) -> float:
    """Long wave from the sky onto flat ground. [W/m²]"""
    return sky_emissivity(dew_point_c=dew_point_c, cloud=cloud) * STEFAN_BOLTZMANN_W_M2K4 * math.pow(air_temp_c + 273.15, 4)


def radiant_temperature_c(*, radiation_w_m2: float) -> float:
    """Temperature of a black body that sends out this radiation. [°C]"""
    return math.pow(radiation_w_m2 / STEFAN_BOLTZMANN_W_M2K4, 0.25) - 273.15


@published("sky-temperature-hourly", SKY_1984, validity="Clear sky.")
def sky_temperature_hourly_c(*, air_temp_c: float, dew_point_c: float, hour_h: float) -> float:
    """Temperature of a clear sky with its swing over the day.

    Parameters
    ----------
    air_temp_c, dew_point_c : float
        [°C]
    hour_h : float
        From midnight. [h]

    Returns
    -------
    float
        [°C]
    """
    swing = 0.013 * math.cos(math.radians(15.0 * hour_h))
    return (air_temp_c + 273.15) * math.pow(0.711 + 0.0056 * dew_point_c + 0.000073 * dew_point_c**2 + swing, 0.25) - 273.15


@published("sky-temperature-dry", SKY_1963, validity="Clear sky, from air temperature alone.")
def sky_temperature_dry_c(*, air_temp_c: float) -> float:
    """Temperature of a clear sky where only the air temperature is known.

    Parameters
    ----------
    air_temp_c : float
        [°C]

    Returns
    -------
    float
        [°C]
    """
    return 0.0552 * math.pow(air_temp_c + 273.15, 1.5) - 273.15


@published("clear-sky-sun", CLEAR_SKY)
def clear_sky_sun_w_m2(*, zenith_rad: float) -> float:
    r"""Sun on flat ground under a clear sky.

    Parameters
    ----------
    zenith_rad : float
        Angle of the sun from the vertical. [rad]

    Returns
    -------
    float
        [W/m²]

    Notes
    -----
    .. math:: G = 1098 \cos z\,\exp(-0.059/\cos z)
    """
    height = math.cos(zenith_rad)
    return 1098.0 * height * math.exp(-0.059 / height) if height > 1e-3 else 0.0


@published("cloudy-sun-share", CLOUDS)
def cloudy_sun_share(*, cloud: float) -> float:
    """Sun under clouds over that under a clear sky.

    Parameters
    ----------
    cloud : float
        Fraction of the sky covered. [-]

    Returns
    -------
    float
        [-]

    Raises
    ------
    OutOfRange
        If the cloud is not a fraction from 0 to 1.
    """
    if not 0.0 <= cloud <= 1.0:
        raise OutOfRange(f"cloud must be a fraction from 0 to 1 (got {cloud!r}); divide tenths by 10.")
    return 1.0 - 0.75 * math.pow(cloud, 3.4)


@published("surface-film", FILM)
def surface_film_w_m2k(*, wind_speed_m_s: float) -> float:
    """Convection from a flat surface in wind, without radiation.

    Parameters
    ----------
    wind_speed_m_s : float
        [m/s]

    Returns
    -------
    float
        [W/m²K]

    Raises
    ------
    OutOfRange
        For a wind below nought.
    """
    if wind_speed_m_s < 0:
        raise OutOfRange("a wind cannot be below nought.")
    return 5.6 + 4.0 * wind_speed_m_s if wind_speed_m_s <= 5.0 else 7.2 * math.pow(wind_speed_m_s, 0.78)


@published("combined-film", COMBINED_FILM, validity="Contains average re-radiation: add no sky loss to it.")
def combined_film_w_m2k(*, wind_speed_m_s: float) -> float:
    """Convection and average re-radiation from a pavement together.

    Parameters
    ----------
    wind_speed_m_s : float
        [m/s]

    Returns
    -------
    float
        [W/m²K]
    """
    return (1.3 + 0.62 * math.pow(wind_speed_m_s / 0.44704, 0.75)) * HEAT_TRANSFER.units["Btu/h·ft2·°F"].factor


def radiant_film_w_m2k(*, emissivity: float, mean_temp_c: float) -> float:
    """Long-wave exchange near a mean temperature as a film, 4 eps sigma T^3. [W/m²K]"""
    return 4.0 * emissivity * STEFAN_BOLTZMANN_W_M2K4 * math.pow(mean_temp_c + 273.15, 3)
