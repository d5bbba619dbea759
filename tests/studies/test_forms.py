"""Forms: push, spacing and bracing, against hand work."""

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely

from slabwright.files.examples import example_text
from slabwright.files.jobfile import parse_job
from slabwright.model.supply import Forms
from slabwright.results.check import State
from slabwright.studies import forms, shape
from slabwright.studies.forms.bracing import usual_spacing_m
from slabwright.studies.forms.study import sides_of
from slabwright.study import Inputs, Waiting, run_studies
from slabwright.units import FOOT_M, INCH_M, POUND_FORCE_N, PSF_PA, PSI_PA

JOB = parse_job(example_text("store"), "store").job


def result_of(job):
    return run_studies((shape.STUDY, forms.STUDY), Inputs(job=job)).outcomes["forms"].result


def presented(job):
    return run_studies((shape.STUDY, forms.STUDY), Inputs(job=job)).outcomes["forms"].presentation()


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


@pytest.mark.parametrize(("embedment_in", "kickers"), [(18, False), (8, True)])
def test_low_forms_get_kickers_only_where_stakes_alone_do_not_hold(embedment_in, kickers):
    """5 in. of concrete, 13 plf: by hand a 1 1/2 in. stake 18 in. deep holds 42 / 1.5 lb, for 25 in.; one 8 in. deep 5 lb, for 5 in."""
    forms = Forms(board_height_m=5 * INCH_M, stake_embedment_m=embedment_in * INCH_M)

    assert kickers is result_of(replace(JOB, forms=forms)).runs[0].kickers


def test_one_station_of_the_store_by_hand():
    """150 pcf, 9 1/4 in. of concrete against 2-by lumber, stakes 26 in. apart, kicker at two thirds and 45°. Statics and beam factors
    0.1, 0.6 and 0.0069 of three equal spans, lumber 875, 135 and 1.4e6 psi (NDS 2018 table 4A, from memory), stake by Broms (from
    memory), each worked on paper in the units printed.
    """
    run = result_of(JOB).runs[0]
    checks = {one.key.split(".")[1]: one for one in run.checks}
    thrust = 150 * (9.25 / 12) ** 2 / 2
    at_stake = thrust * 26 / 12
    line, section, inertia = thrust / 12, 9.25 * 1.5**2 / 6, 9.25 * 1.5**3 / 12
    found = {
        "bending": line * 26**2 / 10 / section, "shear": 1.5 * 0.6 * line * 26 / (9.25 * 1.5), "kicker": at_stake / 2, "toe": at_stake / 2,
        "line": 0.0069 * line * 26**4 / (1.26e6 * inertia), "top": 150 * 26**3 / (48 * 1.26e6 * 1.5 * 9.25**3 / 12),
    }  # fmt: skip
    holds = {
        "bending": 875 * 1.25 * 0.85 * 1.15, "shear": 135 * 1.25 * 0.97, "kicker": 0.5 * 110 * 0.125 * 2**2 * 3 / 1.5,
        "toe": 0.5 * 110 * 0.125 * 1**2 * 3 / 1.5 + 300, "line": 0.125, "top": 0.125,
    }  # fmt: skip
    units = {"pa": PSI_PA, "n": POUND_FORCE_N, "m": INCH_M}
    lift = at_stake / 2 + (150 * 9.25 / 12 * 1.5 / 12 - 28 * 9.25 * 1.5 / 144) * 26 / 12
    pull = 0.6 * 110 / 2 * math.tan(math.radians(22.5)) * 4 * 0.125 / 1.5

    assert pytest.approx(26) == run.stake_spacing_m / INCH_M
    assert pytest.approx(24) == run.kicker_embedment_m / INCH_M
    assert pytest.approx(found, rel=2e-3) == {key: one.demand / units[one.suffix] for key, one in checks.items()}
    assert pytest.approx(holds, rel=2e-3) == {key: one.capacity / units[one.suffix] for key, one in checks.items()}
    assert pytest.approx(math.ceil((lift - pull) / 10) * 10) == run.hold_down_n / POUND_FORCE_N


def test_stakes_in_clay_are_reckoned_in_clay():
    """Clay of no stated strength is taken as medium, 500 psf, and said so; no stake is under 12 in."""
    capacities = {}
    for name, soil in {
        "sand": replace(JOB.soil, soil_class="SW"),
        "medium": replace(JOB.soil, soil_class="CL"),
        "stated": replace(JOB.soil, soil_class="CL", undrained_strength_pa=1000 * PSF_PA),
    }.items():
        found = result_of(replace(JOB, soil=soil))
        capacities[name] = next(one for one in found.checks if one.key == "perimeter.toe").capacity / POUND_FORCE_N - 300
        assert (name == "stated") == all("soil.undrained_strength" != one.where for one in found.assumptions)
        assert found.runs[0].kicker_embedment_m >= 12 * INCH_M - 1e-9
    a, b = 1.5 * 0.125, 1 - 1.5 * 0.125  # the store's stakes: 1 1/2 in. wide, 12 in. deep, pushed at the ground
    medium = 9 * 500 * 0.125 * (math.hypot(2 * a + b, b) - 2 * a - b) / 1.5

    assert pytest.approx(0.5 * 110 * 0.125 * 3 / 1.5, rel=1e-6) == capacities["sand"]
    assert pytest.approx(medium, rel=1e-6) == capacities["medium"]
    assert pytest.approx(2 * medium, rel=1e-6) == capacities["stated"]


def test_a_stated_hold_down_is_checked():
    """30 lb are too few for the store's forms with stakes 26 in. apart and bring them closer where spacing is open; 100 lb are enough."""

    def held(pounds, spacing_m=None):
        result = result_of(replace(JOB, forms=replace(JOB.forms, hold_down_n=pounds * POUND_FORCE_N, stake_spacing_m=spacing_m)))
        return next(one for one in result.checks if one.key == "perimeter.lift").state, result.runs[0].stake_spacing_m

    assert State.FAILS is held(30, 26 * INCH_M)[0]
    assert held(30)[1] < held(100)[1] == pytest.approx(26 * INCH_M)
    assert State.HOLDS is held(30)[0] is held(100)[0]


def test_a_steel_form_is_held_to_the_section_its_maker_states():
    """S 0.9 in³, I 1.1 in⁴, 1.5 in² of 36 ksi steel: 21.6 and 14.4 ksi (AISC 1989, from memory); stresses by hand at 26 in."""
    section = {"section_modulus_m3": 0.9 * INCH_M**3, "second_moment_m4": 1.1 * INCH_M**4, "shear_area_m2": 1.5 * INCH_M**2}
    steel = replace(JOB.forms, material="steel", yield_pa=36e3 * PSI_PA, **section)
    run = result_of(replace(JOB, forms=steel)).runs[0]
    line = 150 * (9.25 / 12) ** 2 / 2 / 12
    bending, shear, out = run.checks[:3]

    assert pytest.approx((line * 26**2 / 10 / 0.9, 21600), rel=1e-3) == (bending.demand / PSI_PA, bending.capacity / PSI_PA)
    assert pytest.approx((0.6 * line * 26 / 1.5, 14400), rel=1e-3) == (shear.demand / PSI_PA, shear.capacity / PSI_PA)
    assert pytest.approx(0.0069 * line * 26**4 / (29e6 * 1.1), rel=1e-3) == out.demand / INCH_M


def test_a_steel_form_without_its_section_waits():
    waiting = result_of(replace(JOB, forms=replace(JOB.forms, material="steel")))

    assert isinstance(waiting, Waiting)
    assert "forms.section_modulus" in waiting.reason


def test_lifts_are_liquids_and_the_floor_on_a_rested_lift_is_expected_to_press_less():
    """9 1/4 in. less 5 in. of floor are 53.1 psf, the whole 115.6; the published formula never goes under the head here."""
    first, over, whole = result_of(JOB).lifts

    assert pytest.approx((4.25 * 12.5, 9.25 * 12.5), rel=1e-3) == (first.head_pa / PSF_PA, whole.head_pa / PSF_PA)
    assert pytest.approx(5 * 12.5 * PSF_PA + first.rested_pa, rel=1e-3) == over.rested_pa
    assert all(one.formula_pa == pytest.approx(one.head_pa) for one in (first, over, whole))
    assert over.rested_pa < whole.head_pa


def test_every_side_has_its_stakes_and_its_boards():
    """30 and 36 ft with stakes 26 in. apart: 14 and 17 spaces, one stake more; boards of 16 ft and a rest; stations run round."""
    table = next(one for one in presented(JOB).tables if one.title == "Stakes, kickers and boards by side")

    assert [15, 18, 15, 18] == [row[3] for row in table.rows]
    assert "1 of 16'-0\" and 1 of 14'-0\"" == table.rows[0][5]
    assert pytest.approx([0, 30, 66, 96, 132]) == [*(row[1] / FOOT_M for row in table.rows), table.rows[-1][2] / FOOT_M]


def test_a_round_form_is_one_side_and_points_on_a_straight_one_are_no_corners():
    """48 chords of 1 m radius are 96 sin 3.75° = 6.2789 m, by hand; a square with a point in the middle of a side has four sides."""
    turns = np.linspace(0, 2 * np.pi, 49)[:-1]
    ring = shapely.LinearRing(np.stack([np.cos(turns), np.sin(turns)], axis=1))
    square = shapely.LinearRing([(1, 0), (2, 0), (2, 2), (0, 2), (0, 0)])

    assert pytest.approx((96 * math.sin(math.radians(3.75)),)) == sides_of([ring])
    assert pytest.approx((2, 2, 2, 2)) == sides_of([square])


def test_a_top_at_grade_has_no_form():
    """A hair above grade is at grade."""
    job = replace(JOB, edge=replace(JOB.edge, top_above_grade_m=1e-25), forms=replace(JOB.forms, board_height_m=None))

    assert isinstance(result_of(job), Waiting)


def test_higher_forms_need_closer_stakes():
    spacings = [run.stake_spacing_m for run in result_of(JOB).by_height[1:]]

    assert spacings == sorted(spacings, reverse=True)


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
