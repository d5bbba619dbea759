"""Perimeter edge and interior strips: soil pressure under the walls that stand on them."""

from collections.abc import Sequence
from dataclasses import dataclass

import shapely

from slabwright.geometry.foundation import PartKind
from slabwright.geometry.overlay import Area
from slabwright.model.combinations import Combination, Level
from slabwright.model.loads import Wall
from slabwright.results.check import Ask, Check
from slabwright.results.lines import Task
from slabwright.results.working import Working
from slabwright.standards import irc
from slabwright.studies.bearing.desk import Desk
from slabwright.studies.bearing.edge_section import EdgeSection, edge_section, strip_section
from slabwright.studies.bearing.soft_spot import SpanFigures, check_soft_spot
from slabwright.studies.bearing.written import units_of, write_line_sum
from slabwright.units import LENGTH


@dataclass(frozen=True, slots=True, kw_only=True)
class LineFigures:
    """One loaded wall on the edge or a strip.

    Attributes
    ----------
    part, wall : str
    line_load_n_m, own_weight_n_m : float
        Greatest service load; weight of the rectangle below. [N/m]
    pressure_pa : float
        [Pa]
    width_m, needed_width_m : float or None
        As drawn; needed for the allowable pressure at this depth. [m]
    combination : str
    """

    part: str
    wall: str
    line_load_n_m: float
    own_weight_n_m: float
    pressure_pa: float
    width_m: float
    needed_width_m: float | None
    combination: str


def check_lines(desk: Desk) -> tuple[tuple[LineFigures, ...], tuple[SpanFigures, ...]]:
    """Check the edge and every strip; ask about walls that stand on neither."""
    lines: list[LineFigures] = []
    spans: list[SpanFigures] = []
    carried: set[str] = set()
    for section, foot in sections(desk):
        walls = walls_on(desk.job.walls, foot)
        carried.update(wall.name for wall in walls)
        found = [_line(section, wall, desk) for wall in walls if any(wall.line_loads_n_m.values())]
        lines += found
        if found:
            worst = max(found, key=lambda one: one.pressure_pa)
            _bearing_check(section, worst, next(wall for wall in walls if wall.name == worst.wall), desk)
        for wall in walls:
            _uplift_check(section, wall, desk)
        if desk.job.mix is not None and desk.ground.spring_pa_m is not None:
            spans.append(check_soft_spot(section, walls, desk.ground.spring_pa_m, desk))
    for wall in desk.job.walls:
        if wall.name not in carried and any(wall.line_loads_n_m.values()):
            desk.notes.ask(
                Ask.ENGINEER, f"Wall {wall.name} stands on the plain floor. Does it need a thickening below?", f"wall {wall.name}"
            )
    if desk.job.edge is not None:
        what = "Carry the bars of the edge round every corner, bent or by corner bars lapped on both legs, as the bar list has them."
        desk.notes.tasks.append(Task(what=what, who="steel setter", when="with the edge steel", where="edge"))
    return tuple(lines), tuple(spans)


def sections(desk: Desk) -> list[tuple[EdgeSection, Area]]:
    """Edge and strips: section and level bottom."""
    found = []
    for part in desk.foundation.parts:
        if part.kind is PartKind.EDGE and desk.job.edge is not None:
            found.append((edge_section(desk.job, desk.job.edge), part.bottom))
        elif part.kind is PartKind.STRIP:
            strip = next(strip for strip in desk.job.strips if strip.name == part.name)
            found.append((strip_section(desk.job, strip), part.bottom))
    return found


def walls_on(walls: Sequence[Wall], foot: Area) -> list[Wall]:
    """Walls that stand for the most part on a bottom, or within half a wall of it."""
    found = []
    for wall in walls:
        line = shapely.LineString(wall.line)
        if line.intersection(foot.buffer(wall.thickness_m / 2 + 1e-6)).length > 0.5 * line.length:
            found.append(wall)
    return found


def _uplift_check(section: EdgeSection, wall: Wall, desk: Desk) -> None:
    """A wall that wind lifts against the weight of the strip below the floor, length by length."""
    loads = wall.line_loads_n_m
    whole = min(desk.table.combinations.at(Level.STABILITY), key=lambda one: one.total(loads) / one.dead_factor)
    if whole.total(loads) >= 0:
        return
    combination = whole.limited(loads)
    units, working = units_of(desk.job.family), Working()
    load = write_line_sum(combination, loads, desk.job.family, working)
    weight = units.per_length_of(section.below_floor_m2 * section.unit_weight_n_m3)
    unit = weight[1]
    demand = working.line("u = -w", unit, w=load)
    capacity = working.line("r = f*w_s", unit, "the strip below the floor; f is the factor on dead load", f=whole.dead_factor, w_s=weight)
    per_length = units.newtons / LENGTH.units[units.length].factor
    desk.notes.checks.append(
        Check(
            key=f"{section.name}.uplift.{wall.name}", name="Net uplift of the wall against the strip it is tied to",
            where=f"{section.name} under wall {wall.name}", demand=demand * per_length, capacity=max(capacity * per_length, 1e-9),
            suffix="n_m", clause=desk.table.combinations.clauses[Level.STABILITY], governing=combination.name, steps=tuple(working.steps),
            remedy="Make the strip wider or deeper, or ask the engineer what else holds the wall down.",
        )
    )  # fmt: skip


def _heaviest(wall: Wall, desk: Desk) -> Combination:
    loads = wall.line_loads_n_m
    return max(desk.table.combinations.at(Level.SERVICE), key=lambda one: (one.total(loads), -len(one.terms))).limited(loads)


def _line(section: EdgeSection, wall: Wall, desk: Desk) -> LineFigures:
    combination = _heaviest(wall, desk)
    load = combination.total(wall.line_loads_n_m)
    bearing = desk.ground.bearing_pa
    left = None if bearing is None else bearing - section.own_weight_n_m / section.width_m
    return LineFigures(
        part=section.name, wall=wall.name, line_load_n_m=load, own_weight_n_m=section.own_weight_n_m,
        pressure_pa=(load + section.own_weight_n_m) / section.width_m, width_m=section.width_m,
        needed_width_m=load / left if left is not None and left > 0 else None, combination=combination.name,
    )  # fmt: skip


def _bearing_check(section: EdgeSection, figures: LineFigures, wall: Wall, desk: Desk) -> None:
    if desk.ground.bearing_pa is None:
        return
    combination = _heaviest(wall, desk)
    units, working = units_of(desk.job.family), Working()
    load = write_line_sum(combination, wall.line_loads_n_m, desk.job.family, working)
    own = working.line(
        "w_0 = gamma*B*h", load[1], "own weight of the rectangle", gamma=units.unit_weight_of(section.unit_weight_n_m3),
        B=units.length_of(section.width_m), h=units.length_of(section.depth_m),
    )  # fmt: skip
    working.line("q = (w + w_0)/B", units.pressure, w=load, w_0=(own, load[1]), B=units.length_of(section.width_m))
    desk.notes.checks.append(
        Check(
            key=f"{section.name}.bearing", name="Soil pressure under the wall, own weight counted",
            where=f"{section.name} under wall {wall.name}", demand=figures.pressure_pa, capacity=desk.ground.bearing_pa, suffix="pa",
            clause=desk.ground.clause, method=irc.FOOTING_SIZE, governing=combination.name, steps=tuple(working.steps),
            remedy="Make it wider at the bottom.",
        )
    )  # fmt: skip
