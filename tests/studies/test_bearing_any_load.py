"""Whatever stands on a foundation that can be built, bearing answers, waits or asks: never a traceback."""

import math
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slabwright.model.concrete import Edge, Floor, Pad, PadShape, Strip
from slabwright.model.ground import Place, Soil
from slabwright.model.job import Building, Codes, ConcreteStandard, Enclosure, Job, LoadStandard
from slabwright.model.loads import Anchor, LoadCase, Post, Reaction, Tributary, Wall
from slabwright.model.steel import Bars, Face, Zone
from slabwright.model.supply import Mix
from slabwright.results.check import State
from slabwright.studies import bearing, shape
from slabwright.study import Inputs, run_studies
from slabwright.units import Family

forces = st.one_of(st.just(0.0), st.floats(-3e5, 3e5), st.sampled_from([-1e9, -1.0, 1e-6, 1.0, 1e9]))
moments = st.one_of(st.just(0.0), st.floats(-2e5, 2e5), st.sampled_from([1e-9, 1e8]))
reactions = st.dictionaries(
    st.sampled_from(list(LoadCase)),
    st.builds(Reaction, down_n=forces, shear_x_n=moments, shear_y_n=moments, moment_x_nm=moments, moment_y_nm=moments),
    max_size=4,
)
areas = st.builds(
    Tributary, length_m=st.floats(1, 10), width_m=st.floats(1, 10), roof_dead_pa=st.sampled_from([0.0, 500.0]),
    snow_pa=st.sampled_from([0.0, 1500.0]), wind_uplift_pa=st.sampled_from([0.0, 900.0]),
)  # fmt: skip
# on the edge, in its corner, near it, in the middle, on the strip, beside everything
PLACES = ((0.1, 5.0), (0.05, 0.05), (0.5, 0.5), (6.0, 4.0), (6.3, 4.0), (9.0, 5.0), (30.0, 30.0))


@st.composite
def jobs(draw):
    """One to four posts with any loads, pads under some of them."""
    places = draw(st.lists(st.sampled_from(PLACES), min_size=1, max_size=4))
    posts, pads = [], []
    for number, at in enumerate(places, start=1):
        anchor = draw(st.sampled_from([None, Anchor(), Anchor(n_x=2, n_y=2, spacing_x_m=0.15, spacing_y_m=0.15, embedment_m=0.25)]))
        posts.append(
            Post(
                name=f"P{number}", at=at, base_x_m=draw(st.sampled_from([0.1, 0.3, 1.4])), base_y_m=0.3, reactions=draw(reactions),
                tributary=draw(st.none() | areas), isolated=draw(st.booleans()), anchor=anchor,
            )
        )  # fmt: skip
        if at != PLACES[-1] and draw(st.booleans()):
            beside = draw(st.sampled_from([0.0, 0.3, 0.45, 0.9]))
            pads.append(
                Pad(
                    name=f"P{number}", at=(at[0] + beside, at[1]), size_x_m=draw(st.sampled_from([0.5, 1.2, 3.0])),
                    size_y_m=draw(st.sampled_from([0.5, 1.2])), depth_m=draw(st.sampled_from([0.2, 0.5, 1.0])),
                    run=draw(st.sampled_from([0.0, 1.0])), shape=draw(st.sampled_from(list(PadShape))),
                    rotation_rad=draw(st.sampled_from([0.0, 0.5])),
                )
            )  # fmt: skip
    bars = (
        Bars(zone=Zone.PADS, size="No.5", n_bars=5),
        Bars(zone=Zone.PADS, size="No.4", spacing_m=0.3, only=("P1",)),
        Bars(zone=Zone.EDGE, size="No.5", face=Face.TOP, n_bars=2, lap_m=0.4),
        Bars(zone=Zone.TIES, size="No.5", n_bars=2),
        Bars(zone=Zone.FLOOR, size="No.4", spacing_m=0.4),
    )
    line_loads = draw(st.dictionaries(st.sampled_from(list(LoadCase)), forces.map(lambda force: force / 10), max_size=2))
    european = draw(st.booleans())
    return Job(
        name="any", family=draw(st.sampled_from(list(Family))),
        floor=Floor(outline=((0, 0), (12, 0), (12, 8), (0, 8)), thickness_m=0.15),
        edge=draw(st.sampled_from([None, Edge(depth_m=0.5, width_m=0.3, run=0.0), Edge(depth_m=0.15, width_m=0.3, run=1.0)])),
        strips=(Strip(name="S1", line=((1, 5), (11, 5)), width_m=0.4, depth_m=0.4),),
        walls=(Wall(name="w", line=((0.1, 0), (0.1, 8)), thickness_m=0.15, line_loads_n_m=line_loads),),
        pads=tuple(pads), posts=tuple(posts), bars=tuple(one for one in bars if draw(st.booleans())), mix=Mix(strength_pa=25e6),
        building=Building(enclosure=draw(st.sampled_from(list(Enclosure)))),
        place=Place(frost_depth_m=draw(st.sampled_from([None, 0.5])), groundwater_depth_m=draw(st.sampled_from([None, 0.0, 0.3]))),
        soil=Soil(
            soil_class=draw(st.sampled_from(["", "SM", "CH", "OH", "loam"])), unit_weight_kg_m3=1800.0,
            allowable_bearing_pa=draw(st.sampled_from([None, 0.0, 1.0, 1e5])), elastic_modulus_pa=draw(st.sampled_from([None, 2e7])),
            n_spt=draw(st.sampled_from([None, 0.0, 12.0])), friction=draw(st.sampled_from([None, 0.0, 0.4])),
        ),
        codes=Codes(
            loads=LoadStandard.EN_1990 if european else draw(st.sampled_from([LoadStandard.ASCE_7_16, LoadStandard.ASCE_7_22])),
            concrete=ConcreteStandard.EN_1992 if european else ConcreteStandard.ACI_318_19,
        ),
    )  # fmt: skip


@settings(max_examples=40, deadline=None)
@given(jobs())
def test_bearing_always_answers_waits_or_asks(job):
    assert_answered(job)


@pytest.mark.long
@settings(max_examples=400, deadline=None)
@given(jobs())
def test_bearing_always_answers_waits_or_asks_many_times_over(job):
    assert_answered(job)


def assert_answered(job):
    """Every figure finite, every failure with its place and remedy, every step written out, every post named somewhere."""
    outcome = run_studies((shape.STUDY, bearing.STUDY), Inputs(job=job)).outcomes["bearing"]
    if outcome.state is State.WAITING:
        return

    outcome.presentation()
    for check in outcome.result.checks:
        assert math.isfinite(check.ratio), check.key
        assert check.state is not State.FAILS or (check.where and check.remedy), check.key
        assert all(step.substituted for step in check.steps)
    sentences = [f"{check.key} {check.where}" for check in outcome.result.checks] + [one.question for one in outcome.result.referrals]
    for post in job.posts:
        assert any(post.name in re.findall(r"\w+", sentence) for sentence in sentences), post.name
