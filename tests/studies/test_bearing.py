"""Will it carry: what the study says of whole jobs, of hand-worked pads and of jobs that are wrong."""

import math
from dataclasses import replace

import numpy as np
import pytest

from slabwright.errors import MissingInput
from slabwright.files.examples import example_text
from slabwright.files.jobfile import parse_job
from slabwright.model.concrete import Edge, Floor, Pad, PadShape, Strip
from slabwright.model.ground import Place, Soil
from slabwright.model.job import Building, Codes, ConcreteStandard, Enclosure, Job, LoadStandard
from slabwright.model.loads import Anchor, BaseFixity, LoadCase, Post, Reaction, Tributary, Wall
from slabwright.model.steel import Bars, Face, Zone
from slabwright.model.supply import Mix
from slabwright.results.check import Ask, State
from slabwright.standards.asce_7 import COUNTERACTING, SERVICE_16
from slabwright.studies import bearing, shape
from slabwright.study import Inputs, run_studies
from slabwright.units import FOOT_M, INCH_M, KIP_N, PCF_KG_M3, POUND_FORCE_N, PSF_PA, PSI_PA

FT, IN, KIP, PLF = FOOT_M, INCH_M, KIP_N, POUND_FORCE_N / FOOT_M
MIX = Mix(strength_pa=3500 * PSI_PA, unit_weight_kg_m3=150 * PCF_KG_M3)
ASCE_7_16 = Codes(loads=LoadStandard.ASCE_7_16)


def plan_of(job):
    return run_studies((shape.STUDY, bearing.STUDY), Inputs(job=job))


def result_of(job):
    return plan_of(job)[bearing.STUDY]


def checks_of(job):
    return {check.key: check for check in result_of(job).checks}


def rectangle(length_ft, width_ft):
    return ((0.0, 0.0), (length_ft * FT, 0.0), (length_ft * FT, width_ft * FT), (0.0, width_ft * FT))


def post(name, x_ft, y_ft, base_in=8.0, **fields):
    return Post(name=name, at=(x_ft * FT, y_ft * FT), base_x_m=base_in * IN, base_y_m=base_in * IN, **fields)


def pad(name, x_ft, y_ft, side_ft, depth_in, **fields):
    return Pad(name=name, at=(x_ft * FT, y_ft * FT), size_x_m=side_ft * FT, size_y_m=side_ft * FT, depth_m=depth_in * IN, **fields)


EXAMPLE = parse_job(example_text("store"), "store").job
ROOF = Tributary(length_m=15 * FT, width_m=13.5 * FT, roof_dead_pa=12 * PSF_PA, snow_pa=30 * PSF_PA)
STORE = Job(
    name="store",
    floor=Floor(outline=rectangle(30, 36), thickness_m=5 * IN),
    edge=Edge(depth_m=20 * IN, width_m=12 * IN, run=1.0, top_above_grade_m=8 * IN),
    pads=(pad("P1", 15, 9, 2.5, 14), pad("P2", 15, 27, 2.5, 14)),
    posts=tuple(
        post(name, 15, y, base_in=6, tributary=ROOF)
        for name, y in (("P1", 9), ("P2", 27))
    ),
    walls=(
        Wall(
            name="west", line=((0.25 * FT, 0.0), (0.25 * FT, 36 * FT)), thickness_m=6 * IN,
            line_loads_n_m={LoadCase.DEAD: 182 * PLF, LoadCase.SNOW: 255 * PLF},
        ),
    ),
    codes=ASCE_7_16, soil=Soil(soil_class="SM"), mix=MIX, place=Place(groundwater_depth_m=3.0),
)  # fmt: skip

SHELTER = Job(
    name="shelter",
    floor=Floor(outline=rectangle(124, 64), thickness_m=6 * IN),
    edge=Edge(depth_m=26 * IN, width_m=14 * IN, run=1.0, top_above_grade_m=6 * IN),
    pads=tuple(pad(f"P{k}{side}", 2 + 12 * k, y, 3.5, 30) for side, y in (("S", 2), ("N", 62)) for k in range(11)),
    posts=tuple(
        post(
            f"P{k}{side}", 2 + 12 * k, y,
            reactions={
                LoadCase.DEAD: Reaction(down_n=3.072 * KIP), LoadCase.SNOW: Reaction(down_n=9.6 * KIP),
                LoadCase.WIND_UPLIFT: Reaction(down_n=-11.52 * KIP),
            },
        )
        for side, y in (("S", 2), ("N", 62))
        for k in range(11)
    ),
    bars=tuple(Bars(zone=Zone.EDGE, size="No.5", face=face, n_bars=2, cover_m=3 * IN) for face in Face),
    building=Building(enclosure=Enclosure.OPEN),
    codes=ASCE_7_16, soil=Soil(soil_class="CL"), mix=MIX,
)  # fmt: skip


@pytest.mark.published(SERVICE_16)
def test_store_pad_presses_1536_psf():
    """15 x 13.5 ft of 12 psf dead and 30 psf snow is 8.5 kip; with 1.09 kip of pad on 6.25 ft² 1,536 psf of 2,000 (by hand)."""
    check = checks_of(STORE)["P1.bearing"]

    assert pytest.approx(1536, abs=1) == check.demand / PSF_PA
    assert pytest.approx(0.77, abs=0.005) == check.ratio
    assert check.governing == "D + S"


def test_store_edge_presses_687_psf():
    """437 plf of wall and roof and 250 plf of edge on 12 in.: 687 psf, 34 per cent of 2,000 (by hand)."""
    check = checks_of(STORE)["edge.bearing"]

    assert pytest.approx(687, abs=0.5) == check.demand / PSF_PA
    assert pytest.approx(0.34, abs=0.005) == check.ratio


@pytest.mark.published(COUNTERACTING)
def test_shelter_pad_and_edge_hold_the_roof_down():
    """5.07 kip net; 4.59 kip of pad and 8.5 ft of edge at 500 plf make 8.84 kip, so 96 per cent of 0.6 of it (by hand)."""
    result = result_of(SHELTER)
    uplift = result.uplift["P5S"]
    pad_n, edge_n = uplift.lines[0].weight_n, uplift.lines[1].weight_n

    assert pytest.approx(5.07, abs=0.005) == uplift.net_up_n / KIP
    assert (pytest.approx(4.59, abs=0.01), pytest.approx(4.25, abs=0.01)) == (pad_n / KIP, edge_n / KIP)
    assert pytest.approx(0.96, abs=0.005) == uplift.net_up_n / (0.6 * (pad_n + edge_n))
    assert pytest.approx(1409, abs=1) == result.pads["P5S"].gross_pa / PSF_PA


def test_an_open_roof_asks_for_the_fixity_of_its_posts_first():
    assert any("fixed or pinned" in one.question for one in result_of(SHELTER).referrals)


def test_a_portal_column_on_clay():
    """39 m² x 1.1 kPa is 43 kN; with 18 kN of pad on 1 m² 61 kPa of 100 (by hand, EN 1990 characteristic)."""
    job = Job(
        name="dairy",
        floor=Floor(outline=((0, 0), (31, 0), (31, 13), (0, 13)), thickness_m=0.15),
        edge=Edge(depth_m=0.6, width_m=0.4, run=1.0, top_above_grade_m=0.15),
        pads=(Pad(name="C1", at=(6.5, 0.5), size_x_m=1.0, size_y_m=1.0, depth_m=0.75),),
        posts=(
            Post(
                name="C1", at=(6.5, 0.5), base_x_m=0.3, base_y_m=0.3,
                reactions={LoadCase.DEAD: Reaction(down_n=13.65e3), LoadCase.SNOW: Reaction(down_n=29.25e3)},
            ),
        ),
        codes=Codes(loads=LoadStandard.EN_1990, concrete=ConcreteStandard.EN_1992),
        soil=Soil(allowable_bearing_pa=100e3), mix=Mix(strength_pa=32e6),
    )  # fmt: skip
    check = checks_of(job)["C1.bearing"]

    assert pytest.approx(61, abs=0.6) == check.demand / 1e3
    assert check.governing == "G + S"


def test_every_check_can_be_explained():
    """Each check of capacity carries its working, ending in its own figures."""
    for check in result_of(STORE).checks:
        if check.key in ("mix.strength",) or check.key.endswith(("anchor_depth", "thickness")):
            continue

        assert check.steps, check.key
        assert check.governing, check.key


def test_the_working_of_a_check_gives_its_demand_and_capacity():
    """1.2 x 2,430 + 1.6 x 6,075 lb is 12,636 lb; 2,022 psf on 2.5 ft and 1 ft is 2,527 lb-ft, against 127.8 kip-in (by hand)."""
    check = checks_of(STORE)["P1.flexure"]
    results = [step.result.number for step in check.steps]

    assert pytest.approx(12636, rel=1e-3) == results[0]
    assert pytest.approx(2527, rel=1e-3) == results[2]
    assert pytest.approx(2527 * POUND_FORCE_N * FT, rel=1e-3) == check.demand
    assert pytest.approx(127787 * POUND_FORCE_N * IN, rel=1e-3) == check.capacity


def test_the_thin_case_is_always_shown():
    """3/4 in. less: bending takes (11.25/12)² of the strength, the demand stays."""
    checks = checks_of(STORE)

    for name in ("P1", "P2"):
        assert pytest.approx(checks[f"{name}.flexure"].ratio * (12 / 11.25) ** 2) == checks[f"{name}.thin.flexure"].ratio
        assert checks[f"{name}.thin.punching"].ratio > checks[f"{name}.punching"].ratio


def test_a_wall_over_a_pad_loads_it():
    """A 1,000 plf wall over 2.5 ft of pad adds 2,500 lb."""
    wall = Wall(name="middle", line=((15 * FT, 0.0), (15 * FT, 36 * FT)), thickness_m=6 * IN, line_loads_n_m={LoadCase.DEAD: 1000 * PLF})
    before, after = checks_of(STORE)["P1.bearing"], checks_of(replace(STORE, walls=(wall,)))["P1.bearing"]

    assert pytest.approx(2500 / 6.25, rel=1e-6) == (after.demand - before.demand) / PSF_PA


def one_pad(post_fields=None, pad_fields=None, **job_fields):
    """A pad 4 x 4 ft under one post of 20 kip on sandy ground."""
    post_fields = {"reactions": {LoadCase.DEAD: Reaction(down_n=20 * KIP)}} | (post_fields or {})
    return Job(
        name="one pad",
        floor=Floor(outline=rectangle(40, 40), thickness_m=6 * IN),
        pads=(replace(pad("A", 20, 20, 4, 18), **(pad_fields or {})),),
        posts=(post("A", 20, 20, **post_fields),),
        **({"codes": ASCE_7_16, "soil": Soil(allowable_bearing_pa=3000 * PSF_PA), "mix": MIX} | job_fields),
    )


def test_a_moment_gives_the_textbook_eccentric_pressure():
    """10 kip-ft on 20 kip and 3.6 kip of pad: e = 0.424 ft, q = 23.6/16 (1 + 6 x 0.424/4) = 2.412 ksf (by hand)."""
    job = one_pad({"reactions": {LoadCase.DEAD: Reaction(down_n=20 * KIP, moment_x_nm=10 * KIP * FT)}})
    check = checks_of(job)["A.bearing"]

    assert pytest.approx(2.412, rel=2e-3) == check.demand / PSF_PA / 1000
    assert checks_of(job)["A.overturning"].ratio == pytest.approx(2 * 0.4237 / 4, rel=1e-3)


def test_shear_tilts_a_pad_only_where_an_isolation_joint_parts_it_from_the_floor():
    """4 kip at the floor, 18 in. above the bottom: 6 kip-ft."""
    shear = {LoadCase.DEAD: Reaction(down_n=20 * KIP, shear_x_n=4 * KIP)}
    joined, parted = (result_of(one_pad({"reactions": shear, "isolated": isolated})) for isolated in (False, True))

    assert 0.0 == joined.pads["A"].tilt
    assert pytest.approx(2 * (6 / 23.6) / 4, rel=1e-3) == parted.pads["A"].tilt


def test_a_turned_pad_takes_its_moment_along_its_own_axes():
    """A pad and its load turned together by 30 degrees give the same pressure."""
    angle = math.radians(30)
    straight = one_pad(
        {"reactions": {LoadCase.DEAD: Reaction(down_n=20 * KIP, moment_x_nm=9 * KIP * FT)}}, {"size_x_m": 5 * FT, "size_y_m": 3 * FT}
    )
    turned = one_pad(
        {
            "reactions": {
                LoadCase.DEAD: Reaction(
                    down_n=20 * KIP, moment_x_nm=9 * KIP * FT * math.cos(angle), moment_y_nm=9 * KIP * FT * math.sin(angle)
                )
            },
            "rotation_rad": angle,
        },
        {"size_x_m": 5 * FT, "size_y_m": 3 * FT, "rotation_rad": angle},
    )

    for key in ("A.bearing", "A.flexure", "A.punching"):
        assert pytest.approx(checks_of(straight)[key].demand, rel=1e-9) == checks_of(turned)[key].demand


def test_a_round_pad_is_the_square_of_equal_area():
    """4 ft across: 12.57 ft² carry 20 kip and 2.83 kip of pad, 1,817 psf (by hand)."""
    check = checks_of(one_pad(pad_fields={"shape": PadShape.CIRCLE}))["A.bearing"]

    assert pytest.approx((20000 + math.pi * 4 * 1.5 * 150) / (math.pi * 4), rel=1e-4) == check.demand / PSF_PA


def test_two_posts_on_one_pad_act_together():
    """15 and 5 kip, 1 ft either side of the middle: 20 kip 0.5 ft off, 23.6 kip with the pad, e = 10/23.6 ft (by hand)."""
    job = replace(
        one_pad(),
        posts=(
            post("A", 19, 20, reactions={LoadCase.DEAD: Reaction(down_n=15 * KIP)}),
            post("B", 21, 20, reactions={LoadCase.DEAD: Reaction(down_n=5 * KIP)}),
        ),
    )
    checks = checks_of(job)
    expected = 23.6 / 16 * (1 + 6 * (10 / 23.6) / 4)

    assert pytest.approx((expected, expected), rel=1e-3) == (
        checks["A.bearing"].demand / PSF_PA / 1000,
        checks["B.bearing"].demand / PSF_PA / 1000,
    )
    assert any("right for them together" in one.question for one in result_of(job).referrals)


def test_bars_that_reach_the_least_steel_prove_a_shallow_pad():
    """9 in. deep under 40 kip: plain concrete fails in bending, six No. 5 each way hold."""
    heavy = {"reactions": {LoadCase.DEAD: Reaction(down_n=40 * KIP)}}
    bars = (Bars(zone=Zone.PADS, size="No.5", n_bars=6, cover_m=3 * IN),)
    bare, barred = (result_of(one_pad(heavy, {"depth_m": 12 * IN}, bars=some)) for some in ((), bars))

    assert ("plain concrete", "reinforced concrete") == (bare.pads["A"].design, barred.pads["A"].design)
    assert barred.pads["A"].strength_ratio < bare.pads["A"].strength_ratio
    assert {"A.steel", "A.spacing", "A.development"} <= {check.key for check in barred.checks}


def test_hooks_become_a_task_where_straight_bars_do_not_develop():
    bars = (Bars(zone=Zone.PADS, size="No.5", n_bars=6, cover_m=3 * IN),)
    heavy = {"reactions": {LoadCase.DEAD: Reaction(down_n=40 * KIP)}}
    result = result_of(one_pad(heavy, {"depth_m": 12 * IN}, bars=bars))

    assert any("hooks" in task.what for task in result.tasks)


def test_a_european_pad_with_bars_is_proved_as_reinforced_where_that_serves_better():
    job = one_pad(
        {"reactions": {LoadCase.DEAD: Reaction(down_n=40 * KIP)}}, {"depth_m": 0.35}, mix=Mix(strength_pa=25e6),
        bars=(Bars(zone=Zone.PADS, size="H16", n_bars=8, cover_m=0.05, yield_strength_pa=500e6),),
        codes=Codes(loads=LoadStandard.EN_1990, concrete=ConcreteStandard.EN_1992), soil=Soil(allowable_bearing_pa=200e3),
    )  # fmt: skip
    result = result_of(job)

    assert "reinforced concrete" == result.pads["A"].design
    assert {"A.punching", "A.flexure", "A.shear", "A.development"} <= {check.key for check in result.checks}


def test_the_least_size_holds_and_one_step_less_does_not():
    """Put back into the job, the suggested size passes every check of the pad; 2 in. less in side or depth fails one or costs nothing."""
    job = one_pad()
    size = result_of(job).suggestions.for_post("A")

    def failing(side, depth):
        trial = replace(job, pads=(Pad(name="A", at=job.pads[0].at, size_x_m=side, size_y_m=side, depth_m=depth),))
        return [
            check.key
            for check in result_of(trial).checks
            if check.state is State.FAILS and check.key.startswith("A.") and ".thin." not in check.key
        ]

    assert [] == failing(size.side_m, size.depth_m)
    assert failing(size.side_m - 2 * IN, size.depth_m)
    assert failing(size.side_m, size.depth_m - 2 * IN)


def test_the_fewest_kinds_of_pad_serve_every_post():
    """Each post's pad in a set is at least feasible for it, and more kinds never need more concrete."""
    loads = (5.0, 9.0, 14.0, 22.0, 31.0)
    posts = tuple(post(f"A{k}", 8 + 12 * k, 20, reactions={LoadCase.DEAD: Reaction(down_n=load * KIP)}) for k, load in enumerate(loads))
    pads = tuple(pad(one.name, 8 + 12 * k, 20, 4, 18) for k, one in enumerate(posts))
    job = replace(one_pad(), floor=Floor(outline=rectangle(70, 40), thickness_m=6 * IN), posts=posts, pads=pads)
    sets = result_of(job).suggestions.sets
    volumes = [one.concrete_m3 for one in sets]

    assert sorted(volumes, reverse=True) == volumes
    for number, one in enumerate(sets, start=1):
        assert len(one.sizes) <= number
        sizes = dict(one.choice)
        trial = replace(
            job,
            pads=tuple(
                replace(p, size_x_m=sizes[p.name].side_m, size_y_m=sizes[p.name].side_m, depth_m=sizes[p.name].depth_m) for p in pads
            ),
        )
        counted = [check for check in result_of(trial).checks if ".thin." not in check.key]
        assert all(check.state is not State.FAILS for check in counted), [check.key for check in counted if check.state is State.FAILS]


def test_uneven_posts_get_sizes_that_hold_too():
    """A moment in one combination: the suggested size passes when put back."""
    job = one_pad(
        {"reactions": {LoadCase.DEAD: Reaction(down_n=12 * KIP), LoadCase.WIND_DOWN: Reaction(down_n=2 * KIP, moment_x_nm=14 * KIP * FT)}}
    )
    size = result_of(job).suggestions.for_post("A")
    trial = replace(job, pads=(Pad(name="A", at=job.pads[0].at, size_x_m=size.side_m, size_y_m=size.side_m, depth_m=size.depth_m),))

    assert all(check.state is not State.FAILS for check in result_of(trial).checks if ".thin." not in check.key)


def test_uplift_beyond_all_ballast_fails_and_names_post_and_remedy():
    """30 kip up against a pad of 3.6 kip lifts the whole footing."""
    job = one_pad({"reactions": {LoadCase.DEAD: Reaction(down_n=2 * KIP), LoadCase.WIND_UPLIFT: Reaction(down_n=-30 * KIP)}})
    check = checks_of(job)["A.uplift"]

    assert check.state is State.FAILS
    assert "A" in check.where
    assert "larger or deeper" in check.remedy


def test_a_post_beside_its_pad_fails_and_names_both():
    job = replace(one_pad(), posts=(post("A", 23, 20, reactions={LoadCase.DEAD: Reaction(down_n=20 * KIP)}),))
    check = checks_of(job)["A.position"]

    assert check.state is State.FAILS
    assert "Move pad A" in check.remedy


def test_a_load_outside_the_footing_fails_as_tipping():
    """60 kip-ft on 23.6 kip acts 2.5 ft out of a pad that reaches 2 ft: a ratio above one and no pressure that looks fine."""
    job = one_pad({"reactions": {LoadCase.DEAD: Reaction(down_n=20 * KIP, moment_x_nm=60 * KIP * FT)}})
    checks = checks_of(job)

    assert State.FAILS is checks["A.overturning"].state
    assert "A.bearing" not in checks
    assert result_of(job).pads["A"].gross_pa is None


@pytest.mark.parametrize(
    ("soil", "words"),
    [
        (Soil(soil_class="OH"), "no presumptive"),
        (Soil(soil_class="loam"), "loam"),
        (Soil(), "neither"),
        (Soil(allowable_bearing_pa=0.0), "nought"),
    ],
)
def test_ground_without_a_value_is_asked_for_by_post(soil, words):
    result = result_of(one_pad(soil=soil))
    question = next(one for one in result.referrals if one.to is Ask.SOIL_ENGINEER and "What may the ground carry" in one.question)

    assert words in question.question
    assert " A?" in question.question
    assert not any(check.key == "A.bearing" for check in result.checks)
    assert () == result.suggestions.least


def test_a_post_without_loads_is_asked_for():
    job = replace(one_pad(), posts=(*one_pad().posts, post("B", 5, 5)), pads=(*one_pad().pads, pad("B", 5, 5, 3, 18)))

    assert any("Post B has no loads" in one.question for one in result_of(job).referrals)


def test_a_job_with_nothing_on_it_waits():
    plan = plan_of(replace(one_pad(), posts=(), walls=()))

    assert State.WAITING is plan.outcomes["bearing"].state
    with pytest.raises(MissingInput, match="nothing stands on this slab"):
        plan[bearing.STUDY]


def test_a_job_without_concrete_strength_waits():
    assert State.WAITING is plan_of(one_pad(mix=None)).outcomes["bearing"].state


def test_posts_on_the_edge_bend_it_on_springs():
    """One post in the middle of a long side: Hetényi's pressure and moment, with the even weight of the edge besides."""
    job = Job(
        name="edge post",
        floor=Floor(outline=rectangle(80, 40), thickness_m=6 * IN),
        edge=Edge(depth_m=24 * IN, width_m=16 * IN, run=0.0),
        posts=(post("E", 40, 0.5, reactions={LoadCase.DEAD: Reaction(down_n=12 * KIP)}),),
        codes=ASCE_7_16, soil=Soil(allowable_bearing_pa=3000 * PSF_PA, subgrade_modulus_pa_m=100 * 271447.0), mix=MIX,
    )  # fmt: skip
    checks = checks_of(job)
    modulus, width, depth = 57000 * math.sqrt(3500) * PSI_PA, 16 * IN, 24 * IN
    spring = 100 * 271447.0 * width
    lam = (spring / (4 * modulus * width * depth**3 / 12)) ** 0.25

    assert pytest.approx(12 * KIP * lam / 2 / width + 150 * 2 * PSF_PA, rel=0.01) == checks["E.bearing"].demand
    assert pytest.approx(1.4 * 12 * KIP / (4 * lam), rel=0.01) == checks["E.strip_bottom"].demand


def test_a_lifted_post_on_the_edge_hangs_on_the_edge():
    """It counts the edge half way to the corners, as far as the section can hang."""
    job = Job(
        name="edge post",
        floor=Floor(outline=rectangle(20, 40), thickness_m=6 * IN),
        edge=Edge(depth_m=24 * IN, width_m=16 * IN, run=0.0),
        posts=(post("E", 10, 0.5, reactions={LoadCase.DEAD: Reaction(down_n=1 * KIP), LoadCase.WIND_UPLIFT: Reaction(down_n=-3 * KIP)}),),
        codes=ASCE_7_16, soil=Soil(soil_class="SM"), mix=MIX,
    )  # fmt: skip
    check = checks_of(job)["E.uplift"]

    assert pytest.approx(1.2, rel=1e-6) == check.demand / KIP
    assert pytest.approx(0.6 * (16 * 18 / 144) * 150 * 10, rel=1e-3) == check.capacity / POUND_FORCE_N


def test_a_strip_carries_the_wall_on_it():
    """1,500 plf and a 16 x 14 in. strip of 233 plf on 16 in.: 1,300 psf (by hand)."""
    strip = Strip(name="S1", line=((15 * FT, 2 * FT), (15 * FT, 34 * FT)), width_m=16 * IN, depth_m=14 * IN)
    wall = Wall(name="middle", line=((15 * FT, 4 * FT), (15 * FT, 32 * FT)), thickness_m=8 * IN, line_loads_n_m={LoadCase.DEAD: 1500 * PLF})
    job = replace(STORE, strips=(strip,), walls=(wall,), posts=(), pads=())

    assert pytest.approx((1500 + 16 * 14 / 144 * 150) / (16 / 12), rel=1e-4) == checks_of(job)["S1.bearing"].demand / PSF_PA


def test_a_wall_on_the_plain_floor_is_asked_about():
    wall = Wall(name="loose", line=((10 * FT, 10 * FT), (10 * FT, 20 * FT)), thickness_m=6 * IN, line_loads_n_m={LoadCase.DEAD: 500 * PLF})

    assert any("Wall loose stands on the plain floor" in one.question for one in result_of(replace(STORE, walls=(wall,))).referrals)


def test_a_longer_soft_spot_needs_more_of_the_edge():
    short, long = (
        checks_of(replace(STORE, tolerances=replace(STORE.tolerances, unsupported_length_m=length * FT)))["edge.soft_spot_bottom"]
        for length in (4, 8)
    )

    assert long.ratio > short.ratio > 0


def anchored(**anchor):
    return one_pad(
        {
            "reactions": {
                LoadCase.DEAD: Reaction(down_n=2 * KIP),
                LoadCase.WIND_UPLIFT: Reaction(down_n=-6 * KIP, shear_x_n=2 * KIP),
            },
            "anchor": Anchor(diameter_m=0.75 * IN, embedment_m=10 * IN, steel_strength_pa=58000 * PSI_PA, **anchor),
        }
    )


def test_anchors_carry_the_factored_uplift():
    """0.9 x 2 - 6 = 4.2 kip up; steel 0.75 x 0.334 x 58 = 14.53 kip; pull-out of a hex head 0.7 x 8 x 0.654 x 3.5 = 12.82 kip (by hand)."""
    checks = checks_of(anchored())

    assert pytest.approx((4.2, 14.53), rel=1e-3) == (checks["A.anchor_steel"].demand / KIP, checks["A.anchor_steel"].capacity / KIP)
    assert pytest.approx(12.82, rel=1e-3) == checks["A.anchor_pullout"].capacity / KIP
    assert {"A.anchor_breakout", "A.anchor_shear_steel", "A.anchor_shear_breakout_x", "A.anchor_pryout", "A.anchor_both"} <= set(checks)


def test_a_base_moment_pulls_on_the_far_row_of_anchors():
    """12 kip-ft over rows 12 in. apart is a couple of 12 kip: as tension of the whole group twice that."""
    job = one_pad(
        {
            "reactions": {LoadCase.DEAD: Reaction(down_n=20 * KIP), LoadCase.WIND_DOWN: Reaction(moment_x_nm=12 * KIP * FT)},
            "fixity": BaseFixity.FIXED,
            "anchor": Anchor(diameter_m=0.75 * IN, embedment_m=10 * IN, n_x=2, n_y=2, spacing_x_m=12 * IN, spacing_y_m=12 * IN),
        }
    )

    assert pytest.approx(2 * 12 - 0.9 * 20, rel=1e-6) == result_of(job).anchors["A"].tension_n / KIP


def test_anchors_longer_than_the_pad_is_deep_fail():
    assert State.FAILS is checks_of(replace(anchored(), pads=(pad("A", 20, 20, 4, 12),)))["A.anchor_depth"].state


def test_an_anchor_that_is_not_tabulated_is_asked_about():
    job = one_pad({"anchor": Anchor(diameter_m=0.0333)})

    assert any("are not checked" in one.question for one in result_of(job).referrals)


def test_settlement_where_the_modulus_is_known():
    """19.9 kip net on 4 x 4 ft and 30 MPa, nu 0.3: P(1 - nu²)/(E D) with D = 1.376 m (by hand)."""
    job = one_pad(soil=Soil(allowable_bearing_pa=3000 * PSF_PA, elastic_modulus_pa=30e6, unit_weight_kg_m3=1762.0))
    net = 23.6 * KIP - 1762 * 9.80665 * 18 * IN * (4 * FT) ** 2

    assert pytest.approx(net * 0.91 / (30e6 * math.sqrt(16 * FT**2 * 4 / math.pi)), rel=1e-4) == result_of(job).settlements_m["A"]
    assert "A.settlement" in checks_of(job)


def test_settlement_without_soil_data_is_said_not_to_be_checked():
    assert any("Settlement is not checked" in one.question for one in result_of(one_pad()).referrals)


def test_groundwater_lightens_the_ballast():
    """Water 6 in. below grade wets 1 ft of an 18 in. pad: 16 ft² x 62.4 pcf."""
    uplift = {"reactions": {LoadCase.DEAD: Reaction(down_n=KIP), LoadCase.WIND_UPLIFT: Reaction(down_n=-3 * KIP)}}
    lines = result_of(one_pad(uplift, place=Place(groundwater_depth_m=6 * IN))).uplift["A"].lines
    water = next(line for line in lines if line.part == "groundwater")

    assert pytest.approx(-16 * 62.43, rel=1e-3) == water.weight_n / POUND_FORCE_N
    assert water.counted


def test_the_letter_holds_every_post_and_question():
    result = result_of(SHELTER)

    assert {one.name for one in SHELTER.posts} == {one.post for one in result.letter.pads}
    assert len(result.letter.loads) == 3 * len(SHELTER.posts)
    assert {one.question for one in result.referrals} == set(result.letter.questions)


def test_pictures_and_tables_speak_of_every_post():
    outcome = plan_of(SHELTER).outcomes["bearing"]
    shown = outcome.presentation()
    marks = [item.text for item in shown.pictures[0].items if hasattr(item, "state")]
    titles = {table.title for table in shown.tables}

    assert len(SHELTER.posts) == len(marks)
    assert {"Pads: soil pressure and strength", "Ballast of the posts that wind lifts", "Kinds of hole"} <= titles
    assert all(len(row) == len(table.columns) for table in shown.tables for row in table.rows)


def test_what_governs_is_the_worst_of_all_combinations():
    """Re-reading a check in every combination on its own never gives more than the one reported."""
    job = one_pad(
        {
            "reactions": {
                LoadCase.DEAD: Reaction(down_n=9 * KIP),
                LoadCase.SNOW: Reaction(down_n=7 * KIP),
                LoadCase.LIVE: Reaction(down_n=4 * KIP),
                LoadCase.WIND_DOWN: Reaction(down_n=2 * KIP, moment_x_nm=6 * KIP * FT),
            }
        }
    )
    result = result_of(job)
    stand = result.stands[0]
    from slabwright.model.combinations import Level
    from slabwright.results.working import Working
    from slabwright.studies.bearing import aci
    from slabwright.studies.bearing.probes import ALL_WAYS

    factored = stand.factored(Level.STRENGTH)
    design = aci.plain_design((aci.PostPlace.INTERIOR,))
    for kind in design.kinds:
        pairs = [
            kind.pair(stand.single(factored, number), way, Working()) for number in range(len(factored.combinations)) for way in ALL_WAYS
        ]
        worst = max(demand / capacity for demand, capacity in pairs)
        reported = next(check for check in result.checks if check.key == f"A.{kind.key}")

        assert pytest.approx(max(0.0, worst), rel=1e-9) == reported.ratio


def test_capacity_rises_with_depth_and_pressure_falls_with_size():
    deeper = [result_of(one_pad(pad_fields={"depth_m": depth * IN})).pads["A"].strength_ratio for depth in (12, 16, 20, 24)]
    wider = [result_of(one_pad(pad_fields={"size_x_m": side * FT, "size_y_m": side * FT})).pads["A"].gross_pa for side in (3, 4, 5, 6)]

    assert sorted(deeper, reverse=True) == deeper
    assert sorted(wider, reverse=True) == wider


def test_no_result_is_left_without_finite_numbers():
    for job in (STORE, SHELTER, one_pad()):
        assert all(np.isfinite(check.ratio) for check in result_of(job).checks)


def edge_job(*posts, walls=()):
    return Job(
        name="edge posts",
        floor=Floor(outline=rectangle(40, 40), thickness_m=6 * IN),
        edge=Edge(depth_m=24 * IN, width_m=16 * IN, run=0.0),
        posts=posts, walls=walls, codes=ASCE_7_16, soil=Soil(soil_class="SM"), mix=MIX,
    )  # fmt: skip


def test_a_post_without_loads_on_the_edge_leaves_the_others_checked():
    empty = post("E2", 30, 0.5, tributary=Tributary(length_m=2.0, width_m=2.0))
    result = result_of(edge_job(post("E1", 10, 0.5, reactions={LoadCase.DEAD: Reaction(down_n=5 * KIP)}), empty))
    alone = result_of(edge_job(empty))

    assert "E1.bearing" in {check.key for check in result.checks}
    assert all(any("Post E2 has no loads" in one.question for one in found.referrals) for found in (result, alone))


def test_a_lifted_post_on_the_edge_leaves_its_neighbour_checked():
    """It presses with nothing; the neighbour's load stays."""
    down = post("E1", 10, 0.5, reactions={LoadCase.DEAD: Reaction(down_n=5 * KIP)})
    up = post("E2", 30, 0.5, reactions={LoadCase.WIND_UPLIFT: Reaction(down_n=-3 * KIP), LoadCase.DEAD: Reaction(down_n=-1 * KIP)})
    both, one = checks_of(edge_job(down, up)), checks_of(edge_job(down))

    assert pytest.approx(one["E1.bearing"].demand) == both["E1.bearing"].demand
    assert "E2.uplift" in both


def test_a_push_on_a_post_on_the_edge_is_asked_about():
    pushed = post("E1", 10, 0.5, reactions={LoadCase.DEAD: Reaction(down_n=5 * KIP, shear_y_n=KIP)})

    assert any("What takes the sideways force" in one.question and "E1" in one.question for one in result_of(edge_job(pushed)).referrals)


def test_a_wall_that_wind_lifts_is_set_against_the_edge():
    """0.6 x (500 - 200) plf up; 16 x 18 in. below the floor are 300 plf, 0.6 of them hold (by hand)."""
    loads = {LoadCase.DEAD: 200 * PLF, LoadCase.WIND_UPLIFT: -500 * PLF}
    wall = Wall(name="w", line=((0.5 * FT, 0.0), (0.5 * FT, 40 * FT)), thickness_m=6 * IN, line_loads_n_m=loads)
    check = checks_of(edge_job(walls=(wall,)))["edge.uplift.w"]

    assert pytest.approx((180, 180)) == (check.demand / PLF, check.capacity / PLF)


def test_the_weight_of_the_pad_counts_where_the_post_brings_no_dead_load():
    """20 kip of snow and 3.6 kip of pad on 16 ft²: 1,475 psf; 0.6 of the pad against 0.6 of 2 kip up (by hand)."""
    snow = one_pad({"reactions": {LoadCase.SNOW: Reaction(down_n=20 * KIP), LoadCase.WIND_UPLIFT: Reaction(down_n=-2 * KIP)}})

    assert pytest.approx(1475, rel=1e-6) == checks_of(snow)["A.bearing"].demand / PSF_PA
    assert pytest.approx(0.6 * 3.6, rel=1e-6) == result_of(snow).uplift["A"].lines[0].weight_n * 0.6 / KIP
    assert pytest.approx(2 / 3.6, rel=1e-6) == checks_of(snow)["A.uplift"].ratio


def test_overturning_is_checked_with_the_least_dead_load():
    """EN 1990, 0.9G + 1.5W: 12 kN m over 0.9 x (20 + 26.5) kN, in a pad that reaches 0.75 m (by hand)."""
    loads = {LoadCase.DEAD: Reaction(down_n=20e3), LoadCase.WIND_DOWN: Reaction(moment_x_nm=8e3)}
    job = one_pad(
        {"reactions": loads}, {"size_x_m": 1.5, "size_y_m": 1.5, "depth_m": 0.5}, mix=Mix(strength_pa=25e6),
        codes=Codes(loads=LoadStandard.EN_1990, concrete=ConcreteStandard.EN_1992),
    )  # fmt: skip
    check = checks_of(job)["A.overturning"]
    weight = 1.5 * 1.5 * 0.5 * 2400 * 9.80665

    assert pytest.approx(1.5 * 8e3 / (0.9 * (20e3 + weight)) / 0.75, rel=1e-4) == check.ratio
    assert "0.9G + 1.5W" == check.governing


def test_a_foot_wider_than_its_pad_fails():
    """5 ft on 4 ft: 2.5 ft from the middle where the pad ends at 2."""
    wide = replace(one_pad().posts[0], base_x_m=5 * FT)

    assert pytest.approx(2.5 / 2) == checks_of(replace(one_pad(), posts=(wide,)))["A.foot"].ratio


@pytest.mark.parametrize(
    ("example", "key", "psf", "ratio"),
    [
        ("store", "P1.bearing", (8505 + 6.25 * 14 / 12 * 150) / 6.25, 0.77),
        ("store", "edge.bearing", 182 + 255 + 20 / 12 * 150, 0.34),
        ("shelter", "P3.bearing", (12670 + 12.25 * 2.5 * 145) / 12.25, 0.93),
        ("station", "P3.bearing", 1775.0, 0.71),
    ],
)
def test_the_examples_stand_as_their_comments_say(example, key, psf, ratio):
    """Loads and concrete over the area, by hand: 1,536, 687, 1,397 (air-entrained concrete of 145 pcf; 1,409 at 150) and about 1,775 psf.

    The station's pads reach beyond the forms, where they end 10 in. lower, which takes 20 psf off its round figure.
    """
    check = checks_of(parse_job(example_text(example)).job)[key]

    assert pytest.approx(psf, rel=0.015 if example == "station" else 1e-3) == check.demand / PSF_PA
    assert pytest.approx(ratio, abs=0.015 if example == "station" else 0.005) == check.ratio


def floor_line(result, post):
    return next(line for line in result.uplift[post].lines if line.part == "floor")


def test_a_floor_hangs_farther_by_its_mesh_and_never_beyond_its_yield_lines():
    """The store's mesh carries more than its plain 5 in.; the line names what carries and where the floor would fold."""
    job = EXAMPLE
    with_mesh, plain = result_of(job), result_of(replace(job, mesh=None))

    assert "mesh 6x6-W2.9xW2.9" in floor_line(with_mesh, "P1").how
    assert "plain concrete" in floor_line(plain, "P1").how
    assert "fold along yield lines" in floor_line(plain, "P1").how
    assert floor_line(with_mesh, "P1").weight_n > floor_line(plain, "P1").weight_n
    assert not floor_line(with_mesh, "P1").counted


def test_an_isolated_post_has_no_floor_among_its_ballast():
    job = EXAMPLE
    result = result_of(replace(job, posts=tuple(replace(post, isolated=True) for post in job.posts)))

    assert "floor" not in {line.part for line in result.uplift["P1"].lines}


def test_bars_round_the_corners_are_asked_for_as_the_bar_list_bends_them():
    """One task, true of bent bars and of corner bars alike; which of them it is stands in the bar list."""
    told = [task.what for task in result_of(EXAMPLE).tasks if "corner" in task.what]

    assert ["Carry the bars of the edge round every corner, bent or by corner bars lapped on both legs, as the bar list has them."] == told


def test_posts_alike_stand_together_in_the_letter():
    """22 posts with one set of loads are named once; sizes part where the uplift differs."""
    plan = plan_of(parse_job(example_text("shelter"), "shelter").job)
    tables = {table.title: table for table in plan.outcomes["bearing"].presentation().tables}
    loads, sizes = tables["To the engineer: loads on the posts"], tables["To the engineer: sizes proposed"]

    assert "P1 to P22" == loads.rows[0][0]
    assert len({row[1] for row in loads.rows}) == len(loads.rows)
    assert 1 < len(sizes.rows) < 22


@pytest.mark.parametrize(("name", "written"), [("store", "P = D + S"), ("dairy", "P = G + S")])
def test_loads_are_written_in_the_letters_of_their_standard(name, written):
    """What governs and what is added up read alike: D by one standard, G by the other."""
    check = checks_of(parse_job(example_text(name), name).job)["P1.bearing"]

    assert written == check.steps[0].symbols
    assert written.partition(" = ")[2] == check.governing
