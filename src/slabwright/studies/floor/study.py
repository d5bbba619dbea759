"""The study of the floor: the slab solved on its ground, state by state, and held against what it may bear."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial

import shapely

from slabwright.errors import MissingInput, SlabwrightError
from slabwright.geometry.foundation import Foundation, PartKind
from slabwright.model.job import Job
from slabwright.model.loads import Wheel
from slabwright.results.check import Ask, Check, State
from slabwright.results.notes import Notes
from slabwright.solvers.plate import Analysis
from slabwright.solvers.plate.workers import at_once
from slabwright.sources import practice
from slabwright.standards.aci_360r import SAFETY, STANDING_SAFETY, WHEEL_SAFETY
from slabwright.standards.joint_transfer import EFFICIENCY
from slabwright.standards.load_combinations import combinations_of
from slabwright.studies import joints, shape
from slabwright.studies.floor.body import EFFICIENCY_RULE, FACE_INSET, FACE_RULE, JOINT_EFFICIENCY, Body, concrete_of
from slabwright.studies.floor.bounds import ThinFloor, open_joints, quick_margins, standing_ratio, thin_floor, thinner_bodies
from slabwright.studies.floor.checks import (
    DRIED_RULE,
    METHOD,
    allowable,
    check_collapse,
    check_held_down,
    check_pressure,
    check_stress,
    check_tilt,
)
from slabwright.studies.floor.ground import ground_under
from slabwright.studies.floor.loading import CURL_RULE, CURL_STRAIN, Case, Standing
from slabwright.studies.floor.mapped import maps_of
from slabwright.studies.floor.maps import Map
from slabwright.studies.floor.posts import settlements, tilt_of
from slabwright.studies.floor.present import present
from slabwright.studies.floor.reading import Figure, Reader, Solved
from slabwright.studies.floor.routes import ROUTE_RULE
from slabwright.studies.floor.states import FACES, NO_ANSWER, StateFigures, figures_of, kinds_checked, solved_states
from slabwright.studies.floor.wheels import MovedWheel, WheelFigures, moved_over
from slabwright.study import Done, Inputs, Result, Stage, Study
from slabwright.units import SUBGRADE_MODULUS, Family, format_quantity

DRIED_SAFETY = 1.0
_WHOLE = 0.97
"""Contact over more than this share of the slab goes without saying."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorResult(Result):
    """The floor solved.

    Attributes
    ----------
    body : Body
    states : tuple of StateFigures
        Every state: combinations, patterns of floor load, the dried floor.
    figures : Mapping of str to Figure
        Headline figures by key, each with its place, its state and its mesh uncertainty.
    settlements_m : Mapping of str to tuple of float
        Settlement of each post in each state, from the slab at rest under its own weight. [m]
    wheels : tuple of WheelFigures
    maps : tuple of Map
    thin : tuple of ThinFloor
    open_joints : Figure or None
        Greatest tension if the joints open and pass nothing on.
    quick : tuple of (str, float)
        Figures of the quick model over those here.
    governing : Figure
        The tension that is nearest to what the floor may bear.
    """

    body: Body
    states: tuple[StateFigures, ...]
    figures: Mapping[str, Figure]
    settlements_m: Mapping[str, tuple[float, ...]]
    wheels: tuple[WheelFigures, ...]
    maps: tuple[Map, ...]
    thin: tuple[ThinFloor, ...]
    open_joints: Figure | None
    quick: tuple[tuple[str, float], ...]
    governing: Figure


@dataclass(frozen=True, eq=False, kw_only=True)
class SolvedFloor:
    """All answers but those to wheels, from which the result is read; too large to be kept with it.

    Attributes
    ----------
    body : Body
    standing : Standing
    analysis : Analysis
    reader : Reader
    solved : tuple of Solved
    figures : Mapping of str to Figure
    """

    body: Body
    standing: Standing
    analysis: Analysis
    reader: Reader
    solved: tuple[Solved, ...]
    figures: Mapping[str, Figure]

    def state_of(self, figure: Figure) -> Solved:
        """The state behind a figure."""
        return next(one for one in self.solved if one.case.name == figure.case)


def solve_floor(job: Job, foundation: Foundation, lines: Sequence[shapely.LineString], notes: Notes) -> SolvedFloor:
    """Solve every state of a floor.

    Parameters
    ----------
    job : Job
    foundation : Foundation
    lines : sequence of shapely.LineString
        Joints.
    notes : Notes
        Takes what was assumed, what must be asked, and states that nothing holds down.

    Raises
    ------
    MissingInput
        If strength or ground are not known, or nothing holds the slab in any state.
    """
    concrete = concrete_of(job)
    body = Body.of(foundation, ground_under(job.soil, job.family, notes), concrete, lines)
    standing, reader = Standing.of(job, body, notes), Reader(body)
    analysis = body.analysed(standing.to_follow())
    failed: list[tuple[Case, SlabwrightError]] = []
    solved = solved_states(analysis, standing, reader, combinations_of(job.codes.loads).service, failed)
    check_held_down(failed, analysis.coarse.mesh, notes)
    if not any(not one.case.curled for one in solved):
        raise MissingInput("nothing holds this slab down in any state: check the signs of the posts' and walls' loads.")
    figures = figures_of(solved, standing, reader)
    return SolvedFloor(body=body, standing=standing, analysis=analysis, reader=reader, solved=solved, figures=figures)


def run(inputs: Inputs, done: Done) -> FloorResult:
    """Solve every state of the floor and check it; what would be otherwise is solved beside the wheels, which share nothing with it."""
    job, notes = inputs.job, Notes()
    lines = [shapely.LineString([line.start, line.end]) for line in done[joints.STUDY].joints]
    found = solve_floor(job, done[shape.STUDY].foundation, lines, notes)
    body, standing, reader, solved, figures = found.body, found.standing, found.reader, found.solved, found.figures
    governing = max((figures["floor.top"], figures["floor.bottom"]), key=lambda figure: figure.value)
    worst = found.state_of(governing)
    thinner = thinner_bodies(body, (job.tolerances.thickness_minus_mean_m, job.tolerances.thickness_minus_single_m))
    moved, opened, quick, *ratios = at_once(
        partial(_wheels, job.floor.wheels, found, notes),
        partial(open_joints, body, standing, reader, worst, governing),
        partial(quick_margins, body, standing, reader, worst),
        *(partial(standing_ratio, thin, standing, reader, worst) for thin in thinner.values()),
    )
    wheels = tuple(one.figures for one in moved)
    _check(body, figures, wheels, job.family, notes)
    check_pressure(figures["soil.pressure"], body, job.family, notes)
    if "posts.tilt" in figures:
        tilt = figures["posts.tilt"]
        check_tilt(tilt, tilt_of(standing, found.state_of(tilt).answer).posts, notes)
    check_collapse(standing, solved, wheels, notes)
    _say(body, job.family, figures["contact"], notes)
    allowed, allowed_wheel = (allowable(body, safety, job.family)[1] for safety in (STANDING_SAFETY, WHEEL_SAFETY))
    return FloorResult(
        answer=_answer(notes.checks), body=body, states=tuple(StateFigures.of(one, reader) for one in solved), figures=figures,
        settlements_m=settlements(standing, solved), wheels=wheels, maps=maps_of(solved, figures, standing, moved, job.family),
        thin=thin_floor(body, reader, thinner, (governing, allowed, ratios), [(one, allowed_wheel) for one in moved]),
        open_joints=opened, quick=quick, governing=governing, **notes.as_fields(),
    )  # fmt: skip


def _wheels(wheels: Sequence[Wheel], floor: SolvedFloor, notes: Notes) -> tuple[MovedWheel, ...]:
    found = []
    for wheel in wheels:
        try:
            one = moved_over(wheel, floor.standing, floor.analysis, floor.reader)
        except NO_ANSWER as error:
            notes.ask(Ask.ENGINEER, f"What holds the slab under {wheel.name}? No answer was found there: {error}", "floor.wheels")
            continue
        if one is None:
            notes.ask(Ask.ENGINEER, f"Where does this go: {wheel.name}? No place on the floor was found for it.", "floor.wheels")
            continue
        read = (one.figures.top, one.figures.bottom, one.figures.curled, one.figures.open_joint)
        if not all(math.isfinite(figure.value) for figure in read if figure is not None):
            notes.ask(
                Ask.ENGINEER,
                f"What does the floor bear under {wheel.name}? All of it there lies beside a corner, a step or the end of a joint, "
                "where a plate cannot be read.",
                "floor.wheels",
            )
            continue
        found.append(one)
        if not wheel.within:
            notes.assume("floor.wheels.within", f"all of the floor, but for walls, is open to this: {wheel.name}", ROUTE_RULE)
    return tuple(found)


def _check(body: Body, figures: Mapping[str, Figure], wheels: Sequence[WheelFigures], family: Family, notes: Notes) -> None:
    for kind, words in kinds_checked(body):
        remedy = "Thicken the floor, or spread what stands there." if kind is PartKind.FLOOR else "Let the engineer count on its bars."
        for _, side in FACES:
            check_stress(f"{words}.{side}", figures[f"{words}.{side}"], body, STANDING_SAFETY, family, notes, remedy)
    if "floor.curled" in figures:
        remedy = "Bring the joints closer, dry the floor slowly, or choose a mix that shrinks less."
        check_stress("floor.curled", figures["floor.curled"], body, DRIED_SAFETY, family, notes, remedy, DRIED_RULE)
    for number, one in enumerate(wheels, start=1):
        remedy = "Thicken the floor, or keep this wheel off it."
        for figure, side in ((one.top, "top"), (one.bottom, "bottom")):
            check_stress(f"wheel{number}.{side}", figure, body, WHEEL_SAFETY, family, notes, remedy)
        check_stress(f"wheel{number}.dried", one.curled, body, DRIED_SAFETY, family, notes, remedy, DRIED_RULE)


def _say(body: Body, family: Family, contact: Figure, notes: Notes) -> None:
    springs = format_quantity(body.ground.floor_pa_m, SUBGRADE_MODULUS, family, digits=3)
    factors = f"{STANDING_SAFETY:g} under what stands, {WHEEL_SAFETY:g} under wheels, {DRIED_SAFETY:g} after drying"
    notes.assume("floor", f"the ground is springs of {springs} that never pull, without friction under the slab", METHOD)
    notes.assume("floor", f"safety on the modulus of rupture: {factors}", SAFETY)
    notes.assume("floor", f"drying leaves {100 * CURL_STRAIN:.3f} % more shrinkage at the top of the floor than at its bottom", CURL_RULE)
    notes.assume("floor", "the ground took the slab's own weight while the concrete was soft, so that it bends nothing", _AS_CAST)
    if any(pad.run == 0.0 for pad in body.foundation.pads):
        notes.assume("pads", f"the stiffness of upright pads begins {FACE_INSET:g} floor thicknesses inside their faces", FACE_RULE)
    if body.joints:
        notes.assume("joints", f"joints pass {100 * JOINT_EFFICIENCY:.0f} % of a deflection on and no moment", EFFICIENCY_RULE)
        notes.assume("joints", "stiffness of a joint from the share of a deflection it passes on", EFFICIENCY)
    if contact.value < _WHOLE:
        share = 100 * (1.0 - contact.value)
        notes.caution(f'In the state "{contact.case}" the floor leaves the ground over {share:.0f} % of its area.', METHOD)
    notes.caution("These figures are for an uncracked floor; bars and mesh hold a crack together and carry nothing before it.", METHOD)
    notes.ask(Ask.ENGINEER, "Are thickness, steel and joints of the floor right for what stands and drives on it?", "floor")


_AS_CAST = practice("a slab cast on the ground is at rest under its own weight when it sets")


def _answer(checks: Sequence[Check]) -> str:
    failing = [check for check in checks if check.state is State.FAILS]
    worst = max(checks, key=lambda check: round(check.ratio, 6))
    subject = f"{worst.name[0].lower()}{worst.name[1:]}, {worst.where}"
    if failing:
        held = f"checks of the floor {'does' if len(failing) == 1 else 'do'} not hold"
        return f"*{len(failing)} of {len(checks)}* {held}; the worst stands at {100 * worst.ratio:.0f} %: {subject}."
    return f"The floor carries it; the nearest to its limit stands at *{100 * worst.ratio:.0f} %*: {subject}."


STUDY = Study(
    key="floor",
    question="Will the floor carry its posts, walls, wheels and its own curling?",
    stage=Stage.DESIGN,
    run=run,
    present=present,
    reads=frozenset({"family", "codes", "soil", "floor", "posts", "walls", "mix", "tolerances"}),
    needs=(shape.STUDY, joints.STUDY),
)
