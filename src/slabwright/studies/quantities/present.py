"""The concrete as a ladder from the shape to the order, the order list by trade, and what it costs."""

from typing import TYPE_CHECKING

from slabwright.results.lines import Trade
from slabwright.results.table import Cell, Column, Table
from slabwright.study import Done, Inputs, Presentation

if TYPE_CHECKING:
    from slabwright.studies.quantities.study import QuantitiesResult


def present(inputs: Inputs, done: Done, result: "QuantitiesResult") -> Presentation:  # noqa: ARG001 - one signature for all studies
    """The ladder of the concrete; costs where the job has prices."""
    tables = [_ladder(result)]
    if result.costs is not None and result.costs.costs:
        tables.append(_costs(result))
    return Presentation(tables=tuple(tables))


def _ladder(result: "QuantitiesResult") -> Table:
    """Neat by part, allowance by allowance, with the running sum."""
    rows: list[list[Cell]] = []
    running = 0.0
    for line in result.lines:
        if line.trade is Trade.CONCRETE and line.part_of == "concrete":
            running += line.quantity
            rows.append([line.item, line.quantity, running, line.basis, str(line.clause)])
    columns: list[Column | str] = ["Item", Column("Volume", "m3"), Column("Sum", "m3"), "How it was reckoned", "From"]
    loads = next(line.basis for line in result.lines if line.key == "concrete.loads")
    return Table.of("Concrete, from the shape to the order", columns, rows, note=f"Loads: {loads}.")


def _costs(result: "QuantitiesResult") -> Table:
    costs = result.costs
    if costs is None:
        return Table.of("Costs", ["Item", "Amount"], [])
    rows: list[list[Cell]] = [[one.item, costs.text(one.amount)] for one in costs.costs]
    rows.append(["All that has a price", costs.text(costs.total)])
    note = ""
    if costs.thicker_cost is not None:
        note = f"One more {'inch' if costs.thicker_m > 0.0251 else '25 mm'} of floor takes {costs.text(costs.thicker_cost)} of concrete."
    return Table.of("Costs at the prices of the job", ["Item", "Amount"], rows, note=note)
