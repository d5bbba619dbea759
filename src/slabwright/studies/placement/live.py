"""While it goes: what the tickets so far say of rates and travel, what is still needed, when to call the next truck."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import accumulate

from slabwright.errors import MissingInput
from slabwright.model.supply import Mix
from slabwright.model.tickets import Ticket, Tickets
from slabwright.standards import astm_c94
from slabwright.studies.placement.day import BATCH_H, PACE_VARIATION, PLANT_WAIT_H, TRAVEL_VARIATION
from slabwright.studies.placement.lanes import Kind, Region
from slabwright.studies.placement.study import PlacementResult
from slabwright.units import LENGTH, VOLUME, VOLUME_RATE, Family, format_quantity

SLACK_H = 10 / 60
"""Kept in hand when a truck is called; common practice, no source. [h]"""
_LEAST_TOLD_M3 = 0.05
_PRIOR_LOADS = 4.0
"""How many loads the plan's own figures are worth against what is seen; a choice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Belief:
    """A duration as it is known now: the plan's figure and what was seen, weighed.

    Attributes
    ----------
    mean : float
    error : float
        Standard error of the mean.
    n_seen : int
    """

    mean: float
    error: float
    n_seen: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Filling:
    """A placement while it goes.

    Attributes
    ----------
    region : Region
        With its volume as drawn.
    needs_m3 : float
        What it takes: as dug, with its share of what the order allows for. [m³]
    placed_m3 : float
        Of that. [m³]
    """

    region: Region
    needs_m3: float
    placed_m3: float

    @property
    def rest_m3(self) -> float:
        """Still needed. [m³]"""
        return self.needs_m3 - self.placed_m3


@dataclass(frozen=True, slots=True, kw_only=True)
class LivePlan:
    """The rest of the pour.

    Attributes
    ----------
    now : datetime
    travel_h, pace_h_m3 : Belief
        Travel out [h]; time to empty a cubic metre [h/m³].
    remaining_m3, on_the_way_m3, to_call_m3 : float
        Still to be placed; already batched; still to be called. [m³]
    drift : float
        Concrete placed over what the drawing says for what is filled; 1 where not told.
    dug_more_m3 : float
        What the trench takes more than drawn, as measured; it is in what remains. [m³]
    fillings : tuple of Filling
        Every placement in its order.
    call_at : datetime or None
        When to call the next truck; None where nothing is to be called.
    finish_at : datetime
        Last concrete, on present rates, with the next truck called in time.
    live_until : dict of int to datetime
        Lane to the moment its waiting ring can no longer be knitted.
    """

    now: datetime
    travel_h: Belief
    pace_h_m3: Belief
    remaining_m3: float
    on_the_way_m3: float
    to_call_m3: float
    drift: float
    dug_more_m3: float
    fillings: tuple[Filling, ...]
    call_at: datetime | None
    finish_at: datetime
    live_until: dict[int, datetime]


def replan(plan: PlacementResult, tickets: Tickets, now: datetime, *, filled_m3: float | None = None) -> LivePlan:
    """Plan the rest of the pour from the tickets so far.

    Parameters
    ----------
    plan : PlacementResult
        Of the day before.
    tickets : Tickets
    now : datetime
        With its zone.
    filled_m3 : float, optional
        Drawn volume of what is filled so far, measured on site; tells whether the hole takes more than drawn. [m³]

    Raises
    ------
    MissingInput
        If no load has been batched yet.
    """
    loads = [load for load in tickets.loads if load.batched <= now]
    if not loads:
        raise MissingInput("the first ticket: nothing is batched yet, so the plan of the day before stands.")
    supply = plan.supply
    travel = _belief(supply.out_h, TRAVEL_VARIATION, [_hours(load.batched, load.arrived) - BATCH_H for load in loads if load.arrived])
    pace = _belief(
        1 / supply.rate_m3_h,
        PACE_VARIATION,
        [_hours(load.started, load.ended) / load.volume_m3 for load in loads if load.started and load.ended],
    )
    placed = sum(_placed_m3(load, now, pace.mean) for load in loads)
    drift = placed / filled_m3 if filled_m3 else 1.0
    fillings = _fillings(plan, placed, filled_m3)
    remaining = sum(one.rest_m3 for one in fillings)
    on_the_way = sum(load.volume_m3 for load in loads) - placed
    to_call = max(remaining - on_the_way, 0.0)
    busy_until = now + timedelta(hours=max(on_the_way, 0.0) * pace.mean)
    usual = timedelta(hours=BATCH_H + PLANT_WAIT_H + travel.mean)
    lead = usual + timedelta(hours=1.3 * travel.error + SLACK_H)
    call_at = max(busy_until - lead, now) if to_call > 1e-6 else None
    last_in = now + timedelta(hours=remaining * pace.mean)
    return LivePlan(
        now=now,
        travel_h=travel,
        pace_h_m3=pace,
        remaining_m3=remaining,
        on_the_way_m3=on_the_way,
        to_call_m3=to_call,
        drift=drift,
        dug_more_m3=sum(plan.dug_more_m3),
        fillings=fillings,
        call_at=call_at,
        finish_at=last_in if call_at is None else max(last_in, call_at + usual + timedelta(hours=to_call * pace.mean)),
        live_until=_live_until(plan, fillings, loads, now, pace.mean),
    )


def _belief(prior: float, variation: float, seen: list[float]) -> Belief:
    """Normal with known scatter: the plan's figure counts as so many loads."""
    n = len(seen)
    mean = (_PRIOR_LOADS * prior + sum(seen)) / (_PRIOR_LOADS + n)
    return Belief(mean=mean, error=variation * prior / math.sqrt(_PRIOR_LOADS + n), n_seen=n)


def _hours(start: datetime | None, end: datetime | None) -> float:
    assert start is not None and end is not None
    return (end - start).total_seconds() / 3600


def _placed_m3(load: Ticket, now: datetime, pace_h_m3: float) -> float:
    if load.ended is not None and load.ended <= now:
        return load.volume_m3
    if load.started is not None and load.started <= now:
        return min(_hours(load.started, now) / pace_h_m3, load.volume_m3)
    return 0.0


def _fillings(plan: PlacementResult, placed_m3: float, filled_m3: float | None) -> tuple[Filling, ...]:
    """Every placement with what it takes and what it has.

    What the order holds beyond the drawing, and the trench as dug, is shared out by volume. Where the drawn volume of what is filled
    is told, the filled part has taken what was placed, and the rest takes as much more than reckoned as the filled part did.
    """
    order = plan.lanes.order(plan.choice.best.ahead)
    dug = [region.volume_m3 + (plan.dug_more_m3[region.lane] if region.kind is Kind.RING and plan.dug_more_m3 else 0.0) for region in order]
    scale = (plan.supply.volume_m3 + plan.unordered_m3) / sum(dug)
    needs = [scale * volume for volume in dug]
    told = filled_m3 is not None and filled_m3 > 0
    done = min(filled_m3, sum(region.volume_m3 for region in order)) if filled_m3 is not None and told else placed_m3
    sizes = [region.volume_m3 for region in order] if told else needs
    shares = [min(max(done - before, 0.0) / size, 1.0) for size, before in zip(sizes, accumulate(sizes, initial=0.0), strict=False)]
    reckoned = sum(share * need for share, need in zip(shares, needs, strict=True))
    more = placed_m3 / reckoned if reckoned > 0 and told else 1.0
    return tuple(
        Filling(region=region, needs_m3=more * need, placed_m3=more * share * need)
        for region, need, share in zip(order, needs, shares, strict=True)
    )


def _live_until(
    plan: PlacementResult, fillings: tuple[Filling, ...], loads: list[Ticket], now: datetime, pace_h_m3: float
) -> dict[int, datetime]:
    """Rings placed and not yet covered, and until when each can be knitted."""
    waiting: dict[int, datetime] = {}
    done = 0.0
    for one in fillings:
        middle = _moment_of(done + one.needs_m3 / 2, loads, now, pace_h_m3)
        done += one.needs_m3
        if middle is None:
            break
        if one.region.kind is Kind.RING:
            waiting[one.region.lane] = middle + timedelta(hours=plan.knit_limit_h)
        else:
            waiting.pop(one.region.lane, None)
    return waiting


def _moment_of(volume_m3: float, loads: list[Ticket], now: datetime, pace_h_m3: float) -> datetime | None:
    """When so much had been placed; None where that is still to come."""
    done = 0.0
    for load in loads:
        placed = _placed_m3(load, now, pace_h_m3)
        if done + placed >= volume_m3 and load.started is not None:
            return load.started + timedelta(hours=(volume_m3 - done) * pace_h_m3)
        done += placed
    return None


def live_sentences(live: LivePlan, family: Family) -> tuple[str, ...]:
    """The rest of the pour in sentences to read on site."""

    def volume(value: float) -> str:
        return format_quantity(value, VOLUME, family, digits=3)

    rate, spread = (format_quantity(value, VOLUME_RATE, family, digits=2) for value in _rate(live.pace_h_m3))
    seen = f"{_counted(live.pace_h_m3.n_seen, 'load')} emptied and {_counted(live.travel_h.n_seen, 'trip')}"
    trip, more = 60 * live.travel_h.mean, 60 * live.travel_h.error
    said = [
        f"{volume(live.remaining_m3)} still to place, {volume(live.on_the_way_m3)} of it batched, {volume(live.to_call_m3)} still to call.",
        f"Placing runs at {rate}, give or take {spread}, and the trip takes {trip:.0f} min, give or take {more:.0f}; from {seen}.",
        f"The last concrete is in at about {live.finish_at:%H:%M}.",
    ]
    if live.drift != 1.0:
        said.append(f"The hole takes {100 * (live.drift - 1):+.0f} % against the drawing.")
    if live.dug_more_m3:
        said.append(f"The trench as dug takes {volume(live.dug_more_m3)} more than drawn; that is counted.")
    if live.call_at is None:
        said.append("Nothing more to call: measure before the last load is tipped.")
    elif live.call_at <= live.now:
        said.append("Call the next truck now.")
    else:
        said.append(f"Call the next truck at {live.call_at:%H:%M}, in {(live.call_at - live.now).total_seconds() / 60:.0f} min.")
    said += _lane_sentences(live, volume)
    for lane, until in sorted(live.live_until.items(), key=lambda pair: pair[1]):
        left = (until - live.now).total_seconds() / 60
        said.append(
            f"Edge of lane {lane + 1}: "
            + (f"live for {left:.0f} min more." if left > 0 else "too old to knit; ask the engineer before covering it.")
        )
    return tuple(said)


def _rate(pace: Belief) -> tuple[float, float]:
    """Concrete an hour and its standard error, from the time for a cubic metre. [m³/h]"""
    return 1 / pace.mean, pace.error / pace.mean**2


def _counted(n: int, what: str) -> str:
    return f"{n} {what}" if n == 1 else f"{n} {what}s"


def _lane_sentences(live: LivePlan, volume: Callable[[float], str]) -> list[str]:
    """What every lane still needs, in the order in which lanes are finished."""
    rests: dict[int, list[Filling]] = {}
    for one in live.fillings:
        rests.setdefault(one.region.lane, []).append(one)
    said, full = [], []
    for lane, parts in sorted(rests.items()):
        open_ones = [f"{one.region.kind.value} {volume(one.rest_m3)}" for one in parts if one.rest_m3 > _LEAST_TOLD_M3]
        if open_ones:
            said.append(f"Lane {lane + 1} still needs: {', '.join(open_ones)}.")
        else:
            full.append(f"{lane + 1}")
    return [f"Filled: {'lane' if len(full) == 1 else 'lanes'} {', '.join(full)}.", *said] if full else said


def load_sentences(tickets: Tickets, mix: Mix | None, limit_h: float | None, family: Family) -> tuple[str, ...]:
    """Loads that came too old, too stiff or too wet, and those that water went into.

    Parameters
    ----------
    tickets : Tickets
    mix : Mix or None
        As ordered; a slump by stage is not held against single loads.
    limit_h : float or None
        From batching to the last chute. [h]
    family : Family
    """
    said = []
    for load in tickets.loads:
        age = _hours(load.batched, load.ended) if load.ended is not None else 0.0
        if limit_h is not None and age > limit_h:
            said.append(f"Load {load.name} was {60 * age:.0f} min old at its last chute, over the {60 * limit_h:.0f} min agreed.")
        if load.slump_m is not None and mix is not None and mix.slump_m is not None:
            limits = astm_c94.slump_range(slump_m=mix.slump_m)
            if not limits.low_m - 1e-6 <= load.slump_m <= limits.high_m + 1e-6:
                shown = [format_quantity(value, LENGTH, family) for value in (load.slump_m, limits.low_m, limits.high_m)]
                said.append(f"Load {load.name} came at {shown[0]} of slump, outside {shown[1]} to {shown[2]}.")
        if load.water_added_m3 > 0:
            said.append(_watered(load, mix, family))
    return tuple(said)


def _watered(load: Ticket, mix: Mix | None, family: Family) -> str:
    """What water added on site did to the ratio ordered."""
    added = format_quantity(load.water_added_m3, VOLUME, family, unit="gal" if family is Family.US else "L", digits=3)
    if mix is None or not mix.water_kg_m3 or not mix.cement_kg_m3:
        return f"Load {load.name} got {added} of water; the supplier's weights are not known, so its ratio is not."
    ratio = astm_c94.w_cm_after_adding(
        water_kg_m3=mix.water_kg_m3, cementitious_kg_m3=mix.cement_kg_m3, added_m3=load.water_added_m3, load_m3=load.volume_m3
    )
    over = mix.w_cm is not None and ratio > mix.w_cm + 1e-6
    limit = f", over the {mix.w_cm:.2f} ordered: tell the engineer" if over else ""
    return f"Load {load.name} got {added} of water: its water-cement ratio is {ratio:.2f}{limit}."
