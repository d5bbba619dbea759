"""Posts that wind lifts, and posts that push sideways: ballast, floor reach, ties."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import cast

import numpy as np

from slabwright.model.combinations import Level
from slabwright.model.job import ConcreteStandard, Enclosure, Job
from slabwright.model.loads import BaseFixity
from slabwright.model.steel import Face, Zone
from slabwright.results.check import Ask, Check
from slabwright.results.notes import Notes
from slabwright.results.working import Sweep, Working
from slabwright.sources import practice
from slabwright.standards import aci_318_19_flexure, aci_318_19_mesh, aci_318_19_plain, en_1992_1_1, ibc
from slabwright.standards import mesh as wire_mesh
from slabwright.standards.bars import bar
from slabwright.studies.bearing.ballast import BallastLine, EdgeReach, HangingFloor, ballast_of, counted_n
from slabwright.studies.bearing.desk import Desk
from slabwright.studies.bearing.edge_section import EdgeSection
from slabwright.studies.bearing.ground import Ground
from slabwright.studies.bearing.loads import Array, Factored
from slabwright.studies.bearing.stand import Stand
from slabwright.studies.bearing.written import units_of, write_sum
from slabwright.units import STANDARD_GRAVITY_M_S2

TIE_STRESS = practice("bars that tie a post into the floor at 0.6 of yield, legs spread at 45 degrees")
_SERVICE_OF_YIELD = 0.6
_MESH_YIELD_PA = {ConcreteStandard.ACI_318_19: aci_318_19_mesh.WIRE_YIELD_PA, ConcreteStandard.EN_1992: 500e6}
"""Of welded wire as it is usually sold. [Pa]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class UpliftFigures:
    """What lifts a post and what holds it.

    Attributes
    ----------
    combination : str
        That lifts most; empty where nothing lifts.
    net_up_n : float
        Factored. [N]
    dead_factor : float
        On the ballast in that combination.
    lines : tuple of BallastLine
    ratio : float
        Net uplift over what is counted.
    thrust_n : float
        Greatest horizontal force at service level. [N]
    """

    combination: str
    net_up_n: float
    dead_factor: float
    lines: tuple[BallastLine, ...]
    ratio: float
    thrust_n: float


def hanging_floor(job: Job) -> HangingFloor | None:
    """The floor as it hangs from a pad: by its mesh or bars near the top where they carry more than plain concrete."""
    if job.mix is None:
        return None
    thickness, strength = job.floor.thickness_m, job.mix.strength_pa
    european = job.codes.concrete is ConcreteStandard.EN_1992
    if european:
        plain = en_1992_1_1.plain_flexure_nm(strength_pa=strength, width_m=1.0, thickness_m=thickness)
    else:
        plain = aci_318_19_plain.flexure_capacity_nm(strength_pa=strength, width_m=1.0, thickness_m=thickness, cast_against_soil=False)
    ways = [(plain, "plain concrete")]
    bend = en_1992_1_1.flexure if european else aci_318_19_flexure.flexure
    for area, depth, yields, words in _top_steel(job):
        if depth > 0:
            found = bend(strength_pa=strength, width_m=1.0, depth_m=depth, steel_area_m2=area, yield_strength_pa=yields)
            ways.append((found.capacity_nm, words))
    moment, hangs_by = max(ways)
    return HangingFloor.of(moment, thickness * job.mix.unit_weight_kg_m3 * STANDARD_GRAVITY_M_S2, hangs_by)


def _top_steel(job: Job) -> Iterator[tuple[float, float, float, str]]:
    """Steel near the top of the floor: area to a metre, effective depth, yield strength, what it is. [m²], [m], [Pa]"""
    thickness = job.floor.thickness_m
    if job.mesh is not None:
        mesh = wire_mesh.mesh(style=job.mesh.style)
        area, wire = min((mesh.area_m2_m, mesh.wire_diameter_m), (mesh.cross_area_m2_m, mesh.cross_wire_diameter_m))
        yields = _MESH_YIELD_PA[job.codes.concrete]
        yield area, thickness - job.mesh.cover_m - 1.5 * wire, yields, f"mesh {mesh.name}"
    for one in job.bars:
        if one.zone is Zone.FLOOR and one.face is Face.TOP and one.spacing_m:
            size = bar(size=one.size)
            depth = thickness - one.cover_m - 1.5 * size.diameter_m
            yield size.area_m2 / one.spacing_m, depth, one.yield_strength_pa, f"top bars {one.size}"


def check_uplift(
    stand: Stand, desk: Desk, reach: EdgeReach | None, section: EdgeSection | None, skirt_m3: float, floor: HangingFloor | None
) -> UpliftFigures:
    """Weigh the ballast of a post and set it against what lifts it."""
    level, number = _most_lifting(stand)
    factored = stand.factored(level)
    net_up = max(0.0, -float(factored.down[number]))
    thrust = float(stand.factored(Level.SERVICE).shear.max(initial=0.0))
    if net_up <= 0:
        return UpliftFigures(combination="", net_up_n=0.0, dead_factor=1.0, lines=(), ratio=0.0, thrust_n=thrust)
    lines = ballast_of(stand, desk, reach, section, skirt_m3, floor)
    factor = float(factored.dead[number])
    combination = factored.combinations[number]
    units, working = units_of(stand.family), Working()
    load = write_sum(combination, stand.reactions, stand.family, working, "P")
    demand = working.line("U = -P", units.force, P=units.force_of(load)) * units.newtons
    parts = {f"W_{line.part}": units.force_of(line.weight_n) for line in lines if line.counted}
    text = " + ".join(parts)
    capacity = working.line(f"R = f*({text})", units.force, "f is the combination's factor on dead load", f=factor, **parts) * units.newtons
    with_floor = factor * sum(line.weight_n for line in lines)
    remedy = "Make the pad larger or deeper, or hang more of the edge on it by top bars; the engineer decides what may be counted."
    if demand > capacity and with_floor >= demand:
        remedy = "The floor round the pad would be enough if it is tied and no joint frees it: ask the engineer. " + remedy
    desk.notes.checks.append(
        Check(
            key=f"{stand.name}.uplift", name="Net uplift against the ballast counted", where=stand.where, demand=demand,
            capacity=max(capacity, 1e-9), suffix="n", clause=stand.table.combinations.clauses[level], governing=combination.name,
            steps=tuple(working.steps), remedy=remedy,
        )
    )  # fmt: skip
    return UpliftFigures(
        combination=combination.name, net_up_n=demand, dead_factor=factor, lines=lines, ratio=demand / max(factor * counted_n(lines), 1e-9),
        thrust_n=thrust,
    )  # fmt: skip


def _most_lifting(stand: Stand) -> tuple[Level, int]:
    """The combination that asks for most ballast; a case other than wind that lifts is found among the service ones."""
    wanted = {}
    for level in (Level.STABILITY, Level.SERVICE):
        factored = stand.factored(level)
        number = int(np.argmin(factored.down / factored.dead))
        wanted[level, number] = float(factored.down[number] / factored.dead[number])
    return min(wanted, key=wanted.__getitem__)


def check_sliding(stand: Stand, desk: Desk) -> None:
    """Set the horizontal force of a post against friction and against the bars that tie it into the floor."""
    ties = tie_area_m2(stand, desk.job)
    worst: tuple[float, Level, int] | None = None
    for level in (Level.SERVICE, Level.STABILITY):
        factored = stand.factored(level)
        if not np.any(factored.shear > 1.0):
            continue
        ratios = factored.shear / np.maximum(_resistance(stand, factored, desk.ground, ties, Sweep()), 1.0)
        number = int(np.argmax(ratios))
        if worst is None or ratios[number] > worst[0]:
            worst = float(ratios[number]), level, number
    if worst is None:
        return
    ratio, level, number = worst
    factored, working = stand.factored(level).rows([number]), Working()
    capacity = max(float(_resistance(stand, factored, desk.ground, ties, working)), 1.0)
    clause = TIE_STRESS if ties.area_m2 else ibc.SLIDING_CAP if desk.ground.friction is None else ibc.PRESUMPTIVE_BEARING
    desk.notes.checks.append(
        Check(
            key=f"{stand.name}.sliding", name="Sideways force against friction and ties", where=stand.where,
            demand=float(factored.shear[0]), capacity=capacity, suffix="n", clause=clause, governing=factored.combinations[0].name,
            steps=tuple(working.steps), remedy="Tie the thrust into the floor with bars below the saw-cuts; the engineer sizes them.",
        )
    )  # fmt: skip
    if not ties.area_m2 and ratio > 1:
        question = f"How is the thrust of post {stand.name} taken into the floor? The job file has no ties there."
        desk.notes.ask(Ask.ENGINEER, question, stand.where)


@dataclass(frozen=True, slots=True)
class Ties:
    """Steel that ties a post into the floor, its yield strength, and what it is. [m²], [Pa]"""

    area_m2: float
    yield_strength_pa: float
    words: str


def tie_area_m2(stand: Stand, job: Job) -> Ties:
    """Ties at the post, else floor bars across its pad."""
    if stand.post.isolated:
        return Ties(0.0, 0.0, "")
    for zone, legs, words in ((Zone.TIES, 2, "ties, both legs"), (Zone.FLOOR, 1, "floor bars across the pad")):
        for one in job.bars:
            if one.zone is not zone or (one.only and stand.name not in one.only and stand.pad.name not in one.only):
                continue
            count = one.n_bars if one.n_bars is not None else math.floor(min(stand.sides_m) / (one.spacing_m or 1e9))
            if count:
                return Ties(legs * count * bar(size=one.size).area_m2, one.yield_strength_pa, f"{count} {one.size} {words}")
    return Ties(0.0, 0.0, "")


def _resistance(stand: Stand, factored: Factored, ground: Ground, ties: Ties, working: Working) -> Array:
    """Friction or cohesion below the pad, and ties. [N]"""
    units = units_of(stand.family)
    down, dead = (cast(float, one if len(one) > 1 else one[0]) for one in (factored.down, factored.dead))
    normal = working.line(
        "N = max(0, P + f*W)", units.force, "load and weight of the pad", P=units.force_of(down), f=dead, W=units.force_of(stand.weight_n)
    )
    if ground.friction is not None:
        resistance = working.line("R = mu*N", units.force, mu=ground.friction, N=(normal, units.force))
    elif ground.cohesion_pa is not None:
        x, y = stand.sides_m
        resistance = working.line(
            "R = min(F_c, 0.5*N)", units.force, "cohesion on the whole bottom, half the load at most",
            F_c=units.force_of(ground.cohesion_pa * x * y), N=(normal, units.force),
        )  # fmt: skip
    else:
        resistance = working.line("R = 0*N", units.force, "no friction is known", N=(normal, units.force))
    if ties.area_m2:
        held = ties.area_m2 * _SERVICE_OF_YIELD * ties.yield_strength_pa * math.cos(math.pi / 4)
        resistance = working.line("R_t = R + T", units.force, ties.words, R=(resistance, units.force), T=units.force_of(held))
    return np.asarray(resistance) * units.newtons


def ask_fixity(job: Job, notes: Notes) -> None:
    """Open buildings: whether posts are fixed at their feet decides uplift, moment and pad alike."""
    if job.building.enclosure is not Enclosure.OPEN or not job.posts:
        return
    fixed = [post.name for post in job.posts if post.fixity is BaseFixity.FIXED]
    stated = f"The job file calls {len(fixed)} of {len(job.posts)} fixed." if fixed else "The job file calls all of them pinned."
    notes.ask(
        Ask.ENGINEER,
        f"Nothing but posts stands under this roof. Are their bases fixed or pinned, and what braces the building? {stated}",
        "posts",
    )
