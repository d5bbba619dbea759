"""A hold point: what is looked at, where, against which number, with what, and who signs."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import Enum

from slabwright.errors import Finding
from slabwright.sources import Clause
from slabwright.units import DIMENSIONS, HOURS, LENGTH, PRESSURE, VOLUME, Family, format_quantity


class Sense(Enum):
    """Which way a number is meant."""

    AT_LEAST = "at least"
    AT_MOST = "at most"
    WITHIN = "within"
    BETWEEN = "between"
    DRAWN = "as drawn,"
    SEEN = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldItem:
    """One line of a hold point.

    Attributes
    ----------
    key : str
        Unique within its point.
    look_at : str
        In trade words.
    where : str
        Stations on the plan.
    sense : Sense
    value, high : float or None
        In the SI unit of ``suffix``; ``high`` for a range. The very object that a study or a standard holds.
    suffix : str
    clause : Clause
        Where the number, or the rule to look, comes from.
    instrument : str
    photo : str
        What must be in the picture; empty for none.
    """

    key: str
    look_at: str
    where: str
    clause: Clause
    sense: Sense = Sense.SEEN
    value: float | None = None
    high: float | None = None
    suffix: str = ""
    instrument: str = "eye"
    photo: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldPoint:
    """A stop in the order of the work.

    Attributes
    ----------
    key, title : str
    before : str
        What may not begin until it is signed.
    signs : str
    items : tuple of HoldItem
    after : tuple of str
        Keys of the points that must be signed first.
    repeats : str
        ``each load``, ``each lane``; empty where it is signed once.
    """

    key: str
    title: str
    before: str
    signs: str
    items: tuple[HoldItem, ...]
    after: tuple[str, ...] = ()
    repeats: str = ""


def number_text(item: HoldItem, family: Family) -> str:
    """The number of an item with its sense, as people of that family read it; empty where something is only seen."""
    if item.value is None:
        return ""
    low = _told(item.value, item.suffix, family)
    if item.sense is Sense.AT_MOST and low.partition(" ")[0] == "0":
        return "none"
    if item.sense is Sense.WITHIN:
        return f"±{low}"
    if item.high is not None:
        return f"{low} to {_told(item.high, item.suffix, family)}"
    return f"{item.sense.value} {low}".strip()


_DIGITS = {"h": 2, "c": 2, "kg_m2_h": 1, "m3": 2, "m2": 3, "pa": 4}
_SOIL_PA = 1e6
"""Below this a pressure is one on soil, and read as such. [Pa]"""


def _told(value: float, suffix: str, family: Family) -> str:
    dimension, us = DIMENSIONS[suffix], family is Family.US
    if dimension is LENGTH and not us:
        value = _metric(value)
    unit = None
    if dimension is HOURS and value < 1:
        unit = "min"
    elif dimension is PRESSURE and value < _SOIL_PA:
        unit = "psf" if us else "kPa"
    elif dimension is VOLUME and value < 0.1:
        unit = "gal" if us else "L"
    return format_quantity(value, dimension, family, unit=unit, digits=_DIGITS.get(suffix))


def _metric(value_m: float) -> float:
    """Whole millimetres, half ones where they are meant; centimetres from a metre."""
    half = round(2000 * value_m) / 2000
    if abs(value_m - half) <= 5e-5 and abs(value_m) < 0.1:
        return half
    return round(value_m, 3 if abs(value_m) < 1 else 2)


def signed_too_early(points: Sequence[HoldPoint], signed: Mapping[str, date]) -> tuple[Finding, ...]:
    """Signatures given before one they wait for, or with that one missing.

    Parameters
    ----------
    points : sequence of HoldPoint
    signed : Mapping of str to date
        Key of a point to the day, or the moment, when it was signed.
    """
    titles = {point.key: point.title for point in points}
    findings = [
        Finding(where=key, message=f"is no hold point of this job; they are {', '.join(titles.values())}.")
        for key in signed
        if key not in titles
    ]
    for point in points:
        moment = signed.get(point.key)
        for first in point.after:
            if moment is not None and (first not in signed or signed[first] > moment):
                state = "which is not signed" if first not in signed else f"which was signed later, on {signed[first]:%Y-%m-%d}"
                told = f'"{point.title}" was signed on {moment:%Y-%m-%d} but waits for "{titles[first]}", {state}; look again.'
                findings.append(Finding(where=point.key, message=told))
    return tuple(findings)
