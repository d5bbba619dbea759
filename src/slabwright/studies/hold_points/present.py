"""Hold points as tables in the order of the work, the stations on the plan, and who gets which paper."""

from typing import TYPE_CHECKING

from slabwright.geometry.drawing import plan_items
from slabwright.model.job import Signature
from slabwright.results.picture import Circle, Item, Layer, Note, Picture
from slabwright.results.table import Table
from slabwright.studies import shape
from slabwright.studies.hold_points.papers import who_gets_what
from slabwright.studies.hold_points.points import HoldPoint, number_text
from slabwright.study import Done, Inputs, Presentation
from slabwright.units import Family

if TYPE_CHECKING:
    from slabwright.studies.hold_points.study import HoldPointsResult


def present(inputs: Inputs, done: Done, result: "HoldPointsResult") -> Presentation:
    """Stations, who gets what, one table a point."""
    family = inputs.job.family
    tables = [point_table(number, point, family, result.signatures.get(point.key)) for number, point in enumerate(result.points, start=1)]
    return Presentation(pictures=(_plan(done, result),), tables=(who_gets_what(), *tables))


def point_table(number: int, point: HoldPoint, family: Family, signature: Signature | None = None) -> Table:
    """One hold point as people sign it."""
    rows = [(one.look_at, one.where, number_text(one, family), one.instrument, one.photo, str(one.clause)) for one in point.items]
    stops = point.repeats or f"before {point.before}"
    signs = f"signs {point.signs}" if signature is None else f"signed by {signature.by} on {signature.on:%Y-%m-%d}"
    return Table.of(f"{number}. {point.title}: {stops}; {signs}", ("Look at", "Where", "Number", "With", "Photo", "Rule"), rows)


def _plan(done: Done, result: "HoldPointsResult") -> Picture:
    foundation = done[shape.STUDY].foundation
    middle = foundation.outline.centroid
    low_x, low_y, high_x, high_y = foundation.outline.bounds
    out = 0.035 * max(high_x - low_x, high_y - low_y)
    items: list[Item] = [*plan_items(foundation)]
    for station in result.stations:
        x, y = station.at
        away = ((x - middle.x) ** 2 + (y - middle.y) ** 2) ** 0.5 or 1.0
        items.append(Circle(layer=Layer.CHALK, centre=station.at, radius_m=0.12, filled=True, label=station.name))
        items.append(Note(layer=Layer.CHALK, at=(x + out * (x - middle.x) / away, y + out * (y - middle.y) / away), text=station.name))
    items += [Note(layer=Layer.POST, at=pad.at, text=pad.name, bold=True) for pad in foundation.pads]
    return Picture(
        key="plan-stations",
        title="Stations of the form line, and pads",
        items=tuple(items),
        alt=f"Plan of the form line with {len(result.stations)} numbered stations.",
    )
