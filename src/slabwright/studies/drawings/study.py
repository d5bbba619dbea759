"""The plan and its sections: everything that stands on, runs through or hangs below the floor, with its dimensions.

A study of its own, so that a moved post redraws the sheet and touches nothing that rests on the shape alone.
"""

from dataclasses import dataclass

from slabwright.studies import shape
from slabwright.studies.drawings.cuts import Cut, cuts_of
from slabwright.studies.drawings.present import present
from slabwright.study import Done, Inputs, Result, Stage, Study


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawingsResult(Result):
    """Where the sections are cut."""

    cuts: tuple[Cut, ...]


def run(inputs: Inputs, done: Done) -> DrawingsResult:
    """Choose the cuts and count what the sheet shows."""
    job, foundation = inputs.job, done[shape.STUDY].foundation
    counts = {"pad": len(job.pads), "strip": len(job.strips), "post": len(job.posts), "wall": len(job.walls)}
    counts |= {"pipe or drain": len(job.pipes), "block-out": len(job.floor.block_outs)}
    things = [f"{n} {name if n == 1 else _PLURALS.get(name, name + 's')}" for name, n in counts.items() if n]
    cuts = cuts_of(foundation)
    shown = ", ".join(things) if things else "the floor alone"
    return DrawingsResult(answer=f"The sheet shows {shown} in plan, and *{len(cuts)}* sections.", cuts=cuts)


_PLURALS = {"pipe or drain": "pipes and drains"}


STUDY = Study(
    key="drawings",
    question="What stands where?",
    stage=Stage.DESIGN,
    run=run,
    present=present,
    reads=frozenset({"family", "floor", "edge", "strips", "pads", "posts", "walls", "pipes", "base", "retarder"}),
    needs=(shape.STUDY,),
)
