"""Weather by the hour, forecast, recorded or typical, in SI."""

import hashlib
import struct
from dataclasses import dataclass, fields
from datetime import UTC, datetime, timedelta
from enum import Enum

from slabwright.errors import OutOfRange

Column = tuple[float, ...]


class WeatherKind(Enum):
    """What the hours stand for."""

    FORECAST = "forecast"
    RECORD = "record"
    TYPICAL_DAY = "typical day"
    TYPICAL_YEAR = "typical year"


@dataclass(frozen=True, slots=True, kw_only=True)
class Hours:
    """Columns of equal length, one value an hour.

    Attributes
    ----------
    air_temp_c, dew_point_c : tuple of float
        Beside the slab. [°C]
    wind_speed_m_s : tuple of float
        At the height that :class:`Weather` states. [m/s]
    cloud : tuple of float
        Fraction of the sky covered. [-]
    sun_w_m2 : tuple of float or None
        On flat ground; None where it is to be reckoned from sun and cloud. [W/m²]
    rain_m : tuple of float
        Depth of rain in the hour. [m]
    rain_chance : tuple of float or None
        Chance of rain in the hour, a fraction. [-]
    concrete_temp_c : tuple of float or None
        Of concrete delivered in that hour, where the supplier or experience states it. [°C]
    """

    air_temp_c: Column
    dew_point_c: Column
    wind_speed_m_s: Column
    cloud: Column
    sun_w_m2: Column | None = None
    rain_m: Column = ()
    rain_chance: Column | None = None
    concrete_temp_c: Column | None = None

    def __post_init__(self) -> None:
        lengths = {len(column) for name in self.columns() if (column := getattr(self, name))}
        if len(lengths) != 1:
            raise OutOfRange(f"columns of weather must be of one length (got {sorted(lengths)}).")

    @classmethod
    def columns(cls) -> tuple[str, ...]:
        """Names of the columns."""
        return tuple(one.name for one in fields(cls))

    @property
    def n_hours(self) -> int:
        """Number of hours."""
        return len(self.air_temp_c)


@dataclass(frozen=True, slots=True, kw_only=True)
class Weather:
    """Hours of weather from a start.

    Attributes
    ----------
    kind : WeatherKind
    start : datetime
        Of the first hour, with its zone; hours follow without a gap.
    hours : Hours
        The forecast, or what was recorded.
    members : tuple of Hours
        Other equally likely courses, where the source has them.
    source : str
        Where it comes from, as a person would say it.
    issued : datetime or None
        When a forecast was made; its error grows from there.
    wind_height_m : float
        Height above ground of the wind. [m]
    statements : tuple of str
        What was assumed or repaired when it was read.
    """

    kind: WeatherKind
    start: datetime
    hours: Hours
    members: tuple[Hours, ...] = ()
    source: str = ""
    issued: datetime | None = None
    wind_height_m: float = 10.0
    statements: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if self.start.tzinfo is None:
            raise OutOfRange("weather needs a start with its zone.")
        if any(member.n_hours != self.hours.n_hours for member in self.members):
            raise OutOfRange("every course of an ensemble must have as many hours as the first.")

    @property
    def end(self) -> datetime:
        """Moment of the last value."""
        return self.at(self.hours.n_hours - 1)

    def at(self, hour: float) -> datetime:
        """Moment so many hours after the start, in the zone of the start."""
        return (self.start.astimezone(UTC) + timedelta(hours=hour)).astimezone(self.start.tzinfo)

    def hour_of(self, moment: datetime) -> float:
        """Hours from the start to a moment."""
        return (moment.timestamp() - self.start.timestamp()) / 3600.0

    def clock_h(self, hour: float) -> float:
        """Hour of the day on site, 0 to 24, so many hours after the start."""
        moment = self.at(hour)
        return moment.hour + moment.minute / 60.0 + moment.second / 3600.0

    @property
    def digest(self) -> str:
        """Short hash of everything in it."""
        found = hashlib.sha256(f"{self.kind.value}|{self.start.isoformat()}|{self.wind_height_m}|{self.issued}|{self.statements}".encode())
        for hours in (self.hours, *self.members):
            for name in Hours.columns():
                column = getattr(hours, name)
                found.update(name.encode() if column is None else struct.pack(f"{len(column)}d", *column))
        return found.hexdigest()[:16]
