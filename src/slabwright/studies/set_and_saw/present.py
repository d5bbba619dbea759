"""Pictures and tables of set and saw: the band for the crew, the stress in its parts, the edge's section, the saw list."""

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from slabwright.early_age.cracking import ANCHORED
from slabwright.early_age.edge_section import EdgeSection
from slabwright.early_age.timeband import Bar, Curve, Row, TimeBand
from slabwright.early_age.windows import Band, Saw
from slabwright.results.picture import Area, Hatch, Item, Layer, Line, Picture, Scale
from slabwright.results.table import Cell, Column, Table
from slabwright.standards.cold_weather import FREEZE_SAFE_PA
from slabwright.studies import pour_window
from slabwright.studies.pour_window.starts import FREEZE_CHANCE
from slabwright.studies.set_and_saw.days import SHOWN_H, ZoneDays
from slabwright.study import Done, Inputs, Presentation

if TYPE_CHECKING:
    from slabwright.studies.set_and_saw.study import SetAndSawResult

_SHOWN_AFTER_H = 42.0
PARTS_H = (6.0, 9.0, 12.0, 18.0, 24.0, 36.0, 48.0)


def present(inputs: Inputs, done: Done, result: "SetAndSawResult") -> Presentation:
    """The time band, the stress, the edge, and the tables behind them."""
    pictures = [_band(inputs, done, result), _stress(inputs, done, result)]
    if result.edge is not None:
        pictures.append(_edge(result.edge))
    tables = [_zones(done, result), _windows(done, result), _parts(result)]
    if result.cuts:
        tables.insert(1, _saw_list(done, result))
    return Presentation(pictures=tuple(pictures), tables=tuple(tables))


def _middle(values: np.ndarray, share: float = 0.5) -> tuple[float, ...]:
    return tuple(float(value) for value in np.quantile(values, share, axis=0))


def _band(inputs: Inputs, done: Done, result: "SetAndSawResult") -> Picture:
    weather = done[pour_window.STUDY].conditions.weather
    start, first = result.start_hour, result.days[0]
    low, high = max(0.0, start - 2.0), min(start + _SHOWN_AFTER_H, weather.hours.n_hours - 1.0)
    band = TimeBand(weather=weather, start_h=low, end_h=high, family=inputs.job.family)
    band.sky(result.drivers.elevation_rad.tolist(), weather.hours.rain_m, weather.hours.rain_chance)
    band.clock()
    hours = tuple(float(start + hour) for hour in first.history.times_h)
    low_c, high_c = _middle(first.history.top_c, 0.1), _middle(first.history.top_c, 0.9)
    curves = [Curve(name="floor, top", hours=hours, values=_middle(first.history.top_c), band=(low_c, high_c))]
    for day in result.days[2:]:
        own = tuple(float(start + day.zone.placed_after_h + hour) for hour in day.history.times_h)
        curves.append(Curve(name=f"{day.zone.name}, core", hours=own, values=_middle(day.history.middle_c), dashed=True))
    band.curves(curves, marks=((0.0, "freezing"),) if min(curves[0].values) < 5.0 else (), name="temperature")
    for day in result.days[:2]:
        band.rows(_rows(day, start + day.zone.placed_after_h, result.saw))
    if result.cuts:
        bars = tuple(
            Bar(label=cut.line.name, start_h=start + cut.start_h, end_h=start + cut.end_h, hatch=Hatch.SOLID, chalk=True)
            for cut in result.cuts
        )
        band.rows((Row(name="saw runs", bars=bars),))
    return band.picture(
        "band",
        "From placing to the saw: sun and rain above, concrete below",
        f"Hours to scale from {weather.at(low):%d %b %H:%M}: temperature, set, finishing and saw windows of the floor.",
    )


def _rows(day: ZoneDays, placed: float, saw: Saw) -> tuple[Row, ...]:
    def upto(band: Band | None) -> float:
        return placed + (band.middle_h if band is not None else day.history.times_h[-1])

    done = day.finishing
    rows = [
        Row(
            name=day.zone.name,
            bars=(
                Bar(label="bleeds", start_h=placed, end_h=upto(done.bleed_end), hatch=Hatch.SPARSE),
                Bar(label="float and trowel", start_h=upto(done.float_from), end_h=upto(done.trowel_until), hatch=Hatch.MEDIUM),
            ),
        )
    ]
    for kind, window in day.windows.items():
        if window.start_h is not None:
            bar = Bar(label="", start_h=placed + window.start_h, end_h=placed + window.end_h, chalk=kind is saw)
            rows.append(Row(name=f"{kind.value} may cut", bars=(bar,)))
    frost = _frost(day, placed)
    if frost:
        rows.append(Row(name="may freeze", bars=frost))
    return tuple(rows)


def _frost(day: ZoneDays, placed: float) -> tuple[Bar, ...]:
    """Times at which more than one member in twenty is below freezing with less than 500 psi."""
    history = day.history
    green = ((history.top_c < 0.0) & (history.top_strength_pa < FREEZE_SAFE_PA)).mean(axis=0) > FREEZE_CHANCE
    half = 0.5 * (history.times_h[1] - history.times_h[0])
    bars: list[Bar] = []
    for hour in history.times_h[green]:
        begins = placed + float(hour) - half
        joined = bars and abs(bars[-1].end_h - begins) < 1e-6
        start = bars.pop().start_h if joined else begins
        bars.append(Bar(label="", start_h=start, end_h=begins + 2 * half, hatch=Hatch.DENSE))
    return tuple(bars)


def _stress(inputs: Inputs, done: Done, result: "SetAndSawResult") -> Picture:
    """Stress over strength, floating, anchored and fixed; one line a variant, the chance of a crack in the table."""
    weather, first = done[pour_window.STUDY].conditions.weather, result.days[0]
    start = result.start_hour
    band = TimeBand(
        weather=weather, start_h=start, end_h=min(start + _SHOWN_AFTER_H, weather.hours.n_hours - 1.0), family=inputs.job.family
    )
    band.clock()
    hours = tuple(float(start + hour) for hour in first.history.times_h)
    variants = (("floating", 0.0), ("anchored", ANCHORED), ("fixed", 1.0))
    ratios = {name: np.maximum(first.cracking.ratio(held), 0.0) for name, held in variants}
    curves = [Curve(name=name, hours=hours, values=_middle(ratio), dashed=name == "fixed") for name, ratio in ratios.items()]
    band.curves(curves, marks=((0.5, "half its strength"), (1.0, "its strength")), name="stress over strength", suffix="")
    return band.picture(
        "stress",
        "Stress at the surface over its strength, from floating on its base to fully held",
        "Three curves over hours: the floor floating on friction, anchored by its edge, and fixed.",
    )


def _edge(edge: EdgeSection) -> Picture:
    """Temperatures of the edge's section when it is hottest, as a map."""
    section = edge.section
    at = int(np.argmin(np.abs(edge.run.times_s / 3600.0 - edge.hottest_h)))
    temps = edge.run.temps_c[at]
    shown = np.isfinite(temps) & (section.y_mid_m[:, None] < edge.edge_m + 0.35) & (section.x_mid_m[None, :] < edge.rim_m + 0.6)
    low, high = float(temps[shown].min()), float(temps[shown].max())
    items: list[Item] = []
    for row, column in zip(*np.nonzero(shown), strict=True):
        x0, x1 = (float(value) for value in section.x_m[column : column + 2])
        y0, y1 = (-float(value) for value in section.y_m[row : row + 2])
        ring = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
        items.append(Area(layer=Layer.MAP, outline=ring, value=(float(temps[row, column]) - low) / max(high - low, 1e-9), outlined=False))
    items += _outline(edge, edge.concrete & shown)
    return Picture(
        key="edge",
        title=f"Temperature of the edge {edge.hottest_h:.0f} h after placing",
        items=tuple(items),
        scale=Scale(title="temperature", low=low, high=high, suffix="c"),
        alt="Section through the thickened edge with its temperatures as a map; the core is warmest.",
    )


def _outline(edge: EdgeSection, inside: NDArray[np.bool_]) -> list[Item]:
    """The concrete's border along the grid."""
    section = edge.section
    items: list[Item] = []
    padded = np.pad(inside, 1)
    for row, column in zip(*np.nonzero(inside), strict=True):
        x0, x1 = (float(value) for value in section.x_m[column : column + 2])
        y0, y1 = (-float(value) for value in section.y_m[row : row + 2])
        sides = (
            (padded[row, column + 1], (x0, y0), (x1, y0)),
            (padded[row + 2, column + 1], (x0, y1), (x1, y1)),
            (padded[row + 1, column], (x0, y0), (x0, y1)),
            (padded[row + 1, column + 2], (x1, y0), (x1, y1)),
        )
        items += [Line(layer=Layer.CONCRETE_CUT, points=(a, b)) for covered, a, b in sides if not covered]
    return items


def _time(done: Done, result: "SetAndSawResult", after_h: float | None) -> str:
    if after_h is None:
        return "not reached"
    return f"{done[pour_window.STUDY].conditions.weather.at(result.start_hour + after_h):%d %b %H:%M}"


def _zones(done: Done, result: "SetAndSawResult") -> Table:
    rows: list[list[Cell]] = []
    for day in result.days:
        bands = (day.finishing.float_from, day.finishing.trowel_until)
        times = [_time(done, result, day.zone.placed_after_h + band.middle_h if band else None) for band in bands]
        rows.append([day.zone.name, day.zone.depth_m, *times, day.peak_c, *(day.strength_pa(hour, 0.1) for hour in SHOWN_H)])
    return Table.of(
        "Set, warmth and strength",
        [
            "part", Column("depth", "m"), "initial set, float on", "final set, trowel off", Column("warmest", "c"),
            *(Column(f"strength at {hour:.0f} h", "pa") for hour in SHOWN_H),
        ],
        rows,
        note="Strength of the surface that nine members of ten reach. The energy balance of every member closes to "
        f"{result.gap:.0e} of what moved.",
    )  # fmt: skip


def _windows(done: Done, result: "SetAndSawResult") -> Table:
    rows: list[list[Cell]] = []
    for day in result.days[:2]:
        for saw, window in day.windows.items():
            after = day.zone.placed_after_h
            opens = _time(done, result, None if window.start_h is None else after + window.start_h)
            chance = float(np.interp(window.end_h, day.history.times_h, window.chance))
            why = "a crack becomes likely" if window.by_cracking else "usual hours"
            rows.append([day.zone.name, saw.value, opens, _time(done, result, after + window.end_h), why, f"{100 * chance:.0f} %"])
    return Table.of("When a saw may cut", ["part", "saw", "from", "to", "ends because", "chance of a crack by then"], rows)


def _saw_list(done: Done, result: "SetAndSawResult") -> Table:
    rows = [
        [
            cut.line.name, cut.line.length_m, cut.saw, _time(done, result, cut.line.ready_h), _time(done, result, cut.start_h),
            _time(done, result, cut.end_h), _time(done, result, cut.line.latest_h), "late" if cut.late else "in time",
        ]
        for cut in result.cuts
    ]  # fmt: skip
    return Table.of(
        "The saw's list", ["line", Column("length", "m"), "saw", "may start", "starts", "through", "must be through", "window"], rows
    )


def _parts(result: "SetAndSawResult") -> Table:
    """Restrained stress of the floor in its parts, middle of the members."""
    first = result.days[0]
    pull, rows = first.cracking, []
    shown = (pull.stress.axial_pa, pull.stress.curl_pa, pull.stress.self_equilibrating_pa, pull.skin_pa, pull.tension_pa)
    for hour in (hour for hour in PARTS_H if hour <= first.history.times_h[-1]):
        at = int(np.argmin(np.abs(first.history.times_h - hour)))
        row: list[Cell] = [hour, *(float(np.median(part[:, at])) for part in shown)]
        row += [float(np.median(pull.ratio(held)[:, at])) for held in (0.0, ANCHORED, 1.0)]
        rows.append([*row, f"{100 * pull.chance(ANCHORED)[at]:.0f} %"])
    return Table.of(
        "Stress at the surface, fully held, in its parts",
        [
            Column("after placing", "h"), Column("axial", "pa"), Column("curl", "pa"), Column("self-equilibrating", "pa"),
            Column("drying skin", "pa"), Column("strength", "pa"), "floating", "anchored", "fixed", "chance of a crack",
        ],
        rows,
        note="Tension positive. Floating, anchored and fixed: stress over strength with the axial part held by friction, to 40 %, fully.",
    )  # fmt: skip
