"""Joints of floors with skewed sides: what is said, drawn, kept and barred."""

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from tests.solvers.skewed_floors import FLOORS

from slabwright.model.concrete import Edge, Floor, Pad
from slabwright.model.job import Codes, Job, MinimumRules
from slabwright.model.loads import Post
from slabwright.model.supply import JointWishes, Mix
from slabwright.results.check import State
from slabwright.results.picture import DimensionLine, Layer, Note
from slabwright.solvers.partition import Cut
from slabwright.studies import joints, shape
from slabwright.studies.joints.order import saw_order_by_halves
from slabwright.studies.joints.setting_out import sides_of, station
from slabwright.study import Inputs, run_studies
from slabwright.units import FOOT_M, INCH_M, Family

STUDIES = (shape.STUDY, joints.STUDY)
SHARP = shapely.Polygon([(0, 0), (40, 0), (63.5, 28), (23.5, 28)])
"""A parallelogram of 50 degrees: its lines must meet its ends at less than 60."""


def job(floor, **changes):
    outline = tuple((x * FOOT_M, y * FOOT_M) for x, y in floor.exterior.coords[:-1])
    made = Job(name="skewed", floor=Floor(outline=outline, thickness_m=5 * INCH_M), mix=Mix(strength_pa=25e6))
    return replace(made, **{"edge": Edge(depth_m=20 * INCH_M, width_m=12 * INCH_M, run=1.0), **changes})


def planned(floor, **changes):
    return run_studies(STUDIES, Inputs(job=job(floor, **changes)))


@pytest.fixture(scope="module")
def plans():
    """Two floors planned once."""
    floors = {name: FLOORS[name] for name in ("trapezoid", "ell with a skewed side")}
    return {name: planned(floor) for name, floor in floors.items()}


def test_every_station_along_a_side_adds_up_to_the_side(plans):
    """Re-verified from the drawing: running dimensions of each side with joints are the side, and each joint end is a station."""
    for name, plan in plans.items():
        result, outcome = plan[joints.STUDY], plan.outcomes["joints"]
        sheet = next(one for one in outcome.presentation().pictures if one.key == "joints")
        drawn = [item for item in sheet.items if isinstance(item, DimensionLine)]
        stations = np.array([end for item in drawn for end in (item.start, item.end)])
        ends = [end for line in result.joints for end in (line.start, line.end)]
        for side in sides_of(result.options[0].proposal.region):
            on_side = [math.dist(item.start, item.end) for item in drawn if side.holds(item.start) and side.holds(item.end)]
            times = 2 if any(side.holds(end) and min(math.dist(end, at) for at in (side.start, side.end)) > 1e-3 for end in ends) else 1
            assert pytest.approx(times * side.length_m) == sum(on_side), (name, side.name)
        assert all(np.min(np.hypot(*(stations - end).T)) < 1e-6 for end in ends if shapely.Point(end).distance(_rim(result)) < 1e-6)


def _rim(result):
    return result.options[0].proposal.region.boundary


def test_the_saw_list_reads_as_a_tape_does(plans):
    """The trapezoid: its middle line runs from 24 ft along A–B to the middle of C–D, 17 ft; worked by hand."""
    tables = plans["trapezoid"].outcomes["joints"].presentation().tables
    saw = next(one for one in tables if one.title == "Saw list")
    rows = {row[0]: row[1:3] for row in saw.rows}

    assert ("A–B, 24'-0\" from A", "C–D, 17'-0\" from C") in rows.values()
    assert [column.heading for column in saw.columns][:3] == ["Line", "From", "To"]


def test_a_line_that_ends_on_another_is_measured_along_it():
    """A mitre 10 m long from a corner; a line that meets it 4 m from there."""
    square = shapely.box(0, 0, 10, 10)
    carrier = joints.JointLine(
        name="J1", start=(10.0, 0.0), end=(2.0, 6.0), kind=JointWishes().kind, depth_m=0.03, lost_m=0.0, opening_m=0.0
    )

    assert "on J1, 4 m from its end at corner A" == station((6.8, 2.4), sides_of(square), [carrier], Family.SI)
    assert "corner B" == station((10.0, 10.0), sides_of(square), [carrier], Family.SI)
    assert "C–D, 7 m from C" == station((0.0, 3.0), sides_of(square), [carrier], Family.SI)


def test_the_answer_says_what_is_proven(plans):
    """And the least that panels of this size can take, from the area alone."""
    answer = plans["trapezoid"][joints.STUDY].answer

    assert "breaks no rule" in answer
    assert "proven" in answer
    assert "take at least 103 ft" in answer  # ((2 + sqrt pi) / 12.5 * 1148 ft² - 139.75 ft) / 2, worked by hand


def test_where_the_outline_forces_sharp_corners_it_is_said_which_rule_yields_and_what_would_help():
    """The corners of the outline are named with their angle; the check fails by the sharpest corner; the question counts them."""
    result = planned(SHARP)[joints.STUDY]
    corner = next(check for check in result.checks if check.key == "corner")
    said = " ".join(one.text for one in result.cautions)

    assert State.FAILS is corner.state
    assert pytest.approx(math.pi / 3) == corner.demand
    assert "corners A and C" in corner.remedy
    assert "Corner A of the outline has 50°" in said
    assert "Corner C of the outline has 50°" in said
    assert any("keeps every rule" in one.question and "under 60°" in one.question for one in result.referrals)


def test_the_job_says_which_corners_are_sharp_and_which_panels_slivers():
    """The floor with corners of 50 degrees keeps every rule where the job accepts 45; a job that asks for wide panels names its share."""
    result = planned(SHARP, joints=JointWishes(min_corner_rad=math.radians(45)))[joints.STUDY]

    assert "corner" not in {check.key for check in result.checks}
    assert not any("of the outline has" in one.text for one in result.cautions)
    assert not any("under 45°" in one.question for one in result.referrals)

    wide = planned(SHARP, joints=JointWishes(min_corner_rad=math.radians(45), min_width_share=0.9))[joints.STUDY]
    assert any("too narrow" in one.question for one in wide.referrals)


def test_lines_askew_open_as_much_as_lines_along_the_axes():
    """One square floor cut in four, upright and turned by 30 degrees: the steps of the grid cost less than a tenth."""
    upright = shapely.box(0, 0, 24, 24)
    turned = shapely.affinity.rotate(upright, 30, origin=(12, 12))
    results = [planned(floor, edge=None)[joints.STUDY] for floor in (upright, turned)]
    gaps = [[line.opening_m for line in result.joints] for result in results]

    assert [2, 2] == [len(one) for one in gaps]
    assert pytest.approx(np.mean(gaps[0]), rel=0.1) == np.mean(gaps[1])
    assert pytest.approx(np.max(results[0].panel_index), rel=0.25) == np.max(results[1].panel_index)


def test_a_pinned_line_stays_and_a_forbidden_one_goes(plans):
    """Moved by two feet at both ends: the old place barred, the new one kept."""
    old = next(line for line in plans["trapezoid"][joints.STUDY].joints if abs(line.start[0] - line.end[0]) < 1.5)
    moved = tuple((x + 2 * FOOT_M, y) for x, y in (old.start, old.end))
    result = planned(FLOORS["trapezoid"], joints=JointWishes(pinned=(moved,), forbidden=((old.start, old.end),)))[joints.STUDY]
    lines = [shapely.LineString([line.start, line.end]) for line in result.joints]

    assert any(line.buffer(0.01).covers(shapely.LineString(moved)) for line in lines)
    assert all(line.intersection(shapely.LineString([old.start, old.end]).buffer(0.05)).length < 0.5 for line in lines)


def test_lines_keep_clear_of_pads_on_a_skewed_floor():
    """A pad where the middle line would run; all lines clear its skirt."""
    pads = tuple(
        Pad(name=f"P{n}", at=(x * FOOT_M, y * FOOT_M), size_x_m=2.5 * FOOT_M, size_y_m=2.5 * FOOT_M, depth_m=14 * INCH_M, run=1.0)
        for n, (x, y) in enumerate([(24, 14)], start=1)
    )
    result = planned(FLOORS["trapezoid"], pads=pads)[joints.STUDY]

    assert 0.0 == pytest.approx(sum(line.lost_m for line in result.joints), abs=1e-6)
    assert not [check for check in result.checks if check.key.startswith("J")]


def test_sawing_halves_a_bent_floor_before_its_wings():
    """Three lines across a strip 24 long, one along it: the middle one first, then the halves, the long one among the last."""
    strip = shapely.affinity.rotate(shapely.box(0, 0, 24, 5), 25, origin=(0, 0))
    straight = [((x, 0.0), (x, 5.0)) for x in (6.0, 12.0, 18.0)] + [((0.0, 2.5), (24.0, 2.5))]
    cuts = [Cut(*shapely.affinity.rotate(shapely.LineString(one), 25, origin=(0, 0)).coords) for one in straight]
    order = saw_order_by_halves(strip, cuts)

    assert 1 == order[0]
    assert {0, 2} == set(order[1:3])
    assert 3 == order[3]


def test_lines_of_a_skewed_floor_run_through_its_isolated_posts():
    """A parallelogram, two posts at 3/10 and 6/10 of its length and 4/10 of its width: boxes turned to the lines, all corners met."""
    a, along, up = np.array([0.0, 0.0]), np.array([40.0, 0.0]), np.array([10.0, 28.0])
    places = [tuple((a + s * along + 0.4 * up) * FOOT_M) for s in (0.3, 0.6)]
    posts = tuple(Post(name=f"P{n}", at=at, base_x_m=0.2, base_y_m=0.2, isolated=True) for n, at in enumerate(places))
    floor = shapely.Polygon([a, along, along + up, up])
    result = planned(floor, posts=posts)[joints.STUDY]

    assert [4, 4] == [box.n_met for box in result.isolated]
    for box in result.isolated:
        ring = shapely.Polygon(box.outline)
        assert all(shapely.MultiLineString(line.stretches).intersection(ring).length < 1e-6 for line in result.joints)
        assert pytest.approx([0.4 / math.sqrt(2)] * 4) == [
            math.dist(at, post.at) for post in posts if post.name == box.post for at in box.outline
        ]
    assert 4 == sum(len(line.breaks) for line in result.joints)


def _arc(x, y, radius, first, last, steps):
    turns = np.radians(np.linspace(first, last, steps + 1))
    return [(x + radius * math.cos(turn), y + radius * math.sin(turn)) for turn in turns]


ROUND = {
    "circle": _arc(20, 20, 20, 0, 360, 48)[:-1],
    "circle in 24 steps": _arc(20, 20, 20, 0, 360, 24)[:-1],
    "circle in 200 steps": _arc(20, 20, 20, 0, 360, 200)[:-1],
    "half-round end": [(0, 0), *_arc(45, 15, 15, -90, 90, 24), (0, 30)],
    "quarter circle": [(0, 0), *_arc(0, 0, 36, 0, 90, 24)],
}
BY_HAND = {  # ft, from the circle itself
    "circle": 2 * (40 + 2 * 2 * math.sqrt(20**2 - 10**2)),
    "circle in 24 steps": 2 * (40 + 2 * 2 * math.sqrt(20**2 - 10**2)),
    "circle in 200 steps": 2 * (40 + 2 * 2 * math.sqrt(20**2 - 10**2)),
    "half-round end": 2 * (45 + math.sqrt(15**2 - 5**2)) + 3 * 30 + 2 * math.sqrt(15**2 - 3**2),
    "quarter circle": sum(math.sqrt(36**2 - at**2) for at in (12, 24, 9, 18, 27)),
}


@pytest.mark.parametrize("name", list(ROUND))
def test_a_floor_with_a_round_side_is_cut_along_its_main_directions(name):
    """Even grids of 10 and 10, 12 and 10, 12 and 9 ft, their length worked from the circle: proven, and steps of the curve break no rule.

    The quarter of 36 ft cannot keep every rule: where its rim runs at 45 degrees to both families, two corners are sharp.
    """
    result = planned(shapely.Polygon(ROUND[name]))[joints.STUDY]
    layout = result.options[0].layout

    assert pytest.approx(BY_HAND[name], rel=4e-3) == layout.length / FOOT_M
    assert layout.faults == layout.least_faults
    assert layout.gap < 1e-9
    assert (layout.faults == 0) is (name != "quarter circle")
    assert any(check.key == "corner" for check in result.checks) is (name == "quarter circle")


def test_a_round_floor_is_measured_square_to_its_lines_and_carries_no_letters():
    """The circle: two chains of four times 10 ft, each with its 40; a half-round end keeps the letters of its straight sides."""
    sheets = {
        name: next(one for one in planned(shapely.Polygon(ROUND[name])).outcomes["joints"].presentation().pictures if one.key == "joints")
        for name in ("circle", "half-round end")
    }
    runs = {
        name: [math.dist(one.start, one.end) for one in sheet.items if isinstance(one, DimensionLine)] for name, sheet in sheets.items()
    }
    letters = {
        name: {one.text for one in sheet.items if isinstance(one, Note) and one.layer is Layer.SETTING_OUT}
        for name, sheet in sheets.items()
    }

    assert pytest.approx([10 * FOOT_M] * 8 + [40 * FOOT_M] * 2, rel=1e-4) == sorted(runs["circle"])
    assert {"circle": set(), "half-round end": {"A", "B", "Z", "A2"}} == letters
    assert pytest.approx(60 * FOOT_M) == max(runs["half-round end"])


def _running(plan):
    """Distances of the stations along each straight side from its first corner, read off the drawing. [m]"""
    sheet = next(one for one in plan.outcomes["joints"].presentation().pictures if one.key == "joints")
    drawn = [item for item in sheet.items if isinstance(item, DimensionLine)]
    for side in sides_of(plan[joints.STUDY].options[0].proposal.region):
        ends = [end for item in drawn for end in (item.start, item.end) if not side.is_step and side.holds(end)]
        yield from (math.dist(side.start, end) for end in ends if min(math.dist(end, at) for at in (side.start, side.end)) > 1e-3)


def _are_whole(lengths_m, step_m):
    shares = np.array(list(lengths_m)) / step_m
    return len(shares) > 0 and np.abs(shares - np.round(shares)).max() < 1e-3


def test_every_station_of_a_skewed_floor_is_a_whole_inch(plans):
    """From the drawing: what a tape holds at each line, along the sides from the corners that carry letters."""
    assert all(_are_whole(_running(plan), INCH_M) for plan in plans.values())


def test_in_metres_stations_are_whole_centimetres():
    """The trapezoid under metric rules."""
    plan = planned(FLOORS["trapezoid"], codes=Codes(minimums=MinimumRules.EUROPEAN))
    assert _are_whole(_running(plan), 0.010)


def test_lines_that_end_on_a_curve_are_set_out_to_whole_inches():
    """A half-round end on a floor of 61 ft 2 in.: each line square to the long sides lies whole inches from the straight end."""
    floor = shapely.Polygon([(0, 0), *_arc(61 + 1 / 6 - 15, 15, 15, -90, 90, 24), (0, 30)])
    result = planned(floor)[joints.STUDY]
    across = [line.start[0] for line in result.joints if abs(line.start[0] - line.end[0]) < 1e-6]

    assert len(across) >= 4
    assert _are_whole(across, INCH_M)
    assert 0 == result.options[0].layout.faults


def test_a_line_that_whole_inches_would_make_too_long_a_panel_moves_the_other_way():
    """Limit 10 ft 1/4 in. over 20 ft 1/2 in. of a skewed floor: no line at a whole inch keeps it, one at the middle does, and stays."""
    limit = 120.25 * INCH_M
    floor = shapely.Polygon([(0, 0), (20 + 0.5 / 12, 0), (24 + 0.5 / 12, 9), (4, 9)])
    result = planned(floor, joints=JointWishes(max_spacing_m=limit))[joints.STUDY]

    assert 0 == result.options[0].layout.faults
    assert result.options[0].longest_side_m <= limit + 1e-5


@pytest.mark.long
def test_a_rounded_inside_corner_is_parted_square_to_its_curve():
    """Wings of 20 ft that meet in a curve of 10 ft: no panel turns the corner with it, and hardly a rule yields."""
    floor = shapely.Polygon([(0, 0), (50, 0), (50, 20), *_arc(30, 30, 10, 270, 180, 8), (20, 50), (0, 50)])
    layout = planned(floor)[joints.STUDY].options[0].layout

    assert all(piece.area > 0.85 * piece.convex_hull.area for piece in layout.pieces)
    assert layout.faults <= 4
