"""The day of the pour as its studies share it: how long placing takes, how warm the concrete comes, what weather there is."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from slabwright.errors import MissingInput
from slabwright.model.supply import Crew, Mix, PlacingMethod, Plant
from slabwright.model.weather import Weather, WeatherKind
from slabwright.results.notes import Notes
from slabwright.sources import practice
from slabwright.units import CUBIC_YARD_M3, VOLUME_RATE, Family, format_quantity

Floats = NDArray[np.float64]
LEAST_AFTER_H = 30.0
"""Hours of weather that must follow the last concrete: through the night to 500 psi and the saw."""
WARMER_THAN_AIR_K = 3.0
HEATED_TO_C = 13.0
DELIVERED = practice("concrete comes 3 K warmer than the air, and heated to 13 °C (55 °F) at least")
_RATES: Mapping[PlacingMethod, float] = MappingProxyType(
    {
        PlacingMethod.CHUTE: 25.0,
        PlacingMethod.LINE_PUMP: 20.0,
        PlacingMethod.BOOM_PUMP: 40.0,
        PlacingMethod.CONVEYOR: 25.0,
        PlacingMethod.BUGGY: 10.0,
    }
)
PLACING_RATES = practice("placing, yd³/h: chute 25, line pump 20, boom pump 40, conveyor 25, buggies 10")


def weather_of(weather: Weather | None) -> Weather:
    """The job's weather, or what to supply.

    Raises
    ------
    MissingInput
        If there is none, or it ends before the saw has cut.
    """
    if weather is None:
        raise MissingInput(
            "the job has no weather; put weather.csv beside the job file (hour, air, rh, wind, with units in the headings), "
            "or a forecast as weather.json or weather.epw."
        )
    if weather.hours.n_hours < 24 + LEAST_AFTER_H:
        raise MissingInput(
            f"the weather ends on {weather.end:%d %B at %H:%M}, before the saw would be through; supply at least {24 + LEAST_AFTER_H:.0f} "
            "hours from the day before the pour."
        )
    return weather


def placing_hours(volume_m3: float, crew: Crew, plant: Plant, notes: Notes, family: Family) -> float:
    """Hours from the first concrete to the last. [h]"""
    rates = [rate for rate in (crew.placing_rate_m3_h, plant.placing_rate_m3_h) if rate]
    if not rates:
        rates = [_RATES[plant.method] * CUBIC_YARD_M3]
        shown = format_quantity(rates[0], VOLUME_RATE, family, digits=2)
        notes.assume("crew.placing_rate", f"placing by {plant.method.value} at {shown}", PLACING_RATES)
    return volume_m3 / min(rates)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Delivered:
    """How warm the concrete comes, by the hour of the weather. [°C]"""

    temps_c: Floats

    def at(self, hour: float) -> float:
        """At an hour. [°C]"""
        return float(np.interp(hour, np.arange(self.temps_c.size), self.temps_c))

    def cooler(self, by_k: float) -> "Delivered":
        """Concrete ordered cooler."""
        return Delivered(temps_c=self.temps_c - by_k)


def delivered(weather: Weather, mix: Mix, notes: Notes) -> Delivered:
    """Temperature of the concrete by hour: from the weather table, the mix, or the air."""
    if weather.hours.concrete_temp_c is not None:
        return Delivered(temps_c=np.array(weather.hours.concrete_temp_c))
    if mix.placing_temp_c is not None:
        return Delivered(temps_c=np.full(weather.hours.n_hours, mix.placing_temp_c))
    notes.assume("mix.placing_temp", "concrete comes 3 K (5 °F) warmer than the air, 13 °C (55 °F) at least", DELIVERED)
    return Delivered(temps_c=np.maximum(np.array(weather.hours.air_temp_c) + WARMER_THAN_AIR_K, HEATED_TO_C))


def start_hours(weather: Weather, placing_h: float) -> range:
    """Hours of the weather at which a pour may be looked at: one day of a typical day, the days a forecast covers."""
    last = weather.hours.n_hours - int(np.ceil(placing_h + LEAST_AFTER_H))
    first = 24 if weather.kind is WeatherKind.TYPICAL_DAY else 0
    if weather.kind is WeatherKind.FORECAST and weather.issued is not None:
        first = max(first, int(np.ceil(weather.hour_of(weather.issued))))
    most = 24 if weather.kind is WeatherKind.TYPICAL_DAY else 120
    found = range(first, min(last, first + most))
    if not found:
        raise MissingInput(
            f"the weather ends on {weather.end:%d %B at %H:%M}; {LEAST_AFTER_H:.0f} hours are needed after the last concrete, "
            f"which comes {placing_h:.1f} hours after the first."
        )
    return found


def say_weather(weather: Weather, notes: Notes) -> None:
    """Repeat what was assumed or repaired when the weather was read."""
    for statement in weather.statements:
        where, _, what = statement.partition(": ")
        notes.assume(f"weather, {where}", what.rstrip("."), practice("as read from the file"))
