"""The study of clashes: which good rules quarrel here, what either choice costs, and which are settled."""

from collections.abc import Callable
from dataclasses import dataclass, replace

from slabwright.model.job import Decision
from slabwright.results.check import Check
from slabwright.results.lines import Task
from slabwright.results.notes import Notes
from slabwright.sources import practice
from slabwright.studies import bearing, joints, shape
from slabwright.studies.clashes import rules_shape, rules_work
from slabwright.studies.clashes.clash import Clash, Ground, speaks_of
from slabwright.studies.clashes.present import present
from slabwright.study import Done, Inputs, Result, Stage, Study

Rule = Callable[[Ground], Clash | None]

RULES: tuple[Rule, ...] = (
    rules_shape.air_and_trowel,
    rules_shape.sheet_and_electrode,
    rules_shape.posts_and_one_pour,
    rules_shape.joints_and_pads,
    rules_shape.ties_and_cuts,
    rules_shape.ballast_and_joints,
    rules_shape.falls_and_base,
    rules_work.ring_and_seam,
    rules_work.settle_and_live,
    rules_work.sheet_and_stakes,
    rules_work.frame_and_saw,
    rules_work.wet_cure_and_curl,
    rules_work.slump_and_custom,
    rules_work.chairs_by_book,
    rules_work.rods_and_tolerance,
    rules_work.wet_set_and_fixed,
    rules_work.compound_and_covering,
)
"""Every rule is silent where its clash does not arise."""

SETTLED_ON_PAPER = practice("clashes are settled on paper, with a name and a day, before concrete is ordered")


@dataclass(frozen=True, slots=True, kw_only=True)
class ClashesResult(Result):
    """What quarrels and who settled it.

    Attributes
    ----------
    clashes : tuple of Clash
        Undecided ones first.
    astray : tuple of Decision
        Decisions that name no clash of this job.
    """

    clashes: tuple[Clash, ...]
    astray: tuple[Decision, ...]

    @property
    def open(self) -> tuple[Clash, ...]:
        """Those without a decision, or with one that lacks a name or a day."""
        return tuple(clash for clash in self.clashes if not clash.is_settled)


def run(inputs: Inputs, done: Done) -> ClashesResult:
    """Try every rule and lay the job's decisions beside what it finds."""
    job = inputs.job
    ground = Ground(job=job, built=done[shape.STUDY], joints=done[joints.STUDY], bearing=done.get(bearing.STUDY))
    arisen = [clash for rule in RULES if (clash := rule(ground)) is not None]
    clashes = [replace(clash, decision=_decision(clash, job.decisions)) for clash in arisen]
    clashes.sort(key=lambda clash: clash.is_settled)
    astray = tuple(one for one in job.decisions if not any(speaks_of(one, clash) for clash in arisen))
    notes = Notes()
    for clash in clashes:
        _say(clash, notes)
    for number, decision in enumerate(job.decisions):
        if decision in astray:
            notes.checks.append(_astray(number, decision, clashes))
    return ClashesResult(answer=_answer(clashes), clashes=tuple(clashes), astray=astray, **notes.as_fields())


def _decision(clash: Clash, decisions: tuple[Decision, ...]) -> Decision | None:
    """The last word on it."""
    return next((one for one in reversed(decisions) if speaks_of(one, clash)), None)


def _say(clash: Clash, notes: Notes) -> None:
    if clash.is_settled:
        return
    choices = " Or: ".join(f"{option.choice}. {option.then}" for option in clash.options)
    lacking = ""
    if clash.decision is not None:
        missing = " and ".join(word for word, there in (("a name", clash.decision.by), ("a day", clash.decision.on)) if not there)
        lacking = f' Decided as "{clash.decision.choice}", but without {missing}.'
    notes.ask(clash.ask, f"{clash.title[0].upper()}{clash.title[1:]}: {clash.why}{lacking} Either: {choices}", clash.where, clash.clause)
    notes.tasks.append(
        Task(what=f'settle "{clash.title}" and write it in [[decisions]]', who="builder", when="before the order", where=clash.where)
    )


def _astray(number: int, decision: Decision, clashes: list[Clash]) -> Check:
    known = "; ".join(f'"{clash.title}"' for clash in clashes) or "none"
    return Check(
        key=f"decision.{number + 1}",
        name=f'Decision "{decision.clash}" names a clash of this job',
        where=f"decisions[{number + 1}]",
        demand=1.0,
        capacity=1e-9,
        suffix="",
        clause=SETTLED_ON_PAPER,
        remedy=f"Take it out, or name one that arises here: {known}.",
    )


def _answer(clashes: list[Clash]) -> str:
    unsettled = [clash for clash in clashes if not clash.is_settled]
    if not clashes:
        return "*No* good rules quarrel on this job."
    if not unsettled:
        return f"*All {len(clashes)}* clashes between good rules are settled, each with a name and a day."
    return f"*{len(unsettled)}* of {len(clashes)} clashes between good rules wait for a decision; first: {unsettled[0].title}."


STUDY = Study(
    key="clashes",
    question="Which good rules quarrel here, and who decides?",
    stage=Stage.DESIGN,
    run=run,
    present=present,
    reads=frozenset(
        {
            "family", "codes", "building", "floor", "posts", "walls", "embeds", "retarder", "mesh", "bars", "joints", "mix", "crew",
            "plant", "decisions",
        }
    ),
    needs=(shape.STUDY, joints.STUDY),
    hears=(bearing.STUDY,),
)  # fmt: skip
