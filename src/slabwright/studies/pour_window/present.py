"""Pictures and tables of the pour window: the day as a band, the hours as a list, the measures."""

from typing import TYPE_CHECKING

from slabwright.early_age.timeband import Bar, Curve, Row, TimeBand
from slabwright.results.picture import Hatch, Picture
from slabwright.results.table import Column, Table
from slabwright.studies.pour_window.starts import StartHour
from slabwright.study import Done, Inputs, Presentation

if TYPE_CHECKING:
    from slabwright.studies.pour_window.study import PourWindowResult

_SHOWN_H = 36.0


def present(inputs: Inputs, done: Done, result: "PourWindowResult") -> Presentation:  # noqa: ARG001 - one signature for all studies
    """The time band of the chosen start, the hours and the measures."""
    return Presentation(pictures=(_band(inputs, result),), tables=(_hours(result), _measures(result)))


def _band(inputs: Inputs, result: "PourWindowResult") -> Picture:
    conditions, chosen = result.conditions, result.chosen
    weather, start = conditions.weather, max(0.0, result.chosen.hour - 6.0)
    end = min(start + _SHOWN_H, float(weather.hours.n_hours - 1))
    hours = tuple(float(hour) for hour in range(int(start), int(end) + 1))
    band = TimeBand(weather=weather, start_h=start, end_h=end, family=inputs.job.family)
    band.sky(conditions.drivers.elevation_rad.tolist(), weather.hours.rain_m, weather.hours.rain_chance)
    band.clock()
    band.curves(
        (
            Curve(name="air", hours=hours, values=tuple(weather.hours.air_temp_c[int(hour)] for hour in hours)),
            Curve(name="concrete as it comes", hours=hours, values=tuple(conditions.delivered.at(hour) for hour in hours), dashed=True),
        ),
        name="temperature",
    )
    over = [hour for hour in hours if conditions.evaporation_kg_m2_h(hour) > conditions.limit_kg_m2_h]
    last = chosen.hour + conditions.placing_h
    band.rows(
        (
            Row(name="may start", bars=tuple(_runs(result.starts, start, end))),
            Row(name="dries too fast", bars=tuple(Bar(label="", start_h=h - 0.5, end_h=h + 0.5, hatch=Hatch.DENSE) for h in over)),
            Row(name="placing", bars=(Bar(label="place, strike off, bull float", start_h=chosen.hour, end_h=last, chalk=True),)),
            Row(
                name="finishing",
                bars=(
                    Bar(
                        label="float, trowel, cure",
                        start_h=chosen.hour + chosen.float_h,
                        end_h=chosen.hour + chosen.done_h,
                        hatch=Hatch.MEDIUM,
                    ),
                ),
            ),
        )
    )
    return band.picture(
        "band",
        "The day of the pour: sun and rain above, concrete below",
        f"Hours to scale from {weather.at(start):%d %b %H:%M}; placing from {weather.at(chosen.hour):%H:%M} "
        f"for {conditions.placing_h:.1f} hours.",
    )


def _runs(starts: tuple[StartHour, ...], low: float, high: float) -> list[Bar]:
    good = [start.hour for start in starts if not start.troubles and low <= start.hour <= high]
    bars: list[Bar] = []
    for hour in good:
        if bars and abs(bars[-1].end_h - hour) < 0.01:
            bars[-1] = Bar(label="", start_h=bars[-1].start_h, end_h=hour + 1.0, hatch=Hatch.SPARSE)
        else:
            bars.append(Bar(label="", start_h=float(hour), end_h=hour + 1.0, hatch=Hatch.SPARSE))
    return bars


def _hours(result: "PourWindowResult") -> Table:
    weather = result.conditions.weather
    rows = [
        (
            f"{weather.at(start.hour):%d %b %H:%M}",
            start.evaporation_kg_m2_h,
            start.warmest_c,
            f"{100 * start.rain_chance:.0f} %",
            f"{100 * start.freeze_chance:.0f} %",
            start.float_h,
            start.done_h,
            start.dark_h,
            "; ".join(trouble.value for trouble in start.troubles) or "none",
        )
        for start in result.starts
    ]
    return Table.of(
        "Every hour as a start",
        [
            "start", Column("evaporation", "kg_m2_h"), Column("concrete", "c"), "rain", "freezing", Column("float after", "h"),
            Column("set after", "h"), Column("in the dark", "h"), "trouble",
        ],
        rows,
        note="Evaporation is a guide to risk: the true rate may differ by 40 %.",
    )  # fmt: skip


def _measures(result: "PourWindowResult") -> Table:
    rows = [(measure.name, measure.evaporation_kg_m2_h, "enough" if measure.enough else "not enough") for measure in result.measures]
    return Table.of(
        f"Measures for a start at {result.conditions.weather.at(result.chosen.hour):%H:%M}, at its worst hour",
        ["measure", Column("evaporation then", "kg_m2_h"), "against the limit"],
        rows,
    )
