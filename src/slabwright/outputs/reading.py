"""A plan read from the outside: what holds, what must be asked and confirmed first, which sources it rests on."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from slabwright.results.check import Ask, Assumption, Check, Referral, State
from slabwright.results.lines import QuantityLine, order_list
from slabwright.sources import Clause, Source
from slabwright.study import Outcome, Plan, Waiting

STATES_BY_URGENCY = (State.FAILS, State.ASK, State.WAITING, State.NEAR, State.HOLDS)


@dataclass(frozen=True, slots=True)
class Alike:
    """Checks that differ in nothing but their place."""

    check: Check
    places: tuple[str, ...]


def tally(plan: Plan) -> dict[State, int]:
    """How many questions stand at each state, the most urgent first."""
    states = [outcome.state for outcome in plan.outcomes.values()]
    return {state: states.count(state) for state in STATES_BY_URGENCY}


def questions_to_ask(plan: Plan) -> dict[Ask, tuple[tuple[Outcome, Referral], ...]]:
    """Open questions by who must answer them, each with the study that asks."""
    asked: dict[Ask, list[tuple[Outcome, Referral]]] = {}
    for outcome in plan.outcomes.values():
        if not isinstance(outcome.result, Waiting):
            for referral in outcome.result.referrals:
                asked.setdefault(referral.to, []).append((outcome, referral))
    return {to: tuple(asked[to]) for to in Ask if to in asked}


def assumptions_to_confirm(plan: Plan) -> tuple[Assumption, ...]:
    """Every value used that the job file did not state, once each: the file's defaults first."""
    found = list(plan.inputs.job.assumptions)
    for _, result in plan.results():
        found += result.assumptions
    return tuple({(one.where, one.statement): one for one in found}.values())


def quantity_lines(plan: Plan) -> tuple[QuantityLine, ...]:
    """All lines to order, laid-out counts in the place of rules of thumb."""
    return order_list(line for _, result in plan.results() for line in result.lines)


def alike(checks: Sequence[Check]) -> tuple[Alike, ...]:
    """Checks grouped where everything but the place is the same, in their order."""
    groups: dict[tuple[object, ...], tuple[Check, list[str]]] = {}
    for check in checks:
        steps = tuple(str(step) for step in check.steps)
        alike_in = (
            check.name,
            check.demand,
            check.capacity,
            check.suffix,
            check.clause,
            check.method,
            check.governing,
            check.spread,
            check.remedy,
            steps,
        )
        groups.setdefault(alike_in, (check, []))[1].append(check.where)
    return tuple(Alike(check, tuple(place for place in places if place)) for check, places in groups.values())


def sources_cited(plan: Plan) -> dict[Source, tuple[Clause, ...]]:
    """Every source the plan names, with the places in it, once each."""
    cited: dict[Source, dict[Clause, None]] = {}
    for clause in _clauses(plan):
        cited.setdefault(clause.source, {})[clause] = None
    return {source: tuple(clauses) for source, clauses in sorted(cited.items(), key=lambda one: one[0].key.lower())}


def _clauses(plan: Plan) -> Iterator[Clause]:
    found: list[Clause | None] = [one.clause for one in plan.inputs.job.assumptions]
    for _, result in plan.results():
        for check in result.checks:
            found += [check.clause, check.method]
        for group in (result.referrals, result.lines, result.assumptions, result.cautions):
            found += [one.clause for one in group]
    yield from (clause for clause in found if clause is not None)
