"""What lies beside a job file."""

from datetime import date

import pytest

from slabwright.app import fetch_weather
from slabwright.errors import InputError
from slabwright.files.examples import write_example
from slabwright.files.sitefile import read_site
from slabwright.model.ground import Place
from slabwright.model.weather import WeatherKind
from tests.files.years import epw_text

TABLE = "hour,air (degF),rh (%),wind (mph)\n7,48,80,2\n13,63,50,7\n19,58,60,5\n"
PLACE = Place(latitude_deg=36.1, longitude_deg=-79.95)


def test_an_empty_folder_is_a_site_without_weather(tmp_path):
    """Nothing is assumed."""
    site, findings = read_site(tmp_path, PLACE, today=date(2026, 4, 20))

    assert site.weather is None
    assert site.climate is None
    assert date(2026, 4, 20) == site.today
    assert () == findings


def test_weather_and_climate_are_read_where_they_lie(tmp_path):
    """A table for the day, an EnergyPlus year for the place."""
    (tmp_path / "weather.csv").write_text(TABLE, encoding="utf-8")
    (tmp_path / "climate.epw").write_text(epw_text(), encoding="utf-8")
    site, _ = read_site(tmp_path, PLACE, today=date(2026, 4, 20))

    assert site.weather is not None and WeatherKind.TYPICAL_DAY is site.weather.kind
    assert site.climate is not None and WeatherKind.TYPICAL_YEAR is site.climate.kind
    assert (4, 19) == (site.weather.start.month, site.weather.start.day)


def test_a_file_that_cannot_be_taken_stops_the_reading(tmp_path):
    """It is not passed over in silence."""
    (tmp_path / "weather.json").write_text("{", encoding="utf-8")

    with pytest.raises(InputError, match=r"weather\.json"):
        read_site(tmp_path, PLACE)


FORECAST = (
    '{"utc_offset_seconds": 0, "hourly_units": {"temperature_2m": "°C", "dew_point_2m": "°C", "wind_speed_10m": "m/s"}, "hourly": {"time": '
    '["2026-04-20T00:00", "2026-04-20T01:00", "2026-04-20T02:00"], "temperature_2m": [8, 9, 10], "dew_point_2m": [1, 1, 1], '
    '"wind_speed_10m": [2, 2, 2]}}'
)


def test_a_fetched_forecast_is_kept_beside_the_job_and_read_before_a_table(tmp_path):
    """The service is stood in for; what it says is read like any file, and nonsense is not kept."""
    job = write_example(tmp_path / "job", "store")
    kept = fetch_weather(job, ask=lambda place: FORECAST if place.latitude_deg else "")
    site, _ = read_site(job.parent, PLACE)

    assert FORECAST == kept.read_text(encoding="utf-8")
    assert site.weather is not None and (8.0, 9.0, 10.0) == site.weather.hours.air_temp_c
    with pytest.raises(InputError):
        fetch_weather(job, ask=lambda place: "{}")
    assert FORECAST == kept.read_text(encoding="utf-8")
