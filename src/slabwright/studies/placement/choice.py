"""Trucks, spacing and order chosen for the least expected cost under a limit on cold joints."""

from collections.abc import Iterable
from dataclasses import dataclass

from slabwright.model.supply import Prices
from slabwright.sources import practice
from slabwright.studies.placement.day import Outcome, Supply, described
from slabwright.studies.placement.lanes import Lanes

N_DAYS = 1500
COLD_LIMIT = 0.05
"""Chance of a cold joint at the worst lane that is accepted; a choice, no source."""
HOLE_LIMIT = 0.10
"""Share of days with a hole over half an hour that is accepted; a choice, no source."""
LATE_LIMIT = 0.10
"""Share of days on which a load may pass the time limit; a choice, no source."""
YOUNG_SHARE = 0.10
"""A quarter of the share of days on which a ring is covered before it settled weighs against this; a choice, no source."""
STANDBY_PER_H = 105.0
CREW_PER_H = 400.0
HOLE_COST = 500.0
LATE_LOAD_COST = 800.0
COSTS = practice("truck standby 105 and crew 400 an hour, a late load 800, a hole 500, in the job's money")


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """The arrangement chosen, and the ones it was chosen from.

    Attributes
    ----------
    best : Outcome
    tried : tuple of Outcome
    costs : tuple of float
        Expected cost of each, beyond concrete itself.
    error : float
        Standard error of the shares, from the number of days simulated.
    """

    best: Outcome
    tried: tuple[Outcome, ...]
    costs: tuple[float, ...]
    error: float


def choose(
    supply: Supply, lanes: Lanes, *, n_trucks: int | None, limit_h: float | None, knit_limit_h: float, prices: Prices | None, seed: int
) -> Choice:
    """Simulate every sensible arrangement and take the cheapest that keeps joints live; the safest if none does.

    Parameters
    ----------
    supply : Supply
    lanes : Lanes
    n_trucks : int, optional
        Stated in the job; otherwise found.
    limit_h : float, optional
        Time limit from batching to the last chute. [h]
    knit_limit_h : float
        Age at which a lift can no longer be knitted. [h]
    prices : Prices, optional
    seed : int
    """
    tried = [
        described(days, lanes.order(ahead), lanes.n_lanes, ahead=ahead, pace=pace, limit_h=limit_h, knit_limit_h=knit_limit_h)
        for trucks in ([n_trucks] if n_trucks else fleets(supply))
        for pace in (1.0, 1.15, 1.3)
        for days in [supply.loop(trucks, pace).simulate(N_DAYS, seed)]
        for ahead in aheads(lanes.n_lanes)
    ]
    costs = [cost(one, prices) for one in tried]
    excess = [
        max(one.worst_cold - COLD_LIMIT, one.hole - HOLE_LIMIT, one.over_limit - LATE_LIMIT, 0.25 * one.young - YOUNG_SHARE, 0.0)
        for one in tried
    ]
    live = [i for i, over in enumerate(excess) if over <= min(excess) + 0.01]
    best = min(live, key=costs.__getitem__)
    share = max(tried[best].worst_cold, 0.01)
    return Choice(best=tried[best], tried=tuple(tried), costs=tuple(costs), error=(share * (1 - share) / N_DAYS) ** 0.5)


def fleets(supply: Supply) -> range:
    """From one truck fewer than keeps the placing point busy to four more, never more than loads."""
    exact = supply.cycle_h / (supply.load_m3 / supply.rate_m3_h)
    loads = len(supply.loads)
    return range(max(1, min(int(exact), loads)), max(2, min(int(exact) + 5, loads) + 1))


def aheads(n_lanes: int) -> Iterable[int]:
    """The ring beside each lane just before it, one and two lanes ahead, and the whole ring first."""
    return sorted({0, min(1, n_lanes), min(2, n_lanes), n_lanes})


def cost(one: Outcome, prices: Prices | None) -> float:
    """Expected cost of waiting, idling, holes and late loads."""
    fee = prices.fees.get("standby_per_min") if prices is not None else None
    standby = 60 * float(fee) if fee is not None else STANDBY_PER_H
    return one.standby_h * standby + one.idle_h * CREW_PER_H + one.hole * HOLE_COST + one.over_limit * LATE_LOAD_COST
