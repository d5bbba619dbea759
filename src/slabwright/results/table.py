"""A table of results: columns that know their unit, rows of plain values."""

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Column:
    """Heading of a column and the unit suffix of its numbers.

    Attributes
    ----------
    heading : str
        In trade words, without a unit.
    suffix : str
        As in :data:`slabwright.units.DIMENSIONS`; empty for text and counts.
    unit : str
        A written unit to show instead of the family's own.
    """

    heading: str
    suffix: str = ""
    unit: str = ""


Cell = float | int | str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Rows under columns; numbers are SI and are printed in the job's units."""

    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    note: str = ""

    @classmethod
    def of(cls, title: str, columns: Sequence[Column | str], rows: Sequence[Sequence[Cell]], note: str = "") -> "Table":
        """A table from plain lists; a bare heading is a column of text."""
        return cls(
            title=title,
            columns=tuple(column if isinstance(column, Column) else Column(column) for column in columns),
            rows=tuple(tuple(row) for row in rows),
            note=note,
        )
