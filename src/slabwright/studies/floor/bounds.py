"""What the governing figures become if things turn out otherwise: a thin floor, open joints, the quick model."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

from slabwright.geometry.foundation import PartKind
from slabwright.solvers.plate import Answer, Quantity
from slabwright.solvers.plate.workers import at_once
from slabwright.studies.floor.body import Body
from slabwright.studies.floor.loading import Standing
from slabwright.studies.floor.reading import Figure, Reader, Solved
from slabwright.studies.floor.states import FACES
from slabwright.studies.floor.wheels import MovedWheel, thinner_ratio

_QUICK = (
    ("Tension at the top of the floor", Quantity.TOP_TENSION, PartKind.FLOOR),
    ("Tension at the bottom of the floor", Quantity.BOTTOM_TENSION, PartKind.FLOOR),
    ("Pressure on the ground", Quantity.PRESSURE, None),
    ("Settlement", Quantity.DEFLECTION, None),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ThinFloor:
    """What a floor that came out thin adds to a greatest tension.

    Attributes
    ----------
    what : str
        What stands or rolls there, in words.
    less_m : float
        Thinner than drawn. [m]
    stress_pa : float
        Greatest tension. [Pa]
    ratio : float
        Over that at the drawn thickness.
    of_limit : float
        Over what the floor may bear.
    by_rule : float
        (t / (t - less))**2, what the moment alone would make of it.
    """

    what: str
    less_m: float
    stress_pa: float
    ratio: float
    of_limit: float
    by_rule: float


def thin_floor(
    body: Body, standing: Standing, reader: Reader, worst: Solved, governing: tuple[Figure, float],
    wheels: Sequence[tuple[MovedWheel, float]], less: Sequence[float],
) -> tuple[ThinFloor, ...]:  # fmt: skip
    """The governing state and every wheel on a floor as thin as the contract's limits for mean and single samples allow.

    Each figure goes with what the floor may bear there. [Pa]
    """
    drawn = greatest_tension(reader, worst.first)

    def whole(thin: Body) -> float:
        answer = thin.analysed(standing.to_follow()).estimate(worst.case.loads)
        return greatest_tension(Reader(thin), answer) / drawn

    thinner = {by: body.thinner(by) for by in sorted({one for one in less if 0.0 < one < body.floor_m / 2.0})}
    wanted = [(by, governing[0].case, governing, partial(whole, thin)) for by, thin in thinner.items()]
    for one, allowed in wheels:
        rolls = (one.figures.wheel.name, (one.figures.bottom, allowed))
        wanted += [(by, *rolls, partial(thinner_ratio, one, thin, reader)) for by, thin in thinner.items()]
    found = []
    for (by, what, (figure, allowed), _), ratio in zip(wanted, at_once(*(piece for *_, piece in wanted)), strict=True):
        stress, rule = ratio * figure.value, (body.floor_m / (body.floor_m - by)) ** 2
        found.append(ThinFloor(what=what, less_m=by, stress_pa=stress, ratio=ratio, of_limit=stress / allowed, by_rule=rule))
    return tuple(found)


def open_joints(body: Body, standing: Standing, reader: Reader, worst: Solved, governing: Figure) -> Figure | None:
    """The bound: every joint a free edge."""
    if not body.joints:
        return None
    answer = body.analysed(standing.to_follow(), efficiency=0.0).estimate(worst.case.loads)
    ratio = greatest_tension(reader, answer) / greatest_tension(reader, worst.first)
    return replace(governing, name=f"{governing.name}, joints open", value=ratio * governing.value)


def quick_margins(body: Body, standing: Standing, reader: Reader, worst: Solved) -> tuple[tuple[str, float], ...]:
    """Figures of the quick model, all middle planes in one, over those of the true one; the governing state, lower order."""
    answer = body.analysed(standing.to_follow(), flush=False).estimate(worst.case.loads)
    found = []
    for words, quantity, kind in _QUICK:
        true = reader.greatest(worst.first, quantity, kind).value
        if true > 0.0:
            found.append((words, reader.greatest(answer, quantity, kind).value / true))
    return tuple(found)


def greatest_tension(reader: Reader, answer: Answer) -> float:
    """Of both faces of the floor. [Pa]"""
    return max(reader.greatest(answer, quantity, PartKind.FLOOR).value for quantity, _ in FACES)
