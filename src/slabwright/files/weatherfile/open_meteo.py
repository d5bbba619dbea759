"""Weather from the JSON of an open forecast service: hourly arrays with their units, ensembles included."""

import re
from datetime import UTC, datetime, timedelta, timezone
from typing import Any

from slabwright.files.weatherfile.raw import Cells, Raw, recentred
from slabwright.model.weather import WeatherKind

_NAMES = {
    "temperature_2m": "air_temp_c", "dew_point_2m": "dew_point_c", "dewpoint_2m": "dew_point_c", "relative_humidity_2m": "rel_humidity",
    "relativehumidity_2m": "rel_humidity", "wind_speed_10m": "wind_speed_m_s", "windspeed_10m": "wind_speed_m_s", "cloud_cover": "cloud",
    "cloudcover": "cloud", "shortwave_radiation": "sun_w_m2", "precipitation": "rain_m", "precipitation_probability": "rain_chance",
}  # fmt: skip
_UNITS = {
    "°C": (1.0, 0.0), "°F": (5 / 9, -160 / 9), "%": (0.01, 0.0), "km/h": (1 / 3.6, 0.0), "m/s": (1.0, 0.0), "mp/h": (0.44704, 0.0),
    "mph": (0.44704, 0.0), "kn": (1852 / 3600, 0.0), "mm": (1e-3, 0.0), "inch": (0.0254, 0.0), "W/m²": (1.0, 0.0), "fraction": (1.0, 0.0),
}  # fmt: skip
_MEMBER = re.compile(r"^(?P<name>\w+?)_member(?P<number>\d+)$")


def is_open_meteo(document: dict[str, Any]) -> bool:
    """True for a document of this service."""
    return isinstance(document.get("hourly"), dict) and "time" in document["hourly"]


def read_open_meteo(source: str, document: dict[str, Any]) -> Raw:
    """Raw columns; names that end in ``_member01`` are further courses of an ensemble."""
    hourly, units = document["hourly"], document.get("hourly_units", {})
    raw = Raw(source=source, told="open forecast service", kind=WeatherKind.FORECAST, times=[], columns={}, clock_checked=True)
    zone = timezone(timedelta(seconds=float(document.get("utc_offset_seconds", 0))))
    for text in hourly["time"]:
        if isinstance(text, int | float):
            raw.times.append(datetime.fromtimestamp(float(text), UTC))
        else:
            moment = datetime.fromisoformat(str(text))
            raw.times.append((moment if moment.tzinfo else moment.replace(tzinfo=zone)).astimezone(UTC))
    members: dict[str, dict[str, Cells]] = {}
    for key, cells in hourly.items():
        match = _MEMBER.match(key)
        name = _NAMES.get(match["name"] if match else key)
        if name is None:
            continue
        unit = str(units.get(key, ""))
        if unit not in _UNITS:
            raw.refuse(key, f'has the unit "{unit}", which is not known here; ask the service for °C, m/s, mm.')
            continue
        factor, offset = _UNITS[unit]
        found: Cells = [None if cell is None else float(cell) * factor + offset for cell in cells]
        found = recentred(found) if name == "sun_w_m2" else found
        if match:
            members.setdefault(match["number"], {})[name] = found
        else:
            raw.columns[name] = found
    raw.members = [members[number] for number in sorted(members)]
    _trim(raw)
    return raw


def _trim(raw: Raw) -> None:
    """Cut hours at the end that have no air temperature yet."""
    air = raw.columns.get("air_temp_c") or []
    last = max((i for i, cell in enumerate(air) if cell is not None), default=len(raw.times) - 1)
    raw.times = raw.times[: last + 1]
    raw.columns = {name: cells[: last + 1] for name, cells in raw.columns.items()}
    raw.members = [{name: cells[: last + 1] for name, cells in member.items()} for member in raw.members]
