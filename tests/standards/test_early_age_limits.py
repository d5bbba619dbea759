"""Hot and cold weather, curing, shrinkage, restraint, sky, ground, vapour: published values as printed."""

import math

import pytest

from slabwright.errors import Infeasible, OutOfRange
from slabwright.sources import arithmetic
from slabwright.standards import ashrae_fundamentals as ashrae
from slabwright.standards import cold_weather as cold
from slabwright.standards import curing_rules as curing
from slabwright.standards import hot_weather as hot
from slabwright.standards import sky_and_sun as sky
from slabwright.standards import subgrade_drag as drag
from slabwright.standards import vapour_flow as vapour
from slabwright.standards.aci_209r_92 import CREEP, SHRINKAGE, creep_coefficient, shrinkage_strain
from slabwright.standards.ground_heat import DAMPING, YEARLY_WAVE, damping_depth_m, ground_temperature_c
from slabwright.units import FOOT_M, GALLON_M3, HEAT_FLUX, HEAT_TRANSFER, INCH_M, PERMEANCE, POUND_KG, PSF_PA, PSI_PA, VAPOUR_FLOW, YARD_M


def c(fahrenheit):
    return (fahrenheit - 32) / 1.8


@pytest.mark.published(hot.HOT_WEATHER)
def test_hot_weather_is_warm_and_dry_together():
    """80 °F and more than 1.0 kg/m²·h."""
    assert hot.is_hot_weather(air_temp_c=c(80), evaporation_kg_m2_h=1.01)
    assert not hot.is_hot_weather(air_temp_c=c(79), evaporation_kg_m2_h=1.5)
    assert not hot.is_hot_weather(air_temp_c=c(95), evaporation_kg_m2_h=1.0)


@pytest.mark.published(hot.HOTTEST, hot.HOTTEST_HEATED)
def test_hottest_concrete():
    """95 °F at discharge; 90 °F where water or aggregate were heated."""
    assert pytest.approx((95.0, 90.0)) == (1.8 * hot.HOTTEST_CONCRETE_C + 32, 1.8 * hot.HOTTEST_HEATED_C + 32)


@pytest.mark.published(cold.COLD_WEATHER, cold.FIRST_FREEZE, cold.FREEZING, cold.CORE_TO_FACE)
def test_cold_weather_and_freezing():
    """40 °F; no freezing before 500 psi (3.5 MPa), cycles from 3500; fresh concrete freezes at 25 °F; core to face 35 °F."""
    assert pytest.approx(35.0) == 1.8 * cold.CORE_TO_FACE_K
    assert pytest.approx((40.0, 25.0)) == (1.8 * cold.COLD_AIR_C + 32, 1.8 * cold.FRESH_FREEZES_C + 32)
    assert pytest.approx((500.0, 3500.0)) == (cold.FREEZE_SAFE_PA / PSI_PA, cold.CYCLES_SAFE_PA / PSI_PA)


@pytest.mark.published(cold.LEAST_TEMP, cold.GREATEST_DROP)
@pytest.mark.parametrize(("inches", "least_f", "drop_f"), [(5, 55, 50), (12, 50, 40), (36, 45, 30), (80, 40, 20)])
def test_cold_limits_by_least_dimension(inches, least_f, drop_f):
    """Below 12 in.: 55 and 50 °F; 12 to 36: 50 and 40; 36 to 72: 45 and 30; above: 40 and 20."""
    assert pytest.approx(least_f) == 1.8 * cold.coldest_concrete_c(least_dimension_m=inches * INCH_M) + 32
    assert pytest.approx(drop_f) == 1.8 * cold.greatest_cooling_k(least_dimension_m=inches * INCH_M)


@pytest.mark.published(cold.UNCOVERING)
def test_all_protection_may_go_within_twenty_degrees():
    """Surface 48, air 30 °F: yes; 60 and 0: no."""
    assert cold.may_uncover(surface_temp_c=c(48), air_temp_c=c(30))
    assert not cold.may_uncover(surface_temp_c=c(60), air_temp_c=c(0))


@pytest.mark.published(cold.COOLING)
def test_guide_specification_cooling():
    """5 °F in an hour, 50 °F in a day."""
    assert pytest.approx((5.0, 50.0)) == (1.8 * cold.COOLING_1H_K, 1.8 * cold.COOLING_24H_K)


@pytest.mark.published(cold.PROTECTION_DAYS)
def test_days_of_protection():
    """Three; two with Type III, an accelerator or 100 lb/yd³ more cement."""
    hundred = 100 * POUND_KG / YARD_M**3

    assert 3.0 == cold.protection_days()
    assert [2.0] * 3 == [
        cold.protection_days(**more) for more in ({"type_iii": True}, {"accelerator": True}, {"extra_cement_kg_m3": hundred})
    ]
    assert 3.0 == cold.protection_days(extra_cement_kg_m3=0.9 * hundred)


@pytest.mark.published(curing.CURING_DAYS, curing.CURING_COLD)
def test_days_of_curing():
    """70 °F 7, 45 °F 10.5; high-early 3."""
    assert (7.0, 10.5, 3.0) == (
        curing.curing_days(temp_c=c(70)), curing.curing_days(temp_c=c(45)), curing.curing_days(temp_c=c(70), high_early=True),
    )  # fmt: skip


@pytest.mark.published(curing.COVERAGE, curing.COMPOUND_RULES)
def test_curing_compound():
    """2400 ft² at 200 ft²/gal for both coats: 12 gal; that is 4.9085 m²/L; spray again after rain within 3 h, no traffic for 72 h."""
    assert pytest.approx(12.0, rel=0.005) == curing.curing_compound_m3(area_m2=2400 * FOOT_M**2) / GALLON_M3
    assert pytest.approx(4.9085, rel=0.005) == curing.COVERAGE_M2_M3 / 1000
    assert (3.0, 72.0) == (curing.RESPRAY_H, curing.TRAFFIC_H)


@pytest.mark.published(curing.WEAR, curing.CURING_STRENGTH, curing.SIDE_FORMS, curing.SUPPORTING_FORMS, curing.LOADING)
def test_ends_of_curing_forms_and_loading():
    """Wear loss 35 and 20 % at 3 and 7 days; 70 % of 4000 psi is 2800; forms 24 h at 50 °F, supports 7 d and 75 %; foot traffic 24 h."""
    assert {3: 0.35, 7: 0.20} == curing.WEAR_LOSS
    assert pytest.approx(2800.0) == curing.curing_strength_pa(strength_pa=4000 * PSI_PA) / PSI_PA
    assert (24.0, 50.0) == (curing.SIDE_FORM_HOURS_H, 1.8 * curing.SIDE_FORM_C + 32)
    assert (7.0, 0.75, 24.0, (3.0, 7.0)) == (curing.SUPPORT_DAYS, curing.SUPPORT_SHARE, curing.FOOT_TRAFFIC_H, curing.FRAMING_DAYS)


@pytest.mark.published(ashrae.FILMS)
def test_loss_through_a_blanket_and_the_blanket_for_a_loss():
    """55 and 20 °F through R 4 and the outside film of 0.17: 8.3933 Btu/h·ft²; and back again."""
    loss = ashrae.blanket_heat_loss_w_m2(concrete_temp_c=c(55), air_temp_c=c(20), blanket_m2k_w=4 * ashrae.R_VALUE)

    assert pytest.approx(8.3933, rel=0.001) == loss / HEAT_FLUX.units["Btu/h·ft2"].factor
    assert (
        pytest.approx(4.0) == ashrae.blanket_r_value_m2k_w(concrete_temp_c=c(55), air_temp_c=c(20), heat_given_w_m2=loss) / ashrae.R_VALUE
    )
    assert 0.0 == ashrae.blanket_r_value_m2k_w(concrete_temp_c=c(55), air_temp_c=c(60), heat_given_w_m2=1.0)


@pytest.mark.published(ashrae.SOILS, ashrae.BLANKETS)
def test_conductivity_of_soils_and_covers():
    """Sand 0.77883 and 2.25, clay 1.125 and 1.5577 W/mK; polystyrene R 4 an inch, straw 1.0 to 1.5, blankets 2 to 7."""
    sand, clay = ashrae.SoilKind.SAND, ashrae.SoilKind.CLAY
    found = [ashrae.soil_conductivity_w_mk(soil=soil, high=high) for soil in (sand, clay) for high in (False, True)]

    assert pytest.approx([0.77883, 2.25, 1.125, 1.5577], rel=0.001) == found
    assert ((4.0, 4.0), (3.5, 4.0), (1.0, 1.5), (1.25, 1.25)) == tuple(ashrae.R_PER_INCH.values())
    assert (2.0, 7.0) == ashrae.BLANKET_R


@pytest.mark.published(SHRINKAGE, CREEP)
def test_shrinkage_and_creep():
    """130, 346.67, 561.6, 711.75 microstrain at 7, 28, 90, 365 days; creep 0.24969, 0.44494, 1.1666 after 1, 3, 28 days from day one."""
    for days, strain in ((7, 130.0), (28, 346.67), (90, 561.6), (365, 711.75)):
        assert pytest.approx(strain, rel=0.001) == 1e6 * shrinkage_strain(drying_days=days)
    for days, creep in ((1, 0.24969), (3, 0.44494), (28, 1.1666)):
        assert pytest.approx(creep, rel=0.001) == creep_coefficient(loaded_for_days=days, loading_days=1.0)


@pytest.mark.published(drag.DRAG, drag.DRAG_STEEL, drag.BASE_RESTRAINT, drag.SAW_HOURS)
def test_drag_base_restraint_and_saw_hours():
    """1.5 x 150 x 40 / 2: 31.25 psi; 0.023438 in²/ft; 1, 0.8528, 0.72727 up a block; saws 4 to 12 and 2 to 6 h, 1 to 4 after finishing."""
    assert pytest.approx(31.25, rel=0.001) == drag.subgrade_drag_pa(friction=1.5, length_m=40 * FOOT_M) / PSI_PA
    steel = drag.drag_steel_m2_m(friction=1.5, length_m=20 * FOOT_M, weight_pa=62.5 * PSF_PA, steel_stress_pa=40000 * PSI_PA)
    assert pytest.approx(0.023438, rel=0.001) == steel / (INCH_M**2 / FOOT_M)
    for share, restraint in ((0.0, 1.0), (0.5, 0.8528), (1.0, 0.72727)):
        assert pytest.approx(restraint, rel=0.001) == drag.base_restraint(length_over_height=10.0, height_share=share)
    assert ((4.0, 12.0), (2.0, 6.0), (1.0, 4.0)) == (drag.CONVENTIONAL_HOURS_H, drag.EARLY_ENTRY_HOURS_H, drag.EARLY_AFTER_FINISH_H)


@pytest.mark.published(sky.SKY_EMISSIVITY, sky.SKY_TEMPERATURE)
def test_the_sky_s_printed_example():
    """Air 293 K, dew 283 K, clear: 0.815 and 340.6 W/m² as printed; 5.2512 °C; overcast 1.154 times that by hand."""
    assert pytest.approx(0.81448, rel=0.002) == sky.sky_emissivity(dew_point_c=283 - 273.15)
    assert pytest.approx(340.34, rel=0.002) == sky.sky_radiation_w_m2(air_temp_c=293 - 273.15, dew_point_c=283 - 273.15)
    assert pytest.approx(5.2512, abs=0.1) == sky.radiant_temperature_c(radiation_w_m2=340.6)
    assert pytest.approx(5.25, abs=0.2) == sky.sky_temperature_c(air_temp_c=293 - 273.15, dew_point_c=283 - 273.15)
    assert pytest.approx(0.81448 * 1.154, rel=0.002) == sky.sky_emissivity(dew_point_c=283 - 273.15, cloud=1.0)


@pytest.mark.published(sky.SKY_1984, sky.SKY_1963)
def test_other_clear_skies_agree_within_their_spread():
    """276.14 K by the hourly form at midnight, 277.06 K from air alone: within 3 K of each other and of the first."""
    hourly, dry = sky.sky_temperature_hourly_c(air_temp_c=20.0, dew_point_c=10.0, hour_h=0.0), sky.sky_temperature_dry_c(air_temp_c=20.0)

    assert pytest.approx(276.14, abs=0.1) == hourly + 273.15
    assert pytest.approx(277.06, abs=0.6) == dry + 273.15
    assert abs(sky.sky_temperature_c(air_temp_c=20.0, dew_point_c=10.0) - hourly) < 3.0


@pytest.mark.published(sky.FILM, sky.COMBINED_FILM, arithmetic("4 eps sigma T^3"))
def test_films():
    """5.6, 17.6, 36.454 W/m²K at 0, 3, 8 m/s; 3.3731 and 4.7865 Btu/h·ft²·°F at 5 and 10 mph; 5.1426 W/m²K by radiation."""
    for wind, film in ((0, 5.6), (3, 17.6), (8, 36.454)):
        assert pytest.approx(film, rel=0.001) == sky.surface_film_w_m2k(wind_speed_m_s=wind)
    for mph, film in ((5, 3.3731), (10, 4.7865)):
        found = sky.combined_film_w_m2k(wind_speed_m_s=mph * 0.44704)
        assert pytest.approx(film, rel=0.001) == found / HEAT_TRANSFER.units["Btu/h·ft2·°F"].factor
    assert pytest.approx(5.1426, rel=0.001) == sky.radiant_film_w_m2k(emissivity=0.9, mean_temp_c=20.0)


@pytest.mark.published(sky.CLEAR_SKY, sky.CLOUDS, sky.SURFACES)
def test_sun_clouds_and_surfaces():
    """1035.1 and 487.89 W/m² at 0 and 60 degrees; 0.92895 and 0.25 at half and full cloud; absorptivities within their ranges."""
    for degrees, sun in ((0, 1035.1), (60, 487.89)):
        assert pytest.approx(sun, rel=0.005) == sky.clear_sky_sun_w_m2(zenith_rad=math.radians(degrees))
    for cloud, share in ((0.5, 0.92895), (1.0, 0.25)):
        assert pytest.approx(share, rel=0.001) == sky.cloudy_sun_share(cloud=cloud)
    assert 0.0 == sky.clear_sky_sun_w_m2(zenith_rad=math.radians(95))
    assert 0.55 <= sky.ABSORPTIVITY_GREY <= 0.65
    assert 0.35 <= sky.ABSORPTIVITY_WHITE <= 0.45
    assert 0.88 <= sky.EMISSIVITY <= 0.95


@pytest.mark.published(YEARLY_WAVE, DAMPING)
def test_ground_through_the_year():
    """15.913 °C at 1.2 m on day 200; damping 2.2411 m for a year, 0.11726 m for a day."""
    found = ground_temperature_c(mean_c=12.0, amplitude_k=10.0, coldest_days=35.0, depth_m=1.2, day_days=200.0)

    assert pytest.approx(15.913, abs=0.05) == found
    assert pytest.approx(2.2411, rel=0.001) == damping_depth_m(diffusivity_m2_s=5e-7, period_days=365.25)
    assert pytest.approx(0.11726, rel=0.001) == damping_depth_m(diffusivity_m2_s=5e-7)


@pytest.mark.published(vapour.PERMEANCE_FLOW)
def test_vapour_through_a_sheet():
    """0.1 perm, soil 15 °C wet, room 21 °C at 40 %: 0.20946 inHg, 0.071815 lb/1,000 ft² in 24 h; one perm is 57.213 ng."""
    found = vapour.permeance_flow(permeance_kg_pa_s_m2=0.1 * vapour.PERM_KG_PA_S_M2, soil_temp_c=15, room_temp_c=21, room_humidity=0.4)

    assert pytest.approx(57.213, rel=0.001) == PERMEANCE.units["perm"].factor * 1e12
    assert pytest.approx(0.20946, rel=0.01) == found.difference_pa / 3386.389
    assert pytest.approx(0.071815, rel=0.01) == found.flow_kg_m2_s / VAPOUR_FLOW.units["lb/1000 ft2/24 h"].factor
    assert found.flow_kg_m2_s < vapour.FLOORING_LIMIT_KG_M2_S


@pytest.mark.published(vapour.RETARDER_CLASSES)
@pytest.mark.parametrize(("perms", "name"), [(0.05, "I"), (0.1, "I"), (0.5, "II"), (1.0, "II"), (10.0, "III"), (11.0, "none")])
def test_retarder_classes(perms, name):
    """Up to 0.1, 1 and 10 perms."""
    assert name == vapour.retarder_class(permeance_kg_pa_s_m2=perms * vapour.PERM_KG_PA_S_M2)


@pytest.mark.published(vapour.DRYING_RULE)
def test_drying_by_the_rule_of_the_trade():
    """5 in.: 140 to 150 days; dried on both faces half of it."""
    one, two = vapour.drying_time(thickness_m=5 * INCH_M), vapour.drying_time(thickness_m=5 * INCH_M, two_sided=True)

    assert pytest.approx((140.0, 150.0)) == (one.low_days, one.high_days)
    assert pytest.approx((70.0, 75.0)) == (two.low_days, two.high_days)


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: cold.coldest_concrete_c(least_dimension_m=0.0),
        lambda: curing.curing_days(temp_c=2.0),
        lambda: curing.curing_compound_m3(area_m2=1.0, coverage_m2_m3=0.0),
        lambda: ashrae.blanket_heat_loss_w_m2(concrete_temp_c=1.0, air_temp_c=0.0, blanket_m2k_w=-1.0),
        lambda: shrinkage_strain(drying_days=-1.0),
        lambda: drag.subgrade_drag_pa(friction=-1.0, length_m=1.0),
        lambda: drag.drag_steel_m2_m(friction=1.0, length_m=1.0, weight_pa=1.0, steel_stress_pa=0.0),
        lambda: drag.base_restraint(length_over_height=2.0, height_share=0.0),
        lambda: sky.sky_emissivity(dew_point_c=5.0, cloud=8.0),
        lambda: sky.cloudy_sun_share(cloud=8.0),
        lambda: sky.surface_film_w_m2k(wind_speed_m_s=-1.0),
        lambda: damping_depth_m(diffusivity_m2_s=0.0),
        lambda: vapour.permeance_flow(permeance_kg_pa_s_m2=1.0, soil_temp_c=1.0, room_temp_c=1.0, room_humidity=40.0),
        lambda: vapour.permeance_flow(permeance_kg_pa_s_m2=-1.0, soil_temp_c=1.0, room_temp_c=1.0, room_humidity=0.4),
        lambda: vapour.drying_time(thickness_m=0.0),
    ],
)
def test_what_has_no_meaning_is_refused(wrong):
    """Each with a sentence that says what would do."""
    with pytest.raises(OutOfRange, match=r"must|cannot|starts|below|above"):
        wrong()


def test_a_blanket_makes_no_heat():
    """Nothing given, air colder: no resistance is enough."""
    with pytest.raises(Infeasible, match="heat the enclosure"):
        ashrae.blanket_r_value_m2k_w(concrete_temp_c=12.0, air_temp_c=-10.0, heat_given_w_m2=0.0)
