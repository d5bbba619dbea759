"""Strength in place over the first weeks: simulated while there is weather, then on at the pace of its last day."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slabwright.early_age.concrete import Concrete
from slabwright.early_age.drivers import Drivers
from slabwright.early_age.pour import Delivered
from slabwright.early_age.simulate import Cover, History, Scatter, crossing, simulate
from slabwright.early_age.zones import Ground, Zone
from slabwright.sources import practice

Floats = NDArray[np.float64]
N_MEMBERS = 60
LONGEST_H = 168.0
LOOKED_AT_DAYS = 60.0
SURE = 0.90
AFTER_FORECAST = practice("past the end of the weather the concrete goes on hardening at the pace of its last simulated day")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Hardening:
    """Strength of one zone, arrays (n_members, n_times).

    Attributes
    ----------
    zone : Zone
    history : History
        While there is weather.
    days : array (n_times)
        After placing, through and past the weather. [d]
    strength_pa : array
        The lower of surface and mid-depth. [Pa]
    """

    zone: Zone
    history: History
    days: Floats
    strength_pa: Floats

    def day_of(self, strength_pa: float) -> float | None:
        """Days after placing by which nine members of ten have a strength; None where not within the days looked at. [d]"""
        reached = crossing(self.days, self.strength_pa, strength_pa)
        if np.isnan(reached).mean() > 1.0 - SURE:
            return None
        return float(np.quantile(np.where(np.isnan(reached), np.inf, reached), SURE, method="lower"))

    def at(self, days: float, share: float = 1.0 - SURE) -> float:
        """Strength that a share of the members stays below on a day. [Pa]"""
        return float(np.quantile(self.strength_pa[:, int(np.argmin(np.abs(self.days - days)))], share))

    def warm_hours(self, level_c: float) -> float | None:
        """Hours after placing by which the surface has been at a temperature for 24 hours in all, middle of members. [h]"""
        step = self.history.times_h[1] - self.history.times_h[0]
        counted = np.zeros_like(self.history.top_c)
        counted[:, 1:] = np.cumsum(self.history.top_c[:, 1:] >= level_c, axis=1) * step
        found = crossing(self.history.times_h, counted, 24.0)
        return None if np.isnan(found).mean() >= 0.5 else float(np.nanmedian(found))


def harden(
    zone: Zone, concrete: Concrete, drivers: Drivers, ground: Ground, delivered: Delivered, *, placed_h: float, covers: tuple[Cover, ...],
    rng: np.random.Generator, n_members: int = N_MEMBERS,
) -> Hardening:  # fmt: skip
    """Carry a zone as far as the weather goes, a week at most, and beyond."""
    hours = min(LONGEST_H, float(int(drivers.n_hours - 1 - placed_h)))
    history = simulate(
        zone, concrete, drivers, ground, placed_h=np.full(n_members, placed_h), concrete_c=np.full(n_members, delivered.at(placed_h)),
        scatter=Scatter.drawn(n_members, rng), courses=np.arange(n_members) % drivers.n_courses, covers=covers, hours=hours, step_s=1200.0,
        every=3, n_cells=8,
    )  # fmt: skip
    later = np.arange(np.ceil(hours / 24.0 + 0.25), LOOKED_AT_DAYS + 0.5, 0.5)
    days = np.concatenate([history.times_h / 24.0, later])
    weaker = [_aged(concrete, history, ages, later) for ages in (history.top_age_s, history.middle_age_s)]
    return Hardening(zone=zone, history=history, days=days, strength_pa=np.minimum(*weaker))


def _aged(concrete: Concrete, history: History, ages_s: Floats, later_days: Floats) -> Floats:
    """Strength at the simulated ages and at those that follow."""
    day = max(1, round(24.0 / (history.times_h[1] - history.times_h[0])))
    earlier = max(0, ages_s.shape[1] - 1 - day)
    pace = (ages_s[:, -1] - ages_s[:, earlier]) / (history.times_h[-1] - history.times_h[earlier])
    beyond = ages_s[:, -1:] + pace[:, None] * (24.0 * later_days - history.times_h[-1])[None, :]
    return np.asarray(history.scatter.strength[:, None] * concrete.strength_pa(np.concatenate([ages_s, beyond], axis=1)))
