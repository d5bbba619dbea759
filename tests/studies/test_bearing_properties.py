"""Properties of every pad: strength grows with size, arrays agree with single numbers, no moment means even pressure."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slabwright.results.working import Working
from slabwright.standards.aci_318_19_shear import PostPlace
from slabwright.studies.bearing import aci, en
from slabwright.studies.bearing.case import Mat, PadCase, as_number
from slabwright.studies.bearing.probes import ALL_WAYS, governing

MAT = Mat(name="H16", n_bars=None, spacing_m=0.15, diameter_m=0.016, bar_area_m2=201e-6, cover_m=0.075, yield_strength_pa=500e6)
DESIGNS = (
    aci.plain_design(tuple(PostPlace), lifted=True), aci.reinforced_design(tuple(PostPlace), lifted=True), en.PLAIN, en.REINFORCED,
)  # fmt: skip
STRENGTH_KEYS = ("flexure", "shear", "punching", "punching_face", "base", "lifting")

cases = st.builds(
    PadCase,
    size_x_m=st.floats(0.8, 3.0), size_y_m=st.floats(0.8, 3.0), depth_m=st.floats(0.25, 1.0), post_x_m=st.floats(0.1, 0.4),
    post_y_m=st.floats(0.1, 0.4), strength_pa=st.floats(20e6, 45e6), load_n=st.floats(5e3, 8e5), weight_n=st.floats(5e3, 1e5),
    mat=st.just(MAT),
)  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(cases, st.floats(1.02, 1.6), st.sampled_from(DESIGNS))
def test_capacity_grows_with_depth(case, factor, design):
    """Deeper under the same load: no strength falls."""
    deeper = replace(case, depth_m=case.depth_m * factor)
    for kind in design.kinds:
        if kind.key in STRENGTH_KEYS and not (design is en.PLAIN and kind.key == "flexure"):
            shallow, deep = (kind.pair(one, ALL_WAYS[0], Working())[1] for one in (case, deeper))

            assert deep >= shallow * (1 - 1e-9), kind.key


@settings(max_examples=60, deadline=None)
@given(cases, st.floats(1.02, 2.0))
def test_capacity_in_bending_grows_with_width(case, factor):
    for design in DESIGNS[:2]:
        narrow, wide = (
            design.kinds[0].pair(one, ALL_WAYS[0], Working())[1] for one in (case, replace(case, size_y_m=case.size_y_m * factor))
        )

        assert wide >= narrow


@settings(max_examples=60, deadline=None)
@given(cases, st.sampled_from(DESIGNS))
def test_no_moment_equals_the_concentric_case(case, design):
    """A moment of nearly nothing goes the way of eccentric pads and must meet the even pressure.

    The even way leaves out the weight, which presses and bears alike.
    """
    nearly = replace(case, moment_x_nm=1e-9 * case.load_n)
    for kind in design.kinds:
        if kind.key == "flexure" and design is en.PLAIN:
            continue  # there the whole pressure counts, weight included
        for way in ALL_WAYS:
            even, uneven = (kind.pair(one, way, Working()) for one in (case, nearly))

            assert pytest.approx(even[0], rel=1e-5, abs=1e-3) == uneven[0], kind.key
            assert pytest.approx(even[1], rel=1e-9) == uneven[1], kind.key


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(st.floats(-5e4, 6e5), st.floats(-4e4, 4e4), st.floats(-4e4, 4e4)), min_size=1, max_size=6),
    cases,
    st.sampled_from(DESIGNS),
)
def test_arrays_of_cases_agree_with_each_case_alone(loads, case, design):
    """What governs a row of combinations is the worst of them one by one, with the same ratio."""
    rows = np.array(loads)
    together = replace(case, load_n=as_number(rows[:, 0]), moment_x_nm=as_number(rows[:, 1]), moment_y_nm=as_number(rows[:, 2]))
    for found in governing(design, together, [len(rows)])[0]:
        kinds = [kind for kind in design.kinds if kind.key == found.kind.key]
        ratios = []
        for row in rows:
            one = replace(case, load_n=float(row[0]), moment_x_nm=float(row[1]), moment_y_nm=float(row[2]))
            for kind in kinds:
                pairs = [kind.pair(one, way, Working()) for way in (ALL_WAYS if kind.every_way else ALL_WAYS[:1])]
                ratios += [demand / capacity for demand, capacity in pairs]

        assert pytest.approx(max(ratios), rel=1e-6, abs=1e-9) == found.ratio, found.kind.key
