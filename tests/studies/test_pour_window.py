"""Which hour to start: every influence has its sense, every limit its trouble, and what waits says what for."""

from dataclasses import replace

import pytest
from tests.studies.first_week import job, plan, weather

from slabwright.model.supply import Crew, Mix, Plant
from slabwright.model.weather import WeatherKind
from slabwright.results.check import State
from slabwright.standards.aci_95_m34 import evaporation_rate_kg_m2_h
from slabwright.standards.wmo_8 import dew_point_c
from slabwright.studies import pour_window, shape
from slabwright.studies.pour_window.starts import Trouble, windows
from slabwright.study import Waiting
from slabwright.units import Family

STUDIES = (shape.STUDY, pour_window.STUDY)


def result(a_job=None, a_weather=None, **site):
    return plan(STUDIES, a_job or job(), a_weather or weather(), **site)[pour_window.STUDY]


MILD = result()


def reason(a_job, a_weather):
    outcome = plan(STUDIES, a_job, a_weather).outcomes["pour_window"].result
    assert isinstance(outcome, Waiting)
    return outcome.reason


def test_without_weather_or_mix_it_waits_and_says_for_what():
    """No guess at either."""
    assert "put weather.csv beside the job file" in reason(job(), None)
    assert "has no [mix]" in reason(job(mix=None), weather())
    assert "before the saw would be through" in reason(job(), weather(days=2))
    assert "30 hours are needed after the last concrete" in reason(job(crew=Crew(placing_rate_m3_h=0.25)), weather())


def test_a_mild_day_is_free_of_trouble_and_the_crew_s_hour_is_kept():
    """Seven in the morning of the day it dries least; the answer names hour, drying, float and set."""
    found = MILD

    assert 7 == found.conditions.weather.clock_h(found.chosen.hour)
    assert () == found.chosen.troubles
    assert found.answer.startswith("Start at *07:00* on ")
    assert "lb/ft²·h" in found.answer
    assert State.HOLDS is found.checks[1].state
    assert 2.0 < found.chosen.float_h < found.chosen.done_h < 16.0


def test_the_crew_s_own_start_is_kept_to_the_minute():
    """06:50 between 06:00 and 07:00, judged for itself: what it meets lies between what those hours meet, or at one of them."""
    found = result(job(crew=Crew(start_hour_h=6 + 50 / 60)))
    clock = found.conditions.weather.clock_h
    before, after = (next(one for one in found.starts if one.hour == round(found.chosen.hour + step / 60)) for step in (-50, 10))

    assert pytest.approx(6 + 50 / 60) == clock(found.chosen.hour)
    assert "*06:50*" in found.answer
    low, high = sorted((before.evaporation_kg_m2_h, after.evaporation_kg_m2_h))
    assert 0.98 * low <= found.chosen.evaporation_kg_m2_h <= 1.02 * high


def test_evaporation_of_a_start_is_the_formula_at_its_worst_hour():
    """Worked again from the weather of that hour."""
    found = MILD
    hour, hours = int(found.chosen.worst_hour), found.conditions.weather.hours
    humidity = next(r for r in (i / 2000 for i in range(1, 2001)) if dew_point_c(air_temp_c=hours.air_temp_c[hour], rel_humidity=r) >= 9.0)
    by_hand = evaporation_rate_kg_m2_h(
        concrete_temp_c=18.0, air_temp_c=hours.air_temp_c[hour], rel_humidity=humidity, wind_speed_m_s=hours.wind_speed_m_s[hour]
    )

    assert pytest.approx(by_hand, rel=0.01) == found.chosen.evaporation_kg_m2_h
    assert pytest.approx(found.checks[0].demand, rel=1e-6) == found.checks[0].steps[-1].result.number
    assert 0.40 == found.checks[0].spread


def test_a_hot_dry_wind_asks_for_measures_and_each_is_worth_something():
    """27 to 39 °C, 9 m/s: it dries too fast, a windbreak and retarder together help more than either, night is better than noon."""
    found = result(a_weather=weather(27, 39, 8, 3, 9, number=200), a_job=job(mix=replace(job().mix, placing_temp_c=31.0)))
    plain = found.chosen.evaporation_kg_m2_h
    worth = {measure.name: measure.evaporation_kg_m2_h for measure in found.measures}
    by_clock = {found.conditions.weather.clock_h(start.hour): start for start in found.starts if start.hour < 24}

    assert Trouble.EVAPORATION in found.chosen.troubles
    assert all(rate < plain for rate in worth.values())
    assert worth["windbreak and evaporation retarder"] < min(
        worth["windbreak"], worth["evaporation retarder after strike-off and each pass"]
    )
    assert by_clock[22.0].evaporation_kg_m2_h < by_clock[10.0].evaporation_kg_m2_h
    assert State.FAILS is found.checks[0].state
    assert any("water, shade and rest" in caution.text for caution in found.cautions)


def test_air_in_the_mix_halves_the_limit():
    """A mix that bleeds little: 0.5 instead of 1.0 kg/m²·h (FHWA-HRT-05-038, caution)."""
    airy = result(job(mix=replace(job().mix, air=0.06)))

    assert pytest.approx(0.5) == airy.checks[0].capacity
    assert pytest.approx(1.0) == MILD.checks[0].capacity


def test_rain_before_set_speaks_against_an_hour_only_while_it_can_hurt():
    """60 % from 15:00 to 18:00 of one day: a start at 10:00 is caught, one at 20:00 is not."""
    n = weather().hours.n_hours
    chance = tuple(0.6 if 15 <= hour <= 18 else 0.0 for hour in range(n))
    found = result(a_weather=weather(rain_chance=chance))
    by_hour = {start.hour: start for start in found.starts}

    assert Trouble.RAIN in by_hour[10].troubles
    assert Trouble.RAIN not in by_hour[20].troubles
    assert 0.6 == by_hour[10].rain_chance


def test_rain_that_is_forecast_in_depth_counts_as_certain():
    """2 mm at one hour, no chances given."""
    n = weather().hours.n_hours
    found = result(a_weather=weather(rain_m=tuple(0.002 if hour == 14 else 0.0 for hour in range(n))))

    assert 1.0 == {start.hour: start for start in found.starts}[11].rain_chance


def test_a_frosty_night_freezes_green_concrete():
    """-8 to 1 °C: freezing before 500 psi, a frozen base, and the engineer is asked about it."""
    found = result(a_weather=weather(-8, 1, -10, 2, 6, number=20))

    assert all(Trouble.FREEZING in start.troubles for start in found.starts)
    assert Trouble.FROZEN_BASE in found.chosen.troubles
    assert "is free of trouble" in found.answer
    assert any("base is frozen" in referral.question for referral in found.referrals)


def test_concrete_beyond_its_limits_is_named():
    """36 °C is above 95 °F, 10 °C below 55 °F; the supplier is asked."""
    hot = result(job(mix=replace(job().mix, placing_temp_c=36.0)))
    cold = result(job(mix=replace(job().mix, placing_temp_c=10.0)))

    assert Trouble.HOT in hot.chosen.troubles
    assert Trouble.COLD in cold.chosen.troubles
    assert any("cooler" in one.question for one in hot.referrals)
    assert any("warmer" in one.question for one in cold.referrals)
    assert "it would be too hot as it comes" in hot.answer or "free of trouble" in hot.answer


def test_windows_are_runs_of_hours_without_trouble():
    """In order of merit; every hour in them is free."""
    found = result(a_weather=weather(20, 33, 6, 1, 8, number=200), a_job=job(mix=replace(job().mix, placing_temp_c=26.0)))

    assert found.windows == windows(found.starts)
    for run in found.windows:
        assert [start.hour for start in run] == list(range(run[0].hour, run[-1].hour + 1))
        assert all(not start.troubles for start in run)
    assert any(start.troubles for start in found.starts)
    if Trouble.EVAPORATION in found.chosen.troubles and found.windows:
        assert "not at 07:00" in found.answer


def test_without_a_stated_hour_the_best_is_taken_and_rates_and_temperatures_are_assumed():
    """Each assumption names where it would be stated."""
    bare = result(job(crew=Crew(), plant=Plant(), mix=Mix(strength_pa=24e6)))

    assert bare.chosen == min(bare.starts, key=lambda start: start.cost)
    assert {"crew.placing_rate", "mix.placing_temp", "mix.cement"} <= {one.where for one in bare.assumptions}


def test_a_typical_day_offers_its_own_hours_and_si_jobs_read_si():
    """24 starts, no date in the answer, kg/m²·h."""
    found = result(job(family=Family.SI), weather(kind=WeatherKind.TYPICAL_DAY, days=5))

    assert 24 == len(found.starts)
    assert "kg/m²·h" in found.answer
    assert " on " not in found.answer.partition(":")[0]


def test_the_same_seed_gives_the_same_answer():
    """Pure function of its inputs."""
    assert MILD.starts == result().starts


def test_pictures_and_tables_show_every_hour():
    """The band with its rows; a row a start; a row a measure."""
    outcome = plan(STUDIES, job(), weather()).outcomes["pour_window"]
    shown = outcome.presentation()

    assert len(outcome.result.starts) == len(shown.tables[0].rows)
    assert len(outcome.result.measures) == len(shown.tables[1].rows)
    assert {"sun", "place, strike off, bull float"} <= {getattr(item, "label", "") for item in shown.pictures[0].items}
    assert all(len(row) == len(shown.tables[0].columns) for row in shown.tables[0].rows)
