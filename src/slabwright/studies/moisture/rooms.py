"""Air over the floor through a year: under an open roof, in a closed unheated building, in a heated one."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slabwright.early_age.drivers import Drivers
from slabwright.model.job import Enclosure
from slabwright.sources import practice
from slabwright.standards.sky_and_sun import radiant_film_w_m2k

Floats = NDArray[np.float64]
HEATED_C = 20.0
INDOOR_FILM_W_M2K = 3.0
LAG_H = {Enclosure.OPEN: 0.0, Enclosure.ENCLOSED: 6.0, Enclosure.HEATED: 6.0}
GAIN_PA = 270.0
ROOMS = practice(
    "open roof: outside air, no sun on the floor; closed without heat: outside air lagging 6 h; heated: 20 °C at least, vapour up to "
    "270 Pa above outside in the cold"
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Room:
    """Air over the floor by the hour; arrays (n_hours).

    Attributes
    ----------
    air_c, vapour_pa, dew_c : array
    film_w_m2k : array
        Between floor and room, long wave to its walls included. [W/m²K]
    """

    air_c: Floats
    vapour_pa: Floats
    dew_c: Floats
    film_w_m2k: Floats


def room(enclosure: Enclosure, drivers: Drivers) -> Room:
    """Air of a building from the weather outside it."""
    outside, vapour = drivers.air_c[0], drivers.vapour_pa[0]
    air, held = _lagging(outside, LAG_H[enclosure]), _lagging(vapour, LAG_H[enclosure])
    film = np.full(air.size, INDOOR_FILM_W_M2K)
    if enclosure is Enclosure.OPEN:
        film = drivers.film_w_m2k[0]
    if enclosure is Enclosure.HEATED:
        air = np.maximum(air, HEATED_C)
        held = held + GAIN_PA * np.clip((HEATED_C - outside) / HEATED_C, 0.0, 1.0)
    held = np.minimum(held, 611.2 * np.exp(17.62 * air / (243.12 + air)))
    radiant = np.array([radiant_film_w_m2k(emissivity=0.9, mean_temp_c=float(temp)) for temp in np.round(air)])
    x = np.log(held / 611.2)
    return Room(air_c=air, vapour_pa=held, dew_c=243.12 * x / (17.62 - x), film_w_m2k=film + radiant)


def _lagging(values: Floats, lag_h: float) -> Floats:
    """A first-order lag that has been running for a day before the year begins."""
    if lag_h <= 0.0:
        return values
    share, held = 1.0 - np.exp(-1.0 / lag_h), float(values[:24].mean())
    found = np.empty_like(values)
    for hour, value in enumerate(values):
        held += share * (value - held)
        found[hour] = held
    return found
