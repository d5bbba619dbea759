"""The clashes on the plan and side by side."""

from typing import TYPE_CHECKING

from slabwright.geometry.drawing import plan_items
from slabwright.results.check import State
from slabwright.results.picture import Item, Layer, Line, Mark, Picture
from slabwright.results.table import Table
from slabwright.studies import joints, shape
from slabwright.study import Done, Inputs, Presentation

if TYPE_CHECKING:
    from slabwright.studies.clashes.study import ClashesResult

_MOST_MARKS = 3


def present(inputs: Inputs, done: Done, result: "ClashesResult") -> Presentation:  # noqa: ARG001 - one signature for all studies
    """Where they are felt, and what either choice brings."""
    if not result.clashes:
        return Presentation()
    return Presentation(pictures=(_plan(done, result),), tables=(_choices(result), _settled(result)))


def _plan(done: Done, result: "ClashesResult") -> Picture:
    items: list[Item] = [*plan_items(done[shape.STUDY].foundation)]
    items += [Line(layer=Layer.JOINT, points=part, label=one.name) for one in done[joints.STUDY].joints for part in one.stretches]
    taken: dict[tuple[float, float], tuple[State, list[str]]] = {}
    for number, clash in enumerate(result.clashes, start=1):
        state = State.HOLDS if clash.is_settled else State.ASK
        for spot in clash.spots[:_MOST_MARKS]:
            at = (round(spot.at[0], 2), round(spot.at[1], 2))
            worst, numbers = taken.get(at, (state, []))
            taken[at] = (max(worst, state, key=lambda one: one.severity), [*numbers, str(number)])
    items += [Mark(layer=Layer.CHALK, at=at, state=state, text=", ".join(numbers)) for at, (state, numbers) in taken.items()]
    return Picture(
        key="plan-clashes",
        title="Where rules clash, by number in the table; an open circle waits for a decision",
        items=tuple(items),
        alt=f"Plan of the floor with the places of {len(result.clashes)} clashes between rules.",
    )


def _choices(result: "ClashesResult") -> Table:
    rows = [
        (f"{number}. {clash.title}" if first else "", option.choice, option.then)
        for number, clash in enumerate(result.clashes, start=1)
        for first, option in ((place == 0, option) for place, option in enumerate(clash.options))
    ]
    return Table.of("What follows from either choice", ("Clash", "Choice", "Then"), rows)


def _settled(result: "ClashesResult") -> Table:
    rows = []
    for number, clash in enumerate(result.clashes, start=1):
        decision = clash.decision
        told = (decision.choice, decision.by, decision.on.isoformat() if decision.on else "") if decision is not None else ("", "", "")
        rows.append((f"{number}. {clash.title}", clash.drawn, *told))
    return Table.of(
        "Decisions", ("Clash", "As the job file has it", "Decided", "By", "On"), rows, note="An empty line waits for a name and a day."
    )
