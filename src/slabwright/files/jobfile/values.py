"""Kinds of values in a job file: quantities, counts, choices, words, times."""

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, time
from difflib import get_close_matches
from enum import Enum
from typing import Any
from zoneinfo import ZoneInfo

from slabwright.errors import OutOfRange
from slabwright.files.jobfile.written import KIND, Faults, Refused, Written, shown
from slabwright.units import LENGTH, NUMBER, TEMPERATURE, THERMAL_RESISTANCE, Dimension, parse_quantity

_FARTHEST_M = 1e6
_LARGEST = 1e13


class Sign(Enum):
    """Which side of nought a quantity may lie on."""

    POSITIVE = "above nought"
    NOT_NEGATIVE = "nought or above"
    ANY = "either side of nought"


@dataclass(frozen=True, slots=True)
class Quantity(Written):
    """A quantity with its unit, or a plain number where the kind has none.

    Attributes
    ----------
    dimension : Dimension
    us, si : str
        How a builder would write it, for messages and the schema.
    sign : Sign
    most : str
        Largest value that has a meaning; empty for no limit of its own.
    usual : tuple of two str
        Range outside which a warning asks whether the unit is right; empty for none.
    """

    dimension: Dimension
    us: str
    si: str = ""
    sign: Sign = Sign.POSITIVE
    most: str = ""
    usual: tuple[str, ...] = ()

    def read(self, value: object) -> float:
        number = self._number(value)
        if self.dimension is NUMBER and not abs(number) <= _LARGEST:
            raise Refused.because(f"{shown(value)} has no meaning here; write {self._how}.")
        if not math.isfinite(number) or abs(number) > (_FARTHEST_M if self.dimension is LENGTH else _LARGEST):
            raise Refused.because(f"{shown(value)} is too large a number for a {self.dimension.name}; write {self._how}.")
        if number < 0 and self.sign is not Sign.ANY:
            raise Refused.because(f"{shown(value)} is negative; write it {self.sign.value}, such as {self._how}.")
        if number == 0 and self.sign is Sign.POSITIVE:
            raise Refused.because(f"{shown(value)} is nought; write it above nought, such as {self._how}, or leave the line out.")
        if self.most and number > parse_quantity(self.most, self.dimension) * (1 + 1e-12):
            raise Refused.because(f"{shown(value)} is too much; at most {self.most or '1'} has a meaning here. Write {self._how}.")
        return number

    def _number(self, value: object) -> float:
        kind = self.dimension
        if isinstance(value, bool) or not isinstance(value, str | int | float):
            raise Refused.because(f"{shown(value)} is no {kind.name}; write {self._how}.")
        if isinstance(value, str):
            if _is_nought(value) and kind is not TEMPERATURE:
                return 0.0
            try:
                return parse_quantity(value, kind, examples=self._how)
            except OutOfRange as wrong:
                raise Refused.because(str(wrong)) from None
        if kind is NUMBER:
            return float(value) if abs(value) < _LARGEST else math.inf
        if value == 0 and kind is not TEMPERATURE:
            return 0.0
        raise Refused.because(f"{shown(value)} has no unit; write {self._how}.")

    def warning(self, value: float, text: object) -> str:
        if not self.usual or not isinstance(text, str | int | float):
            return ""
        low, high = (parse_quantity(end, self.dimension) for end in self.usual)
        if low * (1 - 1e-9) <= value <= high * (1 + 1e-9):
            return ""
        return f"{shown(text)} is unusual; most lie from {self.usual[0]} to {self.usual[1]}. Check the number and its unit."

    @property
    def _how(self) -> str:
        if self.dimension is NUMBER and self.us[-1:].isdigit():
            return self.us
        return f'"{self.us}"' if not self.si else f'"{self.us}" or "{self.si}"'

    def schema(self) -> dict[str, Any]:
        examples: list[object] = [one for one in (self.us, self.si) if one]
        if self.dimension is NUMBER:
            return {"type": ["number", "string"], "examples": examples}
        schema: dict[str, Any] = {KIND: self.dimension.suffix, "examples": examples}
        if self.dimension is TEMPERATURE or self.sign is Sign.POSITIVE:
            return schema
        return {"anyOf": [schema, {"const": 0}], "examples": examples}


def _is_nought(text: str) -> bool:
    return re.fullmatch(r"\s*[+-]?0+(\.0*)?\s*", text, re.ASCII) is not None


def pattern(dimension: Dimension) -> str:
    """Regular expression of the texts that could be a quantity of a kind: number first, one of its units last."""
    units = {
        spelling for unit in dimension.units if unit for spelling in (unit, unit.upper() if unit.islower() and unit.isascii() else unit)
    }
    unit = "|".join(re.escape(one).replace("\\ ", " ").replace("\\-", "-") for one in sorted(units, key=lambda one: (-len(one), one)))
    fractions = "¼½¾⅛⅜⅝⅞⅓⅔"
    number = rf"[-+−]?\s*[0-9.{fractions}][-+0-9.,/ ⁄eE{fractions}]*"
    forms = [rf"{number}\s*({unit})"]
    if dimension is LENGTH:
        forms.append(rf"[-+−]?\s*[0-9.]+\s*(['′’]|ft\.?|feet|foot)[-0-9./ ⁄{fractions}]*([\"″”]|in\.?|inch|inches)?")
    if dimension is THERMAL_RESISTANCE:
        forms.append(r"R[\s-]?[0-9.]+")
    if dimension is not TEMPERATURE:
        forms.append(r"[-+]?0+(\.0*)?")
    return rf"^\s*({'|'.join(forms)})\s*$"


@dataclass(frozen=True, slots=True)
class Whole(Written):
    """A count."""

    example_number: int = 1
    least: int = 0
    most: int = 100_000

    def read(self, value: object) -> int:
        if isinstance(value, bool) or not isinstance(value, int):
            raise Refused.because(f"{shown(value)} is no whole number; write {self.example_number}.")
        if not self.least <= value <= self.most:
            raise Refused.because(f"{shown(value)} is out of range; write a whole number from {self.least} to {self.most:,}.")
        return value

    def schema(self) -> dict[str, Any]:
        return {"type": "integer", "minimum": self.least, "maximum": self.most, "examples": [self.example_number]}


@dataclass(frozen=True, slots=True)
class Text(Written):
    """Words; with ``among``, one of those."""

    example_text: str
    most: int = 4000
    among: tuple[str, ...] = ()

    def read(self, value: object) -> str:
        if not isinstance(value, str):
            raise Refused.because(f'{shown(value)} is no text; write it between quotation marks, such as "{self.example_text}".')
        text = value.strip()
        if len(text) > self.most:
            raise Refused.because(f"a text of {len(text):,} characters is too long; up to {self.most:,} fit.")
        return _one_of(text, self.among) if self.among else text

    def schema(self) -> dict[str, Any]:
        if self.among:
            return {"type": "string", "enum": list(self.among), "examples": [self.example_text]}
        return {"type": "string", "maxLength": self.most, "examples": [self.example_text]}


@dataclass(frozen=True, slots=True)
class Known(Written):
    """A name that a published table knows, kept as it is written."""

    look_up: Callable[[str], object]
    examples: tuple[str, ...]

    def read(self, value: object) -> str:
        name = Text(self.examples[0], most=40).read(value)
        try:
            self.look_up(name)
        except OutOfRange as unknown:
            raise Refused.because(str(unknown)) from None
        except (ArithmeticError, ValueError):
            raise Refused.because(f'{shown(value)} has no meaning; write "{self.examples[0]}".') from None
        return name

    def schema(self) -> dict[str, Any]:
        return {"type": "string", "maxLength": 40, "examples": list(self.examples)}


@dataclass(frozen=True, slots=True)
class Choice(Written):
    """One member of an enumeration, by its value."""

    kind: type[Enum]

    def read(self, value: object) -> Enum:
        names = [str(member.value) for member in self.kind]
        if not isinstance(value, str):
            raise Refused.because(f"{shown(value)} is no choice; write one of {_listed(names)}.")
        return self.kind(_one_of(value.strip(), names))

    def schema(self) -> dict[str, Any]:
        names = [str(member.value) for member in self.kind]
        return {"type": "string", "enum": names, "examples": names}


@dataclass(frozen=True, slots=True)
class Flag(Written):
    """Yes or no."""

    def read(self, value: object) -> bool:
        if not isinstance(value, bool):
            raise Refused.because(f"{shown(value)} is neither; write true or false, without quotation marks.")
        return value

    def schema(self) -> dict[str, Any]:
        return {"type": "boolean", "examples": [True, False]}


@dataclass(frozen=True, slots=True)
class Listed(Written):
    """A list of like values; a single one may stand without brackets."""

    of: Written

    def read(self, value: object) -> tuple[Any, ...]:
        if not isinstance(value, list):
            return (self.of.read(value),)
        faults = Faults()
        values = tuple(faults.take(number, self.of.read, one) for number, one in enumerate(value))
        faults.settle()
        return values

    def schema(self) -> dict[str, Any]:
        one = self.of.schema()
        return {"anyOf": [one, {"type": "array", "items": one}], "examples": [list(one["examples"][:2])]}


@dataclass(frozen=True, slots=True)
class Day(Written):
    """A calendar day."""

    def read(self, value: object) -> date:
        try:
            return value if type(value) is date else date.fromisoformat(str(value))
        except ValueError:
            raise Refused.because(f"{shown(value)} is no date; write 2026-04-30.") from None

    def schema(self) -> dict[str, Any]:
        return {"type": "string", "format": "date", "examples": ["2026-04-30"]}


@dataclass(frozen=True, slots=True)
class Clock(Written):
    """A time of day, in hours after midnight."""

    def read(self, value: object) -> float:
        try:
            clock = value if isinstance(value, time) else time.fromisoformat(str(value).strip().zfill(5))
        except ValueError:
            raise Refused.because(f'{shown(value)} is no time of day; write "06:30", from "00:00" to "23:59".') from None
        return clock.hour + clock.minute / 60 + clock.second / 3600

    def schema(self) -> dict[str, Any]:
        return {"type": "string", "pattern": r"^\s*\d{1,2}:\d{2}(:\d{2})?\s*$", "examples": ["06:30", "14:00"]}


def _one_of(text: str, names: "list[str] | tuple[str, ...]") -> str:
    spoken = {name.lower(): name for name in names}
    plain = text.lower().replace("_", " ")
    if found := spoken.get(text.lower()) or spoken.get(plain):
        return found
    near = get_close_matches(plain, spoken, n=1)
    guess = f' Did you mean "{spoken[near[0]]}"?' if near else ""
    raise Refused.because(f"{shown(text)} is not one of {_listed(names)}.{guess}")


def _listed(names: "list[str] | tuple[str, ...]") -> str:
    return ", ".join(f'"{name}"' for name in names)


@dataclass(frozen=True, slots=True)
class Number(Written):
    """A plain number above nought."""

    example_number: float | int
    most: float = 1e6
    least: float = 0.0

    def read(self, value: object) -> float:
        number = Quantity(NUMBER, f"{self.example_number:g}").read(value)
        if number < self.least:
            raise Refused.because(f"{shown(value)} is too little; write a number from {self.least:g}, such as {self.example_number:g}.")
        if number > self.most:
            raise Refused.because(f"{shown(value)} is too much; write a number up to {self.most:g}, such as {self.example_number:g}.")
        return number

    def schema(self) -> dict[str, Any]:
        low = {"minimum": self.least} if self.least else {"exclusiveMinimum": 0}
        return {"type": "number", **low, "maximum": self.most, "examples": [self.example_number]}


@dataclass(frozen=True, slots=True)
class PerCent(Written):
    """A number that tests report in per cent and that stays so; the sign may be written or not."""

    example_number: float | int
    most: float = 200.0

    def read(self, value: object) -> float:
        plain = value.replace("%", " ") if isinstance(value, str) else value
        return Number(self.example_number, self.most).read(plain)

    def schema(self) -> dict[str, Any]:
        return {"type": ["number", "string"], "examples": [self.example_number, f"{self.example_number:g} %"]}


@dataclass(frozen=True, slots=True)
class TimeZone(Written):
    """A name in the time zone database."""

    example_text: str

    def read(self, value: object) -> str:
        name = Text(self.example_text, most=60).read(value)
        try:
            ZoneInfo(name)
        except (ValueError, OSError, LookupError):
            raise Refused.because(f'{shown(value)} is no time zone; write one such as "{self.example_text}" or "Europe/Dublin".') from None
        return name

    def schema(self) -> dict[str, Any]:
        return {"type": "string", "examples": [self.example_text, "Europe/Dublin"]}


@dataclass(frozen=True, slots=True)
class Fraction(Written):
    """A share of a whole: ``95 %`` or 0.95."""

    example_text: str
    most: float = 1.0
    usual: tuple[float, ...] = ()

    def read(self, value: object) -> float:
        number = Quantity(NUMBER, self.example_text, sign=Sign.NOT_NEGATIVE).read(value)
        if number > self.most:
            raise Refused.because(f'{shown(value)} is more than {100 * self.most:g} %; write "{self.example_text}" with its sign.')
        return number

    def warning(self, value: float, text: object) -> str:
        if not self.usual or self.usual[0] <= value <= self.usual[1]:
            return ""
        return f"{shown(text)} is unusual; most lie from {100 * self.usual[0]:g} % to {100 * self.usual[1]:g} %. Check the number."

    def schema(self) -> dict[str, Any]:
        return {"type": ["number", "string"], "minimum": 0, "maximum": self.most, "examples": [self.example_text]}
