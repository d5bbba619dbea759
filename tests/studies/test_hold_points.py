"""Hold points: the inspection items and acceptance numbers of the trade appear where they apply, and not elsewhere."""

from dataclasses import replace
from datetime import datetime, timedelta
from functools import cache

import pytest

from slabwright.files.examples import example_text
from slabwright.files.jobfile import parse_job
from slabwright.standards import site_acceptance
from slabwright.studies import clashes, forms, hold_points, joints, minimums, mix, shape, under_slab
from slabwright.studies.hold_points import number_text, signed_too_early
from slabwright.study import Inputs, run_studies

NAMES = ("store", "shelter", "station", "dairy")
ALL = set(NAMES)
JOBS = {name: parse_job(example_text(name), name).job for name in NAMES}
STUDIES = (
    shape.STUDY, clashes.STUDY, minimums.STUDY, joints.STUDY, under_slab.STUDY, forms.STUDY, mix.STUDY, hold_points.STUDY,
)  # fmt: skip


def found(job):
    return run_studies(STUDIES, Inputs(job=job))


@cache
def plan(name):
    return found(JOBS[name])


def items(name):
    return {f"{point.key}.{one.key}": one for point in plan(name)[hold_points.STUDY].points for one in point.items}


# key of the point and item: where it applies, and how it reads in US and in SI units.
# The figures are those of published rules and of the trade's own acceptance numbers; the source stands in each item's clause.
EXPECTED = [
    ("reactions.reactions", ALL, None),  # every post in every case
    ("soil.pits", ALL, "at least 2"),  # two pits or more
    ("permit.posted", ALL, ""),
    ("permit.clashes", ALL, "none"),
    ("setting_out.square", ALL, {"US": "at most 1/4 in", "SI": "at most 6 mm"}),  # diagonals
    ("setting_out.boards", ALL, {"SI": "at least 1.2 m"}),  # wood-frame house manual
    ("proof_roll.rut", ALL, {"US": "at most 1/2 in", "SI": "at most 13 mm"}),
    ("proof_roll.grade", ALL, {"US": "±3/4 in", "SI": "±19 mm"}),  # ACI 117-10 4.4.5
    ("proof_roll.shots", ALL, {"US": "at most 12'-0\""}),
    ("proof_roll.thin", ALL, {"US": "at most 3/8 in"}),
    ("proof_roll.fill", ALL, {"US": "at most 24 in"}),  # granular
    ("proof_roll.falls", {"shelter", "station", "dairy"}, ""),  # floors that slope
    ("footing.clean", ALL, ""),
    ("footing.spoil", ALL, {"US": "at least 24 in"}),  # 2 ft back
    ("footing.S1.depth", {"station"}, "as drawn, 14 in"),
    ("pipe_test.test.closet stub", {"station"}, ""),
    ("pipe_test.test.basin waste", {"dairy"}, ""),
    ("pipe_test.stubs", ALL, {"US": "±1/2 in", "SI": "±13 mm"}),
    ("pipe_test.electrode", {"station"}, "at least 20'-0\""),  # NEC 250.52(A)(3)
    ("pipe_test.electrode_cover", {"station"}, "at least 2 in"),
    ("forms.tops", ALL, {"US": "±1/8 in", "SI": "±3 mm"}),
    ("forms.line", ALL, {"US": "±1/8 in", "SI": "±3 mm"}),
    ("forms.settled", ALL, {"US": "at most 1/8 in", "SI": "at most 3 mm"}),
    ("steel.sheet_lap", {"store", "station", "dairy"}, {"US": "at least 6 in", "SI": "at least 300 mm"}),
    ("steel.tears", {"store", "station", "dairy"}, "none"),
    ("steel.boots", {"store", "station", "dairy"}, None),
    ("steel.radon", set(), ""),
    ("steel.caps", ALL, ""),
    ("steel.diagonals", {"station"}, ""),
    ("steel.mesh_lap", {"store", "station", "dairy"}, {"US": "at least 8 in", "SI": "at least 400 mm"}),
    ("steel.chairs", {"store", "station", "dairy"}, {"US": "at most 24 in", "SI": "at most 800 mm"}),
    ("steel.sill_spacing", {"store", "station"}, "at most 6'-0\""),  # IRC R403.1.6
    ("steel.sill_end", {"store", "station"}, "at most 12 in"),
    ("steel.sill_depth", {"store", "station"}, "at least 7 in"),
    ("steel.rod_group", {"station", "dairy"}, {"US": "at most 1/8 in", "SI": "at most 3 mm"}),  # steel frames
    ("steel.rod_groups", {"station", "dairy"}, {"US": "at most 1/4 in", "SI": "at most 6 mm"}),
    ("steel.wet_set", {"shelter"}, ""),
    ("card.services", ALL, ""),
    ("card.sheet", {"store", "station", "dairy"}, ""),
    ("card.straightedge", ALL, {"US": "at most 3/8 in"}),
    ("go.evaporation", ALL, {"US": "at most 0.2 lb/ft²·h", "SI": "at most 1 kg/m²·h"}),
    ("go.cold", ALL, {"US": "at least 55 °F", "SI": "at least 13 °C"}),
    ("go.hot", ALL, {"US": "at most 95 °F", "SI": "at most 35 °C"}),
    ("go.wires", ALL, {"US": "at least 20'-0\""}),
    ("load.time", ALL, None),
    ("load.samples", ALL, None),
    ("load.portions", ALL, "at most 15 min"),
    ("load.air", ALL, None),
    ("lane.boot", ALL, {"US": "1/8 in to 1/4 in", "SI": "3 mm to 6 mm"}),
    ("lane.probe", ALL, {"US": "at most 100 ft²"}),
    ("lane.revibrate", ALL, "1 h to 1.5 h"),
    ("lane.trowel_air", {"store", "station"}, "at most 3"),  # the others are broomed or floated
    ("trial_cut.cut_depth", ALL, None),
    ("trial_cut.cut_place", ALL, {"US": "±3/4 in", "SI": "±19 mm"}),
    ("strip.fall", ALL, {"US": "at least 6 in"}),
    ("strip.strip_age", ALL, "at least 24 h"),
    ("frame_release.strength", ALL, None),
    ("acceptance.mean", ALL, {"US": "at most 3/8 in", "SI": "at most 9.5 mm"}),
    ("acceptance.single", ALL, {"US": "at most 3/4 in", "SI": "at most 19 mm"}),
    ("acceptance.top", ALL, {"US": "±3/4 in", "SI": "±19 mm"}),
    ("acceptance.crack_width", ALL, {"US": "at most 3/16 in", "SI": "at most 5 mm"}),
    ("acceptance.crack_step", ALL, {"US": "at most 1/8 in", "SI": "at most 3 mm"}),
]


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(("key", "where", "text"), EXPECTED, ids=[one[0] for one in EXPECTED])
def test_each_item_appears_where_it_applies_with_its_number(key, where, text, name):
    found_ = items(name)

    assert (name in where) is (key in found_)
    if name in where and text is not None:
        family = JOBS[name].family
        expected = text if isinstance(text, str) else text.get(family.value)
        if expected is not None:
            assert expected == number_text(found_[key], family)


@pytest.mark.parametrize(
    ("name", "text"),
    [("station", "at least 3,000 psi"), ("store", "at least 2,625 psi"), ("shelter", "at least 3,375 psi"), ("dairy", "at least 24 MPa")],
)
def test_the_frame_waits_for_three_quarters_of_the_strength(name, text):
    """29 CFR 1926.752(a)(1): 75 % of 4,000, 3,500 and 4,500 psi, and of 32 MPa, by hand."""
    assert text == number_text(items(name)["frame_release.strength"], JOBS[name].family)


@pytest.mark.parametrize(("name", "text"), [("store", "at least 3,000 psi"), ("station", "at least 3,500 psi")])
def test_no_single_strength_more_than_five_hundred_psi_short(name, text):
    """ACI 318-19 26.12.3: 3,500 and 4,000 psi less 500."""
    assert text == number_text(items(name)["acceptance.one"], JOBS[name].family)


@pytest.mark.parametrize(("name", "text"), [("shelter", "4.5 to 7.5"), ("store", "at most 3"), ("dairy", "at most 3")])
def test_air_is_held_to_its_order_or_below_what_a_trowel_bears(name, text):
    """6 ± 1 1/2 %; otherwise 3 %."""
    assert text == number_text(items(name)["load.air"], JOBS[name].family)


@pytest.mark.parametrize(("name", "text"), [("store", "at most 1.5 h"), ("shelter", "at most 2 h"), ("dairy", "at most 2 h")])
def test_the_time_limit_is_the_one_agreed(name, text):
    assert text == number_text(items(name)["load.time"], JOBS[name].family)


def test_the_order_of_the_work():
    """Each waits for the one before it; the order of the trade's own list."""
    points = plan("station")[hold_points.STUDY].points

    assert [
        "reactions", "soil", "permit", "setting_out", "proof_roll", "footing", "pipe_test", "forms", "steel", "card", "go", "load", "lane",
        "trial_cut", "strip", "frame_release", "acceptance",
    ] == [point.key for point in points]  # fmt: skip
    assert [(), *((point.key,) for point in points[:-1])] == [point.after for point in points]


@pytest.mark.parametrize("name", NAMES)
def test_every_item_says_where_with_what_and_by_which_rule(name):
    for key, one in items(name).items():
        assert one.look_at, key
        assert one.where, key
        assert one.instrument, key
        assert str(one.clause), key


def test_numbers_are_the_objects_of_the_studies():
    """A tolerance changed in the job file changes every line that shows it."""
    job = replace(JOBS["store"], tolerances=replace(JOBS["store"].tolerances, form_settlement_m=0.006))
    whole = found(job)
    made = {f"{point.key}.{one.key}": one for point in whole[hold_points.STUDY].points for one in point.items}

    assert [0.006] * 3 == [made[key].value for key in ("forms.settled", "go.reshot", "lane.tell_tale")]
    assert made["forms.tops"].value is site_acceptance.FORM_TOPS_M
    assert made["trial_cut.cut_depth"].value is whole[joints.STUDY].joints[0].depth_m
    assert made["forms.stakes.perimeter"].value is whole[forms.STUDY].runs[0].stake_spacing_m


def test_a_bare_floor_has_no_points_for_what_is_not_there():
    bare = replace(JOBS["store"], posts=(), pads=(), pipes=(), embeds=(), retarder=None, mesh=None, bars=(), walls=())
    keys = [point.key for point in found(bare)[hold_points.STUDY].points]

    assert not {"reactions", "pipe_test", "steel", "frame_release"} & set(keys)
    assert "footing" in keys


def test_stations_go_round_the_form_line_ten_feet_apart():
    """30 x 36 ft: three and four pieces on each side, 14 stations."""
    assert 14 == len(plan("store")[hold_points.STUDY].stations)


def test_signing_before_the_point_it_waits_for_is_a_finding():
    points = plan("store")[hold_points.STUDY].points
    start = datetime(2026, 4, 1, 8)
    in_order = {point.key: start + timedelta(hours=place) for place, point in enumerate(points)}

    assert () == signed_too_early(points, in_order)
    early = signed_too_early(points, in_order | {"card": start})
    assert ["card"] == [one.where for one in early]
    assert "signed later" in early[0].message
    missing = signed_too_early(points, {"card": start})
    assert "not signed" in missing[0].message
    assert "no hold point" in signed_too_early(points, {"cards": start})[0].message


def test_signatures_in_the_job_file_are_read_by_title_and_their_order_checked():
    """Two in order, one before the one it waits for, one that names nothing."""
    first, second = (point.title for point in plan("store")[hold_points.STUDY].points[:2])
    lines = [(first, "2026-04-01"), (second, "2026-04-02"), ("Pour go", "2026-04-03")]
    text = example_text("store") + "".join(f'\n[[signatures]]\npoint = "{name}"\nby = "the builder"\non = {day}\n' for name, day in lines)
    result = run_studies(STUDIES, Inputs(job=parse_job(text, "store").job))[hold_points.STUDY]

    assert "; 2 signed" in result.answer
    assert any("Pour go" in one.text and "no hold point" in one.text for one in result.cautions)
    early = text.replace("2026-04-01", "2026-04-09")
    cautions = run_studies(STUDIES, Inputs(job=parse_job(early, "store").job))[hold_points.STUDY].cautions
    assert any("signed later, on 2026-04-09" in one.text for one in cautions)


def test_the_book_shows_who_gets_what_and_a_table_for_every_point():
    shown = plan("store").outcomes["hold_points"].presentation()

    assert "Who gets what" == shown.tables[0].title
    assert 12 == len(shown.tables[0].columns)
    assert len(plan("store")[hold_points.STUDY].points) == len(shown.tables) - 1
