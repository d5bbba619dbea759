"""The study of the pour day: trucks, order of placing, and what may go wrong, from thousands of simulated days."""

from dataclasses import dataclass

from slabwright.errors import MissingInput
from slabwright.model.job import Job
from slabwright.model.supply import PlacingMethod
from slabwright.results.check import Ask
from slabwright.results.lines import Task
from slabwright.results.notes import Notes
from slabwright.sources import practice
from slabwright.standards import astm_c94, placing_practice
from slabwright.studies import grade, mix, pour_window, quantities, shape
from slabwright.studies.placement.checks import check_day, check_finishing, check_reach
from slabwright.studies.placement.choice import DARK_LIMIT, HOLE_LIMIT, LATE_LIMIT, Choice, choose
from slabwright.studies.placement.clock import MILD_C, Clock, clock_text
from slabwright.studies.placement.day import METHOD_RATES, SCATTER, TRAVEL_H, Outcome, Supply, supply_of
from slabwright.studies.placement.lanes import Lanes, dug_more_m3
from slabwright.studies.placement.pour_day import COSTS, PourDay
from slabwright.studies.placement.present import present
from slabwright.studies.placement.reach import farthest
from slabwright.study import Done, Inputs, Result, Stage, Study
from slabwright.units import TEMPERATURE, VOLUME, VOLUME_RATE, Family, format_quantity

LONG_DAY_H = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacementResult(Result):
    """The arrangement of the day.

    Attributes
    ----------
    supply : Supply
    lanes : Lanes
    choice : Choice
    dug_more_m3 : tuple of float
        What edge and pads of each lane take more than drawn, as measured in the trench; none where it was not. [m³]
    unordered_m3 : float
        Of that, what the order does not hold, which allows for a usual trench where the base was not surveyed. [m³]
    day : PourDay
        What is the same however the day is arranged; :func:`~slabwright.studies.placement.what_if.what_if` turns one thing of it.
    """

    supply: Supply
    lanes: Lanes
    choice: Choice
    dug_more_m3: tuple[float, ...]
    unordered_m3: float
    day: PourDay

    @property
    def limit_h(self) -> float | None:
        """Time limit from batching to the last chute. [h]"""
        return self.day.limit_h

    @property
    def knit_limit_h(self) -> float:
        """Age at which a lift can no longer be knitted, at the start chosen. [h]"""
        return self.choice.best.knit_limit_h


def run(inputs: Inputs, done: Done) -> PlacementResult:
    """Simulate the day and choose its arrangement."""
    job = inputs.job
    notes = Notes()
    surveyed = done.get(grade.STUDY)
    ordered_m3 = surveyed.ordered_m3 if surveyed is not None else done[quantities.STUDY].order.order_m3
    supply = _supply(job, ordered_m3, notes)
    limit = job.mix.time_limit_s / 3600 if job.mix is not None and job.mix.time_limit_s else None
    if limit is not None and supply.out_h + supply.emptying_h > limit:
        raise MissingInput(
            f"a plant near enough: the trip and unloading alone take {60 * (supply.out_h + supply.emptying_h):.0f} min, "
            f"over the limit of {60 * limit:.0f} min; agree a longer limit with a retarder, or find a nearer plant."
        )
    clock, wanted = _clock(inputs, done.get(pour_window.STUDY), notes)
    foundation = done[shape.STUDY].foundation
    ends = ends_to_begin(Lanes.of(foundation), job.place.street_side, job.plant.method)
    days = [PourDay(supply=supply, lanes=one, clock=clock, limit_h=limit, prices=job.prices, seed=inputs.seed) for one in ends]
    fixed = job.crew.start_hour_h
    starts = (fixed,) if fixed is not None else clock.starts(supply.length_h)
    if fixed is not None and not clock.sets(fixed, supply.length_h):
        raise MissingInput(f"a warmer hour than {clock_text(fixed)}: at or below freezing there is no set time to plan by.")
    if wanted is not None and fixed is None and clock.sets(wanted, supply.length_h):
        starts = tuple(sorted({*starts, wanted}))
    choice = choose(days, n_trucks=job.plant.n_trucks, starts=starts, wanted_h=wanted)
    day, lanes = choice.day, choice.day.lanes
    check_day(choice.best, limit, day, job, notes)
    window = done.get(pour_window.STUDY)
    check_finishing(foundation.region.area, window.chosen if window is not None else None, job, notes)
    check_reach(farthest(foundation, lanes, job.plant), job, notes)
    _say(job, choice.best, why_from_there(lanes, len(ends), job.place.street_side), notes)
    if clock.light is not None and choice.best.start_h < clock.light.first_h:
        rises = clock_text(clock.light.first_h)
        notes.caution(f"The first concrete comes in the dark: lamps on forms, chute and trucks until sunrise at {rises}.")
    return PlacementResult(
        answer=_answer(job.family, supply, choice.best, lanes, clock),
        supply=supply,
        lanes=lanes,
        choice=choice,
        dug_more_m3=tuple(dug_more_m3(foundation, lanes, _dug(surveyed)).tolist()) if _dug(surveyed) else (),
        unordered_m3=_unordered_m3(surveyed, done[quantities.STUDY]),
        day=day,
        **notes.as_fields(),
    )


def _dug(surveyed: "grade.GradeResult | None") -> dict[str, float]:
    return {one.part: one.mean for one in surveyed.overdig} if surveyed is not None else {}


def _unordered_m3(surveyed: "grade.GradeResult | None", list_: "quantities.QuantitiesResult") -> float:
    """What a measured trench takes beyond the order: nothing where the base was surveyed too, since the order then holds it. [m³]"""
    if surveyed is None or surveyed.surface.measured:
        return 0.0
    measured = [part.mean_m3 for part in surveyed.order.parts if part.key == "overdig" and part.measured]
    return sum(measured) - sum(one.volume_m3 for one in list_.order.allowances if one.key == "overdig") if measured else 0.0


def _clock(inputs: Inputs, window: "pour_window.PourWindowResult | None", notes: Notes) -> tuple[Clock, float | None]:
    """The clock of the day, and the start that the job or the pour window asks for. [h]"""
    weather, place, family = inputs.site.weather, inputs.job.place, inputs.job.family
    wanted, day = inputs.job.crew.start_hour_h, None
    if window is not None:
        course = window.conditions.weather
        day = course.at(window.chosen.hour)
        wanted = course.clock_h(window.chosen.hour) if wanted is None else wanted
    if weather is None:
        shown = format_quantity(MILD_C, TEMPERATURE, family, digits=2)
        notes.assume("weather.csv", f"The day is mild, {shown}; put the forecast beside the job file.", placing_practice.WAIT_TO_FLOAT)
    clock = Clock.of(weather, place, day)
    if clock.light is None:
        notes.assume("weather.csv", "Daylight is not looked at: the day of the pour is not known.", practice("work ends with daylight"))
    return clock, wanted


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


def ends_to_begin(lanes: Lanes, street_side: str, method: PlacingMethod) -> tuple[Lanes, ...]:
    """At which ends placing may begin: the far one where concrete comes over the near one; both where a boom reaches all or the street
    runs along the lanes.
    """
    far = lanes.flipped() if lanes.first == street_side else lanes
    if street_side in (lanes.first, lanes.last) and method is not PlacingMethod.BOOM_PUMP:
        return (far,)
    return (far, far.flipped())


def why_from_there(lanes: Lanes, n_ends: int, street_side: str) -> str:
    """Why placing begins at that end."""
    if n_ends == 1:
        return f"the far one from the street in the {street_side}, so that nothing has to cross fresh concrete"
    return f"of {lanes.first} and {lanes.last} the one with less risk, then the cheaper, then the farther from the street"


def _say(job: Job, best: Outcome, why: str, notes: Notes) -> None:
    notes.tasks.append(
        Task(
            what=f"Place from the {best.first} end ({why}), {sequence_words(best, len(best.cold))}; "
            "vibrate edge and pads into the live lift below.",
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


def sequence_words(best: Outcome, n_lanes: int) -> str:
    """How far edge and pads run ahead of the floor, in words."""
    if best.ahead >= n_lanes:
        return "all edge and pads first"
    if best.ahead == 0:
        return "edge and pads of each lane just before its floor"
    return f"edge and pads {best.ahead} lane{'s' if best.ahead > 1 else ''} ahead of the floor"


def spacing_words(best: Outcome, supply: Supply) -> str:
    """How far apart trucks come, in words."""
    apart = [60 * pace * supply.emptying_h for pace in best.paces]
    if best.is_even or len(supply.loads) < 3:
        return f"one every {apart[0]:.0f} min"
    if abs(apart[0] - apart[1]) < 0.5:
        return f"one every {apart[0]:.0f} min, the last third every {apart[2]:.0f} min"
    if abs(apart[1] - apart[2]) < 0.5:
        return f"the first third every {apart[0]:.0f} min, then one every {apart[1]:.0f} min"
    return f"one every {apart[0]:.0f} min at first, {apart[1]:.0f} min in the middle, {apart[2]:.0f} min at the end"


def _answer(family: Family, supply: Supply, best: Outcome, lanes: Lanes, clock: Clock) -> str:
    loads = len(supply.loads)
    volume = format_quantity(supply.load_m3, VOLUME, family, digits=3)
    days = (
        (best.worst_cold, 0.005, "a cold joint at the worst lane"),
        (best.over_limit, LATE_LIMIT, "a load past its time limit"),
        (best.hole, HOLE_LIMIT, "a hole in the supply"),
        (best.dark, DARK_LIMIT, "floating by lamps"),
    )
    troubles = [f"{what} on {100 * share:.0f} days in 100" for share, accepted, what in days if share > accepted]
    live = ["the edge still live everywhere"] if best.worst_cold <= 0.005 else []
    risk = ", ".join([*live, *troubles])
    trucks = "truck" if best.n_trucks == 1 else "trucks"
    pace = "one load" if loads == 1 else f"{spacing_words(best, supply)}, {loads} loads"
    when = f" from {clock_text(best.start_h)}" if clock.light is not None else ""
    return (
        f"Book *{best.n_trucks} {trucks}* of {volume}{when}, {pace}, "
        f"from the {best.first} end, {sequence_words(best, lanes.n_lanes)}: "
        f"done in {best.finish_h[1]:.1f} h ({best.finish_h[2]:.1f} h on a bad day), {risk}."
    )


STUDY = Study(
    key="placement",
    question="How does the pour day run, and how many trucks does it take?",
    stage=Stage.PLACING,
    run=run,
    present=present,
    reads=frozenset({"family", "place", "mix", "crew", "plant", "prices", "site.weather"}),
    needs=(shape.STUDY, quantities.STUDY),
    hears=(grade.STUDY, pour_window.STUDY, mix.STUDY),
)
