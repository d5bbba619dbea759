"""One pour day that can be arranged in many ways: trucks, spacing, sequence, start; every arrangement is simulated on the same days."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from slabwright.model.supply import Prices
from slabwright.sources import practice
from slabwright.standards.placing_practice import LEAST_KNIT_H
from slabwright.studies.placement.clock import Clock
from slabwright.studies.placement.day import FREE_H_PER_M3, Floats, Outcome, Supply, knit_ages
from slabwright.studies.placement.lanes import Lanes

N_DAYS = 1500
LONG_GAP_H = 0.5
STANDBY_PER_H = 105.0
CREW_PER_H = 400.0
HOLE_COST = 500.0
LATE_LOAD_COST = 800.0
DARK_COST = 600.0
COSTS = practice("truck standby 105 and crew 400 an hour, a late load 800, a hole 500, floating by lamps 600, in the job's money")


@dataclass(frozen=True, slots=True, kw_only=True)
class PourDay:
    """What is the same however the day is arranged.

    Attributes
    ----------
    supply : Supply
    lanes : Lanes
    clock : Clock
    limit_h : float or None
        From batching to the last chute. [h]
    prices : Prices or None
    seed : int
    """

    supply: Supply
    lanes: Lanes
    clock: Clock
    limit_h: float | None
    prices: Prices | None
    seed: int

    def outcomes(
        self, n_trucks: int, paces: tuple[float, float, float], aheads: Iterable[int], starts: Iterable[float]
    ) -> tuple[Outcome, ...]:
        """What thousands of days say of a fleet and its spacing, for every sequence and every start.

        Parameters
        ----------
        n_trucks : int
        paces : tuple of float
            Spacing of trucks over their emptying time in the first, middle and last third of the loads.
        aheads : iterable of int
            Lanes that the edge runs ahead of the floor.
        starts : iterable of float
            Hour of the clock of the first concrete. [h]
        """
        days = self.supply.loop(n_trucks, paces).simulate(N_DAYS, self.seed)
        first = days.start[:, :1]
        length = (days.end[:, -1:] - first)[:, 0]
        low, usual, high = (float(value) for value in np.quantile(length, (0.1, 0.5, 0.9)))
        gaps = days.gap if days.gap.shape[1] else np.zeros((len(length), 1))
        oldest = days.age.max(axis=1)
        on_site = days.end - days.arrive
        standby = float(np.maximum(on_site - FREE_H_PER_M3 * days.amount, 0.0).sum(axis=1).mean())
        idle = float(np.maximum(gaps, 0.0).sum(axis=1).mean())
        hole, old = float((gaps.max(axis=1) > LONG_GAP_H).mean()), float(np.quantile(oldest, 0.9))
        late = float((oldest > self.limit_h).mean()) if self.limit_h else 0.0
        hours = [(start, self.clock.knit_limit_h(start, self.supply.length_h), self._dark(start, length)) for start in starts]
        found = []
        for ahead in aheads:
            ages = knit_ages(days, self.lanes.order(ahead), self.lanes.n_lanes)
            edged = ages.max(axis=0, initial=0.0) > 0
            young = float((ages[:, edged] < LEAST_KNIT_H).any(axis=1).mean()) if edged.any() else 0.0
            knit = np.quantile(ages, 0.9, axis=0)
            for start, limit, dark in hours:
                found.append(
                    Outcome(
                        n_trucks=n_trucks, paces=paces, first=self.lanes.first, ahead=ahead, start_h=start,
                        finish_h=(low, usual, high), hole=hole, oldest_h=old,
                        over_limit=late, standby_h=standby, idle_h=idle, cold=(ages > limit).mean(axis=0), knit_h=knit,
                        knit_limit_h=limit, young=young, dark=dark,
                    )
                )  # fmt: skip
        return tuple(found)

    def _dark(self, start_h: float, length_h: Floats) -> float:
        """Share of days on which daylight ends before the last concrete is floated."""
        light = self.clock.light
        if light is None:
            return 0.0
        floated = start_h + length_h + self.clock.float_wait_h(start_h, self.supply.length_h)
        return float((floated > light.last_h).mean())

    def cost(self, one: Outcome) -> float:
        """Expected cost of waiting, idling, holes, late loads and lamps."""
        fee = self.prices.fees.get("standby_per_min") if self.prices is not None else None
        standby = 60 * float(fee) if fee is not None else STANDBY_PER_H
        waits = one.standby_h * standby + one.idle_h * CREW_PER_H
        return waits + one.hole * HOLE_COST + one.over_limit * LATE_LOAD_COST + one.dark * DARK_COST
