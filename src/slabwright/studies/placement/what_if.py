"""What if: the chosen day with one thing changed, simulated on the same days, so that the change alone is seen."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from enum import Enum

from slabwright.errors import OutOfRange
from slabwright.studies.placement.choice import sequences
from slabwright.studies.placement.day import Outcome
from slabwright.studies.placement.pour_day import PourDay

_DAY_H = 24.0


class Knob(Enum):
    """What can be turned: its name in trade words and the unit suffix of its values."""

    TRUCKS = ("trucks", "")
    SPACING = ("time between trucks", "h")
    AHEAD = ("lanes that the edge runs ahead", "")
    START = ("hour of the start", "h")
    TRAVEL = ("trip from the plant", "h")
    RATE = ("concrete placed an hour", "m3_h")
    LOAD = ("concrete in a truck", "m3")

    @property
    def words(self) -> str:
        """In trade words."""
        return self.value[0]

    @property
    def suffix(self) -> str:
        """Of its values."""
        return self.value[1]


@dataclass(frozen=True, slots=True, kw_only=True)
class Turned:
    """The day with something changed.

    Attributes
    ----------
    values : Mapping of Knob to float
        In the SI unit of each knob's suffix; hours for times.
    day : PourDay
        With what was changed of its supply.
    outcome : Outcome
    cost : float
        Expected, beyond concrete itself.
    """

    values: Mapping[Knob, float]
    day: PourDay
    outcome: Outcome
    cost: float


def what_if(day: PourDay, best: Outcome, values: Mapping[Knob, float]) -> Turned:
    """The day with something changed: one knob for its own effect, several at once where they are meant together.

    Parameters
    ----------
    day : PourDay
    best : Outcome
        The arrangement that is changed.
    values : Mapping of Knob to float
        In the unit of each knob.

    Raises
    ------
    OutOfRange
        For a value that no day can have.
    """
    for knob, value in values.items():
        if not value >= 0 or (knob not in (Knob.AHEAD, Knob.START) and value == 0):
            raise OutOfRange(f"{knob.words} must be above nought (got {value:g}).")
    supply = replace(
        day.supply,
        out_h=values.get(Knob.TRAVEL, day.supply.out_h),
        rate_m3_h=values.get(Knob.RATE, day.supply.rate_m3_h),
        load_m3=min(values.get(Knob.LOAD, day.supply.load_m3), day.supply.volume_m3),
    )
    changed = replace(day, supply=supply)
    start = values.get(Knob.START, best.start_h)
    if start >= _DAY_H or not day.clock.sets(start, supply.length_h):
        raise OutOfRange(f"concrete does not set in a useful time on the air from hour {start:g}; choose a warmer one.")
    paces = best.paces
    if Knob.SPACING in values:
        share = values[Knob.SPACING] / spacing_h(changed, best)
        paces = (share * paces[0], share * paces[1], share * paces[2])
    trucks = max(round(values.get(Knob.TRUCKS, best.n_trucks)), 1)
    ahead = min(round(values.get(Knob.AHEAD, best.ahead)), day.lanes.n_lanes)
    (outcome,) = changed.outcomes(trucks, paces, (ahead,), (start,))
    return Turned(values=values, day=changed, outcome=outcome, cost=changed.cost(outcome))


def spacing_h(day: PourDay, one: Outcome) -> float:
    """Mean time between trucks. [h]"""
    return sum(one.paces) / 3 * day.supply.emptying_h


def positions(day: PourDay, best: Outcome, knob: Knob) -> tuple[float, ...]:
    """Values that a slider runs through, the present one among them."""
    supply = day.supply
    if knob is Knob.TRUCKS:
        return tuple(float(n) for n in range(max(1, best.n_trucks - 3), min(best.n_trucks + 4, len(supply.loads)) + 1))
    if knob is Knob.AHEAD:
        return tuple(float(n) for n in sequences(day.lanes.n_lanes))
    if knob is Knob.START:
        return tuple(sorted({*day.clock.starts(supply.length_h), best.start_h}))
    now = {
        Knob.SPACING: spacing_h(day, best), Knob.TRAVEL: supply.out_h, Knob.RATE: supply.rate_m3_h,
        Knob.LOAD: supply.load_m3,
    }[knob]  # fmt: skip
    return tuple(share * now for share in (0.6, 0.75, 0.9, 1.0, 1.15, 1.35, 1.6))


def sweep(day: PourDay, best: Outcome, knob: Knob, values: Sequence[float] = ()) -> tuple[Turned, ...]:
    """The day at every position of a knob; at the usual positions where none are given."""
    return tuple(what_if(day, best, {knob: value}) for value in values or positions(day, best, knob))
