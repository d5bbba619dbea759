"""The order list: concrete to the load, and everything else it takes, each line with how it was reckoned.

Counts of sheets, rolls, bars, joints and stakes here are rules of thumb and marked so; studies that lay them out give
lines under the same keys, which take their place in the order list (:func:`slabwright.results.lines.order_list`).
"""

from dataclasses import dataclass

from slabwright.results.lines import QuantityLine
from slabwright.results.notes import Notes
from slabwright.standards.ready_mix import GREATEST_ALLOWANCE, LEAST_ALLOWANCE, ORDER_RANGE
from slabwright.studies import shape
from slabwright.studies.quantities.concrete import ConcreteOrder, concrete_lines, order_of
from slabwright.studies.quantities.costs import Costs, costs_of
from slabwright.studies.quantities.ground import ground_lines
from slabwright.studies.quantities.present import present
from slabwright.studies.quantities.steel import steel_lines
from slabwright.studies.quantities.words import Words
from slabwright.studies.quantities.works import work_lines
from slabwright.study import Done, Inputs, Result, Stage, Study


@dataclass(frozen=True, slots=True, kw_only=True)
class QuantitiesResult(Result):
    """The concrete order and what it costs.

    Attributes
    ----------
    order : ConcreteOrder
    costs : Costs or None
        None where the job has no prices.
    """

    order: ConcreteOrder
    costs: Costs | None


def run(inputs: Inputs, done: Done) -> QuantitiesResult:
    """Take off everything the job needs."""
    job, cast, notes = inputs.job, done[shape.STUDY], Notes()
    words = Words(job.family)
    order = order_of(cast, job.plant, words)
    lines: tuple[QuantityLine, ...] = (
        *concrete_lines(cast, order, words),
        *ground_lines(job, cast, words, notes),
        *steel_lines(job, cast, words, notes),
        *work_lines(job, cast, order, words, notes),
    )
    _assume_allowances(order, notes, words)
    _warn(cast, order, notes, words)
    costs = None
    if job.prices is not None:
        costs = costs_of(lines, job.prices, order, job.plant, cast.foundation.region.area, job.family)
    return QuantitiesResult(
        answer=_answer(order, words, inputs.site.shots is not None), lines=lines, order=order, costs=costs, **notes.as_fields()
    )


def _answer(order: ConcreteOrder, words: Words, is_surveyed: bool) -> str:
    if is_surveyed:
        by_drawing = f"By the drawing it takes *{words.volume(order.order_m3, 5)}* of concrete for {words.volume(order.neat_m3)} neat"
        return f"{by_drawing}; the base is surveyed, so order what its survey says."
    full, balance = order.loads.n_full, order.loads.balance_m3
    loads = f"{full} full load{'s' if full != 1 else ''} of {words.volume(order.truck_m3)}" if full else ""
    last = f"a balance load of {words.volume(balance)}, held until measured" if balance else ""
    how = " and ".join(part for part in (loads, last) if part)
    return f"Order *{words.volume(order.order_m3, 5)}* of concrete for {words.volume(order.neat_m3)} neat: {how}."


def _assume_allowances(order: ConcreteOrder, notes: Notes, words: Words) -> None:
    for one in order.allowances:
        notes.assume(f"order list, {one.item}", f"{words.volume(one.volume_m3)} for {one.item}: {one.basis}", one.clause)


def _warn(cast: shape.ShapeResult, order: ConcreteOrder, notes: Notes, words: Words) -> None:
    plain = cast.rectangles.total_m3
    missing = order.neat_m3 - plain
    if missing > 0.005 * order.neat_m3:
        notes.caution(
            f"Reckoned as plain rectangles, edge and pads without their slopes, the concrete would come to {words.volume(plain)}: "
            f"{words.volume(missing)} short of the {words.volume(order.neat_m3)} that the shape holds."
        )
    share = order.allowance_m3 / order.neat_m3
    if not LEAST_ALLOWANCE <= share <= GREATEST_ALLOWANCE:
        low, high = (f"{100 * limit:g}" for limit in (LEAST_ALLOWANCE, GREATEST_ALLOWANCE))
        notes.caution(
            f"The allowances come to {100 * share:.1f} % of the neat volume; the trade orders {low} to {high} % over plan. Look at each.",
            ORDER_RANGE,
        )
    if order.is_short_load:
        notes.caution(f"The balance load of {words.volume(order.loads.balance_m3)} is a short load; ask the plant what it costs.")


STUDY = Study(
    key="quantities",
    question="How much of everything do I order?",
    stage=Stage.DESIGN,
    run=run,
    present=present,
    reads=frozenset(
        {
            "family", "codes", "floor", "edge", "strips", "pads", "posts", "base", "retarder", "insulation", "mesh", "bars", "joints",
            "forms", "plant", "prices", "site.shots",
        }
    ),
    needs=(shape.STUDY,),
)  # fmt: skip
