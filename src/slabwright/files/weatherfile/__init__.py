"""Weather files: tables, EnergyPlus years, and the JSON of two forecast services, read into one kind of weather.

Nothing here goes to the network; :mod:`slabwright.files.weatherfile.fetch` does, and only when asked.
"""

import json
from datetime import date
from pathlib import Path

from slabwright.errors import Finding, InputError
from slabwright.files.weatherfile.epw import is_epw, read_epw
from slabwright.files.weatherfile.judge import judged
from slabwright.files.weatherfile.nws import is_gridpoint, is_hourly, read_gridpoint, read_hourly
from slabwright.files.weatherfile.open_meteo import is_open_meteo, read_open_meteo
from slabwright.files.weatherfile.raw import Raw
from slabwright.files.weatherfile.table import read_table
from slabwright.model.ground import Place
from slabwright.model.weather import Weather

__all__ = ["parse_weather", "read_weather"]


def read_weather(path: Path | str, place: Place | None = None, *, day: date | None = None) -> tuple[Weather, tuple[Finding, ...]]:
    """Read a weather file of any known format.

    Parameters
    ----------
    path : Path or str
    place : Place, optional
        Coordinates and time zone of the job; times without a zone are taken on its clock.
    day : date, optional
        The day that a table of hours without dates is for.

    Returns
    -------
    Weather
    tuple of Finding
        Warnings and repairs.

    Raises
    ------
    InputError
        With everything that stops the reading, at once.
    """
    path = Path(path)
    try:
        text = path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        raise InputError(path.name, [Finding(where="file", message="is no text; save the forecast as CSV, EPW or JSON.")]) from None
    return parse_weather(path.name, text, place, day=day)


def parse_weather(source: str, text: str, place: Place | None = None, *, day: date | None = None) -> tuple[Weather, tuple[Finding, ...]]:
    """Weather from the text of a file; see :func:`read_weather`."""
    place = place or Place()
    return judged(_raw(source, text, place, day), place)


def _raw(source: str, text: str, place: Place, day: date | None) -> Raw:
    if is_epw(text):
        return read_epw(source, text)
    if not text.lstrip().startswith("{"):
        return read_table(source, text, place, day)
    try:
        document = json.loads(text)
    except json.JSONDecodeError as error:
        raise InputError(source, [Finding(where="file", message=f"is broken off or no JSON: {error.msg}.", line=error.lineno)]) from None
    if is_gridpoint(document):
        return read_gridpoint(source, document)
    if is_hourly(document):
        return read_hourly(source, document)
    if is_open_meteo(document):
        return read_open_meteo(source, document)
    raise InputError(
        source, [Finding(where="file", message="is JSON of no forecast known here; there are gridpoint, hourly and open-service forms.")]
    )
