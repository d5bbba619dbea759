"""Will the floor carry it: figures against published ones, what the study promises of a whole job, and jobs that are wrong."""

import pickle
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
import shapely

from slabwright.files.examples import example_text
from slabwright.files.jobfile import parse_job
from slabwright.geometry.foundation import PartKind
from slabwright.model.concrete import Edge, Floor, Pad, ThicknessRegion
from slabwright.model.ground import Soil
from slabwright.model.job import Codes, Job, LoadStandard
from slabwright.model.loads import LoadCase, Post, Reaction, Wall, Wheel
from slabwright.model.supply import Mix
from slabwright.results.check import Ask, State
from slabwright.results.notes import Notes
from slabwright.results.picture import Area, Line, Note
from slabwright.solvers.plate import Analysis, Quantity
from slabwright.sources import Basis, Clause, Source
from slabwright.studies import floor, joints, shape
from slabwright.studies.floor.body import READ_FROM_FACE
from slabwright.studies.floor.loading import CURL_STRAIN
from slabwright.studies.floor.reading import Reader
from slabwright.studies.floor.routes import route_of
from slabwright.studies.floor.study import solve_floor
from slabwright.study import Inputs, Waiting, run_studies
from slabwright.units import FOOT_M, INCH_M, KIP_N, PCF_KG_M3, PCI_PA_M, POUND_FORCE_N, PSF_PA, PSI_PA

IN, FT = INCH_M, FOOT_M
WESTERGAARD = Clause(
    Source("Westergaard", "Westergaard 1926 and 1948, in the forms of Ioannides, Thompson and Barenberg 1985"),
    "interior and edge stress, interior deflection; slab of a garage", Basis.QUOTED,
)  # fmt: skip
AISLE = Clause(
    Source("UFC 3-320-06A", "UFC 3-320-06A, Concrete Floor Slabs on Grade Subjected to Heavy Loads, 2005"), "table 3-1", Basis.MEMORY
)
LOAD_N, RADIUS_M = 3000 * POUND_FORCE_N, 2.53885 * IN
SIDE_M = RADIUS_M * np.sqrt(np.pi)
MIDDLE = (15 * FT, 15 * FT)


def garage(**fields):
    """The slab of the published figures: 4 in. of 3,000 psi on 100 pci, here 30 ft square, which is 18 radii of relative stiffness."""
    outline = ((0.0, 0.0), (30 * FT, 0.0), (30 * FT, 30 * FT), (0.0, 30 * FT))
    given = {
        "name": "garage", "floor": Floor(outline=outline, thickness_m=4 * IN), "codes": Codes(loads=LoadStandard.ASCE_7_16),
        "soil": Soil(subgrade_modulus_pa_m=100 * PCI_PA_M), "mix": Mix(strength_pa=3000 * PSI_PA, unit_weight_kg_m3=150 * PCF_KG_M3),
    }  # fmt: skip
    return Job(**{**given, **fields})


def post(name, at, **reactions):
    return Post(
        name=name, at=at, base_x_m=SIDE_M, base_y_m=SIDE_M,
        reactions={LoadCase[case.upper()]: Reaction(down_n=down) for case, down in reactions.items()},
    )  # fmt: skip


def wheel(*corners):
    return Wheel(name="jack", load_n=LOAD_N, contact_pressure_pa=LOAD_N / SIDE_M**2, within=corners)


def square(x, y, half):
    return (x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half)


def with_wheel(job, one):
    return replace(job, floor=replace(job.floor, wheels=(one,)))


def outcome_of(job, cuts=()):
    """The study with joints laid by hand: their layout is tested elsewhere."""
    lines = [SimpleNamespace(start=start, end=end) for start, end in cuts]
    fixed: Any = replace(joints.STUDY, run=lambda inputs, done: SimpleNamespace(joints=lines))
    study: Any = replace(floor.STUDY, needs=(shape.STUDY, fixed))
    return run_studies((shape.STUDY, fixed, study), Inputs(job=job)).outcomes["floor"]


def result_of(job, cuts=()):
    result = outcome_of(job, cuts).result
    assert not isinstance(result, Waiting), result
    return result


def solved_of(job, cuts=()):
    """Every answer behind the result, which is too large to be kept with it."""
    return solve_floor(
        job, run_studies((shape.STUDY,), Inputs(job=job))[shape.STUDY].foundation, [shapely.LineString(cut) for cut in cuts], Notes()
    )


@pytest.fixture(scope="module")
def loaded():
    return result_of(garage(posts=(post("A", MIDDLE, dead=LOAD_N),)))


@pytest.fixture(scope="module")
def store_plan():
    return run_studies((shape.STUDY, joints.STUDY, floor.STUDY), Inputs(job=parse_job(example_text("store"), "store").job))


@pytest.fixture(scope="module")
def store(store_plan):
    return store_plan.outcomes["floor"]


@pytest.fixture(scope="module")
def answers(store_plan):
    return solved_of(store_plan.inputs.job, [(line.start, line.end) for line in store_plan[joints.STUDY].joints])


@pytest.mark.published(WESTERGAARD)
def test_a_post_in_the_open_floor_bends_it_as_published(loaded):
    """282.0 psi and 0.00901 in. His thick plate feels 2 % more right under the load; ours yields some 2 % in shear."""
    figures = loaded.figures

    assert pytest.approx(282.0, rel=0.03) == figures["floor.bottom"].value / PSI_PA
    assert pytest.approx(0.00901, rel=0.035) == figures["settlement"].value / IN
    assert np.allclose(MIDDLE, figures["floor.bottom"].at, atol=SIDE_M)


@pytest.mark.published(WESTERGAARD)
def test_a_wheel_in_the_open_and_at_a_free_edge_bends_the_floor_as_published():
    """Interior 282.0, a circle at the edge 551.2 psi of a thin plate; at a free edge a plate that yields in shear feels some 5 % less."""
    job = garage()
    interior = result_of(with_wheel(job, wheel(*square(*MIDDLE, 0.5)))).wheels[0]
    edge = result_of(with_wheel(job, wheel(*square(15 * FT, 0.25, 0.251)))).wheels[0]

    assert pytest.approx(282.0, rel=0.03) == interior.bottom.value / PSI_PA
    assert pytest.approx(551.2, rel=0.06) == edge.bottom.value / PSI_PA


@pytest.mark.published(WESTERGAARD)
def test_a_joint_helps_a_wheel_between_open_floor_and_free_edge():
    """Held close it stands between 282 and 551 psi; opened it is a free edge, the bound that is printed."""
    cut = ((15 * FT, 0.0), (15 * FT, 30 * FT))
    found = result_of(with_wheel(garage(), wheel(*square(15 * FT, 15 * FT, 0.5))), [cut]).wheels[0]

    assert 282.0 < found.bottom.value / PSI_PA < 551.2
    assert pytest.approx(551.2, rel=0.06) == found.open_joint.value / PSI_PA


@pytest.mark.published(AISLE)
def test_floor_load_in_strips_bends_the_floor_about_as_an_aisle_does():
    """869 psf brings 6 in. of concrete with E = 4e6 psi on 100 pci to 275 psi beside one aisle; here strips lie side by side."""
    job = garage(mix=Mix(strength_pa=4924.6 * PSI_PA, unit_weight_kg_m3=150 * PCF_KG_M3))
    figures = result_of(replace(job, floor=replace(job.floor, thickness_m=6 * IN, live_pa=869 * PSF_PA))).figures

    assert pytest.approx(275.0, rel=0.2) == figures["floor.top"].value / PSI_PA


def test_floor_load_everywhere_presses_the_slab_down_evenly():
    """w = q / k, and nothing bends."""
    job = garage()
    found = solved_of(replace(job, floor=replace(job.floor, live_pa=100 * PSF_PA)))
    even = next(one for one in found.solved if one.case.name == "D + L").answer

    assert np.allclose(100 * PSF_PA / (100 * PCI_PA_M), even.deflection([(1.0, 2.0), MIDDLE, (9.0, 0.2)]), rtol=1e-6)
    assert abs(even.greatest(Quantity.TOP_TENSION).value) < 1e-4 * PSI_PA


def test_drying_pulls_the_middle_of_a_wide_floor_as_if_it_were_clamped(loaded):
    """Far from every edge the slab lies flat: sigma = E eps / 2 (1 - nu), worked by hand from 57,000 sqrt(3000) psi."""
    dried = next(one for one in solved_of(garage()).solved if one.case.name == "empty floor, dried")
    clamped = 57000 * np.sqrt(3000) * CURL_STRAIN / 2 / (1 - 0.15)

    assert pytest.approx(clamped, rel=0.02) == dried.answer.value(Quantity.TOP_TENSION, [MIDDLE])[0] / PSI_PA
    assert 0.5 < dried.answer.contact_fraction < 0.97
    assert loaded.figures["lift"].value > 0.0
    assert any("leaves the ground" in one.text for one in loaded.cautions)


def test_a_pad_spreads_a_post_and_the_floor_is_read_beside_it():
    """Under a post on a pad the floor bends far less; no figure of the floor is read on the pad or nearer than half its thickness."""
    pad = Pad(name="A", at=MIDDLE, size_x_m=3 * FT, size_y_m=3 * FT, depth_m=14 * IN)
    result = result_of(garage(posts=(post("A", MIDDLE, dead=LOAD_N),), pads=(pad,)))
    x, y = result.figures["floor.bottom"].at

    assert result.figures["floor.bottom"].value < 0.4 * 282.0 * PSI_PA
    assert max(abs(x - MIDDLE[0]), abs(y - MIDDLE[1])) >= 1.5 * FT + READ_FROM_FACE * 4 * IN - 1e-6
    assert any("upright pads" in one.statement for one in result.assumptions)


def test_every_headline_figure_has_its_place_its_state_and_its_mesh_uncertainty(store):
    result = store.result
    names = {one.name for one in result.states}

    assert {
        "floor.top",
        "floor.bottom",
        "edge.top",
        "edge.bottom",
        "floor.curled",
        "soil.pressure",
        "settlement",
        "lift",
        "contact",
    } <= set(result.figures)
    for figure in result.figures.values():
        assert figure.case in names
        assert 0.0 < figure.spread < 0.12, figure
    for check in result.checks:
        assert check.steps or check.key in ("soil.pressure", "posts.tilt")
        assert check.clause


def test_the_mesh_of_the_store_is_fine_enough(store, answers):
    """The governing figures once more with cells of a third: they stay within twice what the study says of itself."""
    result = store.result
    reader = Reader(result.body)
    standing = answers.state_of(result.governing)
    fine = Analysis(result.body.plate(), size=0.5 * result.body.relative_stiffness_m).fine.answers([standing.case.loads], False, [None])[0]
    for key, quantity in (("floor.top", Quantity.TOP_TENSION), ("floor.bottom", Quantity.BOTTOM_TENSION)):
        figure = result.figures[key]
        assert pytest.approx(figure.value, rel=2 * figure.spread) == reader.greatest(fine, quantity, PartKind.FLOOR).value


def test_states_that_matter_are_proved(store):
    """Balance, residual and a settled contact set for every answer; the states that figures hang on are solved twice."""
    for one in store.result.states:
        assert one.proof.imbalance < 1e-9
        assert one.proof.settled
    solved_twice = {one.name for one in store.result.states if one.proof.twice}
    assert {store.result.figures[key].case for key in ("floor.top", "floor.bottom", "floor.curled", "soil.pressure")} <= solved_twice


def test_a_thin_floor_is_shown_for_what_stands_and_what_rolls(store):
    """At the least average and the least single sample the contract accepts; worse the thinner, hardly beyond the square of thickness."""
    thin = store.result.thin

    assert [3 / 8, 3 / 4] == pytest.approx(sorted({one.less_m / IN for one in thin}))
    for what in {one.what for one in thin}:
        first, second = sorted((one for one in thin if one.what == what), key=lambda one: one.less_m)
        assert 1.0 < first.ratio < second.ratio
        assert second.ratio < 1.05 * second.by_rule
    assert {"garden tractor, rear wheel", store.result.governing.case} == {one.what for one in thin}


def test_the_result_can_be_kept_from_run_to_run(store):
    """Answers and meshes stay out of it: small, and the same after a round trip."""
    written = pickle.dumps(store.result)

    assert len(written) < 5_000_000
    assert store.result.answer == pickle.loads(written).answer


def test_open_joints_and_the_quick_model_are_told(store):
    result = store.result

    assert result.open_joints.value > 0.9 * result.governing.value
    assert {"Pressure on the ground", "Settlement"} <= {words for words, _ in result.quick}
    assert all(0.5 < ratio < 2.0 for _, ratio in result.quick)


def test_the_maps_carry_bands_numbers_and_values_at_posts(store):
    pictures = {one.key: one for one in store.presentation().pictures}

    assert ["floor-top", "floor-bottom", "floor-curled", "soil-pressure", "settlement", "rise", "wheel-1"] == list(pictures)
    for picture in pictures.values():
        bands = [item.value for item in picture.items if isinstance(item, Area)]
        assert bands and all(0.0 <= value <= 1.0 for value in bands)
        assert picture.scale.unit in picture.notes[0]
        assert picture.alt
        assert all(len(item.points) > 1 for item in picture.items if isinstance(item, Line))
    area = sum(_area(item) for item in pictures["floor-top"].items if isinstance(item, Area))
    assert pytest.approx(30 * FT * 36 * FT, rel=2e-3) == area
    written = [item.text for item in pictures["settlement"].items if isinstance(item, Note)]
    assert len(written) == 2


def _area(item):
    def ring(points):
        x, y = np.array(points).T
        return abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2

    return ring(item.outline) - sum(ring(hole) for hole in item.holes)


def test_tables_speak_the_units_of_the_job(store):
    tables = {table.title: table for table in store.presentation().tables}

    assert {"Headline figures", "States solved", "Settlement of posts", "If the floor comes out thin", "Wheels moved over the floor",
            "What a quick model would have said", "Why these answers are answers"} == set(tables)  # fmt: skip
    assert {"psi", "psf", "mil"} == {column.unit for column in tables["States solved"].columns} - {""}


def test_wheels_keep_to_their_part_of_the_floor_and_off_walls():
    wall = Wall(name="cross", line=((15 * FT, 0.0), (15 * FT, 30 * FT)), thickness_m=8 * IN)
    found = result_of(garage(), []).body
    free = route_of(wheel(*square(8 * FT, 15 * FT, 7.5 * FT)), found, (wall,), SIDE_M)

    assert len(free.places)
    assert free.places[:, 0].max() <= 15 * FT - 4 * IN - SIDE_M / 2
    assert free.places[:, 0].min() >= 0.5 * FT


def test_a_wheel_stays_wholly_on_a_floor_with_a_skewed_side():
    """Its square stands along the axes, its corners reach further towards a skewed side than half its width."""
    skewed = replace(garage().floor, outline=((0.0, 0.0), (30 * FT, 0.0), (26 * FT, 20 * FT), (0.0, 20 * FT)))
    body = result_of(garage(floor=skewed)).body
    places = route_of(wheel(), body, (), SIDE_M).places
    half = SIDE_M / 2

    assert all(body.region.covers(shapely.box(x - half, y - half, x + half, y + half)) for x, y in places)


def test_places_alike_are_tried_once():
    route = route_of(wheel(), result_of(garage()).body, (), SIDE_M)

    assert 1 < len(route.places) < route.n_alike


def test_posts_that_sink_unlike_are_held_against_their_distance():
    """Two posts ten feet apart, one loaded: the slope is the settlement of one less that of the other over ten feet."""
    posts = (post("A", (10 * FT, 15 * FT), dead=LOAD_N), post("B", (20 * FT, 15 * FT), dead=1.0))
    result = result_of(garage(posts=posts))
    check = next(one for one in result.checks if one.key == "posts.tilt")
    state = [one.name for one in result.states].index(check.governing)
    a, b = (result.settlements_m[name][state] for name in "AB")

    assert a > b
    assert pytest.approx((a - b) / (10 * FT), rel=1e-9) == check.demand
    assert any(one.key == "A.collapse" for one in result.checks)


def test_ground_that_is_not_known_is_estimated_and_asked_for():
    result = result_of(garage(soil=Soil(cbr=10.0)))

    assert any("estimated from a bearing ratio" in one.statement for one in result.assumptions)
    assert any(one.to is Ask.SOIL_ENGINEER and "subgrade modulus" in one.question for one in result.referrals)


@pytest.mark.parametrize(
    ("fields", "reason"),
    [
        ({"soil": Soil()}, "how the ground yields is not known"),
        ({"soil": Soil(subgrade_modulus_pa_m=0.0)}, "subgrade modulus must be above nought"),
        ({"soil": Soil(subgrade_modulus_pa_m=-1e6)}, "subgrade modulus must be above nought"),
        ({"mix": None}, "strength of the concrete is not known"),
    ],
)
def test_a_floor_without_ground_or_concrete_waits_for_it(fields, reason):
    outcome = outcome_of(garage(**fields))

    assert isinstance(outcome.result, Waiting)
    assert reason in outcome.result.reason


def test_a_slab_that_lifts_as_a_whole_does_not_hold():
    """150 pcf by 4 in. by 900 square feet is 45 kip; 0.6 of it against 0.6 of 60 kip upwards."""
    posts = (post("A", MIDDLE, dead=1 * KIP_N, wind_uplift=-60 * KIP_N),)
    result = result_of(garage(posts=posts))
    lifted = next(one for one in result.checks if one.key.startswith("held-down"))

    assert State.FAILS is lifted.state
    assert pytest.approx((36 - 0.6) / 27, rel=1e-3) == lifted.demand / lifted.capacity
    assert any("What holds the slab" in one.question for one in result.referrals)
    assert "*" in result.answer


def test_a_post_beside_the_floor_and_one_across_its_rim_are_no_faults():
    """The one beside it is asked about; of the other the part on the slab presses."""
    posts = (post("A", (-1.0, 1.0), dead=LOAD_N), post("B", (0.0, 15 * FT), dead=LOAD_N), post("C", (20 * FT, 15 * FT), dead=LOAD_N))
    result = result_of(garage(posts=posts))

    assert any(one.where == "post A" for one in result.referrals)
    assert {"B", "C"} == set(result.settlements_m)


def test_a_wheel_that_fits_nowhere_is_asked_about():
    result = result_of(with_wheel(garage(), wheel(*square(50 * FT, 50 * FT, 1.0))))

    assert not result.wheels
    assert any(one.where == "floor.wheels" for one in result.referrals)


def test_a_floor_with_an_edge_and_nothing_on_it_still_dries():
    """No load at all: the states at rest bend nothing, drying does."""
    result = result_of(garage(edge=Edge(depth_m=20 * IN, width_m=12 * IN)))

    assert result.figures["floor.top"].value < PSI_PA < result.figures["floor.curled"].value
    assert result.answer


def test_a_floor_thinner_in_one_part_is_read_there_too():
    """A lane of half the thickness under the same wheel works harder, by somewhat less than the square of the thickness."""
    job = garage()
    lane = ThicknessRegion(within=square(*MIDDLE, 8 * FT), thickness_m=3 * IN)
    thin = with_wheel(replace(job, floor=replace(job.floor, thickness_regions=(lane,))), wheel(*square(*MIDDLE, 0.5)))

    assert 1.2 < result_of(thin).wheels[0].bottom.value / (282.0 * PSI_PA) < (4 / 3) ** 2
