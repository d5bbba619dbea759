"""What curing is held against, and what must be done, asked and feared."""

from slabwright.early_age.drivers import FORECAST_ERROR
from slabwright.early_age.edge_section import EdgeSection
from slabwright.model.job import ConcreteStandard, Job
from slabwright.model.loads import LoadCase, Post
from slabwright.model.weather import Weather, WeatherKind
from slabwright.results.check import Ask, Check
from slabwright.results.lines import Task
from slabwright.results.notes import Notes
from slabwright.results.working import Working
from slabwright.standards import aci_318_19_shear, cold_weather, curing_rules, en_1992_1_1, osha_1926
from slabwright.standards.ashrae_fundamentals import BLANKETS, R_VALUE
from slabwright.studies.curing.blankets import BLANKET_AT_SET, Protection
from slabwright.studies.curing.hardening import AFTER_FORECAST
from slabwright.studies.curing.release import Release


def check(job: Job, edge: EdgeSection | None, protection: tuple[Protection, ...], waits: tuple[Release, ...], notes: Notes) -> None:
    """Blankets, shock, the edge's core and the most loaded post base."""
    for kept in protection:
        name = kept.zone.name
        notes.checks.append(
            Check(
                key=f"kept.{name}",
                name="Warmth above freezing kept by blankets, against what the guide asks",
                where=name,
                demand=kept.least_c,
                capacity=max(kept.kept_coldest_c, 0.01),
                suffix="c",
                clause=cold_weather.LEAST_TEMP,
                governing="best blanket tried" if kept.resistance_m2k_w is None else f"R {kept.resistance_m2k_w / R_VALUE:.0f}",
                remedy="Warmer concrete, a heated enclosure, or another day.",
            )
        )
        notes.at_most(
            f"drop.{name}", "Fall of the surface in the day after the blanket", name, found=kept.drop_k, limit=kept.drop_limit_k,
            suffix="k", clause=cold_weather.GREATEST_DROP, remedy="Leave it on longer, or loosen it by steps.",
        )  # fmt: skip
    if edge is not None:
        notes.at_most(
            "core", "Difference between core and face of the edge", "edge", found=edge.largest_difference_k,
            limit=cold_weather.CORE_TO_FACE_K, suffix="k", clause=cold_weather.CORE_TO_FACE, remedy="Leave the form on and cover the top.",
        )  # fmt: skip
    _check_post(job, waits, notes)


def _check_post(job: Job, waits: tuple[Release, ...], notes: Notes) -> None:
    """The most loaded post base on concrete of the strength it stands on when the frame comes."""
    loaded = [(post, _dead_n(post)) for post in job.posts if _dead_n(post) > 0]
    frame = next(wait for wait in waits if wait.what == "posts and frame")
    if not loaded or frame.strength_pa <= 0:
        return
    post, force = max(loaded, key=lambda pair: pair[1] / (pair[0].base_x_m * pair[0].base_y_m))
    area, working = post.base_x_m * post.base_y_m, Working()
    if job.codes.concrete is ConcreteStandard.EN_1992 and frame.strength_pa >= 12e6:
        capacity = en_1992_1_1.loaded_area_capacity_n(
            strength_pa=frame.strength_pa, loaded_area_m2=area, spread_area_m2=area, working=working
        )
        clause = en_1992_1_1.LOADED_AREA
    else:
        capacity = aci_318_19_shear.bearing_on_concrete_n(
            strength_pa=frame.strength_pa, loaded_area_m2=area, support_area_m2=area, plain=True, working=working
        )
        clause = aci_318_19_shear.BEARING
    notes.checks.append(
        Check(
            key=f"base.{post.name}",
            name="Post base on green concrete, dead load while the frame goes up",
            where=f"post {post.name}",
            demand=1.4 * force,
            capacity=capacity,
            suffix="n",
            clause=clause,
            governing=f"1.4 D on {100 * frame.share:.0f} % of the strength",
            steps=tuple(working.steps),
            remedy="Wait for more strength, or ask the engineer for a larger plate.",
        )
    )
    if any(post.anchor is not None for post, _ in loaded):
        notes.ask(
            Ask.ENGINEER,
            f"Anchors hold with the root of the strength: {100 * frame.share**0.5:.0f} % of their breakout at {100 * frame.share:.0f} % of "
            "the strength. Is that enough for the frame as it is erected and braced?",
            "posts",
            osha_1926.ERECTION,
        )


def _dead_n(post: Post) -> float:
    if post.reactions:
        return max(0.0, post.reactions[LoadCase.DEAD].down_n) if LoadCase.DEAD in post.reactions else 0.0
    area = post.tributary
    return area.length_m * area.width_m * area.roof_dead_pa if area is not None else 0.0


def say(job: Job, weather: Weather, start: float, waits: tuple[Release, ...], cold: bool, notes: Notes) -> None:
    """Tasks, assumptions, questions and cautions."""
    notes.tasks.append(
        Task(
            what="Write down the lowest and highest temperature under the cover each day, at floor, edge and a pad.",
            who="crew lead", when="until curing ends",
        )
    )  # fmt: skip
    if cold:
        notes.tasks.append(
            Task(
                what="Blankets over the whole floor, double over edges and corners, weighted down and kept dry.",
                who="crew lead",
                when="at final set",
            )
        )
        notes.assume("blankets", "blankets go on at final set", BLANKET_AT_SET)
        notes.assume("blankets", "resistance of one layer", BLANKETS)
        notes.caution(
            "Heaters in an enclosure give off carbon monoxide and carbon dioxide: vented ones only, never a person asleep inside."
        )
    else:
        notes.tasks.append(
            Task(
                what="Two coats of curing compound, the second across the first; spray again after rain within 3 h.",
                who="finishers",
                when="behind the last pass, lane by lane",
            )
        )
    frame = next(wait for wait in waits if wait.what == "posts and frame")
    if frame.day is not None:
        notes.tasks.append(
            Task(
                what="Break field-cured cylinders, or read the maturity of this very mix, and give the frame its written release.",
                who="crew lead",
                when=f"about {weather.at(start + 24.0 * frame.day):%d %b}"
                if weather.kind is not WeatherKind.TYPICAL_DAY
                else f"about day {frame.day:.0f}",
                where=frame.zone,
            )
        )
    notes.assume("site.weather", "strength past the forecast", AFTER_FORECAST)
    notes.assume("site.weather", "the weather may come otherwise", FORECAST_ERROR)
    notes.ask(
        Ask.ENGINEER,
        "Which share of the strength, shown by which test, releases posts, lifts and vehicles on this job?",
        "release",
        osha_1926.ERECTION if job.building.steel_frame else curing_rules.LOADING,
    )
    notes.caution("These days are a forecast of a mix never tested here: no load goes on before cylinders or maturity of this pour say so.")
