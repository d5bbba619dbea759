"""Retarder: published strip counts, developed lengths by hand, laps and cover by geometry, cut lists that add up."""

import math
from collections import defaultdict
from dataclasses import replace

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import box

from slabwright.files.examples import example_text
from slabwright.files.jobfile import parse_job
from slabwright.geometry.foundation import Foundation
from slabwright.geometry.lapped import laps_of
from slabwright.model.concrete import Edge, Floor, Pad
from slabwright.model.ground import Pipe, PipeKind, Retarder
from slabwright.model.job import Building, Job
from slabwright.results.check import Ask, State
from slabwright.standards.take_off import STRIPS
from slabwright.studies import retarder, shape
from slabwright.studies.retarder.lay import layouts, unit_m
from slabwright.studies.retarder.sheet import Ground, edge_extra_m, ground_of
from slabwright.study import Inputs, Plan, Waiting, run_studies
from slabwright.units import FOOT_M, INCH_M

STUDIES = (shape.STUDY, retarder.STUDY)
SHEET = Retarder(thickness_m=0.000254, sheet_class="A")


def planned(job: Job) -> Plan:
    return run_studies(STUDIES, Inputs(job=job))


def rectangle(length_m: float, width_m: float) -> Floor:
    return Floor(outline=((0.0, 0.0), (length_m, 0.0), (length_m, width_m), (0.0, width_m)), thickness_m=0.125)


@pytest.fixture(scope="module")
def plans() -> dict[str, Plan]:
    """Each example planned once."""
    return {name: planned(parse_job(example_text(name), name).job) for name in ("store", "shelter", "station", "dairy")}


@pytest.mark.published(STRIPS)
def test_the_published_membrane():
    """100 x 83 ft without an edge, rolls 10 x 100 ft, 1 ft laps: 10 lengths, 10 rolls; 11 lengths the other way."""
    sheet = Retarder(thickness_m=0.000254, roll_width_m=10 * FOOT_M, roll_length_m=100 * FOOT_M, lap_m=1 * FOOT_M)
    best, other = layouts(ground_of(Foundation.of(rectangle(100 * FOOT_M, 83 * FOOT_M)), sheet, ()), sheet)
    ways = {one.along_y: one for one in (best, other)}

    assert 10 == 1 + max(one.row for one in ways[False].pieces)
    assert 11 == 1 + max(one.row for one in ways[True].pieces)
    assert 10 == ways[False].n_rolls == ways[False].least_rolls
    assert pytest.approx(9 * 100) == ways[False].seam_m / FOOT_M
    assert pytest.approx(10 * 83) == ways[True].seam_m / FOOT_M
    assert best is ways[True] or best.along_y  # 830 ft of seam against 900: seams come first


def test_the_edge_takes_more_than_its_plan():
    """Store: 15 in. drop at 45 degrees takes 15(1.4142 - 1) = 6.21 in. more, the outer side 12 in.; by hand."""
    edge = Edge(depth_m=20 * INCH_M, width_m=12 * INCH_M, run=1.0, top_above_grade_m=8 * INCH_M)

    assert pytest.approx(15 * (math.sqrt(2) - 1) + 12) == edge_extra_m(edge, 5 * INCH_M) / INCH_M


def test_the_liner_of_a_pad_reaches_the_floor_all_round():
    """Pad of 30 in., 9 in. below the floor at 45 degrees: 30 + 2 x 12.73 + 2 x 6 = 67.5 in.; by hand."""
    pad = Pad(name="P1", at=(4.0, 4.0), size_x_m=30 * INCH_M, size_y_m=30 * INCH_M, depth_m=14 * INCH_M, run=1.0)
    floor = replace(rectangle(8, 8), thickness_m=5 * INCH_M)
    (liner,) = ground_of(Foundation.of(floor, None, (), (pad,)), SHEET, ()).liners

    assert pytest.approx(30 + 18 * math.sqrt(2) + 12) == liner.length_m / INCH_M == liner.width_m / INCH_M
    assert pytest.approx((30 + 18) ** 2) == liner.hole.area / INCH_M**2


@pytest.mark.parametrize("name", ["store", "station", "dairy"])
def test_laps_and_cover_hold_by_geometry(plans, name):
    result = plans[name][retarder.STUDY]
    lap = parse_job(example_text(name), name).job.retarder.lap_m
    union = shapely.union_all([one.outline for one in result.layout.pieces])

    assert result.ground.flat.difference(union.buffer(1e-6)).area < 1e-6
    assert lap <= result.found.least_lap_m + 1e-6
    assert all(check.state is State.HOLDS for check in result.checks)


@pytest.mark.parametrize("name", ["store", "station", "dairy"])
def test_no_roll_is_cut_beyond_its_length(plans, name):
    """Every piece once, rolls not longer than bought, the number ordered the number used."""
    result = plans[name][retarder.STUDY]
    roll_m = parse_job(example_text(name), name).job.retarder.roll_length_m
    used = defaultdict(float)
    for piece in (*result.layout.pieces, *result.layout.patches):
        used[piece.roll] += piece.length_m

    assert list(range(1, result.layout.n_rolls + 1)) == sorted(used)
    assert max(used.values()) <= roll_m + 1e-6
    assert sorted(liner.name for liner in result.ground.liners) == sorted(name for patch in result.layout.patches for name in patch.names)


@settings(max_examples=20, deadline=None)
@given(st.floats(3, 40), st.floats(3, 40), st.floats(0.25, 0.75), st.floats(0.25, 0.75), st.sampled_from([0.15, 0.3]))
def test_any_l_shape_is_covered_with_full_laps(length, width, across, up, lap):
    """Both ways; laps and cover by geometry; lengths not longer than the roll; seams of the better way not longer."""
    flat = box(0, 0, length, width).difference(box(across * length, up * width, length, width))
    sheet = Retarder(thickness_m=0.0003, roll_width_m=4.0, roll_length_m=25.0, lap_m=lap)
    ways = layouts(Ground(flat=flat, edge_extra_m=0.0, liners=(), keep_off=(), risers=()), sheet)

    assert round(ways[0].seam_m, 1) <= round(ways[1].seam_m, 1)
    for way in ways:
        found = laps_of([one.outline for one in way.pieces], [one.row for one in way.pieces], flat, along_y=way.along_y)
        assert found.bare_m2 < 1e-6
        assert lap <= found.least_lap_m + 1e-6
        assert max(one.length_m for one in way.pieces) <= 25.0 + 1e-9
        assert way.least_rolls <= way.n_rolls
        assert way.n_rolls * 25.0 + 1e-6 >= sum(one.length_m for one in way.pieces)


def test_seams_are_kept_off_a_pipe_where_that_costs_nothing():
    """Two lengths of 4 m over 6 m may lap anywhere in 1.7 m: not over the pipe in the middle."""
    sheet = Retarder(thickness_m=0.0003, roll_width_m=4.0, roll_length_m=25.0, lap_m=0.3)
    pipe = Pipe(name="waste", kind=PipeKind.WASTE, run=((5.0, 3.0),), diameter_m=0.1)
    ground = ground_of(Foundation.of(rectangle(10.0, 6.0)), sheet, (pipe,))
    best = layouts(ground, sheet)[0]

    assert 2 == len(best.pieces)
    assert 0 == best.over_keep_off
    assert 1 == len(ground.risers)


def test_a_channel_needs_no_boot(plans):
    result = plans["dairy"][retarder.STUDY]

    assert ["basin waste", "water main"] == sorted(pipe.name for pipe in result.ground.risers)
    assert 2 == next(line.quantity for line in result.lines if line.key == "sheet.boots")


def test_the_sheet_may_stop_at_edge_and_pads(plans):
    """The station keeps its electrode in the earth: nothing of the edge or a pad is covered, none is lined."""
    plan = plans["station"]
    result, foundation = plan[retarder.STUDY], plan[shape.STUDY].foundation
    edge = next(part for part in foundation.parts if part.name == "edge")

    assert result.ground.flat.intersection(edge.skirt).area < 1e-6
    assert ["S1"] == [liner.name for liner in result.ground.liners]


def test_a_sheet_below_the_electrode_is_asked_about():
    job = Job(
        name="j",
        floor=rectangle(10, 8),
        edge=Edge(depth_m=0.5, width_m=0.3),
        building=Building(electrode=True),
        retarder=SHEET,
    )
    assert any(one.to is Ask.ELECTRICIAN for one in planned(job)[retarder.STUDY].referrals)


def test_thin_sheet_over_stone_is_told_plainly(plans):
    said = " ".join(caution.text for caution in plans["store"][retarder.STUDY].cautions)

    assert "10 mil" in said
    assert "2,200 g" in said
    assert "pierce it easily" in said


def test_a_floor_without_sheet_says_so(plans):
    assert "no sheet" in plans["shelter"][retarder.STUDY].answer


def test_a_roll_narrower_than_its_lap_waits():
    outcome = planned(Job(name="j", floor=rectangle(10, 8), retarder=replace(SHEET, roll_width_m=0.1))).outcomes["retarder"].result

    assert isinstance(outcome, Waiting)
    assert "not wider than its lap" in outcome.reason


def test_a_roll_that_hardly_laps_waits():
    outcome = planned(Job(name="j", floor=rectangle(10, 8), retarder=replace(SHEET, roll_length_m=13 * INCH_M))).outcomes["retarder"].result

    assert isinstance(outcome, Waiting)
    assert "too short to be laid with laps of" in outcome.reason


def test_all_pieces_are_drawn_and_listed(plans):
    outcome = plans["dairy"].outcomes["retarder"]
    shown = outcome.presentation()
    marks = {one.mark for one in outcome.result.layout.pieces}

    assert marks == {item.label for item in shown.pictures[0].items if getattr(item, "label", "")}
    assert {f"length {mark}" for mark in marks} <= {row[1] for row in shown.tables[0].rows}
    assert ["retarder", "retarder-edge"] == [picture.key for picture in shown.pictures]
    step = unit_m(plans["dairy"].inputs.job.retarder)
    assert pytest.approx(0.0, abs=step) == sum(row[2] for row in shown.tables[0].rows) - sum(
        piece.length_m for piece in (*outcome.result.layout.pieces, *outcome.result.layout.patches)
    )


@pytest.mark.parametrize(("name", "asked"), [("store", False), ("station", True), ("dairy", False)])
def test_a_floor_with_its_underside_below_the_ground_outside_is_asked_about(plans, name, asked):
    """Floor and height above grade of the job files: 5 in. and 8 in.; 7 in. and 6 in.; 150 mm and 150 mm."""
    told = plans[name][retarder.STUDY].referrals

    assert asked == any(one.to is Ask.ENGINEER and "below the ground outside" in one.question for one in told)
