"""What a job file says arrives in the model, in SI, whichever units it is written in."""

import math
import pickle
import re
from dataclasses import fields, is_dataclass
from datetime import date
from decimal import Decimal

import pytest

from slabwright.files.examples import example_text
from slabwright.files.jobfile import parse_job, read_job
from slabwright.files.jobfile.migrations import CURRENT, STEPS, migrated
from slabwright.model import concrete, ground, job, loads, steel, supply
from slabwright.model.loads import LoadCase, Reaction
from slabwright.units import CUBIC_YARD_M3, FOOT_M, KIP_N, PSF_PA, Family
from tests.files.jobs import FULL, MINIMAL, minimal_with

POSTS = '[[posts]]\non = "all pads"\nbase = "6 in x 8 in"\n'


def close(expected: object, actual: object) -> bool:
    """Equal, floats to the last digits; every leaf of two models."""
    if isinstance(expected, float) and isinstance(actual, float):
        return math.isclose(expected, actual, rel_tol=1e-9, abs_tol=1e-12)
    if isinstance(expected, tuple) and isinstance(actual, tuple):
        return len(expected) == len(actual) and all(map(close, expected, actual))
    if is_dataclass(expected) and type(expected) is type(actual):
        return all(close(getattr(expected, one.name), getattr(actual, one.name)) for one in fields(expected))
    return expected == actual


def test_the_smallest_job_loads():
    """Outline, thickness, edge and pads; figures by hand, 1 in = 0.0254 m exactly."""
    loaded = parse_job(MINIMAL, "garage.toml")
    read = loaded.job

    assert () == loaded.findings
    assert ("garage", Family.US) == (read.name, read.family)
    assert ((0.0, 0.0), (9.144, 0.0), (9.144, 10.9728), (0.0, 10.9728)) == read.floor.outline
    assert (0.127, 0.508, 0.3048, 1.0) == (read.floor.thickness_m, read.edge.depth_m, read.edge.width_m, read.edge.run)
    assert [("P1", (4.572, 2.7432)), ("P2", (4.572, 8.2296))] == [(pad.name, pad.at) for pad in read.pads]
    assert all((0.762, 0.762, 0.3556, 1.0) == (pad.size_x_m, pad.size_y_m, pad.depth_m, pad.run) for pad in read.pads)


def test_every_default_of_the_smallest_job_is_told_as_an_assumption():
    """With the key that would state it, the figure, and where it comes from."""
    told = {one.where: one for one in parse_job(MINIMAL).job.assumptions}

    assert {"job.units", "job.loads", "edge.slope", "edge.top_above_grade", "pads[1].slope", "floor.finish", "plant.truck"} <= set(told)
    assert "The floor stands 6 in above outside grade." == told["edge.top_above_grade"].statement
    assert "ACI 117-10" in str(told["tolerances.thickness_minus_single"].clause)
    assert all(one.statement and str(one.clause) for one in told.values())


def test_no_default_is_told_for_what_the_file_states():
    stated = minimal_with('width = "12 in"', 'width = "12 in"\nslope = "1:1"\ntop_above_grade = "8 in"')

    assert not [one for one in parse_job(stated).job.assumptions if one.where.startswith("edge.")]


def test_one_default_for_several_entries_is_told_once():
    """Two sets of pads with silent slopes: one sentence that names both."""
    more = '[[pads]]\nat = ["5 ft", "9 ft"]\nsize = "2 ft"\ndepth = "12 in"\n'

    assert ["pads[1].slope, pads[2].slope"] == [
        one.where for one in parse_job(minimal_with(more=more)).job.assumptions if "pads" in one.statement
    ]


def test_an_si_job_takes_si_defaults():
    """Shown family as the thickness is written; Europe's editions; a European sheet and cover."""
    text = minimal_with('"5 in"', '"150 mm"', '[mesh]\nstyle = "A252"\n\n[retarder]\nthickness = "300 µm"\n')
    read = parse_job(text).job

    assert Family.SI is read.family
    assert "EN 1990, EN 1992-1-1, European practice" == str(read.codes)
    assert (4.8, 2.4, 0.4, 0.3) == (read.mesh.sheet_length_m, read.mesh.sheet_width_m, read.mesh.lap_m, read.retarder.lap_m)


def test_us_and_si_texts_of_one_slab_give_one_job():
    """Every length of the smallest job written again in millimetres, which are exact."""
    written = {
        "30 ft": "9144 mm", "36 ft": "10.9728 m", "5 in": "127 mm", "20 in": "508 mm", "12 in": "30.48 cm", "15 ft": "4572 mm",
        "9 ft": "2743.2 mm", "27 ft": "8229.6 mm", "2.5 ft x 2.5 ft": "762 mm × 0.762 m", "14 in": "355.6 mm",
    }  # fmt: skip
    si = re.sub(r'"([^"]+)"', lambda one: f'"{written.get(one[1], one[1])}"', MINIMAL)
    us, metric = (parse_job(f'[job]\nname = "one"\nunits = "US"\n\n{text}').job for text in (MINIMAL, si))

    assert close(us.floor, metric.floor)
    assert close(us.edge, metric.edge)
    assert close(us.pads, metric.pads)
    assert us.assumptions == metric.assumptions


def test_posts_on_pads_take_their_places_and_names():
    """One post on each pad, or on those named."""
    every = parse_job(minimal_with(more=POSTS)).job
    one = parse_job(minimal_with(more=POSTS.replace('"all pads"', '"P2"'))).job

    assert [(pad.name, pad.at) for pad in every.pads] == [(post.name, post.at) for post in every.posts]
    assert [("P2", every.pads[1].at)] == [(post.name, post.at) for post in one.posts]
    assert (0.1524, 0.2032) == (one.posts[0].base_x_m, one.posts[0].base_y_m)


def test_a_grid_counts_along_x_then_row_by_row():
    """Two rows of three: the shelter's way of writing 22 pads in one entry."""
    grid = 'grid = { x = { from = "5 ft", step = "8 ft", count = 3 }, y = ["4 ft", "32 ft"] }'
    more = f'[[pads]]\nname = "G"\n{grid}\nsize = "1 ft"\ndepth = "1 ft"\n'
    pads = parse_job(minimal_with(more=more)).job.pads[2:]

    assert ["G1", "G2", "G3", "G4", "G5", "G6"] == [pad.name for pad in pads]
    expected = [(x * FOOT_M, y * FOOT_M) for y in (4, 32) for x in (5, 13, 21)]
    assert close(tuple(expected), tuple(pad.at for pad in pads))


def test_names_go_on_from_entry_to_entry():
    """Unnamed pads after unnamed pads; a single one may have its own name; several may have one each."""
    entry = '[[pads]]\nat = ["{} ft", "18 ft"]\nsize = "1 ft"\ndepth = "1 ft"\n'
    more = (
        entry.format(4) + entry.format(8) + 'name = "porch"\n' + '[[pads]]\nat = [["4 ft", "4 ft"], ["8 ft", "4 ft"]]\nnames = ["a", "b"]\n'
    )
    pads = parse_job(minimal_with(more=more + 'diameter = "1 ft"\ndepth = "1 ft"\n')).job.pads

    assert ["P1", "P2", "P3", "porch", "a", "b"] == [pad.name for pad in pads]
    assert concrete.PadShape.CIRCLE is pads[-1].shape


def test_uplift_is_written_upwards_and_kept_as_negative_down():
    """The sign convention of the model: positive down."""
    table = (
        'loads = { dead = "2 kip", snow = { down = "3 kip", shear_x = "-1 kip" }, wind_uplift = { up = "4 kip", moment_y = "2 kip-ft" } }\n'
    )
    reactions = parse_job(minimal_with(more=POSTS + table)).job.posts[0].reactions

    assert [LoadCase.DEAD, LoadCase.SNOW, LoadCase.WIND_UPLIFT] == list(reactions)
    assert Reaction(down_n=2 * KIP_N) == reactions[LoadCase.DEAD]
    assert close(Reaction(down_n=3 * KIP_N, shear_x_n=-KIP_N), reactions[LoadCase.SNOW])
    assert close(Reaction(down_n=-4 * KIP_N, moment_y_nm=2 * KIP_N * FOOT_M), reactions[LoadCase.WIND_UPLIFT])


def test_a_wall_takes_loads_per_length_by_case():
    wall = (
        '[[walls]]\nline = [["0", "3 in"], ["30 ft", "3 in"]]\nthickness = "6 in"\nloads = { dead = "100 plf", wind_uplift = "30 plf" }\n'
    )
    (read,) = parse_job(minimal_with(more=wall)).job.walls

    assert "W1" == read.name
    assert close(100 * KIP_N / 1000 / FOOT_M, read.line_loads_n_m[LoadCase.DEAD])
    assert close(-30 * KIP_N / 1000 / FOOT_M, read.line_loads_n_m[LoadCase.WIND_UPLIFT])


def test_a_tributary_area_is_kept_as_pressures():
    tributary = 'tributary = { size = "15 ft x 13.5 ft", roof_dead = "12 psf", snow = "30 psf" }\n'
    post = parse_job(minimal_with(more=POSTS + tributary)).job.posts[0]

    expected = loads.Tributary(length_m=15 * FOOT_M, width_m=13.5 * FOOT_M, roof_dead_pa=12 * PSF_PA, snow_pa=30 * PSF_PA)
    assert close(expected, post.tributary)


def test_prices_are_per_si_unit_or_per_piece():
    """158 for a cubic yard is 158 / 0.764554857984 for a cubic metre; a piece is a piece; dotted keys may stand bare."""
    text = (
        '[prices]\ncurrency = "€"\n"concrete" = "158 per yd3"\nsteel.bars = "0.9 per lb"\nchairs = "0.38 each"\nmesh = "44/sheet"\n'
        '[prices.fees]\npump = "1,450"\n'
    )
    prices = parse_job(minimal_with(more=text)).job.prices

    assert "€" == prices.currency
    assert pytest.approx(158 / CUBIC_YARD_M3, rel=1e-12) == float(prices.per_unit["concrete"])
    assert pytest.approx(0.9 / 0.45359237, rel=1e-12) == float(prices.per_unit["steel.bars"])
    assert (Decimal("0.38"), Decimal("44")) == (prices.per_unit["chairs"], prices.per_unit["mesh"])
    assert {"pump": Decimal("1450")} == dict(prices.fees)


def test_mesh_is_cut_out_over_every_pad_by_two_words():
    read = parse_job(minimal_with(more='[mesh]\nstyle = "A252"\ncut_out = "all pads"\n')).job

    assert tuple(pad.name for pad in read.pads) == read.mesh.cut_out != ()


def test_a_joint_line_across_the_floor_is_written_by_its_distance():
    text = '[joints]\npinned = [{ x = "10 ft" }, { y = "12 ft" }, [["0", "0"], ["30 ft", "36 ft"]]]\n'
    pinned = parse_job(minimal_with(more=text)).job.joints.pinned

    expected = (((3.048, 0.0), (3.048, 10.9728)), ((0.0, 3.6576), (9.144, 3.6576)), ((0.0, 0.0), (9.144, 10.9728)))
    assert close(expected, pinned)


def test_small_things_arrive_as_they_are_meant():
    """Per cent, time of day, angle, date, class of the soil, R-value."""
    text = (
        '[mix]\nstrength = "3500 psi"\nair = "6 %"\nplacing_temp = "65 degF"\ntime_limit = "90 min"\n[crew]\nstart = "6:30"\n'
        '[place]\nlatitude = "-36.8 deg"\n[soil]\nclass = "SM"\ncbr = "6 %"\n[[decisions]]\nclash = "a"\nchoice = "b"\non = 2026-04-30\n'
        '[[insulation]]\nplace = "edge"\nthickness = "2 in"\nresistance = "R-10"\n[base]\nthickness = "4 in"\ncompaction = 0.95\n'
    )
    read = parse_job(minimal_with(more=text)).job

    assert (0.06, 5400.0, 6.5, -36.8) == (read.mix.air, read.mix.time_limit_s, read.crew.start_hour_h, read.place.latitude_deg)
    assert close(18 + 1 / 3, read.mix.placing_temp_c)
    assert ("SM", 6.0, 0.95, date(2026, 4, 30)) == (read.soil.soil_class, read.soil.cbr, read.base.compaction, read.decisions[0].on)
    assert pytest.approx(1.761, abs=0.0005) == read.insulation[0].resistance_m2k_w


def test_a_job_travels_to_another_process_and_back():
    """Sweeps run in processes; read-only tables of loads and prices travel with it."""
    read = parse_job(FULL + '[prices]\n"concrete" = "158 per yd3"\n').job

    assert read == pickle.loads(pickle.dumps(read))


def test_the_digest_follows_what_is_said_and_not_how():
    """Comments, order and spacing are not the job."""
    plain = parse_job(MINIMAL).job.digest
    noted = parse_job("# as on the permit\n" + MINIMAL.replace("depth = ", "depth   = ")).job.digest
    other = parse_job(MINIMAL.replace('"14 in"', '"15 in"')).job.digest

    assert plain == noted
    assert plain != other
    assert 12 == len(plain)


def test_a_file_is_read_from_its_path_and_lends_the_job_its_name(tmp_path):
    """``barn.toml`` is the job barn; ``barn/job.toml`` too. A byte-order mark and other line ends do no harm."""
    for path in (tmp_path / "barn.toml", tmp_path / "barn" / "job.toml"):
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(b"\xef\xbb\xbf" + MINIMAL.replace("\n", "\r\n").encode())
        assert "barn" == read_job(path).job.name


def test_places_lead_from_things_of_the_job_to_their_key_in_the_file():
    """What a drawing needs to move a pad."""
    more = '[[pads]]\nat = ["5 ft", "9 ft"]\nsize = "1 ft"\ndepth = "1 ft"\n' + POSTS
    places = parse_job(minimal_with(more=more)).places

    assert ("pads[1].at[2]", "pads[2].at", "posts[1].on") == (places["pads", 1], places["pads", 2], places["posts", 0])


def test_older_editions_are_brought_up_step_by_step():
    """Editions that never were, to prove the mechanism: each step sees what the one before it left."""
    steps = {1: lambda old: {**old, "floor": old["slab"]}, 2: lambda old: {key: old[key] for key in old if key != "slab"}}

    assert {"schema": 3, "floor": 1} == migrated({"schema": 1, "slab": 1}, steps, 3)
    assert {"schema": 3, "slab": 1} == migrated({"schema": 3, "slab": 1}, steps, 3)
    assert set(range(1, CURRENT)) == set(STEPS)


@pytest.mark.parametrize(
    "kind",
    [
        ground.Place, job.Building, ground.Soil, concrete.Floor, concrete.Fall, concrete.ThicknessRegion, loads.Wheel, concrete.Edge,
        concrete.Strip, concrete.Pad, loads.Post, loads.Tributary, loads.Anchor, loads.Wall, ground.Pipe, ground.Embed, ground.BaseCourse,
        ground.Retarder, ground.Insulation, steel.Mesh, steel.Bars, supply.JointWishes, supply.Mix, supply.Forms, supply.Crew, supply.Plant,
        job.Tolerances, job.Decision,
    ],
    ids=lambda kind: kind.__name__,
)  # fmt: skip
def test_every_field_of_the_model_can_be_written(kind: type, full_jobs: list[job.Job]):
    """No field is out of reach of the file: in four files that state everything, each differs from the model's default somewhere."""
    found = [one for read in full_jobs for one in _every(read, kind)]

    assert found
    for field in fields(kind):
        assert len({repr(getattr(one, field.name)) for one in found}) > 1, field.name


def _every(value: object, kind: type) -> list[object]:
    if isinstance(value, kind):
        return [value, *(inner for one in fields(kind) for inner in _every(getattr(value, one.name), kind))]
    if isinstance(value, tuple):
        return [inner for one in value for inner in _every(one, kind)]
    if is_dataclass(value):
        return [inner for one in fields(value) for inner in _every(getattr(value, one.name), kind)]
    return []


@pytest.fixture(scope="module")
def full_jobs() -> list[job.Job]:
    """One file that states every key, and the examples, whose values differ."""
    return [parse_job(FULL).job, *(parse_job(example_text(name)).job for name in ("store", "station", "dairy")), parse_job(MINIMAL).job]
