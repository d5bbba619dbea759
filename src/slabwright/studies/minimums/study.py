"""The study of least dimensions: collects the checks of its parts and says in one sentence what stands out."""

from dataclasses import dataclass

from slabwright.results.check import State
from slabwright.results.notes import Notes
from slabwright.studies.minimums.dimensions import check_dimensions
from slabwright.studies.minimums.mix import check_mix
from slabwright.studies.minimums.steel import check_steel
from slabwright.studies.minimums.under_slab import check_under_slab
from slabwright.study import Done, Inputs, Result, Stage, Study


@dataclass(frozen=True, slots=True, kw_only=True)
class MinimumsResult(Result):
    """Checks against published least values; nothing beyond the common fields."""


def run(inputs: Inputs, done: Done) -> MinimumsResult:  # noqa: ARG001 - needs no other study
    """Check the job against the least dimensions, covers and mix limits of its codes."""
    notes = Notes()
    job = inputs.job
    check_dimensions(job, notes)
    check_under_slab(job, notes)
    check_mix(job, notes)
    check_steel(job, notes)
    notes.caution("Least dimensions are not a design: the engineer and the local building department decide.")
    return MinimumsResult(answer=_answer(notes), **notes.as_fields())


def _answer(notes: Notes) -> str:
    failing = [check for check in notes.checks if check.state is State.FAILS]
    total = len(notes.checks)
    if not failing:
        return f"All *{total}* published minimums checked hold."
    worst = max(failing, key=lambda check: check.ratio)
    others = f", and {len(failing) - 1} more" if len(failing) > 1 else ""
    does = "does" if len(failing) == 1 else "do"
    return (
        f"*{len(failing)} of {total}* published minimums {does} not hold: {worst.name[0].lower()}{worst.name[1:]} ({worst.where}){others}."
    )


STUDY = Study(
    key="minimums",
    question="Does it meet the least the codes ask for?",
    stage=Stage.DESIGN,
    run=run,
    reads=frozenset(
        {"family", "codes", "place", "building", "soil", "floor", "edge", "pads", "base", "retarder", "mesh", "bars", "mix", "embeds"}
    ),
)
