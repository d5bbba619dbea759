"""Forms: push, spacing and bracing, against hand work."""

from dataclasses import replace

import pytest

from slabwright.files.examples import example_text
from slabwright.files.jobfile import parse_job
from slabwright.model.supply import Forms
from slabwright.results.check import State
from slabwright.studies import forms, shape
from slabwright.studies.forms.bracing import usual_spacing_m
from slabwright.study import Inputs, Waiting, run_studies
from slabwright.units import FOOT_M, INCH_M, POUND_FORCE_N

JOB = parse_job(example_text("store"), "store").job


def result_of(job):
    return run_studies((shape.STUDY, forms.STUDY), Inputs(job=job)).outcomes["forms"].result


def test_the_push_is_the_full_liquid_head_of_what_stands_against_the_board():
    """0.5 w (2/3 ft)² with the unit weight of the mix; worked by hand, 33.3 lb/ft at 150 pcf."""
    job = replace(JOB, forms=replace(JOB.forms, board_height_m=8 * INCH_M))
    found = result_of(job).runs[0]

    assert pytest.approx(0.5 * (JOB.mix.unit_weight_kg_m3 / 16.01846) * (2 / 3) ** 2, rel=1e-3) == found.thrust_n_m * FOOT_M / POUND_FORCE_N


@pytest.mark.parametrize(("height_in", "spacing_in"), [(4, 32), (8, 28), (12, 24), (24, 24)])
def test_the_widest_spacing_is_that_of_the_trade(height_in, spacing_in):
    """32 in. for a 4 in. slab, 24 in. for 12 in.; common practice, no source."""
    assert pytest.approx(spacing_in) == usual_spacing_m(height_in * INCH_M) / INCH_M


def test_high_forms_get_kickers_and_kickers_lift():
    """Over 6 in. a kicker at each stake; by hand its lift is push x tan 45°: F s / 2 for a kicker at two thirds."""
    run = result_of(replace(JOB, forms=Forms(board_height_m=24 * INCH_M))).runs[0]

    assert run.kickers
    assert pytest.approx(run.thrust_n_m * run.stake_spacing_m / 2) == run.uplift_n
    assert not result_of(replace(JOB, forms=Forms(board_height_m=5 * INCH_M))).runs[0].kickers


def test_a_stated_spacing_that_is_too_wide_does_not_hold_and_says_what_to_do():
    """Stakes 10 ft apart on a 24 in. form."""
    found = result_of(replace(JOB, forms=Forms(board_height_m=24 * INCH_M, stake_spacing_m=10 * FOOT_M)))

    assert State.FAILS is found.state
    assert any("closer together" in check.remedy for check in found.checks if check.state is State.FAILS)


def test_stakes_are_one_more_than_spaces():
    """The list orders them for the whole ring."""
    found = result_of(JOB)
    run = found.runs[0]

    assert run.n_stakes - 1 >= run.length_m / run.stake_spacing_m - 1e-9
    assert sum(one.n_stakes for one in found.runs) == next(line for line in found.lines if line.key == "forms.stakes").quantity


def test_a_rested_lift_is_told_and_never_counted():
    """The design value stays the full head whatever the slump."""
    found = result_of(JOB)

    assert found.rested_pa < found.head_pa
    assert any("never counted on" in caution.text for caution in found.cautions)


def test_without_an_edge_the_study_waits():
    """It says what to write."""
    waiting = result_of(replace(JOB, edge=None))

    assert isinstance(waiting, Waiting)
    assert "top_above_grade" in waiting.reason
