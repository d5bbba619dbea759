"""Every hour of the coming days as the start of the pour: what the concrete meets, and what speaks against the hour."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from slabwright.early_age.concrete import Concrete
from slabwright.early_age.daylight import DARK_RAD
from slabwright.early_age.drivers import Drivers
from slabwright.early_age.pour import Delivered
from slabwright.early_age.simulate import BARE, COMPOUND_AT_SET, History, Scatter, simulate
from slabwright.early_age.zones import Ground, Zone
from slabwright.model.weather import Weather
from slabwright.sources import practice
from slabwright.standards.aci_95_m34 import evaporation_rate_kg_m2_h
from slabwright.standards.cold_weather import FREEZE_SAFE_PA, coldest_concrete_c
from slabwright.standards.fhwa_hrt_05_038 import bleed_limit_kg_m2_h
from slabwright.standards.hot_weather import HOTTEST_CONCRETE_C
from slabwright.standards.wmo_8 import saturation_pressure_pa

Floats = NDArray[np.float64]
LOOKED_AT_H, FLOATED_BY_H = 30.0, 18.0
"""Hours that the last and the first concrete of a start are followed. [h]"""
RAIN_CHANCE, FREEZE_CHANCE = 0.30, 0.05
RAINS_M = 0.25e-3
WINDY_M_S = 11.0
RAIN_LIMIT = practice("no start with rain likelier than 30 % before the floor has set, unless covers lie ready")
FREEZE_LIMIT = practice("no start with a chance above 5 % of freezing before 500 psi, unless blankets lie ready")
WIND_LIMIT = practice("above 25 mph (11 m/s) at the slab sheets, booms and finishing are not safe; the pump's own limit decides")


class Trouble(Enum):
    """What speaks against an hour, as it ends the sentence "then it would be"."""

    EVAPORATION = "drying faster than it bleeds"
    HOT = "too hot as it comes"
    COLD = "too cold as it comes"
    FROZEN_BASE = "on a frozen base"
    RAIN = "rained on before set"
    FREEZING = "freezing before it has any strength"
    WIND = "too windy"


@dataclass(frozen=True, slots=True, kw_only=True)
class StartHour:
    """A pour that starts at an hour.

    Attributes
    ----------
    hour : float
        Of the weather; a whole one but for the crew's own start. [h]
    evaporation_kg_m2_h : float
        Highest from the first concrete to the last trowel. [kg/m²/h]
    worst_hour : float
        When that is. [h]
    warmest_c, coldest_c : float
        Concrete as placed. [°C]
    base_c : float
        Coldest face of the base while placing. [°C]
    rain_chance, freeze_chance : float
        Before final set of the last concrete; before 500 psi. [-]
    wind_m_s : float
        Strongest while placing and finishing. [m/s]
    float_h, done_h : float
        After the start: float on the first concrete, final set of the last. [h]
    dark_h : float
        Hours of placing and finishing without daylight. [h]
    troubles : tuple of Trouble
    """

    hour: float
    evaporation_kg_m2_h: float
    worst_hour: float
    warmest_c: float
    coldest_c: float
    base_c: float
    rain_chance: float
    freeze_chance: float
    wind_m_s: float
    float_h: float
    done_h: float
    dark_h: float
    troubles: tuple[Trouble, ...]

    @property
    def cost(self) -> tuple[int, float]:
        """Order of choice: fewest troubles, then slowest drying and least work in the dark."""
        return len(self.troubles), self.evaporation_kg_m2_h + 0.05 * self.dark_h


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Conditions:
    """What every start shares."""

    weather: Weather
    drivers: Drivers
    ground: Ground
    concrete: Concrete
    delivered: Delivered
    floor: Zone
    placing_h: float

    @property
    def limit_kg_m2_h(self) -> float:
        """Evaporation that calls for precautions. [kg/m²/h]"""
        return bleed_limit_kg_m2_h(bleed=self.concrete.bleed)

    def evaporation_kg_m2_h(self, hour: float, *, humidity: float | None = None, wind: float = 1.0, cooler_k: float = 0.0) -> float:
        """Evaporation from fresh concrete at an hour, with measures if any; dew counts as none. [kg/m²/h]"""
        air = self.drivers.at("air_c", hour)
        share = saturation_pressure_pa(temp_c=self.drivers.at("dew_c", hour)) / saturation_pressure_pa(temp_c=air)
        rate = evaporation_rate_kg_m2_h(
            concrete_temp_c=self.delivered.at(hour) - cooler_k,
            air_temp_c=max(air, -17.0),
            rel_humidity=min(1.0, share if humidity is None else max(share, humidity)),
            wind_speed_m_s=wind * self.drivers.at("wind_m_s", hour),
        )
        return max(0.0, rate)


def judge(conditions: Conditions, hours: Sequence[float], *, n_members: int, rng: np.random.Generator) -> tuple[StartHour, ...]:
    """Simulate first and last concrete of every start and judge it.

    Parameters
    ----------
    conditions : Conditions
    hours : sequence of float
        Start hours of the weather.
    n_members : int
        Members of each start.
    rng : numpy.random.Generator
    """
    starts = np.repeat(np.array(hours, dtype=float), n_members)
    first = _carried(conditions, starts, n_members, rng, FLOATED_BY_H)
    last = _carried(conditions, starts + conditions.placing_h, n_members, rng, LOOKED_AT_H)
    shape = (len(hours), n_members)
    float_h = np.nanmedian(np.where(np.isnan(first.initial_set_h), FLOATED_BY_H, first.initial_set_h).reshape(shape), axis=1)
    set_h = np.nanmedian(np.where(np.isnan(last.final_set_h), LOOKED_AT_H, last.final_set_h).reshape(shape), axis=1)
    green = (last.top_c < 0.0) & (last.top_strength_pa < FREEZE_SAFE_PA)
    freezes = green.any(axis=1).reshape(shape).mean(axis=1)
    return tuple(
        _judged(conditions, hour, float(float_h[i]), conditions.placing_h + float(set_h[i]), float(freezes[i]))
        for i, hour in enumerate(hours)
    )


def _carried(conditions: Conditions, placed_h: Floats, n_members: int, rng: np.random.Generator, hours: float) -> History:
    """Floor concrete placed at many hours; the same members at every start, so that starts are compared and not luck."""
    n_starts = placed_h.size // n_members
    one = Scatter.drawn(n_members, rng)
    scatter = Scatter(**{name: np.tile(getattr(one, name), n_starts) for name in Scatter.__slots__})
    courses = np.tile(np.arange(n_members) % conditions.drivers.n_courses, n_starts)
    return simulate(
        conditions.floor, conditions.concrete, conditions.drivers, conditions.ground, placed_h=placed_h,
        concrete_c=np.array([conditions.delivered.at(hour) for hour in placed_h]), scatter=scatter, courses=courses,
        covers=(BARE, COMPOUND_AT_SET), hours=hours, step_s=1200.0, every=3, n_cells=8,
    )  # fmt: skip


def _judged(conditions: Conditions, hour: float, float_h: float, done_h: float, freeze_chance: float) -> StartHour:
    until = hour + done_h
    exposed = np.arange(hour, until + 0.01, 1.0)
    rates = [conditions.evaporation_kg_m2_h(float(at)) for at in exposed]
    worst = int(np.argmax(rates))
    placing = np.append(np.arange(hour, hour + conditions.placing_h, 1.0), hour + conditions.placing_h)
    temps = [conditions.delivered.at(float(at)) for at in placing]
    elevation = [conditions.drivers.at("elevation_rad", float(at)) for at in exposed]
    found = StartHour(
        hour=hour,
        evaporation_kg_m2_h=rates[worst],
        worst_hour=float(exposed[worst]),
        warmest_c=max(temps),
        coldest_c=min(temps),
        base_c=min(conditions.ground.surface_c(float(at)) for at in placing),
        rain_chance=_rain(conditions.weather, hour, until),
        freeze_chance=freeze_chance,
        wind_m_s=max(conditions.drivers.at("wind_m_s", float(at)) for at in exposed),
        float_h=float_h,
        done_h=done_h,
        dark_h=float(sum(height < DARK_RAD for height in elevation)),
        troubles=(),
    )
    return _with_troubles(found, conditions)


def _rain(weather: Weather, start: float, end: float) -> float:
    """Chance of rain between two hours: the highest of its hours, since hours of one shower go together."""
    hours = range(int(start), min(math.ceil(end) + 1, weather.hours.n_hours))
    if weather.hours.rain_chance is not None:
        return max(weather.hours.rain_chance[hour] for hour in hours)
    return 1.0 if any(weather.hours.rain_m[hour] > RAINS_M for hour in hours) else 0.0


def _with_troubles(start: StartHour, conditions: Conditions) -> StartHour:
    speaks = {
        Trouble.EVAPORATION: start.evaporation_kg_m2_h > conditions.limit_kg_m2_h,
        Trouble.HOT: start.warmest_c > HOTTEST_CONCRETE_C,
        Trouble.COLD: start.coldest_c < coldest_concrete_c(least_dimension_m=conditions.floor.depth_m) - 1e-6,
        Trouble.FROZEN_BASE: start.base_c <= 0.0,
        Trouble.RAIN: start.rain_chance > RAIN_CHANCE,
        Trouble.FREEZING: start.freeze_chance > FREEZE_CHANCE,
        Trouble.WIND: start.wind_m_s > WINDY_M_S,
    }
    return replace(start, troubles=tuple(trouble for trouble, here in speaks.items() if here))


def windows(starts: tuple[StartHour, ...]) -> tuple[tuple[StartHour, ...], ...]:
    """Runs of hours without trouble, the best first."""
    runs: list[list[StartHour]] = []
    for start in starts:
        if start.troubles:
            continue
        if runs and runs[-1][-1].hour == start.hour - 1:
            runs[-1].append(start)
        else:
            runs.append([start])
    return tuple(sorted((tuple(run) for run in runs), key=lambda run: min(one.cost for one in run)))
