"""Weather from the JSON of a national weather service: the gridpoint layers, or the hourly periods."""

import re
from datetime import UTC, datetime, timedelta
from typing import Any

from slabwright.files.weatherfile.judge import issued_from
from slabwright.files.weatherfile.raw import Cells, Raw
from slabwright.model.weather import WeatherKind
from slabwright.units import SPEED

_LAYERS = {
    "temperature": "air_temp_c", "dewpoint": "dew_point_c", "relativeHumidity": "rel_humidity", "windSpeed": "wind_speed_m_s",
    "skyCover": "cloud", "probabilityOfPrecipitation": "rain_chance", "quantitativePrecipitation": "rain_m",
}  # fmt: skip
_UNITS = {
    "degC": (1.0, 0.0), "degF": (5 / 9, -160 / 9), "percent": (0.01, 0.0), "km_h-1": (1 / 3.6, 0.0), "m_s-1": (1.0, 0.0), "mm": (1e-3, 0.0),
    "in": (0.0254, 0.0),
}  # fmt: skip
_SKY = (
    ("mostly cloudy", 0.75), ("partly", 0.5), ("mostly sunny", 0.25), ("mostly clear", 0.25), ("sunny", 0.06), ("clear", 0.06),
    ("rain", 1.0), ("shower", 0.9), ("storm", 0.9), ("drizzle", 1.0), ("snow", 1.0), ("cloudy", 0.94), ("overcast", 1.0), ("fog", 1.0),
)  # fmt: skip
_DURATION = re.compile(r"P(?:(\d+)D)?(?:T(?:(\d+)H)?(?:(\d+)M)?)?$")


def is_gridpoint(document: dict[str, Any]) -> bool:
    """True for the layers of a grid point."""
    return isinstance(document.get("properties"), dict) and isinstance(document["properties"].get("temperature"), dict)


def is_hourly(document: dict[str, Any]) -> bool:
    """True for the hourly periods."""
    return isinstance(document.get("properties"), dict) and isinstance(document["properties"].get("periods"), list)


def read_gridpoint(source: str, document: dict[str, Any]) -> Raw:
    """Raw columns of the layers; each value holds for the time its validity says, sums are shared out over it."""
    properties = document["properties"]
    raw = Raw(
        source=source, told="weather service, grid point", kind=WeatherKind.FORECAST, times=[], columns={}, clock_checked=True,
        issued=issued_from(properties.get("updateTime")),
    )  # fmt: skip
    layers: dict[str, dict[datetime, float]] = {}
    for layer, name in _LAYERS.items():
        found = properties.get(layer)
        if isinstance(found, dict) and found.get("values"):
            layers[name] = _expanded(raw, layer, name, found)
    if not layers.get("air_temp_c"):
        raw.refuse("temperature", "has no values; is this the answer for a grid point?")
        return raw
    raw.times = sorted(layers["air_temp_c"])
    raw.columns = {name: [values.get(time) for time in raw.times] for name, values in layers.items()}
    _trim(raw)
    return raw


def _expanded(raw: Raw, layer: str, name: str, found: dict[str, Any]) -> dict[datetime, float]:
    unit = str(found.get("uom", "")).rpartition(":")[2]
    if unit not in _UNITS:
        raw.refuse(layer, f'has the unit "{unit}", which is not known here.')
        return {}
    factor, offset = _UNITS[unit]
    values: dict[datetime, float] = {}
    for one in found["values"]:
        start, _, length = str(one["validTime"]).partition("/")
        hours = _hours_of(length)
        if one["value"] is None or not hours:
            continue
        value = float(one["value"]) * factor + offset
        share = value / hours if name == "rain_m" else value
        for hour in range(hours):
            values[datetime.fromisoformat(start).astimezone(UTC) + timedelta(hours=hour)] = share
    return values


def _hours_of(text: str) -> int:
    match = _DURATION.match(text)
    if match is None:
        return 0
    days, hours, minutes = (int(part or 0) for part in match.groups())
    return max(1, 24 * days + hours + (minutes >= 30)) if days or hours or minutes else 0


def _trim(raw: Raw) -> None:
    """Cut the end where a needed layer has run out; the service's layers end at different hours."""
    needed = [raw.columns[name] for name in ("air_temp_c", "wind_speed_m_s") if name in raw.columns]
    moist = [raw.columns[name] for name in ("dew_point_c", "rel_humidity") if name in raw.columns]
    if moist:
        needed.append([next((column[i] for column in moist if column[i] is not None), None) for i in range(len(raw.times))])
    last = min(max((i for i, cell in enumerate(column) if cell is not None), default=-1) for column in needed)
    raw.times = raw.times[: last + 1]
    raw.columns = {name: _held(cells[: last + 1], name) for name, cells in raw.columns.items()}


def _held(cells: Cells, name: str) -> Cells:
    """Rain and its chance are nought, and cloud stays, where their layers say nothing."""
    if name in ("rain_m", "rain_chance"):
        return [cell or 0.0 for cell in cells]
    if name == "cloud":
        kept: float | None = next((cell for cell in cells if cell is not None), None)
        filled: Cells = []
        for cell in cells:
            kept = cell if cell is not None else kept
            filled.append(kept)
        return filled
    return cells


def read_hourly(source: str, document: dict[str, Any]) -> Raw:
    """Raw columns of the hourly periods; cloud is read off the words of the sky."""
    properties = document["properties"]
    raw = Raw(
        source=source, told="weather service, hourly", kind=WeatherKind.FORECAST, times=[], columns={}, clock_checked=True,
        issued=issued_from(properties.get("updateTime") or properties.get("generatedAt")),
    )  # fmt: skip
    columns: dict[str, Cells] = {
        name: [] for name in ("air_temp_c", "dew_point_c", "rel_humidity", "wind_speed_m_s", "cloud", "rain_chance")
    }
    for number, period in enumerate(properties["periods"], start=1):
        try:
            raw.times.append(datetime.fromisoformat(period["startTime"]).astimezone(UTC))
            temp = float(period["temperature"])
        except (KeyError, TypeError, ValueError):
            raw.refuse(f"period {number}", "needs startTime and temperature.")
            return raw
        columns["air_temp_c"].append(temp if str(period.get("temperatureUnit", "F")).upper() == "C" else (temp - 32.0) / 1.8)
        columns["dew_point_c"].append(_measured(period.get("dewpoint")))
        columns["rel_humidity"].append(_measured(period.get("relativeHumidity"), 0.01))
        columns["wind_speed_m_s"].append(_wind(period.get("windSpeed")))
        columns["rain_chance"].append(_measured(period.get("probabilityOfPrecipitation"), 0.01) or 0.0)
        words = str(period.get("shortForecast", "")).lower()
        columns["cloud"].append(next((share for word, share in _SKY if word in words), None))
    raw.columns = {name: cells for name, cells in columns.items() if any(cell is not None for cell in cells)}
    return raw


def _measured(found: Any, plain: float = 1.0) -> float | None:
    if not isinstance(found, dict) or found.get("value") is None:
        return None
    factor, offset = _UNITS.get(str(found.get("unitCode", "")).rpartition(":")[2], (plain, 0.0))
    return float(found["value"]) * factor + offset


def _wind(found: Any) -> float | None:
    """``10 mph`` or ``5 to 10 mph``: the higher of the two."""
    if isinstance(found, dict):
        return _measured(found)
    match = re.fullmatch(r"(?:[\d.]+\s*to\s*)?([\d.]+)\s*(mph|km/h|m/s|kt|kn)", str(found or "").strip())
    return None if match is None else float(match[1]) * SPEED.units[match[2]].factor
