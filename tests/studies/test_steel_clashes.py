"""What meets what: placed on purpose and found, with distances by hand; nothing found where nothing meets."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.studies.fixed_joints import planned

from slabwright.files.examples import example_text
from slabwright.files.jobfile import parse_job
from slabwright.model.concrete import Edge, Floor, Pad
from slabwright.model.ground import Embed, EmbedKind, Pipe, PipeKind, Wrap
from slabwright.model.job import Job
from slabwright.model.steel import Bars, Face, Mesh, Zone
from slabwright.model.supply import Mix
from slabwright.results.check import Ask, State
from slabwright.sources import Basis, Clause
from slabwright.standards.aci_318_19 import ACI_318_19
from slabwright.studies import bars, joints, mesh, shape, steel_clashes
from slabwright.studies.bars.rules import clear_spacing_m
from slabwright.studies.steel_clashes.meets import names_through
from slabwright.studies.steel_clashes.solids import Capsule, Kind, bolt_places, distance_m
from slabwright.study import Inputs, run_studies
from slabwright.units import FOOT_M, INCH_M

EDGE_BARS = Bars(zone=Zone.EDGE, size="No.4", n_bars=2, cover_m=3 * INCH_M, lap_m=20 * INCH_M)
TOP_BAR = Bars(zone=Zone.EDGE, size="No.4", face=Face.TOP, n_bars=1, cover_m=2 * INCH_M, lap_m=20 * INCH_M)


def job(**options: object) -> Job:
    floor = Floor(outline=((0.0, 0.0), (10.0, 0.0), (10.0, 8.0), (0.0, 8.0)), thickness_m=5 * INCH_M)
    edge = Edge(depth_m=20 * INCH_M, width_m=12 * INCH_M, top_above_grade_m=8 * INCH_M)
    return Job(name="j", floor=floor, edge=edge, **options)


def found(one: Job, cut_depth_m: float = 0.03) -> steel_clashes.SteelClashesResult:
    """Clashes with one joint across the middle of the floor."""
    return planned(one, [((5.0, 0.0), (5.0, 8.0))], depth_m=cut_depth_m)[steel_clashes.STUDY]


def test_a_clean_edge_has_nothing_to_settle():
    result = found(job(bars=(EDGE_BARS, TOP_BAR)))

    assert () == result.meets
    assert all(check.state is State.HOLDS for check in result.checks)


@pytest.mark.published(Clause(ACI_318_19, "25.2.1", Basis.MEMORY))
@pytest.mark.parametrize(("aggregate_in", "bar_in", "clear_in"), [(0.75, 0.5, 1.0), (1.0, 0.5, 4 / 3), (0.75, 1.128, 1.128)])
def test_clear_spacing(aggregate_in, bar_in, clear_in):
    """1 in., a diameter, or 4/3 of the aggregate, whichever is largest; from memory."""
    with_mix = job(mix=Mix(strength_pa=25e6, aggregate_size_m=aggregate_in * INCH_M))

    assert pytest.approx(clear_in) == clear_spacing_m(with_mix, bar_in * INCH_M) / INCH_M


def test_a_bolt_on_the_top_bar_is_found():
    """The single top bar runs 6 in. inside the form line; bolts set there hit it, bolts 3 in. inside pass it by 2.5 in."""

    def row(x_in: float) -> Embed:
        line = ((x_in * INCH_M, 1.0), (x_in * INCH_M, 7.0))
        return Embed(name="west", kind=EmbedKind.ANCHOR_BOLT, line=line, max_spacing_m=6 * FOOT_M)

    hit, clear = (found(job(bars=(TOP_BAR,), embeds=(row(x),))) for x in (6.0, 3.0))

    assert ["bolt against bar"] == [meet.what for meet in hit.meets]
    assert 5 == hit.meets[0].places
    assert pytest.approx(-0.5, abs=1e-6) == hit.meets[0].found_m / INCH_M
    assert "Move the bolt" in hit.meets[0].remedy
    assert () == clear.meets


def test_a_pipe_beside_a_bar_is_told_by_how_much():
    """A 4 in. waste with 1/2 in. of foam, its centre 3.5 in. from the inner bottom bar: 3.5 - 2.5 - 0.25 = 0.75 in."""
    inner = 12 * INCH_M - 3.25 * INCH_M
    pipe = Pipe(
        name="waste",
        kind=PipeKind.WASTE,
        run=((inner + 3.5 * INCH_M, 4.0),),
        diameter_m=4 * INCH_M,
        wrap=Wrap.FOAM,
        wrap_thickness_m=0.5 * INCH_M,
    )
    (meet,) = [one for one in found(job(bars=(EDGE_BARS,), pipes=(pipe,))).meets if one.what == "pipe against bar"]

    assert pytest.approx(0.75, abs=1e-6) == meet.found_m / INCH_M
    assert pytest.approx(1.0) == meet.needed_m / INCH_M


def test_a_pipe_through_the_edge_is_a_question_for_the_engineer():
    through = Pipe(name="main", kind=PipeKind.WATER, run=((-1.0, 4.0), (3.0, 4.0)), diameter_m=0.05, wrap=Wrap.SLEEVE, depth_m=0.3)
    below = replace(through, name="deep", depth_m=0.8)
    asked = found(job(pipes=(through, below))).referrals

    assert ["main"] == [one.question.split()[0] for one in asked if one.to is Ask.ENGINEER]


def test_a_bare_riser_is_found():
    bare = Pipe(name="stub", kind=PipeKind.WASTE, run=((5.0, 4.0),), diameter_m=0.1)

    assert ["pipe without wrap"] == [meet.what for meet in found(job(pipes=(bare,))).meets]


def test_steel_in_reach_of_the_saw():
    """A cut of 2.5 in. over mesh with 2 in. of cover and over the top bar; a cut of 1.25 in. reaches neither."""
    mesh = Mesh(style="6x6-W2.9xW2.9", cover_m=2 * INCH_M)
    deep, shallow = (found(job(bars=(TOP_BAR,), mesh=mesh), depth * INCH_M).meets for depth in (2.5, 1.25))

    assert {"saw against mesh", "saw against bar"} == {meet.what for meet in deep}
    assert () == shallow


def test_cover_is_measured_and_not_taken_from_the_job_file():
    """A pad at 0.6 m from the form line with mats right up to its rim: bars that stick out of the concrete are found."""
    pad = Pad(name="P1", at=(5.0, 4.0), size_x_m=1.0, size_y_m=1.0, depth_m=0.4, run=0.0)
    mat = Bars(zone=Zone.PADS, size="No.5", n_bars=3, cover_m=3 * INCH_M)
    sound = found(job(pads=(pad,), bars=(mat,)))
    short = found(job(pads=(replace(pad, rotation_rad=0.3),), bars=(mat,)))
    tie = Bars(zone=Zone.RE_ENTRANT, size="No.4", length_m=3.0, cover_m=2 * INCH_M, face=Face.TOP)
    l_shape = Floor(outline=((0.0, 0.0), (6.0, 0.0), (6.0, 1.0), (1.0, 1.0), (1.0, 6.0), (0.0, 6.0)), thickness_m=5 * INCH_M)
    out = found(Job(name="j", floor=l_shape, bars=(tie,)))

    assert () == sound.meets
    assert () == short.meets
    assert {"cover"} == {meet.what for meet in out.meets}
    assert out.meets[0].found_m < 2 * INCH_M


@pytest.mark.parametrize("name", ["store", "dairy"])
def test_these_examples_are_clean(name):
    """Steel of these jobs lies as their files say, with its cover and clear of pipes and bolts."""
    assert () == found(parse_job(example_text(name), name).job).meets


def test_the_station_has_bolts_beside_its_top_bars():
    """Sill bolts 3 in. inside the form line, the outer top bar at 2 + 5/16 in.: 3 - 2.3125 - 0.3125 - 0.25 = 1/8 in. clear."""
    meets = found(parse_job(example_text("station"), "station").job).meets
    bolts = [meet for meet in meets if meet.what == "bolt against bar"]

    assert 4 == len(bolts)
    assert all(meet.found_m / INCH_M == pytest.approx(0.125, abs=1e-6) for meet in bolts)
    assert not [meet for meet in meets if meet.what == "cover"]


number = st.floats(-2, 2)
point = st.tuples(number, number, number)


@settings(max_examples=80, deadline=None)
@given(point, point, point, point)
def test_distance_of_two_pieces_is_the_least_over_many_points(a, b, c, d):
    """Against a fine grid along both pieces; never above it, and below it by no more than the grid is coarse."""
    one, other = (
        Capsule(kind=Kind.BAR, name="", owner=k, group=k, start=ends[0], end=ends[1], radius_m=0.01)
        for k, ends in enumerate(((a, b), (c, d)))
    )
    share = np.linspace(0, 1, 60)[:, None]
    p, q = np.asarray(a) + share * np.subtract(b, a), np.asarray(c) + share * np.subtract(d, c)
    grid = float(np.min(np.linalg.norm(p[:, None] - q[None], axis=2))) - 0.02
    clear, _ = distance_m(one, other)
    coarse = (np.linalg.norm(np.subtract(b, a)) + np.linalg.norm(np.subtract(d, c))) / 59

    assert clear <= grid + 1e-9
    assert grid <= clear + coarse + 1e-9


def test_bolts_stand_at_both_ends_and_evenly_between():
    row = Embed(name="w", kind=EmbedKind.ANCHOR_BOLT, line=((0.0, 0.0), (0.0, 5.0)), max_spacing_m=1.8)

    assert pytest.approx([0.0, 5 / 3, 10 / 3, 5.0]) == [y for _, y in bolt_places(row)]
    assert () == bolt_places(replace(row, kind=EmbedKind.ELECTRODE))


def test_every_meeting_is_drawn_and_listed():
    bare = Pipe(name="stub", kind=PipeKind.WASTE, run=((5.0, 4.0),), diameter_m=0.1)
    plan = planned(job(pipes=(bare,), bars=(TOP_BAR,)))
    shown = plan.outcomes["steel_clashes"].presentation()

    assert 1 == len(shown.tables[0].rows) == len(plan[steel_clashes.STUDY].meets)
    assert any(getattr(item, "text", "") == "1" for item in shown.pictures[0].items)


def mesh_tasks(name):
    """What the steel fixer is told of the mesh of an example."""
    plan = run_studies(
        (shape.STUDY, joints.STUDY, bars.STUDY, mesh.STUDY, steel_clashes.STUDY), Inputs(job=parse_job(example_text(name), name).job)
    )
    return [one.what for one in plan[steel_clashes.STUDY].tasks if one.where == "mesh"]


def test_wires_are_cut_at_what_passes_through_the_mesh():
    """The store has one riser in its floor and six rows of sill bolts (of its job file), the cover of the mesh is 2 in."""
    (told,) = mesh_tasks("store")

    assert told.endswith("conduit for light, 6 rows of bolts.")


def test_what_lies_below_the_mesh_or_beside_it_does_not_pass_through_it():
    """Mesh 2 in. deep over 4 m x 4 m: one bolt in it, one beside it, a pipe 5 in. deep below it."""
    upright = Capsule(kind=Kind.BOLT, name="in it", owner=0, group=-1, start=(2.0, 2.0, 0.0), end=(2.0, 2.0, 0.18), radius_m=0.006)
    beside = replace(upright, name="beside", start=(4.1, 2.0, 0.0), end=(4.1, 2.0, 0.18))
    below = Capsule(kind=Kind.PIPE, name="below", owner=1, group=-1, start=(0.0, 1.0, 0.127), end=(4.0, 1.0, 0.127), radius_m=0.03)

    assert {Kind.PIPE: (), Kind.BOLT: ("in it",)} == names_through([upright, beside, below], shapely.box(0.0, 0.0, 4.0, 4.0), 2 * INCH_M)
