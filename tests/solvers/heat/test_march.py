"""The weather side of the march: film, sky, vapour, covers and their events, water; against balances worked by hand."""

import numpy as np
import pytest
from scipy.optimize import brentq

from slabwright.solvers.heat import Balance, Column, Layer
from slabwright.solvers.heat.column import carry
from slabwright.solvers.heat.data import Channel, Kind, Members, Outside, Phases
from slabwright.solvers.heat.march import saturation_pa
from slabwright.solvers.hydration import Reaction

HOUR_S = 3600.0
REACTION = Reaction(ultimate=0.74, tau_s=15.3 * HOUR_S, beta=0.66, activation_j_mol=45000.0, start_age_s=2700.0)
SLAB = Column.of(
    Layer(thickness_m=0.127, conductivity_w_mk=2.1, heat_capacity_j_m3k=2.4e6, reaction_j_m3=335 * 485e3, softening=0.25, n_cells=8)
)


def outside(**what):
    """Still, dark and dry unless said otherwise; numbers become constant tables."""
    names = ("air_c", "film", "sky_c", "sun", "transfer", "vapour_pa", "foot_c", "foot_film")
    tables = [np.atleast_2d(np.asarray(what.get(name, 0.0), dtype=float)) for name in names]
    return Outside(HOUR_S, *tables, Kind.EXCHANGE, Kind.INSULATED)


def members(n=1, reaction=REACTION, **what):
    one = np.ones(n)
    return Members(
        np.zeros(n, dtype=np.int64), what.get("start_s", 0.0) * one, reaction.ultimate * one, reaction.tau_s * one, reaction.beta * one,
        reaction.activation_k * one, reaction.reference_k * one, reaction.start_age_s * one, one,
        what.get("bleed", 0.0) / HOUR_S * one, what.get("bleed_total", 0.0) * one, what.get("bleed_end", 1.0) * one,
        what.get("skin", 0.5) * one,
    )  # fmt: skip


def phases(*rows, n=1):
    """Rows of (start, degree, resistance, absorptivity, emissivity, wetness)."""
    table = np.array(rows, dtype=float)
    return Phases(np.tile(table[:, 0], (n, 1)), *[np.ascontiguousarray(table[:, k]) for k in range(1, 6)])


BARE = (0.0, np.inf, 0.0, 0.6, 0.9, 1.0)
INERT = Reaction(ultimate=0.0, tau_s=1.0, beta=1.0, activation_j_mol=0.0)


def run(weather, covers, hours=48.0, step_s=600.0, start_c=20.0, column=SLAB, **what):
    n_steps = round(hours * HOUR_S / step_s)
    return carry(column.chain(start_c), members(**what), weather, covers, n_steps=n_steps, step_s=step_s)


def test_a_bare_body_under_a_dark_sky_comes_to_the_sky():
    """No air, no reaction: at rest the long waves balance, surface at sky temperature (Stefan-Boltzmann)."""
    records = run(outside(sky_c=-15.0), phases(BARE), hours=3000.0, step_s=HOUR_S, reaction=INERT)

    assert pytest.approx(-15.0, abs=1e-3) == records.channels[0, -1, Channel.TOP]


def test_sun_air_and_sky_balance_at_the_surface():
    """0.6 x 500 W/m2 against film 12 to 15 °C and emissivity 0.9 to a sky of 0 °C, solved by bisection."""
    records = run(outside(air_c=15.0, film=12.0, sky_c=0.0, sun=500.0), phases(BARE), hours=400.0, reaction=INERT)
    rest = brentq(lambda t: 300 - 12 * (t - 15) - 0.9 * 5.670374e-8 * ((t + 273.15) ** 4 - 273.15**4), -20, 80)

    assert pytest.approx(rest, abs=1e-4) == records.channels[0, -1, Channel.TOP]


def test_a_cover_stands_between_surface_and_sky():
    """Steady source of 30 W/m2 leaves through 0.7 m2K/W: surface above the cover's face by 21 K, face by its own balance."""
    column = Column.of(Layer(thickness_m=0.1, conductivity_w_mk=2.0, heat_capacity_j_m3k=2e6, source_w_m3=300.0, n_cells=4))
    covers = phases((0.0, np.inf, 0.7, 0.0, 0.9, 0.0))
    records = run(outside(air_c=-5.0, film=15.0, sky_c=-20.0), covers, hours=1500.0, step_s=HOUR_S, column=column, reaction=INERT)
    face = brentq(lambda t: 30 - 15 * (t + 5) - 0.9 * 5.670374e-8 * ((t + 273.15) ** 4 - 253.15**4), -40, 40)

    assert pytest.approx(face + 21.0, abs=1e-3) == records.channels[0, -1, Channel.TOP]


def test_a_wet_surface_comes_to_the_temperature_where_vapour_takes_what_air_brings():
    """Film 10 W/m2K, transfer 6.5e-8 kg/m2sPa, air 30 °C at 30 %: the wet-bulb balance solved by bisection."""
    vapour = 0.3 * saturation_pa(30.0)
    weather = outside(air_c=30.0, film=10.0, sky_c=30.0, transfer=6.5e-8, vapour_pa=vapour)
    records = run(weather, phases((0.0, np.inf, 0.0, 0.0, 0.0, 1.0)), hours=300.0, reaction=INERT, bleed=2.0, bleed_total=1e9)
    rest = brentq(lambda t: 10 * (30 - t) - 2.45e6 * 6.5e-8 * (saturation_pa(t) - vapour), 0, 30)

    assert pytest.approx(rest, abs=1e-3) == records.channels[0, -1, Channel.TOP]


def test_water_on_the_surface_is_what_bled_less_what_was_lost():
    """Mass balance to rounding, also after the bleed has run out and the skin has dried."""
    weather = outside(air_c=30.0, film=20.0, sky_c=10.0, transfer=1.5e-7, vapour_pa=1200.0)
    records = run(weather, phases(BARE), hours=24.0, bleed=0.4, bleed_total=1.1)
    water, lost = records.channels[0, -1, Channel.WATER], records.channels[0, -1, Channel.LOST]

    assert pytest.approx(1.1, abs=1e-9) == water + lost
    assert records.channels[0, 6, Channel.WATER] > records.channels[0, 30, Channel.WATER]
    # skin 0.5: the further it dries the slower it goes, to a thirtieth of the wet rate after a loss of 1.7
    assert -2.2 < water < -1.0
    assert Balance.of(records.balance[0]).gap < 1e-5


def test_dew_falls_on_a_surface_colder_than_the_dew_point():
    """Vapour pressure above saturation at the surface: water gains, though the surface may not evaporate."""
    weather = outside(air_c=20.0, film=1.0, sky_c=0.0, transfer=5e-8, vapour_pa=2200.0)
    records = run(weather, phases((0.0, np.inf, 0.0, 0.0, 0.9, 0.0)), hours=3.0, start_c=5.0, reaction=INERT)

    assert records.channels[0, -1, Channel.WATER] > 0.05


def cured_at(start_s, degree, step_s):
    weather = outside(air_c=22.0, film=18.0, sky_c=8.0, sun=300.0, transfer=1.2e-7, vapour_pa=1100.0)
    covers = phases(BARE, (start_s, degree, 0.5, 0.5, 0.9, 0.05))
    return run(weather, covers, hours=24.0, step_s=step_s, bleed=0.6, bleed_total=1.0)


def test_a_cover_laid_inside_a_step_splits_it():
    """At 5 h 23 min with steps of 20 min: as with steps of one minute that end there, within 0.05 K."""
    coarse, fine = cured_at(5.3833333 * HOUR_S, np.inf, 1200.0), cured_at(5.3833333 * HOUR_S, np.inf, 60.0)

    assert pytest.approx(5.3833333 * HOUR_S, abs=1e-3) == coarse.switched_s[0, 1]
    assert np.abs(coarse.channels[0, 18:, Channel.MIDDLE] - fine.channels[0, 360::20, Channel.MIDDLE]).max() < 0.05


def test_a_cover_laid_at_a_degree_of_reaction_is_laid_when_that_is_reached():
    """The moment is found to a few seconds whatever the step, and the age then is the age of that degree."""
    coarse, fine = cured_at(np.inf, 0.13, 1200.0), cured_at(np.inf, 0.13, 30.0)

    assert pytest.approx(fine.switched_s[0, 1], abs=20.0) == coarse.switched_s[0, 1]
    ages = np.interp(coarse.switched_s[0, 1], np.arange(0, 24 * HOUR_S + 1, 30.0), fine.channels[0, :, Channel.AGE_MIDDLE])
    assert pytest.approx(REACTION.age_s(0.13), rel=2e-3) == ages
    assert np.abs(coarse.channels[0, 24:, Channel.MIDDLE] - fine.channels[0, 960::40, Channel.MIDDLE]).max() < 0.1


def test_mean_and_linear_part_describe_a_linear_profile_fully():
    """A straight profile from 30 on top to 10 below has mean 20 and a linear part of 10 at the top."""
    column = Column.of(Layer(thickness_m=0.2, conductivity_w_mk=2.0, heat_capacity_j_m3k=2e6, reaction_j_m3=1.0, n_cells=10))
    records = run(outside(), phases(BARE), hours=1.0, start_c=30.0 - 100.0 * column.depths_m, column=column)

    assert pytest.approx(20.0) == records.channels[0, 0, Channel.MEAN]
    assert pytest.approx(10.0) == records.channels[0, 0, Channel.LINEAR]


def test_members_do_not_know_of_each_other():
    """A batch over the cores gives what each member gives alone."""
    weather = outside(air_c=np.linspace(10, 30, 49), film=15.0, sky_c=5.0, transfer=1e-7, vapour_pa=1000.0)
    covers = phases(BARE, (np.inf, 0.13, 0.0, 0.5, 0.9, 0.05), n=50)
    batch = members(50, bleed=0.5, bleed_total=1.0)._replace(start_s=np.arange(50) * 1800.0)
    together = carry(SLAB.chain(20.0), batch, weather, covers, n_steps=72, step_s=1200.0)
    one = members(bleed=0.5, bleed_total=1.0, start_s=37 * 1800.0)
    alone = carry(SLAB.chain(20.0), one, weather, covers._replace(start_s=covers.start_s[:1]), n_steps=72, step_s=1200.0)

    assert np.array_equal(alone.channels[0], together.channels[37])
