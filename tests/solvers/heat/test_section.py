"""Heat flow through a section: against layers, the product solution of a bar, and an energy balance."""

import math
from itertools import pairwise

import numpy as np
import pytest

from slabwright.errors import OutOfRange
from slabwright.solvers.heat import Column, Film, Held, Layer, conduct
from slabwright.solvers.heat.section import VOID, Exposure, Material, Section, conduct_section
from slabwright.solvers.hydration import Reaction
from slabwright.sources import Basis, Clause, Source

CARSLAW_JAEGER = Source("Carslaw and Jaeger", "Conduction of Heat in Solids, second edition, 1959")
HOUR_S = 3600.0
REACTION = Reaction(ultimate=0.72, tau_s=13.5 * HOUR_S, beta=0.85, activation_j_mol=45000.0, start_age_s=2700.0)
CONCRETE = Material(conductivity_w_mk=2.0, heat_capacity_j_m3k=2.4e6, reaction_j_m3=335 * 485e3, softening=0.25)
STONE = Material(conductivity_w_mk=1.5, heat_capacity_j_m3k=2.35e6)
SOIL = Material(conductivity_w_mk=1.2, heat_capacity_j_m3k=2.0e6)
COLD = Film(1e6, 0.0)


def bar(n: int) -> Section:
    lines = np.linspace(0.0, 0.3, n + 1)
    return Section(x_m=lines, y_m=lines, material=np.zeros((n, n), dtype=np.int64), materials=(STONE,))


def held_bar(n: int, step_s: float):
    """All four faces at 0 °C from 20: top by exposure, sides by voids beside, bottom held."""
    side = np.linspace(0.0, 0.3, n + 1)
    lines = np.concatenate([[-0.1], side, [0.4]])
    material = np.full((n, n + 2), 0, dtype=np.int64)
    material[:, [0, -1]] = VOID
    section = Section(x_m=lines, y_m=side, material=material, materials=(STONE,))
    faces = [Exposure(film=COLD, up=True, materials=(0,)), Exposure(film=COLD, up=False, materials=(0,))]
    return conduct_section(section, start_c=20.0, exposures=faces, bottom_c=0.0, duration_s=2 * HOUR_S, step_s=step_s)


@pytest.mark.published(Clause(CARSLAW_JAEGER, "product solutions, rectangle", Basis.DERIVED))
def test_a_square_bar_cools_as_the_product_of_two_slabs():
    """Centre of a 0.3 m bar after 2 h: square of the slab series; error falls fourfold as the mesh is halved."""
    m = np.arange(30)
    root = (2 * m + 1) * np.pi
    slab = np.sum(4 / root * (-1.0) ** m * np.exp(-((root / 0.3) ** 2) * 1.5 / 2.35e6 * 2 * HOUR_S))
    exact = 20 * slab**2
    errors = [abs(held_bar(n, 60.0).temps_c[-1, n // 2, n // 2 + 1] - exact) for n in (9, 27, 81)]

    assert errors[-1] < 0.01
    assert all(math.log(coarse / fine, 3) > 1.8 for coarse, fine in pairwise(errors)), errors


def layered(step_s: float):
    depths = np.concatenate([np.linspace(0, 0.15, 31), 0.15 + np.linspace(0, 0.8, 41)[1:]])
    material = np.repeat((np.arange(70) >= 30).astype(np.int64)[:, None], 3, axis=1)
    section = Section(x_m=np.array([0.0, 0.2, 0.5, 0.6]), y_m=depths, material=material, materials=(CONCRETE, SOIL))
    air = Film(15.0, lambda t: 10.0 + 6.0 * np.sin(2 * np.pi * t / 86400))
    faces = [Exposure(film=air, up=True, materials=(0,))]
    run = conduct_section(section, start_c=20.0, exposures=faces, bottom_c=12.0, duration_s=24 * HOUR_S, step_s=step_s, reaction=REACTION)
    return run, air


def test_a_section_of_layers_gives_what_the_layers_give():
    """Reaction, changing conductivity, film and soil: within 0.03 K of the chain of nodes, the same in every column."""
    run, air = layered(600.0)
    column = Column.of(
        Layer(thickness_m=0.15, conductivity_w_mk=2.0, heat_capacity_j_m3k=2.4e6, reaction_j_m3=335 * 485e3, softening=0.25, n_cells=30),
        Layer(thickness_m=0.8, conductivity_w_mk=1.2, heat_capacity_j_m3k=2e6, n_cells=40),
    )
    other = conduct(column, start_c=20.0, top=air, bottom=Held(12.0), duration_s=24 * HOUR_S, step_s=600.0, reaction=REACTION)

    for hour in (6, 12, 24):
        row = run.temps_c[hour * 6, 14]
        assert np.ptp(row) < 1e-6
        assert pytest.approx(other.temp_at(0.0725, hour * HOUR_S), abs=0.03) == row[0]


def test_the_balance_of_a_section_closes():
    """To a millionth, with a reaction, films on two orientations and a held bottom."""
    material = np.zeros((12, 10), dtype=np.int64)
    material[:6, :3] = VOID
    material[6:] = 1
    section = Section(x_m=np.linspace(0, 1, 11), y_m=np.linspace(0, 1.2, 13), material=material, materials=(CONCRETE, SOIL))
    faces = [
        Exposure(film=Film(18.0, 3.0), up=True, materials=(0,)),
        Exposure(film=Film(9.0, 3.0), up=False, materials=(0,)),
        Exposure(film=Film(18.0, 3.0), up=True, materials=(1,)),
    ]
    run = conduct_section(section, start_c=15.0, exposures=faces, bottom_c=9.0, duration_s=30 * HOUR_S, step_s=900.0, reaction=REACTION)

    assert run.balance.gap < 1e-5
    assert np.isnan(run.temps_c[-1, 0, 0])
    assert run.balance.reacted_j_m2 > 0 > run.balance.top_j_m2


def test_nothing_exposed_is_adiabatic():
    """No exposure and no held bottom: the rise is the heat of reaction."""
    section = Section(x_m=np.linspace(0, 1, 4), y_m=np.linspace(0, 1, 4), material=np.zeros((3, 3), dtype=np.int64), materials=(CONCRETE,))
    run = conduct_section(section, start_c=20.0, exposures=[], bottom_c=None, duration_s=48 * HOUR_S, step_s=1800.0, reaction=REACTION)
    rise = 335 * 485e3 / 2.4e6 * (REACTION.degree(run.ages_s[-1]) - REACTION.degree(2700.0))

    assert np.abs(run.temps_c[-1] - 20.0 - rise).max() < 1e-4


def test_a_grid_that_does_not_fit_is_refused():
    """Shape, order, emptiness."""
    with pytest.raises(OutOfRange, match="rising grid lines"):
        Section(x_m=np.array([0.0, 1.0]), y_m=np.array([0.0, 1.0]), material=np.zeros((2, 2), dtype=np.int64), materials=(STONE,))
    with pytest.raises(OutOfRange, match="at least one"):
        Section(x_m=np.array([0.0, 1.0]), y_m=np.array([0.0, 1.0]), material=np.full((1, 1), VOID), materials=(STONE,))
