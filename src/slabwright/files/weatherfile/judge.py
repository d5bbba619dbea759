"""Judging a weather file: wrong units, wrong clocks, gaps. What is certain is repaired and said; the rest is named."""

import math
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from statistics import median

from slabwright.errors import Finding, InputError
from slabwright.files.weatherfile.raw import Cells, Raw, dew_points, zone_of
from slabwright.model.ground import Place
from slabwright.model.weather import Column, Hours, Weather, WeatherKind

MOST_GAP_H = 3.0
HOTTEST_AIR_C, COLDEST_AIR_C = 58.0, -65.0
WARM_NIGHT_C = 38.0
HIGHEST_DEW_C = 36.0
STRONGEST_WIND_M_S, LIKELY_WIND_M_S = 50.0, 15.0
STRONGEST_SUN_W_M2 = 1400.0
HEAVIEST_RAIN_M = 0.2
UNKNOWN_CLOUD = 0.5


def judged(raw: Raw, place: Place) -> tuple[Weather, tuple[Finding, ...]]:
    """Weather from raw columns, and what was found.

    Raises
    ------
    InputError
        With everything that stops the reading, at once.
    """
    for columns in (raw.columns, *raw.members):
        _judge_humidity(raw, columns)
        _judge_temperatures(raw, columns)
        _judge_wind(raw, columns)
        _judge_rest(raw, columns)
    _judge_times(raw)
    if not raw.stops:
        _judge_clock(raw, place)
    if not raw.stops:
        weather = _gridded(raw, place)
        if not raw.stops:
            return weather, tuple(raw.findings)
    raise InputError(raw.source, [finding for finding in raw.findings if not finding.warning])


def _present(cells: Cells | None) -> list[float]:
    return [cell for cell in cells or [] if cell is not None]


def _changed(columns: dict[str, Cells], name: str, change: Callable[[float], float]) -> None:
    columns[name] = [None if cell is None else change(cell) for cell in columns[name]]


def _judge_humidity(raw: Raw, columns: dict[str, Cells]) -> None:
    found = _present(columns.get("rel_humidity"))
    if not found:
        return
    if max(found) <= 0.0105 and max(found) > 0.0:
        raw.repair(
            "humidity", "stands as a fraction where per cent is written; air of 1 % or less everywhere does not exist. Taken as a fraction."
        )
        _changed(columns, "rel_humidity", lambda x: 100.0 * x)
    elif max(found) > 1.5 and max(found) <= 105.0:
        raw.repair("humidity", "stands in per cent where a fraction is meant; divided by 100.")
        _changed(columns, "rel_humidity", lambda x: x / 100.0)
    found = _present(columns["rel_humidity"])
    if max(found) > 1.05 or min(found) < 0.0:
        raw.refuse("humidity", f"runs from {min(found):.2g} to {max(found):.2g}; write a fraction from 0 to 1 or per cent with its sign.")
    _changed(columns, "rel_humidity", lambda x: min(max(x, 0.01), 1.0))


def _judge_temperatures(raw: Raw, columns: dict[str, Cells]) -> None:
    for name, said, highest in (
        ("air_temp_c", "air temperature", HOTTEST_AIR_C),
        ("dew_point_c", "dew point", HIGHEST_DEW_C),
        ("concrete_temp_c", "concrete temperature", HOTTEST_AIR_C),
    ):
        found = _present(columns.get(name))
        if not found:
            continue
        as_f = [(value - 32.0) / 1.8 for value in found]
        if max(found) > highest and max(as_f) <= highest and min(as_f) >= COLDEST_AIR_C:
            raw.repair(said, f"reaches {max(found):.0f} °C, which does not occur, and reads well as °F; taken as °F.")
            _changed(columns, name, lambda value: (value - 32.0) / 1.8)
        elif max(found) > highest or min(found) < COLDEST_AIR_C:
            raw.refuse(said, f"runs from {min(found):.0f} to {max(found):.0f} °C, which does not occur; check its unit.")
        elif name == "air_temp_c" and len(found) >= 6 and min(found) > WARM_NIGHT_C:
            raw.warn(said, f"never falls below {min(found):.0f} °C; if the file is in °F, write so in its heading.")
    air, dew = columns.get("air_temp_c"), columns.get("dew_point_c")
    if air and dew:
        over = [d - a for a, d in zip(air, dew, strict=True) if a is not None and d is not None]
        if over and max(over) > 2.0:
            raw.refuse("dew point", f"stands up to {max(over):.0f} K above the air temperature, which does not occur; check both units.")


def _judge_wind(raw: Raw, columns: dict[str, Cells]) -> None:
    found = _present(columns.get("wind_speed_m_s"))
    if not found:
        return
    if min(found) < 0 or max(found) > STRONGEST_WIND_M_S:
        raw.refuse("wind", f"runs from {min(found):.0f} to {max(found):.0f} m/s, which does not occur; check its unit.")
    elif median(found) > LIKELY_WIND_M_S or max(found) > 2 * LIKELY_WIND_M_S:
        raw.warn(
            "wind",
            f"is {median(found):.0f} m/s at its median and {max(found):.0f} at its highest, a storm; "
            "if the file is in mph or km/h, write so in its heading.",
        )


def _judge_rest(raw: Raw, columns: dict[str, Cells]) -> None:
    sun, rain = _present(columns.get("sun_w_m2")), _present(columns.get("rain_m"))
    if sun and max(sun) > STRONGEST_SUN_W_M2:
        raw.refuse("sun", f"reaches {max(sun):.0f} W/m², more than arrives outside the air; check its unit.")
    if sun:
        _changed(columns, "sun_w_m2", lambda value: max(value, 0.0))
    if rain and (max(rain) > HEAVIEST_RAIN_M or min(rain) < 0):
        raw.refuse("rain", f"runs from {1e3 * min(rain):.0f} to {1e3 * max(rain):.0f} mm in an hour; check its unit.")
    for name, said in (("cloud", "cloud"), ("rain_chance", "chance of rain")):
        found = _present(columns.get(name))
        if found and not 0.0 <= min(found) <= max(found) <= 1.0 + 1e-9:
            raw.refuse(said, f"runs from {min(found):.2g} to {max(found):.2g}; write a fraction from 0 to 1 or per cent with its sign.")


def _line(raw: Raw, i: int) -> int | None:
    return raw.lines[i] if i < len(raw.lines) else None


def _judge_times(raw: Raw) -> None:
    """Times must rise; a step back is a mix of clocks or files."""
    if len(raw.times) < 2:
        raw.refuse("times", "there are fewer than two hours; a forecast needs at least the day of the pour and the night after it.")
        return
    for i, (earlier, later) in enumerate(pairwise(raw.times)):
        gap = (later.timestamp() - earlier.timestamp()) / 3600.0
        if gap <= 0:
            raw.refuse(
                "times",
                f"{later:%Y-%m-%d %H:%M} follows {earlier:%Y-%m-%d %H:%M}: the clock steps back. Are local and universal time mixed, "
                "or two files joined?",
                _line(raw, i + 1),
            )
            return
        if gap > MOST_GAP_H + 1e-6:
            raw.refuse(
                "times",
                f"nothing from {earlier:%Y-%m-%d %H:%M} to {later:%Y-%m-%d %H:%M}, {gap:.0f} hours; up to {MOST_GAP_H:.0f} are bridged. "
                "Supply the missing hours.",
                _line(raw, i + 1),
            )


def _judge_clock(raw: Raw, place: Place) -> None:
    """The sun tells the true time, else the warmest hour does."""
    sun = raw.columns.get("sun_w_m2")
    if sun and len(_present(sun)) >= 12:
        _judge_by_sun(raw, place, sun)
    elif not raw.clock_checked and len(raw.times) >= 12:
        _judge_by_warmth(raw)


def _judge_by_sun(raw: Raw, place: Place, sun: Cells) -> None:
    import numpy as np

    from slabwright.solvers.sun import sun_path

    if place.latitude_deg is None or place.longitude_deg is None:
        return
    moments = np.array([time.timestamp() for time in raw.times])
    shown = np.array([cell or 0.0 for cell in sun])
    if shown.max() < 50.0:
        return

    latitude, longitude = math.radians(place.latitude_deg), math.radians(place.longitude_deg)

    def likeness(shift_h: float) -> float:
        path = sun_path(moments + 3600.0 * shift_h, latitude_rad=latitude, longitude_rad=longitude)
        clear = np.maximum(np.sin(path.elevation_rad), 0.0)
        return float(clear @ shown / (np.linalg.norm(clear) * np.linalg.norm(shown) + 1e-12))

    shifts = np.arange(-12.0, 12.0, 0.25)
    scores = np.array([likeness(shift) for shift in shifts])
    best = float(shifts[scores.argmax()])
    if abs(best) < 1.25 or scores.max() < likeness(0.0) + 0.03:
        return
    offset = (raw.times[0].astimezone(zone_of(place)).utcoffset() or timedelta(0)).total_seconds() / 3600.0
    if abs(abs(best) - abs(offset)) <= 0.75 and abs(offset) >= 1.25:
        raw.times = [time + timedelta(hours=math.copysign(abs(offset), best)) for time in raw.times]
        raw.repair(
            "times",
            f"the sun stands {abs(best):.1f} h off and the place is {offset:+.0f} h from universal time: local and universal time "
            f"were mixed. Shifted by {abs(offset):.0f} h.",
        )
    else:
        side = "behind" if best > 0 else "ahead of"
        raw.refuse("times", f"by its sun the file is {abs(best):.1f} h {side} this place's clock; check zone and coordinates.")


def _judge_by_warmth(raw: Raw) -> None:
    by_hour: dict[int, list[float]] = {}
    for time, cell in zip(raw.times, raw.columns.get("air_temp_c", []), strict=True):
        if cell is not None:
            by_hour.setdefault(time.hour, []).append(cell)
    if len(by_hour) < 12:
        return
    means = {hour: sum(cells) / len(cells) for hour, cells in by_hour.items()}
    warmest = max(means, key=means.__getitem__)
    swing = max(means.values()) - min(means.values())
    if swing > 3.0 and not 10 <= warmest <= 20:
        raw.warn("times", f"the warmest hour is {warmest:02d}:00; if the file is in universal time, write the zone of its times.")


def _gridded(raw: Raw, place: Place) -> Weather:
    """Values on whole hours, short gaps bridged, humidity turned to dew point, what is missing assumed and said."""
    first = raw.times[0]
    start = first.replace(minute=0, second=0, microsecond=0)
    if start < first:
        start += timedelta(hours=1)
    moments = [(time.timestamp() - start.timestamp()) / 3600.0 for time in raw.times]
    n_hours = math.floor(moments[-1] + 1e-9) + 1
    steps = [later - earlier for earlier, later in pairwise(moments)]
    bridged = sum(1 for step in steps if step > 1.0 + 1e-6)
    if bridged and raw.kind is not WeatherKind.TYPICAL_DAY:
        raw.repair("times", f"{bridged} gaps of up to {max(steps):.0f} hours bridged in straight lines.")
    hours = _hours(raw, raw.columns, moments, n_hours, say=True)
    members = tuple(_hours(raw, {**raw.columns, **member}, moments, n_hours, say=False) for member in raw.members)
    zone = zone_of(place) if start.tzinfo is UTC or raw.clock_checked else start.tzinfo
    return Weather(
        kind=raw.kind,
        start=start.astimezone(zone),
        hours=hours,
        members=members,
        source=raw.told,
        issued=raw.issued,
        wind_height_m=raw.wind_height_m,
        statements=tuple(raw.statements),
    )


def _hours(raw: Raw, columns: dict[str, Cells], moments: list[float], n_hours: int, *, say: bool) -> Hours:
    columns = {**columns, "dew_point_c": dew_points(columns)}

    def column(name: str, said: str) -> Column | None:
        known = [(at, cell) for at, cell in zip(moments, columns.get(name) or [None] * len(moments), strict=True) if cell is not None]
        if not known:
            return None
        gaps = [later[0] - earlier[0] for earlier, later in pairwise(known)] + [known[0][0] - moments[0], moments[-1] - known[-1][0]]
        if say and max(gaps) > MOST_GAP_H + 1e-6:
            raw.refuse(said, f"{max(gaps):.0f} hours in a row are missing; up to {MOST_GAP_H:.0f} are bridged. Supply them.")
        elif say and len(known) < len(moments):
            raw.repair(said, f"{len(moments) - len(known)} missing hours bridged in straight lines.")
        return _bridged(known, n_hours)

    needed = {}
    for name, said in (("air_temp_c", "air temperature"), ("dew_point_c", "humidity"), ("wind_speed_m_s", "wind")):
        found = column(name, said)
        if found is None:
            raw.refuse(said, "is missing; every forecast needs air temperature, humidity or dew point, and wind.")
            found = (0.0,) * n_hours
        needed[name] = found
    cloud, sun = column("cloud", "cloud"), column("sun_w_m2", "sun")
    if cloud is None:
        if say:
            raw.statements.append(
                f"cloud: not in the file; half the sky is taken as covered{'' if sun is None else ' for the loss to the sky'}."
            )
        cloud = (UNKNOWN_CLOUD,) * n_hours
    rain = columns.get("rain_m")
    return Hours(
        **needed,
        cloud=tuple(min(max(value, 0.0), 1.0) for value in cloud),
        sun_w_m2=sun,
        rain_m=(0.0,) * n_hours if not _present(rain) else (column("rain_m", "rain") or (0.0,) * n_hours),
        rain_chance=column("rain_chance", "chance of rain"),
        concrete_temp_c=column("concrete_temp_c", "concrete temperature"),
    )


def _bridged(known: list[tuple[float, float]], n_hours: int) -> Column:
    found, k = [], 0
    for hour in range(n_hours):
        while k < len(known) - 1 and known[k + 1][0] <= hour + 1e-9:
            k += 1
        (at, value) = known[k]
        if k == len(known) - 1 or hour <= at:
            found.append(value)
        else:
            following = known[k + 1]
            found.append(value + (following[1] - value) * (hour - at) / (following[0] - at))
    return tuple(found)


def issued_from(text: object) -> datetime | None:
    """A moment as forecasts write it, or None."""
    if not isinstance(text, str) or not text:
        return None
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        return None
    return moment if moment.tzinfo else moment.replace(tzinfo=UTC)
