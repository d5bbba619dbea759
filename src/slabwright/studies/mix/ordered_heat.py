"""The temperature that concrete is ordered at: wanted by the job or the pour window, held to its limits, told with its means."""

from slabwright.model.job import Job
from slabwright.results.check import Ask
from slabwright.results.notes import Notes
from slabwright.standards import cold_weather, hot_weather
from slabwright.studies import pour_window
from slabwright.studies.mix.temperature import AS_THEY_LIE, ICE, FreshHeat, Means, fresh_heat
from slabwright.units import TEMPERATURE, format_quantity

_MILD_C = 21.0


def ordered_heat(job: Job, window: "pour_window.PourWindowResult | None", notes: Notes) -> FreshHeat | None:
    """How the concrete comes to the temperature ordered, and that temperature against its limits."""
    mix = job.mix
    assert mix is not None
    if window is not None:
        weather, hour = window.conditions.weather, window.chosen.hour
        air = weather.hours.air_temp_c
        now = min(max(round(hour), 0), len(air) - 1)
        last = air[max(now - 24, 0) : now + 1]
        wanted = mix.placing_temp_c if mix.placing_temp_c is not None else window.conditions.delivered.at(hour)
        air_c, last_day_c = float(air[now]), float(sum(last) / len(last))
    else:
        wanted = mix.placing_temp_c if mix.placing_temp_c is not None else _MILD_C
        air_c = last_day_c = _MILD_C
    say_limits(job, wanted, air_c, notes)
    found = fresh_heat(mix, job.plant, wanted, air_c, last_day_c)
    if found is None:
        return None
    if found.assumed:
        shown = format_quantity(last_day_c, TEMPERATURE, job.family, digits=2)
        day = "the day before the pour" if window is not None else "a mild day, since no weather is known"
        told = f"At the plant lie {AS_THEY_LIE.locator}; the mean air of {day} is {shown}."
        notes.assume(", ".join(f"mix.{name}_temp" for name in found.assumed), told, AS_THEY_LIE)
    if found.means is Means.OUT_OF_REACH:
        cold = format_quantity(found.batch_c, TEMPERATURE, job.family, digits=2)
        notes.ask(
            Ask.SUPPLIER,
            f"Neither cold water nor ice brings this mix down to {cold}: can the aggregate be shaded and wetted, or do we pour at night?",
            "mix.placing_temp", ICE,
        )  # fmt: skip
    return found


def say_limits(job: Job, wanted_c: float, air_c: float, notes: Notes) -> None:
    """The temperature ordered between the coldest and the hottest that is placed."""
    notes.at_most(
        "hot", "Concrete as placed, hottest", "at the chute", found=max(wanted_c, 0.0), limit=hot_weather.HOTTEST_CONCRETE_C, suffix="c",
        clause=hot_weather.HOTTEST, remedy="Order it cooler: chilled water, ice, shaded aggregate, or a start at night.",
    )  # fmt: skip
    if air_c < cold_weather.COLD_AIR_C:
        least = cold_weather.coldest_concrete_c(least_dimension_m=job.floor.thickness_m)
        notes.at_least(
            "cold", "Concrete as placed in the cold", "at the chute", required=least, provided=wanted_c, suffix="c",
            clause=cold_weather.LEAST_TEMP, remedy="Order it warmer: hot water first, then warmed aggregate.",
        )  # fmt: skip
