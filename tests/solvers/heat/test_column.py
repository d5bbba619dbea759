"""Layered heat flow against exact solutions, and the order it converges with.

Exact solutions are those of Carslaw and Jaeger, Conduction of Heat in Solids, 1959 (derived: mathematics).
"""

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.special import erfc

from slabwright.errors import NotConverged, OutOfRange
from slabwright.solvers.heat import Column, Film, Held, Insulated, Layer, conduct
from slabwright.solvers.hydration import Reaction
from slabwright.sources import Basis, Clause, Source

CARSLAW_JAEGER = Source("Carslaw and Jaeger", "Conduction of Heat in Solids, second edition, 1959")
GROUND_TEMPERATURES = Source("ASHRAE Trans. 71", "Earth temperature and thermal diffusivity at selected stations, 1965")
HOUR_S, DAY_S = 3600.0, 86400.0
CONCRETE = {"conductivity_w_mk": 1.5, "heat_capacity_j_m3k": 2350.0 * 1000.0}
REACTION = Reaction(ultimate=0.72, tau_s=13.5 * HOUR_S, beta=0.85, activation_j_mol=45000.0, start_age_s=2700.0)
HEAT_J_M3 = 335.0 * 485e3


@pytest.mark.published(Clause(CARSLAW_JAEGER, "slab, one face held, one insulated", Basis.DERIVED))
def test_a_slab_cooled_on_one_face_follows_the_fourier_series():
    """k 1.5, rho 2350, c 1000, 0.15 m, from 25 to 5 °C: 14.293 °C at the insulated face after 4 h."""
    wall = Column.of(Layer(thickness_m=0.15, n_cells=32, **CONCRETE))

    run = conduct(wall, start_c=25.0, top=Held(5.0), bottom=Insulated(), duration_s=4 * HOUR_S, step_s=60.0)

    assert pytest.approx(14.293, abs=0.005) == run.temp_at(0.15, 4 * HOUR_S)
    m = np.arange(40)
    root = (2 * m + 1) * np.pi / 2
    for depth in (0.03, 0.075, 0.12):
        series = 5 + 20 * np.sum(2 / root * np.sin(root * depth / 0.15) * np.exp(-((root / 0.15) ** 2) * 1.5 / 2.35e6 * 4 * HOUR_S))
        assert pytest.approx(series, abs=0.005) == run.temp_at(depth, 4 * HOUR_S)


@pytest.mark.published(Clause(CARSLAW_JAEGER, "slab with uniform generation", Basis.DERIVED))
def test_steady_generation_leaves_a_parabola():
    """q L^2 / 2k = 800 x 0.15^2 / 3 = 6.0 K between the insulated and the held face; exact at the nodes of any mesh."""
    wall = Column.of(Layer(thickness_m=0.15, n_cells=5, source_w_m3=800.0, **CONCRETE))

    run = conduct(wall, start_c=20.0, top=Held(20.0), bottom=Insulated(), duration_s=20 * DAY_S, step_s=HOUR_S)

    assert pytest.approx(6.0, rel=1e-6) == run.temps_c[-1, -1] - run.temps_c[-1, 0]


def test_steady_layers_are_resistances_in_series():
    """Film, two layers, a contact between them and a held foot: the flow is the difference over the sum of resistances."""
    wall = Column.of(
        Layer(thickness_m=0.2, n_cells=3, **CONCRETE),
        Layer(thickness_m=0.1, conductivity_w_mk=0.04, heat_capacity_j_m3k=5e4, n_cells=4, contact_m2k_w=0.3),
    )

    run = conduct(wall, start_c=10.0, top=Film(8.0, -5.0), bottom=Held(15.0), duration_s=60 * DAY_S, step_s=6 * HOUR_S)
    flow = 20.0 / (1 / 8 + 0.2 / 1.5 + 0.3 + 0.1 / 0.04)

    assert pytest.approx(-5.0 + flow / 8, abs=1e-6) == run.temps_c[-1, 0]
    assert pytest.approx(flow * 0.3, abs=1e-6) == run.temps_c[-1, 4] - run.temps_c[-1, 3]


def deep_soil(n_cells: int = 60) -> Column:
    return Column.of(Layer(thickness_m=2.0, conductivity_w_mk=1.2, heat_capacity_j_m3k=2.0e6, n_cells=n_cells, growth=1.05))


@pytest.mark.published(Clause(CARSLAW_JAEGER, "semi-infinite solid, surface held", Basis.DERIVED))
def test_a_semi_infinite_solid_follows_the_error_function_within_two_parts_in_a_thousand():
    """Face raised by 20 K at nought; erfc(z / 2 sqrt(a t)) to 0.2 % of the rise at every depth and hour."""
    run = conduct(deep_soil(), start_c=10.0, top=Held(30.0), bottom=Insulated(), duration_s=24 * HOUR_S, step_s=300.0)

    for hour in (3, 6, 12, 24):
        exact = 10 + 20 * erfc(run.depths_m / (2 * math.sqrt(0.6e-6 * hour * HOUR_S)))
        assert np.abs(run.temps_c[hour * 12] - exact).max() < 0.002 * 20


@pytest.mark.published(Clause(CARSLAW_JAEGER, "semi-infinite solid, surface film", Basis.DERIVED))
def test_a_semi_infinite_solid_under_a_film_follows_its_solution():
    """erfc(x) - exp(h z/k + h^2 a t/k^2) erfc(x + h sqrt(a t)/k), film 15 W/m2K."""
    run = conduct(deep_soil(), start_c=10.0, top=Film(15.0, 30.0), bottom=Insulated(), duration_s=12 * HOUR_S, step_s=300.0)

    a_t, h_k = 0.6e-6 * 12 * HOUR_S, 15.0 / 1.2
    x = run.depths_m / (2 * math.sqrt(a_t))
    exact = 10 + 20 * (erfc(x) - np.exp(np.minimum(h_k * run.depths_m + h_k**2 * a_t, 600)) * erfc(x + h_k * math.sqrt(a_t)))
    shallow = run.depths_m < 0.6
    assert np.abs(run.temps_c[-1] - exact)[shallow].max() < 0.002 * 20


@pytest.mark.published(Clause(GROUND_TEMPERATURES, "T(z, t), as printed in a cable library's documentation", Basis.QUOTED))
def test_ground_under_a_yearly_wave_follows_the_published_form():
    """Mean 12, amplitude 10, coldest on day 35, a = 5e-7 m2/s: 15.913 °C at 1.2 m on day 200, after four years of run-in."""
    year_s = 365.25 * DAY_S
    soil = Column.of(Layer(thickness_m=16.0, conductivity_w_mk=1.0, heat_capacity_j_m3k=2.0e6, n_cells=80, growth=1.03))

    run = conduct(
        soil,
        start_c=12.0,
        top=Held(lambda t: 12.0 - 10.0 * np.cos(2 * np.pi * (t - 35 * DAY_S) / year_s)),
        bottom=Insulated(),
        duration_s=3 * year_s + 200 * DAY_S,
        step_s=0.5 * DAY_S,
    )

    assert pytest.approx(15.913, abs=0.05) == run.temp_at(1.2, 3 * year_s + 200 * DAY_S)


@pytest.mark.parametrize("step_s", [60.0, 900.0, 3600.0, 6 * 3600.0])
def test_without_heat_flow_the_rise_is_the_heat_of_reaction_whatever_the_step(step_s):
    """Adiabatic limit: C Hu alpha / (rho c) at every record, to the rounding of the machine."""
    block = Column.of(Layer(thickness_m=0.3, reaction_j_m3=HEAT_J_M3, n_cells=6, **CONCRETE))

    run = conduct(block, start_c=20.0, top=Insulated(), bottom=Insulated(), duration_s=96 * HOUR_S, step_s=step_s, reaction=REACTION)
    degree = REACTION.degree(run.ages_s)

    assert np.abs(run.temps_c[:, 0] - 20.0 - HEAT_J_M3 / 2.35e6 * (degree - degree[0])).max() < 1e-5


def hydrating(n_cells: int, step_s: float, reaction: Reaction = REACTION) -> list[float]:
    slab = Column.of(
        Layer(thickness_m=0.15, reaction_j_m3=HEAT_J_M3, softening=0.25, n_cells=n_cells, **CONCRETE),
        Layer(thickness_m=0.6, conductivity_w_mk=1.2, heat_capacity_j_m3k=2e6, n_cells=n_cells),
    )
    air = Film(12.0, lambda t: 15.0 + 8.0 * np.sin(2 * np.pi * t / DAY_S))
    run = conduct(slab, start_c=20.0, top=air, bottom=Held(14.0), duration_s=24 * HOUR_S, step_s=step_s, reaction=reaction)
    return [run.temp_at(depth, hour * HOUR_S) for depth in (0.0, 0.075, 0.15) for hour in (6, 12, 24)]


def test_halving_the_step_quarters_the_error():
    """Second order in time, with reaction, changing conductivity and a moving air temperature."""
    exact = np.array(hydrating(8, 37.5))
    errors = [np.abs(np.array(hydrating(8, step)) - exact).max() for step in (3600.0, 1800.0, 900.0, 450.0)]
    orders = [math.log2(coarse / fine) for coarse, fine in pairwise(errors)]

    assert orders[-1] > 1.8, orders
    assert errors[-1] < 0.005


def test_halving_the_mesh_quarters_the_error():
    """Second order in space."""
    exact = np.array(hydrating(96, 450.0))
    errors = [np.abs(np.array(hydrating(n, 450.0)) - exact).max() for n in (6, 12, 24)]
    orders = [math.log2(coarse / fine) for coarse, fine in pairwise(errors)]

    assert min(orders) > 1.8, orders


def test_the_march_agrees_with_a_general_integrator_on_the_same_chain():
    """SciPy's BDF on the same nodes, written out by hand, to a hundredth of a kelvin through the heat of reaction."""
    slab = Column.of(Layer(thickness_m=0.2, reaction_j_m3=HEAT_J_M3, n_cells=8, **CONCRETE))
    run = conduct(slab, start_c=22.0, top=Film(20.0, 5.0), bottom=Film(1.5, 12.0), duration_s=36 * HOUR_S, step_s=150.0, reaction=REACTION)
    n = slab.depths_m.size

    def slope(_, state):
        temps, ages = state[:n], state[n:]
        pace = REACTION.clock_rate(temps)
        degree = REACTION.degree(ages)
        heat = slab.reaction_j_m2 * degree * REACTION.beta * (REACTION.tau_s / ages) ** REACTION.beta / ages * pace
        heat[1:] += slab.conductance_w_m2k * (temps[:-1] - temps[1:])
        heat[:-1] += slab.conductance_w_m2k * (temps[1:] - temps[:-1])
        heat[0] += 20.0 * (5.0 - temps[0])
        heat[-1] += 1.5 * (12.0 - temps[-1])
        return np.concatenate([heat / slab.capacity_j_m2k, pace])

    start = np.concatenate([np.full(n, 22.0), np.full(n, 2700.0)])
    other = solve_ivp(slope, (0, 36 * HOUR_S), start, method="BDF", rtol=1e-8, atol=1e-8, t_eval=run.times_s[::24])

    assert np.abs(other.y[:n].T - run.temps_c[::24]).max() < 0.01


@settings(max_examples=25, deadline=None)
@given(
    thickness=st.floats(0.05, 1.0),
    film=st.floats(0.5, 60.0),
    air=st.floats(-20.0, 45.0),
    foot=st.floats(0.0, 30.0),
    step=st.floats(30.0, 7200.0),
    n_cells=st.integers(2, 30),
)
def test_the_energy_balance_closes_in_every_run(thickness, film, air, foot, step, n_cells):
    """Stored heat equals what came in and what reacted, to a thousandth; here to a millionth."""
    slab = Column.of(
        Layer(thickness_m=thickness, reaction_j_m3=HEAT_J_M3, softening=0.25, n_cells=n_cells, **CONCRETE),
        Layer(thickness_m=0.5, conductivity_w_mk=0.8, heat_capacity_j_m3k=1.6e6, n_cells=6, contact_m2k_w=0.02, source_w_m3=3.0),
    )

    run = conduct(slab, start_c=20.0, top=Film(film, air), bottom=Held(foot), duration_s=48 * HOUR_S, step_s=step, reaction=REACTION)

    assert run.balance.gap < 1e-6


def test_a_runaway_is_an_error_and_not_an_answer():
    """A source beyond any sense has no temperature; the march says so."""
    block = Column.of(Layer(thickness_m=0.3, source_w_m3=1e15, **CONCRETE))

    with pytest.raises(NotConverged, match="shorten the step"):
        conduct(block, start_c=20.0, top=Insulated(), bottom=Insulated(), duration_s=HOUR_S, step_s=600.0)


def test_layers_without_sense_are_refused():
    """No layer, no thickness, and a reaction below a layer that does not react."""
    with pytest.raises(OutOfRange, match="at least one layer"):
        Column.of()
    with pytest.raises(OutOfRange, match="layer 1"):
        Column.of(Layer(thickness_m=0.0, **CONCRETE))
    with pytest.raises(OutOfRange, match="reacts below"):
        Column.of(Layer(thickness_m=0.1, **CONCRETE), Layer(thickness_m=0.1, reaction_j_m3=1.0, **CONCRETE))
    with pytest.raises(OutOfRange, match="above nought"):
        conduct(deep_soil(), start_c=1.0, top=Held(1.0), bottom=Insulated(), duration_s=-1.0, step_s=1.0)
