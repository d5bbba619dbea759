"""Pictures and tables of the grade: thickness map, marks to paint, the order against the chance of running short."""

import math
from typing import TYPE_CHECKING

import numpy as np

from slabwright.geometry.foundation import Foundation
from slabwright.results.picture import Circle, Item, Layer, Line, Note, Picture, Scale
from slabwright.results.table import Cell, Column, Table
from slabwright.studies import quantities, shape
from slabwright.studies.grade.maps import carried_out, ground_items, map_items, round_levels
from slabwright.studies.grade.order import OrderOutlook
from slabwright.studies.grade.remarks import words
from slabwright.studies.grade.surface import BaseSurface
from slabwright.studies.grade.trench import Overdig
from slabwright.studies.grade.trim import Trim
from slabwright.study import Done, Inputs, Presentation
from slabwright.units import INCH_M, LENGTH, Family, format_quantity

if TYPE_CHECKING:
    from slabwright.studies.grade.study import GradeResult

_MOST_NUMBERS = 150
_SPOT_M3, _NEAR_M = 0.005, 0.6


def present(inputs: Inputs, done: Done, result: "GradeResult") -> Presentation:
    """Maps where the base was measured, the order always."""
    family, foundation = inputs.job.family, done[shape.STUDY].foundation
    pictures = []
    tables = [_order_parts(result.order), _choices(result.order, inputs.job.prices.currency if inputs.job.prices else "")]
    if result.surface.measured and result.trim is not None:
        pictures += [_thickness(foundation, result, family), _marks(foundation, result.trim, family)]
        tables += [_shots(result.surface, result.trim), _spots(result.trim), _shifts(result.trim)]
    pictures.append(_risk(result.order, done[quantities.STUDY].order.order_m3, family))
    if result.overdig:
        tables.append(_stations(result.overdig))
    return Presentation(pictures=tuple(pictures), tables=tuple(table for table in tables if table.rows))


def _thickness(foundation: Foundation, result: "GradeResult", family: Family) -> Picture:
    surface = result.surface
    design = surface.nodes.spread(foundation.thickness_m(surface.nodes.places))
    table = carried_out(design) + surface.map_m
    shots = [shot.thickness_m for shot in surface.shots]
    own = table[surface.nodes.mask]
    low, high = min(float(own.min()), *shots), max(float(own.max()), *shots)
    levels = round_levels(low, high, family)
    items = [*map_items(foundation, surface.nodes, table, levels), *ground_items(foundation)]
    step = max(1, len(surface.shots) // _MOST_NUMBERS)
    for shot in surface.shots[::step]:
        items.append(Circle(layer=Layer.SETTING_OUT, centre=shot.at, radius_m=0.05, filled=True, label=shot.name))
        items.append(Note(layer=Layer.TEXT, at=(shot.at[0], shot.at[1] + 0.18), text=_number(shot.thickness_m, family), size=0.8))
    for place in result.thickness.places:
        text = f"{format_quantity(place.below_m, LENGTH, family)} thin"
        items.append(Circle(layer=Layer.CHALK, centre=place.at, radius_m=0.5))
        items.append(Note(layer=Layer.CHALK, at=(place.at[0], place.at[1] - 0.75), text=text, bold=True, boxed=True))
    spread = f"from {format_quantity(low, LENGTH, family)} to {format_quantity(high, LENGTH, family)}"
    unit = "inches" if family is Family.US else "millimetres"
    return Picture(
        key="thickness",
        title="Thickness of the floor on this base",
        items=tuple(items),
        scale=Scale(title="thickness", low=levels[0], high=levels[-1], suffix="m", levels=levels, banded=True),
        alt=f"Map of the floor's thickness, {spread}; {len(result.thickness.places)} places too thin.",
        notes=(f"Numbers at the shots in {unit}. Edge, strips and pads are hatched and not mapped.",),
    )


def _number(thickness_m: float, family: Family) -> str:
    return f"{thickness_m / INCH_M:.2f}" if family is Family.US else f"{thickness_m * 1000:.0f}"


def _marks(foundation: Foundation, work: Trim, family: Family) -> Picture:
    """What to paint on the ground: C for cut and F for fill with a number of steps, a dot where nothing is to be done."""
    items = ground_items(foundation)
    for mark in work.marks:
        if mark.steps == 0:
            items.append(Circle(layer=Layer.SETTING_OUT, centre=mark.at, radius_m=0.05, filled=True, label=mark.name))
        else:
            items.append(Circle(layer=Layer.CHALK, centre=mark.at, radius_m=0.3))
            items.append(
                Note(layer=Layer.CHALK, at=mark.at, text=f"{'C' if mark.steps > 0 else 'F'}{abs(mark.steps)}", bold=True, size=1.3)
            )
    marked = [mark.at for mark in work.marks if mark.steps]
    for spot in work.spots:
        if spot.volume_m3 > _SPOT_M3 and all(math.dist(spot.at, at) > _NEAR_M for at in marked):
            text = f"{'C' if spot.depth_m > 0 else 'F'}{math.ceil(abs(spot.depth_m) / work.step_m - 1e-6)}"
            items.append(Note(layer=Layer.CHALK, at=spot.at, text=text, boxed=True))
    unit = "1/8 in." if family is Family.US else "3 mm"
    high, low = (format_quantity(limit, LENGTH, family) for limit in (work.high_limit_m, work.low_limit_m))
    return Picture(
        key="cut-and-fill",
        title="Cut and fill, as painted on the base",
        items=tuple(items),
        alt=f"Plan with {sum(mark.steps != 0 for mark in work.marks)} shots to cut or fill.",
        notes=(
            f"C3: cut 3 x {unit}; F2: fill 2 x {unit}; a dot: leave it. Taper out to the next dot.",
            f"The base may lie {high} high and {low} low.",
        ),
    )


def _risk(order: OrderOutlook, plain_m3: float, family: Family) -> Picture:
    """Chance of running short against the quantity ordered, drawn on a sheet of 10 by 5."""
    low, high = order.quantile_m3(0.001), order.quantile_m3(0.999)
    low, high = min(low, plain_m3) - 0.02 * (high - low), max(high, order.order_m3, plain_m3) + 0.02 * (high - low)
    ordered = np.linspace(low, high, 60)
    chance = np.array([(order.needed_m3 > value).mean() for value in ordered])

    def at(value: float, share: float) -> tuple[float, float]:
        return 10.0 * (value - low) / (high - low), 5.0 * share

    say = words(family)
    items: list[Item] = [
        Line(layer=Layer.DIMENSION, points=((0.0, 5.0), (0.0, 0.0), (10.0, 0.0))),
        Line(layer=Layer.CONCRETE_CUT, points=tuple(at(float(v), float(c)) for v, c in zip(ordered, chance, strict=True)), weight=1.4),
    ]
    for share in (0.05, 0.5, 1.0):
        items.append(Line(layer=Layer.DIMENSION, points=((0.0, 5 * share), (10.0, 5 * share)), dashed=True, weight=0.4))
        items.append(Note(layer=Layer.TEXT, at=(-0.15, 5 * share), text=f"{100 * share:.0f} %", anchor="end", size=0.8))
    flags = ((plain_m3, Layer.DIMENSION, "order list", 0.55), (order.order_m3, Layer.CHALK, "1 in 20", 0.30))
    for value, layer, name, lift in flags:
        x, _ = at(value, 0.0)
        items.append(Line(layer=layer, points=((x, 0.0), (x, 5.0 * lift + 1.0)), weight=1.0))
        items.append(Note(layer=layer, at=(x, 5.0 * lift + 1.15), text=f"{name}: {say.volume(value)}", bold=True))
    for value in np.linspace(low, high, 5):
        items.append(Note(layer=Layer.TEXT, at=(at(float(value), 0.0)[0], -0.3), text=say.volume(float(value)), size=0.8))
    odds = f"{100 * order.plain_short:.0f} %"
    return Picture(
        key="order-risk",
        title="Chance of running short against the quantity ordered outright",
        items=tuple(items),
        alt=f"Chance of running short: {odds} at {say.volume(plain_m3)}, 5 % at {say.volume(order.order_m3)}.",
    )


def _order_parts(order: OrderOutlook) -> Table:
    rows: list[tuple[str | float, ...]] = [("neat, as shaped", order.neat_m3, 0.0, "")]
    rows += [(part.item, part.mean_m3, part.sd_m3, "measured" if part.measured else "allowed") for part in order.parts]
    total = order.needed_m3
    rows.append(("together", float(total.mean()), float(total.std()), ""))
    columns: list[Column | str] = ["What the pad takes", Column("Mean", "m3"), Column("Give or take", "m3"), ""]
    return Table.of("What the order is made of", columns, rows)


def _choices(order: OrderOutlook, currency: str) -> Table:
    money = any(choice.cost is not None for choice in order.choices)
    rows: list[tuple[Cell, ...]] = []
    for choice in order.choices:
        sides = [choice.short_cost, choice.left_cost, choice.cost] if money else []
        shown = [f"{currency}{side:,.0f}" for side in sides if side is not None]
        rows.append((choice.order_m3, f"{100 * choice.chance_short:.1f} %", choice.left_m3, *shown))
    columns: list[Column | str] = [Column("Ordered outright", "m3"), "Short in", Column("Left over on the average", "m3")]
    columns += ["Short side", "Left side", "Both"] if money else []
    note = "Short side: a load called back at its fee, with the wait. Left side: concrete paid for and not used." if money else ""
    return Table.of("Quantity ordered outright, without a balance load", columns, rows, note=note)


def _shots(surface: BaseSurface, work: Trim) -> Table:
    steps = {mark.name: mark.steps for mark in work.marks}
    rows = [(shot.name, *shot.at, shot.thickness_m, shot.deviation_m, steps[shot.name] * work.step_m) for shot in surface.shots[:400]]
    columns: list[Column | str] = [
        "Shot", Column("x", "m"), Column("y", "m"), Column("Floor there", "m"), Column("Thicker than drawn", "m"), Column("Cut", "m"),
    ]  # fmt: skip
    note = f"The first 400 of {len(surface.shots)}." if len(surface.shots) > 400 else ""
    return Table.of("Shots on the base", columns, rows, note=note)


def _spots(work: Trim) -> Table:
    rows = [("shave" if spot.depth_m > 0 else "fill", *spot.at, abs(spot.depth_m), spot.area_m2, spot.volume_m3) for spot in work.spots]
    columns: list[Column | str] = [
        "Do",
        Column("x", "m"),
        Column("y", "m"),
        Column("Depth there", "m"),
        Column("Over", "m2"),
        Column("Volume", "m3"),
    ]
    return Table.of("Spots to shave and fill", columns, rows)


def _shifts(work: Trim) -> Table:
    rows = [(shift.by_m, shift.shave_m3, shift.fill_m3, shift.concrete_m3) for shift in work.shifts]
    columns: list[Column | str] = [
        Column("Floor raised by", "m"),
        Column("To shave", "m3"),
        Column("To fill", "m3"),
        Column("More concrete", "m3"),
    ]
    note = "Only where the drawings let the whole floor rise or fall; doors, drains and the frame's bases must follow."
    return Table.of("If the whole floor were raised or lowered", columns, rows, note=note)


def _stations(over: tuple[Overdig, ...]) -> Table:
    rows = [(one.part, station.name, f"{100 * station.overdig:+.0f} %") for one in over for station in one.stations]
    rows += [(one.part, "mean", f"{100 * one.mean:+.1f} ± {100 * one.sd:.1f} %") for one in over]
    return Table.of("Trench as dug", ["Part", "Station", "Over the drawing"], rows)
