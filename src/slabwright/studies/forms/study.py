"""The study of forms: every run with what presses on it, how it is held, and why a first lift that has stood helps."""

from dataclasses import dataclass

import shapely

from slabwright.errors import MissingInput
from slabwright.results.check import Ask
from slabwright.results.lines import QuantityLine, Task, Trade
from slabwright.results.notes import Notes
from slabwright.sources import arithmetic, practice
from slabwright.standards import aci_347r, rheology
from slabwright.studies import shape
from slabwright.studies.forms.bracing import KICKER_ABOVE_M, FormRun, braced_run
from slabwright.studies.forms.present import present
from slabwright.study import Done, Inputs, Result, Stage, Study
from slabwright.units import LENGTH, LINE_LOAD, PRESSURE, Family, format_quantity

REST_S = 45 * 60.0
"""Rest of a first lift before the floor follows; common practice, no source."""
STIFF_SLUMP_M = 0.1016
_UNIT_WEIGHT_KG_M3 = 2400.0


@dataclass(frozen=True, slots=True, kw_only=True)
class FormsResult(Result):
    """Runs of form, and what a lift presses that has stood.

    Attributes
    ----------
    runs : tuple of FormRun
    head_pa, rested_pa : float
        Liquid pressure at the foot of the edge, and what a stiff lift still presses after standing; information only. [Pa]
    """

    runs: tuple[FormRun, ...]
    head_pa: float
    rested_pa: float


def run(inputs: Inputs, done: Done) -> FormsResult:
    """Size the bracing of every run of edge form."""
    job = inputs.job
    edge = job.edge
    if edge is None:
        raise MissingInput("the height of the forms: write [edge] depth and top_above_grade.")
    height = job.forms.board_height_m or edge.top_above_grade_m
    if height <= 0:
        raise MissingInput("the height of the forms: write edge.top_above_grade or forms.board_height.")
    foundation = done[shape.STUDY].foundation
    weight = job.mix.unit_weight_kg_m3 if job.mix is not None else _UNIT_WEIGHT_KG_M3
    whole = foundation.outline.exterior.length
    runs = [braced_run("perimeter", height, whole, job.forms, weight, job.family)]
    inner = sum(part.length for part in shapely.get_parts(foundation.region)) - whole
    if inner > 1e-6:
        runs.append(braced_run("block-outs", job.floor.thickness_m, inner, job.forms, weight, job.family))
    notes = Notes()
    for one in runs:
        notes.checks.extend(one.checks)
    head = aci_347r.liquid_head_pa(depth_m=height, unit_weight_kg_m3=weight)
    stress = rheology.yield_stress_pa(slump_m=STIFF_SLUMP_M, unit_weight_kg_m3=weight)
    rested = rheology.standing_lift_pressure_pa(
        depth_m=height, form_width_m=edge.width_m, yield_stress_pa=stress, rest_s=REST_S, unit_weight_kg_m3=weight
    )
    _say(height, job.family, notes)
    return FormsResult(
        answer=_answer(job.family, runs[0], head, rested),
        lines=_lines(runs, job.family),
        runs=tuple(runs),
        head_pa=head,
        rested_pa=rested,
        **notes.as_fields(),
    )


def _say(height_m: float, family: Family, notes: Notes) -> None:
    notes.assume(
        "forms", "Boards are wet spruce-pine-fir No.2; stakes stand in firm sand of 30 degrees.", practice("what is usual on site")
    )
    notes.ask(
        Ask.ENGINEER,
        f"Forms higher than {family.says('4 ft', '1.2 m')} or loaded by traffic are to be designed: does that apply here?",
        "forms",
    )
    notes.tasks.append(
        Task(
            what=f"Shoot the form tops round the ring; reset what moved over {family.says('1/8 in', '3 mm')}.",
            who="form setter",
            when="right before placing, and after rain",
            where="forms",
        )
    )
    notes.tasks.append(
        Task(
            what=f"Watch a tell-tale string; over {family.says('1/8 in.', '3 mm')} of movement stop placing there and brace.",
            who="form watcher",
            when="while placing",
            where="forms",
        )
    )
    if height_m > KICKER_ABOVE_M:
        notes.tasks.append(
            Task(
                what="Nail every kicker to its stake and bank soil against the foot of the boards: the kicker lifts the form.",
                who="form setter",
                when="before the pre-pour inspection",
                where="forms",
            )
        )
    notes.caution("Never stand between a truck and a form, nor in front of a loaded one: forms fail without warning.")
    notes.caution("The full liquid head is the design value; that a lift has stood is never counted on.", aci_347r.LATERAL_PRESSURE)


def _answer(family: Family, run_: FormRun, head_pa: float, rested_pa: float) -> str:
    thrust = format_quantity(run_.thrust_n_m, LINE_LOAD, family, digits=3)
    spacing = format_quantity(run_.stake_spacing_m, LENGTH, family)
    held = "a stake and a kicker" if run_.kickers else "a stake"
    unit = "psf" if family is Family.US else "kPa"
    full, left = (format_quantity(value, PRESSURE, family, unit=unit, digits=2) for value in (head_pa, rested_pa))
    rest = "nothing" if rested_pa <= 0 else left
    stood = f"A stiff first lift that has stood 45 min presses {rest} instead of {full}."
    return f"Fresh concrete pushes the forms with *{thrust}*: {held} every *{spacing}*. {stood}"


def _lines(runs: list[FormRun], family: Family) -> tuple[QuantityLine, ...]:
    stakes = sum(run_.n_stakes for run_ in runs)
    kickers = sum(run_.n_stakes for run_ in runs if run_.kickers)
    spacing = ", ".join(f"{run_.name} every {format_quantity(run_.stake_spacing_m, LENGTH, family)}" for run_ in runs)
    made = [
        QuantityLine(
            key="forms.stakes",
            item="Form stakes",
            quantity=float(stakes),
            suffix="",
            trade=Trade.FORMS,
            basis=spacing,
            clause=arithmetic("length over spacing, one more"),
        ),
    ]
    if kickers:
        made.append(
            QuantityLine(
                key="forms.braces",
                item="Kickers with their stakes",
                quantity=float(kickers),
                suffix="",
                trade=Trade.FORMS,
                basis=f"one at each stake of forms over {family.says('6 in.', '150 mm')} high",
                clause=practice("kicker at each stake"),
            )
        )
    return tuple(made)


STUDY = Study(
    key="forms",
    question="Do the forms hold?",
    stage=Stage.FORMS,
    run=run,
    present=present,
    reads=frozenset({"family", "floor", "edge", "forms", "mix"}),
    needs=(shape.STUDY,),
)
