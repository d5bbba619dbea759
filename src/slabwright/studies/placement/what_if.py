"""What if: the chosen day with one thing changed, simulated on the same days, so that the change alone is seen."""

from collections.abc import Sequence
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
    """One position of a knob.

    Attributes
    ----------
    value : float
        In the SI unit of the knob's suffix; hours for times.
    outcome : Outcome
    cost : float
        Expected, beyond concrete itself.
    """

    value: float
    outcome: Outcome
    cost: float


def what_if(day: PourDay, best: Outcome, knob: Knob, value: float) -> Turned:
    """The day with one thing changed.

    Parameters
    ----------
    day : PourDay
    best : Outcome
        The arrangement that is changed.
    knob : Knob
    value : float
        In the unit of the knob.

    Raises
    ------
    OutOfRange
        For a value that no day can have.
    """
    if not value >= 0 or (knob not in (Knob.AHEAD, Knob.START) and value == 0):
        raise OutOfRange(f"{knob.words} must be above nought (got {value:g}).")
    paces, trucks, ahead, start = best.paces, best.n_trucks, best.ahead, best.start_h
    if knob is Knob.TRUCKS:
        trucks = round(value)
    elif knob is Knob.SPACING:
        mean = sum(paces) / 3 * day.supply.load_m3 / day.supply.rate_m3_h
        paces = (paces[0] * value / mean, paces[1] * value / mean, paces[2] * value / mean)
    elif knob is Knob.AHEAD:
        ahead = min(round(value), day.lanes.n_lanes)
    elif knob is Knob.START:
        start = value
        if value >= _DAY_H or not day.clock.sets(value, day.supply.length_h):
            raise OutOfRange(f"concrete does not set in a useful time on the air from hour {value:g}; choose a warmer one.")
    elif knob is Knob.TRAVEL:
        day = replace(day, supply=replace(day.supply, out_h=value))
    elif knob is Knob.RATE:
        day = replace(day, supply=replace(day.supply, rate_m3_h=value))
    else:
        day = replace(day, supply=replace(day.supply, load_m3=min(value, day.supply.volume_m3)))
    (outcome,) = day.outcomes(max(trucks, 1), paces, (ahead,), (start,))
    return Turned(value=value, outcome=outcome, cost=day.cost(outcome))


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
        Knob.SPACING: sum(best.paces) / 3 * supply.load_m3 / supply.rate_m3_h, Knob.TRAVEL: supply.out_h, Knob.RATE: supply.rate_m3_h,
        Knob.LOAD: supply.load_m3,
    }[knob]  # fmt: skip
    return tuple(share * now for share in (0.6, 0.75, 0.9, 1.0, 1.15, 1.35, 1.6))


def sweep(day: PourDay, best: Outcome, knob: Knob, values: Sequence[float] = ()) -> tuple[Turned, ...]:
    """The day at every position of a knob; at the usual positions where none are given."""
    return tuple(what_if(day, best, knob, value) for value in values or positions(day, best, knob))
