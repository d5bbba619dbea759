"""The study of the pour day: trucks, order of placing, and what may go wrong, from thousands of simulated days."""

from dataclasses import dataclass

from slabwright.errors import MissingInput
from slabwright.model.job import Job
from slabwright.model.site import Site
from slabwright.results.check import Ask, Check
from slabwright.results.lines import Task
from slabwright.results.notes import Notes
from slabwright.sources import arithmetic, practice
from slabwright.standards import astm_c94, placing_practice
from slabwright.studies import shape
from slabwright.studies.placement.choice import COSTS, HOLE_LIMIT, Choice, choose
from slabwright.studies.placement.day import METHOD_RATES, SCATTER, TRAVEL_H, Outcome, Supply, supply_of
from slabwright.studies.placement.lanes import Lanes
from slabwright.studies.placement.present import present
from slabwright.study import Done, Inputs, Result, Stage, Study
from slabwright.units import TEMPERATURE, VOLUME, VOLUME_RATE, Family, format_quantity

ORDER_ALLOWANCE = 1.05
"""Concrete placed over the drawn volume until the order study says more: common practice, 4 to 10 per cent."""
MILD_C = 21.0
LONG_DAY_H = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacementResult(Result):
    """The arrangement of the day.

    Attributes
    ----------
    supply : Supply
    lanes : Lanes
    choice : Choice
    knit_limit_h : float
        Age at which a lift can no longer be knitted. [h]
    limit_h : float or None
        Time limit from batching to the last chute. [h]
    """

    supply: Supply
    lanes: Lanes
    choice: Choice
    knit_limit_h: float
    limit_h: float | None


def run(inputs: Inputs, done: Done) -> PlacementResult:
    """Simulate the day and choose its arrangement."""
    job = inputs.job
    notes = Notes()
    supply = _supply(job, done[shape.STUDY].volumes.total_m3 * ORDER_ALLOWANCE, notes)
    temp = _temp_c(inputs.site, job.family, notes)
    knit = placing_practice.knit_limit_h(temp_c=temp)
    limit = job.mix.time_limit_s / 3600 if job.mix is not None and job.mix.time_limit_s else None
    if limit is not None and supply.out_h + supply.load_m3 / supply.rate_m3_h > limit:
        raise MissingInput(
            f"a plant near enough: the trip and unloading alone take {60 * (supply.out_h + supply.load_m3 / supply.rate_m3_h):.0f} min, "
            f"over the limit of {60 * limit:.0f} min; agree a longer limit with a retarder, or find a nearer plant."
        )
    lanes = Lanes.of(done[shape.STUDY].foundation)
    choice = choose(supply, lanes, n_trucks=job.plant.n_trucks, limit_h=limit, knit_limit_h=knit, prices=job.prices, seed=inputs.seed)
    _check(choice.best, knit, limit, notes)
    _say(job, choice.best, notes)
    return PlacementResult(
        answer=_answer(job.family, supply, choice.best, lanes),
        supply=supply,
        lanes=lanes,
        choice=choice,
        knit_limit_h=knit,
        limit_h=limit,
        **notes.as_fields(),
    )


def _supply(job: Job, volume_m3: float, notes: Notes) -> Supply:
    supply = supply_of(job, volume_m3)
    if not (job.crew.placing_rate_m3_h or job.plant.placing_rate_m3_h):
        shown = format_quantity(supply.rate_m3_h, VOLUME_RATE, job.family, digits=2)
        notes.assume("plant.placing_rate", f"Placing by {job.plant.method.value} at {shown}.", METHOD_RATES)
    if job.plant.travel_out_s is None:
        notes.assume("plant.travel_out", f"The trip takes {60 * TRAVEL_H:.0f} min.", practice("a plant half an hour away"))
    if job.plant.site_load_limit_m3 is not None and job.plant.site_load_limit_m3 < job.plant.truck_m3:
        notes.ask(Ask.SUPPLIER, "The road or the site takes less than a full truck: are part loads charged?", "plant.site_load_limit")
    notes.assume("plant", SCATTER.locator[0].upper() + SCATTER.locator[1:] + ".", SCATTER)
    notes.assume("prices", "Costs of waiting: " + COSTS.locator + ".", COSTS)
    return supply


def _temp_c(site: Site, family: Family, notes: Notes) -> float:
    """Mean air temperature of the working day, or a mild one. [°C]"""
    weather = site.weather
    if weather is None:
        shown = format_quantity(MILD_C, TEMPERATURE, family, digits=2)
        notes.assume("weather.csv", f"The day is mild, {shown}; put the forecast beside the job file.", placing_practice.WAIT_TO_FLOAT)
        return MILD_C
    hours = [weather.hours.air_temp_c[i] for i in range(weather.hours.n_hours) if 7 <= weather.at(i).hour <= 15][:9]
    mean = sum(hours) / len(hours) if hours else MILD_C
    if mean <= 0:
        raise MissingInput("a warmer day: at or below freezing there is no set time to plan by; heat and cover, or wait.")
    return mean


def _check(best: Outcome, knit_h: float, limit_h: float | None, notes: Notes) -> None:
    worst = int(best.knit_h.argmax()) if best.knit_h.size else 0
    notes.checks.append(
        Check(
            key="knit",
            name="Age of the ring when the floor covers it, one day in ten older",
            where=f"lane {worst + 1}",
            demand=float(best.knit_h.max()),
            capacity=knit_h,
            suffix="h",
            clause=placing_practice.LIVE_SHARE,
            method=placing_practice.WAIT_TO_FLOAT,
            spread=0.2,
            remedy="Run the ring only one lane ahead, place faster, or order a retarder.",
        )
    )
    if limit_h is not None:
        notes.checks.append(
            Check(
                key="age",
                name="Age of the oldest load at its last chute, one day in ten older",
                where="at the chute",
                demand=best.oldest_h,
                capacity=limit_h,
                suffix="h",
                clause=astm_c94.TIME_LIMIT,
                method=arithmetic("simulated days"),
                spread=0.1,
                remedy="Fewer trucks in the loop, wider spacing, or a longer limit agreed with a retarder.",
            )
        )
    if best.hole > 0:
        notes.checks.append(
            Check(
                key="hole",
                name="Days with a hole in the supply over half an hour",
                where="at the chute",
                demand=best.hole,
                capacity=HOLE_LIMIT,
                suffix="",
                clause=practice("one day in ten is accepted"),
                method=SCATTER,
                spread=0.2,
                remedy="One truck more, or a second plant on call.",
            )
        )


def _say(job: Job, best: Outcome, notes: Notes) -> None:
    ahead = (
        "the whole ring first"
        if best.ahead >= len(best.cold)
        else f"the ring {best.ahead} lane{'s' if best.ahead > 1 else ''} ahead of the floor"
    )
    notes.tasks.append(
        Task(
            what=f"Place from the far end, {ahead}; vibrate the ring into the live lift below.",
            who="crew lead",
            when="while placing",
            where="lanes",
        )
    )
    notes.tasks.append(
        Task(
            what="Measure what is left at 80 % placed and call the balance load then.",
            who="crew lead",
            when="at 80 % placed",
            where="floor",
        )
    )
    if best.finish_h[2] > LONG_DAY_H:
        notes.ask(
            Ask.ENGINEER,
            f"On one day in ten the pour takes over {best.finish_h[2]:.0f} h. Where may it stop on a construction joint with dowels?",
            "joints",
        )
    if job.mix is None or job.mix.time_limit_s is None:
        notes.ask(
            Ask.SUPPLIER, "Which time limit is agreed? Without one the age of loads is not checked.", "mix.time_limit", astm_c94.TIME_LIMIT
        )
    notes.caution(
        "Nobody stands within reach of the end hose at prime or restart; a spotter watches the boom within "
        f"{job.family.says('20 ft', '6 m')} of a line."
    )
    notes.caution("Trucks back only with a guide and keep the depth of the trench away from its edge.")
    notes.assume(
        "quantities",
        f"The day is reckoned with {100 * (ORDER_ALLOWANCE - 1):.0f} % over the drawn volume.",
        practice("order 4 to 10 % over plan"),
    )


def ring_words(best: Outcome, n_lanes: int) -> str:
    """How far the ring runs ahead of the floor, in words."""
    if best.ahead >= n_lanes:
        return "the whole ring first"
    if best.ahead == 0:
        return "the ring of each lane just before its floor"
    return f"the ring {best.ahead} lane{'s' if best.ahead > 1 else ''} ahead of the floor"


def _answer(family: Family, supply: Supply, best: Outcome, lanes: Lanes) -> str:
    loads = len(supply.loads)
    volume = format_quantity(supply.load_m3, VOLUME, family, digits=3)
    spacing = 60 * best.pace * supply.load_m3 / supply.rate_m3_h
    first = ring_words(best, lanes.n_lanes)
    risk = (
        f"cold joint on {100 * best.worst_cold:.0f} days in 100 at the worst lane"
        if best.worst_cold >= 0.005
        else "the ring still live everywhere"
    )
    return (
        f"Book *{best.n_trucks} trucks* of {volume}, one every {spacing:.0f} min, {loads} loads, {first}: done in {best.finish_h[1]:.1f} h "
        f"({best.finish_h[2]:.1f} h on a bad day), {risk}."
    )


STUDY = Study(
    key="placement",
    question="How does the pour day run, and how many trucks does it take?",
    stage=Stage.PLACING,
    run=run,
    present=present,
    reads=frozenset({"family", "mix", "crew", "plant", "prices", "site.weather"}),
    needs=(shape.STUDY,),
)
