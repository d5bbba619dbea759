"""Checks of each pad: soil pressure, tilt, and the strength of its concrete at the design depth and at the least."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from slabwright.model.combinations import Level
from slabwright.model.job import ConcreteStandard
from slabwright.results.check import Ask, Check
from slabwright.results.notes import Notes
from slabwright.results.working import Working
from slabwright.sources import arithmetic, practice
from slabwright.standards.aci_318_19_shear import PostPlace
from slabwright.standards.statics import FOOTING_PRESSURE, footing_pressure
from slabwright.studies.bearing import aci, en
from slabwright.studies.bearing.case import MOST_TILT, PadCase, as_number
from slabwright.studies.bearing.ground import Ground
from slabwright.studies.bearing.loads import Factored
from slabwright.studies.bearing.probes import Design, Governing, governing
from slabwright.studies.bearing.stand import Stand
from slabwright.studies.bearing.written import units_of, write_sum

FOOT = practice("the whole foot of a post stands within the bottom of its pad")
TILT = arithmetic("the resultant of load and weight must act within the pad")


@dataclass(frozen=True, slots=True, kw_only=True)
class PadFigures:
    """Figures of one post's pad, for tables.

    Attributes
    ----------
    gross_pa, net_pa : float or None
        Greatest soil pressure with the pad's weight, and less the soil removed; None where the pad does not bear. [Pa]
    mean_pa : float
        Load and weight over the whole bottom in the same combination. [Pa]
    bearing_combination : str
    lowest_pa : float
        At the least loaded corner in the same combination. [Pa]
    tilt : float
        0 in the middle, 1 at a side.
    design : str
        As what it was checked: plain or reinforced.
    strength_ratio, thin_ratio : float
        Worst of the concrete checks at the design depth and at the least, rules of detailing left out.
    thin_depth_m : float
        Least depth that the tolerance accepts. [m]
    hooks : bool
        True where the bars must end in hooks.
    details : tuple of str
        Keys of its checks that are rules of detailing.
    strength_n : float
        Greatest factored load. [N]
    """

    gross_pa: float | None
    net_pa: float | None
    mean_pa: float
    bearing_combination: str
    lowest_pa: float
    tilt: float
    design: str
    strength_ratio: float
    thin_ratio: float
    thin_depth_m: float
    hooks: bool
    details: tuple[str, ...]
    strength_n: float


def designs_for(stand: Stand, standard: ConcreteStandard) -> tuple[Design, ...]:
    """The ways in which a pad may be proved."""
    if standard is ConcreteStandard.EN_1992:
        extra = (en.WHEN_LIFTED,) if stand.lifted else ()
        designs = (en.PLAIN, en.REINFORCED) if stand.mat is not None else (en.PLAIN,)
        return tuple(replace(one, kinds=one.kinds + extra) for one in designs)
    x, y = (bool(value) for value in stand.offset_m)
    places = (PostPlace.INTERIOR,) + (PostPlace.EDGE,) * (x or y) + (PostPlace.CORNER,) * (x and y)
    plain = aci.plain_design(places, lifted=stand.lifted)
    return (plain, aci.reinforced_design(places, lifted=stand.lifted)) if stand.mat is not None else (plain,)


@dataclass(frozen=True, slots=True)
class Proof:
    """What governs the concrete of one pad, proved in the way that serves it better.

    Attributes
    ----------
    design : Design
    worst, thin : tuple of Governing
        At the design depth, and at the least depth.
    thin_depth_m : float
    """

    design: Design
    worst: tuple[Governing, ...]
    thin: tuple[Governing, ...]
    thin_depth_m: float


def prove(stands: Sequence[Stand], standard: ConcreteStandard, thin_by_m: float) -> dict[str, Proof]:
    """Find what governs each pad, alike pads together."""
    groups: dict[Any, list[Stand]] = defaultdict(list)
    for stand in stands:
        even = not np.any(stand.factored(Level.STRENGTH).values[:, 3:])
        groups[stand.sides_m, stand.pad.depth_m, stand.foot_m, stand.offset_m, stand.mat, stand.strength_pa, stand.lifted, even].append(
            stand
        )
    found = {}
    for alike in groups.values():
        first, strength = alike[0], [stand.factored(Level.STRENGTH) for stand in alike]
        rows = [len(one.combinations) for one in strength]
        thin_depth = max(first.pad.depth_m - thin_by_m, 0.01)
        case, thin_case = (_together(alike, strength, depth) for depth in (first.pad.depth_m, thin_depth))
        designs = designs_for(first, standard)
        scored = [governing(design, case, rows) for design in designs]
        thinned = [governing(_thin(design), thin_case, rows) for design in designs]
        for k, stand in enumerate(alike):
            best = min(range(len(designs)), key=lambda d: max(one.ratio for one in scored[d][k]))
            found[stand.name] = Proof(designs[best], scored[best][k], thinned[best][k], thin_depth)
    return found


def _thin(design: Design) -> Design:
    return replace(design, kinds=tuple(kind for kind in design.kinds if kind.thin))


def _together(stands: Sequence[Stand], strength: Sequence[Factored], depth_m: float) -> PadCase:
    """Alike pads with all their loads one after another."""
    values = np.concatenate([one.values for one in strength])
    weight = np.concatenate([one.dead * stand.weight_n for stand, one in zip(stands, strength, strict=True)])
    return replace(
        stands[0].single(strength[0], 0, depth_m=depth_m), load_n=as_number(values[:, 0]), moment_x_nm=as_number(values[:, 3]),
        moment_y_nm=as_number(values[:, 4]), weight_n=as_number(weight),
    )  # fmt: skip


def check_pad(stand: Stand, proof: Proof, ground: Ground, standard: ConcreteStandard, remedy: str, notes: Notes) -> PadFigures:
    """Add the checks of one pad to the notes; return its figures."""
    _foot_check(stand, notes)
    gross, mean, lowest, combination, tilt = _soil(stand, ground, remedy, notes)
    strength = stand.factored(Level.STRENGTH)
    worst, thin, design, thin_depth = proof.worst, proof.thin, proof.design, proof.thin_depth_m
    for one in worst:
        notes.checks.append(_check(stand, strength, one, remedy))
    for one in thin:
        notes.checks.append(_check(stand, strength, one, remedy, depth_m=thin_depth))
    reinforced = design.name == "reinforced concrete"
    removed = ground.unit_weight_n_m3 * max(0.0, stand.pad.depth_m - stand.grade_m)
    return PadFigures(
        gross_pa=gross, net_pa=None if gross is None else gross - removed, mean_pa=mean, bearing_combination=combination,
        lowest_pa=lowest, tilt=tilt, design=design.name, strength_ratio=max(one.ratio for one in worst if not one.kind.detail),
        thin_ratio=max(one.ratio for one in thin), thin_depth_m=thin_depth,
        hooks=reinforced and standard is ConcreteStandard.ACI_318_19 and aci.needs_hooks(stand.single(strength, 0)),
        details=tuple(f"{stand.name}.{kind.key}" for kind in design.kinds if kind.detail),
        strength_n=float(strength.down.max()),
    )  # fmt: skip


def _foot_check(stand: Stand, notes: Notes) -> None:
    """A foot that reaches over a side of its pad does not hold."""
    reaches = [abs(off) + foot / 2 for off, foot in zip(stand.offset_m, stand.foot_m, strict=True)]
    halves = [side / 2 for side in stand.sides_m]
    axis = max((0, 1), key=lambda k: reaches[k] / halves[k])
    if reaches[axis] > halves[axis] * (1 + 1e-9):
        notes.at_most(
            f"{stand.name}.foot", "The post's foot stands on its pad, from the pad's middle", stand.where, found=reaches[axis],
            limit=halves[axis], suffix="m", clause=FOOT, remedy="Widen the pad, or set it centred under the post.",
        )  # fmt: skip


def _soil(stand: Stand, ground: Ground, remedy: str, notes: Notes) -> tuple[float | None, float, float, str, float]:
    """Pressure on the soil and tilt, over service combinations."""
    _tilt_check(stand, notes)
    service = stand.factored(Level.SERVICE)
    case = stand.case(service)
    tilt = np.broadcast_to(case.tilt, service.down.shape)
    sound = case.bears & (tilt < MOST_TILT)
    if not np.any(sound):
        return None, 0.0, 0.0, "", float(tilt.max())
    highest = np.where(sound, case.contact.highest, -np.inf)
    number = int(np.argmax(highest))
    working = Working()
    one = stand.single(service, number)
    total = _write_total(stand, service, number, working)
    ex, ey = one.eccentricity_m
    found = footing_pressure(
        load_n=total, size_x_m=one.size_x_m, size_y_m=one.size_y_m, eccentricity_x_m=float(ex), eccentricity_y_m=float(ey),
        family=stand.family, working=working,
    )  # fmt: skip
    if ground.bearing_pa is not None:
        notes.checks.append(
            Check(
                key=f"{stand.name}.bearing", name="Soil pressure under the pad, its own weight counted", where=stand.where,
                demand=found.highest_pa, capacity=ground.bearing_pa, suffix="pa", clause=ground.clause, method=FOOTING_PRESSURE,
                governing=service.combinations[number].name, steps=tuple(working.steps), remedy=remedy or "Make the pad larger.",
            )
        )  # fmt: skip
    return found.highest_pa, total / (one.size_x_m * one.size_y_m), found.lowest_pa, service.combinations[number].name, float(tilt[number])


def _write_total(stand: Stand, factored: Factored, number: int, working: Working) -> float:
    """Write out load and weight of one combination. [N]"""
    units = units_of(stand.family)
    combination = factored.combinations[number]
    load = write_sum(combination, stand.reactions, stand.family, working, "P")
    total = working.line(
        "N = P + f*W", units.force, "f is the combination's factor on dead load, W the weight of the pad",
        P=units.force_of(load), f=float(factored.dead[number]), W=units.force_of(stand.weight_n),
    )  # fmt: skip
    return total * units.newtons


def _tilt_check(stand: Stand, notes: Notes) -> None:
    """How far out the load acts in the worst combination of any level; what lifts and turns a pad at once is asked about."""
    worst: tuple[float, Factored, int] | None = None
    for level in (Level.SERVICE, Level.STABILITY, Level.STRENGTH):
        factored = stand.factored(level)
        case = stand.case(factored)
        if case.even:
            continue
        tilt = np.where(case.bears, case.tilt, 0.0)
        number = int(np.argmax(tilt))
        if worst is None or tilt[number] > worst[0] * (1 + 1e-9):
            worst = float(tilt[number]), factored, number
        turned = ~case.bears & np.any(factored.values[:, 3:], axis=1)
        if level is Level.STABILITY and np.any(turned):
            name = factored.combinations[int(np.argmax(turned))].name
            question = f"In {name} post {stand.name} is lifted off its pad's weight and turned at once. What takes the moment then?"
            notes.ask(Ask.ENGINEER, question, stand.where)
    if worst is None:
        return
    _, factored, number = worst
    working = Working()
    one = stand.single(factored, number)
    units = units_of(stand.family)
    _write_total(stand, factored, number, working)
    ex, ey = (abs(float(value)) for value in one.eccentricity_m)
    ratio = working.line(
        "r = max(2*e_x/L_x, 2*e_y/L_y)", "",
        e_x=units.length_of(ex), L_x=units.length_of(one.size_x_m), e_y=units.length_of(ey), L_y=units.length_of(one.size_y_m),
    )  # fmt: skip
    notes.checks.append(
        Check(
            key=f"{stand.name}.overturning", name="How far out the load acts, of half the pad", where=stand.where, demand=ratio,
            capacity=MOST_TILT, suffix="", clause=TILT, governing=factored.combinations[number].name, steps=tuple(working.steps),
            remedy="Set the pad centred under the post, widen it in the direction of the moment, or free the base of moment.",
        )
    )  # fmt: skip


def _check(stand: Stand, strength: Factored, one: Governing, remedy: str, depth_m: float | None = None) -> Check:
    """A concrete check worked out on paper for its governing combination."""
    working = Working()
    case = stand.single(strength, one.number, depth_m=depth_m)
    write_sum(strength.combinations[one.number], stand.reactions, stand.family, working)
    demand, capacity = one.kind.pair(case, one.direction, working)
    thin = depth_m is not None
    return Check(
        key=f"{stand.name}.thin.{one.kind.key}" if thin else f"{stand.name}.{one.kind.key}",
        name=f"{one.kind.name}, at the least depth" if thin else one.kind.name, where=stand.where, demand=max(0.0, float(demand)),
        capacity=max(float(capacity), 1e-9), suffix=one.kind.suffix, clause=one.kind.clause,
        governing=strength.combinations[one.number].name, steps=tuple(working.steps), remedy=one.kind.remedy or remedy,
    )  # fmt: skip
