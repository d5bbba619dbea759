"""Least dimensions, covers and mix limits: what the study says of a job."""

from dataclasses import replace

import pytest

from slabwright.model.concrete import Edge, Finish, Floor, Pad, ThicknessRegion
from slabwright.model.ground import BaseCourse, Embed, EmbedKind, Place, Retarder, Soil
from slabwright.model.job import Building, Codes, ConcreteStandard, Enclosure, Job, LoadStandard, MinimumRules
from slabwright.model.steel import Bars, Face, Mesh, Zone
from slabwright.model.supply import Mix
from slabwright.results.check import State
from slabwright.studies import minimums
from slabwright.study import Inputs, run_studies
from slabwright.units import FOOT_M, INCH_M, PSF_PA, PSI_PA

OUTLINE = ((0.0, 0.0), (30 * FOOT_M, 0.0), (30 * FOOT_M, 36 * FOOT_M), (0.0, 36 * FOOT_M))
JOB = Job(
    name="Test floor",
    floor=Floor(outline=OUTLINE, thickness_m=5 * INCH_M),
    edge=Edge(depth_m=20 * INCH_M, width_m=12 * INCH_M, top_above_grade_m=8 * INCH_M),
    pads=(Pad(name="P1", at=(0.3, 3.0), size_x_m=0.8, size_y_m=0.8, depth_m=20 * INCH_M),),
    place=Place(frost_depth_m=10 * INCH_M, ground_snow_pa=30 * PSF_PA),
    soil=Soil(soil_class="SM"),
    base=BaseCourse(thickness_m=4 * INCH_M),
    retarder=Retarder(thickness_m=0.010 * INCH_M, sheet_class="A"),
    mesh=Mesh(style="6x6-W2.9xW2.9", cover_m=2 * INCH_M),
    bars=(Bars(zone=Zone.EDGE, size="No.4", face=Face.BOTTOM, n_bars=2, cover_m=3 * INCH_M),),
    mix=Mix(strength_pa=3500 * PSI_PA, exposure=("F0", "S0", "W0", "C0")),
    embeds=(Embed(name="B1", kind=EmbedKind.ANCHOR_BOLT, line=((0.1, 0.1),), max_spacing_m=6 * FOOT_M, diameter_m=0.5 * INCH_M),),
)


def checks(job):
    plan = run_studies((minimums.STUDY,), Inputs(job=job))
    return {check.key: check for check in plan[minimums.STUDY].checks}


def state(job, key):
    return checks(job)[key].state


def test_a_job_at_the_published_minimums_holds():
    """Every check of the base job is worked by hand: 5 in. over 3.5, 12 over 12, 12 in. below grade, 10 mil, 6 in. lap, 3 in. cover."""
    assert {State.HOLDS} == {check.state for check in checks(JOB).values()}


@pytest.mark.parametrize(
    ("key", "part"),
    [
        ("floor.thickness", {"floor": Floor(outline=OUTLINE, thickness_m=3 * INCH_M)}),
        ("edge.width", {"edge": Edge(depth_m=20 * INCH_M, width_m=10 * INCH_M, top_above_grade_m=8 * INCH_M)}),
        ("edge.depth", {"edge": Edge(depth_m=19 * INCH_M, width_m=12 * INCH_M, top_above_grade_m=8 * INCH_M)}),
        ("edge.depth", {"place": Place(frost_depth_m=18 * INCH_M)}),
        ("P1.frost", {"place": Place(frost_depth_m=18 * INCH_M)}),
        ("base.fill", {"base": BaseCourse(thickness_m=10 * INCH_M, material="earth")}),
        ("retarder.thickness", {"retarder": Retarder(thickness_m=0.006 * INCH_M)}),
        ("retarder.thickness", {"retarder": None}),
        ("retarder.lap", {"retarder": Retarder(thickness_m=0.010 * INCH_M, lap_m=4 * INCH_M)}),
        ("mesh.low", {"mesh": Mesh(style="6x6-W2.9xW2.9", cover_m=3 * INCH_M)}),
        ("mesh.high", {"mesh": Mesh(style="6x6-W2.9xW2.9", cover_m=1 * INCH_M)}),
        ("bars.0.cover", {"bars": (Bars(zone=Zone.EDGE, size="No.4", cover_m=2 * INCH_M),)}),
        ("mix.strength", {"mix": Mix(strength_pa=3500 * PSI_PA, exposure=("F2",))}),
        ("mix.water", {"mix": Mix(strength_pa=4500 * PSI_PA, exposure=("F2",), w_cm=0.50)}),
        ("mix.air.least", {"mix": Mix(strength_pa=4500 * PSI_PA, exposure=("F2",), w_cm=0.45, air=0.03)}),
        ("embeds.0.embedment", {"embeds": (Embed(name="B1", kind=EmbedKind.ANCHOR_BOLT, line=((0.1, 0.1),), embedment_m=5 * INCH_M),)}),
    ],
)
def test_one_thing_short_of_its_minimum_does_not_hold(key, part):
    """Each limit is the published one; the value lies just beyond it."""
    assert State.FAILS is state(replace(JOB, **part), key)


def test_mesh_is_held_against_the_thickness_of_each_part_of_the_floor():
    """Middle to upper third (IRC R506.2.4): 2 in. below the top of a 3 1/2 in. part it lies 1 1/2 in. up, under the middle at 1 3/4."""
    part = ThicknessRegion(within=((0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0)), thickness_m=3.5 * INCH_M)
    job = replace(JOB, floor=replace(JOB.floor, thickness_regions=(part,)))

    assert State.HOLDS is state(job, "mesh.low")
    assert State.FAILS is state(job, "mesh.0.low")
    assert pytest.approx(1.75 * INCH_M) == checks(job)["mesh.0.low"].demand


def test_air_under_a_hard_trowel_is_limited_and_under_a_broom_not():
    """At most 3 per cent under a trowel; an open frosty floor is broomed."""
    mix = Mix(strength_pa=4500 * PSI_PA, exposure=("F2",), w_cm=0.45, air=0.06)
    broomed = replace(JOB, mix=mix, floor=replace(JOB.floor, finish=Finish.BROOM))

    assert State.FAILS is state(replace(JOB, mix=mix), "mix.air.trowel")
    assert "mix.air.trowel" not in checks(broomed)


def test_an_interior_pad_of_an_enclosed_building_is_not_held_to_frost():
    """Frost reaches in from outside; of an open building every pad is held."""
    inside = replace(JOB, pads=(replace(JOB.pads[0], at=(4.5, 5.0)),))

    assert "P1.frost" not in checks(inside)
    assert "P1.frost" in checks(replace(inside, building=Building(enclosure=Enclosure.OPEN)))


def test_a_bare_job_still_gets_its_floor_checked_and_asks_for_the_rest():
    """Only outline and thickness."""
    plan = run_studies((minimums.STUDY,), Inputs(job=Job(name="bare", floor=Floor(outline=OUTLINE, thickness_m=4 * INCH_M))))
    result = plan[minimums.STUDY]

    assert State.HOLDS is next(check for check in result.checks if check.key == "floor.thickness").state
    assert any(referral.where == "mix" for referral in result.referrals)


def test_a_european_job_is_read_by_european_rules():
    """300 µm sheet lapped 300 mm; C25 is short of XC4's 30 MPa (EN 206 Table F.1, recommended, from memory)."""
    codes = Codes(loads=LoadStandard.EN_1990, concrete=ConcreteStandard.EN_1992, minimums=MinimumRules.EUROPEAN)
    job = replace(
        JOB,
        codes=codes,
        retarder=Retarder(thickness_m=300e-6, lap_m=0.150),
        mix=Mix(strength_pa=25e6, exposure=("XC4",)),
        bars=(),
        mesh=None,
    )

    assert State.HOLDS is state(job, "retarder.thickness")
    assert State.FAILS is state(job, "retarder.lap")
    assert State.FAILS is state(job, "mix.strength")
