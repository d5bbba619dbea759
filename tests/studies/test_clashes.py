"""Rules that quarrel: which arise on which job, what either choice costs, and how decisions find them."""

import re
from dataclasses import replace
from datetime import date
from functools import cache

import pytest

from slabwright.files.examples import example_text
from slabwright.files.jobfile import parse_job
from slabwright.model.concrete import Finish
from slabwright.model.job import Decision
from slabwright.results.check import Ask, State
from slabwright.studies import bearing, clashes, joints, shape
from slabwright.studies.clashes.even_grid import even_grid
from slabwright.study import Inputs, run_studies
from slabwright.units import CUBIC_YARD_M3, FOOT_M, INCH_M

NAMES = ("store", "shelter", "station", "dairy")
JOBS = {name: parse_job(example_text(name), name).job for name in NAMES}

# Rows of the table of clashes, by job: where a row does not arise the rule must be silent.
ARISE = {
    "air_and_trowel": {"shelter"},  # frost class F2; the others are closed, XF1 asks for no air
    "sheet_and_electrode": {"station"},  # the only electrode
    "posts_and_one_pour": set(NAMES),
    "joints_and_pads": {"store", "shelter", "station"},  # on the dairy the even grid is already right
    "ties_and_cuts": {"station", "dairy"},  # hairpins and U-bars
    "ballast_and_joints": set(NAMES),
    "falls_and_base": {"shelter", "station", "dairy"},
    "ring_and_seam": {"shelter", "station", "dairy"},  # on the small store the whole ring first is fine
    "settle_and_live": set(NAMES),
    "sheet_and_stakes": {"store", "station", "dairy"},  # the shelter has no sheet
    "frame_and_saw": {"store", "station"},  # walls in the way of the saw
    "wet_cure_and_curl": {"store", "station", "dairy"},
    "slump_and_custom": set(NAMES),
    "chairs_by_book": {"store"},  # wire lighter than W4
    "rods_and_tolerance": {"station", "dairy"},  # steel frames on anchor rods
    "wet_set_and_fixed": {"shelter"},
    "compound_and_covering": set(),
}


@cache
def plan(name):
    return run_studies((shape.STUDY, joints.STUDY, clashes.STUDY), Inputs(job=JOBS[name]))


def found(job):
    """A changed example; joints that the change does not touch are those of the example."""
    name = next(name for name, one in JOBS.items() if one.name == job.name)
    return run_studies((shape.STUDY, joints.STUDY, clashes.STUDY), Inputs(job=job), earlier=plan(name))


def result(name):
    return plan(name)[clashes.STUDY]


def clash(name, key):
    return next(one for one in result(name).clashes if one.key == key)


@pytest.mark.parametrize("name", NAMES)
def test_each_row_arises_where_it_applies_and_is_silent_elsewhere(name):
    assert {key for key, names in ARISE.items() if name in names} == {one.key for one in result(name).clashes}


def test_the_table_names_every_rule():
    assert len(ARISE) == len(clashes.study.RULES)


@pytest.mark.parametrize("name", NAMES)
def test_every_clash_names_places_choices_and_who_decides(name):
    for one in result(name).clashes:
        assert one.spots
        assert one.where
        assert 2 <= len(one.options)
        assert all(option.choice and option.then.endswith(".") for option in one.options)
        assert isinstance(one.ask, Ask)


@pytest.mark.parametrize("name", NAMES)
def test_consequences_are_told_in_numbers(name):
    """At least one choice of every clash says how much, how long or how far."""
    for one in result(name).clashes:
        assert any(any(letter.isdigit() for letter in option.then) for option in one.options), one.key


def test_the_even_grid_of_the_small_store_runs_over_both_pads():
    """x = 15; y = 12, 24 ft: 96 ft of cut, the line x = 15 through both pads (worked by hand on the plan).

    A pad 2.5 ft square, 14 in. deep under a 5 in. floor, sides at 45 degrees: 2.5 + 2 x 9/12 = 4 ft, two of them 8 ft.
    """
    grid = even_grid(plan("store")[shape.STUDY].foundation, JOBS["store"].joints)

    assert pytest.approx(96.0) == grid.length_m / FOOT_M
    assert ("P1", "P2") == tuple(part.name for part in grid.met)
    assert pytest.approx(8.0) == grid.lost_m / FOOT_M


@pytest.mark.parametrize(("name", "wedge"), [("station", "3 3/4 in"), ("dairy", "81 mm"), ("shelter", "7 5/8 in")])
def test_the_wedge_of_a_level_base(name, wedge):
    """1/8 in. per ft over 30 ft; 1:80 over 6.5 m; 1 % over 64 ft is 7.68 in.: fall times run, by hand."""
    assert wedge in clash(name, "falls_and_base").options[1].then


def test_what_lies_between_tie_and_cut():
    """3 in. less 1 3/4 in."""
    assert "1 1/4 in between" in clash("station", "ties_and_cuts").options[0].then


def test_light_wire_on_one_thousand_and_eighty_square_feet():
    """One support to the square foot, one to nine."""
    then = [option.then for option in clash("store", "chairs_by_book").options]

    assert "About 1080" in then[0]
    assert "About 120" in then[1]


def test_undecided_clashes_are_questions_and_stand_first():
    """The station has one decision; every other clash is asked, none twice."""
    station = result("station")

    assert [False] * 12 + [True] == [one.is_settled for one in station.clashes]
    assert 12 == len(station.referrals)
    assert State.ASK is station.state
    assert "sheet_and_electrode" == station.clashes[-1].key
    assert "*12* of 13" in station.answer


def test_a_decision_without_name_or_day_settles_nothing():
    job = replace(JOBS["station"], decisions=(Decision(clash="ties and cuts", choice="ties below"),))
    found_ = found(job)[clashes.STUDY]
    ties = next(one for one in found_.clashes if one.key == "ties_and_cuts")

    assert not ties.is_settled
    assert any("without a name and a day" in one.question for one in found_.referrals)


def test_a_decision_that_names_no_clash_does_not_hold():
    """A store without an electrode has nothing to decide about it."""
    stray = Decision(clash="sheet below the edge against the earth electrode", choice="x", by="y", on=date(2026, 1, 1))
    found_ = found(replace(JOBS["store"], decisions=(stray,)))[clashes.STUDY]

    assert (stray,) == found_.astray
    assert State.FAILS is found_.state
    assert "names a clash" in found_.checks[0].name
    assert "isolated posts" in found_.checks[0].remedy


@pytest.mark.parametrize("said", ["air and hard trowel", "air_and_trowel", "Air for frost against a hard trowel"])
def test_decisions_are_found_by_key_or_words(said):
    job = replace(JOBS["shelter"], decisions=(Decision(clash=said, choice="broom", by="owner", on=date(2026, 6, 2)),))

    assert () == found(job)[clashes.STUDY].astray


def test_all_settled_says_so():
    keys = [one.key for one in result("store").clashes]
    job = replace(JOBS["store"], decisions=tuple(Decision(clash=key, choice="as drawn", by="b", on=date(2026, 3, 1)) for key in keys))
    found_ = found(job)[clashes.STUDY]

    assert State.HOLDS is found_.state
    assert "All 9" in found_.answer


def test_air_under_a_trowel_clashes_without_frost():
    """5 % under a trowel where no frost class asks for it."""
    job = replace(JOBS["store"], mix=replace(JOBS["store"].mix, air=0.05))
    keys = {one.key for one in found(job)[clashes.STUDY].clashes}
    broom = {one.key for one in found(replace(job, floor=replace(job.floor, finish=Finish.BROOM)))[clashes.STUDY].clashes}

    assert "air_and_trowel" in keys
    assert "air_and_trowel" not in broom


def test_a_covering_to_be_glued_and_a_compound():
    job = replace(JOBS["dairy"], building=replace(JOBS["dairy"].building, floor_covering=True))

    assert "compound_and_covering" in {one.key for one in found(job)[clashes.STUDY].clashes}


def test_a_level_base_is_priced_in_concrete():
    """The shelter: 1 % over 64 ft, mean 0.32 ft on 7,936 ft² is 94 yd³ where the whole floor counts; edges and pads hang from it."""
    then = clash("shelter", "falls_and_base").options[1].then
    volume = float(then.split()[0])

    assert volume < 7936 * 0.32 * FOOT_M**3 / CUBIC_YARD_M3
    assert pytest.approx(plan("shelter")[shape.STUDY].level_base_m3 / CUBIC_YARD_M3, rel=0.01) == volume


def test_pictures_and_tables_show_each_clash():
    shown = plan("store").outcomes["clashes"].presentation()

    assert 1 == len(shown.pictures)
    assert {one.title for one in shown.tables} == {"What follows from either choice", "Decisions"}
    assert 9 == len(shown.tables[1].rows)


def test_small_words_do_not_catch_every_clash():
    """One word of two is no name."""
    stray = Decision(clash="the sheet", choice="x", by="y", on=date(2026, 1, 1))

    assert (stray,) == found(replace(JOBS["store"], decisions=(stray,)))[clashes.STUDY].astray


def test_an_edge_that_stands_is_told_by_its_depth():
    """Deepest of the store: 20 in."""
    assert "20 in" in clash("store", "settle_and_live").why
    assert pytest.approx(20.0) == JOBS["store"].edge.depth_m / INCH_M


@pytest.mark.parametrize("name", NAMES)
def test_ballast_is_used_as_far_as_the_study_of_bearing_says(name):
    """The same ratio stands in both; with floor counted it is lower."""
    borne = run_studies((shape.STUDY, joints.STUDY, bearing.STUDY, clashes.STUDY), Inputs(job=JOBS[name]), earlier=plan(name))
    one = next(one for one in borne[clashes.STUDY].clashes if one.key == "ballast_and_joints")
    uplift = borne[bearing.STUDY].uplift
    worst = max(uplift, key=lambda post: uplift[post].ratio)
    alone, with_floor = (option.then for option in one.options)
    nearest = re.search(r"At (\w+) that is", with_floor)[1]
    less, more = (float(part) for part in re.search(r"(\d+) % used instead of (\d+) %", with_floor).groups())

    assert f"at {worst}, the worst, they are {100 * uplift[worst].ratio:.0f} % used under {uplift[worst].combination}" in alone
    assert pytest.approx(100 * uplift[nearest].ratio, abs=0.5) == more
    assert less < more


def test_without_bearing_the_ballast_clash_still_arises():
    """Loads that are not known yet take nothing from the plan but the ratio."""
    assert "used" not in clash("store", "ballast_and_joints").options[0].then
