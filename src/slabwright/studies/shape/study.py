"""The shape of the concrete as a result, so that every other study reads one and the same foundation."""

from dataclasses import dataclass, replace

from slabwright.errors import GeometryError, MissingInput
from slabwright.geometry.foundation import Foundation, PartKind
from slabwright.geometry.surface import least_thickness_m
from slabwright.geometry.takeoff import RectangleReckoning, Volumes, rectangle_only
from slabwright.model.job import Job
from slabwright.results.lines import Task
from slabwright.results.notes import Notes
from slabwright.sources import practice
from slabwright.studies.shape.present import present
from slabwright.study import Done, Inputs, Part, Result, Stage, Study
from slabwright.units import AREA, LENGTH, VOLUME, Family, format_quantity

OUTSIDE_TO_GRADE = practice("concrete of a pad outside the forms is cast up to outside grade")
_KINDS = {PartKind.FLOOR: "floor", PartKind.STRIP: "strips", PartKind.EDGE: "edge", PartKind.PAD: "pads"}


@dataclass(frozen=True, slots=True, kw_only=True)
class ShapeResult(Result):
    """The foundation and its volumes.

    Attributes
    ----------
    foundation : Foundation
    volumes : Volumes
        By part, overlaps counted once.
    rectangles : RectangleReckoning
        What lengths times widths times depths would make of it.
    least_m, greatest_m, mean_m : float
        Thickness of the concrete within the form line. [m]
    level_base_m3 : float
        What the concrete would take more if the base were left level under a floor with falls. [m³]
    """

    foundation: Foundation
    volumes: Volumes
    rectangles: RectangleReckoning
    least_m: float
    greatest_m: float
    mean_m: float
    level_base_m3: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Amounts:
    """What who orders and places the concrete asks of the shape, wherever its parts lie.

    Attributes
    ----------
    total_m3, floor_m3 : float
        All concrete, and the floor's alone. [m³]
    area_m2 : float
        Of the floor, edge to edge. [m²]
    """

    total_m3: float
    floor_m3: float
    area_m2: float

    @classmethod
    def of(cls, found: ShapeResult) -> "Amounts":
        """Read off the shape."""
        volumes = found.volumes
        return cls(total_m3=volumes.total_m3, floor_m3=volumes.of_kind_m3(PartKind.FLOOR), area_m2=found.foundation.region.area)


def run(inputs: Inputs, done: Done) -> ShapeResult:  # noqa: ARG001 - needs no other study
    """Build the depth field of the job."""
    job = inputs.job
    try:
        foundation = Foundation.of(job.floor, job.edge, job.strips, job.pads)
    except GeometryError as error:
        raise MissingInput(str(error)) from error
    volumes = foundation.volumes()
    notes = Notes()
    wedge = _level_base_m3(job, volumes)
    _speak_of_the_base(job, wedge, notes)
    _speak_of_the_outside(job, volumes, notes)
    inside_m3 = volumes.total_m3 - volumes.outside_m3
    return ShapeResult(
        answer=_answer(volumes, foundation, job.family),
        foundation=foundation,
        volumes=volumes,
        rectangles=rectangle_only(foundation),
        least_m=least_thickness_m(foundation.floor),
        greatest_m=max(part.depth_m for part in foundation.parts),
        mean_m=inside_m3 / foundation.region.area,
        level_base_m3=wedge,
        **notes.as_fields(),
    )


def _answer(volumes: Volumes, foundation: Foundation, family: Family) -> str:
    def text(value_m3: float) -> str:
        return format_quantity(value_m3, VOLUME, family, digits=3)

    shares = [f"{text(volumes.of_kind_m3(kind))} {name}" for kind, name in _KINDS.items() if volumes.of_kind_m3(kind) > 0.0]
    shares += [f"{text(volumes.outside_m3)} outside the forms"] if volumes.outside_m3 > 0.0 else []
    area = format_quantity(foundation.region.area, AREA, family)
    parts = f": {', '.join(shares)}" if len(shares) > 1 else ""
    total = format_quantity(volumes.total_m3, VOLUME, family)
    return f"One body of *{total}* of concrete under a floor of {area}{parts}."


def _level_base_m3(job: Job, volumes: Volumes) -> float:
    """What a level base takes more than one graded parallel to the falls. [m³]"""
    if not job.floor.falls:
        return 0.0
    other = Foundation.of(replace(job.floor, base_parallel=not job.floor.base_parallel), job.edge, job.strips, job.pads)
    return abs(other.volumes().total_m3 - volumes.total_m3)


def _speak_of_the_base(job: Job, wedge_m3: float, notes: Notes) -> None:
    if wedge_m3 <= 0.0:
        return
    more = format_quantity(wedge_m3, VOLUME, job.family)
    if job.floor.base_parallel:
        what = f"Grade the base parallel to the falls of the floor: left level it takes {more} more concrete."
        notes.tasks.append(Task(what=what, who="grader operator", when="at fine grading", where="where the floor falls"))
    else:
        notes.caution(f"The base is left level under a falling floor, which takes {more} more than one graded parallel to it.")


def _speak_of_the_outside(job: Job, volumes: Volumes, notes: Notes) -> None:
    for number, (pad, one) in enumerate(zip(job.pads, volumes.parts[-len(job.pads) :], strict=True) if job.pads else ()):
        if one.outside_m3 > 0.0 and pad.outside_top_m is None:
            top = format_quantity(one.part.outside_top_m, LENGTH, job.family)
            statement = f"concrete of pad {pad.name} outside the forms stands up to {top} below the floor"
            notes.assume(f"pads[{number}].outside_top", statement, OUTSIDE_TO_GRADE)


STUDY = Study(
    key="shape",
    question="What exactly is being cast?",
    stage=Stage.DESIGN,
    run=run,
    present=present,
    reads=frozenset({"family", "floor", "edge", "strips", "pads"}),
)
AMOUNTS = Part(study=STUDY, name="amounts", of=Amounts.of)
