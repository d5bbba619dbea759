"""Checks, questions, assumptions and cautions: what a study says beside its answer."""

import math
from dataclasses import dataclass, field
from enum import Enum

from slabwright.errors import ProgramError
from slabwright.results.working import Step
from slabwright.sources import Clause


class State(Enum):
    """The five states of an answer, told by word and shape."""

    HOLDS = "holds"
    NEAR = "near its limit"
    FAILS = "does not hold"
    ASK = "ask"
    WAITING = "waiting"

    @property
    def severity(self) -> int:
        """Order in which states outrank each other when an answer sums several up."""
        return _SEVERITY[self]


_SEVERITY = {State.HOLDS: 0, State.NEAR: 1, State.ASK: 2, State.WAITING: 3, State.FAILS: 4}


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """A demand against a capacity.

    The ratio is demand / capacity and 1.00 or less holds, in one direction everywhere: for a minimum the required
    value is the demand and the provided one the capacity.

    Attributes
    ----------
    key : str
        Name by which ``explain`` finds it within its study, such as ``P3.punching``.
    name : str
        What is checked, in trade words.
    where : str
        Place on the plan, such as ``pad P3``.
    demand, capacity : float
        In the SI unit of ``suffix``.
    suffix : str
        Unit suffix of both, as in :data:`slabwright.units.DIMENSIONS`; empty for numbers.
    clause : Clause
        Where the limit stands.
    method : Clause or None
        Where the way of computing the demand stands, if elsewhere.
    governing : str
        The load combination or case that governs.
    spread : float
        Relative scatter of the ratio, a fraction; a ratio within it of 1 is near its limit.
    steps : tuple of Step
        The calculation, recorded when computed.
    remedy : str
        What would make it hold, when it does not.
    """

    key: str
    name: str
    where: str
    demand: float
    capacity: float
    suffix: str
    clause: Clause
    method: Clause | None = None
    governing: str = ""
    spread: float = 0.0
    steps: tuple[Step, ...] = field(default=(), repr=False)
    remedy: str = ""

    def __post_init__(self) -> None:
        if not (math.isfinite(self.demand) and math.isfinite(self.capacity) and math.isfinite(self.spread)):
            raise ProgramError(f"check {self.key}: demand and capacity must be finite (got {self.demand!r}, {self.capacity!r}).")
        if self.capacity <= 0:
            raise ProgramError(f"check {self.key}: capacity must be above nought (got {self.capacity!r}).")

    @property
    def ratio(self) -> float:
        """Demand over capacity; 1.00 or less holds."""
        return self.demand / self.capacity

    @property
    def state(self) -> State:
        """Holds, near its limit, or does not hold."""
        if self.ratio > 1.0 + 1e-9:
            return State.FAILS
        return State.NEAR if self.ratio * (1.0 + self.spread) > 1.0 + 1e-9 else State.HOLDS


class Ask(Enum):
    """Who must answer a question that this program may not."""

    ENGINEER = "the engineer"
    BUILDING_DEPARTMENT = "the building department"
    SOIL_ENGINEER = "the soil engineer"
    SUPPLIER = "the concrete supplier"
    ELECTRICIAN = "the electrician"
    OWNER = "the owner"


@dataclass(frozen=True, slots=True, kw_only=True)
class Referral:
    """A question for someone licensed or local; printed first and never mistaken for a pass."""

    question: str
    where: str
    to: Ask
    clause: Clause | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumption:
    """A value the job file did not state, used all the same, to be confirmed.

    Attributes
    ----------
    where : str
        Key path in the job file that would state it, or a place on the plan.
    statement : str
        What was assumed, with its figure.
    clause : Clause
        Where the default comes from.
    """

    where: str
    statement: str
    clause: Clause


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """One sentence: what can hurt, and who decides."""

    text: str
    clause: Clause | None = None
