"""The study of bearing: loads, pads, edge, uplift, anchors, settlement, sizes that hold, and the letter."""

from collections.abc import Mapping
from dataclasses import dataclass

from slabwright.errors import MissingInput
from slabwright.model.job import ConcreteStandard, Job
from slabwright.results.check import Ask, Check, State
from slabwright.results.notes import Notes
from slabwright.standards.aci_318_19 import LEAST_STRENGTH_PSI
from slabwright.standards.aci_318_19_plain import LEAST_THICKNESS
from slabwright.standards.load_combinations import combinations_of
from slabwright.studies import shape
from slabwright.studies.bearing import present
from slabwright.studies.bearing.anchors import AnchorFigures, check_anchors
from slabwright.studies.bearing.ballast import edge_reaches, skirt_volumes_m3
from slabwright.studies.bearing.desk import Desk
from slabwright.studies.bearing.edge import LineFigures, check_lines
from slabwright.studies.bearing.edge_posts import check_runs, runs_with_posts
from slabwright.studies.bearing.edge_section import edge_section
from slabwright.studies.bearing.ground import ground_of
from slabwright.studies.bearing.letter import Letter, write_letter
from slabwright.studies.bearing.loads import LoadTable
from slabwright.studies.bearing.pads import PadFigures, check_pad, prove
from slabwright.studies.bearing.questions import ask_about_inputs, place_loose, state_rules
from slabwright.studies.bearing.settlement import check_settlement
from slabwright.studies.bearing.soft_spot import SpanFigures
from slabwright.studies.bearing.stand import Stand, Standing, standing
from slabwright.studies.bearing.suggest import Suggestions, suggest
from slabwright.studies.bearing.uplift import UpliftFigures, ask_fixity, check_sliding, check_uplift, hanging_floor
from slabwright.study import Done, Inputs, Result, Stage, Study
from slabwright.units import LENGTH, PSI_PA, Family, format_quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class BearingResult(Result):
    """Everything this study found, by post name where it is about posts.

    Attributes
    ----------
    stands : tuple of Stand
        Posts on pads with their loads.
    pads : Mapping of str to PadFigures
    uplift : Mapping of str to UpliftFigures
    anchors : Mapping of str to AnchorFigures
    settlements_m : Mapping of str to float
        Empty where the soil is not known well enough. [m]
    walls : tuple of LineFigures
        Loaded walls on edge and strips.
    spans : tuple of SpanFigures
        Edge and strips over a soft spot.
    suggestions : Suggestions
    letter : Letter
    bearing_pa : float or None
        Allowable soil pressure. [Pa]
    details : frozenset of str
        Keys of checks that are rules of detailing and say nothing of how much is used.
    """

    stands: tuple[Stand, ...]
    pads: Mapping[str, PadFigures]
    uplift: Mapping[str, UpliftFigures]
    anchors: Mapping[str, AnchorFigures]
    settlements_m: Mapping[str, float]
    walls: tuple[LineFigures, ...]
    spans: tuple[SpanFigures, ...]
    suggestions: Suggestions
    letter: Letter
    bearing_pa: float | None
    details: frozenset[str]


def run(inputs: Inputs, done: Done) -> BearingResult:
    """Check every post, wall, edge and strip of the job."""
    job = inputs.job
    _refuse_unready(job)
    built = done[shape.STUDY]
    desk = Desk(
        job=job, foundation=built.foundation, volumes=built.volumes, ground=ground_of(job.soil),
        table=LoadTable(combinations_of(job.codes.loads)), notes=Notes(),
    )  # fmt: skip
    notes = desk.notes
    posts = standing(job, desk.foundation, desk.table)
    ask_about_inputs(posts, desk)
    uplift = _uplift(posts.stands, desk)
    suggestions = suggest(posts.stands, uplift, desk)
    proofs = prove(posts.stands, job.codes.concrete, job.tolerances.thickness_minus_single_m)
    pads, anchors = {}, {}
    for stand in posts.stands:
        remedy = _remedy(suggestions, stand.name, job.family)
        pads[stand.name] = check_pad(stand, proofs[stand.name], desk.ground, job.codes.concrete, remedy, notes)
        check_sliding(stand, desk)
        found = check_anchors(stand, desk.foundation.outline, notes)
        if found is not None:
            anchors[stand.name] = found
    settlements = check_settlement(posts.stands, pads, desk) if posts.stands else {}
    lines, spans = check_lines(desk)
    runs, afloat = runs_with_posts(desk, posts.loose)
    check_runs(runs, desk)
    place_loose(afloat, desk)
    state_rules(posts.stands, pads, desk)
    _plain_strength(pads, desk)
    checks = _in_order(notes.checks, job)
    details = _details(checks, pads)
    letter = write_letter(desk, posts.stands, pads, uplift)
    fields = {**notes.as_fields(), "checks": checks}
    return BearingResult(
        answer=_answer(checks, posts, details), stands=posts.stands, pads=pads, uplift=uplift, anchors=anchors, settlements_m=settlements,
        walls=lines, spans=spans, suggestions=suggestions, letter=letter, bearing_pa=desk.ground.bearing_pa, details=details, **fields,
    )  # fmt: skip


def _refuse_unready(job: Job) -> None:
    if not job.posts and not any(any(wall.line_loads_n_m.values()) for wall in job.walls):
        raise MissingInput("nothing stands on this slab yet: add [[posts]] with loads or a tributary area, or [[walls]] with loads.")
    if job.mix is None:
        raise MissingInput("the strength of the concrete is not known: add [mix] strength.")
    if job.codes.concrete is ConcreteStandard.EN_1992 and not 12e6 * (1 - 1e-9) <= job.mix.strength_pa <= 50e6 * (1 + 1e-9):
        raise MissingInput("[mix] strength must be the cylinder strength of a class from C12/15 to C50/60 for EN 1992-1-1.")


def _uplift(stands: tuple[Stand, ...], desk: Desk) -> dict[str, UpliftFigures]:
    job = desk.job
    section = edge_section(job, job.edge) if job.edge is not None else None
    reaches = edge_reaches(desk.foundation, section)
    lifted = any(reaction.down_n < 0 for stand in stands for reaction in stand.reactions.values())
    skirts = skirt_volumes_m3(desk.foundation, desk.volumes) if lifted else {}
    floor = hanging_floor(job)
    found = {}
    for stand in stands:
        name = stand.pad.name
        found[stand.name] = check_uplift(stand, desk, reaches.get(name), section, skirts.get(name, 0.0), floor)
    ask_fixity(job, desk.notes)
    if any(one.net_up_n > 0 for one in found.values()):
        desk.notes.ask(
            Ask.ENGINEER, "May each part of the ballast be counted as tied to its post? Strike out what is not.", "posts that wind lifts"
        )
    return found


def _plain_strength(pads: Mapping[str, PadFigures], desk: Desk) -> None:
    """Plain concrete asks for a least strength."""
    assert desk.job.mix is not None
    if desk.job.codes.concrete is ConcreteStandard.ACI_318_19 and any(one.design == "plain concrete" for one in pads.values()):
        desk.notes.at_least(
            "mix.strength", "Least strength of plain concrete", "pads", required=LEAST_STRENGTH_PSI * PSI_PA,
            provided=desk.job.mix.strength_pa, suffix="pa", clause=LEAST_THICKNESS, remedy="Order stronger concrete.",
        )  # fmt: skip


def _remedy(suggestions: Suggestions, name: str, family: Family) -> str:
    size = suggestions.for_post(name)
    if size is None:
        return "No size on the grid holds; ask the engineer." if name in suggestions.none_for else ""
    side, depth = (format_quantity(value, LENGTH, family) for value in (size.side_m, size.depth_m))
    return f"Smallest that holds: {side} square, {depth} deep, centred under the post."


def _in_order(checks: list[Check], job: Job) -> tuple[Check, ...]:
    """Checks post by post in the order of the job, then edge and strips."""
    rank = {post.name: number for number, post in enumerate(job.posts)}
    return tuple(sorted(checks, key=lambda check: rank.get(check.key.partition(".")[0], len(rank))))


def _details(checks: tuple[Check, ...], pads: Mapping[str, PadFigures]) -> frozenset[str]:
    """Checks that are rules of detailing."""
    depths = (check.key for check in checks if check.key.endswith(".anchor_depth"))
    return frozenset(("mix.strength", *depths, *(key for one in pads.values() for key in one.details)))


def _answer(checks: tuple[Check, ...], posts: Standing, details: frozenset[str]) -> str:
    counted = [check for check in checks if ".thin." not in check.key]
    failing = [check for check in counted if check.state is State.FAILS]
    if not counted:
        return "Nothing could be checked: *0* loads and soil values are known together."
    if not failing:
        worst = max((check for check in counted if check.key not in details), key=lambda check: round(check.ratio, 6))
        subject = "Every pad and wall" if posts.stands else "The edge"
        return f"{subject} holds; the nearest to its limit stands at *{100 * worst.ratio:.0f} %*: {_lower(worst.name)}, {worst.where}."
    worst = max(failing, key=lambda check: round(check.ratio, 6))
    return f"*{len(failing)} of {len(counted)}* checks do not hold; the worst is {_lower(worst.name)}, {worst.where}."


def _lower(text: str) -> str:
    return text[0].lower() + text[1:]


STUDY = Study(
    key="bearing",
    question="Will it carry?",
    stage=Stage.DESIGN,
    run=run,
    present=present.present,
    reads=frozenset(
        {
            "name", "family", "codes", "place", "building", "soil", "floor", "edge", "strips", "pads", "posts", "walls", "bars", "mesh",
            "mix", "tolerances",
        }
    ),
    needs=(shape.STUDY,),
)  # fmt: skip
