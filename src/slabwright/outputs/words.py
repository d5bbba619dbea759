"""Results as people read them: the one place where checks, quantities, tables and values become text.

The book, the workbook, the machine-readable results, the command line and the web page all take their words from here,
so that a figure reads the same everywhere. Numbers arrive in SI with their suffix and leave in the job's family.
"""

import math
import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from slabwright.results.check import Check, State
from slabwright.results.lines import QuantityLine
from slabwright.results.table import Cell, Column, Table
from slabwright.units import (
    DIMENSIONS,
    INCH_M,
    KIP_N,
    LENGTH,
    POUND_FORCE_N,
    PSF_PA,
    Dimension,
    Family,
    format_feet_inches,
    format_number,
    format_quantity,
    in_unit,
    printed_unit,
)

STATE_SIGNS = {State.HOLDS: "■", State.NEAR: "◧", State.FAILS: "⧄", State.ASK: "○", State.WAITING: "–"}
"""The five shapes as characters, for where nothing can be drawn."""

_EIGHTH_M = INCH_M / 8
_GROUND_PRESSURE_PA = 10_000 * PSF_PA
_STEEL_AREA_M2 = 0.05


def shown_unit(suffix: str, magnitude: float, family: Family) -> str:
    """The unit a person of the trade uses for a quantity of that size.

    Bearing on soil reads in psf or kPa and stress in concrete in psi or MPa, though both are pressures; bars are counted
    in square inches or square millimetres, floors in square feet or square metres.

    Parameters
    ----------
    suffix : str
        As in :data:`slabwright.units.DIMENSIONS`.
    magnitude : float
        The largest value to be shown beside others of the same kind, in SI.
    family : Family
    """
    dimension = DIMENSIONS[suffix]
    us = family is Family.US
    size = abs(magnitude)
    if suffix == "pa" and size < _GROUND_PRESSURE_PA:
        return "psf" if us else "kPa"
    if suffix == "m2" and size < _STEEL_AREA_M2:
        return "in2" if us else "mm2"
    if suffix == "n" and us and size < 0.5 * KIP_N:
        return "lb"
    if suffix == "n" and not us and size < 500:
        return "N"
    if suffix == "nm" and us and size < 1000 * POUND_FORCE_N * INCH_M:
        return "lb-in"
    return dimension.us if us else dimension.si


def quantity_text(value: float, suffix: str, family: Family, unit: str = "") -> str:
    """A value with its unit, such as ``4 1/2 in``, ``1,536 psf``, ``29 yd³`` or ``24 bars``.

    Parameters
    ----------
    value : float
        In the SI unit of ``suffix``.
    suffix : str
    family : Family
    unit : str, optional
        A written unit to show instead of the family's own; the thing counted where the suffix is empty.
    """
    dimension = DIMENSIONS[suffix]
    if not suffix and unit not in dimension.units:
        return f"{format_number(value)} {unit}"
    if unit or dimension is LENGTH:
        return format_quantity(value, dimension, family, unit=unit or None)
    return format_quantity(value, dimension, family, unit=shown_unit(suffix, value, family))


@dataclass(frozen=True, slots=True)
class Spelling:
    """How the numbers of one column are written: the unit for its heading and the number without it."""

    unit: str
    number: Callable[[float], str]

    def with_unit(self, value: float) -> str:
        """The number and its unit."""
        return f"{self.number(value)}{'' if self.unit == '°' else ' '}{self.unit}".strip()


def spelling(values: Iterable[float], suffix: str, family: Family, unit: str = "") -> Spelling:
    """One spelling for numbers that stand side by side, chosen by the largest of them.

    Parameters
    ----------
    values : iterable of float
        In the SI unit of ``suffix``.
    suffix : str
    family : Family
    unit : str, optional
        A written unit that settles the choice.
    """
    sizes = [abs(value) for value in values]
    largest = max(sizes, default=0.0)
    dimension = DIMENSIONS[suffix]
    if not suffix and unit not in dimension.units:
        return Spelling(unit, format_number)
    if dimension is LENGTH and not unit:
        return _length_spelling(sizes, largest, family)
    return _plain_spelling(dimension, unit or shown_unit(suffix, largest, family), family)


def _plain_spelling(dimension: Dimension, unit: str, family: Family) -> Spelling:
    digits = dimension.digits[0 if family is Family.US else 1]
    return Spelling(printed_unit(unit), lambda value: format_number(in_unit(value, dimension, unit), digits))


def _length_spelling(sizes: Sequence[float], largest: float, family: Family) -> Spelling:
    if family is Family.SI:
        if largest >= 1.0:
            return Spelling("m", lambda value: f"{value:,.3f}".rstrip("0").rstrip("."))
        return Spelling("mm", lambda value: format_number(value * 1000, 3))
    if largest >= 36 * INCH_M:
        return Spelling("", _feet_inches)
    if largest and largest < INCH_M / 16:
        return Spelling("mil", lambda value: format_number(value / INCH_M * 1000, 3))
    if all(abs(size / _EIGHTH_M - round(size / _EIGHTH_M)) < 0.15 for size in sizes):
        return Spelling("in", _inches)
    return Spelling("in", lambda value: format_number(value / INCH_M, 3))


def _feet_inches(value_m: float) -> str:
    """Feet and inches even below 3 ft, beside longer ones."""
    if abs(value_m) >= 36 * INCH_M or abs(value_m) < _EIGHTH_M / 2:
        return format_feet_inches(value_m) if value_m else "0"
    feet, inches = divmod(Fraction(round(abs(value_m) / _EIGHTH_M), 8), 12)
    sign = "-" if value_m < 0 else ""
    return f"{sign}{feet}'-{_inches(float(inches) * INCH_M)}\""


def _inches(value_m: float) -> str:
    eighths = Fraction(round(abs(value_m) / _EIGHTH_M), 8)
    whole, part = divmod(eighths, 1)
    text = f"{whole} {part}" if whole and part else str(part or whole)
    return f"-{text}" if value_m < 0 and eighths else text


def dimension_text(value_m: float, family: Family) -> str:
    """A dimension as a drawing carries it: feet and inches to 1/8 in., or millimetres without a unit."""
    if family is Family.US:
        return format_feet_inches(value_m)
    return f"{round(value_m * 1000):,}".replace(",", "\u202f")


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
        written = _plain_spelling(LENGTH, "in" if family is Family.US else "mm", family)
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


def percent_text(fraction: float) -> str:
    """A fraction as a percentage; nothing for none."""
    return f"{format_number(100 * fraction, 3)} %" if fraction else ""


def money_text(amount: Decimal, currency: str) -> str:
    """An amount of money to the cent."""
    sign = "-" if amount < 0 else ""
    gap = " " if currency.isalpha() else ""
    return f"{sign}{currency}{gap}{abs(amount):,.2f}"


_MONTHS = "January February March April May June July August September October November December"


def day_text(day: date | None, family: Family) -> str:
    """A day as its readers write it; says so where there is none."""
    if day is None:
        return "not dated"
    month = _MONTHS.split()[day.month - 1]
    return f"{month} {day.day}, {day.year}" if family is Family.US else f"{day.day} {month} {day.year}"


def answer_runs(answer: str) -> tuple[tuple[str, bool], ...]:
    """An answer cut at its asterisks: runs of text, and whether each is the figure to be set bold."""
    return tuple((text, place % 2 == 1) for place, text in enumerate(answer.split("*")) if text)


_SUBSCRIPT = re.compile(r"(?<![A-Za-z0-9_])([A-Za-zα-ωΑ-Ω′]+)_([A-Za-z0-9α-ω_]+)")


def formula_runs(text: str) -> tuple[tuple[str, bool], ...]:
    """A formula cut into runs: text, and whether each is a subscript."""
    runs: list[tuple[str, bool]] = []
    end = 0
    for match in _SUBSCRIPT.finditer(text):
        runs += [(text[end : match.end(1)], False), (match[2].replace("_", ","), True)]
        end = match.end()
    return tuple(run for run in (*runs, (text[end:], False)) if run[0])


_VULGAR = {"1/2": "½", "1/4": "¼", "3/4": "¾", "1/8": "⅛", "3/8": "⅜", "5/8": "⅝", "7/8": "⅞", "1/3": "⅓", "2/3": "⅔"}
_SUPERIOR = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")
_INFERIOR = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")
_FRACTION = re.compile(r"(?:(?<=\d)[ -])?(?<![\d/.,])(\d{1,2})/(2|3|4|8|16|32)(?![\d/.,]*\d)(?! ?=)")
_FEET = re.compile(r"(\d)'(?![A-Za-z])(?:-(\d+(?: ?[½¼¾⅛⅜⅝⅞]| ?[⁰-⁹¹²³]+⁄[₀-₉]+)?)\")?")
_MINUS = re.compile(r"(?<![\w.'′)\]-])-(?=[\d½¼¾⅛⅜⅝⅞])")


def typeset(text: str) -> str:
    """Text for paper and screen: real fractions, primes for feet and inches, a minus sign for negative numbers.

    >>> typeset("16'-6 1/2\\"")
    '16′-6½″'
    >>> typeset("cut 1 1/4 in deep at -3/8 in")
    'cut 1¼ in deep at −⅜ in'
    """
    text = _FRACTION.sub(_real_fraction, text)
    text = _FEET.sub(lambda match: f"{match[1]}′-{match[2]}″" if match[2] else f"{match[1]}′", text)
    return _MINUS.sub("−", text)


def _real_fraction(match: re.Match[str]) -> str:
    written = f"{match[1]}/{match[2]}"
    return _VULGAR.get(written) or f"{match[1].translate(_SUPERIOR)}⁄{match[2].translate(_INFERIOR)}"
