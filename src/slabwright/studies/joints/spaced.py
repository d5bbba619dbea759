"""What is said of the spacing: the rule that sets it, what the mix alone would give, and the steel that wider panels need."""

import math
from collections.abc import Sequence

import numpy as np
import shapely

from slabwright.results.check import Check
from slabwright.results.notes import Notes
from slabwright.results.table import Column, Table
from slabwright.results.working import Working
from slabwright.solvers.partition import measured
from slabwright.sources import Basis, Clause
from slabwright.standards import aci_302_1r, aci_360r, subgrade_drag
from slabwright.studies.joints.drying import Drying
from slabwright.studies.joints.ground import JointGround, floor_thickness_m
from slabwright.studies.joints.spacing import OWN_NUMBER, Part, Spacing
from slabwright.units import AREA_PER_WIDTH, FOOT_M, LENGTH, Family, format_place, format_quantity

_HAIR_M = 1e-4
_NO_STEEL = 1e-9
"""A capacity must be above nought."""
_LONG_M = 25.0
"""Length from which a spacing is told in whole feet or metres."""


def apart_words(spacing: Spacing, family: Family) -> str:
    """One sentence: how far apart joints stand at most, and by which rule."""
    rule = spacing.governing
    told = [format_quantity(min(spacing.cap_m, spacing.n_thicknesses * one), LENGTH, family) for one in spacing.thicknesses_m]
    apart = f"{told[0]} apart"
    if len(set(told)) > 1:
        floors = [f"in the {format_quantity(one, LENGTH, family)} floor" for one in spacing.thicknesses_m]
        apart = " and ".join(f"{one} {floor}" for one, floor in zip([apart, *told[1:]], floors, strict=True))
    return f"Joints stand at most {apart}: {rule.name}."


def check_spacing(family: Family, drying: Drying, ground: JointGround, pieces: Sequence[shapely.Polygon], notes: Notes) -> None:
    """The widest panel against its limit and against its steel; what the mix was taken for; steel that crosses the joints."""
    spacing = ground.spacing
    _check_sides(family, ground, pieces, notes)
    if ground.wishes.wider_by_steel and not spacing.is_widened:
        share = 0.0 if spacing.steel is None else spacing.steel.area_m2_m / ground.thickest_m()
        notes.caution(
            f"Steel sets no joints further apart here: the upper half of the floor has {100 * share:.2f} % of it, "
            f"and {100 * aci_360r.STEEL_FOR_SPACING_RATIO:g} % is the least for that.",
            aci_360r.STEEL_FOR_SPACING,
        )
    if not drying.is_tested:
        notes.assume(
            "mix.shrinkage", f"The concrete shrinks by {drying.millionths} millionths in the end, which is {drying.word}.", drying.clause
        )
    if spacing.steel is not None and spacing.steel.area_m2_m > aci_360r.STEEL_THROUGH_JOINTS * ground.thickest_m() and pieces[1:]:
        ratio = 100 * spacing.steel.area_m2_m / ground.thickest_m()
        notes.caution(
            f"Steel of {ratio:.2f} % crosses the joints; from 0.1 % on it can hold a joint shut, and the floor then cracks beside it. "
            "Cut every second bar or wire at the joints, unless the engineer wants them held.",
            aci_360r.STEEL_THROUGH,
        )


def _check_sides(family: Family, ground: JointGround, pieces: Sequence[shapely.Polygon], notes: Notes) -> None:
    """The panel that comes nearest its limit, and the one furthest beyond what the concrete alone allows."""
    spacing = ground.spacing
    long = measured(pieces, ground.region).long
    middles = [shapely.point_on_surface(piece) for piece in pieces]
    places = [f"panel at {format_place((one.x, one.y), family)}" for one in middles]
    allowed = np.array([ground.spacing_at(one.x, one.y) for one in middles])
    plain = np.array([spacing.plain_m(floor_thickness_m(ground.floor, one.x, one.y)) for one in middles])
    worst = int(np.argmax(long / allowed))
    notes.checks.append(
        Check(
            key="spacing",
            name="Longest panel side",
            where=places[worst],
            demand=float(long[worst]),
            capacity=float(allowed[worst]) + _HAIR_M,
            suffix="m",
            clause=spacing.governing.clause,
            steps=spacing.steps,
            remedy="Add a line, or accept a crack in that panel.",
        )
    )
    wide = int(np.argmax(long / plain))
    if long[wide] > plain[wide] + _HAIR_M:
        _check_steel(family, spacing, float(long[wide]), float(plain[wide]), places[wide], notes)


def _check_steel(family: Family, spacing: Spacing, long_m: float, plain_m: float, where: str, notes: Notes) -> None:
    """Steel that a panel wider than the concrete alone allows must have."""
    working = Working()
    needed = spacing.steel_needed_m2_m(long_m, working)
    told, allowed = (format_quantity(one, LENGTH, family) for one in (long_m, plain_m))
    area = format_quantity(needed, AREA_PER_WIDTH, family)
    notes.checks.append(
        Check(
            key="steel",
            name=f"Steel for panels {told} long, where the concrete alone allows {allowed}",
            where=where,
            demand=needed,
            capacity=spacing.steel.area_m2_m if spacing.steel is not None else _NO_STEEL,
            suffix=AREA_PER_WIDTH.suffix,
            clause=aci_360r.STEEL_FOR_SPACING,
            method=subgrade_drag.DRAG_STEEL,
            steps=tuple(working.steps),
            remedy=f"Ask for {spacing.n_plain:g} thicknesses in [joints], or lay {area} each way in the upper half of the floor.",
        )
    )


def spacing_table(spacing: Spacing, family: Family) -> Table:
    """Every rule of spacing, what it gives, and which one rules."""
    floors = [format_quantity(one, LENGTH, family) for one in spacing.thicknesses_m]
    headings = ["Spacing"] if len(floors) == 1 else [f"In the {one} floor" for one in floors]
    rows = [
        (_sentence(rule.name), *(_whole(one, family) for one in rule.spacings_m), rule.part.value, _whence(rule.clause))
        for rule in sorted(spacing.rules, key=lambda rule: rule.part is not Part.SETS)
    ]
    return Table.of(
        "What sets the spacing",
        ["Rule", *(Column(one, "m") for one in headings), "Here", "Source"],
        rows,
        note=_note(spacing),
    )


def _note(spacing: Spacing) -> str:
    said = f"The least of those that apply is taken. Joints beyond {aci_302_1r.MOST_THICKNESSES:g} thicknesses of the floor are not usual."
    if any(rule.part is Part.OUTRANKED for rule in spacing.rules):
        return (
            said
            + " Panels wider than slump, stone and shrinkage allow open and curl more; steel in their upper half holds cracks together."
        )
    return said


def _whole(length_m: float, family: Family) -> float:
    """A length that nobody measures to the inch, as feet or metres that are surely there."""
    unit = FOOT_M if family is Family.US else 1.0
    return length_m if length_m < _LONG_M else math.floor(length_m / unit) * unit


def _whence(clause: Clause) -> str:
    if clause is OWN_NUMBER:
        return "the job file"
    seen = "" if clause.basis is Basis.TEXT_SEEN else f" [{clause.basis.value}]"
    return f"{clause.source.key}{seen}"


def _sentence(name: str) -> str:
    return name[0].upper() + name[1:]
