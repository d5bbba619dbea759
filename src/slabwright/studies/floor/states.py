"""Every state of the floor solved once, and those that some figure hangs on solved finer."""

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace

from slabwright.errors import Mechanism, NotConverged, SlabwrightError
from slabwright.geometry.foundation import PartKind
from slabwright.model.combinations import Combination
from slabwright.solvers.plate import Analysis, Answer, Quantity
from slabwright.solvers.plate.analysis import Level
from slabwright.solvers.plate.workers import at_once
from slabwright.studies.floor.body import Body
from slabwright.studies.floor.loading import Case, Standing, curled, service_cases
from slabwright.studies.floor.posts import tilt_of
from slabwright.studies.floor.reading import LEAST_SPREAD, Figure, Reader, Solved

NO_ANSWER = (Mechanism, NotConverged)
"""What a state without an answer raises."""
FACES = ((Quantity.TOP_TENSION, "top"), (Quantity.BOTTOM_TENSION, "bottom"))
_KIND_WORDS = {PartKind.FLOOR: "floor", PartKind.STRIP: "strips", PartKind.EDGE: "edge"}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Wanted:
    """A headline figure before it is found: what is read, where, in which states, and whether its state is worth two solutions."""

    key: str
    name: str
    quantity: Quantity
    suffix: str = "pa"
    kind: PartKind | None = None
    plain: bool = True
    dried: bool = False
    finer: bool = True

    def measure(self, reader: Reader) -> Callable[[Answer], float]:
        return lambda answer: reader.greatest(answer, self.quantity, self.kind).value

    def leading(self, solved: Sequence[Solved], reader: Reader) -> Solved | None:
        among = [one for one in solved if (self.dried if one.case.curled else self.plain)]
        return reader.leading(among, self.quantity, self.kind) if among else None


@dataclass(frozen=True, slots=True, kw_only=True)
class StateProof:
    """Why the best answer to a state is one.

    Attributes
    ----------
    twice : bool
        True where the state was solved on the finer mesh too.
    n_unknowns, n_passes, n_factors : int
    imbalance, residual : float
        Fractions of the loads.
    settled : bool
        True where the contact set of the answer is the one it was solved with.
    """

    twice: bool
    n_unknowns: int
    n_passes: int
    n_factors: int
    imbalance: float
    residual: float
    settled: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class StateFigures:
    """Extremes of one state, of its first answer.

    Attributes
    ----------
    name : str
    top_pa, bottom_pa, pressure_pa : float
        Tension of the floor; pressure on the ground. [Pa]
    settlement_m, rise_m : float
        [m]
    contact : float
        Share of the slab that rests on the ground.
    proof : StateProof
    """

    name: str
    top_pa: float
    bottom_pa: float
    pressure_pa: float
    settlement_m: float
    rise_m: float
    contact: float
    proof: StateProof

    @classmethod
    def of(cls, one: Solved, reader: Reader) -> "StateFigures":
        """Read off a solved state."""
        first, best = one.first, one.answer
        tension = [max(reader.greatest(first, quantity, PartKind.FLOOR).value, 0.0) for quantity, _ in FACES]
        proof = StateProof(
            twice=one.fine is not None, n_unknowns=best.mesh.n_unknowns, n_passes=best.proof.passes, n_factors=best.proof.factors,
            imbalance=best.imbalance, residual=best.proof.residual, settled=best.proof.set_unchanged,
        )  # fmt: skip
        return cls(
            name=one.case.name, top_pa=tension[0], bottom_pa=tension[1], pressure_pa=first.greatest(Quantity.PRESSURE).value,
            settlement_m=first.greatest(Quantity.DEFLECTION).value, rise_m=max(-first.least(Quantity.DEFLECTION).value, 0.0),
            contact=first.contact_fraction, proof=proof,
        )  # fmt: skip


def solved_states(
    analysis: Analysis, standing: Standing, reader: Reader, combinations: Sequence[Combination], failed: list[tuple[Case, SlabwrightError]]
) -> tuple[Solved, ...]:
    """All states on the mesh of lower order; those that lead in a figure that is checked once more on the finer one.

    The finer mesh is factored meanwhile. States that have no answer, as the slab lifts or tips, are left out and handed
    back in ``failed`` with their reasons.
    """
    empty = Case(name="empty floor", combination=None, loads=(standing.weight(),))

    def first() -> tuple[Solved, ...]:
        plain = _first(analysis, service_cases(standing, combinations), failed)
        plain = plain or _first(analysis, (empty,), failed)
        pulled = [reader.leading(plain, Quantity.TOP_TENSION, PartKind.FLOOR).case] if plain else []
        dried = {case.name: case for case in (curled(one, standing) for one in (empty, *pulled))}
        return (*plain, *_first(analysis, tuple(dried.values()), failed))

    def ahead() -> None:
        with suppress(*NO_ANSWER):  # raised again where it is asked for
            analysis.fine.prepare()

    solved: tuple[Solved, ...] = at_once(first, ahead)[0]
    leading = [wanted.leading(solved, reader) for wanted in _wanted(reader.body) if wanted.finer]
    chosen = [one for one in solved if any(one is other for other in leading)]
    found = _answers(analysis.fine, [one.case for one in chosen], [one.first for one in chosen])
    finer = {id(one): replace(one, fine=answer) for one, answer in zip(chosen, found, strict=True) if isinstance(answer, Answer)}
    return tuple(finer.get(id(one), one) for one in solved)


def figures_of(solved: Sequence[Solved], standing: Standing, reader: Reader) -> dict[str, Figure]:
    """Headline figures by key."""
    found = {}
    for wanted in _wanted(reader.body):
        one = wanted.leading(solved, reader)
        if one is None:
            continue
        figure = reader.figure(one, wanted.name, wanted.quantity, wanted.suffix, wanted.kind)
        found[wanted.key] = _with_spread(figure, one, solved, wanted.measure(reader))
    found["lift"] = _lift(solved)
    found["contact"] = _contact(solved)
    tilted = _most_tilted(standing, solved)
    slope, _, middle = tilt_of(standing, tilted.answer)
    if slope > 0.0:
        figure = Figure(name="Slope between neighbouring posts", value=slope, suffix="", at=middle, case=tilted.case.name, spread=0.0)
        found["posts.tilt"] = _with_spread(figure, tilted, solved, lambda answer: tilt_of(standing, answer).slope)
    return found


def kinds_checked(body: Body) -> list[tuple[PartKind, str]]:
    """Kinds of parts whose fibre stress is read here; pads are the business of the study of bearing."""
    present = {part.kind for part in body.foundation.parts}
    return [(kind, words) for kind, words in _KIND_WORDS.items() if kind in present]


def _wanted(body: Body) -> list[_Wanted]:
    found = [
        _Wanted(key=f"{words}.{side}", name=f"Tension at the {side} of the {words}", quantity=quantity, kind=kind)
        for kind, words in kinds_checked(body)
        for quantity, side in FACES
    ]
    dried = {"quantity": Quantity.TOP_TENSION, "kind": PartKind.FLOOR, "plain": False, "dried": True}
    return [
        *found,
        _Wanted(key="floor.curled", name="Tension at the top of the dried floor", **dried),  # type: ignore[arg-type]
        _Wanted(key="soil.pressure", name="Pressure on the ground", quantity=Quantity.PRESSURE, dried=True),
        _Wanted(key="settlement", name="Settlement", quantity=Quantity.DEFLECTION, suffix="m", dried=True, finer=False),
    ]


def _first(analysis: Analysis, cases: Sequence[Case], failed: list[tuple[Case, SlabwrightError]]) -> tuple[Solved, ...]:
    found = _answers(analysis.coarse, cases, [None] * len(cases))
    failed += [(case, answer) for case, answer in zip(cases, found, strict=True) if not isinstance(answer, Answer)]
    return tuple(Solved(case, answer) for case, answer in zip(cases, found, strict=True) if isinstance(answer, Answer))


def _answers(level: Level, cases: Sequence[Case], coarser: Sequence[Answer | None]) -> list[Answer | SlabwrightError]:
    """All cases in one go; one by one where one of them has no answer."""
    if not cases:
        return []
    try:
        return list(level.answers([case.loads for case in cases], False, coarser))
    except NO_ANSWER:
        found: list[Answer | SlabwrightError] = []
        for case, start in zip(cases, coarser, strict=True):
            try:
                found += level.answers([case.loads], False, [start])
            except NO_ANSWER as error:
                found.append(error)
        return found


def _most_tilted(standing: Standing, solved: Sequence[Solved]) -> Solved:
    return max(solved, key=lambda one: tilt_of(standing, one.first).slope)


def _lift(solved: Sequence[Solved]) -> Figure:
    def lowest(answer: Answer) -> float:
        return answer.least(Quantity.DEFLECTION).value

    one = min(solved, key=lambda one: lowest(one.first))
    least = one.answer.least(Quantity.DEFLECTION)
    figure = Figure(
        name="Rise above the slab at rest", value=max(-least.value, 0.0), suffix="m", at=(least.x, least.y), case=one.case.name, spread=0.0
    )
    return _with_spread(figure, one, solved, lowest)


def _contact(solved: Sequence[Solved]) -> Figure:
    one = min(solved, key=lambda one: one.first.contact_fraction)
    figure = Figure(
        name="Least share of the slab that rests on the ground", value=one.answer.contact_fraction, suffix="", at=None,
        case=one.case.name, spread=0.0,
    )  # fmt: skip
    return _with_spread(figure, one, solved, lambda answer: answer.contact_fraction)


def _with_spread(figure: Figure, one: Solved, solved: Sequence[Solved], measure: Callable[[Answer], float]) -> Figure:
    """A figure of a state solved once takes its mesh uncertainty from the same figure in like states that were solved twice."""
    alike = [two.fine for two in solved if two.fine is not None and two.case.curled is one.case.curled]
    spread = max((answer.spread(measure) for answer in ([one.fine] if one.fine is not None else alike)), default=LEAST_SPREAD)
    return replace(figure, spread=max(spread, LEAST_SPREAD))
