"""Edge and strips as beams over a soft spot in the ground: bending, shear, laps."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from slabwright.model.combinations import Combination, Level
from slabwright.model.job import ConcreteStandard
from slabwright.model.loads import LoadCase, Wall
from slabwright.model.steel import Face
from slabwright.results.check import Ask, Check
from slabwright.results.working import Working
from slabwright.solvers.elastic_beam import BeamLine, elastic_beam
from slabwright.sources import Clause, practice
from slabwright.standards import aci_318_19_development as aci_bars
from slabwright.standards import aci_318_19_plain as aci_plain
from slabwright.standards import en_1992_1_1 as en
from slabwright.standards import en_1992_1_1_bars as en_bars
from slabwright.standards.hetenyi_1946 import CLOSED_FORMS
from slabwright.studies.bearing.desk import Desk
from slabwright.studies.bearing.edge_section import EdgeSection, FaceBars
from slabwright.studies.bearing.written import units_of
from slabwright.units import INCH_M, LENGTH, Family, format_quantity

SOFT_SPOT = practice("a footing bridges a soft spot of the length the job states")
_DEEP_BELOW_M = 12 * INCH_M


@dataclass(frozen=True, slots=True, kw_only=True)
class SpanFigures:
    """Edge or strip bridging a soft spot.

    Attributes
    ----------
    part : str
    gap_m : float
    load_n_m : float
        Factored, with its own weight. [N/m]
    beam : BeamLine
        Under that load, the gap in the middle.
    moments_nm, capacities_nm : tuple of float
        Greatest moments that stretch the bottom and the top; what carries them. [N·m]
    """

    part: str
    gap_m: float
    load_n_m: float
    beam: BeamLine = field(repr=False)
    moments_nm: tuple[float, float]
    capacities_nm: tuple[float, float]


def bridging(section: EdgeSection, spring_pa_m: float, gap_m: float, load_n_m: float) -> BeamLine:
    """A long strip over a gap in the ground, under an even load."""
    line_spring = spring_pa_m * section.width_m
    side = 2.5 * math.pi * (4 * section.stiffness_nm2 / line_spring) ** 0.25
    return elastic_beam(
        length=gap_m + 2 * side, stiffness=section.stiffness_nm2, spring=line_spring, uniform=load_n_m, gaps=[(side, side + gap_m)],
        n_elements=160,
    )  # fmt: skip


def check_soft_spot(section: EdgeSection, walls: Sequence[Wall], spring_pa_m: float, desk: Desk) -> SpanFigures:
    """Check one section over the soft spot of the job, under its heaviest wall."""
    gap, family = desk.job.tolerances.unsupported_length_m, desk.job.family
    combination, load = _heaviest(section, walls, desk)
    beam = bridging(section, spring_pa_m, gap, load)
    moments = max(0.0, float(beam.moment.max())), max(0.0, -float(beam.moment.min()))
    capacities = []
    for face, moment, place in zip((Face.BOTTOM, Face.TOP), moments, ("in the middle", "at the ends"), strict=True):
        working = Working()
        _write_moment(moment, load, gap, place, family, working)
        bending = section.bending(face, working)
        capacities.append(bending.capacity_nm)
        desk.notes.checks.append(
            Check(
                key=f"{section.name}.soft_spot_{face.value}", name=f"Bridging a soft spot, {face.value} in tension", where=section.name,
                demand=moment, capacity=bending.capacity_nm, suffix="nm", clause=bending.clause, method=CLOSED_FORMS,
                governing=combination.name, steps=tuple(working.steps), remedy=f"Add bars near the {face.value}, or make it deeper.",
            )
        )  # fmt: skip
    _check_shear(section, beam, combination.name, desk)
    part = "edge" if section.name == "edge" else f"strip {section.name}"
    desk.notes.assume(
        "tolerances.unsupported_length", f"The {part} bridges a soft spot of {format_quantity(gap, LENGTH, family)} anywhere.", SOFT_SPOT
    )
    _check_laps(section, moments, desk)
    return SpanFigures(
        part=section.name, gap_m=gap, load_n_m=load, beam=beam, moments_nm=moments, capacities_nm=(capacities[0], capacities[1])
    )


def _heaviest(section: EdgeSection, walls: Sequence[Wall], desk: Desk) -> tuple[Combination, float]:
    """The strength combination that loads the strip most under any of its walls or between them, with its load. [N/m]"""
    loads: list[Mapping[LoadCase, float]] = [{}, *(wall.line_loads_n_m for wall in walls)]

    def total(one: Combination) -> float:
        return max(one.total(of) for of in loads) + one.dead_factor * section.own_weight_n_m

    combination = max(desk.table.combinations.at(Level.STRENGTH), key=lambda one: (total(one), -len(one.terms)))
    return combination.limited({case for of in loads for case in of} | {LoadCase.DEAD}), total(combination)


def _write_moment(moment: float, load: float, gap: float, place: str, family: Family, working: Working) -> None:
    units = units_of(family)
    factor = moment / (load * gap**2) if load > 0 and gap > 0 else 0.0
    note = f"c of a strip on springs that let go, {place} of the gap"
    working.line("M_u = c*w_u*L**2", units.moment, note, c=factor, w_u=units.per_length_of(load), L=units.length_of(gap))


def _check_shear(section: EdgeSection, beam: BeamLine, combination: str, desk: Desk) -> None:
    """Shear beside the gap against the section without stirrups."""
    shear, working, units = float(np.abs(beam.shear).max()), Working(), units_of(desk.job.family)
    working.line("V_u = V", units.force, "greatest shear of the strip on springs", V=units.force_of(shear))
    if section.standard is ConcreteStandard.EN_1992:
        depth, steel = 0.9 * section.depth_m, section.bottom.area_m2 if section.bottom else 0.0
        strength = en.shear_strength(
            strength_pa=section.strength_pa, width_m=section.width_m, depth_m=depth, steel_area_m2=steel, working=working
        )
        capacity, clause = strength.stress_pa * section.width_m * depth, en.ONE_WAY_SHEAR
    else:
        effective = aci_plain.effective_thickness_m(section.depth_m, working=working)
        capacity = aci_plain.one_way_shear_n(
            strength_pa=section.strength_pa, width_m=section.width_m, effective_m=effective, working=working
        )
        clause = aci_plain.ONE_WAY_SHEAR
    desk.notes.checks.append(
        Check(
            key=f"{section.name}.soft_spot_shear", name="Bridging a soft spot, shear", where=section.name, demand=shear, capacity=capacity,
            suffix="n", clause=clause, method=CLOSED_FORMS, governing=combination, steps=tuple(working.steps), remedy="Make it deeper.",
        )
    )  # fmt: skip


def _check_laps(section: EdgeSection, moments: tuple[float, float], desk: Desk) -> None:
    """Laps against the full tension length; where plain concrete is enough the bars only hold cracks, and it is a question."""
    plain = replace(section, bottom=None, top=None).bending(Face.BOTTOM).capacity_nm
    for face, bars, moment in zip((Face.BOTTOM, Face.TOP), (section.bottom, section.top), moments, strict=True):
        if bars is None or bars.lap_m is None:
            continue
        working = Working()
        needed, clause = _lap(section, bars, face, working)
        if moment > plain:
            desk.notes.checks.append(
                Check(
                    key=f"{section.name}.lap_{face.value}", name=f"Lap of the {face.value} bars", where=section.name, demand=needed,
                    capacity=bars.lap_m, suffix="m", clause=clause, steps=tuple(working.steps), remedy="Lap the bars longer.",
                )
            )  # fmt: skip
        elif bars.lap_m < needed * (1 - 1e-9):
            stated, full = (format_quantity(length, LENGTH, desk.job.family) for length in (bars.lap_m, needed))
            question = (
                f"The {face.value} bars ({bars.name}) lap {stated}; a full tension lap is {full}. "
                "Plain concrete carries the soft spot, so they only hold cracks shut. Is the stated lap enough?"
            )
            desk.notes.ask(Ask.ENGINEER, question, section.name, clause)


def _lap(section: EdgeSection, bars: FaceBars, face: Face, working: Working) -> tuple[float, Clause]:
    """Full tension lap and its clause. [m]"""
    deep_below = face is Face.TOP and section.depth_m - bars.cover_m > _DEEP_BELOW_M
    if section.standard is ConcreteStandard.EN_1992:
        length = en_bars.lap_length_m(
            bar_diameter_m=bars.diameter_m, strength_pa=section.strength_pa, yield_strength_pa=bars.yield_strength_pa,
            good_bond=not deep_below, working=working,
        )  # fmt: skip
        return length, en_bars.LAP
    length = aci_bars.lap_length_m(
        bar_diameter_m=bars.diameter_m, strength_pa=section.strength_pa, yield_strength_pa=bars.yield_strength_pa, top_bar=deep_below,
        working=working,
    )  # fmt: skip
    return length, aci_bars.LAP
