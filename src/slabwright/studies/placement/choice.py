"""Trucks, spacing, sequence and start chosen for the least expected cost under a limit on cold joints."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import product

from slabwright.studies.placement.day import Outcome, Supply
from slabwright.studies.placement.pour_day import N_DAYS, PourDay

COLD_LIMIT = 0.05
"""Chance of a cold joint at the worst lane that is accepted; a choice, no source."""
HOLE_LIMIT = 0.10
"""Share of days with a hole over half an hour that is accepted; a choice, no source."""
LATE_LIMIT = 0.10
"""Share of days on which a load may pass the time limit; a choice, no source."""
DARK_LIMIT = 0.10
"""Share of days on which the last concrete may be floated by lamps; a choice, no source."""
YOUNG_SHARE = 0.10
"""A quarter of the share of days on which a ring is covered before it settled weighs against this; a choice, no source."""
EVEN_PACES = (1.0, 1.15, 1.3)
FACTORS = (0.8, 1.25)
"""By which the spacing of a third of the loads is made narrower or wider in the search."""
_ALIKE = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """The arrangement chosen, and the ones it was chosen from.

    Attributes
    ----------
    best : Outcome
    tried : tuple of Outcome
        Each fleet, spacing and sequence at its own best start.
    costs : tuple of float
        Expected cost of each, beyond concrete itself.
    by_start : tuple of Outcome
        The best one at every other start, in the order of the clock.
    error : float
        Standard error of the shares, from the number of days simulated.
    day : PourDay
        Begun at the end that was chosen.
    """

    best: Outcome
    tried: tuple[Outcome, ...]
    costs: tuple[float, ...]
    by_start: tuple[Outcome, ...]
    error: float
    day: PourDay

    @property
    def front(self) -> tuple[int, ...]:
        """Numbers of the arrangements of which none is both cheaper and safer, the safest first."""
        order = sorted(range(len(self.tried)), key=lambda k: (self.tried[k].risk, self.costs[k]))
        kept: list[int] = []
        for k in order:
            if not kept or self.costs[k] < self.costs[kept[-1]] - 1e-9:
                kept.append(k)
        return tuple(kept)


def choose(days: Sequence[PourDay], *, n_trucks: int | None, starts: Sequence[float], wanted_h: float | None) -> Choice:
    """Simulate every sensible arrangement and take the cheapest that keeps joints live; the safest if none does.

    Even spacings are tried first; the best of them is then made narrower or wider third by third as long as that helps. What is best
    from one end is then tried from the other, with every sequence.

    Parameters
    ----------
    days : sequence of PourDay
        One for each end at which placing may begin, the likelier first.
    n_trucks : int, optional
        Stated in the job; otherwise found.
    starts : sequence of float
        Hours of the clock that may be chosen. [h]
    wanted_h : float, optional
        The start that is kept unless another is safer. [h]
    """
    day = days[0]
    aheads = sequences(day.lanes.n_lanes)
    tried: list[Outcome] = []

    def merit(one: Outcome) -> tuple[float, bool, float, float]:
        return _step(excess(one)), wanted_h is not None and one.start_h != wanted_h, day.cost(one), one.start_h

    def attempt(trucks: int, paces: tuple[float, float, float], ways: Iterable[int], from_end: PourDay = day) -> None:
        found = from_end.outcomes(trucks, paces, ways, starts)
        tried.extend(min((one for one in found if one.ahead == ahead), key=merit) for ahead in dict.fromkeys(one.ahead for one in found))

    for trucks, pace in product([n_trucks] if n_trucks else fleets(day.supply), EVEN_PACES):
        attempt(trucks, (pace, pace, pace), aheads)
    best = min(tried, key=merit)
    for third in range(3) if len(day.supply.loads) > 3 else ():
        for factor in FACTORS:
            paces = list(best.paces)
            paces[third] *= factor
            attempt(best.n_trucks, (paces[0], paces[1], paces[2]), (best.ahead,))
        best = min(tried, key=merit)
    for other in days[1:]:
        attempt(best.n_trucks, best.paces, aheads, other)
    best = min(tried, key=merit)
    begun = next(one for one in days if one.lanes.first == best.first)
    share = max(best.worst_cold, 0.01)
    return Choice(
        best=best,
        tried=tuple(tried),
        costs=tuple(day.cost(one) for one in tried),
        by_start=begun.outcomes(best.n_trucks, best.paces, (best.ahead,), sorted(starts)),
        error=(share * (1 - share) / N_DAYS) ** 0.5,
        day=begun,
    )


def excess(one: Outcome) -> float:
    """How far an arrangement goes beyond what is accepted; 0 within."""
    over = (one.worst_cold - COLD_LIMIT, one.hole - HOLE_LIMIT, one.over_limit - LATE_LIMIT, one.dark - DARK_LIMIT)
    return max(*over, 0.25 * one.young - YOUNG_SHARE, 0.0)


def _step(value: float) -> float:
    """In steps of two in a hundred, within which days simulated cannot tell arrangements apart."""
    return round(value / _ALIKE) * _ALIKE


def fleets(supply: Supply) -> range:
    """From one truck fewer than keeps the placing point busy to four more, never more than loads."""
    exact = supply.cycle_h / supply.emptying_h
    loads = len(supply.loads)
    return range(max(1, min(int(exact), loads)), max(2, min(int(exact) + 5, loads) + 1))


def sequences(n_lanes: int) -> tuple[int, ...]:
    """How many lanes the edge may run ahead: every number on a small floor; the first, the half and the whole on a large one."""
    if n_lanes <= 6:
        return tuple(range(n_lanes + 1))
    return tuple(sorted({0, 1, 2, 3, n_lanes // 2, n_lanes}))
