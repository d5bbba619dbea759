"""The pour day as a haul loop, and what its thousands of runs say."""

import math
from dataclasses import dataclass
from itertools import accumulate

import numpy as np
from numpy.typing import NDArray

from slabwright.model.job import Job
from slabwright.model.supply import PlacingMethod
from slabwright.solvers.haul_loop import Days, Duration, HaulLoop, Law
from slabwright.sources import practice
from slabwright.standards.order_quantity import STEP_M3
from slabwright.studies.placement.lanes import Kind, Region
from slabwright.units import CUBIC_YARD_M3, Family

Floats = NDArray[np.float64]

BATCH_H = 7 / 60
WASH_H = 8 / 60
PLANT_WAIT_H = 4 / 60
TRAVEL_VARIATION = 0.15
PACE_VARIATION = 0.20
SETBACK_CHANCE = 0.03
SETBACK_H = (25 / 60, 60 / 60)
SCATTER = practice("batch 7 min, queue 4 min, wash 8 min, travel scatter 15 %, 3 trips in 100 late by 25 to 60 min")
TRAVEL_H = 0.5
METHOD_RATE_M3_H = {
    PlacingMethod.CHUTE: 20 * CUBIC_YARD_M3, PlacingMethod.LINE_PUMP: 25 * CUBIC_YARD_M3, PlacingMethod.BOOM_PUMP: 40 * CUBIC_YARD_M3,
    PlacingMethod.CONVEYOR: 30 * CUBIC_YARD_M3, PlacingMethod.BUGGY: 8 * CUBIC_YARD_M3,
}  # fmt: skip
EACH_M3_H = 4 * CUBIC_YARD_M3
"""Placed and struck off by one person an hour. [m³/h]"""
EACH_RATE = practice("one person places and strikes off 4 yd³ an hour, as exercises reckon")
METHOD_RATES = practice("placing rates by method: chute 20, line pump 25, boom pump 40, conveyor 30, buggies 8 yd³/h")


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """What the day is made of.

    Attributes
    ----------
    volume_m3, load_m3, rate_m3_h : float
        To be placed; in a full truck; placed an hour.
    out_h, back_h : float
        Travel to the site and back. [h]
    min_load_m3 : float
        Below it a load costs a fee. [m³]
    step_m3 : float
        That the plant batches to; nought for any amount. [m³]
    """

    volume_m3: float
    load_m3: float
    rate_m3_h: float
    out_h: float
    back_h: float
    min_load_m3: float = 0.0
    step_m3: float = 0.0

    @property
    def loads(self) -> tuple[float, ...]:
        """Full loads and the balance load; where that would be a short load, the last two share what is left. [m³]"""
        n = int(self.volume_m3 / self.load_m3 + 1e-9)
        rest = self.volume_m3 - n * self.load_m3
        if rest <= 1e-6:
            return (self.load_m3,) * n
        if n > 0 and rest < self.min_load_m3 - 1e-9:
            half = 0.5 * (self.load_m3 + rest)
            stepped = self.step_m3 * math.ceil(half / self.step_m3 - 1e-9) if self.step_m3 > 0 else half
            more = stepped if stepped <= self.load_m3 else half
            return (*(self.load_m3,) * (n - 1), more, 2 * half - more)
        return (*(self.load_m3,) * n, rest)

    @property
    def emptying_h(self) -> float:
        """A full truck at that rate. [h]"""
        return self.load_m3 / self.rate_m3_h

    @property
    def length_h(self) -> float:
        """First concrete to last without a gap. [h]"""
        return self.volume_m3 / self.rate_m3_h

    @property
    def cycle_h(self) -> float:
        """Round trip of a truck without waits. [h]"""
        return BATCH_H + PLANT_WAIT_H + self.out_h + self.emptying_h + WASH_H + self.back_h

    @property
    def n_hands(self) -> int:
        """People who place at that rate."""
        return math.ceil(self.rate_m3_h / EACH_M3_H - 1e-9)

    @property
    def lead_h(self) -> float:
        """From the call of a truck to its arrival. [h]"""
        return BATCH_H + PLANT_WAIT_H + self.out_h

    def releases_h(self, paces: tuple[float, float, float]) -> tuple[float, ...]:
        """When each load is batched after the first, spaced so many times its emptying time apart in each third of the loads. [h]"""
        loads = self.loads
        apart = [paces[3 * number // len(loads)] * self.emptying_h for number in range(len(loads) - 1)]
        return tuple(accumulate(apart, initial=0.0))

    def loop(self, n_trucks: int, paces: tuple[float, float, float]) -> HaulLoop:
        """The loop of so many trucks with that spacing."""
        loads = self.loads
        return HaulLoop(
            n_carriers=n_trucks,
            amounts=loads,
            release=self.releases_h(paces),
            fill_h=Duration(BATCH_H + PLANT_WAIT_H, 0.25),
            out_h=Duration(self.out_h, TRAVEL_VARIATION),
            back_h=Duration(self.back_h, TRAVEL_VARIATION),
            clean_h=Duration(WASH_H, law=Law.FIXED),
            pace_h=Duration(1.0 / self.rate_m3_h, PACE_VARIATION),
            setback_chance=SETBACK_CHANCE,
            setback_h=SETBACK_H,
        )


def supply_of(job: Job, volume_m3: float) -> Supply:
    """The day's supply from the job, common practice where it is silent."""
    plant = job.plant
    load = min(plant.truck_m3, plant.site_load_limit_m3 or np.inf)
    rates = [rate for rate in (job.crew.placing_rate_m3_h, plant.placing_rate_m3_h) if rate]
    rate = min(rates) if rates else METHOD_RATE_M3_H[plant.method]
    out = plant.travel_out_s / 3600 if plant.travel_out_s is not None else TRAVEL_H
    back = plant.travel_back_s / 3600 if plant.travel_back_s is not None else out
    least = min(plant.min_load_m3, load)
    step = STEP_M3 if job.family is Family.US else 0.25
    return Supply(volume_m3=volume_m3, load_m3=load, rate_m3_h=rate, out_h=out, back_h=back, min_load_m3=least, step_m3=step)


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What many days of one arrangement say.

    Attributes
    ----------
    n_trucks : int
    paces : tuple of float
        Spacing of trucks over their emptying time in the first, middle and last third of the loads.
    first : str
        Side of the plan at which placing begins.
    ahead : int
        Lanes the ring runs ahead of the floor.
    start_h : float
        Hour of the clock of the first concrete. [h]
    finish_h : tuple of float
        First concrete to last, at 10, 50 and 90 per cent of days. [h]
    hole : float
        Share of days with a gap over half an hour.
    oldest_h : float
        Age of the oldest load at its last chute, exceeded on one day in ten. [h]
    over_limit : float
        Share of days on which a load passes the time limit.
    standby_h : float
        Waiting of all trucks beyond the free time, mean. [h]
    idle_h : float
        Crew waiting for concrete, mean. [h]
    cold : ndarray
        Chance that the ring of each lane is too old when covered, shape (lanes,).
    knit_h : ndarray
        Its age then, exceeded on one day in ten. [h]
    knit_limit_h : float
        Age at which it can no longer be knitted, on the air from that start. [h]
    young : float
        Share of days on which some lane's ring is covered before it has settled.
    dark : float
        Share of days on which daylight ends before the last concrete is floated.
    """

    n_trucks: int
    paces: tuple[float, float, float]
    first: str
    ahead: int
    start_h: float
    finish_h: tuple[float, float, float]
    hole: float
    oldest_h: float
    over_limit: float
    standby_h: float
    idle_h: float
    cold: Floats
    knit_h: Floats
    knit_limit_h: float
    young: float
    dark: float

    @property
    def worst_cold(self) -> float:
        """Chance of a cold joint at the worst lane."""
        return float(self.cold.max(initial=0.0))

    @property
    def risk(self) -> float:
        """Chance of whatever is likeliest to go wrong: a cold joint, a hole, a load over its limit, floating by lamps."""
        return max(self.worst_cold, self.hole, self.over_limit, self.dark)

    @property
    def is_even(self) -> bool:
        """Whether trucks come at one spacing."""
        return max(self.paces) - min(self.paces) < 1e-9


FREE_H_PER_M3 = 6 / 60 / CUBIC_YARD_M3
"""Free unloading: six minutes to the cubic yard; published terms of suppliers, quoted. [h/m³]"""


def knit_ages(days: Days, order: tuple[Region, ...], n_lanes: int) -> Floats:
    """Age of each lane's ring when the floor covers it, shape (days, lanes). [h]

    Ring and floor of a lane are filled along the same way, so the age at a place is that from the middle of one to the
    middle of the other.
    """
    volumes = np.array([region.volume_m3 for region in order])
    middles = (np.cumsum(volumes) - volumes / 2) * (days.amount[0].sum() / volumes.sum())
    ages = np.zeros((len(days.end), n_lanes))
    placed: dict[int, Floats] = {}
    for region, middle in zip(order, middles, strict=True):
        moment = _when(days, float(middle))
        if region.kind is Kind.RING:
            placed[region.lane] = moment
        elif region.lane in placed:
            ages[:, region.lane] = moment - placed[region.lane]
    return ages


def _when(days: Days, volume_m3: float) -> Floats:
    """Moment at which so much has been placed, on each day. [h]"""
    placed = np.cumsum(days.amount, axis=1)
    index = np.minimum((placed < volume_m3 - 1e-9).sum(axis=1), placed.shape[1] - 1)
    row = np.arange(len(placed))
    before = placed[row, index] - days.amount[row, index]
    share = np.clip((volume_m3 - before) / days.amount[row, index], 0.0, 1.0)
    return np.asarray(days.start[row, index] + share * (days.end[row, index] - days.start[row, index]))
