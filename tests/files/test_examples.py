"""The four invented jobs say what the description of them says; figures typed from it by hand."""

import csv
import math
import statistics

import pytest

from slabwright.errors import UnknownName
from slabwright.files.examples import example_names, example_text, write_example
from slabwright.files.jobfile import parse_job, read_job
from slabwright.model.job import Enclosure
from slabwright.model.loads import LoadCase
from slabwright.units import CUBIC_YARD_M3, FOOT_M, INCH_M, KIP_N, PSF_PA, Family

JOBS = {name: parse_job(example_text(name)).job for name in example_names()}


def area_m2(ring):
    """Shoelace."""
    return abs(sum(x * v - u * y for (x, y), (u, v) in zip(ring, (*ring[1:], ring[0]), strict=True))) / 2


def perimeter_m(ring):
    return sum(math.dist(one, other) for one, other in zip(ring, (*ring[1:], ring[0]), strict=True))


def table(name, file):
    """Whole rows of a CSV beside an example, numbers as floats; notes and rows with empty cells are left out."""
    lines = [line for line in example_text(name, file).splitlines() if not line.startswith("#")]
    return [{key: float(value) for key, value in row.items()} for row in csv.DictReader(lines) if all(row.values())]


@pytest.mark.parametrize("name", example_names())
def test_an_example_has_nothing_wrong_or_doubtful_in_it(name):
    assert () == parse_job(example_text(name)).findings


@pytest.mark.parametrize("name", example_names())
def test_an_example_states_everything_but_the_tolerances(name):
    """Complete numbers: the only defaults left are those of the tolerance specification."""
    assert all(one.where.startswith("tolerances.") for one in JOBS[name].assumptions)


@pytest.mark.parametrize(("name", "area_ft2", "perimeter_ft"), [("store", 1080, 132), ("shelter", 7936, 376), ("station", 3716, 284)])
def test_us_outlines(name, area_ft2, perimeter_ft):
    outline = JOBS[name].floor.outline

    assert pytest.approx(area_ft2 * FOOT_M**2, rel=1e-12) == area_m2(outline)
    assert pytest.approx(perimeter_ft * FOOT_M, rel=1e-12) == perimeter_m(outline)


def test_si_outline():
    assert pytest.approx(403.0, rel=1e-12) == area_m2(JOBS["dairy"].floor.outline)
    assert pytest.approx(88.0, rel=1e-12) == perimeter_m(JOBS["dairy"].floor.outline)


@pytest.mark.parametrize(
    ("name", "thickness", "edge_depth", "edge_width", "unit", "n_pads", "pad", "pad_depth"),
    [
        ("store", 5, 20, 12, INCH_M, 2, 30, 14),
        ("shelter", 6, 26, 14, INCH_M, 22, 42, 30),
        ("station", 7, 30, 16, INCH_M, 8, 48, 34),
        ("dairy", 150, 600, 400, 0.001, 12, 1000, 750),
    ],
)
def test_shapes(name, thickness, edge_depth, edge_width, unit, n_pads, pad, pad_depth):
    """Floor, edge at 45 degrees, pads square at 45 degrees, a post on each."""
    job = JOBS[name]
    edge = job.edge

    shape = (job.floor.thickness_m, edge.depth_m, edge.width_m, edge.run)
    assert pytest.approx((thickness * unit, edge_depth * unit, edge_width * unit, 1.0)) == shape
    assert n_pads == len(job.pads) == len(job.posts)
    for one in job.pads:
        assert pytest.approx((pad * unit, pad * unit, pad_depth * unit, 1.0)) == (one.size_x_m, one.size_y_m, one.depth_m, one.run)
    assert {pad.name for pad in job.pads} == {post.name for post in job.posts}


def test_the_depth_below_grade_is_at_least_the_frost_depth():
    """12 in against 10; 20 against 20; 24 against 24; 450 mm against 450."""
    for job in JOBS.values():
        assert job.edge.depth_m - job.edge.top_above_grade_m >= job.place.frost_depth_m - 1e-9


def test_the_store_carries_its_ridge_posts():
    """202.5 ft² x (12 + 30) psf = 8.5 kip; 0.6 W - 0.6 D leaves 0.5 kip of uplift."""
    carried = JOBS["store"].posts[0].tributary
    area = carried.length_m * carried.width_m

    assert pytest.approx(202.5 * FOOT_M**2) == area
    assert pytest.approx(8.5 * KIP_N, rel=0.001) == area * (carried.roof_dead_pa + carried.snow_pa)
    assert pytest.approx(0.5 * KIP_N, rel=0.005) == area * 0.6 * (carried.wind_uplift_pa - carried.roof_dead_pa)


def test_the_store_has_eave_walls_of_437_plf():
    """357 of roof and 80 of wall."""
    west = JOBS["store"].walls[0].line_loads_n_m

    assert pytest.approx(437 * KIP_N / 1000 / FOOT_M, rel=1e-9) == sum(west.values())


def test_the_shelter_is_open_and_lifts():
    """384 ft² x 33 psf = 12.7 kip down; 0.6 x 30 psf less 0.6 x 8 psf is 5.07 kip up."""
    job = JOBS["shelter"]
    case = {key: one.down_n for key, one in job.posts[0].reactions.items()}

    assert Enclosure.OPEN is job.building.enclosure
    assert pytest.approx(12.7 * KIP_N, rel=0.003) == case[LoadCase.DEAD] + case[LoadCase.SNOW]
    assert pytest.approx(-5.07 * KIP_N, rel=0.001) == 0.6 * (case[LoadCase.DEAD] + case[LoadCase.WIND_UPLIFT])


def test_the_station_has_four_frames_that_push_outwards():
    """Interior columns 480 ft² x 45 psf = 21.6 kip, thrust 5 kip, net uplift 7.87 kip."""
    posts = {post.name: post for post in JOBS["station"].posts}
    west, east = posts["P3"].reactions, posts["P4"].reactions
    gravity = (LoadCase.DEAD, LoadCase.SNOW)

    assert pytest.approx(21.6 * KIP_N) == sum(west[case].down_n for case in gravity)
    assert pytest.approx(-5.0 * KIP_N) == sum(west[case].shear_x_n for case in gravity)
    assert pytest.approx(+5.0 * KIP_N) == sum(east[case].shear_x_n for case in gravity)
    assert pytest.approx(-7.87 * KIP_N, rel=0.002) == 0.6 * (west[LoadCase.DEAD].down_n + west[LoadCase.WIND_UPLIFT].down_n)


def test_the_wing_of_the_station_is_836_square_feet_of_4_inches():
    (wing,) = JOBS["station"].floor.thickness_regions

    assert pytest.approx(836 * FOOT_M**2) == area_m2(wing.within)
    assert 4 * INCH_M == pytest.approx(wing.thickness_m)


def test_the_pads_of_the_station_stand_outside_the_forms_by_1_88_cubic_yards():
    """By hand: 2/3 ft outside; three at corners 16 - (10/3)² ft², four at sides 8/3 ft², each 34 - 10 in thick."""
    pads = JOBS["station"].pads
    outside_ft2 = 3 * (16 - (10 / 3) ** 2) + 4 * (8 / 3)

    assert all(pytest.approx(10 * INCH_M) == pad.outside_top_m for pad in pads)
    assert pytest.approx(1.88, abs=0.01) == outside_ft2 * 24 / 12 / 27


def test_the_bay_falls_three_and_three_quarter_inches_to_its_drain():
    """30 ft at 1/8 in per ft."""
    (fall,) = JOBS["station"].floor.falls

    assert pytest.approx(3.75 * INCH_M) == fall.slope * 30 * FOOT_M


def test_the_dairy_carries_43_kn_on_a_column_and_falls_81_mm():
    """39 m² x 1.1 kPa; 10 kN net uplift; 6.5 m at 1:80."""
    job = JOBS["dairy"]
    case = {key: one.down_n for key, one in job.posts[0].reactions.items()}

    assert Family.SI is job.family
    assert pytest.approx(43e3, rel=0.003) == case[LoadCase.DEAD] + case[LoadCase.SNOW]
    assert pytest.approx(-10e3) == case[LoadCase.DEAD] + case[LoadCase.WIND_UPLIFT]
    assert pytest.approx(0.081, abs=0.0005) == job.floor.falls[0].slope * 6.5


@pytest.mark.parametrize(
    ("name", "bearing", "price", "truck", "trucks"),
    [("store", 2000 * PSF_PA, 158, 10, 3), ("shelter", 1500 * PSF_PA, 175, 9, 9), ("station", 2500 * PSF_PA, 162, 10, 5)],
)
def test_us_soil_and_supply(name, bearing, price, truck, trucks):
    """The shelter's price holds 4 for the retarder beside 171."""
    job = JOBS[name]

    assert pytest.approx(bearing) == job.soil.allowable_bearing_pa
    assert pytest.approx(price) == float(job.prices.per_unit["concrete"]) * CUBIC_YARD_M3
    assert (pytest.approx(truck * CUBIC_YARD_M3), trucks) == (job.plant.truck_m3, job.plant.n_trucks)


def test_the_base_survey_of_the_store():
    """28 shots, form-top plane at 4.00: mean thickness 5.33 in, SD 0.39 in, least 4.08 in at (21, 27), bias 1.09 yd³."""
    shots = table("store", "base_survey.csv")
    thickness_in = [12 * (shot["rod (ft)"] - 4.00) for shot in shots]
    thinnest = min(shots, key=lambda shot: shot["rod (ft)"])

    assert 28 == len(shots)
    assert pytest.approx(5.33, abs=0.005) == statistics.mean(thickness_in)
    assert pytest.approx(0.39, abs=0.005) == statistics.stdev(thickness_in)
    assert pytest.approx(4.08, abs=0.001) == min(thickness_in)
    assert (21.0, 27.0) == (thinnest["x (ft)"], thinnest["y (ft)"])
    assert pytest.approx(1.09, abs=0.005) == (statistics.mean(thickness_in) - 5) / 12 * 1080 / 27


@pytest.mark.parametrize(
    ("name", "rates"),
    [
        ("store", [0.02, 0.03, 0.06, 0.09, 0.06]),
        ("shelter", [0.07, 0.12, 0.22, 0.35, 0.40, 0.23]),
        ("dairy", [0.20, 0.24, 0.33, 0.40, 0.31]),
    ],
)
def test_the_hourly_weather_gives_the_evaporation_described(name, rates):
    """E = 5 ([Tc+18]^2.5 - r [Ta+18]^2.5) (V+4) 1e-6 kg/m²/h, °C and km/h (ACI Materials Journal 95-M34, quoted elsewhere).

    1 lb/ft² = 4.8824 kg/m². The shelter at 17:00 works out as 0.3946, told as 0.40: hence 0.006 and not half of 0.01.
    """
    for row, rate in zip(table(name, "weather.csv"), rates, strict=True):
        if name == "dairy":
            air, concrete, wind, unit = row["air (degC)"], row["concrete (degC)"], row["wind (km/h)"], 1.0
        else:
            air, concrete = ((row[f"{what} (degF)"] - 32) / 1.8 for what in ("air", "concrete"))
            wind, unit = row["wind (mph)"] * 1.609344, 4.8824
        drive = (concrete + 18) ** 2.5 - row["rh (%)"] / 100 * (air + 18) ** 2.5
        assert pytest.approx(rate, abs=0.006) == 5e-6 * drive * (wind + 4) / unit


def test_an_example_is_written_into_a_folder_and_reads_back(tmp_path):
    """With everything beside it; a job file that is there already is never written over."""
    path = write_example(tmp_path / "new" / "store", "store")

    assert ["base_survey.csv", "job.toml", "weather.csv"] == sorted(one.name for one in path.parent.iterdir())
    assert JOBS["store"] == read_job(path).job
    with pytest.raises(FileExistsError):
        write_example(path.parent, "dairy")


def test_an_unknown_example_is_told_with_those_there_are():
    with pytest.raises(UnknownName, match='no example is called "barn"; there are store, shelter, station, dairy'):
        example_text("barn")
    with pytest.raises(UnknownName, match=r'example dairy has no file "x\.csv"; it has job\.toml, weather\.csv'):
        example_text("dairy", "x.csv")
