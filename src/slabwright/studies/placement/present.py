"""Pictures and tables of the pour day: lanes, the map of cold joints, cost against risk, the arrangements tried, every start."""

from collections.abc import Sequence
from itertools import accumulate, pairwise
from typing import TYPE_CHECKING

import shapely

from slabwright.geometry.drawing import area_of, outline_items, polygons_of
from slabwright.geometry.foundation import Foundation, PartKind
from slabwright.results.picture import Area, Circle, DimensionLine, Hatch, Item, Layer, Line, Note, Picture, Scale
from slabwright.results.table import Column, Table
from slabwright.studies import mix, shape
from slabwright.studies.mix.stages import PlacingStage
from slabwright.studies.placement.choice import COLD_LIMIT
from slabwright.studies.placement.clock import clock_text
from slabwright.studies.placement.day import EACH_M3_H, Outcome
from slabwright.study import Done, Inputs, Presentation
from slabwright.units import AREA, LENGTH, VOLUME, VOLUME_RATE, format_quantity

if TYPE_CHECKING:
    from slabwright.studies.placement.study import PlacementResult

_LIKELY = 0.25
_WIDE, _HIGH = 10.0, 6.0


def present(inputs: Inputs, done: Done, result: "PlacementResult") -> Presentation:
    """Lane plan, map of cold joints, cost against risk, and the tables behind them."""
    foundation = done[shape.STUDY].foundation
    ordered = done.get(mix.STUDY)
    pictures = [_lanes(foundation, result), *_cold_joints(foundation, result), _cost_against_risk(result)]
    tables = [
        _loads(inputs, result, ordered.stages if ordered is not None else ()),
        _hands(foundation, inputs, result),
        _order(result),
        _by_start(result),
        _tried(result),
    ]
    return Presentation(pictures=tuple(pictures), tables=tuple(table for table in tables if table.rows))


def _boxes(foundation: Foundation, result: "PlacementResult") -> list[shapely.Polygon]:
    """The strip of the plan that each lane takes."""
    low_x, low_y, high_x, high_y = foundation.outline.union(foundation.region).bounds
    ends = list(result.lanes.bounds)
    along_x = result.lanes.axis == 0
    low, high = (low_x, high_x) if along_x else (low_y, high_y)
    ends[0], ends[-1] = (low, high) if ends[0] < ends[-1] else (high, low)
    return [
        shapely.box(min(a, b), low_y, max(a, b), high_y) if along_x else shapely.box(low_x, min(a, b), high_x, max(a, b))
        for a, b in pairwise(ends)
    ]


def _lanes(foundation: Foundation, result: "PlacementResult") -> Picture:
    region, lanes, best = foundation.region, result.lanes, result.choice.best
    low_x, low_y, high_x, high_y = region.bounds
    items: list[Item] = []
    for number, box in enumerate(_boxes(foundation, result)):
        hatch = Hatch.NONE if best.cold[number] <= COLD_LIMIT else Hatch.MEDIUM if best.cold[number] <= _LIKELY else Hatch.DENSE
        minutes = 60 * (result.knit_limit_h - best.knit_h[number])
        word = f"{minutes:.0f} min" if minutes >= 0 else f"{-minutes:.0f} min too old"
        pieces = sorted(polygons_of(region.intersection(box)), key=lambda piece: -piece.area)
        items += [area_of(piece, Layer.CONCRETE_SEEN, hatch=hatch) for piece in pieces]
        if pieces:
            at = pieces[0].representative_point()
            items.append(Note(layer=Layer.TEXT, at=(at.x, at.y), text=f"{number + 1}: {word}", boxed=True))
    items += outline_items(foundation)
    offset = 0.06 * max(high_x - low_x, high_y - low_y)
    near, far = sorted((float(lanes.bounds[0]), float(lanes.bounds[1])))
    if lanes.axis == 0:
        items.append(DimensionLine(start=(far, low_y), end=(near, low_y), offset_m=offset))
    else:
        items.append(DimensionLine(start=(low_x, near), end=(low_x, far), offset_m=offset))
    return Picture(
        key="lanes",
        title="Lanes by number, lane 1 first; minutes that the edge has left when the floor covers it, on a bad day",
        items=tuple(items),
        alt="Plan of the floor in lanes, each with the minutes left before its edge is too old.",
        notes=("Hatched: the edge may be too old; the denser, the likelier. A bad day is one in ten.",),
    )


def _cold_joints(foundation: Foundation, result: "PlacementResult") -> list[Picture]:
    """Edge, strips and pads by lane, shaded by the chance that they are too old when the floor covers them."""
    cold = result.choice.best.cold
    deep = [shapely.union(part.skirt, part.bottom) for part in foundation.parts if part.kind is not PartKind.FLOOR]
    if not deep:
        return []
    body = shapely.union_all(deep)
    most = max(COLD_LIMIT, float(cold.max(initial=0.0)))
    items: list[Item] = []
    for number, box in enumerate(_boxes(foundation, result)):
        pieces = sorted(polygons_of(body.intersection(box)), key=lambda piece: -piece.area)
        for piece in pieces:
            shaded = area_of(piece, Layer.MAP, value=float(cold[number]) / most, label=f"lane {number + 1}")
            items += [shaded, Area(layer=Layer.CONCRETE_HIDDEN, outline=shaded.outline, holes=shaded.holes)]
        if pieces:
            at = box.intersection(foundation.region).representative_point()
            items.append(Note(layer=Layer.TEXT, at=(at.x, at.y), text=f"lane {number + 1}: {_share(float(cold[number]))}", boxed=True))
    items += outline_items(foundation)
    return [
        Picture(
            key="plan-cold-joints",
            title="Where a cold joint may come: the chance that edge and pads are too old when the floor covers them",
            items=tuple(items),
            scale=Scale(title="chance of a cold joint", low=0.0, high=100 * most, suffix="", levels=()),
            alt="Plan of edge and pads by lane, each with its chance of a cold joint.",
            notes=("In 100 days. The floor itself is placed in one go and has no lift to knit.",),
        )
    ]


def _share(share: float) -> str:
    """A chance as a count of days in a hundred."""
    return "0" if share == 0 else "under 1 in 100" if share < 0.01 else f"{100 * share:.0f} in 100"


def _cost_against_risk(result: "PlacementResult") -> Picture:
    """Every arrangement by its risk and its cost, and the line of those that nothing beats."""
    choice = result.choice
    most_cost = max(*choice.costs, 1.0)
    most_risk = max(0.1, *(one.risk for one in choice.tried))

    def place(k: int) -> tuple[float, float]:
        return _WIDE * choice.tried[k].risk / most_risk, _HIGH * choice.costs[k] / most_cost

    items: list[Item] = [
        Line(layer=Layer.DIMENSION, points=((0.0, _HIGH), (0.0, 0.0), (_WIDE, 0.0))),
        Note(layer=Layer.TEXT, at=(_WIDE, -0.75), text="days in 100 on which the likeliest trouble comes", anchor="end"),
        Note(layer=Layer.TEXT, at=(0.1, _HIGH + 0.35), text="cost of waiting, idling and lateness", anchor="start"),
    ]
    for share in (0.25, 0.5, 0.75, 1.0):
        items.append(Note(layer=Layer.DIMENSION, at=(share * _WIDE, -0.3), text=f"{100 * share * most_risk:.0f}", size=0.8))
        items.append(Note(layer=Layer.DIMENSION, at=(-0.1, share * _HIGH), text=f"{share * most_cost:,.0f}", size=0.8, anchor="end"))
    front = [place(k) for k in choice.front]
    if len(front) > 1:
        items.append(Line(layer=Layer.CHALK, points=tuple(front), dashed=True))
    for k, one in enumerate(choice.tried):
        if one is not choice.best:
            items.append(Circle(layer=Layer.DIMENSION, centre=place(k), radius_m=0.08))
    x, y = place(next(k for k, one in enumerate(choice.tried) if one is choice.best))
    items.append(Circle(layer=Layer.CHALK, centre=(x, y), radius_m=0.14, filled=True))
    named = f"{choice.best.n_trucks} trucks" if choice.best.n_trucks > 1 else "1 truck"
    items.append(Note(layer=Layer.CHALK, at=(x + 0.3, y + 0.3), text=named, anchor="start", bold=True))
    return Picture(
        key="cost",
        title="Cost against risk: each ring is an arrangement, the filled one is chosen; nothing is better than the broken line",
        items=tuple(items),
        alt="Scatter of arrangements by expected cost and risk, with the line of those that nothing beats.",
        notes=("Trouble: a cold joint at the worst lane, a hole over half an hour, a load over its time limit, floating by lamps.",),
    )


def _loads(inputs: Inputs, result: "PlacementResult", stages: Sequence[PlacingStage]) -> Table:
    """Every load with its time at the plant and on site, what it goes into, and its slump where stages differ in it."""
    supply, best, dated = result.supply, result.choice.best, result.day.clock.light is not None
    order = result.lanes.order(best.ahead)
    share = supply.volume_m3 / sum(region.volume_m3 for region in order)
    ends = list(accumulate(share * region.volume_m3 for region in order))
    rows, placed = [], 0.0
    for number, (amount, release) in enumerate(zip(supply.loads, supply.releases_h(best.paces), strict=True), start=1):
        parts: dict[str, float] = {}
        for region, start, end in zip(order, [0.0, *ends[:-1]], ends, strict=True):
            parts[region.kind.value] = parts.get(region.kind.value, 0.0) + max(min(end, placed + amount) - max(start, placed), 0.0)
        into = [kind for kind, part in parts.items() if part > 0.1 * amount]
        placed += amount
        on_site = best.start_h + release if dated else release
        batched = on_site - supply.lead_h
        at_plant, at_site = (clock_text(at) if dated else f"{60 * at:+.0f} min" for at in (batched, on_site))
        slump = next(
            (format_quantity(one.slump_m, LENGTH, inputs.job.family) for one in stages if one.name == max(parts, key=parts.__getitem__)), ""
        )
        told = (slump,) if len(stages) > 1 else ()
        rows.append((number, format_quantity(amount, VOLUME, inputs.job.family, digits=3), at_plant, at_site, ", ".join(into), *told))
    columns = (Column("Load"), "Amount", "Batched at", "On site at", "Goes into", *(("Slump",) if len(stages) > 1 else ()))
    note = "The last load is a balance load: its amount is called when the rest has been measured."
    if not dated:
        note = f"Minutes after the first concrete. {note}"
    return Table.of("Loads", columns, rows, note=note)


def _hands(foundation: Foundation, inputs: Inputs, result: "PlacementResult") -> Table:
    """What the rate asks of people and screed, and when the last truck is called."""
    supply, best, family = result.supply, result.choice.best, inputs.job.family
    low_x, low_y, high_x, high_y = foundation.region.bounds
    across = high_y - low_y if result.lanes.axis == 0 else high_x - low_x
    floor_m2_h = supply.rate_m3_h / foundation.floor.thickness_m
    lead_h = supply.lead_h
    call_h = max(best.finish_h[1] - supply.loads[-1] / supply.rate_m3_h - lead_h, 0.0)
    clock = f"{clock_text(best.start_h + call_h)}, " if result.day.clock.light is not None else ""
    rows = [
        ("Concrete placed an hour", format_quantity(supply.rate_m3_h, VOLUME_RATE, family, digits=3)),
        ("People to place and strike off", f"{supply.n_hands}, at {format_quantity(EACH_M3_H, VOLUME_RATE, family, digits=2)} each"),
        ("Floor struck off an hour", format_quantity(floor_m2_h, AREA, family, digits=3)),
        ("Screed along the slab an hour", format_quantity(floor_m2_h / across, LENGTH, family)),
        ("Last truck called on a usual day", f"{clock}{call_h:.1f} h after the first concrete, {60 * lead_h:.0f} min before it is needed"),
    ]
    return Table.of(
        "Hands, screed and the last call", ("", "Needed"), rows, note="The last load is called by the measured rest, not by this clock."
    )


def _order(result: "PlacementResult") -> Table:
    placed, rows = 0.0, []
    for number, region in enumerate(result.lanes.order(result.choice.best.ahead), start=1):
        placed += region.volume_m3
        rows.append((number, f"{region.kind.value}, lane {region.lane + 1}", region.volume_m3, placed))
    return Table.of("Order of placing", [Column("No."), "Where", Column("Concrete", "m3"), Column("Placed then", "m3")], rows)


def _by_start(result: "PlacementResult") -> Table:
    """The chosen arrangement at every start."""
    light = result.day.clock.light
    rows = [
        (
            clock_text(one.start_h), one.knit_limit_h, _share(one.worst_cold), _share(one.dark), clock_text(one.start_h + one.finish_h[1]),
            f"{result.day.cost(one):,.0f}", "chosen" if one.start_h == result.choice.best.start_h else "",
        )
        for one in result.choice.by_start
    ] if light is not None else []  # fmt: skip
    note = f"The sun rises at {clock_text(light.first_h)} and sets at {clock_text(light.last_h)}." if light is not None else ""
    columns = (
        "First concrete", Column("A lift stays live", "h"), "Cold joint, days", "Floated by lamps, days", "Last concrete, usual day",
        "Cost", "",
    )  # fmt: skip
    return Table.of("By the hour of the start", columns, rows, note=note)


def _tried(result: "PlacementResult") -> Table:
    chosen = result.choice.best
    ranked = sorted(
        zip(result.choice.tried, result.choice.costs, strict=True), key=lambda pair: (pair[0].n_trucks, pair[0].paces, pair[0].ahead)
    )
    rows = [
        (
            one.n_trucks, _paces(one), one.first, "all first" if one.ahead >= result.lanes.n_lanes else f"{one.ahead}",
            clock_text(one.start_h),
            one.finish_h[1], f"{100 * one.hole:.0f} %", one.oldest_h, f"{100 * one.worst_cold:.0f} %", f"{100 * one.dark:.0f} %",
            one.standby_h, one.idle_h, f"{cost:,.0f}", "chosen" if one is chosen else "",
        )
        for one, cost in ranked
    ]  # fmt: skip
    columns = (
        Column("Trucks"), "Spacing over unloading", "From", "Edge ahead", "Start", Column("Done in", "h"),
        "Hole", Column("Oldest load", "h"),
        "Cold joint", "Dark", Column("Trucks wait", "h"), Column("Crew waits", "h"), "Cost", "",
    )  # fmt: skip
    note = (
        "Hole, cold joint, dark: share of days with a gap over half an hour, with a lift too old at the worst lane, with floating by lamps."
        f" Shares are known to about {100 * result.choice.error:.1f} in 100, from the number of days simulated."
    )
    return Table.of("Arrangements tried", columns, rows, note=note)


def _paces(one: Outcome) -> str:
    return f"{one.paces[0]:.2f}" if one.is_even else " ".join(f"{pace:.2f}" for pace in one.paces)
