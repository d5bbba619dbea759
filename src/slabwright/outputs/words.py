"""Results as people read them: checks, order lines and tables in words.

The book, the workbook, the machine-readable results, the command line and the web page all take their words from here
and their numbers from :mod:`slabwright.outputs.numbers`, so that a figure reads the same everywhere.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from slabwright.outputs.numbers import quantity_text, shown_unit, spelling
from slabwright.results.check import Check, State
from slabwright.results.lines import QuantityLine
from slabwright.results.table import Cell, Column, Table
from slabwright.units import Family, format_number


@dataclass(frozen=True, slots=True)
class CheckText:
    """A check in words; ``demand`` and ``limit`` share one unit."""

    name: str
    where: str
    demand: str
    limit: str
    ratio: str
    state: State
    clause: str
    method: str
    governing: str
    remedy: str

    @property
    def line(self) -> str:
        """The whole check in one line, for logs and lists."""
        subject = f"{self.name}, {self.where}" if self.where else self.name
        return f"{subject}: {self.demand} against {self.limit}, ratio {self.ratio}, {self.state.value} ({self.clause})"


def check_text(check: Check, family: Family) -> CheckText:
    """A check as every sheet prints it."""
    pair = (check.demand, check.capacity)
    written = spelling(pair, check.suffix, family)
    demand, limit = (written.with_unit(value) for value in pair)
    if demand == limit and check.suffix == "m" and (check.state is State.FAILS or abs(check.ratio - 1.0) > 1e-3):
        written = spelling(pair, "m", family, unit="in" if family is Family.US else "mm")
        demand, limit = (written.with_unit(value) for value in pair)
    return CheckText(
        name=check.name,
        where=check.where,
        demand=demand,
        limit=limit,
        ratio=ratio_text(check),
        state=check.state,
        clause=str(check.clause),
        method=str(check.method) if check.method is not None else "",
        governing=check.governing,
        remedy=check.remedy if check.state is not State.HOLDS else "",
    )


def ratio_text(check: Check) -> str:
    """The ratio to two decimals, with more where two would tell another story than the state, and its spread."""
    ratio = check.ratio
    decimals = 2
    while check.state is State.FAILS and round(ratio, decimals) <= 1.0 and decimals < 9:
        decimals += 1
    text = f"{ratio:.{decimals}f}" if ratio < 100 else format_number(ratio)
    return f"{text} ±{100 * check.spread:.0f} %" if check.spread else text


def table_text(table: Table, family: Family) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...], tuple[bool, ...]]:
    """A table in words.

    Returns
    -------
    tuple
        The headings with their units, the rows, and for each column whether it holds numbers.
    """
    headings, columns, numeric = [], [], []
    for place, column in enumerate(table.columns):
        cells = [row[place] for row in table.rows]
        heading, words, is_numeric = _column_text(column, cells, family)
        headings.append(heading)
        columns.append(words)
        numeric.append(is_numeric)
    return tuple(headings), tuple(zip(*columns, strict=True)), tuple(numeric)


def _column_text(column: Column, cells: Sequence[Cell], family: Family) -> tuple[str, list[str], bool]:
    numbers = [float(cell) for cell in cells if isinstance(cell, (int, float)) and math.isfinite(cell)]
    written = spelling(numbers, column.suffix, family, column.unit)
    heading = f"{column.heading} ({written.unit})" if written.unit else column.heading
    words = []
    for cell in cells:
        if cell is None or (isinstance(cell, float) and not math.isfinite(cell)):
            words.append("")
        elif isinstance(cell, str):
            words.append(cell)
        else:
            words.append(written.number(float(cell)))
    return heading, words, bool(numbers)


def order_unit(line: QuantityLine, family: Family) -> str:
    """The unit a thing is ordered in: its own where the line names one; runs in whole feet or metres."""
    if line.unit or not line.suffix:
        return line.unit
    if line.suffix == "m":
        long = abs(line.quantity) >= 1.0
        return ("ft" if long else "in") if family is Family.US else ("m" if long else "mm")
    return shown_unit(line.suffix, line.quantity, family)


def line_text(line: QuantityLine, family: Family) -> str:
    """The quantity of an order line with its unit."""
    return quantity_text(line.quantity, line.suffix, family, order_unit(line, family))
