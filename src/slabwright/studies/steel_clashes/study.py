"""The study of what meets what inside the concrete: bars, mesh, pipes, bolts, saw-cuts, and the outside."""

from collections import Counter
from dataclasses import dataclass

from slabwright.model.supply import JointKind
from slabwright.results.check import Ask
from slabwright.results.lines import Task
from slabwright.results.notes import Notes
from slabwright.sources import Basis, Clause, Source, practice
from slabwright.standards.aci_318_19 import ACI_318_19
from slabwright.studies import bars, joints, mesh, shape
from slabwright.studies.bars.rules import CLEAR_SPACING, clear_spacing_m
from slabwright.studies.bars.windows import OFF_JOINTS
from slabwright.studies.steel_clashes.meets import (
    Meet,
    at_joints,
    bare_pipes,
    gathered,
    in_reach_of_the_saw,
    names_through,
    near_each_other,
    pipes_in_beams,
    too_near_outside,
)
from slabwright.studies.steel_clashes.present import present
from slabwright.studies.steel_clashes.solids import Kind, capsules
from slabwright.study import Done, Inputs, Result, Stage, Study
from slabwright.units import LENGTH, format_place, format_quantity

COVER = Clause(ACI_318_19, "20.5.1.3, as the job file asks", Basis.QUOTED)
NO_PIPE_IN_FOOTING = Clause(
    Source("municipal pre-slab list", "Municipal inspection check list before a slab is placed"),
    "no pipe in interior footings unless engineered; pipes wrapped",
    Basis.TEXT_SEEN,
)
WRAP = practice("a pipe that rises through a slab is wrapped or sleeved, 1/4 in. (6 mm) and up")
SAW = practice("the saw stays above the steel")


@dataclass(frozen=True, slots=True, kw_only=True)
class SteelClashesResult(Result):
    """Meetings, the worst of each pair.

    Attributes
    ----------
    meets : tuple of Meet
        Those of the same two things together.
    """

    meets: tuple[Meet, ...] = ()


_CHECKS = (
    ("cover", ("cover",), "Bars with less cover than asked, measured all round", COVER),
    ("bars", ("bar against bar",), "Bars of different sets that run into each other or lie too close", CLEAR_SPACING),
    ("pipes", ("pipe against bar",), "Bars too near to a pipe", CLEAR_SPACING),
    ("bolts", ("bolt against bar", "bolt against pipe"), "Bolts too near to a bar or pipe", CLEAR_SPACING),
    ("laps", ("joint at a lap",), "Laps of bars at a joint", OFF_JOINTS),
    ("saw", ("saw against mesh", "saw against bar"), "Steel in reach of the saw", SAW),
    ("wrap", ("pipe without wrap",), "Pipes gripped by the concrete", WRAP),
)


def run(inputs: Inputs, done: Done) -> SteelClashesResult:
    """Find everything that meets."""
    job = inputs.job
    foundation, laid = done[shape.STUDY].foundation, done[bars.STUDY]
    pieces = capsules(laid.placed, job.pipes, job.embeds, foundation)
    thickest = max((2 * one.radius_m for one in pieces if one.kind is Kind.BAR), default=0.0127)
    cuts = [
        (line.start, line.end, line.depth_m)
        for line in done[joints.STUDY].joints
        if line.kind in (JointKind.SAW, JointKind.EARLY_ENTRY, JointKind.TOOLED)
    ]
    meets = gathered(
        [
            *too_near_outside(laid.placed, job.bars, foundation),
            *near_each_other(pieces, clear_spacing_m(job, thickest)),
            *in_reach_of_the_saw(laid.placed, job.bars, cuts, None if job.mesh is None else job.mesh.cover_m),
            *at_joints(laid.laps, {line.name: (line.start, line.end) for line in done[joints.STUDY].joints}),
            *bare_pipes(job.pipes, foundation),
        ]
    )
    notes = Notes()
    for key, kinds, name, clause in _CHECKS:
        mine = [meet for meet in meets if meet.what in kinds]
        worst = max(mine, key=lambda meet: meet.short_m, default=None)
        notes.at_most(
            key,
            name,
            "all" if worst is None else format_place(worst.at[:2], job.family),
            found=float(len(mine)),
            limit=0.5,
            suffix="",
            clause=clause,
            remedy="" if worst is None else worst.remedy,
        )
    for pipe, part in pipes_in_beams(job.pipes, foundation):
        notes.ask(Ask.ENGINEER, f"{pipe.name} passes through the {part}. Is the beam meant to carry that hole?", part, NO_PIPE_IN_FOOTING)
    if meets:
        notes.tasks.append(
            Task(
                what="Settle every meeting of the list on the steel, not in the concrete.",
                who="steel fixer with the plumber",
                when="before the pre-pour look",
                where="list",
            )
        )
    size = format_quantity(clear_spacing_m(job, thickest), LENGTH, job.family)
    sheets = done.get(mesh.STUDY)
    if job.mesh is not None and sheets is not None and sheets.region is not None:
        through = names_through(pieces, sheets.region, job.mesh.cover_m)
        if any(through.values()):
            rows = len(through[Kind.BOLT])
            bolts = [f"{rows} row{'s' if rows > 1 else ''} of bolts"] if rows else []
            names = ", ".join([*through[Kind.PIPE], *bolts])
            notes.tasks.append(
                Task(
                    what=f"Cut each wire of the mesh that would come nearer than {size} to what passes through it: {names}.",
                    who="steel fixer",
                    when="before the pre-pour look",
                    where="mesh",
                )
            )
    notes.assume("mix.aggregate_size", f"Steel, pipes and bolts keep {size} apart.", CLEAR_SPACING)
    return SteelClashesResult(answer=_answer(meets), meets=meets, **notes.as_fields())


def _answer(meets: tuple[Meet, ...]) -> str:
    if not meets:
        return "Nothing meets: *0 clashes* between bars, mesh, pipes, bolts and saw-cuts."
    kinds = Counter(meet.what for meet in meets)
    told = ", ".join(f"{n} {what}" for what, n in kinds.most_common())
    n = sum(kinds.values())
    return f"There {'is' if n == 1 else 'are'} *{n} to settle* before placing: {told}."


STUDY = Study(
    key="steel_clashes",
    question="What meets what inside the concrete?",
    stage=Stage.STEEL,
    run=run,
    present=present,
    reads=frozenset({"family", "pipes", "embeds", "mesh", "bars", "mix"}),
    needs=(shape.STUDY, bars.STUDY, joints.STUDY),
    hears=(mesh.STUDY,),
)
