"""The plan and its sections: cuts in good places, sizes as drawn, everything shown."""

import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
import shapely

from slabwright.files.examples import example_names, example_text
from slabwright.files.jobfile import parse_job
from slabwright.model.concrete import Fall, Floor, Pad
from slabwright.model.job import Job
from slabwright.results.picture import Area, DimensionLine, Layer, Leader, Line, Note
from slabwright.studies import drawings, shape
from slabwright.study import Inputs, run_studies
from slabwright.units import FOOT_M, INCH_M, Family


@cache
def plan_of(name):
    return run_studies((shape.STUDY, drawings.STUDY), Inputs(job=parse_job(example_text(name)).job))


def pictures(plan):
    return {picture.key: picture for picture in plan.outcomes["drawings"].presentation().pictures}


def of_kind(picture, kind, layer=None):
    return [item for item in picture.items if isinstance(item, kind) and (layer is None or item.layer is layer)]


def lengths_in(picture):
    return sorted({round(math.dist(item.start, item.end) / INCH_M, 3) for item in of_kind(picture, DimensionLine)})


@pytest.mark.parametrize("name", example_names())
def test_there_is_a_plan_and_a_section_for_every_kind_of_part(name):
    drawn = pictures(plan_of(name))
    expected = {"plan", "section-edge", "section-pad-1", "across-floor"} | ({"section-strip-1"} if name == "station" else set())

    assert expected == set(drawn)
    assert "*" in plan_of(name).outcomes["drawings"].result.answer


def test_the_section_through_the_edge_shows_its_sizes():
    """The store: 12 in. wide, 15 in. of slope, 20 in. deep, 8 in. above grade, floor 5 in."""
    assert [5, 8, 12, 15, 20] == lengths_in(pictures(plan_of("store"))["section-edge"])


def test_the_section_through_a_pad_shows_its_sizes():
    """30 in. square with 9 in. of slope on both sides, 14 in. deep."""
    assert [5, 9, 14, 30] == lengths_in(pictures(plan_of("store"))["section-pad-1"])


@pytest.mark.parametrize("name", example_names())
def test_the_edge_is_cut_clear_of_pads_and_strips(name):
    plan = plan_of(name)
    foundation = plan[shape.STUDY].foundation
    cut = next(cut for cut in plan[drawings.STUDY].cuts if cut.key == "section-edge")
    kinds = {foundation.parts[int(number)].kind.value for run in foundation.section(cut.start, cut.end).runs for number in run.parts}

    assert {"edge", "floor"} == kinds


@pytest.mark.parametrize("name", example_names())
def test_cut_concrete_has_the_area_of_the_section(name):
    plan = plan_of(name)
    foundation, drawn = plan[shape.STUDY].foundation, pictures(plan)
    for cut in plan[drawings.STUDY].cuts:
        areas = of_kind(drawn[cut.key], Area, Layer.CONCRETE_CUT)
        painted = sum(shapely.Polygon(area.outline, area.holes).area for area in areas)
        assert pytest.approx(foundation.section(cut.start, cut.end).area_m2, rel=1e-5) == painted


def test_the_cut_across_a_falling_floor_follows_its_top():
    """1:80 to a line across the middle of 13 m, cut the way it falls: top 81.25 mm lower at the drain."""
    (concrete,) = of_kind(pictures(plan_of("dairy"))["across-floor"], Area, Layer.CONCRETE_CUT)
    points = np.asarray(concrete.outline)
    middle = points[np.abs(points[:, 0] - (6.5 + 0.45)) < 1e-6]

    assert pytest.approx(-0.08125, abs=1e-6) == middle[:, 1].max()
    assert pytest.approx(-0.08125 - 0.15, abs=1e-6) == middle[:, 1].min()
    assert pytest.approx(0.0, abs=1e-6) == points[:, 1].max()


def test_a_gully_is_cut_as_a_cone():
    floor = Floor(outline=((0.0, 0.0), (8.0, 0.0), (8.0, 8.0), (0.0, 8.0)), thickness_m=0.15, falls=(Fall(slope=0.02, to=((4.0, 4.0),)),))
    plan = run_studies((shape.STUDY, drawings.STUDY), Inputs(job=Job(name="yard", floor=floor, family=Family.SI)))
    (concrete,) = of_kind(pictures(plan)["across-floor"], Area, Layer.CONCRETE_CUT)
    corner = 0.02 * math.hypot(4.0, 4.0)

    assert pytest.approx(-corner, abs=1e-6) == max(y for x, y in concrete.outline if abs(x - 4.45) < 1e-6)


@pytest.mark.parametrize("name", example_names())
def test_everything_in_the_job_is_on_the_plan(name):
    job, picture = parse_job(example_text(name)).job, pictures(plan_of(name))["plan"]
    named = {item.label for item in picture.items if getattr(item, "label", "")} | {note.text for note in of_kind(picture, Note)}
    told = " ".join(leader.text for leader in of_kind(picture, Leader))

    assert {pad.name for pad in job.pads} | {post.name for post in job.posts} | {wall.name for wall in job.walls} <= named
    assert all(pipe.name in told for pipe in job.pipes)
    assert len(job.floor.falls) == told.count("falls")


def test_dimensions_run_to_the_middles_of_the_pads():
    """The store's pads at 15 ft, and at 9 and 27 ft; whole sides 30 and 36 ft."""
    dimensions = of_kind(pictures(plan_of("store"))["plan"], DimensionLine)
    feet = sorted({round(math.dist(one.start, one.end) / FOOT_M, 6) for one in dimensions})

    assert [9, 15, 18, 30, 36] == feet


def test_the_sheet_stops_at_edge_and_pads_where_the_job_says_so():
    """The station's does, for the earth electrode; the store's runs down under the edge."""
    for name, deep in (("station", False), ("store", True)):
        plan = plan_of(name)
        lines = of_kind(pictures(plan)["section-edge"], Line, Layer.SHEET)
        lowest = min(y for line in lines for _, y in line.points)
        assert deep == (lowest < -0.4)


def test_pads_of_two_kinds_get_two_sections():
    floor = Floor(outline=((0.0, 0.0), (10.0, 0.0), (10.0, 8.0), (0.0, 8.0)), thickness_m=0.15)
    small = Pad(name="P1", at=(3.0, 4.0), size_x_m=1.0, size_y_m=1.0, depth_m=0.7)
    pads = (small, replace(small, name="P2", at=(7.0, 4.0), size_x_m=1.4), replace(small, name="P3", at=(3.0, 6.0)))
    plan = run_studies((shape.STUDY, drawings.STUDY), Inputs(job=Job(name="yard", floor=floor, pads=pads)))

    assert ["Section through pads P1, P3", "Section through pad P2", "Section across the floor"] == [
        cut.title for cut in plan[drawings.STUDY].cuts
    ]
