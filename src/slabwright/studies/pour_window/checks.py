"""What the chosen start is held against, and what must be done, asked and feared."""

from slabwright.results.check import Ask, Check
from slabwright.results.lines import Task
from slabwright.results.notes import Notes
from slabwright.results.working import Working
from slabwright.standards import aci_95_m34, cold_weather, fhwa_hrt_05_038, hot_weather
from slabwright.standards.wmo_8 import saturation_pressure_pa
from slabwright.studies.pour_window.rescue import MEASURES, Measure
from slabwright.studies.pour_window.starts import (
    FREEZE_CHANCE,
    FREEZE_LIMIT,
    RAIN_CHANCE,
    RAIN_LIMIT,
    WIND_LIMIT,
    WINDY_M_S,
    Conditions,
    StartHour,
)


def check(conditions: Conditions, start: StartHour, rescued: tuple[Measure, ...], notes: Notes) -> None:
    """Checks of the chosen start against the limits of concreting in the heat, the cold, rain and wind."""
    where = f"start {conditions.weather.at(start.hour):%d %b %H:%M}"
    working, hour = Working(), start.worst_hour
    air = conditions.drivers.at("air_c", hour)
    aci_95_m34.evaporation_rate_kg_m2_h(
        concrete_temp_c=conditions.delivered.at(hour),
        air_temp_c=air,
        rel_humidity=min(1.0, saturation_pressure_pa(temp_c=conditions.drivers.at("dew_c", hour)) / saturation_pressure_pa(temp_c=air)),
        wind_speed_m_s=conditions.drivers.at("wind_m_s", hour),
        working=working,
    )
    enough = next((measure.name for measure in rescued if measure.enough), "another day")
    notes.checks.append(
        Check(
            key="evaporation",
            name=f"Evaporation, highest at {conditions.weather.at(hour):%H:%M}",
            where=where,
            demand=start.evaporation_kg_m2_h,
            capacity=conditions.limit_kg_m2_h,
            suffix="kg_m2_h",
            clause=fhwa_hrt_05_038.RATE_LIMITS,
            method=aci_95_m34.SIMPLIFIED,
            governing=f"mix that bleeds {'little' if conditions.concrete.bleed.value == 'low' else 'normally'}",
            spread=aci_95_m34.EVAPORATION_SPREAD,
            steps=tuple(working.steps),
            remedy=f"Enough would be: {enough}.",
        )
    )
    least = cold_weather.coldest_concrete_c(least_dimension_m=conditions.floor.depth_m)
    notes.at_most(
        "warmest", "Concrete as placed, warmest", where, found=start.warmest_c, limit=hot_weather.HOTTEST_CONCRETE_C, suffix="c",
        clause=hot_weather.HOTTEST, remedy="Order it cooler, or start earlier.",
    )  # fmt: skip
    notes.at_least(
        "coldest", "Concrete as placed, coldest", where, required=least, provided=start.coldest_c, suffix="c",
        clause=cold_weather.LEAST_TEMP, remedy="Order it warmer.",
    )  # fmt: skip
    for key, name, found, limit, clause, remedy in (
        ("rain", "Chance of rain before set", start.rain_chance, RAIN_CHANCE, RAIN_LIMIT, "Have covers for the whole floor at hand."),
        ("freezing", "Chance of freezing before 500 psi", start.freeze_chance, FREEZE_CHANCE, FREEZE_LIMIT, "Have blankets ready."),
    ):
        notes.at_most(key, name, where, found=found, limit=limit, suffix="", clause=clause, remedy=remedy)
    notes.at_most("wind", "Strongest wind", where, found=start.wind_m_s, limit=WINDY_M_S, suffix="m_s", clause=WIND_LIMIT, remedy="Wait.")
    if start.base_c <= 0.0:
        notes.ask(
            Ask.ENGINEER, "The base is frozen while concrete would be placed; may it be thawed and used?", "base", cold_weather.COLD_WEATHER
        )


def say(conditions: Conditions, start: StartHour, notes: Notes) -> None:
    """Tasks, cautions and questions of the chosen start."""
    at = conditions.weather.at
    notes.tasks.append(
        Task(what="Look at the newest forecast again and say go, go with measures, or no.", who="crew lead", when="the evening before")
    )
    if start.evaporation_kg_m2_h > 0.5 * conditions.limit_kg_m2_h:
        notes.tasks.append(
            Task(
                what="Evaporation retarder, fog nozzle and windbreak on site; measure wind at knee height and each load's temperature.",
                who="crew lead",
                when=f"before {at(start.worst_hour):%H:%M}",
            )
        )
    if start.rain_chance > 0.1:
        notes.tasks.append(
            Task(what="Sheets for the whole floor and battens to hold them.", who="crew lead", when="before the first truck")
        )
    if start.dark_h >= 1.0:
        notes.tasks.append(Task(what=f"Lights for {start.dark_h:.0f} hours.", who="crew lead", when="before dark"))
    notes.assume("measures", "what fog, windbreak, retarder and cooler concrete are worth", MEASURES)
    notes.caution("Wet concrete burns skin: boots, gloves, sleeves, and clean water at hand; a doctor sees any burn.")
    if start.warmest_c > 27.0 or conditions.drivers.at("air_c", start.worst_hour) > 27.0:
        notes.caution(
            "In the heat: water, shade and rest, new people at part load; whoever is confused or stops sweating needs help at once."
        )
    notes.caution("Lightning or the pump's wind limit stops the pour at once; the pump operator decides.")
    least = cold_weather.coldest_concrete_c(least_dimension_m=conditions.floor.depth_m)
    if start.warmest_c > hot_weather.HOTTEST_CONCRETE_C - 5.0:
        notes.ask(
            Ask.SUPPLIER, "Can the concrete come cooler, and is a set-retarding mix wanted for this start?", "mix", hot_weather.HOTTEST
        )
    if start.coldest_c < least:
        notes.ask(
            Ask.SUPPLIER, "Can the concrete come warmer, and is an accelerated mix wanted for this start?", "mix", cold_weather.LEAST_TEMP
        )
