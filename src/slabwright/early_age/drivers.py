"""Weather as what a surface meets: films, sky, sun and vapour by the hour, for one course of the weather or for many."""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from slabwright.early_age.daylight import sun_height_rad
from slabwright.model.ground import Place
from slabwright.model.weather import Hours, Weather, WeatherKind
from slabwright.solvers.heat.data import Kind, Outside
from slabwright.sources import practice
from slabwright.standards.aci_95_m34 import vapour_transfer_kg_pa_s_m2
from slabwright.standards.sky_and_sun import clear_sky_sun_w_m2, cloudy_sun_share, sky_temperature_c, surface_film_w_m2k
from slabwright.standards.wmo_8 import NEAR_SURFACE_M, saturation_pressure_pa, wind_at_height_m_s

Floats = NDArray[np.float64]
FORECAST_ERROR = practice(
    "error of a forecast: air 1.0 K growing by 0.45 K a day, dew point 1.2 K by 0.5 K, wind 25 % by 5 %, cloud 0.15 by 0.05, "
    "kept up over about 12 hours"
)
CORRELATION_H = 12.0
TYPICAL_DAY_LEAD_DAYS = 3.0
HOUR_S = 3600.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Drivers:
    """Courses of weather, arrays (n_courses, n_hours); the first course is the forecast itself.

    Attributes
    ----------
    air_c, dew_c, wind_m_s, sun_w_m2, cloud : array
        Wind close above the slab.
    film_w_m2k, sky_c, transfer_kg_pa_s_m2, vapour_pa : array
        What follows from them.
    elevation_rad : array (n_hours)
        Of the sun.
    """

    air_c: Floats
    dew_c: Floats
    wind_m_s: Floats
    sun_w_m2: Floats
    cloud: Floats
    film_w_m2k: Floats
    sky_c: Floats
    transfer_kg_pa_s_m2: Floats
    vapour_pa: Floats
    elevation_rad: Floats

    @property
    def n_courses(self) -> int:
        """Number of courses."""
        return int(self.air_c.shape[0])

    @property
    def n_hours(self) -> int:
        """Number of hours."""
        return int(self.air_c.shape[1])

    def outside(self, foot_c: float) -> Outside:
        """The march's tables, with the ground held at a temperature far below."""
        return Outside(
            HOUR_S, self.air_c, self.film_w_m2k, self.sky_c, self.sun_w_m2, self.transfer_kg_pa_s_m2, self.vapour_pa,
            np.full((self.n_courses, 1), foot_c), np.zeros((self.n_courses, 1)), Kind.EXCHANGE, Kind.HELD,
        )  # fmt: skip

    def at(self, name: str, hour: float, course: int = 0) -> float:
        """One driver at an hour, interpolated."""
        column = getattr(self, name)
        column = column if column.ndim == 1 else column[course]
        return float(np.interp(hour, np.arange(column.size), column))


def drivers(weather: Weather, place: Place, *, n_courses: int = 1, rng: np.random.Generator | None = None) -> Drivers:
    """Courses of weather around a forecast.

    Parameters
    ----------
    weather : Weather
    place : Place
        Where the sun is reckoned for; without coordinates it stands as at 40 degrees north on the clock's own meridian.
    n_courses : int
        Courses wanted; those of an ensemble are used in turn, otherwise the forecast is disturbed by an error that grows with
        its age.
    rng : numpy.random.Generator, optional
        Needed for more than one course.
    """
    path = _sun(weather, place)
    columns = _disturbed(weather, n_courses, rng) if n_courses > 1 else _columns([weather.hours], weather)
    clear = np.array([clear_sky_sun_w_m2(zenith_rad=math.pi / 2 - height) for height in path])
    share = _each(lambda cloud: cloudy_sun_share(cloud=cloud), columns["cloud"])
    if weather.hours.sun_w_m2 is None:
        sun = clear[None, :] * share
    else:
        own = _each(lambda cloud: cloudy_sun_share(cloud=cloud), columns["own_cloud"])
        sun = columns["sun"] * share / own
    air, dew, cloud, wind = columns["air"], columns["dew"], columns["cloud"], columns["wind"]
    sky = [sky_temperature_c(air_temp_c=a, dew_point_c=d, cloud=c) for a, d, c in zip(air.flat, dew.flat, cloud.flat, strict=True)]
    return Drivers(
        air_c=air,
        dew_c=dew,
        wind_m_s=wind,
        sun_w_m2=sun,
        cloud=cloud,
        film_w_m2k=_each(lambda v: surface_film_w_m2k(wind_speed_m_s=v), wind),
        sky_c=np.array(sky).reshape(air.shape),
        transfer_kg_pa_s_m2=_each(lambda v: vapour_transfer_kg_pa_s_m2(wind_speed_m_s=v), wind),
        vapour_pa=_each(lambda t: saturation_pressure_pa(temp_c=t), dew),
        elevation_rad=path,
    )


def _each(formula: Callable[[float], float], values: Floats) -> Floats:
    """A published formula over an array, once for every different value."""
    different, where = np.unique(values, return_inverse=True)
    return np.array([formula(float(value)) for value in different])[where].reshape(values.shape)


def _sun(weather: Weather, place: Place) -> Floats:
    offset = weather.start.utcoffset()
    offset_h = offset.total_seconds() / HOUR_S if offset is not None else 0.0
    return sun_height_rad(weather.start.timestamp() + HOUR_S * np.arange(weather.hours.n_hours), place, offset_h)


def _columns(courses: list[Hours], weather: Weather) -> dict[str, Floats]:
    wind = np.array([course.wind_speed_m_s for course in courses])
    if weather.wind_height_m > NEAR_SURFACE_M:
        wind = wind * wind_at_height_m_s(wind_speed_m_s=1.0, measured_at_m=weather.wind_height_m)
    cloud = np.array([course.cloud for course in courses])
    return {
        "air": np.array([course.air_temp_c for course in courses]),
        "dew": np.array([course.dew_point_c for course in courses]),
        "wind": wind,
        "cloud": cloud,
        "own_cloud": cloud,
        "sun": np.array([course.sun_w_m2 if course.sun_w_m2 is not None else (0.0,) * course.n_hours for course in courses]),
    }


def _disturbed(weather: Weather, n_courses: int, rng: np.random.Generator | None) -> dict[str, Floats]:
    if rng is None:
        raise ValueError("more than one course of weather needs a random generator.")
    if weather.members:
        ensemble = [weather.hours, *weather.members]
        filled = [replace(one, sun_w_m2=one.sun_w_m2 if weather.hours.sun_w_m2 is not None else None) for one in ensemble]
        return _columns([filled[number % len(filled)] for number in range(n_courses)], weather)
    columns = {name: np.repeat(column, n_courses, axis=0) for name, column in _columns([weather.hours], weather).items()}
    if weather.kind is WeatherKind.RECORD:
        return columns
    days = _lead_days(weather)
    noise = {name: _kept_up(rng, n_courses, weather.hours.n_hours) for name in ("air", "dew", "wind", "cloud")}
    for one in noise.values():
        one[0] = 0.0
    columns["air"] = columns["air"] + (1.0 + 0.45 * days) * noise["air"]
    columns["dew"] = np.minimum(columns["dew"] + (1.2 + 0.5 * days) * noise["dew"], columns["air"])
    columns["wind"] = columns["wind"] * np.exp((0.25 + 0.05 * days) * noise["wind"])
    columns["cloud"] = np.clip(columns["cloud"] + (0.15 + 0.05 * days) * noise["cloud"], 0.0, 1.0)
    return columns


def _lead_days(weather: Weather) -> Floats:
    if weather.kind is not WeatherKind.FORECAST:
        return np.full(weather.hours.n_hours, TYPICAL_DAY_LEAD_DAYS)
    begun = 0.0 if weather.issued is None else weather.hour_of(weather.issued)
    return np.clip((np.arange(weather.hours.n_hours) - begun) / 24.0, 0.0, 7.0)


def _kept_up(rng: np.random.Generator, n_courses: int, n_hours: int) -> Floats:
    """Unit normal errors that fade over the correlation time."""
    keep = math.exp(-1.0 / CORRELATION_H)
    fresh = rng.normal(size=(n_courses, n_hours))
    found = np.empty_like(fresh)
    found[:, 0] = fresh[:, 0]
    for hour in range(1, n_hours):
        found[:, hour] = keep * found[:, hour - 1] + math.sqrt(1.0 - keep * keep) * fresh[:, hour]
    return found
