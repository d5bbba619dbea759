"""How far apart joints may stand: every rule that bears on it, and which of them sets it on this job."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

from slabwright.model.job import Job, MinimumRules
from slabwright.model.steel import Bars, Face, Zone
from slabwright.results.working import Step, Working
from slabwright.sources import Clause, practice
from slabwright.standards import aci_302_1r, aci_318_19_mesh, aci_360r, pca_floors, subgrade_drag
from slabwright.standards.bars import bar
from slabwright.standards.concrete_tension import tensile_strength_pa
from slabwright.standards.mesh import mesh
from slabwright.studies.joints.drying import PLANNED_SLUMP_M, Drying
from slabwright.units import LENGTH, PSI_PA, STANDARD_GRAVITY_M_S2, format_quantity

USUAL_STRENGTH_PA = 3000 * PSI_PA
"""Of the concrete where the job does not say; common practice, no source."""
OWN_NUMBER = practice("what the job file asks for")
_HAIR_M = 1e-4


class Part(Enum):
    """What a rule of spacing does on a job."""

    SETS = "sets the spacing"
    ALLOWS = "allows more"
    OUTRANKED = "asks for less, but the job says otherwise"


@dataclass(frozen=True, slots=True, kw_only=True)
class SpacingRule:
    """One rule, and the spacing it gives.

    Attributes
    ----------
    name : str
        As a sentence names it: ``30 thicknesses, as usual``.
    spacings_m : tuple of float
        In each thickness of the floor, the thickest first. [m]
    clause : Clause
    part : Part
    """

    name: str
    spacings_m: tuple[float, ...]
    clause: Clause
    part: Part


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorSteel:
    """Steel in the upper half of the floor, in the direction that has less of it.

    Attributes
    ----------
    area_m2_m : float
        [m²/m]
    yield_pa : float
        The least of what is there. [Pa]
    """

    area_m2_m: float
    yield_pa: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Spacing:
    """How far apart joints may stand on this job.

    Attributes
    ----------
    thicknesses_m : tuple of float
        Of the floor, the thickest first. [m]
    n_thicknesses, cap_m : float
        Greatest spacing in thicknesses, and whatever the thickness. [m]
    n_plain, plain_cap_m : float
        The same as the concrete alone allows it, without steel and without what the job asks for. [m]
    rules : tuple of SpacingRule
    steps : tuple of Step
        How the spacing by shrinkage, by drag and by steel was reckoned.
    steel : FloorSteel or None
    friction : float
        Coefficient of the underside. [-]
    weight_n_m3 : float
        Of the concrete. [N/m³]
    """

    thicknesses_m: tuple[float, ...]
    n_thicknesses: float
    cap_m: float
    n_plain: float
    plain_cap_m: float
    rules: tuple[SpacingRule, ...]
    steps: tuple[Step, ...]
    steel: FloorSteel | None
    friction: float
    weight_n_m3: float

    @property
    def is_widened(self) -> bool:
        """Whether the steel of the floor takes the place of the usual cap."""
        return any(rule.clause is subgrade_drag.DRAG_SPACING for rule in self.rules)

    @property
    def governing(self) -> SpacingRule:
        """The rule that sets the spacing in the thickest floor."""
        return next(rule for rule in self.rules if rule.part is Part.SETS)

    def plain_m(self, thickness_m: float) -> float:
        """Greatest spacing that the concrete alone allows in a floor of a thickness. [m]"""
        return min(self.plain_cap_m, self.n_plain * thickness_m)

    def steel_needed_m2_m(self, length_m: float, working: Working | None = None) -> float:
        """Steel that panels wider than the concrete alone allows must have, in the thickest floor. [m²/m]"""
        thickest = self.thicknesses_m[0]
        stress = subgrade_drag.STEEL_STRESS_SHARE * (self.steel.yield_pa if self.steel is not None else aci_318_19_mesh.WIRE_YIELD_PA)
        dragged = subgrade_drag.drag_steel_m2_m(
            friction=self.friction, length_m=length_m, weight_pa=self.weight_n_m3 * thickest, steel_stress_pa=stress, working=working
        )
        least = aci_360r.steel_by_ratio_m2_m(thickness_m=thickest, ratio=aci_360r.STEEL_FOR_SPACING_RATIO, working=working)
        return max(dragged, least)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Bound:
    """A rule before it is known which one sets the spacing."""

    name: str
    n: float | None
    spacings_m: tuple[float, ...]
    clause: Clause
    binds: bool = True

    def spacing_m(self, thickest_m: float) -> float:
        return self.spacings_m[0] if self.n is None else self.n * thickest_m


def spacing_of(job: Job, drying: Drying) -> Spacing:
    """Weigh every rule of spacing for a job.

    Where the job states a number of thicknesses it rules, and what the mix alone would give stands beside it. Where it states none, the
    least of the usual number, that for slump and stone and that for the shrinkage of the mix rules: a rule that allows more than the
    usual number is told, never used, for a wider panel is a wish.
    """
    wishes = job.joints
    thick = tuple(sorted({job.floor.thickness_m, *(part.thickness_m for part in job.floor.thickness_regions)}, reverse=True))
    weight = (job.mix.unit_weight_kg_m3 if job.mix is not None else 2400.0) * STANDARD_GRAVITY_M_S2
    friction = subgrade_drag.drag_friction(stated=job.soil.friction, on_sheet=job.retarder is not None)
    steel, working = floor_steel(job), Working([*drying.steps])
    asked = wishes.spacing_thicknesses or (aci_302_1r.MOST_THICKNESSES if wishes.wider_by_steel else None)
    by_mix = [
        _Bound(name=_counted(aci_302_1r.USUAL_THICKNESSES, "as usual"), n=aci_302_1r.USUAL_THICKNESSES,
               spacings_m=tuple(aci_302_1r.USUAL_THICKNESSES * one for one in thick), clause=aci_302_1r.JOINT_SPACING, binds=asked is None),
        *_by_mix(job, drying, thick, working, binds=asked is None),
    ]  # fmt: skip
    caps = list(_caps(job, thick, friction, weight, working))
    plain_cap = min(one.spacings_m[0] for one in caps)
    by_steel = list(_by_steel(steel, thick, friction, weight, working)) if wishes.wider_by_steel and steel is not None else []
    bounds = [*by_mix, *(by_steel or caps)]
    if asked is not None:
        own = tuple(asked * one for one in thick)
        bounds.insert(0, _Bound(name=_counted(asked, "as the job asks"), n=asked, spacings_m=own, clause=OWN_NUMBER))
    if wishes.max_spacing_m is not None:
        own = (wishes.max_spacing_m,) * len(thick)
        bounds.append(_Bound(name="the greatest spacing in the job file", n=None, spacings_m=own, clause=OWN_NUMBER))
    binding = [one for one in bounds if one.binds]
    sets = min(binding, key=lambda one: one.spacing_m(thick[0]))
    least = sets.spacing_m(thick[0])
    return Spacing(
        thicknesses_m=thick,
        n_thicknesses=min(one.n for one in binding if one.n is not None),
        cap_m=min(one.spacings_m[0] for one in binding if one.n is None),
        n_plain=min(one.n for one in by_mix if one.n is not None),
        plain_cap_m=plain_cap,
        rules=tuple(
            SpacingRule(
                name=one.name,
                spacings_m=one.spacings_m,
                clause=one.clause,
                part=Part.SETS if one is sets else Part.OUTRANKED if one.spacing_m(thick[0]) < least - _HAIR_M else Part.ALLOWS,
            )
            for one in bounds
        ),
        steps=tuple(working.steps),
        steel=steel,
        friction=friction,
        weight_n_m3=weight,
    )


def _by_mix(job: Job, drying: Drying, thick: tuple[float, ...], working: Working, *, binds: bool) -> Iterator[_Bound]:
    """Slump with stone, and shrinkage; nothing where the job has no mix."""
    mix = job.mix
    if mix is None:
        return
    slump = mix.slump_m or PLANNED_SLUMP_M
    found = [pca_floors.joint_spacing_by_mix(thickness_m=one, slump_m=slump, aggregate_size_m=mix.aggregate_size_m) for one in thick]
    told = [format_quantity(one, LENGTH, job.family) for one in (slump, mix.aggregate_size_m)]
    yield _Bound(
        name=f"a slump of {told[0]} with {told[1]} stone",
        n=min(one.thicknesses for one in found),
        spacings_m=tuple(one.spacing_m for one in found),
        clause=pca_floors.SPACING_BY_MIX,
        binds=binds,
    )
    n = float(round(aci_360r.thicknesses_by_shrinkage(ultimate=drying.standard, working=working)))  # what is known of shrinkage is no finer
    yield _Bound(
        name=f"drying shrinkage of {drying.millionths} millionths in the end, which is {drying.word}",
        n=n,
        spacings_m=tuple(n * one for one in thick),
        clause=aci_360r.SPACING_BY_SHRINKAGE,
        binds=binds,
    )


def _caps(job: Job, thick: tuple[float, ...], friction: float, weight_n_m3: float, working: Working) -> Iterator[_Bound]:
    """What the concrete alone allows whatever the thickness: the absolute cap, and the drag of the ground."""
    is_us = job.codes.minimums is MinimumRules.US_CODES
    cap, clause = (
        (aci_302_1r.GREATEST_SPACING_M, aci_302_1r.JOINT_SPACING) if is_us else (aci_302_1r.CSA_GREATEST_SPACING_M, aci_302_1r.CSA_JOINTS)
    )
    yield _Bound(name="the usual cap, whatever the thickness", n=None, spacings_m=(cap,) * len(thick), clause=clause)
    dragged = subgrade_drag.spacing_by_drag_m(
        friction=friction,
        tension_pa=tensile_strength_pa(strength_pa=job.mix.strength_pa if job.mix is not None else USUAL_STRENGTH_PA),
        density_kg_m3=weight_n_m3 / STANDARD_GRAVITY_M_S2,
        working=working,
    )
    yield _Bound(
        name=f"drag on the ground at a friction of {friction:g}, taken by the concrete alone",
        n=None, spacings_m=(dragged,) * len(thick), clause=subgrade_drag.PLAIN_SPACING,
    )  # fmt: skip


def _by_steel(steel: FloorSteel, thick: tuple[float, ...], friction: float, weight_n_m3: float, working: Working) -> Iterator[_Bound]:
    """What the steel allows, where there is enough of it; nothing else."""
    ratio = steel.area_m2_m / thick[0]
    if ratio < aci_360r.STEEL_FOR_SPACING_RATIO:
        return
    lengths = tuple(
        subgrade_drag.spacing_by_steel_m(
            friction=friction, steel_m2_m=steel.area_m2_m, weight_pa=weight_n_m3 * one,
            steel_stress_pa=subgrade_drag.STEEL_STRESS_SHARE * steel.yield_pa, working=working,
        )
        for one in thick
    )  # fmt: skip
    yield _Bound(
        name=f"drag on the ground at a friction of {friction:g}, taken by steel of {100 * ratio:.2f} %",
        n=None, spacings_m=lengths, clause=subgrade_drag.DRAG_SPACING,
    )  # fmt: skip
    yield _Bound(
        name="the longest reinforced slab, whatever its steel",
        n=None, spacings_m=(aci_360r.REINFORCED_LENGTH_M,) * len(thick), clause=aci_360r.REINFORCED_LENGTH,
    )  # fmt: skip


def floor_steel(job: Job) -> FloorSteel | None:
    """Steel that lies in the upper half of the thinnest floor; None where there is none."""
    thinnest = min([job.floor.thickness_m, *(part.thickness_m for part in job.floor.thickness_regions)])
    found: list[tuple[float, float]] = []
    if job.mesh is not None and job.mesh.cover_m <= thinnest / 2:
        style = mesh(style=job.mesh.style)
        found.append((min(style.area_m2_m, style.cross_area_m2_m), aci_318_19_mesh.WIRE_YIELD_PA))
    found += [
        (bar(size=one.size).area_m2 / one.spacing_m, one.yield_strength_pa)
        for one in job.bars
        if one.zone is Zone.FLOOR and one.spacing_m and _is_upper(one, thinnest)
    ]
    return FloorSteel(area_m2_m=sum(area for area, _ in found), yield_pa=min(strength for _, strength in found)) if found else None


def _is_upper(bars: Bars, thickness_m: float) -> bool:
    below_top = bars.cover_m if bars.face is Face.TOP else thickness_m - bars.cover_m
    return below_top <= thickness_m / 2


def _counted(n: float, why: str) -> str:
    return f"{n:g} thicknesses of the floor, {why}"
