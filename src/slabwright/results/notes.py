"""Collects what the parts of a study have to say, in order."""

from dataclasses import dataclass, field
from typing import Any

from slabwright.results.check import Ask, Assumption, Caution, Check, Referral
from slabwright.results.lines import Task
from slabwright.sources import Clause


@dataclass(slots=True)
class Notes:
    """Lists that the parts of one study write into; :meth:`as_fields` hands them to its result."""

    checks: list[Check] = field(default_factory=list)
    referrals: list[Referral] = field(default_factory=list)
    tasks: list[Task] = field(default_factory=list)
    assumptions: list[Assumption] = field(default_factory=list)
    cautions: list[Caution] = field(default_factory=list)

    def at_least(
        self, key: str, name: str, where: str, *, required: float, provided: float, suffix: str, clause: Clause, remedy: str = ""
    ) -> None:
        """A minimum: the required value is the demand and the provided one the capacity. None provided fails."""
        if required > 0:
            self.checks.append(
                Check(
                    key=key,
                    name=name,
                    where=where,
                    demand=required,
                    capacity=max(provided, 1e-9),
                    suffix=suffix,
                    clause=clause,
                    remedy=remedy,
                )
            )

    def at_most(
        self, key: str, name: str, where: str, *, found: float, limit: float, suffix: str, clause: Clause, remedy: str = ""
    ) -> None:
        """A maximum: what is found is the demand and the limit the capacity."""
        self.checks.append(
            Check(key=key, name=name, where=where, demand=found, capacity=limit, suffix=suffix, clause=clause, remedy=remedy)
        )

    def ask(self, to: Ask, question: str, where: str = "", clause: Clause | None = None) -> None:
        """A question for someone licensed or local."""
        self.referrals.append(Referral(question=question, where=where, to=to, clause=clause))

    def assume(self, where: str, statement: str, clause: Clause) -> None:
        """A value used though the job file did not state it."""
        self.assumptions.append(Assumption(where=where, statement=statement, clause=clause))

    def caution(self, text: str, clause: Clause | None = None) -> None:
        """One sentence: what can hurt and who decides."""
        self.cautions.append(Caution(text=text, clause=clause))

    def as_fields(self) -> dict[str, Any]:
        """Fields of a :class:`~slabwright.study.Result`."""
        return {
            "checks": tuple(self.checks),
            "referrals": tuple(self.referrals),
            "tasks": tuple(self.tasks),
            "assumptions": tuple(self.assumptions),
            "cautions": tuple(self.cautions),
        }
