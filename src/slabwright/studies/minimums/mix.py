"""Exposure classes against strength, water-cement ratio and air."""

from slabwright.errors import OutOfRange
from slabwright.model.concrete import Finish
from slabwright.model.job import ConcreteStandard, Enclosure, Job
from slabwright.model.supply import Mix
from slabwright.results.check import Ask
from slabwright.results.notes import Notes
from slabwright.sources import Basis, Clause, Source
from slabwright.standards import aci_318_19_durability as aci
from slabwright.standards import en_206

_FREEZING = ("F1", "F2", "F3")
_FLOOR_GUIDE = Source("ACI 302.1R", "Guide to Concrete Floor and Slab Construction")
TROWELLED_AIR = Clause(_FLOOR_GUIDE, "no entrained air and at most 3 per cent in all under a hard trowel", Basis.QUOTED)
TROWELLED_AIR_LIMIT = 0.03


def check_mix(job: Job, notes: Notes) -> None:
    """The concrete asked for."""
    if job.mix is None:
        notes.ask(Ask.SUPPLIER, "Which strength is ordered? The job file has no mix, so durability is not checked.", "mix")
        return
    classes = job.mix.exposure or _assumed_classes(job, notes)
    try:
        if job.codes.concrete is ConcreteStandard.ACI_318_19:
            _american(job.mix, classes, notes)
        else:
            _european(job.mix, classes, notes)
    except OutOfRange as error:
        notes.ask(Ask.ENGINEER, f"Which exposure classes apply? {error}", "mix.exposure")
    _trowelled(job, notes)


def _assumed_classes(job: Job, notes: Notes) -> tuple[str, ...]:
    american = job.codes.concrete is ConcreteStandard.ACI_318_19
    classes: tuple[str, ...]
    if job.building.enclosure is Enclosure.OPEN:
        classes = ("F1", "S0", "W0", "C0") if american else ("XC4", "XF1")
    else:
        classes = ("F0", "S0", "W0", "C0") if american else ("XC2",)
    notes.assume(
        "mix.exposure",
        f"Exposure is read as {', '.join(classes)} from the kind of building; the engineer confirms.",
        aci.EXPOSURE_LIMITS if american else en_206.MIX_LIMITS,
    )
    return classes


def _american(mix: Mix, classes: tuple[str, ...], notes: Notes) -> None:
    limits = aci.exposure_limits(classes=classes)
    named = ", ".join(classes)
    _strength_and_water(mix, named, limits.strength_pa, limits.w_cm, aci.EXPOSURE_LIMITS, notes)
    freezing = next((name for name in classes if name.strip().upper() in _FREEZING), None)
    if freezing is None:
        return
    target = aci.total_air(exposure_class=freezing, aggregate_size_m=mix.aggregate_size_m, strength_pa=mix.strength_pa)
    if mix.air is None:
        notes.ask(
            Ask.SUPPLIER,
            f"Class {freezing} asks for {100 * target:.1f} per cent of air. Is it in the mix? The job file does not say.",
            "mix.air",
            aci.AIR_CONTENT,
        )
        return
    notes.at_least(
        "mix.air.least",
        f"Air for class {freezing}, least",
        "mix",
        required=target - aci.AIR_TOLERANCE,
        provided=mix.air,
        suffix="",
        clause=aci.AIR_CONTENT,
        remedy="Order more air.",
    )
    notes.at_most(
        "mix.air.most",
        f"Air for class {freezing}, most",
        "mix",
        found=mix.air,
        limit=target + aci.AIR_TOLERANCE,
        suffix="",
        clause=aci.AIR_CONTENT,
    )


def _european(mix: Mix, classes: tuple[str, ...], notes: Notes) -> None:
    limits = en_206.mix_limits(classes=classes)
    _strength_and_water(mix, ", ".join(classes), limits.strength_pa, limits.w_cm, en_206.MIX_LIMITS, notes)
    if mix.cement_kg_m3 is not None:
        notes.at_least(
            "mix.cement",
            "Cement content",
            "mix",
            required=limits.cement_kg_m3,
            provided=mix.cement_kg_m3,
            suffix="kg_m3",
            clause=en_206.MIX_LIMITS,
        )
    if limits.air and mix.air is not None:
        notes.at_least("mix.air.least", "Air, least", "mix", required=limits.air, provided=mix.air, suffix="", clause=en_206.MIX_LIMITS)


def _strength_and_water(mix: Mix, named: str, strength_pa: float, w_cm: float | None, clause: Clause, notes: Notes) -> None:
    notes.at_least(
        "mix.strength",
        f"Strength for {named}",
        "mix",
        required=strength_pa,
        provided=mix.strength_pa,
        suffix="pa",
        clause=clause,
        remedy="Order a stronger mix.",
    )
    if w_cm is None:
        return
    if mix.w_cm is None:
        notes.ask(
            Ask.SUPPLIER, f"Class {named} limits the water-cement ratio to {w_cm:.2f}. What is it in the mix offered?", "mix.w_cm", clause
        )
    else:
        notes.at_most("mix.water", f"Water-cement ratio for {named}", "mix", found=mix.w_cm, limit=w_cm, suffix="", clause=clause)


def _trowelled(job: Job, notes: Notes) -> None:
    if job.mix is not None and job.floor.finish is Finish.TROWEL and job.mix.air is not None:
        notes.at_most(
            "mix.air.trowel",
            "Air under a hard trowel",
            "floor",
            found=job.mix.air,
            limit=TROWELLED_AIR_LIMIT,
            suffix="",
            clause=TROWELLED_AIR,
            remedy="Broom or float the floor, or order it without entrained air.",
        )
