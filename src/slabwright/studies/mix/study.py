"""The study of the mix: what the job asks of the concrete, slump by stage, and the sheet for the dispatcher."""

from dataclasses import dataclass

from slabwright.errors import MissingInput, OutOfRange
from slabwright.model.concrete import Finish
from slabwright.model.job import ConcreteStandard, Job
from slabwright.model.steel import Zone
from slabwright.model.supply import Mix
from slabwright.results.check import Ask, Check
from slabwright.results.lines import Task
from slabwright.results.notes import Notes
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause
from slabwright.standards import aci_211_1, aci_318_19_acceptance, astm_c94, astm_c138
from slabwright.standards.aci_318_19 import ACI_318_19
from slabwright.standards.bars import bar
from slabwright.standards.mesh import mesh
from slabwright.studies import pour_window, shape
from slabwright.studies.mix.ordered_heat import ordered_heat
from slabwright.studies.mix.present import present
from slabwright.studies.mix.stages import PlacingStage, placing_stages
from slabwright.studies.mix.temperature import FreshHeat
from slabwright.study import Done, Inputs, Result, Stage, Study
from slabwright.units import LENGTH, PRESSURE, PSI_PA, VOLUME, Family, format_quantity

AGGREGATE_SIZE = Clause(
    ACI_318_19, "26.4.2.1(a): a third of the slab, a fifth of the form, three quarters of the clear spacing", Basis.MEMORY
)
YIELD_SPREAD = 0.03
"""How far a unit weight that was not measured may mislead the yield; a choice, no source."""
VOLUME_SPREAD = 0.03
"""How far usual densities may mislead the sum of volumes; a choice, no source."""
OVERDESIGN = Clause(ACI_318_19, "required mean without records, as in earlier editions and ACI 301", Basis.MEMORY)


@dataclass(frozen=True, slots=True, kw_only=True)
class MixResult(Result):
    """The concrete asked for.

    Attributes
    ----------
    stages : tuple of PlacingStage
    water : WaterToAdd or None
        What may still go into a full load on site, where the batch weights are known.
    n_samples : int
        Strength samples of the day.
    heat : FreshHeat or None
        How it comes to its temperature, where the supplier's weights are known.
    first : FirstMix or None
        A first proportioning to lay beside the supplier's; None outside its tables.
    required_mean_pa : float
        Mean strength the supplier has to aim at without records. [Pa]
    """

    stages: tuple[PlacingStage, ...]
    water: astm_c94.WaterToAdd | None
    n_samples: int
    heat: FreshHeat | None
    first: aci_211_1.FirstMix | None
    required_mean_pa: float


def run(inputs: Inputs, done: Done) -> MixResult:
    """Work out what to ask of the supplier."""
    job = inputs.job
    if job.mix is None:
        raise MissingInput("the concrete: write [mix] strength.")
    amounts = done.part(shape.AMOUNTS)
    stages = placing_stages(job, amounts.total_m3 - amounts.floor_m3, amounts.floor_m3)
    notes = Notes()
    mean = required_mean_pa(job.mix.strength_pa)
    _aggregate(job, job.mix, notes)
    _water_cement(job, job.mix, mean, notes)
    _yield(job.mix, notes)
    _time_limit(job.mix, notes)
    _fibres(job.mix, notes)
    heat = ordered_heat(job, done.get(pour_window.STUDY), notes)
    samples = aci_318_19_acceptance.n_samples(volume_m3=amounts.total_m3, area_m2=amounts.area_m2)
    _tests(samples, amounts.total_m3, job.family, notes)
    return MixResult(
        answer=_answer(job, job.mix, stages),
        stages=stages,
        water=_spare_water(job, job.mix),
        n_samples=samples,
        heat=heat,
        first=_first(job.mix, mean, stages[-1].slump_m),
        required_mean_pa=mean,
        **notes.as_fields(),
    )


def required_mean_pa(strength_pa: float) -> float:
    """Mean strength to aim at where the supplier has no records: 1,000 psi more below 3,000, 1,200 to 5,000, 1.1 f'c + 700 above. [Pa]"""
    psi = strength_pa / PSI_PA
    more = psi + 1000 if psi < 3000 else psi + 1200 if psi <= 5000 else 1.1 * psi + 700
    return more * PSI_PA


def _aggregate(job: Job, mix: Mix, notes: Notes) -> None:
    thinnest = min([job.floor.thickness_m, *(region.thickness_m for region in job.floor.thickness_regions)])
    limits = [("aggregate", "Largest stone against a third of the floor", "floor", thinnest / 3)]
    if job.edge is not None:
        limits.append(("aggregate.edge", "Largest stone against a fifth of the edge between form and trench", "edge", job.edge.width_m / 5))
    clear = clear_spacings(job)
    if clear:
        where, spacing = min(clear, key=lambda pair: pair[1])
        limits.append(("aggregate.bars", "Largest stone against three quarters of the narrowest clear spacing", where, 0.75 * spacing))
    for key, name, where, limit in limits:
        notes.at_most(
            key, name, where, found=mix.aggregate_size_m, limit=max(limit, 1e-9), suffix="m", clause=AGGREGATE_SIZE,
            remedy="Order a smaller stone.",
        )  # fmt: skip


def clear_spacings(job: Job) -> list[tuple[str, float]]:
    """Clear room between bars or wires, by where: bars at a spacing, bars counted across the edge, mesh. [m]"""
    found = []
    for bars in job.bars:
        diameter = bar(size=bars.size).diameter_m
        if bars.spacing_m:
            found.append((f"{bars.zone.value}, {bars.size}", bars.spacing_m - diameter))
        elif bars.zone is Zone.EDGE and job.edge is not None and (bars.n_bars or 0) > 1:
            n = bars.n_bars or 0
            found.append((f"edge, {n} {bars.size} {bars.face.value}", (job.edge.width_m - 2 * bars.cover_m - n * diameter) / (n - 1)))
    if job.mesh is not None:
        wires = mesh(style=job.mesh.style)
        found.append(("mesh", min(wires.wire_spacing_m - wires.wire_diameter_m, wires.cross_wire_spacing_m - wires.cross_wire_diameter_m)))
    return found


def _first(mix: Mix, mean_pa: float, slump_m: float) -> "aci_211_1.FirstMix | None":
    """A first proportioning, where its tables reach."""
    try:
        return aci_211_1.first_mix(
            strength_pa=mean_pa, slump_m=slump_m, aggregate_size_m=mix.aggregate_size_m, air=mix.air or 0.0, max_w_cm=mix.w_cm
        )
    except OutOfRange:
        return None


def _water_cement(job: Job, mix: Mix, mean_pa: float, notes: Notes) -> None:
    """The supplier's weights against the ratio ordered, and the ratio against the strength."""
    batched = mix.water_kg_m3 / mix.cement_kg_m3 if mix.water_kg_m3 and mix.cement_kg_m3 else None
    if batched is not None and mix.w_cm is not None:
        notes.at_most(
            "water",
            "Water-cement ratio of the weights given",
            "mix",
            found=batched,
            limit=mix.w_cm,
            suffix="",
            clause=astm_c94.WATER_CEMENT,
            remedy="Ask the supplier for less water or more cement.",
        )
    ratio = batched or mix.w_cm
    if ratio is not None and job.codes.concrete is ConcreteStandard.ACI_318_19:
        usual = aci_211_1.w_cm_for_strength(strength_pa=mean_pa, air_entrained=(mix.air or 0.0) > 0.03)
        if ratio > 1.05 * usual:
            notes.ask(
                Ask.SUPPLIER,
                f"The ratio of {ratio:.2f} is higher than the {usual:.2f} usual for this strength: which records support the mix?",
                "mix",
                aci_211_1.WATER_CEMENT,
            )


def _yield(mix: Mix, notes: Notes) -> None:
    """What the weights of one cubic metre fill: by the unit weight stated, and by the room that ingredients and air take."""
    if not (mix.cement_kg_m3 and mix.water_kg_m3 and mix.aggregate_kg_m3):
        return
    work = Working()
    mass = mix.cement_kg_m3 + mix.water_kg_m3 + mix.aggregate_kg_m3
    made = astm_c138.load_yield(batch_mass_kg=mass, unit_weight_kg_m3=mix.unit_weight_kg_m3, designed_m3=1.0, working=work)
    filled = aci_211_1.absolute_volume_m3(
        cement_kg=mix.cement_kg_m3,
        water_kg=mix.water_kg_m3,
        aggregate_kg=mix.aggregate_kg_m3,
        air=mix.air or aci_211_1.TRAPPED_AIR,
    )
    notes.checks.append(
        Check(
            key="yield", name="Volume that the weights give at the unit weight stated, of the volume ordered", where="mix",
            demand=1.0 - YIELD_SPREAD, capacity=made.relative, suffix="", clause=astm_c138.YIELD, steps=tuple(work.steps),
            remedy="The load is short: ask the supplier for the mix's own unit weight, or order more.",
        )
    )  # fmt: skip
    if abs(filled - 1.0) > VOLUME_SPREAD:
        notes.ask(
            Ask.SUPPLIER,
            f"The weights given fill {filled:.3f} of the volume they are for, by usual densities: are stone and sand weighed dry or wet?",
            "mix",
            aci_211_1.ABSOLUTE_VOLUMES,
        )


def _time_limit(mix: Mix, notes: Notes) -> None:
    if mix.time_limit_s is None:
        notes.ask(
            Ask.SUPPLIER,
            "Which time limit from batching to discharge is agreed? It must be stated before delivery and stand on each ticket.",
            "order",
            astm_c94.TIME_LIMIT,
        )


def _fibres(mix: Mix, notes: Notes) -> None:
    if mix.fibre_kg_m3 > 0:
        notes.ask(
            Ask.ENGINEER,
            "Fibres are ordered. They hold plastic cracks small; do they replace any bars or mesh here?",
            "mix",
        )


def _tests(samples: int, volume_m3: float, family: Family, notes: Notes) -> None:
    word = "sample" if samples == 1 else "samples"
    what = f"Take {samples} {word} for strength from the middle of a load, and one set cured on site for release of the frame."
    notes.tasks.append(Task(what=what, who="tester", when="while placing", where="at the chute"))
    if volume_m3 < aci_318_19_acceptance.WAIVER_VOLUME_M3:
        limit = format_quantity(aci_318_19_acceptance.WAIVER_VOLUME_M3, VOLUME, family, digits=2)
        notes.ask(
            Ask.BUILDING_DEPARTMENT,
            f"The pour is under {limit}: are strength tests waived on evidence?",
            "tests",
            aci_318_19_acceptance.FREQUENCY,
        )
    notes.caution("Fresh concrete burns the skin: never kneel in it, wash at once, change wet clothes.")


def _spare_water(job: Job, mix: Mix) -> astm_c94.WaterToAdd | None:
    if not (mix.water_kg_m3 and mix.cement_kg_m3 and mix.w_cm):
        return None
    return astm_c94.water_to_add(
        cementitious_kg_m3=mix.cement_kg_m3, water_kg_m3=mix.water_kg_m3, max_w_cm=mix.w_cm, load_m3=job.plant.truck_m3
    )


def _answer(job: Job, mix: Mix, stages: tuple[PlacingStage, ...]) -> str:
    strength = format_quantity(mix.strength_pa, PRESSURE, job.family)
    stone = format_quantity(mix.aggregate_size_m, LENGTH, job.family)
    air = f"{100 * mix.air:g} % air" if mix.air else "no air added"
    if mix.air and job.floor.finish is Finish.TROWEL:
        air += " under a trowel"
    slumps = ", ".join(f"{format_quantity(one.slump_m, LENGTH, job.family)} for {_named(one)}" for one in stages)
    return f"Order *{strength}*, {stone} stone, {air}; slump {slumps}."


def _named(stage: PlacingStage) -> str:
    return "everything" if stage.name == "all" else f"the {stage.name}"


STUDY = Study(
    key="mix",
    question="Which concrete do we order?",
    stage=Stage.PLACING,
    run=run,
    present=present,
    reads=frozenset({"family", "codes", "floor", "edge", "bars", "mesh", "mix", "crew", "plant"}),
    parts=(shape.AMOUNTS,),
    hears=(pour_window.STUDY,),
)
