"""Weather as films, sky, sun and vapour; courses around a forecast."""

import numpy as np
import pandas as pd
import pvlib
import pytest

from slabwright.early_age.drivers import drivers
from slabwright.early_age.zones import bare_ground
from slabwright.errors import OutOfRange
from slabwright.files.weatherfile import parse_weather
from slabwright.model.ground import Place
from slabwright.model.weather import WeatherKind
from slabwright.standards.sky_and_sun import surface_film_w_m2k
from tests.early_age.days import BASE, MILD, PLACE, SOIL, day
from tests.files.years import epw_text


def test_a_clear_day_has_the_sun_of_an_independent_library():
    """pvlib's form of the same clear-sky model on its own sun position: within 5 W/m² at every hour of six days."""
    clear = day(11, 22, 9, cloud=0.0)
    times = pd.date_range(clear.start, periods=clear.hours.n_hours, freq="h")
    position = pvlib.solarposition.spa_python(times, 40.0, 0.0)
    reference = pvlib.clearsky.haurwitz(position["zenith"])["ghi"].to_numpy()

    assert np.abs(drivers(clear, PLACE).sun_w_m2[0] - reference).max() < 5.0


def test_wind_at_a_mast_is_brought_down_to_the_slab():
    """6 m/s at 10 m is 2.9058 at the slab (WMO-No. 8, from memory), and its film 5.6 + 4 x 2.9058."""
    found = drivers(day(10, 20, 5, 6.0, 6.0, wind_height_m=10.0), PLACE)

    assert pytest.approx(2.9058, rel=0.01) == found.wind_m_s[0, 0]
    assert pytest.approx(surface_film_w_m2k(wind_speed_m_s=2.9058), rel=0.01) == found.film_w_m2k[0, 0]


def test_courses_spread_with_the_age_of_the_forecast_and_the_first_is_the_forecast():
    """Stated error model: 1.0 K at issue, 0.45 K more a day."""
    found = drivers(MILD, PLACE, n_courses=400, rng=np.random.default_rng(1))
    spread = found.air_c[1:].std(axis=0)

    assert np.array_equal(np.array(MILD.hours.air_temp_c), found.air_c[0])
    assert pytest.approx(1.0, rel=0.15) == spread[0]
    assert pytest.approx(1.0 + 0.45 * 5, rel=0.15) == spread[120]
    assert (found.dew_c <= found.air_c + 1e-9).all()
    assert found.cloud.min() >= 0 and found.cloud.max() <= 1
    keeps = np.corrcoef(found.air_c[1:, 60] - MILD.hours.air_temp_c[60], found.air_c[1:, 66] - MILD.hours.air_temp_c[66])[0, 1]
    assert pytest.approx(np.exp(-0.5), abs=0.12) == keeps


def test_a_record_has_no_error_and_an_ensemble_its_own():
    """What was measured is not disturbed; members of a source are used in turn."""
    record = drivers(day(11, 22, 9, kind=WeatherKind.RECORD), PLACE, n_courses=5, rng=np.random.default_rng(1))
    warm = day(16, 27, 9).hours
    ensemble = drivers(day(11, 22, 9, members=(warm,)), PLACE, n_courses=4, rng=np.random.default_rng(1))

    assert np.ptp(record.air_c, axis=0).max() == 0.0
    assert pytest.approx(5.0) == ensemble.air_c[1, 0] - ensemble.air_c[0, 0]
    assert np.array_equal(ensemble.air_c[1], ensemble.air_c[3])


def test_measured_sun_is_kept():
    """A year with radiation in it keeps that, and is disturbed only with the clouds."""
    weather, _ = parse_weather("year.epw", epw_text(), Place(latitude_deg=36.1, longitude_deg=-79.95))

    assert np.allclose(weather.hours.sun_w_m2, drivers(weather, Place(latitude_deg=36.1, longitude_deg=-79.95)).sun_w_m2[0])


def test_bare_ground_follows_the_weather_and_forgets_its_start():
    """Its face swings more than the air's mean, its foot stays; the second day repeats the first."""
    ground = bare_ground(drivers(MILD, PLACE), SOIL, BASE)

    assert pytest.approx(16.5, abs=0.1) == ground.deep_c
    assert np.ptp(ground.temps_c[24:48, 0]) > 11.0
    assert np.abs(ground.temps_c[48:72, 0] - ground.temps_c[24:48, 0]).max() < 0.7
    assert pytest.approx(ground.deep_c) == ground.profile(30.0, np.array([2.5]))[0]
    assert pytest.approx(0.5 * (ground.temps_c[30, 0] + ground.temps_c[31, 0])) == ground.surface_c(30.5)
    with pytest.raises(OutOfRange, match="a day of weather"):
        bare_ground(drivers(day(1, 2, 0, days=0.5), PLACE), SOIL, BASE)
