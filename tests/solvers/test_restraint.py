"""Restrained stress: the elastic limits by hand, the split into parts, superposition of creep."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slabwright.errors import OutOfRange
from slabwright.solvers.restraint import Creep, FreeStrain, restrained_stress
from slabwright.sources import Basis, Clause, Source, arithmetic
from slabwright.units import INCH_M, PSI_PA

CURLING = Clause(
    Source("Westergaard 1927", "Analysis of stresses in concrete pavements due to variations of temperature, 1927"), "", Basis.MEMORY
)
CREEP_209 = Creep(ultimate=2.35 * 1.25 * (1.27 - 0.0067 * 50))


def uniform(*strains):
    part = np.array([strains], dtype=float)
    return FreeStrain(axial=part, curl=0 * part, residual=0 * part)


@pytest.mark.published(arithmetic("sigma = E alpha dT, biaxial over 1 - nu"))
def test_full_restraint_of_a_uniform_drop():
    """E 2,000,000 psi, alpha 5.5e-6/°F, drop 20 °F: 220 psi one way, 265.06 psi both ways at nu 0.17."""
    free = uniform(0.0, -5.5e-6 * 20)
    one_way = restrained_stress([0.0, 3600.0], free, 2e6 * PSI_PA).axial_pa[0, -1]
    both_ways = restrained_stress([0.0, 3600.0], free, 2e6 * PSI_PA, poisson=0.17).axial_pa[0, -1]

    assert pytest.approx(220.0 * PSI_PA, rel=1e-6) == one_way
    assert pytest.approx(265.06 * PSI_PA, rel=1e-4) == both_ways


@pytest.mark.published(CURLING)
def test_full_restraint_of_a_linear_difference():
    """E 3,600,000 psi, 5.5e-6/°F, top 10 °F colder than bottom: interior 116.47 psi at nu 0.15, edge 99.0 psi."""
    depths = np.linspace(0.0, 6 * INCH_M, 25)
    profile = 5.5e-6 * np.array([np.zeros(25), np.linspace(-10.0, 0.0, 25) + 5.0])
    free = FreeStrain.of_profile(depths, profile)
    interior = restrained_stress([0.0, 3600.0], free, 3.6e6 * PSI_PA, poisson=0.15)
    edge = restrained_stress([0.0, 3600.0], free, 3.6e6 * PSI_PA)

    assert pytest.approx(116.47 * PSI_PA, rel=1e-4) == interior.curl_pa[0, -1]
    assert pytest.approx(99.0 * PSI_PA, rel=1e-4) == edge.curl_pa[0, -1]
    assert pytest.approx(0.0, abs=1e-6 * PSI_PA) == edge.axial_pa[0, -1]
    assert abs(edge.self_equilibrating_pa[0, -1]) < 1e-6 * PSI_PA


def test_a_parabola_splits_into_mean_line_and_remainder():
    """-(z/h)^2 from the bottom: mean -1/3, line -1/2 at the top, remainder -1/6: integrals by hand."""
    depths = np.linspace(0.0, 1.0, 401)
    free = FreeStrain.of_profile(depths, -((1.0 - depths) ** 2))

    assert pytest.approx(-1 / 3, abs=1e-5) == free.axial[0, 0]
    assert pytest.approx(-1 / 2, abs=1e-4) == free.curl[0, 0]
    assert pytest.approx(-1 / 6, abs=1e-4) == free.residual[0, 0]


@settings(max_examples=30, deadline=None)
@given(st.lists(st.floats(-1e-3, 1e-3), min_size=3, max_size=12))
def test_the_parts_add_up_to_the_free_strain_of_the_top(strains):
    """Whatever the profile."""
    free = FreeStrain.of_profile(np.arange(len(strains)), strains)

    assert pytest.approx(strains[0], abs=1e-12) == free.axial[0, 0] + free.curl[0, 0] + free.residual[0, 0]


def test_a_single_step_of_strain_relaxes_as_the_creep_law_says():
    """Loaded at one day: sigma = E eps / (1 + phi), phi 0.2497, 0.4449, 1.1666 after 1, 3 and 28 days (ACI 209R-92, quoted)."""
    n = 24 * 29 * 2
    times = np.arange(n + 1) * 1800.0
    strain = np.zeros((1, n + 1))
    strain[0, 49:] = -1e-4
    free = FreeStrain(axial=strain, curl=0 * strain, residual=0 * strain)
    stress = restrained_stress(times, free, 20e9, creep=CREEP_209).axial_pa[0]

    for days, phi in ((1, 0.24969), (3, 0.44494), (28, 1.1666)):
        assert pytest.approx(2e6 / (1 + phi), rel=0.01) == stress[48 + 48 * days]


def test_stiffness_is_met_in_the_middle_of_its_interval():
    """Modulus and strain both growing with time: the integral of E de, 1/2 at the end, exact for straight lines."""
    line = np.linspace(0, 1, 11)[None, :]
    free = FreeStrain(axial=-line, curl=0 * line, residual=0 * line)

    assert pytest.approx(0.5) == restrained_stress(np.arange(11.0), free, line).axial_pa[0, -1]


def test_nothing_counts_before_the_start():
    """Zero stress at set: strain before record 2 leaves none, and each member has its own."""
    free = FreeStrain(axial=np.array([[0.0, -1.0, -2.0, -3.0]] * 2), curl=np.zeros((2, 4)), residual=np.zeros((2, 4)))
    stress = restrained_stress(np.arange(4.0), free, 1.0, start=np.array([2, 0])).axial_pa

    assert [0.0, 0.0, 0.0, 1.0] == stress[0].tolist()
    assert [0.0, 1.0, 2.0, 3.0] == stress[1].tolist()


def test_the_band_runs_from_friction_through_anchored_to_fixed():
    """Axial 100, curl 30, rest 5, drag 20.8: floating 55.8, anchored at 40 % 75, fixed 135; a weak slab never passes fixed."""
    part = np.array([[0.0, 1.0]])
    stress = restrained_stress([0.0, 1.0], FreeStrain(axial=-100 * part, curl=-30 * part, residual=-5 * part), 1.0)

    assert pytest.approx(55.8) == stress.at(held=0.0, friction_pa=20.8)[0, -1]
    assert pytest.approx(75.0) == stress.at(held=0.4, friction_pa=20.8)[0, -1]
    assert pytest.approx(135.0) == stress.at(held=1.0, friction_pa=20.8)[0, -1]
    assert pytest.approx(135.0) == stress.at(held=0.0, friction_pa=1000.0)[0, -1]


def test_times_that_do_not_rise_are_refused():
    """And unequal ones where creep needs lags."""
    with pytest.raises(OutOfRange, match="must rise"):
        restrained_stress([0.0, 0.0], uniform(0, 1), 1.0)
    with pytest.raises(OutOfRange, match="equally spaced"):
        restrained_stress([0.0, 1.0, 3.0], uniform(0, 1, 2), 1.0, creep=CREEP_209)
    with pytest.raises(OutOfRange, match="two or more depths"):
        FreeStrain.of_profile([0.0], [1.0])
