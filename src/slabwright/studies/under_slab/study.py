"""The study of what is under the slab: every service, tied and proved, and the ground it lies on."""

from dataclasses import dataclass

import shapely

from slabwright.model.job import MinimumRules
from slabwright.results.lines import Task
from slabwright.results.notes import Notes
from slabwright.sources import Clause
from slabwright.studies import joints, shape
from slabwright.studies.under_slab.groundwork import check_base, check_electrode, check_insulation, check_radon, check_sheet, gas_layer_of
from slabwright.studies.under_slab.present import present
from slabwright.studies.under_slab.rules import check_between, check_service, test_of, test_tasks
from slabwright.studies.under_slab.services import Service, service_of
from slabwright.study import Done, Inputs, Result, Stage, Study


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """How one service is proved before cover.

    Attributes
    ----------
    name : str
    what : str
        With its numbers.
    clause : Clause
    """

    name: str
    what: str
    clause: Clause


@dataclass(frozen=True, slots=True, kw_only=True)
class UnderSlabResult(Result):
    """Services as they lie.

    Attributes
    ----------
    services : tuple of Service
    proofs : tuple of Proof
        Tests before cover; conduits and channels have none.
    n_boots : int
        Risers that pierce the sheet.
    gas_layer : tuple of Polygon
        Bays of the soil-gas layer; empty where none is asked for. [m]
    """

    services: tuple[Service, ...]
    proofs: tuple[Proof, ...]
    n_boots: int
    gas_layer: tuple[shapely.Polygon, ...]


def run(inputs: Inputs, done: Done) -> UnderSlabResult:
    """Read every pipe off the plan and judge it."""
    job, foundation = inputs.job, done[shape.STUDY].foundation
    planned = done[joints.STUDY]
    panels = planned.options[0].layout.pieces
    services = tuple(service_of(pipe, foundation, job.walls, panels) for pipe in job.pipes)
    notes = Notes()
    for service in services:
        check_service(service, job, planned.joints, notes)
    inside = [service for service in services if not service.outside_m]
    check_between(inside, job, notes)
    check_electrode(job, notes)
    gas_layer = gas_layer_of(job, foundation)
    check_radon(job, gas_layer, notes)
    check_base(job, notes)
    n_boots = sum(1 for service in inside if service.pipe.riser) if job.retarder is not None else 0
    check_sheet(job, n_boots, notes)
    check_insulation(job, notes)
    test_tasks(services, job, notes)
    _say(services, notes)
    european = job.codes.minimums is MinimumRules.EUROPEAN
    proofs = tuple(
        Proof(name=one.pipe.name, what=told[0], clause=told[1])
        for one in services
        if (told := test_of(one.pipe.kind, job.family, european)) is not None
    )
    return UnderSlabResult(
        answer=_answer(services, proofs), services=services, proofs=proofs, n_boots=n_boots, gas_layer=gas_layer, **notes.as_fields()
    )


def _say(services: tuple[Service, ...], notes: Notes) -> None:
    if any(one.pipe.riser for one in services):
        notes.tasks.append(
            Task(
                what="tie every riser to two wall lines and photograph it with the tape in the picture", who="plumber", when="before cover",
                where="risers",
            )
        )  # fmt: skip
    notes.caution("Have buried services marked before anything is dug; the utility notice is asked for two working days ahead.")


def _answer(services: tuple[Service, ...], proofs: tuple[Proof, ...]) -> str:
    if not services:
        return "*No* pipe or conduit lies under this slab."
    through = sum(1 for one in services if one.through)
    kinds = "1 pipe, conduit or drain" if len(services) == 1 else f"{len(services)} pipes, conduits and drains"
    deep = "none meets edge, strip or pad" if not through else f"{through} met by edge, strip or pad"
    tested = f"{len(proofs)} to be tested before cover" if proofs else "none needs a pressure test"
    return f"*{kinds}* {'comes' if len(services) == 1 else 'come'} up through the floor: {deep}, {tested}."


STUDY = Study(
    key="under_slab",
    question="What lies under the slab, and is it proved before it is covered?",
    stage=Stage.SERVICES,
    run=run,
    present=present,
    reads=frozenset(
        {
            "family", "codes", "building", "floor", "edge", "walls", "pipes", "embeds", "base", "retarder", "insulation", "mix",
        }
    ),
    needs=(shape.STUDY, joints.STUDY),
)  # fmt: skip
