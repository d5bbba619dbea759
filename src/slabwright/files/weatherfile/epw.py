"""Weather from an EnergyPlus weather file: a typical or recorded year by the hour."""

from datetime import datetime, timedelta, timezone

from slabwright.files.weatherfile.raw import Cells, Raw, recentred
from slabwright.model.weather import WeatherKind

N_HEADER = 8
# column: name, missing from this value on, factor
_COLUMNS = {
    6: ("air_temp_c", 99.9, 1.0),
    7: ("dew_point_c", 99.9, 1.0),
    8: ("rel_humidity", 999.0, 0.01),
    13: ("sun_w_m2", 9999.0, 1.0),
    21: ("wind_speed_m_s", 999.0, 1.0),
    22: ("cloud", 99.0, 0.1),
    33: ("rain_m", 999.0, 0.001),
}


def is_epw(text: str) -> bool:
    """True where a file begins as this format does."""
    return text.startswith("LOCATION,")


def read_epw(source: str, text: str) -> Raw:
    """Raw columns; months of a typical year come from different years and are joined into one.

    Hours run 1 to 24 and stand for the hour before them, in standard time. Radiation is a mean over that hour and is moved to
    the hour's end, temperature is taken at it.
    """
    lines = text.splitlines()
    head = lines[0].split(",")
    raw = Raw(
        source=source, told=f"weather year, {head[1].strip() or 'unnamed station'}", kind=WeatherKind.TYPICAL_YEAR, times=[], columns={}
    )
    try:
        zone = timezone(timedelta(hours=float(head[8])))
    except (IndexError, ValueError):
        raw.refuse("LOCATION", "needs ten fields with the hours from universal time in the ninth.", 1)
        return raw
    rows = [(number, line.split(",")) for number, line in enumerate(lines[N_HEADER:], start=N_HEADER + 1) if line.strip()]
    if len({row[0] for _, row in rows}) == 1:
        raw.kind = WeatherKind.RECORD
    columns: dict[str, Cells] = {name: [] for name, _, _ in _COLUMNS.values()}
    year = int(rows[0][1][0]) if raw.kind is WeatherKind.RECORD else 2001
    for number, row in rows:
        try:
            month, day, hour = int(row[1]), int(row[2]), int(row[3])
            if (month, day) == (2, 29) and raw.kind is WeatherKind.TYPICAL_YEAR:
                continue
            raw.times.append(datetime(year, month, day, tzinfo=zone) + timedelta(hours=hour))
            for at, (name, missing, factor) in _COLUMNS.items():
                value = float(row[at]) if at < len(row) and row[at].strip() else missing
                columns[name].append(None if value >= missing else value * factor)
        except (ValueError, IndexError):
            raw.refuse("row", "is no row of this format: year, month, day, hour, minute, flags, then numbers.", number)
            return raw
        raw.lines.append(number)
    columns["sun_w_m2"] = recentred(columns["sun_w_m2"])
    raw.columns = {name: cells for name, cells in columns.items() if any(cell is not None for cell in cells)}
    return raw
