"""The study of moisture and sweating."""

from dataclasses import dataclass
from datetime import UTC, timedelta

import numpy as np

from slabwright.early_age.drivers import drivers
from slabwright.errors import MissingInput
from slabwright.model.ground import Retarder
from slabwright.model.job import Enclosure, Job
from slabwright.model.weather import Weather
from slabwright.results.check import Ask
from slabwright.results.lines import Task
from slabwright.results.notes import Notes
from slabwright.sources import practice
from slabwright.standards import vapour_flow
from slabwright.standards.astm_e1745 import SHEET_CLASSES
from slabwright.standards.vapour_flow import PERM_KG_PA_S_M2, DryingTime, RetarderClass, VapourDrive, drying_time, permeance_flow
from slabwright.standards.wmo_8 import MAGNUS
from slabwright.studies.moisture.present import MONTHS, present
from slabwright.studies.moisture.rooms import ROOMS, Room, room
from slabwright.studies.moisture.year import EDGE_STRIP, Year, a_year, variants
from slabwright.study import Done, Inputs, Result, Stage, Study

LEAST_HOURS = 8000
CONCRETE_PERM_IN = 3.2
CONCRETE_PERMEABILITY = practice("concrete lets 3.2 perm-inches of vapour through")
SWEATS_OFTEN_H = 100
DEFAULT_WEIGHT_KG_M3 = 2400.0


@dataclass(frozen=True, slots=True, kw_only=True)
class MoistureResult(Result):
    """A year of the floor.

    Attributes
    ----------
    years : tuple of Year
        As drawn first.
    room : Room
    months : tuple of int
        Month of each hour, 1 to 12.
    drives : dict
        Retarder class to vapour drive by month, January first.
    own_drive : tuple of VapourDrive
        With the job's own sheet, or none.
    drying : DryingTime
    enclosure : Enclosure
    """

    years: tuple[Year, ...]
    room: Room
    months: tuple[int, ...]
    drives: dict[str, tuple[VapourDrive, ...]]
    own_drive: tuple[VapourDrive, ...]
    drying: DryingTime
    enclosure: Enclosure


def run(inputs: Inputs, done: Done) -> MoistureResult:  # noqa: ARG001 - needs no other study
    """Carry the floor through a typical year."""
    job, notes = inputs.job, Notes()
    climate = _climate(inputs.site.climate, inputs.site.weather)
    outside = drivers(climate, job.place)
    over = room(job.building.enclosure, outside)
    months = np.array(
        [(climate.start.astimezone(UTC) + timedelta(hours=hour)).astimezone(climate.start.tzinfo).month for hour in range(outside.n_hours)]
    )
    weight = job.mix.unit_weight_kg_m3 if job.mix is not None else DEFAULT_WEIGHT_KG_M3
    years = tuple(
        a_year(variant, job.floor.thickness_m, weight, job.soil, job.base, over, outside)
        for variant in variants(job.insulation, has_edge=job.edge is not None)
    )
    own = _drive(job.retarder, job.floor.thickness_m, years[0], over, months)
    drives = {
        f"class {name.value}": _through(limit * PERM_KG_PA_S_M2, job.floor.thickness_m, years[0], over, months)
        for name, limit in vapour_flow.CLASS_LIMIT_PERM.items()
    }
    drives["no sheet"] = _through(None, job.floor.thickness_m, years[0], over, months)
    drying = drying_time(thickness_m=job.floor.thickness_m)
    _check(job, own, notes)
    _say(job, years, drying, notes)
    return MoistureResult(
        answer=_answer(job, years, months),
        years=years,
        room=over,
        months=tuple(int(month) for month in months),
        drives=drives,
        own_drive=own,
        drying=drying,
        enclosure=job.building.enclosure,
        **notes.as_fields(),
    )


def _climate(climate: Weather | None, weather: Weather | None) -> Weather:
    for found in (climate, weather):
        if found is not None and found.hours.n_hours >= LEAST_HOURS:
            return found
    raise MissingInput("needs a year of hourly weather of the place; put climate.epw (a typical year) or climate.csv beside the job file.")


def _sheet_permeance(retarder: Retarder) -> float:
    """What the job states, else the most that the sheet standard allows. [kg/(Pa·s·m²)]"""
    return retarder.permeance_kg_pa_s_m2 or vapour_flow.CLASS_LIMIT_PERM[RetarderClass.I] * PERM_KG_PA_S_M2


def _drive(retarder: Retarder | None, thickness_m: float, year: Year, over: Room, months: np.ndarray) -> tuple[VapourDrive, ...]:
    return _through(None if retarder is None else _sheet_permeance(retarder), thickness_m, year, over, months)


def _through(sheet: float | None, thickness_m: float, year: Year, over: Room, months: np.ndarray) -> tuple[VapourDrive, ...]:
    """Vapour from wet soil through sheet and slab in series, on the mean temperatures of each month."""
    slab = CONCRETE_PERM_IN * PERM_KG_PA_S_M2 / (thickness_m / 0.0254)
    permeance = slab if sheet is None else 1.0 / (1.0 / sheet + 1.0 / slab)
    found = []
    for month in range(1, 13):
        here = months == month
        if not here.any():
            found.append(VapourDrive(0.0, 0.0))
            continue
        air, vapour = float(over.air_c[here].mean()), float(over.vapour_pa[here].mean())
        humidity = float(np.clip(vapour / (611.2 * np.exp(17.62 * air / (243.12 + air))), 0.0, 1.0))
        found.append(
            permeance_flow(
                permeance_kg_pa_s_m2=permeance, soil_temp_c=float(year.below_c[here].mean()), room_temp_c=air, room_humidity=humidity
            )
        )
    return tuple(found)


def _check(job: Job, own: tuple[VapourDrive, ...], notes: Notes) -> None:
    worst = max(own, key=lambda drive: drive.flow_kg_m2_s)
    if job.building.floor_covering:
        notes.at_most(
            "vapour",
            "Vapour from the soil in the worst month, against what coverings stand",
            "floor",
            found=max(worst.flow_kg_m2_s, 0.0),
            limit=vapour_flow.FLOORING_LIMIT_KG_M2_S,
            suffix="kg_m2_s",
            clause=vapour_flow.FLOORING_FLOW,
            remedy="A sheet of a better class.",
        )
        notes.ask(
            Ask.OWNER,
            "Which covering is to be laid, and which moisture test and limit does its maker ask for?",
            "floor",
            vapour_flow.FLOORING_FLOW,
        )


def _say(job: Job, years: tuple[Year, ...], drying: DryingTime, notes: Notes) -> None:
    if job.retarder is not None and job.retarder.permeance_kg_pa_s_m2 is None:
        notes.assume("retarder.permeance", "the sheet lets 0.1 perm through, the most its standard allows", SHEET_CLASSES)
    if job.retarder is None and job.building.enclosure is not Enclosure.OPEN:
        notes.ask(
            Ask.OWNER,
            "Without a sheet the floor may never be dry enough for a covering or stored goods: is that wanted?",
            "retarder",
            vapour_flow.DRYING_RULE,
        )
    notes.assume("building.enclosure", f"air over the floor: {job.building.enclosure.value}", ROOMS)
    notes.assume("edge", "how the outer strip of the floor answers to the outside", EDGE_STRIP)
    notes.assume("floor", "vapour through the slab itself", CONCRETE_PERMEABILITY)
    if int(years[0].wet.sum()) > 0:
        notes.caution(
            "A sweating floor is slippery: warn who walks and drives on it, spread or dry it; the owner decides on ventilation and heat.",
            MAGNUS,
        )
    if job.building.floor_covering:
        notes.tasks.append(
            Task(
                what=f"Begin to test for moisture {drying.low_days:.0f} to {drying.high_days:.0f} days after the building is closed; "
                "lay nothing before a test passes.",
                who="floor layer",
                when="before the covering is ordered",
            )
        )


def _answer(job: Job, years: tuple[Year, ...], months: np.ndarray) -> str:
    first, second = years[0], years[1]
    hours = int(first.wet.sum())
    kind = {
        Enclosure.OPEN: "under its open roof",
        Enclosure.ENCLOSED: "in the closed, unheated building",
        Enclosure.HEATED: "in the heated building",
    }
    if hours == 0:
        return f"The floor *does not sweat* {kind[job.building.enclosure]} in a typical year."
    by_month = first.hours_by_month(months)
    worst = MONTHS[int(np.argmax(by_month))]
    other = f"{second.variant.name.partition(', ')[2]}, {int(second.wet.sum())} hours"
    return (
        f"Expect the floor to sweat *{hours} hours* a year {kind[job.building.enclosure]}, most in {worst} ({max(by_month)}); with {other}."
    )


STUDY = Study(
    key="moisture",
    question="When does the floor sweat, and what rises from the soil?",
    stage=Stage.CURING,
    run=run,
    present=present,
    reads=frozenset(
        {"family", "place", "building", "floor", "edge", "soil", "base", "retarder", "insulation", "mix", "site.climate", "site.weather"}
    ),
)
