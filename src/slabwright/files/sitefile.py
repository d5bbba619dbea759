"""What lies beside a job file: the records and forecasts of its site."""

from datetime import date
from pathlib import Path

from slabwright.errors import Finding
from slabwright.files.mixtestfile import read_mix_tests
from slabwright.files.surveyfile import Surveys, read_surveys
from slabwright.files.weatherfile import read_weather
from slabwright.model.ground import Place
from slabwright.model.job import Job
from slabwright.model.site import Site
from slabwright.model.weather import Weather

WEATHER_NAMES = ("weather.json", "weather.csv", "weather.epw")
"""In order of preference: a forecast before a table."""
CLIMATE_NAMES = ("climate.epw", "climate.csv")
MIX_TESTS_NAME = "mix_tests.csv"


def read_site(folder: Path | str, place: Place, *, today: date | None = None, job: Job | None = None) -> tuple[Site, tuple[Finding, ...]]:
    """The site of a job from the files in its folder.

    Parameters
    ----------
    folder : Path or str
        Holds ``weather`` as .csv, .json or .epw for the days of the pour, ``climate`` as .epw or .csv for a year, and
        ``mix_tests.csv``, and the surveys of :mod:`slabwright.files.surveyfile`; each may be missing.
    place : Place
        Coordinates and clock of the job.
    today : date, optional
    job : Job, optional
        What is to be built: surveys are read against it, and not at all without it.

    Returns
    -------
    Site
    tuple of Finding

    Raises
    ------
    InputError
        If a file that is there cannot be taken.
    """
    weather, said = _first(Path(folder), WEATHER_NAMES, place, today)
    climate, told = _first(Path(folder), CLIMATE_NAMES, place, today)
    tests = Path(folder) / MIX_TESTS_NAME
    mix_tests = read_mix_tests(tests) if tests.is_file() else None
    surveys, seen = read_surveys(folder, job) if job is not None else (Surveys(), ())
    site = Site(
        today=today,
        weather=weather,
        climate=climate,
        mix_tests=mix_tests,
        shots=surveys.shots,
        trench=surveys.trench,
        measurements=surveys.measurements,
        form_levels=surveys.form_levels,
        level_book=surveys.level_book,
    )
    return site, said + told + seen


def _first(folder: Path, names: tuple[str, ...], place: Place, today: date | None) -> tuple[Weather | None, tuple[Finding, ...]]:
    found = next((folder / name for name in names if (folder / name).is_file()), None)
    return (None, ()) if found is None else read_weather(found, place, day=today)
