"""The study of the pour window."""

from dataclasses import dataclass

import numpy as np

from slabwright.early_age.concrete import concrete_of
from slabwright.early_age.drivers import FORECAST_ERROR, drivers
from slabwright.early_age.pour import delivered, placing_hours, say_weather, start_hours, weather_of
from slabwright.early_age.simulate import MIX_SCATTER, SURFACE_DRYING
from slabwright.early_age.zones import GROUND, Zone, ZoneKind, bare_ground, layers_under
from slabwright.errors import MissingInput
from slabwright.model.job import Job
from slabwright.model.weather import WeatherKind
from slabwright.results.notes import Notes
from slabwright.studies import shape
from slabwright.studies.pour_window.checks import check, say
from slabwright.studies.pour_window.present import present
from slabwright.studies.pour_window.rescue import Measure, measures
from slabwright.studies.pour_window.starts import Conditions, StartHour, Trouble, judge, windows
from slabwright.study import Done, Inputs, Result, Stage, Study
from slabwright.units import EVAPORATION, Family, format_quantity

N_COURSES, N_MEMBERS = 12, 24


@dataclass(frozen=True, slots=True, kw_only=True)
class PourWindowResult(Result):
    """Start hours, ranked, and the one the plan goes on with.

    Attributes
    ----------
    starts : tuple of StartHour
        In the order of time.
    windows : tuple of tuple of StartHour
        Runs of hours without trouble, the best first.
    chosen : StartHour
        The crew's own start hour on its best day where the job states one, else the best.
    measures : tuple of Measure
        What would bring the chosen start's worst hour down.
    conditions : Conditions
    """

    starts: tuple[StartHour, ...]
    windows: tuple[tuple[StartHour, ...], ...]
    chosen: StartHour
    measures: tuple[Measure, ...]
    conditions: Conditions


def run(inputs: Inputs, done: Done) -> PourWindowResult:
    """Judge every start hour."""
    job, notes = inputs.job, Notes()
    conditions = _conditions(inputs, done, notes)
    hours = start_hours(conditions.weather, conditions.placing_h)
    starts = judge(conditions, hours, n_members=N_MEMBERS, rng=np.random.default_rng(inputs.seed))
    best = min(starts, key=lambda start: start.cost)
    chosen = _chosen(job, conditions, starts, best, inputs.seed)
    dries_less = min(starts, key=lambda start: start.evaporation_kg_m2_h)
    rescued = measures(conditions, chosen, dries_less if dries_less.evaporation_kg_m2_h < chosen.evaporation_kg_m2_h else None)
    check(conditions, chosen, rescued, notes)
    say(conditions, chosen, notes)
    return PourWindowResult(
        answer=_answer(job.family, conditions, starts, chosen, rescued),
        starts=starts,
        windows=windows(starts),
        chosen=chosen,
        measures=rescued,
        conditions=conditions,
        **notes.as_fields(),
    )


def _conditions(inputs: Inputs, done: Done, notes: Notes) -> Conditions:
    job = inputs.job
    if job.mix is None:
        raise MissingInput("the job has no [mix]; write the strength at least, better cement, water and air too.")
    weather = weather_of(inputs.site.weather)
    say_weather(weather, notes)
    concrete, said = concrete_of(job.mix, inputs.site.mix_tests, job.family)
    notes.assumptions += said
    rng = np.random.default_rng(inputs.seed)
    air = drivers(weather, job.place, n_courses=1 if weather.kind is WeatherKind.RECORD else N_COURSES, rng=rng)
    floor = Zone(
        name="floor",
        kind=ZoneKind.FLOOR,
        depth_m=job.floor.thickness_m,
        layers_below=layers_under(ZoneKind.FLOOR, job.soil, job.base, job.insulation),
    )
    placing = placing_hours(done.part(shape.AMOUNTS).total_m3, job.crew, job.plant, notes, job.family)
    notes.assume("site.weather", "the weather may come otherwise", FORECAST_ERROR)
    notes.assume("mix", "members differ as mixes do", MIX_SCATTER)
    notes.assume("surface", "an uncured surface dries, a cured one hardly", SURFACE_DRYING)
    notes.assume("base, soil", "the ground under the floor", GROUND)
    return Conditions(
        weather=weather,
        drivers=air,
        ground=bare_ground(air, job.soil, job.base),
        concrete=concrete,
        delivered=delivered(weather, job.mix, notes),
        floor=floor,
        placing_h=placing,
    )


def _chosen(job: Job, conditions: Conditions, starts: tuple[StartHour, ...], best: StartHour, seed: int) -> StartHour:
    """The best start; or the crew's own to the minute, on the day whose whole hour next to it is the best."""
    wanted = job.crew.start_hour_h
    if wanted is None:
        return best
    own = [start for start in starts if abs(conditions.weather.clock_h(start.hour) - wanted) <= 0.5]
    if not own:
        return best
    near = min(own, key=lambda start: start.cost)
    exact = near.hour + wanted - conditions.weather.clock_h(near.hour)
    if exact < 0 or abs(exact - near.hour) < 1e-9:
        return near
    return judge(conditions, (exact,), n_members=N_MEMBERS, rng=np.random.default_rng(seed))[0]


def _answer(family: Family, conditions: Conditions, starts: tuple[StartHour, ...], chosen: StartHour, rescued: tuple[Measure, ...]) -> str:
    at, best = conditions.weather.at, min(starts, key=lambda start: start.cost)
    dated = conditions.weather.kind is not WeatherKind.TYPICAL_DAY
    reaches = format_quantity(chosen.evaporation_kg_m2_h, EVAPORATION, family, digits=2)
    day = f" on {at(chosen.hour):%d %B}" if dated else ""
    if not chosen.troubles:
        return (
            f"Start at *{at(chosen.hour):%H:%M}*{day}: evaporation stays at {reaches} or less, the first float goes on "
            f"{chosen.float_h:.1f} h later and the last concrete has set {chosen.done_h:.0f} h after the start."
        )
    why = " and ".join(trouble.value for trouble in chosen.troubles)
    if not best.troubles:
        other = f" on {at(best.hour):%d %B}" if dated else ""
        return f"Start at *{at(best.hour):%H:%M}*{other}, not at {at(chosen.hour):%H:%M}{day}: then it would be {why}."
    enough = next((measure.name for measure in rescued if measure.enough), None)
    if chosen.troubles == (Trouble.EVAPORATION,) and enough is not None:
        limit = format_quantity(conditions.limit_kg_m2_h, EVAPORATION, family, digits=2)
        return (
            f"Start at *{at(chosen.hour):%H:%M}*{day} only with {enough}: evaporation reaches {reaches} against {limit}, "
            "and no hour is free of it."
        )
    least = " and ".join(trouble.value for trouble in best.troubles)
    return f"No hour of {len(starts)} is free of trouble; the least is *{at(best.hour):%H:%M}*{day}: {least}."


STUDY = Study(
    key="pour_window",
    question="Which hour do we start to pour?",
    stage=Stage.PLACING,
    run=run,
    present=present,
    reads=frozenset({"family", "place", "floor", "soil", "base", "insulation", "mix", "crew", "plant", "site.weather", "site.mix_tests"}),
    parts=(shape.AMOUNTS,),
)
