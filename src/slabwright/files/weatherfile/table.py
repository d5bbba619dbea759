"""Weather from a table: headings with units, times as dates or as hours of one day."""

import csv
import re
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from io import StringIO
from itertools import pairwise

from slabwright.files.weatherfile.raw import Cells, Raw, localised, zone_of
from slabwright.model.ground import Place
from slabwright.model.weather import WeatherKind
from slabwright.units import HEAT_FLUX, LENGTH, SPEED, TEMPERATURE, Dimension

_HEADING = re.compile(r"^\s*(?P<name>[^()\[\]]+?)\s*(?:[(\[]\s*(?P<unit>[^)\]]*)\s*[)\]])?\s*$")
_NAMES = {
    "air": "air_temp_c", "air temp": "air_temp_c", "air temperature": "air_temp_c", "temperature": "air_temp_c", "temp": "air_temp_c",
    "dew": "dew_point_c", "dew point": "dew_point_c", "rh": "rel_humidity", "humidity": "rel_humidity", "relative humidity": "rel_humidity",
    "wind": "wind_speed_m_s", "wind speed": "wind_speed_m_s", "cloud": "cloud", "cloud cover": "cloud", "sky cover": "cloud",
    "sun": "sun_w_m2", "solar": "sun_w_m2", "ghi": "sun_w_m2", "rain": "rain_m", "precipitation": "rain_m",
    "rain chance": "rain_chance", "chance of rain": "rain_chance", "concrete": "concrete_temp_c", "concrete temperature": "concrete_temp_c",
}  # fmt: skip
_TIMES = ("time", "date", "datetime", "hour")
_KINDS: dict[str, Dimension] = {
    "air_temp_c": TEMPERATURE, "dew_point_c": TEMPERATURE, "concrete_temp_c": TEMPERATURE, "wind_speed_m_s": SPEED, "sun_w_m2": HEAT_FLUX,
    "rain_m": LENGTH,
}  # fmt: skip
_SHARES = {"%": 0.01, "percent": 0.01, "per cent": 0.01, "tenths": 0.1, "oktas": 0.125, "fraction": 1.0, "-": 1.0, "": None}
TABLE_WIND_HEIGHT_M = 0.5
TYPICAL_DAYS = 7
UNDATED = date(2001, 3, 20)
"""Day that a table of hours without a date is taken to be: the sun of the equinox."""


def read_table(source: str, text: str, place: Place, day: date | None) -> Raw:
    """Raw columns of a table.

    The first row holds headings such as ``air (degF)``, ``rh (%)``, ``wind (mph)``; the time stands under ``time`` as
    ``2026-04-20 07:00`` with or without a zone, or under ``hour`` as the hour of one typical day. A wind without a height
    in its heading, such as ``wind at 10 m (mph)``, is taken at the slab.
    """
    rows = [(number, row) for number, row in enumerate(csv.reader(StringIO(text)), start=1) if any(cell.strip() for cell in row)]
    raw = Raw(source=source, told=f"table {source}", kind=WeatherKind.FORECAST, times=[], columns={}, wind_height_m=TABLE_WIND_HEIGHT_M)
    rows = [(number, row) for number, row in rows if not row[0].lstrip().startswith("#")]
    if not rows:
        raw.refuse("table", "is empty; give headings and a row an hour.")
        return raw
    readers, time_at = _headings(raw, rows[0][1])
    if time_at is None:
        raw.refuse("time", "no column gives the time; head one with time or with hour.", rows[0][0])
        return raw
    columns: dict[str, Cells] = {name: [] for name, _ in readers.values()}
    times: list[str] = []
    for number, row in rows[1:]:
        raw.lines.append(number)
        times.append(row[time_at].strip() if time_at < len(row) else "")
        for at, (name, convert) in readers.items():
            columns[name].append(_cell(raw, row[at] if at < len(row) else "", convert, rows[0][1][at], number))
    raw.columns = columns
    _take_times(raw, times, rows[0][1][time_at].strip().lower(), place, day)
    return raw


def _headings(raw: Raw, headings: list[str]) -> tuple[dict[int, tuple[str, Callable[[float], float]]], int | None]:
    readers: dict[int, tuple[str, Callable[[float], float]]] = {}
    time_at = None
    for at, heading in enumerate(headings):
        match = _HEADING.match(heading.lower())
        original = _HEADING.match(heading)
        name = match["name"].replace("_", " ") if match else ""
        unit = (original["unit"] or "").strip() if original else ""
        if name in _TIMES:
            time_at = at
            continue
        height = re.fullmatch(r"(wind(?: speed)?) at (\d+(?:\.\d+)?) m", name)
        if height:
            name, raw.wind_height_m = height[1], float(height[2])
        column = _NAMES.get(name)
        if column is None:
            raw.warn(heading, f"is no column of weather and is passed over; columns are {', '.join(sorted(set(_NAMES)))}.", 1)
            continue
        convert = _converter(raw, column, unit, heading)
        if convert is not None:
            readers[at] = (column, convert)
    return readers, time_at


def _converter(raw: Raw, column: str, unit: str, heading: str) -> Callable[[float], float] | None:
    kind = _KINDS.get(column)
    if kind is None:
        if unit.lower() not in _SHARES:
            raw.refuse(heading, f'"{unit}" is no unit of a share; write {", ".join(name for name in _SHARES if name)}.', 1)
            return None
        factor = _SHARES[unit.lower()]
        return lambda value: value * (1.0 if factor is None else factor)
    if unit not in kind.units:
        raw.refuse(heading, f"needs its unit in the heading, for example ({kind.us}) or ({kind.si}).", 1)
        return None
    chosen = kind.units[unit]
    return lambda value: value * chosen.factor + chosen.offset


def _cell(raw: Raw, text: str, convert: Callable[[float], float], heading: str, line: int) -> float | None:
    text = text.strip()
    if not text or text.lower() in ("na", "nan", "null", "-", "—"):
        return None
    try:
        return convert(float(text))
    except ValueError:
        raw.refuse(heading, f'"{text}" is no number.', line)
        return None


def _take_times(raw: Raw, texts: list[str], heading: str, place: Place, day: date | None) -> None:
    hours = [_hour(text) for text in texts]
    if heading == "hour" and all(hour is not None for hour in hours):
        _take_hours(raw, [hour for hour in hours if hour is not None], place, day)
        return
    moments: list[datetime] = []
    for text, line in zip(texts, raw.lines, strict=True):
        try:
            moments.append(datetime.fromisoformat(text))
        except ValueError:
            raw.refuse("time", f'"{text}" is no time; write 2026-04-20 07:00, with or without a zone.', line)
            return
    zoned = [moment.tzinfo is not None for moment in moments]
    if any(zoned) and not all(zoned):
        raw.refuse(
            "time",
            "some times have a zone and some have none: local and universal time are mixed. Write one kind.",
            raw.lines[zoned.index(not zoned[0])],
        )
        return
    if zoned and zoned[0]:
        raw.times, raw.clock_checked = [moment.astimezone(UTC) for moment in moments], True
    elif moments:
        raw.times = localised(moments, zone_of(place))


def _hour(text: str) -> float | None:
    try:
        if ":" in text:
            hours, minutes = text.split(":")
            return int(hours) + int(minutes) / 60.0
        return float(text)
    except ValueError:
        return None


def _take_hours(raw: Raw, hours: list[float], place: Place, day: date | None) -> None:
    """Hours of one day, repeated from the day before it for a week: what a builder's table means."""
    if len(hours) < 3 or any(later <= earlier for earlier, later in pairwise(hours)) or hours[-1] - hours[0] > 24.0:
        raw.refuse("hour", "a typical day needs three or more rising hours within 24.", raw.lines[0] if raw.lines else None)
        return
    on = day or UNDATED
    midnight = datetime(on.year, on.month, on.day, tzinfo=zone_of(place))
    if hours[-1] - hours[0] == 24.0:
        hours = hours[:-1]
        raw.columns = {name: cells[:-1] for name, cells in raw.columns.items()}
    grid = [float(hour) for hour in range(24)]
    raw.columns = {name: _round_the_clock(hours, cells, grid) for name, cells in raw.columns.items()}
    raw.columns = {name: cells * TYPICAL_DAYS for name, cells in raw.columns.items()}
    first = (midnight - timedelta(days=1)).astimezone(UTC)
    raw.times = [(first + timedelta(hours=hour)).astimezone(midnight.tzinfo) for hour in range(24 * TYPICAL_DAYS)]
    raw.kind, raw.lines, raw.clock_checked = WeatherKind.TYPICAL_DAY, [], True
    raw.told = f"typical day, table {raw.source}"
    dated = f"{on:%d %B}" if day is not None else "the equinox, for want of a date"
    raw.statements.append(
        f"weather: {len(hours)} hours of one day, with straight lines between them and overnight, repeated; the sun is that of {dated}."
    )


def _round_the_clock(hours: list[float], cells: Cells, grid: list[float]) -> Cells:
    known = [(hour % 24.0, cell) for hour, cell in zip(hours, cells, strict=True) if cell is not None]
    if not known:
        return [None] * len(grid)
    known.sort()
    ring = [(known[-1][0] - 24.0, known[-1][1]), *known, (known[0][0] + 24.0, known[0][1])]
    found: Cells = []
    for hour in grid:
        k = max(i for i, (at, _) in enumerate(ring[:-1]) if at <= hour)
        (a, low), (b, high) = ring[k], ring[k + 1]
        found.append(low + (high - low) * (hour - a) / (b - a))
    return found
