"""What the worker answers about a planned job: strips opened, cuts, bodies, papers, comparisons."""

import base64
import tempfile
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

from slabwright.errors import GeometryError, MissingInput, UnknownName
from slabwright.files.ticketfile import TICKETS_NAME
from slabwright.geometry.foundation import Foundation
from slabwright.results.picture import Area, Hatch, Layer, Line, Picture
from slabwright.studies import STUDIES, joints, placement, shape
from slabwright.studies.placement import PlacementResult
from slabwright.study import Inputs, Plan, Waiting, answer_of, in_order, run_studies
from slabwright.units import AREA, LENGTH, Family, format_quantity
from slabwright.web import body, maps
from slabwright.web.plan_views import AnswerMoved, JointLineView, LiveView, SectionCut
from slabwright.web.session import finding_view
from slabwright.web.strips import FAULT, figures_moved, open_strip, runs

Message = dict[str, Any]
Held = Any


def foundation_of(held: Held) -> Foundation | None:
    """The shape of a planned job; None until it is known."""
    found = answer_of(held.outcomes, shape.STUDY)
    return None if found is None else found.foundation


def _shape(held: Held) -> Foundation:
    found = foundation_of(held)
    if found is None:
        raise MissingInput("the shape of the concrete is not known yet.")
    return found


def strip(held: Held, message: Message) -> str:
    """An opened strip, as JSON."""
    outcome = held.outcomes.get(message["key"])
    if outcome is None:
        raise UnknownName(f'no question is called "{message["key"]}".')
    return open_strip(outcome, held.inputs.job.family).model_dump_json()


def cut(held: Held, message: Message) -> str:
    """A section along a line across the plan, as JSON."""
    from slabwright.outputs.svg import picture_svg

    start, end = tuple(message["start"]), tuple(message["end"])
    foundation, family = _shape(held), held.inputs.job.family
    section = foundation.section(start, end)
    if not section.runs:
        raise GeometryError("the line meets no concrete; draw it across the floor.")
    items: list[Any] = []
    for one in section.runs:
        ring = tuple((float(x), float(y)) for x, y in one.polygon().exterior.coords[:-1])
        items.append(Area(layer=Layer.CONCRETE_CUT, outline=ring, hatch=Hatch.SOLID, label="concrete"))
    length = sum(float(one.along_m[-1] - one.along_m[0]) for one in section.runs)
    picture = Picture(
        key="cut", title="Section along the line drawn", items=(*items, *_dimensions(section)), alt="The concrete along the line drawn."
    )
    return SectionCut(
        svg=picture_svg(picture, family, width=920, height=300, prefix="cut-"),
        area=format_quantity(section.area_m2, AREA, family),
        length=format_quantity(length, LENGTH, family),
    ).model_dump_json()


def _dimensions(section: Any) -> list[Any]:
    from slabwright.results.picture import DimensionLine

    first, last = section.runs[0], section.runs[-1]
    deep = max(section.runs, key=lambda one: float(one.bottom_m.max()))
    at = int((deep.bottom_m >= deep.bottom_m.max() - 1e-6).nonzero()[0][-1])
    x, depth = float(deep.along_m[at]), float(deep.bottom_m[at])
    whole = DimensionLine(start=(float(first.along_m[0]), -deep.top_m), end=(float(last.along_m[-1]), -deep.top_m), offset_m=0.25)
    down = DimensionLine(start=(x, 0.0), end=(x, -depth), offset_m=0.15)
    return [whole, down, Line(layer=Layer.CONCRETE_SEEN, points=((float(first.along_m[0]), 0.0), (float(last.along_m[-1]), 0.0)))]


def mesh(held: Held, message: Message) -> str:  # noqa: ARG001 - every question takes both
    """The body of the concrete and its steel, as JSON."""
    return body.body_view(_shape(held), held.outcomes, held.inputs.job.family).model_dump_json()


def measure(held: Held, message: Message) -> str:
    """What lies between two picked points, as JSON."""
    start, end = tuple(message["start"]), tuple(message["end"])
    return body.measured(_shape(held), start, end, tuple(message["heights"]), held.inputs.job.family).model_dump_json()


def maps_of(held: Held, message: Message) -> list[dict[str, Any]]:  # noqa: ARG001
    """The maps that can be laid under the plan."""
    return [one.model_dump() for one in maps.map_cards(_shape(held), held.outcomes)]


def map_under(held: Held, message: Message) -> str:
    """One map, as JSON."""
    family = held.inputs.job.family
    return maps.map_view(_shape(held), held.outcomes, message["study"], message["map"], message["scale"], family).model_dump_json()


def joint_lines(held: Held, message: Message) -> list[dict[str, Any]]:  # noqa: ARG001
    """The joint lines as laid; none while they are not known."""
    found = answer_of(held.outcomes, joints.STUDY)
    family = held.inputs.job.family if held.inputs else Family.US
    return [
        JointLineView(
            name=one.name,
            points_m=(one.start, one.end),
            said=f"{format_quantity(one.length_m, LENGTH, family)} long, cut {format_quantity(one.depth_m, LENGTH, family)} deep",
        ).model_dump()
        for one in (found.joints if found is not None else ())
    ]


def _placement(held: Held) -> PlacementResult:
    found = answer_of(held.outcomes, placement.STUDY)
    if found is None:
        raise MissingInput("the pour day is not planned yet.")
    return found


def what_if(held: Held, message: Message) -> str:
    """The pour day tried otherwise, as JSON."""
    from slabwright.web.what_if import what_if as tried

    return tried(_placement(held), message["tried"], held.inputs.job.family).model_dump_json()


def live(held: Held, message: Message) -> str:
    """What the tickets beside the job say of the rest of the pour, as JSON; nothing where there are none."""
    from slabwright.app import follow_pour

    path = Path(held.folder) / TICKETS_NAME
    if not path.is_file():
        return LiveView(sentences=[], findings=[]).model_dump_json()
    told, said = follow_pour(_placement(held), held.inputs, path, now=message["now"], filled=message["filled"])
    return LiveView(sentences=list(said), findings=[finding_view(one) for one in told]).model_dump_json()


def paper(held: Held, message: Message) -> str:
    """One of the papers of a plan, in base64."""
    from slabwright.outputs.book import write_book
    from slabwright.outputs.plan_sheet import write_plan_sheet
    from slabwright.outputs.results_json import write_results
    from slabwright.outputs.workbook import write_workbook

    writers: dict[str, Callable[[Plan, Path], Any]] = {
        "book.pdf": write_book,
        "quantities.xlsx": write_workbook,
        "plan.svg": write_plan_sheet,
        "plan.json": write_results,
        "papers.zip": _write_papers,
    }
    if message["name"] not in writers:
        raise UnknownName(f'no paper is called "{message["name"]}"; there are {", ".join(writers)}.')
    plan = _plan(held.inputs, held)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / message["name"]
        writers[message["name"]](plan, path)
        return base64.b64encode(path.read_bytes()).decode("ascii")


def _write_papers(plan: Plan, path: Path) -> None:
    from slabwright.outputs.papers import write_papers

    sheets = write_papers(plan, path.parent / "papers")
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as packed:
        for sheet in sheets.values():
            packed.write(sheet, sheet.name)


def compare(held: Held, message: Message) -> list[dict[str, Any]]:
    """The answers that two texts of a job give differently."""
    from slabwright.files.jobfile import parse_job

    jobs = [parse_job(text, name=held.name).job for text in (message["before"], message["after"])]
    before = _plan(Inputs(job=jobs[0], site=held.inputs.site), held)
    after = _plan(Inputs(job=jobs[1], site=held.inputs.site), held, before)
    moved = []
    for study in in_order(STUDIES):
        one, two = before.outcomes[study.key], after.outcomes[study.key]
        said = [outcome.result.reason if isinstance(outcome.result, Waiting) else outcome.result.answer for outcome in (one, two)]
        checks = [() if isinstance(outcome.result, Waiting) else outcome.result.checks for outcome in (one, two)]
        figures = figures_moved(checks[0], checks[1], jobs[1].family)
        if said[0] != said[1] or figures or one.state is not two.state:
            moved.append(
                AnswerMoved(
                    key=study.key, question=study.question, before=runs(said[0]), after=runs(said[1]),
                    before_state=one.state.value, after_state=two.state.value, figures=figures,
                ).model_dump()
            )  # fmt: skip
    return moved


def _plan(inputs: Inputs, held: Held, earlier: Plan | None = None) -> Plan:
    """A whole plan in the order of the work, from what is known where that still stands."""
    known = {**held.known, **{outcome.digest: outcome for outcome in held.outcomes.values()}}
    return run_studies(STUDIES, inputs, earlier=earlier, known=known, on_fault=lambda _, error: Waiting(f"{FAULT}{str(error)[:400]}"))


def _has_strip(held: Held, message: Message) -> bool:
    return message["key"] in held.outcomes


def _has_day(held: Held, message: Message) -> bool:  # noqa: ARG001
    return answer_of(held.outcomes, placement.STUDY) is not None


def _has_joints(held: Held, message: Message) -> bool:  # noqa: ARG001
    return answer_of(held.outcomes, joints.STUDY) is not None


def _has_shape(held: Held, message: Message) -> bool:  # noqa: ARG001
    return foundation_of(held) is not None


QUESTIONS: dict[str, Callable[[Held, Message], Any]] = {
    "strip": strip, "cut": cut, "mesh": mesh, "measure": measure, "paper": paper, "compare": compare, "maps": maps_of, "map": map_under,
    "what if": what_if, "live": live, "joint lines": joint_lines,
}  # fmt: skip
QUICK: dict[str, Callable[[Held, Message], bool]] = {
    "strip": _has_strip, "cut": _has_shape, "measure": _has_shape, "mesh": _has_shape, "map": _has_shape, "what if": _has_day,
    "joint lines": _has_joints,
}  # fmt: skip
"""Questions that may be answered between two studies, and whether there is an answer yet."""
