"""The study of set and saw."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from slabwright.early_age.cracking import ANCHORED, RESTRAINT_BAND, SKIN_DRYING
from slabwright.early_age.drivers import FORECAST_ERROR, Drivers, drivers
from slabwright.early_age.edge_section import FORM_BOARD, EdgeSection, edge_section
from slabwright.early_age.sawing import Cut, evening
from slabwright.early_age.simulate import BARE, COMPOUND_AT_SET, MIX_SCATTER, SURFACE_DRYING, Cover
from slabwright.early_age.windows import Saw, SawWindow
from slabwright.errors import MissingInput
from slabwright.model.job import Job
from slabwright.model.weather import Weather, WeatherKind
from slabwright.results.lines import Task
from slabwright.results.notes import Notes
from slabwright.sources import practice
from slabwright.standards.concrete_tension import TWO_THIRDS
from slabwright.standards.subgrade_drag import DRAG
from slabwright.studies import joints, pour_window, shape
from slabwright.studies.joints.study import SAW_SPEED_M_H
from slabwright.studies.pour_window.starts import FREEZE_CHANCE, FREEZE_LIMIT
from slabwright.studies.set_and_saw.days import ZoneDays, carried, uncut_length_m, zones_of
from slabwright.studies.set_and_saw.present import present
from slabwright.studies.set_and_saw.saw import PLACED_ALONG, SAWN, check_sawing, lines_in_window, saw_of, saw_tasks
from slabwright.study import Done, Inputs, Result, Stage, Study

N_COURSES = 40
CURING_AT_SET = practice("curing compound goes on at final set")


@dataclass(frozen=True, slots=True, kw_only=True)
class SetAndSawResult(Result):
    """The first days of the concrete and the saw's evening.

    Attributes
    ----------
    days : tuple of ZoneDays
        Floor placed first, floor placed last, edge, pads, strips.
    saw : Saw
    cuts : tuple of Cut
        Lines in their order, hours after the start of the pour; empty where joints are not sawn.
    edge : EdgeSection or None
        The thickened edge as a section.
    start_hour, placing_h : float
        Start in hours of the weather, and hours of placing. [h]
    drivers : Drivers
    gap : float
        Largest fraction by which any member's energy balance fails to close.
    """

    days: tuple[ZoneDays, ...]
    saw: Saw
    cuts: tuple[Cut, ...]
    edge: EdgeSection | None
    start_hour: float
    placing_h: float
    drivers: Drivers
    gap: float


def run(inputs: Inputs, done: Done) -> SetAndSawResult:
    """Carry every zone through its first days and place the saw in them."""
    job, notes = inputs.job, Notes()
    pour, foundation = done[pour_window.STUDY], done[shape.STUDY].foundation
    common, start = pour.conditions, float(pour.chosen.hour)
    rng = np.random.default_rng(inputs.seed)
    n_courses = 1 if common.weather.kind is WeatherKind.RECORD else N_COURSES
    air = drivers(common.weather, job.place, n_courses=n_courses, rng=rng)
    covers = _covers(job, common.weather, start, notes)
    left = common.weather.hours.n_hours - 1 - start - common.placing_h
    if left < 24.0:
        raise MissingInput(f"the weather ends {left:.0f} h after the last concrete; supply a day and a night after it.")
    days = tuple(
        carried(
            zone, job, common.concrete, air, common.ground, common.delivered, start_hour=start, covers=covers,
            uncut_m=uncut_length_m(foundation), held=ANCHORED if job.edge is not None else 0.0, rng=rng, hours=min(60.0, float(int(left))),
        )
        for zone in zones_of(job, foundation, common.placing_h)
    )  # fmt: skip
    saw, n_saws = saw_of(job.joints.kind), job.crew.n_saws
    speed = job.crew.saw_speed_m_h or SAW_SPEED_M_H
    windows = days[0].windows[saw], days[1].windows[saw]
    cuts: tuple[Cut, ...] = ()
    if job.joints.kind in SAWN and all(window.start_h is not None for window in windows):
        lines = lines_in_window(done[joints.STUDY].joints, foundation, common.placing_h, *windows)
        cuts = evening(lines, n_saws=n_saws, speed_m_h=speed)
        check_sawing(cuts, days, saw, n_saws, speed, notes)
        saw_tasks(cuts, saw, common.weather, air, start, n_saws, notes)
    _check_zones(days, notes)
    _say(job, days, common.weather, start, notes)
    edge = _edge(job, days[0], air, covers, done)
    return SetAndSawResult(
        answer=_answer(job, days, saw, cuts, windows, common.weather, start),
        days=days,
        saw=saw,
        cuts=cuts,
        edge=edge,
        start_hour=start,
        placing_h=common.placing_h,
        drivers=air,
        gap=max(day.history.gap for day in days),
        **notes.as_fields(),
    )


def _covers(job: Job, weather: Weather, start: float, notes: Notes) -> tuple[Cover, ...]:
    """Bare, then cured: at the crew's own hour where the job states one."""
    planned = job.crew.curing_hour_h
    if planned is None:
        notes.assume("crew.curing", "curing compound goes on at final set; state the hour, for it decides much", CURING_AT_SET)
        return BARE, COMPOUND_AT_SET
    return BARE, Cover(from_h=(planned - weather.clock_h(start)) % 24.0)


def _edge(job: Job, floor: ZoneDays, air: Drivers, covers: tuple[Cover, ...], done: Done) -> EdgeSection | None:
    if job.edge is None:
        return None
    common = done[pour_window.STUDY].conditions
    return edge_section(
        job.edge, job.floor.thickness_m, common.concrete, air, common.ground, job.soil, job.base, floor.history, covers,
        hours=float(min(48.0, floor.history.times_h[-1])),
    )  # fmt: skip


def _check_zones(days: tuple[ZoneDays, ...], notes: Notes) -> None:
    for day in days:
        notes.at_most(
            f"freezing.{day.zone.name}", "Chance of freezing before 500 psi", day.zone.name, found=day.freeze_chance, limit=FREEZE_CHANCE,
            suffix="", clause=FREEZE_LIMIT, remedy="Blankets before dark; see curing.",
        )  # fmt: skip
    first = days[0]
    day_one = first.history.times_h <= 24.0
    skin = max(float(np.median((first.cracking.skin_pa / first.cracking.tension_pa)[:, day_one].max(axis=1))), 0.0)
    notes.at_most(
        "skin", "Stress of the drying skin over its strength, first day", first.zone.name, found=skin, limit=1.0, suffix="",
        clause=SKIN_DRYING, remedy="Cure sooner: an uncured surface crazes.",
    )  # fmt: skip


def _say(job: Job, days: tuple[ZoneDays, ...], weather: Weather, start: float, notes: Notes) -> None:
    at, first, last = weather.at, days[0], days[1]
    if first.finishing.float_from is not None and last.finishing.float_from is not None:
        begins = start + first.finishing.float_from.early_h
        ends = start + last.zone.placed_after_h + last.finishing.float_from.late_h
        notes.tasks.append(
            Task(
                what="Boot leaves 1/4 in. (6 mm) and no sheen stands: only then the power float; never work bleed water in.",
                who="finishers",
                when=f"first lane from {at(begins):%H:%M}, last lane by {at(ends):%H:%M}",
            )
        )
    if last.finishing.trowel_until is not None:
        closes = start + last.zone.placed_after_h + last.finishing.trowel_until.middle_h
        notes.tasks.append(
            Task(what="Cure every lane as soon as it is not marred by it.", who="finishers", when=f"through by {at(closes):%d %b %H:%M}")
        )
    notes.assume("joints", "placing moves along the longer side of the floor", PLACED_ALONG)
    notes.assume("restraint", "floating, anchored at 40 % and fixed are shown; anchored decides where there is an edge", RESTRAINT_BAND)
    notes.assume("tension", "tensile strength follows compressive strength to the power of two thirds", TWO_THIRDS)
    notes.assume("friction", "drag of the whole uncut floor bounds the axial stress of a floating slab", DRAG)
    notes.assume("skin", "water lost after set dries the skin", SKIN_DRYING)
    notes.assume("surface", "an uncured surface dries, a cured one hardly", SURFACE_DRYING)
    notes.assume("mix", "members differ as mixes do", MIX_SCATTER)
    notes.assume("site.weather", "the weather may come otherwise", FORECAST_ERROR)
    if job.edge is not None:
        notes.assume("forms", "how the edge's face keeps its heat", FORM_BOARD)


def _answer(
    job: Job,
    days: tuple[ZoneDays, ...],
    saw: Saw,
    cuts: tuple[Cut, ...],
    windows: tuple[SawWindow, SawWindow],
    weather: Weather,
    start: float,
) -> str:
    at, first = weather.at, days[0]
    setting = first.finishing.trowel_until
    if setting is None:
        return "The floor has *not set* within the hours looked at; protect it and warm it, and do not saw."
    sets = f"the first floor sets at {at(start + setting.middle_h):%H:%M}"
    if job.joints.kind not in SAWN:
        return f"Work the {job.joints.kind.value} joints before *{at(start + setting.early_h):%H:%M}*: {sets}."
    window = windows[0]
    if window.start_h is None:
        return f"The {saw.value} may *not start* within {first.history.times_h[-1]:.0f} h: {sets}, but hardens too slowly; keep it warm."
    opens, closes = at(start + window.start_h), at(start + window.end_h)
    reason = "then a crack of its own becomes likely" if window.by_cracking else "the usual hours end there"
    if window.length_h < 0.5:
        other = _instead(first, saw, at, start)
        return f"There is *no hour* for the {saw.value}: it ravels until {opens:%H:%M} and may crack from {closes:%H:%M}; {sets}{other}."
    last_h = max((cut.end_h for cut in cuts), default=0.0)
    whose = "the first lane " if last_h > window.end_h else ""
    late = ", too late for some" if any(cut.late for cut in cuts) else ", each within the hours of its own concrete" if whose else ""
    through = f" Every line is through at {at(start + last_h):%H:%M}{late}." if cuts else ""
    return f"Saw {whose}from *{opens:%H:%M} to {closes:%H:%M}* with the {saw.value}: {sets}, and {reason}.{through}"


def _instead(day: ZoneDays, saw: Saw, at: Callable[[float], datetime], start: float) -> str:
    """The other saw, where that has its hours."""
    other = day.windows[Saw.EARLY_ENTRY if saw is Saw.CONVENTIONAL else Saw.CONVENTIONAL]
    if other.start_h is None or other.length_h < 0.5:
        return ""
    return f"; the {other.saw.value} may cut from {at(start + other.start_h):%H:%M} to {at(start + other.end_h):%H:%M}"


STUDY = Study(
    key="set_and_saw",
    question="When does it set, and when must the saw have cut?",
    stage=Stage.PLACING,
    run=run,
    present=present,
    reads=frozenset({"family", "place", "floor", "edge", "soil", "base", "retarder", "insulation", "joints", "crew"}),
    needs=(shape.STUDY, joints.STUDY, pour_window.STUDY),
)
