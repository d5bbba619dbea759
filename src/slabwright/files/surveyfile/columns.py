"""Tables as surveyors write them: blocks of rows under headings, the unit in the heading or in the cell.

::

    # base, shot after compaction
    point,x (ft),y (ft),rod (ft)
    form,,,4.00
    1,3,33,4.43

A line that begins with ``#`` is a note. A line whose cells are all headings begins a new block.
"""

import csv
import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from io import StringIO

from slabwright.errors import Finding, InputError, OutOfRange
from slabwright.units import Dimension, Unit, parse_quantity

_HEADING = re.compile(r"^\s*(?P<name>[^()\[\]]+?)\s*(?:[(\[]\s*(?P<unit>[^)\]]*)\s*[)\]])?\s*$")
_ANGLE = re.compile(r"""^\s*(\d+)\s*[-°d ]\s*(\d+)\s*[-'′m ]\s*(\d+(?:\.\d+)?)\s*["″s]?\s*$""")
MOST_ROWS = 200_000


@dataclass(slots=True)
class Sheet:
    """One file while it is read: its name and what was found wrong or doubtful."""

    source: str
    findings: list[Finding] = field(default_factory=list)

    def refuse(self, where: str, message: str, line: int | None = None) -> None:
        """A finding that stops the reading."""
        self.findings.append(Finding(where=where, message=message, line=line))

    def warn(self, where: str, message: str, line: int | None = None) -> None:
        """A finding that lets the file be used."""
        self.findings.append(Finding(where=where, message=message, line=line, warning=True))

    def finish(self) -> tuple[Finding, ...]:
        """The warnings; raises with everything where something stops the reading."""
        if any(not finding.warning for finding in self.findings):
            raise InputError(self.source, sorted(self.findings, key=lambda one: (one.warning, one.line or 0)))
        return tuple(self.findings)


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a block: column to cell text, and its line in the file."""

    line: int
    cells: Mapping[str, str]

    def text(self, name: str) -> str:
        """The cell, or empty."""
        return self.cells.get(name, "")


@dataclass(frozen=True, slots=True)
class Block:
    """Rows under one line of headings.

    Attributes
    ----------
    names : tuple of str
        Columns, by the name they go under in this program.
    units : Mapping[str, Unit]
        Of the columns whose heading has one.
    rows : tuple of Row
    line : int
    """

    names: tuple[str, ...]
    units: Mapping[str, Unit]
    rows: tuple[Row, ...]
    line: int

    def number(self, sheet: Sheet, row: Row, name: str, kind: Dimension) -> float | None:
        """A quantity in SI; None for an empty cell or one that cannot be read, which is then told."""
        text = row.text(name)
        if not text:
            return None
        try:
            value = self._read(text, name, kind)
        except OutOfRange as error:
            sheet.refuse(name, str(error), row.line)
            return None
        if not math.isfinite(value):
            sheet.refuse(name, f'"{text}" is no finite number.', row.line)
            return None
        return value

    def _read(self, text: str, name: str, kind: Dimension) -> float:
        if kind.suffix == "rad" and (match := _ANGLE.match(text)):
            degrees, minutes, seconds = (float(part) for part in match.groups())
            return math.radians(degrees + minutes / 60 + seconds / 3600)
        unit = self.units.get(name)
        if unit is not None:
            try:
                return float(text.replace(",", "")) * unit.factor + unit.offset
            except ValueError:
                pass
        return parse_quantity(text, kind)


def blocks_of(sheet: Sheet, text: str, columns: Mapping[str, str], kinds: Mapping[str, Dimension]) -> list[Block]:
    """Split a table into blocks.

    Parameters
    ----------
    sheet : Sheet
    text : str
        Comma, semicolon or tab between the cells.
    columns : Mapping[str, str]
        Every heading a person may write, lower case, to the name it goes under.
    kinds : Mapping[str, Dimension]
        Kind of quantity of the columns that hold one.
    """
    rows = list(_rows(text))
    if len(rows) > MOST_ROWS:
        sheet.refuse("the table", f"has {len(rows):,} rows; up to {MOST_ROWS:,} are taken. Give a cloud of points as LAS, PLY or XYZ.")
        return []
    found: list[Block] = []
    heading: tuple[tuple[str, ...], dict[str, Unit], int] | None = None
    held: list[Row] = []
    for line, cells in rows:
        if (names := _headings(cells, columns)) is not None:
            if heading is not None:
                found.append(Block(heading[0], heading[1], tuple(held), heading[2]))
            heading, held = (names, _units(sheet, cells, names, kinds, line), line), []
        elif heading is None:
            known = ", ".join(sorted(set(columns)))
            sheet.refuse("headings", f'"{",".join(cells)[:60]}" is no line of headings; columns are {known}.', line)
            return []
        else:
            held.append(Row(line, {name: cell for name, cell in zip(heading[0], cells, strict=False) if name}))
    if heading is not None:
        found.append(Block(heading[0], heading[1], tuple(held), heading[2]))
    if not found:
        sheet.refuse("the table", "is empty; give headings and a row for each measurement.")
    return found


def _rows(text: str) -> Iterator[tuple[int, list[str]]]:
    body = text.removeprefix("\ufeff")
    first = next((line for line in body.splitlines() if line.strip() and not line.lstrip().startswith("#")), "")
    delimiter = max(",;\t", key=first.count)
    for line, row in enumerate(csv.reader(StringIO(body), delimiter=delimiter), start=1):
        cells = [cell.strip() for cell in row]
        if any(cells) and not cells[0].startswith("#"):
            yield line, cells


def _headings(cells: Sequence[str], columns: Mapping[str, str]) -> tuple[str, ...] | None:
    """Names of the columns where most cells are known headings and none is a number; unknown ones are passed over."""
    names = []
    for cell in cells:
        match = _HEADING.match(cell.lower().replace("_", " "))
        names.append(columns.get(match["name"].strip(), "") if match else "")
    known, filled = sum(bool(name) for name in names), sum(bool(cell) for cell in cells)
    is_heading = known > 0 and 2 * known >= filled and not any(_is_number(cell) for cell in cells)
    return tuple(names) if is_heading else None


def _is_number(text: str) -> bool:
    try:
        float(text.replace(",", ""))
    except ValueError:
        return False
    return True


def _units(sheet: Sheet, cells: Sequence[str], names: Sequence[str], kinds: Mapping[str, Dimension], line: int) -> dict[str, Unit]:
    units: dict[str, Unit] = {}
    for cell, name in zip(cells, names, strict=True):
        if not name:
            if cell:
                sheet.warn(cell, "is no column this table knows and is passed over.", line)
            continue
        match = _HEADING.match(cell)
        text = (match["unit"] or "").strip() if match else ""
        kind = kinds.get(name)
        if not text or kind is None:
            continue
        if text in kind.units:
            units[name] = kind.units[text]
        else:
            sheet.refuse(cell, f'"{text}" is no unit of {kind.name}; write for example {name} ({kind.us}) or {name} ({kind.si}).', line)
    return units
