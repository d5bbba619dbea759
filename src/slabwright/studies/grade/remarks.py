"""What the grade says in words: checks, tasks, cautions, lines of the order list."""

from dataclasses import dataclass

from slabwright.model.job import Job
from slabwright.model.survey import BaseSurvey
from slabwright.results.check import Ask, Check
from slabwright.results.lines import QuantityLine, Task, Trade
from slabwright.results.notes import Notes
from slabwright.sources import arithmetic, practice
from slabwright.standards.aci_117_10 import FINE_GRADE, SLAB_THICKNESS
from slabwright.standards.order_quantity import BATCH_STEP
from slabwright.standards.ready_mix import LOADS, ORDER_RANGE, truck_count
from slabwright.studies.grade.order import RISK, SCATTER, OrderOutlook
from slabwright.studies.grade.surface import BUMPS, UNSURVEYED, BaseSurface
from slabwright.studies.grade.thickness import N_SAMPLES, ThicknessOutlook
from slabwright.studies.grade.trench import Overdig
from slabwright.studies.grade.trim import Trim
from slabwright.units import AREA, FOOT_M, LENGTH, VOLUME, Family, format_number, format_quantity

FIELD = arithmetic("surface fitted to the shots with its uncertainty (kriging, variogram fitted by restricted likelihood)")
SHOT_SPACING_M = 12 * FOOT_M
TRIANGLES_APART_M = 0.004
_WELL_OVER = 0.15
_LEAST_TRIM_M3 = 0.05


@dataclass(frozen=True, slots=True)
class GradeWords:
    """Figures as the answers tell them."""

    family: Family

    def volume(self, value_m3: float) -> str:
        """Concrete, to the plant's step."""
        return format_quantity(value_m3, VOLUME, self.family, digits=4)

    def size(self, value_m: float) -> str:
        """To the eighth of an inch, or the millimetre."""
        return format_quantity(value_m, LENGTH, self.family)

    def place(self, at: tuple[float, float]) -> str:
        """A place on the plan, east and north."""
        unit, factor = ("ft", FOOT_M) if self.family is Family.US else ("m", 1.0)
        return f"({format_number(at[0] / factor, 3)}, {format_number(at[1] / factor, 3)}) {unit}"

    def balance(self, order: OrderOutlook) -> str:
        """The range of what is held."""
        low = format_quantity(order.balance_low_m3, VOLUME, self.family, digits=2)
        return f"{low.split()[0]} to {self.volume(order.balance_high_m3)}"

    def loads(self, order: OrderOutlook) -> str:
        """Loads ordered outright and what is held, in words."""
        held = f"{self.balance(order)} held until measured"
        return f"{order.n_full} loads of {self.volume(order.truck_m3)}, the rest of {held}" if order.n_full else held


def words(family: Family) -> GradeWords:
    """The words of a family."""
    return GradeWords(family)


def say_survey(surface: BaseSurface, survey: BaseSurvey | None, family: Family, notes: Notes) -> None:
    """What was measured, what was not used, and whether two ways of joining the shots agree."""
    say = words(family)
    if not surface.measured:
        notes.assume("site, base survey", "The base lies 1/4 in. (6 mm) low on the average, give or take 0.3 in. (8 mm).", UNSURVEYED)
        notes.assume("site, base survey", "Its bumps scatter by 1/2 in. (13 mm).", BUMPS)
        what = f"shoot the base on a grid of {say.size(SHOT_SPACING_M)} or less, and at every break, with the form tops"
        notes.tasks.append(Task(what=what, who="crew lead", when="when the base is compacted, before the sheet"))
        return
    if survey is not None:
        for gone in survey.rejected:
            notes.caution(f"Not used: {gone.name}, {gone.reason}")
        level, datum = say.size(survey.instrument.level_sd_m), say.size(survey.instrument.datum_sd_m)
        statement = f"The {survey.instrument.name} reads to {level}, and all its levels share an error of {datum}."
        notes.assume("site, base survey", statement, practice("one standard deviation of common instruments on a small site"))
    if surface.triangulated_m is not None and surface.field_there_m is not None:
        apart = surface.triangulated_m - surface.field_there_m
        if abs(apart) > TRIANGLES_APART_M:
            notes.caution(
                f"Joined by triangles the shots give a base {say.size(abs(apart))} {'lower' if apart > 0 else 'higher'}: shoot more.", FIELD
            )


def say_thickness(surface: BaseSurface, found: ThicknessOutlook, job: Job, notes: Notes) -> None:
    """Checks of the thickness rules at the shots, and the chances between them."""
    if not surface.measured:
        return
    say, limits = words(job.family), job.tolerances
    thinnest = min(surface.shots, key=lambda shot: shot.deviation_m)
    mean = sum(shot.thickness_m for shot in surface.shots) / len(surface.shots)
    drawn = sum(shot.design_m for shot in surface.shots) / len(surface.shots)
    single = thinnest.design_m - limits.thickness_minus_single_m
    rows = (
        ("single", "thinnest single sample", say.place(thinnest.at), single, thinnest.thickness_m, surface.datum_sd_m),
        ("mean", "mean of the samples", "whole floor", drawn - limits.thickness_minus_mean_m, mean, found.bias_sd_m),
    )
    for key, name, where, required, provided, spread in rows:
        notes.checks.append(
            Check(
                key=f"thickness.{key}",
                name=name,
                where=where,
                demand=required,
                capacity=max(provided, 1e-6),
                suffix="m",
                clause=SLAB_THICKNESS,
                method=FIELD,
                spread=spread / max(provided, 1e-6),
                remedy="Shave the base where marked and shoot it again.",
            )
        )
    if found.chance_sample_low > 0.05:
        share, odds = f"{100 * found.thin_share:.1f} %", round(100 * found.chance_sample_low)
        notes.caution(f"As it lies, {share} of the floor would be too thin; {N_SAMPLES} cores would show it in {odds} of 100 cases.", FIELD)


def say_trim(work: Trim, family: Family, notes: Notes) -> None:
    """Spots to shave and fill, and the check that the band is kept."""
    say = words(family)
    for spot in work.spots[:12]:
        verb = "shave" if spot.depth_m > 0 else "fill"
        area = format_quantity(spot.area_m2, AREA, family, digits=2)
        what = f"{verb} {say.size(abs(spot.depth_m))} at {say.place(spot.at)}, tapering out over {area}"
        notes.tasks.append(Task(what=what, who="grade crew", when="before the sheet", where=say.place(spot.at)))
    if len(work.spots) > 12:
        notes.caution(f"{len(work.spots) - 12} smaller spots to shave or fill stand on the map only.", FINE_GRADE)
    if work.spots:
        notes.tasks.append(Task(what="compact what was filled and shoot the spots again", who="grade crew", when="before the sheet"))


def say_trench(over: tuple[Overdig, ...], notes: Notes) -> None:
    """Loose crumbs are settlement, not concrete."""
    for one in over:
        if one.mean > _WELL_OVER:
            verb = "are" if one.part == "pads" else "is"
            notes.caution(f"The {one.part} {verb} dug {100 * one.mean:.0f} % over the drawing; no loose fill goes back under the concrete.")
            notes.ask(Ask.ENGINEER, f"The {one.part} {verb} dug well over the drawing: may the concrete follow the hole?", one.part)


def say_order(order: OrderOutlook, surface: BaseSurface, job: Job, notes: Notes) -> None:
    """How the order was made up and how the last load is held."""
    say = words(job.family)
    notes.assume("site, order", "Scatter of what is not measured: see the parts of the order.", SCATTER)
    if not any(part.key == "overdig" and part.measured for part in order.parts) and job.edge is not None:
        notes.assume("site, trench", "The base over the edge lies as the rest, and the trench is dug as the order list allows.", SCATTER)
    notes.tasks.append(
        Task(what=f"order {say.loads(order)}; call it while the last full load is placed", who="contractor", when="the day before")
    )
    cheapest = order.cheapest
    if surface.measured and cheapest is not None and cheapest.chance_short > RISK:
        found = (
            f"In money alone {say.volume(cheapest.order_m3)} is cheapest, and short in {round(100 * cheapest.chance_short)} of 100 cases"
        )
        notes.caution(f"{found}; a cold joint is not in that reckoning.", ORDER_RANGE)


def order_lines(order: OrderOutlook, work: Trim | None, surface: BaseSurface, job: Job) -> tuple[QuantityLine, ...]:
    """Where the base was measured: the concrete order, its measured parts, and what goes to and from the base."""
    if not surface.measured or work is None:
        return ()
    say = words(job.family)
    mean = order.neat_m3 + sum(part.mean_m3 for part in order.parts)
    margin = order.quantile_m3(1.0 - RISK) - mean
    lines = [
        QuantityLine(
            key="concrete", item="Concrete to order", quantity=order.order_m3, suffix="m3", trade=Trade.CONCRETE,
            basis=f"{say.volume(mean)} expected on the base as surveyed, and a margin to run short in 1 case of 20",
            waste=order.order_m3 / order.neat_m3 - 1.0,
            waste_reason="each allowance below, the margin and the rounding", clause=ORDER_RANGE,
        )
    ]  # fmt: skip
    for part in order.parts:
        if part.measured:
            lines.append(_part(part.key, f"allowance, {part.item}", part.mean_m3, f"measured, give or take {say.volume(part.sd_m3)}"))
    lines.append(_part("margin", "margin against running short", margin, "from the scatter of everything above"))
    lines.append(
        QuantityLine(
            key="concrete.rounding", item="rounding up", quantity=order.order_m3 - mean - margin, suffix="m3", trade=Trade.CONCRETE,
            basis="to the plant's step", clause=BATCH_STEP, part_of="concrete",
        )
    )  # fmt: skip
    lines.append(
        QuantityLine(
            key="concrete.loads", item="Truck loads", suffix="", unit="loads", trade=Trade.CONCRETE, clause=LOADS,
            quantity=float(truck_count(volume_m3=order.order_m3, truck_m3=order.truck_m3).n_loads), basis=say.loads(order),
        )
    )  # fmt: skip
    net = work.fill_m3 - work.shave_m3
    factor = (job.base.shrink_factor if job.base is not None else None) or 1.0
    if abs(net) > _LEAST_TRIM_M3:
        item = "Base material to bring" if net > 0 else "Base material to take away"
        basis = f"{say.volume(work.shave_m3)} shaved, {say.volume(work.fill_m3)} filled, in place"
        lines.append(
            QuantityLine(
                key="base.trim", item=item, quantity=abs(net) * factor, suffix="m3", trade=Trade.EARTHWORK,
                basis=f"{basis}; loose x {factor:g}", clause=FINE_GRADE,
            )
        )  # fmt: skip
    return tuple(lines)


def _part(key: str, item: str, volume_m3: float, basis: str) -> QuantityLine:
    return QuantityLine(
        key=f"concrete.{key}",
        item=item,
        quantity=volume_m3,
        suffix="m3",
        trade=Trade.CONCRETE,
        basis=basis,
        clause=FIELD,
        part_of="concrete",
    )
