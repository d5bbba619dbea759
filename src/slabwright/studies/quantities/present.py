"""The concrete as a bar from the shape to the order with the trucks that bring it, its ladder, and what it costs."""

from itertools import accumulate
from typing import TYPE_CHECKING

from slabwright.results.lines import Trade
from slabwright.results.picture import Area, Hatch, Item, Layer, Leader, Note, Picture, Ring
from slabwright.results.table import Cell, Column, Table
from slabwright.studies.quantities.costs import Costs
from slabwright.studies.quantities.words import Words
from slabwright.study import Done, Inputs, Presentation

if TYPE_CHECKING:
    from slabwright.studies.quantities.study import QuantitiesResult

_LONG_M, _HIGH_M = 10.0, 0.9
_HATCHES = {"floor": Hatch.SOLID, "strips": Hatch.MEDIUM, "edge": Hatch.MEDIUM, "pads": Hatch.DENSE, "outside": Hatch.DENSE}


def present(inputs: Inputs, done: Done, result: "QuantitiesResult") -> Presentation:  # noqa: ARG001 - one signature for all studies
    """The bar and the ladder of the concrete; costs where the job has prices."""
    tables = [_ladder(result)]
    if result.costs is not None and result.costs.costs:
        tables.append(_costs(result.costs))
    return Presentation(pictures=(_bar(result, Words(inputs.job.family)),), tables=tuple(tables))


def _bar(result: "QuantitiesResult", words: Words) -> Picture:
    """Above, what the order is made of; below, the loads that bring it; both to one scale."""
    order = result.order
    scale = _LONG_M / order.order_m3
    neat = [(line.key.removeprefix("concrete."), line.quantity) for line in result.lines if line.part_of == "concrete"]
    shares = [(name, volume) for name, volume in neat if name in _HATCHES]
    shares.append(("allowances", order.order_m3 - order.neat_m3))
    loads = [order.truck_m3] * order.loads.n_full + [order.loads.balance_m3] * bool(order.loads.balance_m3)
    items: list[Item] = []
    for (name, volume), end in zip(shares, accumulate(volume for _, volume in shares), strict=True):
        left, right = scale * (end - volume), scale * end
        hatch = _HATCHES.get(name, Hatch.SPARSE)
        items.append(Area(layer=Layer.CONCRETE_CUT, outline=_box(left, right, 0.3, 0.3 + _HIGH_M), hatch=hatch, label=name))
        text = f"{'outside the forms' if name == 'outside' else name} {words.volume(volume)}"
        items.append(Leader(layer=Layer.TEXT, tip=(0.5 * (left + right), 0.3 + _HIGH_M), at=(0.5 * (left + right), 1.9), text=text))
    for number, (volume, end) in enumerate(zip(loads, accumulate(loads), strict=True), start=1):
        gap = min(0.02, 0.1 * scale * volume)
        left, right = scale * (end - volume) + gap, scale * end - gap
        is_balance = number > order.loads.n_full
        hatch = Hatch.SPARSE if is_balance else Hatch.NONE
        items.append(Area(layer=Layer.CONCRETE_SEEN, outline=_box(left, right, -0.75, 0.0), hatch=hatch, label=f"load {number}"))
        if right - left > 0.25:
            items.append(Note(layer=Layer.TEXT, at=(0.5 * (left + right), -0.375), text=str(number), bold=True))
    if order.loads.balance_m3:
        text = f"balance load {words.volume(order.loads.balance_m3)}, held until measured"
        items.append(Leader(layer=Layer.CHALK, tip=(_LONG_M - 0.1, -0.75), at=(_LONG_M - 0.4, -1.3), text=text))
    return Picture(
        key="order",
        title="What the concrete is made of, and the loads that bring it",
        items=tuple(items),
        alt=f"{words.volume(order.neat_m3)} neat and {words.volume(order.order_m3 - order.neat_m3)} of allowances in {len(loads)} loads.",
    )


def _box(left: float, right: float, low: float, high: float) -> Ring:
    return ((left, low), (right, low), (right, high), (left, high))


def _ladder(result: "QuantitiesResult") -> Table:
    """Neat by part, allowance by allowance, with the running sum and the share of the neat volume."""
    rows: list[list[Cell]] = []
    running = 0.0
    for line in result.lines:
        if line.trade is Trade.CONCRETE and line.part_of == "concrete":
            running += line.quantity
            rows.append([line.item, line.quantity, running, f"{100 * line.quantity / result.order.neat_m3:.1f} %"])
    columns: list[Column | str] = ["Item", Column("Volume", "m3"), Column("Sum", "m3"), "Of the neat volume"]
    loads = next(line.basis for line in result.lines if line.key == "concrete.loads")
    return Table.of("Concrete, from the shape to the order", columns, rows, note=f"Loads: {loads}.")


def _costs(costs: Costs) -> Table:
    rows: list[list[Cell]] = [[one.item, costs.text(one.amount)] for one in costs.costs]
    rows.append(["All that has a price", costs.text(costs.total)])
    note = ""
    if costs.thicker_cost is not None:
        more = "inch" if costs.thicker_m > 0.0251 else "25 mm"
        note = f"One more {more} of floor takes {costs.text(costs.thicker_cost)} of concrete. "
    if any(one.key.startswith(("steel.", "sheet.")) for one in costs.costs):
        note += "Sheets, rolls and steel are counted by rule of thumb here; the order list prices them as laid out."
    return Table.of("Costs at the prices of the job", ["Item", "Amount"], rows, note=note.strip())
