"""The study of forms: every run with what presses on it, how it is held, and why a first lift that has stood helps."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from slabwright.errors import MissingInput
from slabwright.geometry.drawing import polygons_of
from slabwright.model.job import Job
from slabwright.results.check import Ask
from slabwright.results.lines import QuantityLine, Task, Trade
from slabwright.results.notes import Notes
from slabwright.sources import arithmetic, practice
from slabwright.standards import aci_347r, form_bracing
from slabwright.studies import shape
from slabwright.studies.forms.bracing import FormRun, Setting, braced_run
from slabwright.studies.forms.ground import StakeGround
from slabwright.studies.forms.lifts import Lift, lifts_of
from slabwright.studies.forms.present import present
from slabwright.study import Done, Inputs, Result, Stage, Study
from slabwright.units import FOOT_M, FORCE, INCH_M, LENGTH, LINE_LOAD, PRESSURE, Family, format_quantity

LOWEST_M = 0.01
"""A form lower than this is none: the concrete stands in its trench. [m]"""
DESIGNED_FROM_M = 4 * FOOT_M
"""Height from which forms are designed by somebody licensed; common practice, no source. [m]"""
_CORNER_RAD = math.radians(20)
SOIL_AT_THE_FOOT = practice("what soil banked against a form and the foot of its stake hold")
_UNIT_WEIGHT_KG_M3 = 2400.0


@dataclass(frozen=True, slots=True, kw_only=True)
class FormsResult(Result):
    """Runs of form, and what a lift presses that has stood.

    Attributes
    ----------
    runs : tuple of FormRun
    lifts : tuple of Lift
        What presses on the edge form as it is filled.
    by_height : tuple of FormRun
        How forms of other heights would be braced with the same boards and stakes.
    head_pa, rested_pa : float
        Liquid pressure at the foot of the edge, and what a stiff lift still presses after standing; information only. [Pa]
    """

    runs: tuple[FormRun, ...]
    lifts: tuple[Lift, ...]
    by_height: tuple[FormRun, ...]
    head_pa: float
    rested_pa: float


def run(inputs: Inputs, done: Done) -> FormsResult:
    """Size the bracing of every run of edge form."""
    job = inputs.job
    edge = job.edge
    if edge is None:
        raise MissingInput("the height of the forms: write [edge] depth and top_above_grade.")
    height = job.forms.board_height_m or edge.top_above_grade_m
    if height < LOWEST_M:
        raise MissingInput("the height of the forms: write edge.top_above_grade or forms.board_height.")
    foundation = done[shape.STUDY].foundation
    weight = job.mix.unit_weight_kg_m3 if job.mix is not None else _UNIT_WEIGHT_KG_M3
    ground = StakeGround.of(job.soil)
    setting = Setting(
        forms=job.forms, ground=ground, unit_weight_kg_m3=weight, top_tolerance_m=job.tolerances.form_settlement_m, family=job.family
    )
    runs = [braced_run("perimeter", height, sides_of([foundation.outline.exterior]), setting)]
    inner = sides_of([ring for part in polygons_of(foundation.region) for ring in part.interiors])
    if inner:
        runs.append(braced_run("block-outs", job.floor.thickness_m, inner, setting))
    notes = Notes()
    for one in runs:
        notes.checks.extend(one.checks)
    lifts = lifts_of(job, edge, height, weight)
    _say(runs, job, ground, notes)
    return FormsResult(
        answer=_answer(job.family, runs[0], lifts[-1]),
        lines=_lines(runs, job),
        runs=tuple(runs),
        lifts=lifts,
        by_height=tuple(braced_run(f"{high:g}", high, (FOOT_M,), setting) for high in heights(job.family)),
        head_pa=lifts[-1].head_pa,
        rested_pa=lifts[-1].rested_pa,
        **notes.as_fields(),
    )


def sides_of(rings: Sequence[shapely.LinearRing]) -> tuple[float, ...]:
    """Lengths from corner to corner of some rings, in their order; a bend gentler than :data:`_CORNER_RAD` is no corner. [m]"""
    return tuple(side for ring in rings for side in _sides(np.asarray(ring.coords)[:-1, :2]))


def _sides(points: NDArray[np.float64]) -> list[float]:
    edges = np.roll(points, -1, axis=0) - points
    lengths, headings = np.hypot(edges[:, 0], edges[:, 1]), np.arctan2(edges[:, 1], edges[:, 0])
    turns = np.abs((headings - np.roll(headings, 1) + math.pi) % (2 * math.pi) - math.pi)
    corners = np.flatnonzero(turns > _CORNER_RAD)
    if not len(corners):
        return [float(lengths.sum())]
    lengths = np.roll(lengths, -int(corners[0]))
    return [float(side) for side in np.add.reduceat(lengths, corners - corners[0])]


def heights(family: Family) -> tuple[float, ...]:
    """Heights of form that the table of spacings names. [m]"""
    return tuple(n * INCH_M for n in (4, 6, 8, 10, 12, 16, 20, 24)) if family is Family.US else (0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.6)


def _say(runs: Sequence[FormRun], job: Job, ground: StakeGround, notes: Notes) -> None:
    family = job.family
    if job.forms.material != "steel":
        notes.assume("forms", "Boards are wet spruce-pine-fir No.2.", practice("what is usual on site"))
    ground.say(job.soil, family, notes)
    if any(run_.kickers for run_ in runs):
        notes.assume("forms", "Soil banked and tamped against the foot of the form holds 300 lb (1.3 kN) at each stake.", SOIL_AT_THE_FOOT)
    if max(run_.height_m for run_ in runs) > DESIGNED_FROM_M:
        notes.ask(Ask.ENGINEER, f"Forms over {family.says('4 ft', '1.2 m')} are to be designed: who designs and signs these?", "forms")
    notes.caution("No truck or machine leans on a form or stands beside one: forms that traffic loads are to be designed by an engineer.")
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
    if any(run_.kickers for run_ in runs):
        notes.tasks.append(
            Task(
                what="Nail every kicker to its stake and bank soil against the foot of the boards.",
                who="form setter",
                when="before the pre-pour inspection",
                where="forms",
            )
        )
    for run_ in runs:
        if run_.hold_down_n > 0:
            down = force_words(run_.hold_down_n, family)
            notes.tasks.append(
                Task(
                    what=f"Hold the form down with {down} at each stake, by a weight on it or a raking stake nailed over it: "
                    "kickers lift it, and concrete that runs under lifts it too.",
                    who="form setter", when="before the pre-pour inspection", where=run_.name,
                )
            )  # fmt: skip
    notes.caution("Never stand between a truck and a form, nor in front of a loaded one: forms fail without warning.")
    notes.caution("The full liquid head is the design value; that a lift has stood is never counted on.", aci_347r.LATERAL_PRESSURE)


def _answer(family: Family, run_: FormRun, lift: Lift) -> str:
    thrust = format_quantity(run_.thrust_n_m, LINE_LOAD, family, digits=3)
    spacing = format_quantity(run_.stake_spacing_m, LENGTH, family)
    held = "a stake and a kicker" if run_.kickers else "a stake"
    down = f", each held down with {force_words(run_.hold_down_n, family)}" if run_.hold_down_n > 0 else ""
    unit = "psf" if family is Family.US else "kPa"
    full, left = (format_quantity(value, PRESSURE, family, unit=unit, digits=2) for value in (lift.head_pa, lift.rested_pa))
    rest = "nothing" if lift.rested_pa <= 0 else left
    stood = f"A stiff first lift that has stood 45 min presses {rest} instead of {full}."
    return f"Fresh concrete pushes the forms with *{thrust}*: {held} every *{spacing}*{down}. {stood}"


def force_words(value_n: float, family: Family) -> str:
    """A force as site people weigh it."""
    return format_quantity(value_n, FORCE, family, unit="lb" if family is Family.US else "kN", digits=2)


def _lines(runs: list[FormRun], job: Job) -> tuple[QuantityLine, ...]:
    family = job.family
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
            clause=arithmetic("length of each side over spacing, one more"),
        ),
    ]
    if kickers:
        made.append(
            QuantityLine(
                key="forms.braces",
                item=f"Kickers with their stakes, driven {_driven(runs, family)}",
                quantity=float(kickers),
                suffix="",
                trade=Trade.FORMS,
                basis="one at each stake of high forms, and of low ones that stakes alone do not hold",
                clause=practice("kicker at each stake"),
            )
        )
    held = [run_ for run_ in runs if run_.hold_down_n > 0]
    if held:
        made.append(
            QuantityLine(
                key="forms.hold_downs", item="Weights or raking stakes that hold forms down", suffix="", trade=Trade.FORMS,
                quantity=float(sum(run_.n_stakes for run_ in held)),
                basis=", ".join(f"{run_.name} {force_words(run_.hold_down_n, family)} each" for run_ in held),
                clause=form_bracing.RUN_UNDER,
            )
        )  # fmt: skip
    return tuple(made)


def _driven(runs: list[FormRun], family: Family) -> str:
    return format_quantity(max(run_.kicker_embedment_m for run_ in runs), LENGTH, family)


STUDY = Study(
    key="forms",
    question="Do the forms hold?",
    stage=Stage.FORMS,
    run=run,
    present=present,
    reads=frozenset({"family", "floor", "edge", "forms", "mix", "crew", "plant", "soil", "tolerances"}),
    needs=(shape.STUDY,),
)
