"""Figures held against what concrete and ground may bear."""

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import shapely

from slabwright.errors import SlabwrightError
from slabwright.results.check import Ask, Check
from slabwright.results.notes import Notes
from slabwright.results.working import Step, Working
from slabwright.solvers.plate.loads import forces_of
from slabwright.solvers.plate.mesh import Mesh
from slabwright.sources import Basis, Clause, Source, arithmetic, practice
from slabwright.standards.aci_360r import SAFETY
from slabwright.standards.slab_collapse import COLLAPSE, collapse_load
from slabwright.studies.floor.body import Body
from slabwright.studies.floor.loading import Case, Standing
from slabwright.studies.floor.reading import Figure, Solved
from slabwright.studies.floor.wheels import WheelFigures
from slabwright.units import LENGTH, POUND_FORCE_N, PSI_PA, Family, format_quantity

COLLAPSE_SAFETY = 2.0
STATICS = arithmetic("sum of the vertical forces of the state")
DRIED_RULE = practice("a load on a dried floor may bring it to the modulus of rupture: the safety of the other states covers drying")
MOST_TILT = 1.0 / 500.0
TILT_RULE = practice("difference in settlement between neighbouring posts at most 1/500 of their distance")
METHOD = Clause(
    Source("plate on springs", "Reissner-Mindlin plate with eccentric thickenings on springs that never pull, solved by this program"),
    "finite elements", Basis.DERIVED,
)  # fmt: skip


def place_text(at: tuple[float, float] | None, family: Family) -> str:
    """A place from the south-west form corner, in words."""
    if at is None:
        return "whole slab"
    x, y = (format_quantity(max(one, 0.0), LENGTH, family) for one in at)
    return f"{x} east, {y} north"


def check_stress(
    key: str, figure: Figure, body: Body, safety: float, family: Family, notes: Notes, remedy: str, clause: Clause = SAFETY
) -> None:
    """A tension against the modulus of rupture over a safety factor."""
    steps, allowed = allowable(body, safety, family)
    notes.checks.append(
        Check(
            key=key, name=figure.name, where=place_text(figure.at, family), demand=max(figure.value, 0.0), capacity=allowed, suffix="pa",
            clause=clause, method=METHOD, governing=figure.case, spread=figure.spread, steps=steps, remedy=remedy,
        )
    )  # fmt: skip


def allowable(body: Body, safety: float, family: Family) -> tuple[tuple[Step, ...], float]:
    """Modulus of rupture over a safety factor, with its working. [Pa]"""
    working = Working()
    unit, factor = ("psi", PSI_PA) if family is Family.US else ("MPa", 1e6)
    allowed = working.line("sigma_a = f_r/SF", unit, f_r=(body.concrete.rupture_pa / factor, unit), SF=safety)
    return (*body.concrete.working.steps, *working.steps), allowed * factor


def check_pressure(figure: Figure, body: Body, family: Family, notes: Notes) -> None:
    """The greatest soil pressure, the slab's own weight with it."""
    if body.ground.bearing_pa is not None:
        notes.checks.append(
            Check(
                key="soil.pressure", name="Pressure on the ground", where=place_text(figure.at, family), demand=figure.value,
                capacity=body.ground.bearing_pa, suffix="pa", clause=body.ground.bearing_clause, method=METHOD, governing=figure.case,
                spread=figure.spread, remedy="Widen what bears there, or ask for a better ground.",
            )
        )  # fmt: skip


def check_tilt(figure: Figure, posts: tuple[str, str], notes: Notes) -> None:
    """Difference in settlement between neighbouring posts, as a slope."""
    notes.checks.append(
        Check(
            key="posts.tilt", name="Difference in settlement over distance", where=f"posts {posts[0]} to {posts[1]}", demand=figure.value,
            capacity=MOST_TILT, suffix="", clause=TILT_RULE, method=METHOD, governing=figure.case, spread=figure.spread,
            remedy="Enlarge the pad that settles more, or ask the engineer what the frame can follow.",
        )
    )  # fmt: skip


def check_collapse(standing: Standing, solved: Sequence[Solved], wheels: Sequence[WheelFigures], notes: Notes) -> None:
    """Loads on the bare floor against the load under which a plain slab breaks through."""
    loads = []
    for post, reactions in standing.on_bare_floor():
        downs = [(one.case.combination.of(reactions).down_n, one.case.name) for one in solved if one.case.combination is not None]
        down, name = max(downs, default=(0.0, ""))
        radius = math.sqrt(post.base_x_m * post.base_y_m / math.pi)
        loads.append((f"{post.name}.collapse", f"post {post.name}", post.at, down, name, radius))
    for number, one in enumerate(wheels, start=1):
        radius = math.sqrt(one.wheel.load_n / one.wheel.contact_pressure_pa / math.pi)
        at = min(one.feet, key=lambda at: _free_distance(at, standing.body))
        loads.append((f"wheel{number}.collapse", one.wheel.name, at, one.wheel.load_n, "one wheel", radius))
    for key, where, at, down, name, radius in loads:
        if down > 0.0:
            notes.checks.append(_collapse(key, where, at, down, name, radius, standing.body))


def _collapse(key: str, where: str, at: tuple[float, float], down_n: float, name: str, radius_m: float, body: Body) -> Check:
    """One load against the limit load of Meyerhof for where it stands."""
    working, thickness = Working(), float(body.depth_at(np.array([at]))[0])
    limit = collapse_load(
        rupture_pa=body.concrete.rupture_pa, thickness_m=thickness, contact_radius_m=radius_m,
        relative_stiffness_m=body.relative_stiffness_m * (thickness / body.floor_m) ** 0.75, working=working,
    )  # fmt: skip
    side = min(_free_sides(at, body), 2)
    ultimate, place = (limit.interior_n, limit.edge_n, limit.corner_n)[side], ("interior", "beside an edge", "at a corner")[side]
    allowed = working.line("P_a = P/SF", "lb", note=place, P=(ultimate / POUND_FORCE_N, "lb"), SF=COLLAPSE_SAFETY)
    return Check(
        key=key, name="Breaking through the floor", where=where, demand=down_n, capacity=allowed * POUND_FORCE_N, suffix="n",
        clause=COLLAPSE, governing=name, steps=tuple(working.steps), remedy="Give it a pad, or thicken the floor.",
    )  # fmt: skip


def _free_distance(at: tuple[float, float], body: Body) -> float:
    return float(body.region.boundary.distance(shapely.Point(at)))


def _free_sides(at: tuple[float, float], body: Body) -> int:
    """How many sides of the floor lie within one radius of relative stiffness: 0 interior, 1 edge, 2 corner."""
    reach = shapely.Point(at).buffer(body.relative_stiffness_m)
    sides = 0
    for ring in shapely.get_rings(body.region):
        corners = shapely.get_coordinates(ring)
        sides += sum(shapely.LineString(pair).intersects(reach) for pair in pairwise(corners))
    return sides


def check_held_down(failed: Sequence[tuple[Case, SlabwrightError]], mesh: Mesh, notes: Notes) -> None:
    """States in which nothing holds the slab: what pulls up against what presses down, and a question in any case."""
    for number, (case, error) in enumerate(failed, start=1):
        forces = [forces_of(load, mesh)[1].force for load in case.loads]
        up, down = -sum(one for one in forces if one < 0.0), sum(one for one in forces if one > 0.0)
        if up > 0.0 and down > 0.0:
            notes.checks.append(
                Check(
                    key=f"held-down.{number}", name="All that pulls up against all that presses down", where="whole slab", demand=up,
                    capacity=down, suffix="n", clause=STATICS, governing=case.name, remedy="Make the slab heavier, or anchor it.",
                )
            )  # fmt: skip
        notes.ask(Ask.ENGINEER, f"What holds the slab in the state {case.name}? No answer was found there: {error}", "floor", STATICS)
