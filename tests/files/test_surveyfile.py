"""Survey tables: units, datums, mistakes planted one by one, every rejected shot listed."""

import math
from dataclasses import replace

import pytest

from slabwright.errors import InputError
from slabwright.files.examples import example_text
from slabwright.files.jobfile import parse_job
from slabwright.files.surveyfile import read_forms, read_level_book, read_shots, read_stakes, read_surveys, read_trench
from slabwright.model.survey import LEVEL, TOTAL_STATION, Measured
from slabwright.units import FOOT_M, INCH_M

HEAD = "point,x (ft),y (ft),rod (ft)\nform,,,4.00\n"
GRID = [(x, y) for y in (3, 9, 15, 21, 33) for x in (3, 9, 15, 21, 27) if (x, y) != (15, 9)]


@pytest.fixture(scope="module")
def job():
    return parse_job(example_text("store"), "store").job


@pytest.fixture
def write(tmp_path):
    def put(text, name="base_survey.csv"):
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return path

    return put


def rods(shots=GRID, rod=4.42, head=HEAD, more=""):
    return head + "".join(f"{number},{x},{y},{rod}\n" for number, (x, y) in enumerate(shots, start=1)) + more


def findings(error):
    return " | ".join(str(one) for one in error.value.findings)


def test_rods_become_levels_below_the_finished_floor(job, write):
    survey, told = read_shots(write(rods()), job)

    assert () == told
    assert 24 == len(survey.shots)
    assert pytest.approx(-0.42 * FOOT_M) == survey.shots[0].level_m
    assert pytest.approx((3 * FOOT_M, 3 * FOOT_M)) == survey.shots[0].at
    assert LEVEL == survey.instrument


@pytest.mark.parametrize(
    "text",
    [
        "point,x (m),y (m),rod (mm)\nform,,,1219.2\n1,0.9144,0.9144,1347.216\n",
        "no;east (ft);north (ft);elevation (ft)\n1;3;3;99.58\n",
        "name\tx\ty\tdepth\n1\t3 ft\t36 in\t5.04 in\n",
        "# a note\n\npoint,x (ft),y (ft),rod\nform,,,4 ft\n1,3,3,4.42 ft\n",
    ],
)
def test_one_shot_written_five_ways(job, write, text):
    """5.04 in. below the finished floor at 100.00 ft, 3 ft from both edges."""
    survey, _ = read_shots(write(text), job)

    assert pytest.approx(-0.42 * FOOT_M) == survey.shots[0].level_m
    assert pytest.approx((3 * FOOT_M, 3 * FOOT_M)) == survey.shots[0].at


def test_corners_shot_by_letter_turn_the_axes(job, write):
    """A site grid turned by 30° and shifted; the design corner places lie in the plan."""

    def site(x, y):
        cos, sin = math.cos(math.radians(30)), math.sin(math.radians(30))
        return 1000 + x * cos - y * sin, 2000 + x * sin + y * cos

    rows = [(name, *site(*at), 100.0) for name, at in {"A": (0, 0), "B": (30, 0), "D": (0, 36)}.items()]
    rows += [(str(number), *site(*at), 99.58) for number, at in enumerate(GRID, start=1)]
    text = "point,easting (ft),northing (ft),z (ft)\n" + "".join(f"{n},{x:.4f},{y:.4f},{z}\n" for n, x, y, z in rows)
    survey, told = read_shots(write(text), job)

    assert () == told
    assert TOTAL_STATION == survey.instrument
    for shot, (x, y) in zip(survey.shots, GRID, strict=True):
        assert pytest.approx((x * FOOT_M, y * FOOT_M), abs=1e-4) == shot.at


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (rods(head="point,x (ft),y (ft),rod (ft)\n"), 'add a row such as "form,,,4.00"'),
        (rods(head="point,x,y,rod\nform,,,4.00\n"), "has no unit; write x (ft) or x (m)"),
        (rods(head="point,x (ft),y (ft)\nform,,\n"), "needs one of rod, elevation and depth"),
        (rods(head="point,x (furlong),y (ft),rod (ft)\nform,,,4.00\n"), '"furlong" is no unit of length'),
        ("1,2,3\n4,5,6\n", "is no line of headings"),
        ("", "is empty"),
        (rods(head="point,x (m),y (m),rod (ft)\nform,,,4.00\n"), "the places look like feet read as metres"),
        (rods(head="point,x (ft),y (ft),rod (m)\nform,,,4.00\n"), "it looks like feet read as metres"),
        (rods(rod=14.0), "check the reading on the form tops and the datum"),
        (rods(rod=3.58), "would lie above the forms"),
        (rods(shots=[(y, x) for x, y in GRID if y > 31] + [(y, x) for x, y in GRID if y > 31]), "x and y look exchanged"),
        (rods(shots=[(200 + x, y) for x, y in GRID]), "lie outside the floor"),
        (rods(more="x,3,3,four\n"), "four"),
        (rods(more="x,3,3,nan\n"), "no finite number"),
        (rods(head="point,x (ft),y (ft),rod (ft)\nform,,,4.00\nA,0,0,4.0\n"), "one corner does not turn the axes"),
        (rods(head="point,x (ft),y (ft),rod (ft)\nform,,,4.00\nA,0,0,4\nB,9.144,0,4\n"), "it looks like metres read as feet"),
        (rods(head="point,x (ft),y (ft),rod (ft)\nform,,,4.00\nA,0,0,4\nB,30,0,4\nC,0,36,4\nD,30,36,4\n"), "taken for each other"),
    ],
)
def test_a_table_that_cannot_be_is_refused_with_what_to_do(job, write, text, says):
    with pytest.raises(InputError) as error:
        read_shots(write(text), job)
    assert says in findings(error)


def test_a_base_low_on_the_average_is_told_but_taken(job, write):
    """2.0 in. low everywhere can be true; it is said."""
    survey, told = read_shots(write(rods(rod=4.583)), job)

    assert 24 == len(survey.shots)
    assert any("2 in below its design on the average" in str(one) for one in told)


def test_every_rejected_shot_is_listed_with_its_reason(job, write):
    more = "".join(
        [
            "out,40,3,4.42\n",
            "edge,0.3,10,5.66\n",
            "pad,15,9,5.16\n",
            "half,9,\n",
            "bust,9,27,5.42\n",
            "twin,21,3,4.55\n",
            "again,27,33,4.42\n",
            "\n",
        ]
    )
    survey, told = read_shots(write(rods(more=more)), job)
    reasons = {one.name: one.reason for one in survey.rejected}

    assert "outside the floor" in reasons["out"]
    assert "over the edge" in reasons["edge"]
    assert "over pad P1" in reasons["pad"]
    assert "lacks y and rod" in reasons["half"]
    assert "about a foot: the rod was misread" in reasons["bust"]
    assert "differ by" in reasons["twin"]
    assert "differ by" in reasons["4"]
    assert any("agree; their mean is used" in str(one) for one in told)
    text = " | ".join(str(one) for one in told)
    assert all(f"{name}: not used: {reason}" in text for name, reason in reasons.items())
    assert 24 - 1 == len(survey.shots)
    assert 24 + 7 - 1 == len(survey.shots) + len(survey.rejected)


def test_the_surveys_beside_a_job_are_found(job, tmp_path):
    (tmp_path / "base_survey.csv").write_text(example_text("store", "base_survey.csv"), encoding="utf-8")
    (tmp_path / "trench.csv").write_text("station,bottom (in),depth (in)\n1,13,21\n", encoding="utf-8")
    surveys, told = read_surveys(tmp_path, job)

    assert () == told
    assert 28 == len(surveys.shots.shots)
    assert () == surveys.shots.rejected
    assert 1 == len(surveys.trench.stations)
    assert surveys.measurements is None


def test_stakes_in_feet_and_inches_angles_and_coordinates(write):
    text = """
# taped 12 May
from,to,distance,sd
A,B,30'-0 1/8",1/16 in
A,C,46'-10 1/2",

at,from,to,angle (deg),sd
A,B,D,270-00-20,5 arcsec
A,B,D,90.25,

stake,x (m),y (m)
A,1000.003,2000.002

hold
A
"""
    survey, told = read_stakes(write(text, "stakes.csv"))
    first, second, angle, plain, x, y = survey.measurements

    assert () == told
    assert pytest.approx(30 * FOOT_M + INCH_M / 8) == first.value
    assert pytest.approx(INCH_M / 16) == first.standard_error
    assert second.sd is None
    assert pytest.approx(0.0016 + 3e-5 * second.value) == second.standard_error
    assert Measured.ANGLE is angle.kind
    assert pytest.approx(math.radians(270 + 20 / 3600)) == angle.value
    assert pytest.approx(math.radians(5 / 3600)) == angle.standard_error
    assert pytest.approx(math.radians(90.25)) == plain.value
    assert pytest.approx((1000.003, 2000.002)) == (x.value, y.value)
    assert ("A",) == survey.held


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("from,to,distance (ft)\nA,A,3\n", "A to A is no distance"),
        ("from,to,distance (ft)\nA,B,-3\n", "must be above nought"),
        ("from,to,distance\nA,B,30\n", "has no unit"),
        ("from,to,distance (ft),sd (in)\nA,B,30,0\n", "a standard error is above nought"),
        ("from,distance (ft)\nA,3\n", "head a block from,to,distance"),
        ("from,to,distance (ft)\n,B,3\n", "holds no measurement that can be used"),
        ("at,from,to,angle (deg)\nA,B,B,90\n", "needs two other stakes"),
    ],
)
def test_stakes_that_cannot_be(write, text, says):
    with pytest.raises(InputError) as error:
        read_stakes(write(text, "stakes.csv"))
    assert says in findings(error)


def test_a_stake_booked_twice_is_told(write):
    _, told = read_stakes(write("stake,x (m),y (m)\nA,1,2\nB,1,2\n", "stakes.csv"))

    assert any("booked twice" in str(one) for one in told)


def test_trench_with_a_pad(write):
    log, _ = read_trench(write("station,bottom (in),depth (in),top (in),across (in)\n1,13,21,28,\nP1,32,15,,33\n", "trench.csv"))

    edge, pad = log.stations
    assert pytest.approx((13 * INCH_M, 21 * INCH_M, 28 * INCH_M)) == (edge.bottom_m, edge.depth_m, edge.top_m)
    assert ("P1", pytest.approx(33 * INCH_M)) == (pad.name, pad.across_m)
    with pytest.raises(InputError, match="above nought"):
        read_trench(write("station,bottom (in),depth (in)\n1,0,21\n", "trench.csv"))


def test_forms_by_rod_need_the_benchmark_both_times(job, write):
    """Benchmark 4.10 then 4.30 (the instrument was set up anew); station 2 settled 0.02 ft."""
    text = "station,x (ft),y (ft),before rod (ft),after rod (ft)\nbenchmark,,,4.10,4.30\n1,0,0,4.00,4.20\n2,30,0,4.00,4.22\n"
    log, _ = read_forms(write(text, "forms.csv"), job)

    assert pytest.approx([0.0, 0.02]) == [(one.before_m - one.after_m) / FOOT_M for one in log.levels]
    assert log.mean_assumed
    with pytest.raises(InputError, match='row "benchmark"'):
        read_forms(write(text.replace("benchmark,,,4.10,4.30\n", ""), "forms.csv"), job)


def test_forms_by_elevation_count_from_the_finished_floor(job, write):
    log, _ = read_forms(write("station,x (ft),y (ft),before (ft),after (ft)\n1,0,0,100.00,99.98\n", "forms.csv"), job)

    assert pytest.approx((0.0, -0.02 * FOOT_M), abs=1e-9) == (log.levels[0].before_m, log.levels[0].after_m)
    assert not log.mean_assumed


def test_a_level_book(write):
    text = "point,BS (m),IS (m),FS (m),known (m),booked (m)\nBM,1.855,,,100,\nA,,2.41,,,99.445\nC,,,1.72,,100.415\n"
    book, _ = read_level_book(write(text, "levels.csv"))

    assert (1.855, 100.0) == (book.readings[0].back_m, book.readings[0].known_m)
    assert (2.41, 99.445) == (book.readings[1].between_m, book.readings[1].booked_m)
    assert 1.72 == book.readings[2].fore_m


def test_what_is_no_text_is_told(job, tmp_path):
    path = tmp_path / "base_survey.csv"
    path.write_bytes(b"point,x (ft)\n\xff\xfe\n")
    with pytest.raises(InputError, match="no UTF-8 text"):
        read_shots(path, job)


def test_a_sloped_floor_is_judged_against_its_falls(write):
    """A base graded parallel to falls is right though its levels differ by inches."""
    dairy = parse_job(example_text("dairy"), "dairy").job
    from slabwright.geometry.foundation import Foundation

    foundation = Foundation.of(dairy.floor, dairy.edge, dairy.strips, dairy.pads)
    places = [(2.5 + 3 * i, y) for i in range(9) for y in (2.5, 4.5, 8.5, 10.5)]
    depths = foundation.thickness_m(places) + foundation.drop_m(places)
    text = "point,x (m),y (m),depth (m)\n" + "".join(
        f"{i},{x},{y},{d:.4f}\n" for i, ((x, y), d) in enumerate(zip(places, depths, strict=True))
    )
    survey, told = read_shots(write(text), replace(dairy))

    assert () == told
    assert 36 == len(survey.shots)
