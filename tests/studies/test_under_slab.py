"""Services under the slab: what they meet, how they are tied, what the floor does to them, how they are proved."""

from dataclasses import replace
from functools import cache

import pytest
from shapely import Polygon, union_all

from slabwright.files.examples import example_text
from slabwright.files.jobfile import parse_job
from slabwright.geometry.foundation import PartKind
from slabwright.model.ground import Pipe, PipeKind, Wrap
from slabwright.results.check import Ask, State
from slabwright.results.picture import Area, Circle, DimensionLine, Layer
from slabwright.studies import joints, shape, under_slab
from slabwright.study import Inputs, run_studies
from slabwright.units import FOOT_M, INCH_M

NAMES = ("store", "shelter", "station", "dairy")
JOBS = {name: parse_job(example_text(name), name).job for name in NAMES}


@cache
def jointed(name):
    """Joints of an example as it stands; services move none of them, and laying them takes long."""
    return run_studies((shape.STUDY, joints.STUDY), Inputs(job=JOBS[name]))[joints.STUDY]


def planned(job):
    name = next(name for name, one in JOBS.items() if one.name == job.name)
    fixed = replace(joints.STUDY, run=lambda _inputs, _done: jointed(name))
    return run_studies((shape.STUDY, fixed, replace(under_slab.STUDY, needs=(shape.STUDY, fixed))), Inputs(job=job))


def found(job):
    return planned(job)[under_slab.STUDY]


@cache
def result(name):
    return found(JOBS[name])


def service(name, pipe):
    return next(one for one in result(name).services if one.pipe.name == pipe)


def check(result_, key):
    return next(one for one in result_.checks if one.key == key)


def with_pipe(name, **fields):
    pipe = Pipe(**{"name": "new", "kind": PipeKind.WASTE, "run": ((4.0, 4.0),), "diameter_m": 0.1, **fields})
    return found(replace(JOBS[name], pipes=(pipe,)))


def test_the_closet_stub_is_tied_to_two_wall_faces():
    """(71.0, 27.5) ft; north wall's middle at 31'-9", 6 in. thick: 31.75 - 0.25 - 27.5 = 4 ft; east 75.75 - 0.25 - 71 = 4.5 ft."""
    ties = {tie.to: tie.distance_m / FOOT_M for tie in service("station", "closet stub").ties}

    assert pytest.approx({"face of wall wing, north": 4.0, "face of wall wing, east": 4.5}) == ties


@pytest.mark.parametrize("name", NAMES)
def test_every_riser_has_two_ties_turned_against_each_other(name):
    for one in result(name).services:
        first, second = one.ties
        assert first.to != second.to


def test_the_trench_drain_lies_three_and_three_quarter_inches_below_the_walls():
    """30 ft at 1/8 in. per ft (by hand); its rim is flush with the floor there."""
    assert pytest.approx(3.75 * INCH_M) == service("station", "trench drain").rim_below_m


def test_the_dairy_channel_lies_a_fall_and_its_rim_below_the_walls():
    """6.5 m at 1:80 is 81.25 mm, the rim 3 mm lower."""
    assert pytest.approx(0.08125 + 0.003) == service("dairy", "channel").rim_below_m


def test_a_channel_nearly_as_deep_as_the_floor_is_asked_about():
    """6 in. of channel in 7 in. of floor."""
    assert any("leaves 1 in of floor" in one.question for one in result("station").referrals)


def test_a_conduit_beside_a_pad_is_a_question_and_the_closet_stub_is_none():
    asked = [one.question for one in result("station").referrals]

    assert any("conduit 1" in one and "P2" in one for one in asked)
    assert not any("closet stub" in one for one in asked)


def test_a_pipe_through_a_pad_asks_the_engineer():
    """Municipal checklist: no pipe in interior footings unless engineered."""
    asked = with_pipe("store", run=((15 * FOOT_M, 9 * FOOT_M),)).referrals

    assert any(one.to is Ask.ENGINEER and "meets pad P1" in one.question for one in asked)


def test_a_pipe_through_the_edge_needs_a_sleeve():
    """0.3 m inside the west side stands on the 12 in. bottom of the edge."""
    bare = with_pipe("store", run=((0.15, 5.0),))
    sleeved = with_pipe("store", run=((0.15, 5.0),), wrap=Wrap.SLEEVE, wrap_thickness_m=0.020)

    assert State.FAILS is check(bare, "new.edge.sleeve").state
    assert State.HOLDS is check(sleeved, "new.edge.sleeve").state


def test_a_pipe_outside_the_floor_does_not_hold():
    outside = with_pipe("store", run=((-1.0, 4.0),))

    assert State.FAILS is check(outside, "new.outside").state
    assert pytest.approx(1.0) == check(outside, "new.outside").demand


def test_the_floor_moves_half_a_thousandth_of_the_way_to_the_middle_of_its_panel():
    """Store: panels 10 x 12 ft; (2, 30) ft lies 3 ft from the middle (5, 30): 0.018 in. Tape of 1/8 in. gives a quarter, 0.031 in."""
    found_ = check(result("store"), "conduit for light.wrap")

    assert pytest.approx(0.0005 * 36) == found_.demand / INCH_M
    assert pytest.approx(0.25 / 8) == found_.capacity / INCH_M


def test_an_unwrapped_pipe_is_gripped():
    assert State.FAILS is check(with_pipe("store", run=((4.4, 4.6),)), "new.wrap").state


@pytest.mark.parametrize(("inches", "fall", "state"), [(2, 1 / 50, State.FAILS), (2, 1 / 48, State.HOLDS), (4, 1 / 96, State.HOLDS)])
def test_the_fall_of_a_drain(inches, fall, state):
    """1/4 in. per ft on small pipe, 1/8 on 4 in."""
    run = ((3.0, 4.0), (5.0, 4.0))
    found_ = with_pipe("store", run=run, diameter_m=inches * INCH_M, fall=fall, wrap=Wrap.FOAM, wrap_thickness_m=0.012)

    assert state is check(found_, "new.fall").state


@pytest.mark.parametrize(("rim", "state"), [(0.01, State.FAILS), (0.0, State.HOLDS), (-0.005, State.HOLDS), (-0.02, State.FAILS)])
def test_a_rim_is_flush_or_a_little_low(rim, state):
    assert state is check(with_pipe("store", kind=PipeKind.DRAIN, rim_m=rim), "new.rim").state


def test_tests_before_cover_by_kind():
    """10 ft of water or 5 psi for 15 min on drains; the conduits have none (IRC P2503, quoted)."""
    proofs = {one.name: one.what for one in result("station").proofs}

    assert {"closet stub", "floor sink"} == set(proofs)
    for number in ("10'-0\" of water", "5 psi", "15 min", "uncovered"):
        assert number in proofs["closet stub"]


def test_metric_jobs_read_metric_tests():
    what = {one.name: one.what for one in result("dairy").proofs}["basin waste"]

    assert "3.05 m of water" in what
    assert "34 kPa" in what


def test_a_pipe_lying_in_the_floor_is_held_to_a_third_of_it_and_out_of_the_saws_reach():
    """2 in. in 5 in. is over 1.67; its crown 1 in. down under a cut of 1 1/4 in."""
    run = ((1.0, 5.0), (8.0, 5.0))
    found_ = with_pipe("store", kind=PipeKind.CONDUIT, run=run, diameter_m=2 * INCH_M, depth_m=1 * INCH_M, riser=False)
    cuts = [one for one in found_.checks if one.key.endswith(".cut")]

    assert State.FAILS is check(found_, "new.inside").state
    assert cuts
    assert all(one.state is State.FAILS for one in cuts)


def test_the_electrode_holds_where_the_sheet_stops_and_not_where_it_runs_under():
    """25 ft of 5/8 in. bar in the west edge against 20 ft of 1/2 in. (NEC 250.52(A)(3))."""
    station = JOBS["station"]
    under = found(replace(station, retarder=replace(station.retarder, under_edge=True)))

    assert pytest.approx((20.0, 25.0)) == tuple(
        value / FOOT_M
        for value in (
            check(result("station"), "earth electrode.length").demand,
            check(result("station"), "earth electrode.length").capacity,
        )
    )
    assert State.FAILS is check(under, "earth electrode.length").state
    assert State.HOLDS is check(result("station"), "earth electrode.cover").state


def test_radon_asks_for_gravel_vent_and_sheet_to_the_edge():
    """4 in. of gravel, sheet to the outer edge, vent pipe (radon appendix, quoted)."""
    station = JOBS["station"]
    found_ = found(replace(station, building=replace(station.building, radon=True), base=replace(station.base, thickness_m=0.05)))

    assert State.FAILS is check(found_, "radon.layer").state
    assert 2 == sum(one.to is Ask.BUILDING_DEPARTMENT for one in found_.referrals)
    assert not any(one.key.startswith("radon") for one in result("station").checks)


@pytest.mark.parametrize("name", NAMES)
def test_every_job_is_proof_rolled_with_its_number(name):
    rolled = [one.what for one in result(name).tasks if "proof-roll" in one.what]

    assert 1 == len(rolled)
    assert ("13 mm" if name == "dairy" else "1/2 in") in rolled[0]


def test_boots_are_counted_where_there_is_a_sheet():
    assert [1, 0, 5, 3] == [result(name).n_boots for name in NAMES]


def test_a_job_without_services_says_so():
    job = replace(JOBS["store"], pipes=())

    assert "No" in found(job).answer


@pytest.mark.parametrize("name", NAMES)
def test_picture_and_table_number_the_services(name):
    plan = planned(JOBS[name])
    shown = plan.outcomes["under_slab"].presentation()

    assert len(JOBS[name].pipes) == len(shown.pictures[0].notes) == len(shown.tables[0].rows)


@pytest.mark.parametrize("name", NAMES)
def test_every_service_has_its_picture_with_its_ties(name):
    """A cut-out of the plan for each, numbered as in the table, with a dimension from every foot of a tie to the riser."""
    plan = planned(JOBS[name])
    shown = {one.key: one for one in plan.outcomes["under_slab"].presentation().pictures}

    for number, one in enumerate(plan[under_slab.STUDY].services, start=1):
        picture = shown[f"service-{number}"]
        dimensions = {(item.start, item.end) for item in picture.items if isinstance(item, DimensionLine)}
        assert {(tie.foot, one.at) for tie in one.ties} == dimensions
        assert one.pipe.name in picture.title
    assert len(plan[under_slab.STUDY].services) == sum(key.startswith("service-") for key in shown)


def test_a_cut_out_shows_nothing_far_away():
    """The closet stub's ties are 4 ft and 4 1/2 ft long: the picture is under 8 ft wide, the building 76 ft."""
    plan = planned(JOBS["station"])
    picture = next(one for one in plan.outcomes["under_slab"].presentation().pictures if one.title.endswith("closet stub"))
    areas = [x for item in picture.items if isinstance(item, Area) for x, _ in item.outline]

    assert max(areas) - min(areas) < 8 * FOOT_M


def picture(planned, key):
    shown = planned.outcomes["under_slab"].presentation().pictures
    return next(one for one in shown if one.key == key)


def areas(drawn, layer):
    return sum(Polygon(one.outline, one.holes).area for one in drawn.items if isinstance(one, Area) and one.layer is layer)


@pytest.mark.parametrize("name", NAMES)
def test_base_and_floor_share_what_no_thickened_part_takes(name):
    """Where a part is deeper than the floor there is no course: the two areas are the whole floor."""
    plan = planned(JOBS[name])
    foundation = plan[shape.STUDY].foundation
    thick = union_all([part.skirt for part in foundation.parts if part.kind is not PartKind.FLOOR]) & foundation.region

    assert pytest.approx(foundation.region.area - thick.area) == areas(picture(plan, "plan-base"), Layer.BASE)


def test_the_sheet_is_drawn_to_the_forms_or_to_the_edge():
    """The store's sheet runs under everything, 30 ft x 40 ft less nothing; the station's stops where the concrete thickens."""
    assert pytest.approx(planned(JOBS["store"])[shape.STUDY].foundation.region.area) == areas(
        picture(planned(JOBS["store"]), "plan-sheet"), Layer.SHEET
    )
    station = planned(JOBS["station"])
    assert areas(picture(station, "plan-sheet"), Layer.SHEET) == areas(picture(station, "plan-base"), Layer.BASE)


def test_every_riser_through_the_sheet_is_marked():
    plan = planned(JOBS["station"])
    marked = [one for one in picture(plan, "plan-sheet").items if isinstance(one, Circle)]

    assert len(marked) == plan[under_slab.STUDY].n_boots == 5


def test_the_cut_through_the_electrode_shows_the_concrete_below_it():
    """30 in. of edge, bar of 5/8 in. at 26 in.: 30 - 26 - 5/16 = 3 11/16 in., as in the check."""
    plan = planned(JOBS["station"])
    drawn = picture(plan, "section-electrode-1")
    bar = next(one for one in drawn.items if isinstance(one, Circle))
    below = next(one for one in drawn.items if isinstance(one, DimensionLine) and one.start[0] == bar.centre[0])

    assert pytest.approx(3.6875 * INCH_M) == below.start[1] - below.end[1]
    assert pytest.approx(below.start[1] - below.end[1]) == check(plan[under_slab.STUDY], "earth electrode.cover").capacity


def with_radon(name, *vents):
    job = JOBS[name]
    pipes = [Pipe(name=f"vent {k}", kind=PipeKind.RADON, run=(at,), diameter_m=0.1) for k, at in enumerate(vents)]
    return found(replace(job, building=replace(job.building, radon=True), pipes=tuple(pipes)))


def test_gravel_runs_unbroken_round_pads_that_stand_free():
    assert len(with_radon("store").gas_layer) == 1


@pytest.mark.parametrize(
    ("vents_ft", "asked"), [(((20, 20),), "1 of them have no vent"), (((65, 20),), "1 of them have no vent"), (((20, 20), (65, 20)), "")]
)
def test_a_strip_deeper_than_the_gravel_cuts_the_soil_gas_layer(vents_ft, asked):
    """Between the station's hall and wing stands a strip of 14 in., deeper than 7 in. of floor and 6 in. of gravel."""
    result_ = with_radon("station", *[(x * FOOT_M, y * FOOT_M) for x, y in vents_ft])
    told = [one.question for one in result_.referrals if "bays" in one.question]

    assert len(result_.gas_layer) == 2
    assert ([] if not asked else [True]) == [asked in one for one in told]


def test_a_shallow_strip_leaves_gravel_below_it():
    """A strip of 9 in. between 13 in. of floor and gravel on one side and 10 in. on the other."""
    job = JOBS["station"]
    shallow = replace(
        job,
        building=replace(job.building, radon=True),
        strips=tuple(replace(one, depth_m=9 * INCH_M) for one in job.strips),
        pads=(),
        posts=(),
    )
    assert len(found(shallow).gas_layer) == 1
