"""The study of the shape: its sentence, its figures, what it asks to be confirmed."""

from dataclasses import replace

import pytest

from slabwright.files.examples import example_names, example_text
from slabwright.files.jobfile import parse_job
from slabwright.model.concrete import Edge, Fall, Floor, Pad
from slabwright.model.job import Job
from slabwright.studies import shape
from slabwright.study import Inputs, Waiting, run_studies
from slabwright.units import CUBIC_YARD_M3, Family

FLOOR = Floor(outline=((0.0, 0.0), (10.0, 0.0), (10.0, 8.0), (0.0, 8.0)), thickness_m=0.15)
EDGE = Edge(depth_m=0.5, width_m=0.3, top_above_grade_m=0.2)


def outcome_of(job):
    return run_studies((shape.STUDY,), Inputs(job=job)).outcomes["shape"]


def test_the_answer_gives_the_whole_and_its_parts():
    """The store: 26.68 yd³; parts by its description."""
    job = parse_job(example_text("store")).job

    assert outcome_of(job).result.answer == (
        "One body of *26.68 yd³* of concrete under a floor of 1,080 ft²: 16.7 yd³ floor, 9.42 yd³ edge, 0.597 yd³ pads."
    )


def test_a_floor_alone_needs_no_list_of_parts():
    result = outcome_of(Job(name="yard", floor=FLOOR, family=Family.SI)).result

    assert "One body of *12 m³* of concrete under a floor of 80 m²." == result.answer
    assert pytest.approx((0.15, 0.15, 0.15)) == (result.least_m, result.greatest_m, result.mean_m)


def test_what_a_level_base_would_take_becomes_a_task():
    """The station's bay, 48 ft x 60 ft falling 1/8 in. per ft to its middle: 450 ft³ less what the edge and pads already hold there."""
    job = parse_job(example_text("station")).job
    result = outcome_of(job).result
    bare = outcome_of(replace(job, edge=None, pads=(), strips=())).result

    assert pytest.approx(450 / 27, rel=1e-9) == bare.level_base_m3 / CUBIC_YARD_M3
    assert 0.5 * bare.level_base_m3 < result.level_base_m3 < bare.level_base_m3
    assert "parallel to the falls" in result.tasks[0].what


def test_a_base_left_level_is_cautioned_about():
    floor = replace(FLOOR, falls=(Fall(slope=0.01, to=((0.0, 0.0), (10.0, 0.0))),), base_parallel=False)
    result = outcome_of(Job(name="yard", floor=floor)).result

    assert pytest.approx(0.01 * 4.0 * 80.0) == result.level_base_m3
    assert "left level" in result.cautions[0].text


def test_concrete_outside_the_forms_is_an_assumption_unless_stated():
    pads = (
        Pad(name="P1", at=(5.0, 4.0), size_x_m=1.0, size_y_m=1.0, depth_m=0.7),
        Pad(name="P2", at=(0.0, 4.0), size_x_m=1.0, size_y_m=1.0, depth_m=0.7),
        Pad(name="P3", at=(10.0, 4.0), size_x_m=1.0, size_y_m=1.0, depth_m=0.7, outside_top_m=0.3),
    )
    result = outcome_of(Job(name="yard", floor=FLOOR, edge=EDGE, pads=pads, family=Family.SI)).result

    assert ["pads[1].outside_top"] == [one.where for one in result.assumptions]
    assert "pad P2" in result.assumptions[0].statement
    assert "200 mm" in result.assumptions[0].statement


def test_a_shape_that_cannot_be_built_waits_with_its_reason():
    crossed = replace(FLOOR, outline=((0.0, 0.0), (1.0, 1.0), (1.0, 0.0), (0.0, 1.0)))
    result = outcome_of(Job(name="yard", floor=crossed)).result

    assert isinstance(result, Waiting)
    assert "may not cross" in result.reason


@pytest.mark.parametrize("name", example_names())
def test_tables_add_up(name):
    """Parts to the whole; what rectangles miss to the difference."""
    outcome = outcome_of(parse_job(example_text(name)).job)
    parts, reckonings = outcome.presentation().tables
    total = outcome.result.volumes.total_m3

    assert pytest.approx(total) == parts.rows[-1][2] + parts.rows[-1][3]
    for table in (parts, reckonings):
        for column in range(2, len(table.columns)):
            assert pytest.approx(sum(row[column] for row in table.rows[:-1])) == table.rows[-1][column]
    assert pytest.approx(total - outcome.result.rectangles.total_m3) == reckonings.rows[-1][3]


def test_the_picture_hatches_deeper_parts_denser():
    """Edge 20 in., pads 14 in., floor 5 in.: the pads are three fifths of the way."""
    job = parse_job(example_text("store")).job
    (picture,) = outcome_of(job).presentation().pictures
    hatches = {area.label: area.hatch.value for area in picture.items if getattr(area, "label", "") and area.hatch.value != "sparse"}

    assert {"edge": "dense", "P1": "medium", "P2": "medium"} == hatches
