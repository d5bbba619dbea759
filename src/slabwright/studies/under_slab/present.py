"""Services on the plan with their ties, each in a cut-out of its own, and the table of stubs and tests."""

from typing import TYPE_CHECKING

from slabwright.geometry.drawing import plan_items
from slabwright.results.picture import DimensionLine, Item, Layer, Line, Note, Picture
from slabwright.results.table import Column, Table
from slabwright.studies import joints, shape
from slabwright.studies.under_slab.cut_out import cut_out, goes_through
from slabwright.studies.under_slab.ground_pictures import ground_pictures, numbered
from slabwright.studies.under_slab.groundwork import electrodes
from slabwright.studies.under_slab.services import Service
from slabwright.study import Done, Inputs, Presentation

if TYPE_CHECKING:
    from slabwright.studies.under_slab.study import UnderSlabResult


def present(inputs: Inputs, done: Done, result: "UnderSlabResult") -> Presentation:
    """One plan of all services, a cut-out round each, what lies between ground and concrete; one table of stubs, one of tests."""
    job, foundation = inputs.job, done[shape.STUDY].foundation
    tables = [_stubs(result)] if result.services else []
    if result.proofs:
        rows = [(one.name, one.what, str(one.clause)) for one in result.proofs]
        tables.append(Table.of("Tests before cover", ("Service", "Test", "Rule"), rows))
    cut_outs = [cut_out(number, one, inputs, done) for number, one in enumerate(result.services, start=1)]
    ground = ground_pictures(job, foundation, result.services, result.gas_layer)
    drawn = result.services or electrodes(job)
    plan = (_plan(inputs, done, result),) if drawn else ()
    return Presentation(pictures=(*plan, *cut_outs, *ground), tables=tuple(tables))


def _plan(inputs: Inputs, done: Done, result: "UnderSlabResult") -> Picture:
    foundation = done[shape.STUDY].foundation
    items: list[Item] = [*plan_items(foundation)]
    items += [Line(layer=Layer.JOINT, points=part, weight=0.6) for one in done[joints.STUDY].joints for part in one.stretches]
    items += [Line(layer=Layer.WALL, points=wall.line, weight=0.7, dashed=True, label=wall.name) for wall in inputs.job.walls]
    for rod in electrodes(inputs.job):
        items.append(Line(layer=Layer.STEEL, points=rod.line, weight=2.0, label=rod.name))
        items.append(Note(layer=Layer.STEEL, at=rod.line[-1], text=rod.name, anchor="start"))
    for number, service in enumerate(result.services, start=1):
        items += _service(number, service)
    return Picture(
        key="plan-services",
        title="Services under the slab, each riser tied to two lines",
        items=tuple(items),
        alt=f"Plan of the floor with {len(result.services)} numbered services and their ties.",
        notes=tuple(f"{number}  {one.pipe.name}" for number, one in enumerate(result.services, start=1)),
    )


def _service(number: int, service: Service) -> list[Item]:
    pipe = service.pipe
    items: list[Item] = []
    if len(pipe.run) > 1:
        items.append(Line(layer=Layer.PIPE, points=pipe.run, weight=1.8, label=pipe.name))
    mark, words = numbered(number, service)
    ties = [DimensionLine(start=tie.foot, end=service.at) for tie in service.ties if not service.is_drain or len(pipe.run) == 1]
    return [*items, mark, *ties, words]


def _stubs(result: "UnderSlabResult") -> Table:
    rows = []
    for number, one in enumerate(result.services, start=1):
        first, second = (*one.ties, None, None)[:2]
        rows.append(
            (
                f"{number} {one.pipe.name}", one.pipe.kind.value,
                one.pipe.wrap.value,
                first.distance_m if first else None, first.to if first else "",
                second.distance_m if second else None, second.to if second else "",
                one.rim_below_m, goes_through(one),
            )
        )  # fmt: skip
    columns = (
        "Service", "Kind", "Wrap", Column("First tie", "m"), "from", Column("Second tie", "m"), "from", Column("Rim below level", "m"),
        "Goes through",
    )  # fmt: skip
    note = "Ties are square to the line, to the middle of the pipe; a rim below floor level counts from the level at the walls."
    return Table.of("Stubs and drains", columns, rows, note=note)
