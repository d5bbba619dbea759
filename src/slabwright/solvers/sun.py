"""Where the sun stands: the low-precision formulas of the Astronomical Almanac, good to 0.01 degrees from 1950 to 2050."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
J2000_S = 946728000.0
"""Seconds from 1970 to noon of 1 January 2000, universal time."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SunPath:
    """Position of the sun at many moments.

    Attributes
    ----------
    elevation_rad : array
        Of the sun's centre above the horizon, without refraction. [rad]
    azimuth_rad : array
        From north through east. [rad]
    """

    elevation_rad: Floats
    azimuth_rad: Floats


def sun_path(times_s: ArrayLike, *, latitude_rad: float, longitude_rad: float) -> SunPath:
    """Position of the sun.

    Parameters
    ----------
    times_s : array
        Seconds from 1970, universal time.
    latitude_rad, longitude_rad : float
        North and east positive. [rad]

    Notes
    -----
    Mean longitude and anomaly, equation of the centre to two terms, obliquity, sidereal time, then the spherical triangle.

    References
    ----------
    The Astronomical Almanac, low-precision formulas for the sun; as restated in Solar Energy 40, 1988. Basis: from memory,
    held against an independent library in the tests.
    """
    days = (np.asarray(times_s, dtype=float) - J2000_S) / 86400.0
    longitude = np.radians((280.460 + 0.9856474 * days) % 360.0)
    anomaly = np.radians((357.528 + 0.9856003 * days) % 360.0)
    ecliptic = longitude + np.radians(1.915 * np.sin(anomaly) + 0.020 * np.sin(2.0 * anomaly))
    obliquity = np.radians(23.439 - 4e-7 * days)
    ascension = np.arctan2(np.cos(obliquity) * np.sin(ecliptic), np.cos(ecliptic))
    declination = np.arcsin(np.sin(obliquity) * np.sin(ecliptic))
    hour = ((days + 0.5) % 1.0) * 24.0
    sidereal_h = (6.697375 + 0.0657098242 * days + hour) % 24.0
    angle = np.radians(15.0 * sidereal_h) + longitude_rad - ascension
    sin_height = np.sin(declination) * np.sin(latitude_rad) + np.cos(declination) * np.cos(latitude_rad) * np.cos(angle)
    east = -np.cos(declination) * np.sin(angle)
    north = np.sin(declination) * np.cos(latitude_rad) - np.cos(declination) * np.sin(latitude_rad) * np.cos(angle)
    return SunPath(
        elevation_rad=np.arcsin(np.clip(sin_height, -1.0, 1.0)),
        azimuth_rad=np.arctan2(east, north) % (2.0 * np.pi),
    )
