"""Many members of one zone carried from placing through the first days: temperature, set and strength by the hour."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slabwright.early_age.concrete import Concrete
from slabwright.early_age.drivers import HOUR_S, Drivers
from slabwright.early_age.zones import Ground, Zone, start_temps
from slabwright.solvers.heat.column import Balance, carry
from slabwright.solvers.heat.data import Channel, Members, Phases
from slabwright.sources import practice
from slabwright.standards.sky_and_sun import ABSORPTIVITY_GREY, ABSORPTIVITY_WHITE, EMISSIVITY

Floats = NDArray[np.float64]
MIX_SCATTER = practice(
    "scatter between members: rate of hydration 12 %, activation energy 8 %, heat 5 %, conductivity 10 %, absorbed sun 12 %, "
    "strength 12 %, tension 12 %, creep 25 %, expansion 10 %"
)
CURED_WETNESS = 0.05
SKIN_KG_M2 = 0.5
SURFACE_DRYING = practice(
    "an uncured surface dries to a third of its free evaporation after losing 0.5 kg/m² of its own water; compound lets 5 % through"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cover:
    """What lies on the surface from a moment on.

    Attributes
    ----------
    from_h : float or None
        Hours after the zone was placed; None begins at final set. [h]
    resistance_m2k_w : float
        [m²K/W]
    absorptivity, wetness : float
        Of the sun; share of free evaporation. [-]
    """

    from_h: float | None
    resistance_m2k_w: float = 0.0
    absorptivity: float = ABSORPTIVITY_WHITE
    wetness: float = CURED_WETNESS


BARE = Cover(from_h=0.0, absorptivity=ABSORPTIVITY_GREY, wetness=1.0)
COMPOUND_AT_SET = Cover(from_h=None)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Scatter:
    """Factors of each member on what is not known; the first member has all ones. Arrays (n_members)."""

    rate: Floats
    activation: Floats
    heat: Floats
    conductivity: Floats
    sun: Floats
    strength: Floats
    tension: Floats
    creep: Floats
    expansion: Floats

    @classmethod
    def drawn(cls, n_members: int, rng: np.random.Generator) -> "Scatter":
        """Log-normal factors."""

        def around(spread: float) -> Floats:
            factors = np.exp(spread * rng.normal(size=n_members))
            factors[0] = 1.0
            return factors

        return cls(
            rate=around(0.12), activation=around(0.08), heat=around(0.05), conductivity=around(0.10), sun=around(0.12),
            strength=around(0.12), tension=around(0.12), creep=around(0.25), expansion=around(0.10),
        )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class History:
    """What becomes of one zone; arrays (n_members, n_times) unless said.

    Attributes
    ----------
    zone : Zone
    concrete : Concrete
    scatter : Scatter
    placed_h : array (n_members)
        Hours from the start of the weather. [h]
    times_h : array (n_times)
        After placing. [h]
    top_c, middle_c, bottom_c, mean_c, linear_k : array
        Temperatures; the linear part is the top's share of a straight line through the depth.
    top_age_s, middle_age_s : array
        Equivalent ages of the reaction. [s]
    water_kg_m2, lost_kg_m2 : array
        On the surface (negative: drawn from it), and evaporated. [kg/m²]
    initial_set_h, final_set_h, covered_h : array (n_members)
        After placing; not a number where not reached. [h]
    gap : float
        Largest fraction by which a member's energy balance fails to close.
    """

    zone: Zone
    concrete: Concrete
    scatter: Scatter
    placed_h: Floats
    times_h: Floats
    top_c: Floats
    middle_c: Floats
    bottom_c: Floats
    mean_c: Floats
    linear_k: Floats
    top_age_s: Floats
    middle_age_s: Floats
    water_kg_m2: Floats
    lost_kg_m2: Floats
    initial_set_h: Floats
    final_set_h: Floats
    covered_h: Floats
    gap: float

    @property
    def top_strength_pa(self) -> Floats:
        """Compressive strength of the surface. [Pa]"""
        return np.asarray(self.scatter.strength[:, None] * self.concrete.strength_pa(self.top_age_s))

    @property
    def middle_strength_pa(self) -> Floats:
        """Compressive strength at mid-depth. [Pa]"""
        return np.asarray(self.scatter.strength[:, None] * self.concrete.strength_pa(self.middle_age_s))

    def when(self, values: Floats, reached: float) -> Floats:
        """Hours after placing at which rising values first reach a level, per member; not a number where never. [h]"""
        return crossing(self.times_h, values, reached)


def crossing(times: Floats, values: Floats, level: float) -> Floats:
    """First time each row passes a level upward, by straight lines; not a number where never."""
    above = values >= level
    first = above.argmax(axis=1)
    found = np.full(values.shape[0], np.nan)
    for row in np.flatnonzero(above.any(axis=1)):
        i = int(first[row])
        if i == 0:
            found[row] = times[0]
        else:
            low, high = values[row, i - 1], values[row, i]
            found[row] = times[i - 1] + (times[i] - times[i - 1]) * (level - low) / (high - low)
    return found


def simulate(
    zone: Zone,
    concrete: Concrete,
    drivers: Drivers,
    ground: Ground,
    *,
    placed_h: Floats,
    concrete_c: Floats,
    scatter: Scatter,
    courses: NDArray[np.int64],
    covers: Sequence[Cover] = (BARE, COMPOUND_AT_SET),
    cover_from_h: Floats | None = None,
    hours: float = 72.0,
    step_s: float = 900.0,
    every: int = 2,
    n_cells: int = 10,
) -> History:
    """Carry every member of a zone.

    Parameters
    ----------
    zone, concrete, drivers, ground
        What lies where, in which weather.
    placed_h : array (n_members)
        Hours from the start of the weather. [h]
    concrete_c : array (n_members)
        As placed. [°C]
    scatter : Scatter
    courses : int array (n_members)
        Course of the weather that each meets.
    covers : sequence of Cover
        In order; the first lies from the start.
    cover_from_h : array (n_members, n_covers), optional
        Moments in place of those of ``covers``, hours after placing, infinite where the degree decides. [h]
    hours, step_s, every, n_cells
        Length, step, steps between records, cells in the concrete.

    Raises
    ------
    NotConverged
        If a step finds no temperature.
    """
    n = placed_h.size
    column = zone.column(concrete, n_cells)
    starts = np.array([start_temps(zone, column, float(c), ground, float(h)) for h, c in zip(placed_h, concrete_c, strict=True)])
    one = np.ones(n)
    reaction = concrete.reaction
    members = Members(
        courses, HOUR_S * placed_h, reaction.ultimate * one, reaction.tau_s * scatter.rate, reaction.beta * one,
        reaction.activation_k * scatter.activation, reaction.reference_k * one, reaction.start_age_s * one, scatter.sun,
        concrete.bleed_kg_m2_h / HOUR_S * one, 1000.0 * concrete.bleed_share * zone.depth_m * one, concrete.initial_set * one,
        SKIN_KG_M2 * one,
    )  # fmt: skip
    chain = column.chain(0.0)
    chain = chain._replace(
        start_c=starts,
        capacity=np.repeat(chain.capacity, n, axis=0),
        conductance=chain.conductance * scatter.conductivity[:, None],
        reaction=chain.reaction * scatter.heat[:, None],
        source=np.repeat(chain.source, n, axis=0),
    )
    phases = _phases(covers, cover_from_h, concrete, n)
    records = carry(
        chain, members, drivers.outside(ground.deep_c), phases, n_steps=round(hours * HOUR_S / step_s), step_s=step_s, every=every
    )
    return _history(zone, concrete, scatter, placed_h, records.channels, records.switched_s, records.balance, every * step_s)


def _phases(covers: Sequence[Cover], from_h: Floats | None, concrete: Concrete, n: int) -> Phases:
    at = np.array([[np.inf if cover.from_h is None else cover.from_h for cover in covers]]) if from_h is None else from_h
    return Phases(
        np.ascontiguousarray(np.broadcast_to(HOUR_S * at, (n, len(covers)))),
        np.array([concrete.final_set if cover.from_h is None else np.inf for cover in covers]),
        np.array([cover.resistance_m2k_w for cover in covers]),
        np.array([cover.absorptivity for cover in covers]),
        np.full(len(covers), EMISSIVITY),
        np.array([cover.wetness for cover in covers]),
    )


def _history(
    zone: Zone, concrete: Concrete, scatter: Scatter, placed_h: Floats, channels: Floats, switched_s: Floats, balance: Floats, gap_s: float
) -> History:
    times = np.arange(channels.shape[1], dtype=np.float64) * float(gap_s / HOUR_S)
    middle_age = channels[:, :, Channel.AGE_MIDDLE]
    # members whose reaction is stretched reach a degree at a stretched age
    age = middle_age / scatter.rate[:, None]
    return History(
        zone=zone,
        concrete=concrete,
        scatter=scatter,
        placed_h=placed_h,
        times_h=times,
        top_c=channels[:, :, Channel.TOP],
        middle_c=channels[:, :, Channel.MIDDLE],
        bottom_c=channels[:, :, Channel.BOTTOM],
        mean_c=channels[:, :, Channel.MEAN],
        linear_k=channels[:, :, Channel.LINEAR],
        top_age_s=channels[:, :, Channel.AGE_TOP] / scatter.rate[:, None],
        middle_age_s=age,
        water_kg_m2=channels[:, :, Channel.WATER],
        lost_kg_m2=channels[:, :, Channel.LOST],
        initial_set_h=crossing(times, age, concrete.reaction.age_s(concrete.initial_set)),
        final_set_h=crossing(times, age, concrete.reaction.age_s(concrete.final_set)),
        covered_h=switched_s[:, min(1, switched_s.shape[1] - 1)] / HOUR_S,
        gap=max(Balance.of(parts).gap for parts in balance),
    )
