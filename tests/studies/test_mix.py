"""The mix: what is asked of the supplier."""

from dataclasses import replace

import pytest

from slabwright.files.examples import example_text
from slabwright.files.jobfile import parse_job
from slabwright.geometry.foundation import PartKind
from slabwright.model.supply import Crew, Mix
from slabwright.results.check import Ask, State
from slabwright.studies import mix, shape
from slabwright.studies.mix.study import required_mean_pa
from slabwright.study import Inputs, Waiting, run_studies
from slabwright.units import INCH_M, PSI_PA

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
