"""What a weather file says, before it is judged: columns in SI with holes, and when each value holds."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

from slabwright.errors import Finding
from slabwright.model.ground import Place
from slabwright.model.weather import WeatherKind

Cells = list[float | None]
RAW_COLUMNS = (
    "air_temp_c", "dew_point_c", "rel_humidity", "wind_speed_m_s", "cloud", "sun_w_m2", "rain_m", "rain_chance", "concrete_temp_c",
)  # fmt: skip


@dataclass(slots=True, kw_only=True)
class Raw:
    """Columns of one file.

    Attributes
    ----------
    source : str
        Name of the file, as findings print it.
    told : str
        Where the weather comes from, as a person would say it.
    kind : WeatherKind
    times : list of datetime
        With their zone, as read.
    columns : dict
        Name to cells in SI, ``None`` where the file has none.
    members : list of dict
        Further courses with columns of their own; what they lack is the first course's.
    wind_height_m : float
    issued : datetime or None
    lines : list of int
        Line of each time, where the file has lines.
    findings : list of Finding
    statements : list of str
    clock_checked : bool
        True where the format itself states the zone of every time.
    """

    source: str
    told: str
    kind: WeatherKind
    times: list[datetime]
    columns: dict[str, Cells]
    members: list[dict[str, Cells]] = field(default_factory=list)
    wind_height_m: float = 10.0
    issued: datetime | None = None
    lines: list[int] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    statements: list[str] = field(default_factory=list)
    clock_checked: bool = False

    def refuse(self, where: str, message: str, line: int | None = None) -> None:
        """A finding that stops the reading."""
        self.findings.append(Finding(where=where, message=message, line=line))

    def warn(self, where: str, message: str, line: int | None = None) -> None:
        """A finding that lets the file be used."""
        self.findings.append(Finding(where=where, message=message, line=line, warning=True))

    def repair(self, where: str, message: str) -> None:
        """Say what was put right; the studies repeat it."""
        self.warn(where, message)
        self.statements.append(f"{where}: {message}")

    @property
    def stops(self) -> bool:
        """True where a finding stops the reading."""
        return any(not finding.warning for finding in self.findings)


def zone_of(place: Place) -> ZoneInfo | timezone:
    """The zone of a place: named in the job, else whole hours by longitude, else universal time."""
    if place.time_zone:
        return ZoneInfo(place.time_zone)
    return timezone(timedelta(hours=round((place.longitude_deg or 0.0) / 15.0)))


def localised(naive: Sequence[datetime], zone: ZoneInfo | timezone) -> list[datetime]:
    """Times on site with their zone; where the clock is set back the second of two equal hours is the later one."""
    found: list[datetime] = []
    for time in naive:
        one = time.replace(tzinfo=zone)
        if found and one.astimezone(UTC) <= found[-1].astimezone(UTC):
            later = one.replace(fold=1)
            one = later if later.astimezone(UTC) > found[-1].astimezone(UTC) else one
        found.append(one)
    return found


def recentred(means: Cells) -> Cells:
    """Means over the hour before each time, as values at the time: the mean of the hours before and after."""
    after = [*means[1:], means[-1]]
    return [a if b is None else b if a is None else 0.5 * (a + b) for a, b in zip(means, after, strict=True)]


def dew_points(columns: dict[str, Cells]) -> Cells:
    """Dew point from its own column, else from humidity."""
    from slabwright.standards.wmo_8 import dew_point_c

    air, dew, humidity = (columns.get(name) for name in ("air_temp_c", "dew_point_c", "rel_humidity"))
    found: Cells = []
    for i, temp in enumerate(air or []):
        own = dew[i] if dew else None
        share = humidity[i] if humidity else None
        if own is None and share is not None and temp is not None:
            own = dew_point_c(air_temp_c=temp, rel_humidity=max(share, 0.01))
        found.append(own)
    return found
