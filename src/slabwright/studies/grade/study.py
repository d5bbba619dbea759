"""Where will the floor be thin, and how much concrete will the pad really take?"""

from dataclasses import dataclass

import numpy as np

from slabwright.errors import MissingInput
from slabwright.geometry.foundation import Foundation, PartKind
from slabwright.results.lines import QuantityLine
from slabwright.results.notes import Notes
from slabwright.standards.order_quantity import STEP_M3
from slabwright.studies import quantities, shape
from slabwright.studies.grade.order import OrderOutlook, order_outlook
from slabwright.studies.grade.present import present
from slabwright.studies.grade.remarks import order_lines, say_order, say_survey, say_thickness, say_trench, say_trim, words
from slabwright.studies.grade.surface import BaseSurface, surface_of
from slabwright.studies.grade.thickness import ThicknessOutlook, outlook
from slabwright.studies.grade.trench import Overdig, overdig
from slabwright.studies.grade.trim import EIGHTH_M, MILLIMETRES_M, Trim, trim
from slabwright.study import Done, Inputs, Result, Stage, Study
from slabwright.units import Family


@dataclass(frozen=True, slots=True, kw_only=True)
class GradeResult(Result):
    """The base, the floor on it, the work on it, the order.

    Attributes
    ----------
    surface : BaseSurface
    thickness : ThicknessOutlook
    trim : Trim or None
        None where the base was not measured.
    overdig : tuple of Overdig
    order : OrderOutlook
    ordered_m3 : float
        What the plan orders: by the base as measured, by the order list where it was not. [m³]
    """

    surface: BaseSurface
    thickness: ThicknessOutlook
    trim: Trim | None
    overdig: tuple[Overdig, ...]
    order: OrderOutlook
    ordered_m3: float


def run(inputs: Inputs, done: Done) -> GradeResult:
    """Fit the base, judge the floor, plan the work, draw the order."""
    job, site, notes = inputs.job, inputs.site, Notes()
    foundation, plan = done[shape.STUDY].foundation, done[quantities.STUDY].order
    rng = np.random.default_rng(inputs.seed)
    surface = surface_of(foundation, site.shots, rng)
    thickness = outlook(surface, job.tolerances)
    step = EIGHTH_M if job.family is Family.US else MILLIMETRES_M
    work = trim(surface, job.tolerances.thickness_minus_mean_m, step) if surface.measured else None
    stations = site.trench.stations if site.trench is not None else ()
    over = overdig(stations, job.edge, job.pads, job.floor.thickness_m)
    if stations and not over:
        raise MissingInput("the trench stations name no pad and the job has no edge; name the station after the pad that was dug.")
    order = order_outlook(
        surface,
        over,
        plan,
        job.plant,
        job.prices,
        below_m3=_below(foundation),
        edge_floor_m2=foundation.region.area - surface.area_m2,
        step_m3=STEP_M3 if job.family is Family.US else 0.25,
        rng=rng,
    )
    say_survey(surface, site.shots, job.family, notes)
    say_thickness(surface, thickness, job, notes)
    if work is not None:
        say_trim(work, job.family, notes)
    say_trench(over, notes)
    say_order(order, surface, job, notes)
    lines: tuple[QuantityLine, ...] = order_lines(order, work, surface, job)
    return GradeResult(
        answer=_answer(order, surface, thickness, plan.order_m3, job.family),
        lines=lines,
        surface=surface,
        thickness=thickness,
        trim=work,
        overdig=over,
        order=order,
        ordered_m3=order.order_m3 if surface.measured else plan.order_m3,
        **notes.as_fields(),
    )


def _below(foundation: Foundation) -> dict[str, float]:
    """Concrete of edge and strips, and of pads, below the floor. [m³]"""
    volumes = foundation.volumes()
    edge = volumes.of_kind_m3(PartKind.EDGE) + volumes.of_kind_m3(PartKind.STRIP)
    pads = volumes.of_kind_m3(PartKind.PAD) + volumes.outside_m3
    return {name: volume for name, volume in (("edge", edge), ("pads", pads)) if volume > 0.0}


def _answer(order: OrderOutlook, surface: BaseSurface, thickness: ThicknessOutlook, plain_m3: float, family: Family) -> str:
    say = words(family)
    whole = say.volume(order.order_m3)
    if not surface.measured:
        odds = round(100 * order.plain_short)
        return f"The base is not surveyed: {say.volume(plain_m3)} runs short in *{odds} of 100* cases, {whole} in 5."
    if thickness.places:
        place = thickness.places[0]
        thin = f"Thin at {say.place(place.at)}: *{say.size(place.below_m)}* under the drawing, shave it first."
        return f"{thin} Order {whole}: {say.loads(order)}."
    return f"Order *{whole}*: {say.loads(order)}."


STUDY = Study(
    key="grade",
    question="Where will the floor be thin, and how much do I order?",
    stage=Stage.GROUND,
    run=run,
    present=present,
    reads=frozenset({"family", "floor", "edge", "pads", "base", "plant", "prices", "tolerances", "site.shots", "site.trench"}),
    needs=(shape.STUDY, quantities.STUDY),
)
