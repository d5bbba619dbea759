"""The reaction curve, its clock and its fits."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from slabwright.errors import NotConverged, OutOfRange
from slabwright.solvers.heat.march import clock_rate, degree_and_slope
from slabwright.solvers.hydration import Reaction, equivalent_ages_s, fitted_to_heat, three_parameter_fit

HOUR_S = 3600.0
CURVE = Reaction(ultimate=0.72, tau_s=13.5 * HOUR_S, beta=0.85, activation_j_mol=5000 * 8.314462618, reference_c=23.0)


@given(st.floats(0.001, 0.71))
def test_the_age_of_a_degree_is_the_inverse_of_the_curve(degree):
    """There and back."""
    assert pytest.approx(degree) == float(CURVE.degree(CURVE.age_s(degree)))


@given(st.floats(10.0, 1e7), st.floats(-10.0, 70.0))
def test_the_compiled_curve_and_clock_are_the_same_as_the_plain_ones(age, temp):
    """One law in two spellings, held together; the slope is that of the curve."""
    degree, slope = degree_and_slope(age, CURVE.ultimate, CURVE.tau_s, CURVE.beta)
    step = 1e-3 * age

    assert pytest.approx(float(CURVE.degree(age)), rel=1e-9, abs=1e-15) == degree
    assert pytest.approx(float(CURVE.degree(age + step) - CURVE.degree(age - step)) / (2 * step), rel=1e-3, abs=1e-18) == slope
    assert pytest.approx(float(CURVE.clock_rate(temp))) == clock_rate(temp, CURVE.activation_k, CURVE.reference_k)


def test_equivalent_age_by_interval_means():
    """History 0/20, 4/26, 8/31, 12/28, 18/22, 24/17, 36/14, 48 h/12 °C, Q 5000 K at 23 °C: 41.203 h (ASTM C1074, from memory)."""
    hours, temps = [0, 4, 8, 12, 18, 24, 36, 48], [20, 26, 31, 28, 22, 17, 14, 12]
    ages = equivalent_ages_s(np.array(hours) * HOUR_S, temps, CURVE)

    assert pytest.approx(41.203, rel=1e-3) == ages[-1] / HOUR_S


def test_a_fit_finds_the_curve_its_points_came_from():
    """Calorimetry of a known reaction, also with one per cent of scatter."""
    ages = np.array([4, 6, 8, 12, 18, 24, 48, 72, 168]) * HOUR_S
    exact = fitted_to_heat(list(ages), list(CURVE.degree(ages)), activation_j_mol=41572.0)
    rng = np.random.default_rng(7)
    rough = fitted_to_heat(list(ages), list(np.sort(CURVE.degree(ages) * (1 + 0.01 * rng.normal(size=9)))), activation_j_mol=41572.0)

    assert pytest.approx((0.72, 13.5 * HOUR_S, 0.85), rel=1e-3) == (exact.ultimate, exact.tau_s, exact.beta)
    assert pytest.approx((0.72, 13.5 * HOUR_S, 0.85), rel=0.06) == (rough.ultimate, rough.tau_s, rough.beta)


def test_stretching_a_reaction_delays_it():
    """Twice as slow: the same degree at twice the age."""
    assert pytest.approx(float(CURVE.degree(10 * HOUR_S))) == float(CURVE.rebased(2.0).degree(20 * HOUR_S))


def test_points_that_cannot_be_a_reaction_are_refused():
    """Too few, falling, or a degree past the end."""
    with pytest.raises(OutOfRange, match="three or more"):
        fitted_to_heat([1.0, 2.0], [0.1, 0.2], activation_j_mol=4e4)
    with pytest.raises(OutOfRange, match="rising"):
        fitted_to_heat([1.0, 2.0, 3.0], [0.1, 0.3, 0.2], activation_j_mol=4e4)
    with pytest.raises(OutOfRange, match="not between"):
        CURVE.age_s(0.9)
    with pytest.raises(NotConverged, match="no rising curve"):
        three_parameter_fit(np.array([1.0, 2.0, 3.0]), np.array([3.0, 2.0, 1.0]))
