"""Pictures and tables of the pour day: lanes with their risk, cost against risk, the arrangements tried."""

from typing import TYPE_CHECKING

import shapely

from slabwright.results.picture import Area, Circle, DimensionLine, Hatch, Item, Layer, Line, Note, Picture
from slabwright.results.table import Column, Table
from slabwright.studies import shape
from slabwright.study import Done, Inputs, Presentation

if TYPE_CHECKING:
    from slabwright.studies.placement.study import PlacementResult


def present(inputs: Inputs, done: Done, result: "PlacementResult") -> Presentation:  # noqa: ARG001 - one signature for all studies
    """Lane plan, cost against risk, and the tables behind them."""
    return Presentation(pictures=(_lanes(done, result), _cost_against_risk(result)), tables=(_order(result), _tried(result)))


def _lanes(done: Done, result: "PlacementResult") -> Picture:
    region, lanes, best = done[shape.STUDY].foundation.region, result.lanes, result.choice.best
    low_x, low_y, high_x, high_y = region.bounds
    items: list[Item] = []
    for number, (start, end) in enumerate(zip(lanes.bounds[:-1], lanes.bounds[1:], strict=True)):
        box = shapely.box(start, low_y, end, high_y) if lanes.axis == 0 else shapely.box(low_x, start, high_x, end)
        for piece in shapely.get_parts(region.intersection(box)):
            if not isinstance(piece, shapely.Polygon):
                continue
            hatch = Hatch.NONE if best.cold[number] <= 0.05 else Hatch.MEDIUM if best.cold[number] <= 0.25 else Hatch.DENSE
            ring = tuple((float(x), float(y)) for x, y in shapely.get_coordinates(piece.exterior)[:-1])
            items.append(Area(layer=Layer.CONCRETE_SEEN, outline=ring, hatch=hatch))
            at = piece.representative_point()
            minutes = 60 * (result.knit_limit_h - best.knit_h[number])
            word = f"{minutes:.0f} min to spare" if minutes >= 0 else f"{-minutes:.0f} min too old"
            items.append(Note(layer=Layer.TEXT, at=(at.x, at.y), text=f"lane {number + 1}: {word}", boxed=True))
    for piece in shapely.get_parts(region):
        points = tuple((float(x), float(y)) for x, y in shapely.get_coordinates(piece.exterior)[:-1])
        items.append(Line(layer=Layer.CONCRETE_CUT, points=points, closed=True))
    offset = 0.06 * max(high_x - low_x, high_y - low_y)
    if lanes.axis == 0:
        items.append(DimensionLine(start=(float(lanes.bounds[1]), low_y), end=(float(lanes.bounds[0]), low_y), offset_m=offset))
    else:
        items.append(DimensionLine(start=(low_x, float(lanes.bounds[0])), end=(low_x, float(lanes.bounds[1])), offset_m=offset))
    return Picture(
        key="lanes",
        title="Lanes, lane 1 first; how much time the ring has left when the floor covers it, on a bad day",
        items=tuple(items),
        alt="Plan of the floor in lanes, each with the minutes left before its ring is too old.",
        notes=("Hatched: the ring may be too old; the denser, the likelier. A bad day is one in ten.",),
    )


def _cost_against_risk(result: "PlacementResult") -> Picture:
    tried, costs = result.choice.tried, result.choice.costs
    most = max(*costs, 1.0)
    wide, high = 10.0, 6.0
    items: list[Item] = [
        Line(layer=Layer.DIMENSION, points=((0.0, high), (0.0, 0.0), (wide, 0.0))),
        Note(layer=Layer.TEXT, at=(wide, -0.6), text="chance of a cold joint at the worst lane", anchor="end"),
        Note(layer=Layer.TEXT, at=(0.1, high + 0.35), text="cost of waiting, idling and lateness", anchor="start"),
    ]
    for share in (0.25, 0.5, 0.75, 1.0):
        items.append(Note(layer=Layer.DIMENSION, at=(share * wide, -0.25), text=f"{100 * share:.0f} %", size=0.8))
        items.append(Note(layer=Layer.DIMENSION, at=(-0.1, share * high), text=f"{share * most:,.0f}", size=0.8, anchor="end"))
    for one, cost in zip(tried, costs, strict=True):
        chosen = one is result.choice.best
        at = (wide * one.worst_cold, high * cost / most)
        items.append(Circle(layer=Layer.CHALK if chosen else Layer.DIMENSION, centre=at, radius_m=0.14 if chosen else 0.09, filled=chosen))
        if chosen:
            items.append(Note(layer=Layer.CHALK, at=(at[0] + 0.3, at[1] + 0.3), text=f"{one.n_trucks} trucks", anchor="start", bold=True))
    return Picture(
        key="cost",
        title="Cost against risk: each ring is an arrangement, the filled one is chosen",
        items=tuple(items),
        alt="Scatter of arrangements by expected cost and chance of a cold joint.",
    )


def _order(result: "PlacementResult") -> Table:
    placed, rows = 0.0, []
    for number, region in enumerate(result.lanes.order(result.choice.best.ahead), start=1):
        placed += region.volume_m3
        rows.append((number, f"{region.kind.value}, lane {region.lane + 1}", region.volume_m3, placed))
    return Table.of("Order of placing", [Column("No."), "Where", Column("Concrete", "m3"), Column("Placed then", "m3")], rows)


def _tried(result: "PlacementResult") -> Table:
    chosen = result.choice.best
    rows = [
        (
            one.n_trucks,
            f"{one.pace:.2f}",
            "whole ring" if one.ahead >= result.lanes.n_lanes else f"{one.ahead}",
            one.finish_h[1],
            f"{100 * one.hole:.0f} %",
            one.oldest_h,
            f"{100 * one.worst_cold:.0f} %",
            one.standby_h,
            one.idle_h,
            f"{cost:,.0f}",
            "chosen" if one is chosen else "",
        )
        for one, cost in sorted(
            zip(result.choice.tried, result.choice.costs, strict=True), key=lambda pair: (pair[0].n_trucks, pair[0].pace, pair[0].ahead)
        )
    ]
    return Table.of(
        "Arrangements tried",
        [
            Column("Trucks"),
            "Spacing over unloading",
            "Ring ahead",
            Column("Done in", "h"),
            "Days with a hole",
            Column("Oldest load", "h"),
            "Cold joint",
            Column("Trucks wait", "h"),
            Column("Crew waits", "h"),
            "Cost",
            "",
        ],
        rows,
        note=f"Shares are known to about {100 * result.choice.error:.1f} in 100, from the number of days simulated.",
    )
