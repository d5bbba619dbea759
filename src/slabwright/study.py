"""What a study is, what it may read, in which order studies run, and the plan they make.

A study answers one question of the builder. It is a pure function of the parts of the job it names in ``reads`` and of
the results it names in ``needs``; reading anything else raises, so that re-running only what an edit touches is safe.
"""

import hashlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from enum import Enum
from graphlib import CycleError, TopologicalSorter
from types import MappingProxyType
from typing import Any, Generic, TypeVar, cast

from slabwright.errors import MissingInput, ProgramError
from slabwright.model.job import Job
from slabwright.model.site import Site
from slabwright.results.check import Assumption, Caution, Check, Referral, State
from slabwright.results.lines import QuantityLine, Task
from slabwright.results.picture import Picture
from slabwright.results.table import Table


class Stage(Enum):
    """Stages of the work, in order; strips and book follow them."""

    DESIGN = "design"
    GROUND = "ground"
    SERVICES = "services"
    STEEL = "sheet and steel"
    FORMS = "forms"
    PLACING = "placing"
    CURING = "curing"
    HANDOVER = "handover"


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """What every study returns; a study's own result adds typed fields.

    Attributes
    ----------
    answer : str
        One plain sentence in answer to the question, with its figure between asterisks: ``Order *29 yd³*.``
    checks, referrals, lines, tasks, assumptions, cautions
        See :mod:`slabwright.results`.
    """

    answer: str
    checks: tuple[Check, ...] = ()
    referrals: tuple[Referral, ...] = ()
    lines: tuple[QuantityLine, ...] = ()
    tasks: tuple[Task, ...] = ()
    assumptions: tuple[Assumption, ...] = ()
    cautions: tuple[Caution, ...] = ()

    @property
    def state(self) -> State:
        """The worst state of its checks; a question to someone licensed outranks *near its limit*."""
        states = [check.state for check in self.checks] + [State.ASK] * bool(self.referrals)
        return max(states, key=lambda state: state.severity, default=State.HOLDS)


R = TypeVar("R", bound=Result)
T = TypeVar("T")
R_co = TypeVar("R_co", bound=Result, covariant=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Presentation:
    """Pictures and tables of a result, made when somebody looks."""

    pictures: tuple[Picture, ...] = ()
    tables: tuple[Table, ...] = ()


def _nothing_to_show(*_: object) -> Presentation:
    return Presentation()


@dataclass(frozen=True, slots=True, kw_only=True)
class Inputs:
    """Everything a plan depends on; the clock and the seed are part of it.

    Attributes
    ----------
    job : Job
        What is to be built.
    site : Site
        What was measured and forecast: shots, weather, tickets, with ``today``; empty before the work.
    seed : int
        For every random draw.
    """

    job: Job
    site: Site = field(default_factory=Site)
    seed: int = 20260


@dataclass(frozen=True, eq=False, kw_only=True)
class Part(Generic[R, T]):
    """A part of a study's answer that others may need alone: while it stays the same they are not worked anew.

    Attributes
    ----------
    study : Study
    name : str
    of : callable
        Reads it off the answer; its ``repr`` tells it apart, so figures and plain records.
    """

    study: "Study[R]"
    name: str
    of: Callable[[R], T]


@dataclass(frozen=True, eq=False, kw_only=True)
class Study(Generic[R]):
    """One question of the builder.

    Attributes
    ----------
    key : str
        Stable name.
    question : str
        In the builder's words; heads its strip and its chapter.
    stage : Stage
    run : callable
        ``run(inputs, done) -> R``; may raise :class:`MissingInput` to wait.
    present : callable
        ``present(inputs, done, result) -> Presentation``; pictures and tables from results only.
    reads : frozenset of str
        Sections of the job (``"floor"``, ``"soil"``) and of the site (``"site.shots"``) that it reads.
    needs : tuple of Study
        Studies whose results it reads; it waits for them.
    parts : tuple of Part
        Parts of such results, where it reads no more of them.
    hears : tuple of Study
        Studies whose results it reads where they have answered; it does without those that wait or are not run.
    """

    key: str
    question: str
    stage: Stage
    run: Callable[[Inputs, "Done"], R]
    present: Callable[[Inputs, "Done", R], Presentation] = _nothing_to_show
    reads: frozenset[str] = frozenset()
    needs: tuple["Study[Any]", ...] = ()
    parts: tuple[Part[Any, Any], ...] = ()
    hears: tuple["Study[Any]", ...] = ()

    @property
    def waits_for(self) -> tuple["Study[Any]", ...]:
        """Every study that must have answered before it."""
        return self.needs + tuple(part.study for part in self.parts)

    @property
    def after(self) -> tuple["Study[Any]", ...]:
        """Every study that comes before it."""
        return self.waits_for + self.hears


@dataclass(frozen=True, slots=True)
class Waiting:
    """A study that could not answer yet, and why."""

    reason: str


class Done:
    """Results of the studies a study needs; reading another raises."""

    def __init__(self, results: Mapping[str, Result], reader: Study[Any]) -> None:
        self._results = results
        self._allowed = {study.key for study in reader.needs + reader.hears}
        self._reader = reader

    def __getitem__(self, study: Study[R]) -> R:
        if study.key not in self._allowed:
            raise ProgramError(f"study {self._reader.key} reads {study.key} without naming it in needs.")
        return cast(R, self._results[study.key])

    def part(self, part: Part[R, T]) -> T:
        """A part of a result."""
        if part not in self._reader.parts:
            raise ProgramError(f"study {self._reader.key} reads {part.name} of {part.study.key} without naming it in parts.")
        return part.of(cast(R, self._results[part.study.key]))

    def get(self, study: Study[R]) -> R | None:
        """A result that may not be there: nothing where that study waits or is not run."""
        return self[study] if study.key in self._results or study.key not in self._allowed else None


class _Sections:
    """A job or site of which only some sections may be read."""

    def __init__(self, whole: object, allowed: frozenset[str], reader: str) -> None:
        self._whole, self._allowed, self._reader = whole, allowed, reader

    def __getattr__(self, name: str) -> object:
        if name.startswith("__"):
            raise AttributeError(name)
        if name not in self._allowed:
            raise ProgramError(f"study {self._reader} reads {type(self._whole).__name__.lower()}.{name} without naming it in reads.")
        return getattr(self._whole, name)


@dataclass(frozen=True, slots=True)
class Outcome:
    """One study's place in the plan."""

    study: Study[Any]
    result: Result | Waiting
    digest: str
    inputs: Inputs
    done: Done
    _shown: list[Presentation] = field(default_factory=list, repr=False, compare=False)

    @property
    def state(self) -> State:
        return State.WAITING if isinstance(self.result, Waiting) else self.result.state

    def presentation(self) -> Presentation:
        """Pictures and tables, made at the first look and kept; empty while waiting."""
        if isinstance(self.result, Waiting):
            return Presentation()
        if not self._shown:
            self._shown.append(self.study.present(self.inputs, self.done, self.result))
        return self._shown[0]


def answer_of(outcomes: Mapping[str, Outcome], study: Study[R]) -> R | None:
    """A study's result among outcomes by key; nothing where it waits or is not among them."""
    outcome = outcomes.get(study.key)
    return None if outcome is None or isinstance(outcome.result, Waiting) else cast(R, outcome.result)


@dataclass(frozen=True, slots=True)
class Plan:
    """Every study's outcome, in order."""

    inputs: Inputs
    outcomes: Mapping[str, Outcome]

    def __getitem__(self, study: Study[R]) -> R:
        result = self.outcomes[study.key].result
        if isinstance(result, Waiting):
            raise MissingInput(result.reason)
        return cast(R, result)

    def get(self, study: Study[R]) -> R | None:
        """A result that may not be there: nothing where that study waits or is not part of the plan."""
        return answer_of(self.outcomes, study)

    def results(self) -> tuple[tuple[Study[Any], Result], ...]:
        """The studies that answered, in order."""
        return tuple((one.study, one.result) for one in self.outcomes.values() if not isinstance(one.result, Waiting))


def in_order(studies: Sequence[Study[Any]]) -> tuple[Study[Any], ...]:
    """Studies so that each comes after what it needs, otherwise as listed.

    Raises
    ------
    ProgramError
        For two studies with one key, a need that is not listed, or a circle.
    """
    by_key = {study.key: study for study in studies}
    if len(by_key) != len(studies):
        raise ProgramError("two studies share one key: " + ", ".join(study.key for study in studies))
    for study in studies:
        for need in study.waits_for:
            if by_key.get(need.key) is not need:
                raise ProgramError(f"study {study.key} needs {need.key}, which is not in the list of studies.")
    sorter = TopologicalSorter({study.key: [one.key for one in study.after if one.key in by_key] for study in studies})
    try:
        sorter.prepare()
    except CycleError as error:
        raise ProgramError(f"studies need each other in a circle: {error.args[1]}") from None
    rank = {study.key: number for number, study in enumerate(studies)}
    ordered = []
    ready = sorted(sorter.get_ready(), key=rank.__getitem__)
    while ready:
        key = ready.pop(0)
        ordered.append(by_key[key])
        sorter.done(key)
        ready = sorted([*ready, *sorter.get_ready()], key=rank.__getitem__)
    return tuple(ordered)


def _silent(*_: object) -> None:
    return None


Fault = Callable[[Study[Any], Exception], Waiting]


def run_studies(
    studies: Sequence[Study[Any]],
    inputs: Inputs,
    *,
    earlier: Plan | None = None,
    known: Mapping[str, Outcome] = MappingProxyType({}),
    find: Callable[[str], Result | None] = _silent,
    on_start: Callable[[Study[Any], int, int], None] = _silent,
    on_done: Callable[[Outcome], None] = _silent,
    on_fault: Fault | None = None,
) -> Plan:
    """Run every study in order; reuse an earlier outcome where its inputs are unchanged, as soon as that is known.

    Parameters
    ----------
    studies : sequence of Study
    inputs : Inputs
    earlier : Plan, optional
        A plan of the same studies to reuse from.
    known : Mapping
        More outcomes to reuse, by their digests.
    find : callable
        Given the digest of a study that is to run, finds its answer if another run kept it.
    on_start : callable
        Called with the study, its number from 1 and the total before each that is worked; raising stops the run.
    on_done : callable
        Called with each outcome as it stands, reused or new.
    on_fault : callable, optional
        Given a study and what it raised, says what it waits for, so that the others are answered all the same; without
        it the fault is raised.
    """
    ordered = in_order(studies)
    results: dict[str, Result] = {}
    outcomes: dict[str, Outcome] = {}
    digests: dict[str, str] = {}

    def earlier_outcome(study: Study[Any]) -> Outcome | None:
        digest = digests.get(study.key) or digests.setdefault(study.key, _digest(study, inputs, outcomes))
        kept = earlier.outcomes.get(study.key) if earlier is not None else None
        return kept if kept is not None and kept.digest == digest else known.get(digest)

    left = {study.key: study for study in studies}
    while left:
        ready = [study for study in left.values() if not any(one.key in left for one in study.after)]
        reused = next((kept for study in ready if (kept := earlier_outcome(study)) is not None), None)
        if reused is not None:
            outcome = reused
        else:
            study, digest = ready[0], digests[ready[0].key]
            on_start(study, len(outcomes) + 1, len(ordered))
            view, done = _view(study, inputs), Done({one.key: results[one.key] for one in study.after if one.key in results}, study)
            outcome = Outcome(study, find(digest) or _answer(study, view, done, outcomes, on_fault), digest, view, done)
        del left[outcome.study.key]
        outcomes[outcome.study.key] = outcome
        if not isinstance(outcome.result, Waiting):
            results[outcome.study.key] = outcome.result
        on_done(outcome)
    return Plan(inputs, {study.key: outcomes[study.key] for study in ordered})


def _answer(study: Study[Any], inputs: Inputs, done: Done, outcomes: Mapping[str, Outcome], on_fault: Fault | None) -> Result | Waiting:
    waiting = [need for need in study.waits_for if isinstance(outcomes[need.key].result, Waiting)]
    if waiting:
        return Waiting(f'waits for "{waiting[0].question}"')
    try:
        return cast(Result, study.run(inputs, done))
    except MissingInput as missing:
        return Waiting(str(missing))
    except Exception as error:
        if on_fault is None:
            raise
        return on_fault(study, error)


def _view(study: Study[Any], inputs: Inputs) -> Inputs:
    job = frozenset(name for name in study.reads if not name.startswith("site."))
    site = frozenset(name.removeprefix("site.") for name in study.reads if name.startswith("site."))
    return Inputs(
        job=cast(Job, _Sections(inputs.job, job, study.key)),
        site=cast(Site, _Sections(inputs.site, site, study.key)),
        seed=inputs.seed,
    )


def _digest(study: Study[Any], inputs: Inputs, outcomes: Mapping[str, Outcome]) -> str:
    digest = hashlib.sha256(f"{study.key}|{inputs.seed}".encode())
    for name in sorted(study.reads):
        owner, section = (inputs.site, name.removeprefix("site.")) if name.startswith("site.") else (inputs.job, name)
        if not hasattr(owner, section):
            raise ProgramError(f"study {study.key} names {name} in reads; a {type(owner).__name__.lower()} has no such section.")
        digest.update(f"|{name}={_fingerprint(getattr(owner, section))}".encode())
    for one in study.needs + study.hears:
        if one.key in outcomes:
            digest.update(f"|{one.key}={outcomes[one.key].digest}".encode())
    for part in study.parts:
        result = outcomes[part.study.key].result
        found = result.reason if isinstance(result, Waiting) else repr(part.of(result))
        digest.update(f"|{part.study.key}.{part.name}={found}".encode())
    return digest.hexdigest()


def _fingerprint(section: object) -> str:
    """Content of a section as text; large measured data carry a digest of their own."""
    return str(getattr(section, "digest", None) or repr(section))
