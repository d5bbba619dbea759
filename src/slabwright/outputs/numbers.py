"""Values as people read them: numbers, units, lengths, money, days.

Numbers arrive in SI with their suffix and leave in the job's family, in the unit that the trade uses for their size.
"""

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from slabwright.units import (
    DIMENSIONS,
    INCH_M,
    KIP_N,
    LENGTH,
    POUND_FORCE_N,
    PSF_PA,
    Family,
    format_feet_inches,
    format_number,
    format_quantity,
    in_unit,
    printed_unit,
)

_EIGHTH_M = INCH_M / 8
_MIL_M = INCH_M / 1000
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
    shown = list(values)
    dimension = DIMENSIONS[suffix]
    if not suffix and unit not in dimension.units:
        return Spelling(unit, _aligned(shown, 4))
    if dimension is LENGTH and not unit:
        return _length_spelling(shown, family)
    chosen = unit or shown_unit(suffix, max((abs(value) for value in shown), default=0.0), family)
    number = _aligned([in_unit(value, dimension, chosen) for value in shown], dimension.digits[0 if family is Family.US else 1])
    return Spelling(printed_unit(chosen), lambda value: number(in_unit(value, dimension, chosen)))


def _aligned(numbers: Sequence[float], digits: int) -> Callable[[float], str]:
    """One count of decimals for a column: enough for the largest number, no more than any of them needs.

    Numbers too far apart for one count are written each to its own digits.
    """
    sizes = sorted(abs(number) for number in numbers if number)
    if not sizes or not 1e-5 <= sizes[0] <= sizes[-1] < 1e12 or sizes[0] < 1e-3 * sizes[-1]:
        return lambda number: format_number(number, digits)
    decimals = max(0, digits - 1 - math.floor(math.log10(sizes[-1])))
    while decimals and all(abs(size - round(size, decimals - 1)) < 1e-6 * max(size, 1.0) for size in sizes):
        decimals -= 1
    return lambda number: f"{number:,.{decimals}f}" if number else "0"


def _length_spelling(values: Sequence[float], family: Family) -> Spelling:
    sizes = [abs(value) for value in values]
    largest = max(sizes, default=0.0)
    if family is Family.SI:
        if largest >= 1.0:
            metres = _aligned(sizes, 4 + math.floor(math.log10(largest)))
            return Spelling("m", metres)
        millimetres = _aligned([1000 * size for size in sizes], 3)
        return Spelling("mm", lambda value: millimetres(1000 * value))
    if largest >= 36 * INCH_M:
        return Spelling("", _feet_inches)
    if 0 < largest < INCH_M / 16 and all(abs(size / _MIL_M - round(size / _MIL_M)) < 0.02 for size in sizes if size):
        return Spelling("mil", lambda value: format_number(value / _MIL_M, 3))
    if all(abs(size / _EIGHTH_M - round(size / _EIGHTH_M)) < 0.15 for size in sizes):
        return Spelling("in", _inches)
    decimal = _aligned([size / INCH_M for size in sizes], 3)
    return Spelling("in", lambda value: decimal(value / INCH_M))


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
