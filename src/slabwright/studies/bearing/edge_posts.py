"""Posts that stand on the edge or a strip without a pad: a beam on springs along each straight side."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
import shapely

from slabwright.errors import Mechanism, NotConverged
from slabwright.geometry.foundation import PartKind
from slabwright.model.combinations import Combination, Level
from slabwright.model.load_path import reactions_of
from slabwright.model.loads import LoadCase, Post, Reactions
from slabwright.model.steel import Face
from slabwright.results.check import Ask, Check
from slabwright.results.working import Working
from slabwright.solvers.elastic_beam import BeamLine, elastic_beam
from slabwright.standards.hetenyi_1946 import CLOSED_FORMS
from slabwright.studies.bearing.desk import Desk
from slabwright.studies.bearing.edge_section import EdgeSection, edge_section, strip_section
from slabwright.studies.bearing.written import units_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One straight length of edge or strip with the posts on it.

    Attributes
    ----------
    name : str
    section : EdgeSection
    length_m : float
    posts : tuple of (Post, float)
        Each with its place along the run. [m]
    """

    name: str
    section: EdgeSection
    length_m: float
    posts: tuple[tuple[Post, float], ...] = field(repr=False)

    @property
    def where(self) -> str:
        """Place on the plan, for checks."""
        return f"{self.name} under {', '.join(post.name for post, _ in self.posts)}"


def runs_with_posts(desk: Desk, loose: Sequence[Post]) -> tuple[list[Run], list[Post]]:
    """Sort posts without a pad onto the sides of the edge and onto strips; return those on plain floor as well."""
    runs: list[Run] = []
    left = list(loose)
    job, foundation = desk.job, desk.foundation
    for part in foundation.parts:
        if part.kind is PartKind.EDGE and job.edge is not None:
            section, sides = edge_section(job, job.edge), list(pairwise(foundation.outline.exterior.coords))
        elif part.kind is PartKind.STRIP:
            strip = next(one for one in job.strips if one.name == part.name)
            section, sides = strip_section(job, strip), list(pairwise(strip.line))
        else:
            continue
        here = [post for post in left if part.bottom.buffer(1e-6).covers(shapely.Point(post.at))]
        left = [post for post in left if post not in here]
        for number, (start, end) in enumerate(sides, start=1):
            line = shapely.LineString([start, end])
            own = [post for post in here if _nearest(post, sides) == number - 1]
            if own:
                places = tuple((post, float(line.project(shapely.Point(post.at)))) for post in own)
                runs.append(Run(name=f"{part.name}, side {number}", section=section, length_m=line.length, posts=places))
    return runs, left


def _nearest(post: Post, sides: Sequence[tuple[tuple[float, ...], tuple[float, ...]]]) -> int:
    return min(range(len(sides)), key=lambda k: shapely.LineString(sides[k]).distance(shapely.Point(post.at)))


def check_runs(runs: Sequence[Run], desk: Desk) -> None:
    """Check soil pressure and bending of each run under its posts; posts without loads are asked for elsewhere."""
    for run in runs:
        loads = {post.name: reactions for post, _ in run.posts if (reactions := reactions_of(post)[0])}
        if not loads:
            continue
        _ask_sideways(run, loads, desk)
        if desk.ground.spring_pa_m is None or desk.job.mix is None:
            names = " and ".join(loads)
            question = f"What subgrade modulus may be used under {run.name}? There {names} stand{'s' * (len(loads) == 1)} without a pad."
            desk.notes.ask(Ask.SOIL_ENGINEER, question, run.name)
            continue
        _uplift(run, loads, desk)
        try:
            service, strength = (
                list(_cases(run, loads, level, desk.ground.spring_pa_m, desk)) for level in (Level.SERVICE, Level.STRENGTH)
            )
        except (Mechanism, NotConverged):
            question = f"Under {', '.join(loads)} {run.name} tips off its ground. Put a pad there, or what else carries the load?"
            desk.notes.ask(Ask.ENGINEER, question, run.name)
            continue
        _pressure(run, service, desk)
        _bending(run, strength, desk)


def _ask_sideways(run: Run, loads: Mapping[str, Reactions], desk: Desk) -> None:
    """A strip is checked for what presses on it; what pushes or turns it is a question."""
    turned = [
        name
        for name, reactions in loads.items()
        if any(one.shear_x_n or one.shear_y_n or one.moment_x_nm or one.moment_y_nm for one in reactions.values())
    ]
    if turned:
        question = f"Only the vertical load of {', '.join(turned)} is checked on {run.name}. What takes the sideways force and the moment?"
        desk.notes.ask(Ask.ENGINEER, question, run.name)


@dataclass(frozen=True, slots=True)
class _Case:
    """A combination with the forces of the posts and the beam under them. [N]"""

    combination: Combination
    forces: dict[str, float]
    beam: BeamLine


def _solve(run: Run, forces: dict[str, float], uniform: float, spring_pa_m: float) -> BeamLine:
    section = run.section
    line_spring = spring_pa_m * section.width_m
    step = (4 * section.stiffness_nm2 / line_spring) ** 0.25 / 20
    points = [(place, forces[post.name]) for post, place in run.posts if post.name in forces]
    return elastic_beam(
        length=run.length_m, stiffness=section.stiffness_nm2, spring=line_spring, uniform=uniform, points=points,
        n_elements=min(1200, max(120, math.ceil(run.length_m / step))),
    )  # fmt: skip


def _cases(run: Run, loads: dict[str, Reactions], level: Level, spring_pa_m: float, desk: Desk) -> Iterator[_Case]:
    """Each combination that differs and presses on the run, with the beam under it; a post that is lifted presses with nothing.

    What lifts a post is set against the strip that hangs on it, by itself.
    """
    present = {LoadCase.DEAD} | {case for reactions in loads.values() for case in reactions}
    seen = set()
    for whole in desk.table.combinations.at(level):
        one = whole.limited(present)
        forces = {name: max(0.0, one.of(reactions).down_n) for name, reactions in loads.items()}
        if one.name not in seen and any(forces.values()):
            seen.add(one.name)
            yield _Case(one, forces, _solve(run, forces, one.dead_factor * run.section.own_weight_n_m, spring_pa_m))


def _pressure(run: Run, cases: Sequence[_Case], desk: Desk) -> None:
    if desk.ground.bearing_pa is None or not cases:
        return
    worst = max(cases, key=lambda one: float(one.beam.reaction.max()))
    number = int(np.argmax(worst.beam.reaction))
    post = _post_at(run, worst.forces, float(worst.beam.x[number]))
    pressure = float(worst.beam.reaction[number]) / run.section.width_m
    units, working = units_of(desk.job.family), Working()
    working.line("P = P_1", units.force, f"post {post.name}, {worst.combination.name}", P_1=units.force_of(worst.forces[post.name]))
    working.line("q = q_s", units.pressure, "greatest pressure of the strip on springs that let go", q_s=units.pressure_of(pressure))
    desk.notes.checks.append(
        Check(
            key=f"{post.name}.bearing", name="Soil pressure under the strip below the post", where=run.where, demand=pressure,
            capacity=desk.ground.bearing_pa, suffix="pa", clause=desk.ground.clause, method=CLOSED_FORMS,
            governing=worst.combination.name, steps=tuple(working.steps), remedy="Put a pad under the post.",
        )
    )  # fmt: skip


def _bending(run: Run, cases: Sequence[_Case], desk: Desk) -> None:
    for face, sign in ((Face.BOTTOM, 1.0), (Face.TOP, -1.0)) if cases else ():
        worst = max(cases, key=lambda one: float((sign * one.beam.moment).max()))
        number = int(np.argmax(sign * worst.beam.moment))
        post = _post_at(run, worst.forces, float(worst.beam.x[number]))
        units, working = units_of(desk.job.family), Working()
        demand = max(0.0, float(sign * worst.beam.moment[number]))
        working.line("M_u = M_s", units.moment, "greatest moment of the strip on springs that let go", M_s=units.moment_of(demand))
        bending = run.section.bending(face, working)
        desk.notes.checks.append(
            Check(
                key=f"{post.name}.strip_{face.value}", name=f"Bending of the strip, {face.value} in tension", where=run.where,
                demand=demand, capacity=bending.capacity_nm, suffix="nm", clause=bending.clause, method=CLOSED_FORMS,
                governing=worst.combination.name, steps=tuple(working.steps),
                remedy=f"Add bars near the {face.value}, or put a pad under the post.",
            )
        )  # fmt: skip


def _uplift(run: Run, loads: dict[str, Reactions], desk: Desk) -> None:
    """Each post that is lifted against the strip that hangs on it, half way to its neighbours."""
    places = [0.0, *(place for _, place in sorted(run.posts, key=lambda one: one[1])), run.length_m]
    hang = run.section.hang_m
    for post, place in run.posts:
        if post.name not in loads:
            continue
        levels = (Level.STABILITY, Level.SERVICE)
        sums = [(one.of(loads[post.name]).down_n, one) for level in levels for one in desk.table.combinations.at(level)]
        down, combination = min(sums, key=lambda one: one[0] / one[1].dead_factor)
        if down >= 0:
            continue
        before = min(place - max(one for one in places if one < place) if place > 0 else 0.0, 2 * hang)
        after = min(min((one for one in places if one > place), default=place) - place, 2 * hang)
        units, working = units_of(desk.job.family), Working()
        weight = units.per_length_of(run.section.below_floor_m2 * run.section.unit_weight_n_m3)
        capacity = working.line(
            "R = f*w*(l_1 + l_2)/2", units.force, "strip below the floor, half way to what stands next to it, as far as it hangs",
            f=combination.dead_factor, w=weight, l_1=units.length_of(before), l_2=units.length_of(after),
        )  # fmt: skip
        desk.notes.checks.append(
            Check(
                key=f"{post.name}.uplift", name="Net uplift against the strip that hangs on the post",
                where=f"{run.name} under {post.name}", demand=-down, capacity=max(capacity * units.newtons, 1.0), suffix="n",
                clause=desk.table.combinations.clauses[combination.level],
                governing=combination.limited(loads[post.name]).name, steps=tuple(working.steps), remedy="Put a pad under the post.",
            )
        )  # fmt: skip


def _post_at(run: Run, forces: Mapping[str, float], place: float) -> Post:
    """The post with a load nearest to a place."""
    return min((one for one in run.posts if one[0].name in forces), key=lambda one: abs(one[1] - place))[0]
