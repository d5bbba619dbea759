"""The clock of the pour day: how warm it is while placing, so how long a lift stays live, and when daylight ends."""

from dataclasses import dataclass
from datetime import datetime

from slabwright.early_age.daylight import Daylight, daylight
from slabwright.errors import MissingInput
from slabwright.model.ground import Place
from slabwright.model.weather import Weather
from slabwright.standards import placing_practice

MILD_C = 21.0
WORKING_H = (7.0, 15.0)
"""Hours of a usual working day, where nothing says when the pour starts. [h]"""
_FLOATING_H = 2.0
EARLIEST_H, LATEST_H = 4.0, 15.0
"""First and last hour of the clock that is tried as a start; a choice, no source. [h]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Clock:
    """Air of the day by the hour of the clock, and its daylight.

    Attributes
    ----------
    air_c : tuple of float
        From midnight, one an hour, on into the next day; one alone where no weather is known. [°C]
    light : Daylight or None
        None where no day is known.
    """

    air_c: tuple[float, ...]
    light: Daylight | None

    @classmethod
    def of(cls, weather: Weather | None, place: Place, day: datetime | None) -> "Clock":
        """The clock of a day of the weather: the one named, else the first with all of its working hours."""
        if weather is None:
            return cls(air_c=(MILD_C,), light=daylight(day, place) if day is not None else None)
        if day is None or not weather.start <= day <= weather.at(weather.hours.n_hours):
            first = next((hour for hour in range(weather.hours.n_hours) if weather.clock_h(hour) <= WORKING_H[0]), 0)
            day = weather.at(first)
        midnight = weather.hour_of(day.replace(hour=0, minute=0, second=0, microsecond=0))
        air, last = weather.hours.air_temp_c, weather.hours.n_hours - 1
        hours = [min(max(round(midnight + hour), 0), last) for hour in range(36)]
        return cls(air_c=tuple(float(air[hour]) for hour in hours), light=daylight(day, place))

    def air_over_c(self, start_h: float, length_h: float) -> float:
        """Mean air temperature over some hours from a start. [°C]"""
        last = len(self.air_c) - 1
        hours = range(min(int(start_h), last), min(int(start_h + max(length_h, 1.0)), last) + 1)
        return sum(self.air_c[hour] for hour in hours) / len(hours)

    def sets(self, start_h: float, length_h: float) -> bool:
        """Whether concrete placed from a start on sets in a useful time: not at or below freezing."""
        return self.air_over_c(start_h, length_h) > 0 and self.air_over_c(start_h + length_h, _FLOATING_H) > 0

    def starts(self, length_h: float) -> tuple[float, ...]:
        """Hours of the clock at which the first concrete may come: whole hours from first light on, above freezing. [h]

        Raises
        ------
        MissingInput
            If no hour is above freezing: there is no set time to plan by.
        """
        if len(self.air_c) == 1 and self.light is None:
            return (WORKING_H[0],)
        first = max(EARLIEST_H, self.light.first_h) if self.light is not None else WORKING_H[0]
        light = [float(hour) for hour in range(int(EARLIEST_H), int(LATEST_H) + 1) if hour >= first - 0.5] or [WORKING_H[0]]
        warm = tuple(hour for hour in light if self.sets(hour, length_h))
        if not warm:
            raise MissingInput("a warmer day: at or below freezing there is no set time to plan by; heat and cover, or wait.")
        return warm

    def knit_limit_h(self, start_h: float, length_h: float) -> float:
        """Age at which an edge lift can no longer be knitted, on the air of those hours. [h]"""
        return placing_practice.knit_limit_h(temp_c=self.air_over_c(start_h, length_h))

    def float_wait_h(self, start_h: float, length_h: float) -> float:
        """Wait from the last concrete to the float on it. [h]"""
        return placing_practice.wait_to_float_h(temp_c=self.air_over_c(start_h + length_h, _FLOATING_H))


def clock_text(hour_h: float) -> str:
    """An hour of the clock as people read it.

    >>> clock_text(7.5)
    '07:30'
    """
    minutes = round(60 * hour_h) % (24 * 60)
    return f"{minutes // 60:02d}:{minutes % 60:02d}"
