"""Sweating floors and vapour from the soil, on a real typical year."""

from dataclasses import replace

import numpy as np
import pytest
from tests.files.years import epw_text
from tests.studies.first_week import job, weather

from slabwright.early_age.drivers import drivers
from slabwright.files.weatherfile import parse_weather
from slabwright.model.ground import Insulation, Place, Retarder, Soil
from slabwright.model.job import Building, Enclosure
from slabwright.model.site import Site
from slabwright.model.weather import Weather
from slabwright.results.check import State
from slabwright.standards.ashrae_fundamentals import R_VALUE
from slabwright.standards.vapour_flow import DRYING_RULE, PERM_KG_PA_S_M2, PERMEANCE_FLOW, permeance_flow
from slabwright.standards.wmo_8 import MAGNUS, dew_point_c, saturation_pressure_pa
from slabwright.studies import moisture
from slabwright.studies.moisture.rooms import room
from slabwright.studies.moisture.year import TRIED_R_M2K_W, Variant, a_year, variants
from slabwright.study import Inputs, Waiting, run_studies
from slabwright.units import Family

PLACE = Place(latitude_deg=36.1, longitude_deg=-79.95)
YEAR = parse_weather("climate.epw", epw_text(), PLACE)[0]
OTHER = parse_weather("climate.epw", epw_text("703165TY.csv"), Place(latitude_deg=55.2, longitude_deg=-162.7))[0]
SHED = job(place=PLACE, building=Building(enclosure=Enclosure.ENCLOSED))


def outcome(a_job=SHED, climate: Weather | None = YEAR, forecast: Weather | None = None):
    return run_studies((moisture.STUDY,), Inputs(job=a_job, site=Site(climate=climate, weather=forecast))).outcomes["moisture"]


ENCLOSED = outcome()


def test_it_waits_for_a_year_of_weather():
    """A few days do not tell; a long enough record does."""
    few = outcome(climate=None, forecast=weather()).result

    assert isinstance(few, Waiting)
    assert "climate.epw" in few.reason
    assert not isinstance(outcome(climate=None, forecast=YEAR).result, Waiting)


@pytest.mark.published(MAGNUS)
def test_sweating_is_the_surface_at_or_below_the_dew_point():
    """Hour by hour, against the published dew point of that hour's air."""
    found = ENCLOSED.result
    first = found.years[0]
    hours = np.flatnonzero(first.wet)
    assert hours.size > 20
    for hour in hours[:: max(1, hours.size // 25)]:
        humidity = found.room.vapour_pa[hour] / saturation_pressure_pa(temp_c=float(found.room.air_c[hour]))
        dew = dew_point_c(air_temp_c=float(found.room.air_c[hour]), rel_humidity=min(1.0, humidity))
        assert first.surface_c[hour] <= dew + 0.01


def test_the_floor_sweats_when_warm_damp_air_comes_over_cold_concrete():
    """Hours fall in the warming half of the year; the answer counts them and names the worst month; the caution stands there."""
    found = ENCLOSED.result
    by_month = found.years[0].hours_by_month(np.array(found.months))

    assert sum(by_month) == int(found.years[0].wet.sum())
    assert f"*{sum(by_month)} hours*" in found.answer
    assert any("slippery" in caution.text for caution in found.cautions)
    assert sum(by_month[:7]) > sum(by_month[7:])


def test_every_year_closes_its_balance_of_energy():
    """To a thousandth, and far better."""
    assert max(year.gap for year in ENCLOSED.result.years) < 1e-6


def test_insulation_below_lets_the_floor_follow_the_room():
    """R 10 under the slab: fewer hours of sweating, a wider swing of the surface."""
    drawn, insulated = ENCLOSED.result.years[:2]

    assert "R 10 below" in insulated.variant.name
    assert insulated.wet.sum() < drawn.wet.sum()
    assert insulated.surface_c.std() > drawn.surface_c.std()


def test_a_heated_floor_hardly_sweats_and_an_open_one_more():
    """The kind of building decides."""
    heated = outcome(replace(SHED, building=Building(enclosure=Enclosure.HEATED))).result
    open_roof = outcome(replace(SHED, building=Building(enclosure=Enclosure.OPEN))).result

    assert heated.years[0].wet.sum() < 0.5 * ENCLOSED.result.years[0].wet.sum()
    assert open_roof.years[0].wet.sum() > heated.years[0].wet.sum()
    assert heated.room.air_c.min() >= 20.0


def test_the_deep_soil_damps_the_year():
    """Under the slab the year's swing is smaller and later than over it."""
    first = ENCLOSED.result.years[0]
    daily = first.surface_c.reshape(-1, 24).mean(axis=1), first.below_c.reshape(-1, 24).mean(axis=1)

    assert np.ptp(daily[1]) < np.ptp(daily[0])
    assert abs(first.below_c.mean() - first.surface_c.mean()) < 3.0


def test_variants_follow_what_is_drawn():
    """As built, the other way round, and the strip along the edge where there is one."""
    foam = Insulation(place="floor", thickness_m=0.05, resistance_m2k_w=12 * R_VALUE)
    skirt = Insulation(place="skirt", thickness_m=0.05, resistance_m2k_w=11 * R_VALUE)

    assert ["inner floor, as drawn", "inner floor, R 10 below"] == [v.name for v in variants((), has_edge=False)]
    assert ["inner floor, as drawn", "inner floor, nothing below", "outer strip, as drawn"] == [
        v.name for v in variants((foam, skirt), has_edge=True)
    ]
    assert TRIED_R_M2K_W == variants((), has_edge=True)[-1].edge_m2k_w


def test_an_insulated_edge_keeps_the_outer_strip_off_the_outside():
    """In the winter of a heated building the strip is warmer with R 10 at the edge."""
    air = drivers(YEAR, PLACE)
    warm = room(Enclosure.HEATED, air)
    bare, kept = (
        a_year(Variant(name=name, edge_m2k_w=r), 0.127, 2400.0, Soil(soil_class="SM"), None, warm, air)
        for name, r in (("bare", 0.0), ("kept", TRIED_R_M2K_W))
    )

    assert kept.surface_c[:700].mean() > bare.surface_c[:700].mean() + 0.3


@pytest.mark.published(PERMEANCE_FLOW)
def test_vapour_drive_is_permeance_times_difference_in_each_month():
    """Sheet and slab in series; a tighter class lets less through; without a sheet only the slab holds it."""
    found = ENCLOSED.result
    july = np.array(found.months) == 7
    air = float(found.room.air_c[july].mean())
    slab = 3.2 * PERM_KG_PA_S_M2 / 5.0
    sheet = 0.1 * PERM_KG_PA_S_M2
    by_hand = permeance_flow(
        permeance_kg_pa_s_m2=1 / (1 / sheet + 1 / slab), soil_temp_c=float(found.years[0].below_c[july].mean()), room_temp_c=air,
        room_humidity=float(found.room.vapour_pa[july].mean()) / saturation_pressure_pa(temp_c=air),
    )  # fmt: skip

    assert pytest.approx(by_hand.flow_kg_m2_s, rel=0.01, abs=1e-12) == found.drives["class I"][6].flow_kg_m2_s
    largest = [max(drive.flow_kg_m2_s for drive in drives) for drives in found.drives.values()]
    assert largest == sorted(largest)


@pytest.mark.published(DRYING_RULE)
def test_a_covering_waits_for_drying_and_asks_its_owner():
    """5 in.: 140 to 150 days; with 10-mil sheet the drive is within what coverings stand, with none it may not be."""
    covered = replace(SHED, building=Building(enclosure=Enclosure.HEATED, floor_covering=True))
    found, bare = outcome(covered).result, outcome(replace(covered, retarder=None)).result

    assert pytest.approx((140.0, 150.0)) == (found.drying.low_days, found.drying.high_days)
    assert any("140 to 150 days" in task.what for task in found.tasks)
    assert State.HOLDS is found.checks[0].state
    assert bare.checks[0].demand > found.checks[0].demand
    assert any("Without a sheet" in one.question for one in bare.referrals)
    assert any("0.1 perm" in one.statement for one in found.assumptions)
    stated = outcome(replace(covered, retarder=Retarder(thickness_m=0.000381, permeance_kg_pa_s_m2=0.01 * PERM_KG_PA_S_M2))).result
    assert stated.checks[0].demand < found.checks[0].demand


def test_a_cold_maritime_year_sweats_too():
    """The other year that comes with the library: nothing breaks at 55 degrees north, in SI."""
    found = outcome(replace(SHED, family=Family.SI, edge=None, pads=()), OTHER).result

    assert 2 == len(found.years)
    assert "sweat" in found.answer


def test_what_is_shown():
    """Bars by month and variant; hours and vapour by month."""
    shown = ENCLOSED.presentation()

    assert ["Hours of sweating", "Vapour from the soil by retarder, mean of the month"] == [table.title for table in shown.tables]
    assert all(len(row) == len(table.columns) for table in shown.tables for row in table.rows)
    assert "sweating" == shown.pictures[0].key
