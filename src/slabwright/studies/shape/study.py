"""The shape of the concrete as a result, so that every other study reads one and the same foundation."""

from dataclasses import dataclass

from slabwright.geometry.foundation import Foundation
from slabwright.geometry.takeoff import Volumes
from slabwright.study import Done, Inputs, Result, Stage, Study
from slabwright.units import AREA, VOLUME, format_quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class ShapeResult(Result):
    """The foundation and its volumes.

    Attributes
    ----------
    foundation : Foundation
    volumes : Volumes
    """

    foundation: Foundation
    volumes: Volumes


def run(inputs: Inputs, done: Done) -> ShapeResult:  # noqa: ARG001 - needs no other study
    """Build the depth field of the job."""
    job = inputs.job
    foundation = Foundation.of(job.floor, job.edge, job.strips, job.pads)
    volumes = foundation.volumes()
    total = format_quantity(volumes.total_m3, VOLUME, job.family)
    area = format_quantity(foundation.region.area, AREA, job.family)
    return ShapeResult(answer=f"One body of *{total}* of concrete under a floor of {area}.", foundation=foundation, volumes=volumes)


STUDY = Study(
    key="shape",
    question="What exactly is being cast?",
    stage=Stage.DESIGN,
    run=run,
    reads=frozenset({"family", "floor", "edge", "strips", "pads"}),
)
