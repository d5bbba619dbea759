"""First and last light of a day where the job stands."""

import math
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from slabwright.model.ground import Place
from slabwright.solvers.sun import sun_path

DARK_RAD = math.radians(-0.833)
"""Height of the sun's centre at sunrise and sunset: its radius and the bending of light, by convention of almanacs. [rad]"""
_STEP_MIN = 2
_USUAL_LATITUDE_DEG = 40.0


@dataclass(frozen=True, slots=True)
class Daylight:
    """Sunrise and sunset as hours of the clock on site; nought and 24 where the sun does not set, alike where it does not rise. [h]"""

    first_h: float
    last_h: float


def sun_height_rad(times_s: NDArray[np.floating], place: Place, offset_h: float) -> NDArray[np.float64]:
    """Height of the sun at moments; without coordinates as at 40 degrees north on the clock's own meridian.

    Parameters
    ----------
    times_s : ndarray
        Seconds from 1970, universal time.
    place : Place
    offset_h : float
        Of the clock on site from universal time. [h]
    """
    latitude = _USUAL_LATITUDE_DEG if place.latitude_deg is None else place.latitude_deg
    longitude = 15.0 * offset_h if place.longitude_deg is None else place.longitude_deg
    return sun_path(times_s, latitude_rad=math.radians(latitude), longitude_rad=math.radians(longitude)).elevation_rad


def daylight(day: datetime, place: Place) -> Daylight:
    """Daylight of a day.

    Parameters
    ----------
    day : datetime
        Any moment of it, with its zone.
    place : Place
    """
    midnight = day.replace(hour=0, minute=0, second=0, microsecond=0)
    offset = midnight.utcoffset() or timedelta()
    hours = np.arange(0, 24 * 60 + 1, _STEP_MIN) / 60.0
    height = sun_height_rad(midnight.timestamp() + 3600.0 * hours, place, offset.total_seconds() / 3600.0)
    light = hours[height > DARK_RAD]
    if not light.size:
        return Daylight(12.0, 12.0)
    return Daylight(float(light[0]), float(light[-1]))
