"""Evaporation, vapour, wind: published values as printed, in printed units."""

import sys
from unittest.mock import patch

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slabwright.errors import OutOfRange
from slabwright.solvers.heat.march import saturation_pa
from slabwright.standards.aci_95_m34 import (
    EVAPORATION_SPREAD,
    PRESSURE_FORM,
    SCATTER,
    SIMPLIFIED,
    SIMPLIFIED_US,
    evaporation_by_pressure_kg_m2_h,
    evaporation_rate_kg_m2_h,
    evaporation_rate_us_kg_m2_h,
)
from slabwright.standards.fhwa_hrt_05_038 import (
    ACTION_KG_M2_H,
    BLEED_AND_EVAPORATION,
    BLEED_RANGE_KG_M2_H,
    BLEED_RATES,
    CAUTION_KG_M2_H,
    CHART_FIT,
    RATE_LIMITS,
    BleedKind,
    bleed_deficit_kg_m2_h,
    bleed_limit_kg_m2_h,
    evaporation_by_chart_kg_m2_h,
)
from slabwright.standards.hot_weather import EVAPORATION_CHART
from slabwright.standards.wmo_8 import LOG_WIND, MAGNUS, dew_point_c, saturation_pressure_pa, surface_humidity, wind_at_height_m_s
from slabwright.units import EVAPORATION, Family, format_quantity, in_unit

with patch.dict(sys.modules, {"numba": None}):  # it would compile for minutes
    import psychrolib
psychrolib.SetUnitSystem(psychrolib.SI)

CHART_EXAMPLE = {
    "concrete_temp_c": (87 - 32) / 1.8, "air_temp_c": (80 - 32) / 1.8, "rel_humidity": 0.5, "wind_speed_m_s": 12 * 0.44704,
}  # fmt: skip


def lb(rate_kg_m2_h):
    return in_unit(rate_kg_m2_h, EVAPORATION, "lb/ft2/h")


def metric(concrete, air, humidity, wind_km_h):
    return {"concrete_temp_c": concrete, "air_temp_c": air, "rel_humidity": humidity, "wind_speed_m_s": wind_km_h / 3.6}


@pytest.mark.published(SIMPLIFIED)
@pytest.mark.parametrize(
    ("concrete", "air", "humidity", "wind", "rate"),
    [(30, 35, 0.3, 20, 1.1793), (25, 25, 0.5, 15, 0.57592), (20, 5, 0.5, 20, 0.91595), (10, 30, 0.9, 10, -0.71524)],
)
def test_the_simplified_metric_form(concrete, air, humidity, wind, rate):
    """Worked from the quoted equation; the third is warm concrete in cold air, the fourth is dew."""
    assert pytest.approx(rate, rel=0.005) == evaporation_rate_kg_m2_h(**metric(concrete, air, humidity, wind))


def test_saturated_air_at_the_slab_s_temperature_dries_nothing():
    """No difference of pressure: exact."""
    assert 0.0 == evaporation_rate_kg_m2_h(**metric(25, 25, 1.0, 30))


@pytest.mark.published(SIMPLIFIED_US)
def test_the_inch_pound_form_and_its_exact_conversion():
    """Concrete 87 °F, air 80 °F, 50 %, 12 mph: 0.24347 lb/ft²·h, which is 1.1887 kg/m²·h with the unrounded constants."""
    rate = evaporation_rate_us_kg_m2_h(**CHART_EXAMPLE)

    assert pytest.approx(0.24347, rel=0.005) == lb(rate)
    assert pytest.approx(1.1887, rel=0.005) == rate


@pytest.mark.published(SIMPLIFIED, SIMPLIFIED_US)
def test_the_two_printed_forms_are_not_one_number():
    """Metric over inch-pound is 0.95864 in the first case, and 0.95 to 1.00 over the usual grid."""
    case = metric(30, 35, 0.3, 20)

    assert pytest.approx(0.95864, rel=0.005) == evaporation_rate_kg_m2_h(**case) / evaporation_rate_us_kg_m2_h(**case)
    for concrete in (10, 22, 35):
        for humidity in (0.1, 0.4, 0.7):
            for wind in (0, 20, 40):
                here = metric(concrete, concrete, humidity, wind)
                assert 0.945 < evaporation_rate_kg_m2_h(**here) / evaporation_rate_us_kg_m2_h(**here) < 1.005


@pytest.mark.published(EVAPORATION_CHART)
def test_the_example_printed_with_the_chart():
    """Read as 0.25 lb/ft²·h, two figures: every form within 0.02."""
    for form in (evaporation_rate_kg_m2_h, evaporation_rate_us_kg_m2_h, evaporation_by_pressure_kg_m2_h, evaporation_by_chart_kg_m2_h):
        assert pytest.approx(0.25, abs=0.025) == lb(form(**CHART_EXAMPLE))
    assert pytest.approx(0.25, abs=0.02) == lb(evaporation_rate_us_kg_m2_h(**CHART_EXAMPLE))


@pytest.mark.published(PRESSURE_FORM)
def test_the_older_pressure_form():
    """0.23552 lb/ft²·h; 1.1671 and 0.86812 kg/m²·h; a tenth from the simplified form."""
    assert pytest.approx(0.23552, rel=0.02) == lb(evaporation_by_pressure_kg_m2_h(**CHART_EXAMPLE))
    for case, rate in ((metric(30, 35, 0.3, 20), 1.1671), (metric(20, 5, 0.5, 20), 0.86812)):
        assert pytest.approx(rate, rel=0.02) == evaporation_by_pressure_kg_m2_h(**case)
        assert pytest.approx(evaporation_rate_kg_m2_h(**case), rel=0.10) == evaporation_by_pressure_kg_m2_h(**case)


@pytest.mark.published(CHART_FIT)
def test_the_fit_of_the_chart():
    """1.1009 kg/m²·h for the chart's example; recalled coefficients."""
    assert pytest.approx(1.1009, rel=0.005) == evaporation_by_chart_kg_m2_h(**CHART_EXAMPLE)


@pytest.mark.published(RATE_LIMITS)
def test_limits_and_their_units():
    """Action at 1.0 kg/m²·h, that is 0.2 lb/ft²·h; caution at 0.5; one pound is 4.8824 and 0.2 is 0.97649."""
    assert (1.0, 0.5) == (ACTION_KG_M2_H, CAUTION_KG_M2_H)
    assert pytest.approx(4.8824, rel=0.001) == EVAPORATION.units["lb/ft2/h"].factor
    assert pytest.approx(0.97649, rel=0.001) == 0.2 * EVAPORATION.units["lb/ft2/h"].factor
    assert ACTION_KG_M2_H == bleed_limit_kg_m2_h()
    assert CAUTION_KG_M2_H == bleed_limit_kg_m2_h(bleed=BleedKind.LOW)
    assert pytest.approx(0.3) == bleed_limit_kg_m2_h(bleed_rate_kg_m2_h=0.3)
    assert "0.2 lb/ft²·h" == format_quantity(ACTION_KG_M2_H, EVAPORATION, Family.US, digits=1)


@pytest.mark.published(BLEED_AND_EVAPORATION, BLEED_RATES)
def test_evaporation_above_bleeding_is_the_danger():
    """0.9 against 0.6: 0.3; the usual ranges are common practice."""
    assert pytest.approx(0.3) == bleed_deficit_kg_m2_h(evaporation_kg_m2_h=0.9, bleed_rate_kg_m2_h=0.6)
    assert 0.0 == bleed_deficit_kg_m2_h(evaporation_kg_m2_h=0.5, bleed_rate_kg_m2_h=0.6)
    assert {BleedKind.NORMAL: (0.5, 1.5), BleedKind.LOW: (0.1, 0.5)} == BLEED_RANGE_KG_M2_H


@pytest.mark.published(SCATTER)
def test_the_stated_scatter_is_forty_per_cent():
    """Carried by every check on evaporation."""
    assert 0.40 == EVAPORATION_SPREAD


@pytest.mark.published(LOG_WIND)
def test_wind_from_the_mast_to_the_slab():
    """6 m/s at 10 m is 2.9058 at 0.5 m over open grass."""
    assert pytest.approx(2.9058, rel=0.01) == wind_at_height_m_s(wind_speed_m_s=6.0)


@pytest.mark.published(MAGNUS)
def test_dew_points_and_pressures():
    """Table of the formula; steam tables give 6.112, 23.39, 42.47 hPa, within 0.4 %."""
    for temp, humidity, dew in ((20, 0.5, 9.2552), (25, 0.6, 16.693), (30, 0.8, 26.169), (15, 0.9, 13.372)):
        assert pytest.approx(dew, abs=0.05) == dew_point_c(air_temp_c=temp, rel_humidity=humidity)
    for temp, printed, steam in ((0, 6.112, 6.112), (20, 23.326, 23.39), (30, 42.337, 42.47)):
        assert pytest.approx(printed, rel=0.003) == saturation_pressure_pa(temp_c=temp) / 100
        assert pytest.approx(steam, rel=0.004) == saturation_pressure_pa(temp_c=temp) / 100


@pytest.mark.published(MAGNUS)
def test_a_cool_slab_in_humid_air_sweats():
    """Slab 60 °F, air 80 °F at 70 %: dew at 69.331 °F, humidity at the surface 1.3845, wet."""
    air = (80 - 32) / 1.8
    dew_f = 1.8 * dew_point_c(air_temp_c=air, rel_humidity=0.7) + 32

    assert pytest.approx(69.331, rel=0.01) == dew_f
    assert pytest.approx(1.3845, rel=0.01) == surface_humidity(surface_temp_c=(60 - 32) / 1.8, air_temp_c=air, rel_humidity=0.7)


@settings(deadline=None)
@given(st.floats(-40.0, 60.0), st.floats(0.02, 1.0))
def test_vapour_against_an_independent_library(temp, humidity):
    """PsychroLib has the handbook's own equations over water and ice: pressure within 0.6 % above freezing, dew within 0.5 K."""
    if temp >= 0.01:
        assert pytest.approx(psychrolib.GetSatVapPres(temp), rel=0.006) == saturation_pressure_pa(temp_c=temp)
    dew = dew_point_c(air_temp_c=temp, rel_humidity=humidity)
    if temp >= 0.01 and dew >= 0.01:
        assert pytest.approx(psychrolib.GetTDewPointFromRelHum(temp, humidity), abs=0.5) == dew
    assert pytest.approx(saturation_pressure_pa(temp_c=temp)) == saturation_pa(temp)


def test_what_is_no_fraction_or_no_height_is_refused():
    """The commonest slip is 70 for 0.70."""
    with pytest.raises(OutOfRange, match="fraction from 0 to 1"):
        evaporation_rate_kg_m2_h(**metric(20, 20, 70.0, 5))
    with pytest.raises(OutOfRange, match="ends at -18"):
        evaporation_rate_kg_m2_h(**metric(-30, 20, 0.7, 5))
    with pytest.raises(OutOfRange, match="above 0"):
        dew_point_c(air_temp_c=20.0, rel_humidity=0.0)
    with pytest.raises(OutOfRange, match="roughness"):
        wind_at_height_m_s(wind_speed_m_s=3.0, wanted_at_m=0.02)
    with pytest.raises(OutOfRange, match="below nought"):
        bleed_limit_kg_m2_h(bleed_rate_kg_m2_h=-1.0)
    with pytest.raises(OutOfRange, match="no vapour formula"):
        saturation_pressure_pa(temp_c=-120.0)
