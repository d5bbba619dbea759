"""Beam on springs against closed forms and statics."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slabwright.errors import Mechanism, OutOfRange
from slabwright.solvers.elastic_beam import elastic_beam

# Hetényi 1946, closed forms: 16 x 12 in. strip, E 3,122,019 psi, 100 pci, 6,000 lb (units in, lb)
E_I, SPRING, LOAD, LAMBDA = 3122019.0 * 2304, 1600.0, 6000.0, 0.0153563


def test_a_long_beam_under_a_point_load():
    """y0 = P lambda/2k and M0 = P/4lambda in the middle of a long beam."""
    beam = elastic_beam(length=16 / LAMBDA, stiffness=E_I, spring=SPRING, points=[(8 / LAMBDA, LOAD)], lifts=False)
    middle = int(np.argmax(beam.deflection))

    assert pytest.approx(0.028793, rel=2e-4) == beam.deflection[middle]
    assert pytest.approx(97680, rel=2e-4) == beam.moment[middle]


def test_a_long_beam_loaded_at_its_end():
    """y = 2P lambda/k; greatest moment 0.3224 P/lambda at pi/4lambda, stretching the top."""
    beam = elastic_beam(length=10 / LAMBDA, stiffness=E_I, spring=SPRING, points=[(0.0, LOAD)], lifts=False, n_elements=600)

    assert pytest.approx(0.11517, rel=2e-4) == beam.deflection[0]
    assert pytest.approx(-125967, rel=5e-4) == beam.moment.min()
    assert pytest.approx(51.145, abs=1.1) == beam.x[beam.moment.argmin()]


def test_a_stiff_beam_over_a_gap_spans_as_between_its_reactions():
    """Very stiff beam on weak springs: reaction even on both parts, so M in the middle follows from statics.

    10 m, gap 4 m, load 1 kN/m: 10 kN on 6 m of springs; M = 5*3.5 - 5*2.5 = 5 kN·m (R at the middle of 3 m less half load).
    """
    beam = elastic_beam(length=10.0, stiffness=1e9, spring=1e4, uniform=1000.0, gaps=[(3.0, 7.0)])

    assert pytest.approx(5000.0 * 3.5 - 5000.0 * 2.5, rel=1e-3) == beam.moment.max()


def test_a_beam_over_a_gap_in_stiff_ground_is_nearly_built_in():
    """Bonded springs stiff enough to clamp: span moment near w L²/24, support moment near w L²/12."""
    beam = elastic_beam(length=6.0, stiffness=1e6, spring=1e13, uniform=1000.0, gaps=[(2.0, 4.0)], n_elements=2400, lifts=False)

    assert pytest.approx(1000 * 4 / 24, rel=0.1) == beam.moment.max()
    assert pytest.approx(-1000 * 4 / 12, rel=0.1) == beam.moment.min()


@settings(max_examples=40, deadline=None)
@given(st.floats(0.05, 0.95), st.floats(1e3, 1e6), st.floats(0.0, 5e3), st.floats(0.0, 0.6))
def test_the_ground_carries_all_the_load(place, force, uniform, gap):
    """Vertical equilibrium with springs that let go, a gap in the middle, and no moment at the free ends."""
    middle = (3.0 - 3.0 * gap, 3.0 + 3.0 * gap)
    beam = elastic_beam(
        length=6.0, stiffness=5e6, spring=2e7, uniform=uniform, points=[(6.0 * place, force)], gaps=[middle], n_elements=480
    )
    scale = np.abs(beam.moment).max() + 1e-9
    step = np.diff(beam.x)
    mean = (beam.deflection[1:] + beam.deflection[:-1]) / 2
    carried = np.sum(2e7 * mean * step * beam.contact)

    assert pytest.approx(force + 6 * uniform, rel=5e-3) == carried
    assert abs(beam.moment[0]) + abs(beam.moment[-1]) < 1e-6 * scale


def test_a_beam_over_nothing_is_a_mechanism():
    with pytest.raises(Mechanism):
        elastic_beam(length=4.0, stiffness=1e6, spring=1e6, uniform=1.0, gaps=[(-1.0, 5.0)])


def test_a_beam_without_stiffness_is_refused():
    with pytest.raises(OutOfRange):
        elastic_beam(length=4.0, stiffness=0.0, spring=1e6)
