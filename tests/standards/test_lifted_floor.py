"""A floor round a pad that is lifted, against virtual work done by quadrature and against its limits."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import minimize_scalar

from slabwright.errors import OutOfRange
from slabwright.standards.slab_collapse import lifted_floor


def virtual_work(radius, moment, weight, pad):
    """Pad up by one: weight of the cone, the kink round the pad, the fan along the rays."""
    gap = radius - pad
    lifts = quad(lambda r: 2.0 * math.pi * r * (radius - r) / gap * weight, pad, radius)[0]
    round_the_pad = moment * 2.0 * math.pi * pad / gap
    along_rays = quad(lambda r: moment * 2.0 * math.pi / gap, pad, radius)[0]
    return lifts + round_the_pad + along_rays


@given(moment=st.floats(100.0, 50e3), weight=st.floats(500.0, 10e3), pad=st.floats(0.2, 3.0))
def test_it_is_the_least_of_the_fans(moment, weight, pad):
    found = lifted_floor(moment_nm_m=moment, weight_pa=weight, pad_radius_m=pad)
    least = minimize_scalar(
        lambda gap: virtual_work(pad + gap, moment, weight, pad), bounds=(1e-3, 20.0 * (pad + math.sqrt(moment / weight))), method="bounded"
    )

    assert pytest.approx(least.fun, rel=1e-5) == found.load_n
    assert pytest.approx(virtual_work(found.radius_m, moment, weight, pad), rel=1e-9) == found.load_n


def test_round_a_point_only_the_moment_counts():
    """A fan about a point takes 2 pi M, whatever the slab weighs: the classical result for a free outer circle."""
    assert pytest.approx(2.0 * math.pi * 5e3, rel=2e-2) == lifted_floor(moment_nm_m=5e3, weight_pa=3e3, pad_radius_m=1e-6).load_n


def test_a_floor_without_strength_holds_nothing():
    assert 0.0 == lifted_floor(moment_nm_m=0.0, weight_pa=3e3, pad_radius_m=0.5).load_n


def test_a_pad_of_no_size_is_refused():
    with pytest.raises(OutOfRange, match="above it"):
        lifted_floor(moment_nm_m=5e3, weight_pa=3e3, pad_radius_m=0.0)
