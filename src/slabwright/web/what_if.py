"""The pour day tried otherwise: one lever at a time, on the very days that the plan was chosen on."""

from collections.abc import Mapping

from slabwright.studies.placement.choice import fleets
from slabwright.studies.placement.clock import clock_text
from slabwright.studies.placement.day import Outcome
from slabwright.studies.placement.pour_day import N_DAYS
from slabwright.studies.placement.study import PlacementResult, sequence_words
from slabwright.studies.placement.what_if import Knob, positions
from slabwright.studies.placement.what_if import what_if as turned
from slabwright.units import VOLUME_RATE, Family, format_quantity
from slabwright.web.plan_views import FigureView, LeverView, WhatIfView

_PACE = (0.8, 1.8, 0.05)
_CREW = (0.5, 1.5, 0.05)
_MORE_TRUCKS = 2
_START_STEP_H = 0.25


def what_if(plan: PlacementResult, tried: Mapping[str, float], family: Family) -> WhatIfView:
    """Simulate the days of the plan with some levers put elsewhere.

    Parameters
    ----------
    plan : PlacementResult
    tried : Mapping
        ``trucks``, ``pace`` (spacing over the time one load takes to empty), ``ahead`` (lanes), ``crew`` (placing rate over the
        planned one), ``start`` (hour of the clock); the plan's own where left out.
    family : Family
    """
    best, day = plan.choice.best, plan.day
    planned = {"trucks": float(best.n_trucks), "pace": sum(best.paces) / 3, "ahead": float(best.ahead), "crew": 1.0, "start": best.start_h}
    levers = _levers(plan, planned)
    value = {key: min(max(tried.get(key, planned[key]), low), high) for key, (_, low, high, _) in levers.items()}
    trucks, rate = round(value["trucks"]), plan.supply.rate_m3_h * value["crew"]
    apart = value["pace"] * plan.supply.load_m3 / rate
    knobs = {Knob.TRUCKS: trucks, Knob.SPACING: apart, Knob.AHEAD: value["ahead"], Knob.RATE: rate, Knob.START: value["start"]}
    found = turned(day, best, knobs)
    supply, other = found.day.supply, found.outcome
    said = {
        "trucks": f"{trucks} {'truck' if trucks == 1 else 'trucks'}",
        "pace": f"one every {60 * value['pace'] * supply.emptying_h:.0f} min",
        "ahead": sequence_words(other, plan.lanes.n_lanes),
        "crew": format_quantity(supply.rate_m3_h, VOLUME_RATE, family, digits=2),
        "start": clock_text(value["start"]),
    }
    return WhatIfView(
        levers=[
            LeverView(key=key, words=words, low=low, high=high, step=step, value=value[key], planned=planned[key], said=said[key])
            for key, (words, low, high, step) in levers.items()
        ],
        figures=[
            FigureView(name=name, planned=was, tried=now, moved=was != now)
            for (name, was), (_, now) in zip(_figures(best, day.cost(best), plan), _figures(other, found.cost, plan), strict=True)
        ],
        note=f"{N_DAYS:,} simulated days each; the job file stays as it is.",
    )


def _levers(plan: PlacementResult, planned: Mapping[str, float]) -> dict[str, tuple[str, float, float, float]]:
    """Words, least, most and step of each lever; the planned value always lies between."""
    starts = positions(plan.day, plan.choice.best, Knob.START)
    most = max(fleets(plan.supply).stop - 1 + _MORE_TRUCKS, planned["trucks"])
    return {
        "trucks": ("Trucks", 1.0, float(most), 1.0),
        "pace": ("Spacing", min(_PACE[0], planned["pace"]), max(_PACE[1], planned["pace"]), _PACE[2]),
        "ahead": ("Edge ahead of the floor", 0.0, float(max(plan.lanes.n_lanes, planned["ahead"])), 1.0),
        "crew": ("Placing rate of the crew", *_CREW),
        "start": ("First concrete", min(starts), max(starts), _START_STEP_H),
    }


def _figures(one: Outcome, cost: float, plan: PlacementResult) -> list[tuple[str, str]]:
    late = _days(one.over_limit) if plan.day.limit_h else "no limit stated"
    return [
        ("Last concrete in, on a middling day", f"{one.finish_h[1]:.1f} h"),
        ("Last concrete in, on a bad day", f"{one.finish_h[2]:.1f} h"),
        ("Cold joint at the worst lane", _days(one.worst_cold)),
        ("A hole in the supply over half an hour", _days(one.hole)),
        ("Age of the oldest load, on a bad day", f"{one.oldest_h:.1f} h"),
        ("A load over its time limit", late),
        ("Floated by lamps", _days(one.dark)),
        ("Trucks wait, together", f"{one.standby_h:.1f} h"),
        ("The crew waits", f"{one.idle_h:.1f} h"),
        ("What waiting and lateness cost", f"{cost:,.0f}"),
    ]


def _days(share: float) -> str:
    count = round(100 * share)
    return f"{count} {'day' if count == 1 else 'days'} in 100"
