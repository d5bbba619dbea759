"""Quantities to order and tasks to do: lists of lines, each with how it was reckoned."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum

from slabwright.sources import Clause


class Trade(Enum):
    """The group of the order list a line belongs to."""

    CONCRETE = "concrete"
    EARTHWORK = "earthwork and base"
    SHEET = "retarder and insulation"
    STEEL = "steel"
    FORMS = "forms"
    JOINTS = "joints"
    FINISH_AND_CURE = "finish and cure"
    TESTS = "tests"


class Reckoned(Enum):
    """How far a count was taken."""

    BY_RULE = "by rule of thumb"
    LAID_OUT = "as laid out"


@dataclass(frozen=True, slots=True, kw_only=True)
class QuantityLine:
    """One thing to order or to reckon with.

    Attributes
    ----------
    key : str
        Stable name, such as ``concrete.edge``; a price in the job file and later, laid-out counts refer to it.
    item : str
        The thing in trade words.
    quantity : float
        In the SI unit of ``suffix``; a plain count where the suffix is empty.
    suffix : str
        As in :data:`slabwright.units.DIMENSIONS`.
    trade : Trade
    basis : str
        How it was computed, in words and numbers.
    unit : str
        A written unit to show instead of the family's own, such as ``"ft"`` for long runs; or the thing counted.
    waste : float
        Fraction already included for laps, cuts and spill.
    waste_reason : str
        Why that fraction.
    clause : Clause or None
        Where the figure or the allowance comes from.
    part_of : str
        Key of the line this one is a part of; parts are shown but not added again.
    reckoned : Reckoned
        A laid-out count takes the place of a rule of thumb under the same key.
    """

    key: str
    item: str
    quantity: float
    suffix: str
    trade: Trade
    basis: str
    unit: str = ""
    waste: float = 0.0
    waste_reason: str = ""
    clause: Clause | None = None
    part_of: str = ""
    reckoned: Reckoned = Reckoned.LAID_OUT


def order_list(lines: Iterable[QuantityLine]) -> tuple[QuantityLine, ...]:
    """One line for each key, in the order the keys first came, the parts of a line after it.

    A laid-out count stands before a rule of thumb, whose parts go with it; of two reckoned alike the later stands.
    """
    chosen: dict[str, QuantityLine] = {}
    replaced: set[str] = set()
    for line in lines:
        before = chosen.get(line.key)
        if before is not None and {before.reckoned, line.reckoned} == set(Reckoned):
            replaced.add(line.key)
        if before is None or not (before.reckoned is Reckoned.LAID_OUT and line.reckoned is Reckoned.BY_RULE):
            chosen[line.key] = line
    kept = [line for line in chosen.values() if not (line.part_of in replaced and line.reckoned is Reckoned.BY_RULE)]
    place = {line.key: number for number, line in enumerate(kept)}
    return tuple(sorted(kept, key=lambda line: (place.get(line.part_of, place[line.key]), bool(line.part_of))))


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """What somebody must do, and when.

    Attributes
    ----------
    what : str
    who : str
        Role on the job: crew lead, form setter, saw operator...
    when : str
        In words, such as ``the day before``.
    where : str
        Place on the plan.
    """

    what: str
    who: str
    when: str
    where: str = ""
