"""What the governing figures become if things turn out otherwise: a thin floor, open joints, the quick model."""

from collections.abc import Callable, Mapping, Sequence
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


def thinner_bodies(body: Body, less: Sequence[float]) -> dict[float, Body]:
    """The slab with its floor as thin as the contract's limits for mean and single samples allow, by how much less. [m]"""
    return {by: body.thinner(by) for by in sorted({one for one in less if 0.0 < one < body.floor_m / 2.0})}


def standing_ratio(thin: Body, standing: Standing, reader: Reader, worst: Solved) -> float:
    """Greatest tension of the governing state on a thinner floor over that on the floor as drawn; both of lower order."""
    answer = thin.analysed(standing.to_follow()).estimate(worst.case.loads)
    return greatest_tension(Reader(thin), answer) / greatest_tension(reader, worst.first)


def thin_floor(
    body: Body, reader: Reader, thinner: Mapping[float, Body], governing: tuple[Figure, float, Sequence[float]],
    wheels: Sequence[tuple[MovedWheel, float]],
) -> tuple[ThinFloor, ...]:  # fmt: skip
    """The governing state and every wheel on thinner floors.

    Each figure goes with what the floor may bear there [Pa], the governing one with its ratio on each of those floors too.
    """
    standing, allowed_standing, ratios = governing
    wanted = [(by, standing.case, standing, allowed_standing) for by in thinner]
    pieces: list[Callable[[], float]] = []
    for one, allowed in wheels:
        wanted += [(by, one.figures.wheel.name, one.figures.bottom, allowed) for by in thinner]
        pieces += [partial(thinner_ratio, one, thin, reader) for thin in thinner.values()]
    found = []
    for (by, what, figure, allowed), ratio in zip(wanted, [*ratios, *at_once(*pieces)], strict=True):
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
