"""The mix: what is asked of the supplier."""

from dataclasses import replace

import pytest

from slabwright.files.examples import example_text
from slabwright.files.jobfile import parse_job
from slabwright.geometry.foundation import PartKind
from slabwright.model.supply import Crew, Mix, Plant
from slabwright.results.check import Ask, State
from slabwright.results.notes import Notes
from slabwright.standards import aci_305r
from slabwright.studies import mix, shape
from slabwright.studies.mix.ordered_heat import say_limits
from slabwright.studies.mix.study import clear_spacings, required_mean_pa
from slabwright.studies.mix.temperature import Means, fresh_heat
from slabwright.study import Inputs, Waiting, run_studies
from slabwright.units import CUBIC_YARD_M3, INCH_M, POUND_KG, PSI_PA

JOBS = {name: parse_job(example_text(name), name).job for name in ("store", "dairy")}
BARE = replace(JOBS["store"], mix=Mix(strength_pa=3500 * PSI_PA), bars=())


def plan_of(job):
    return run_studies((shape.STUDY, mix.STUDY), Inputs(job=job))


def test_stages_share_the_whole_volume():
    """Ring and floor add up to the body."""
    plan = plan_of(BARE)
    volumes = plan[shape.STUDY].volumes

    assert pytest.approx(volumes.total_m3) == sum(stage.volume_m3 for stage in plan[mix.STUDY].stages)
    assert pytest.approx(volumes.of_kind_m3(PartKind.FLOOR)) == plan[mix.STUDY].stages[1].volume_m3


def test_the_ring_is_stiffer_than_the_floor_and_a_screed_stiffens_the_floor():
    """Edge 3 to 4 in., floor 4 to 5 in. (common practice, no source)."""
    ring, floor = plan_of(replace(BARE, crew=Crew()))[mix.STUDY].stages
    screeded = plan_of(replace(BARE, crew=Crew(vibrating_screed=True)))[mix.STUDY].stages[1]

    assert 3 * INCH_M <= ring.slump_m <= 4 * INCH_M < floor.slump_m <= 5 * INCH_M
    assert screeded.slump_m < floor.slump_m


def test_a_european_job_is_ordered_the_other_way_round():
    """S3 for the footing, 100 to 150 mm; S2 for the floor, 50 to 90 mm (BS 8500-1 tables of use, quoted)."""
    job = replace(JOBS["dairy"], mix=replace(JOBS["dairy"].mix, slump_m=None))
    ring, floor = plan_of(job)[mix.STUDY].stages

    assert (0.100, 0.150) == (ring.low_m, ring.high_m)
    assert (0.050, 0.090) == (floor.low_m, floor.high_m)


@pytest.mark.parametrize(("psi", "mean"), [(2500, 3500), (3500, 4700), (5000, 6200), (6000, 7300)])
def test_required_mean_strength_without_records(psi, mean):
    """1,000 psi more below 3,000; 1,200 from 3,000 to 5,000; 1.1 f'c + 700 above (ACI 301 and earlier ACI 318, from memory)."""
    assert pytest.approx(mean) == required_mean_pa(psi * PSI_PA) / PSI_PA


def test_a_stone_over_a_third_of_the_floor_does_not_hold():
    """2 in. in a 5 in. floor: limit 1.67 in."""
    check = next(
        c for c in plan_of(replace(BARE, mix=Mix(strength_pa=25e6, aggregate_size_m=2 * INCH_M)))[mix.STUDY].checks if c.key == "aggregate"
    )

    assert State.FAILS is check.state
    assert pytest.approx(5 / 3) == check.capacity / INCH_M


def test_a_ratio_too_high_for_its_strength_is_asked_about():
    """0.60 for a mean of 4,700 psi where about 0.51 is usual (ACI 211.1 table, from memory)."""
    asked = plan_of(replace(BARE, mix=Mix(strength_pa=3500 * PSI_PA, w_cm=0.60)))[mix.STUDY].referrals

    assert any(one.to is Ask.SUPPLIER and "0.60" in one.question for one in asked)


def test_no_time_limit_is_a_question_and_a_stated_one_is_not():
    """Newer editions of the delivery standard set none."""
    assert any("time limit" in one.question for one in plan_of(BARE)[mix.STUDY].referrals)
    stated = replace(BARE, mix=Mix(strength_pa=3500 * PSI_PA, time_limit_s=5400.0))
    assert not any("time limit" in one.question for one in plan_of(stated)[mix.STUDY].referrals)


def test_water_within_the_ratio_is_told_for_a_full_load():
    """335 kg of cement, 150 of water, ratio 0.50: 17.5 kg/m³ more; by hand."""
    job = replace(BARE, mix=Mix(strength_pa=25e6, cement_kg_m3=335.0, water_kg_m3=150.0, w_cm=0.50))
    water = plan_of(job)[mix.STUDY].water

    assert pytest.approx(17.5) == water.water_kg_m3
    assert pytest.approx(17.5 * job.plant.truck_m3 / 1000) == water.water_m3


def test_without_a_mix_the_study_waits():
    """It says what to write."""
    outcome = plan_of(replace(BARE, mix=None)).outcomes["mix"]

    assert isinstance(outcome.result, Waiting)
    assert "[mix] strength" in outcome.result.reason


def with_weights(**weights):
    return mix_result(replace(JOBS["store"], mix=replace(JOBS["store"].mix, **weights)))


def mix_result(job):
    return plan_of(job)[mix.STUDY]


def test_weights_too_light_for_the_unit_weight_are_a_short_load():
    """2,100 kg to the cubic metre at 2,400 make 0.875 of it, by hand."""
    result = with_weights(cement_kg_m3=300.0, water_kg_m3=150.0, aggregate_kg_m3=1650.0, unit_weight_kg_m3=2400.0)
    check = next(one for one in result.checks if one.key == "yield")

    assert State.FAILS is check.state
    assert pytest.approx(0.875) == check.capacity
    assert any("fill" in one.question for one in result.referrals)


@pytest.mark.parametrize("name", JOBS)
def test_the_weights_of_the_examples_fill_what_is_ordered(name):
    result = mix_result(JOBS[name])

    assert State.HOLDS is next(one for one in result.checks if one.key == "yield").state
    assert not any("usual densities" in one.question for one in result.referrals)


PCY = POUND_KG / CUBIC_YARD_M3
"""Pound to the cubic yard. [kg/m³]"""
WEIGHTS = {"aggregate_kg_m3": 3100 * PCY, "cement_kg_m3": 564 * PCY, "water_kg_m3": 282 * PCY}
AT_THE_DOOR = Plant(travel_out_s=0.0)


def f(degrees):
    return (degrees - 32) / 1.8


def heat_of(wanted, *, air=80, plant=AT_THE_DOOR, **stated):
    """Fahrenheit throughout."""
    temps = {name: f(value) for name, value in stated.items() if name.endswith("_c")}
    rest = {name: value for name, value in stated.items() if not name.endswith("_c")}
    return fresh_heat(Mix(strength_pa=25e6, **{**WEIGHTS, **temps, **rest}), plant, f(wanted), f(air), f(air))


@pytest.mark.published(aci_305r.HEAT_BALANCE)
def test_ice_that_a_hot_mix_needs():
    """3,100 lb of aggregate and 282 of water at 80 °F, 564 of cement at 150 °F make 87.98 °F; 75 °F takes 73.6 lb of ice (quoted)."""
    found = heat_of(75, aggregate_temp_c=80, cement_temp_c=150, water_temp_c=80)

    assert Means.ICE is found.means
    assert pytest.approx(87.983, abs=0.1) == found.as_it_lies_c * 1.8 + 32
    assert pytest.approx(73.573, rel=0.01) == found.ice_kg_m3 / PCY
    assert () == found.assumed


@pytest.mark.published(aci_305r.HEAT_BALANCE)
def test_hot_water_that_a_cold_mix_needs():
    """3,000 lb of aggregate at 40 °F with 90 lb of moisture, cement at 50 °F: 190 lb of water at 140 °F make 59.0 °F (quoted)."""
    cold = {
        "aggregate_temp_c": 40,
        "cement_temp_c": 50,
        "aggregate_kg_m3": 3000 * PCY,
        "water_kg_m3": 280 * PCY,
        "aggregate_moisture": 0.03,
    }
    found, colder = heat_of(59.0, air=59, water_temp_c=45, **cold), heat_of(70, air=70, water_temp_c=45, **cold)

    assert Means.HOT_WATER is found.means
    assert pytest.approx(140, abs=0.5) == found.water_needed_c * 1.8 + 32
    assert Means.HOT_AGGREGATE is colder.means
    assert colder.aggregate_needed_c > f(40)


def test_water_is_chilled_before_ice_is_asked_for():
    """A degree of concrete takes 3.9 of water (ACI 305R, from memory): 4 under 87.98 °F take water of 64.6 °F."""
    found = heat_of(83.98, aggregate_temp_c=80, cement_temp_c=150, water_temp_c=80)

    assert Means.CHILLED_WATER is found.means
    assert pytest.approx(80 - 4 * 3.8584, abs=0.1) == found.water_needed_c * 1.8 + 32


def test_what_neither_water_nor_ice_reaches_is_said():
    assert Means.OUT_OF_REACH is heat_of(45, aggregate_temp_c=95, cement_temp_c=150, water_temp_c=80).means


@pytest.mark.parametrize("wanted", [87, 95])
def test_nothing_is_done_about_a_degree_nor_to_heat_warm_concrete(wanted):
    assert Means.NOTHING is heat_of(wanted, aggregate_temp_c=80, cement_temp_c=150, water_temp_c=80).means


def test_the_trip_in_the_cold_is_counted():
    """A quarter of the difference to the air an hour (ACI 306R, from memory): 60 °F an hour through 20 °F is batched at 70 °F."""
    assert pytest.approx(70) == heat_of(60, air=20, plant=Plant(travel_out_s=3600.0)).batch_c * 1.8 + 32


def test_temperatures_not_stated_are_assumed_and_told():
    result = mix_result(JOBS["store"])

    assert ("aggregate", "cement", "water") == result.heat.assumed
    assert any("mix.water_temp" in one.where for one in result.assumptions)
    assert None is heat_of(60, cement_kg_m3=None)


@pytest.mark.parametrize(("wanted_c", "key"), [(36.0, "hot"), (8.0, "cold")])
def test_concrete_ordered_too_hot_or_too_cold_does_not_hold(wanted_c, key):
    """95 °F at most (ACI 301, quoted); 55 °F at least for a thin slab in cold weather (ACI 306R)."""
    job = replace(JOBS["store"], mix=replace(JOBS["store"].mix, placing_temp_c=wanted_c))
    notes = Notes()
    say_limits(job, wanted_c, 2.0, notes)

    assert State.FAILS is next(one for one in notes.checks if one.key == key).state


def test_the_narrowest_clear_spacing_counts():
    """By hand: 2 No.4 in 12 in. with 3 in. of cover leave 5 in.; wires of 0.192 in. at 6 in. leave 5.81 in."""
    found = dict(clear_spacings(JOBS["store"]))

    assert pytest.approx(5.0) == found["edge, 2 No.4 bottom"] / INCH_M
    assert pytest.approx(5.81, abs=0.01) == found["mesh"] / INCH_M


def test_the_order_names_temperature_fibres_and_tests():
    table = next(one for one in plan_of(JOBS["store"]).outcomes["mix"].presentation().tables if one.title == "Order for the dispatcher")
    asked = {row[0] for row in table.rows}

    assert {"Concrete at the chute", "Mixing water", "Fibres", "Tests at the chute", "Strength samples, unit weight with each"} <= asked
