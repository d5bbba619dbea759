"""Pictures and tables of curing: strength over days, what may come when, the blankets."""

import math
from typing import TYPE_CHECKING

import numpy as np

from slabwright.model.weather import WeatherKind
from slabwright.results.picture import Area, Hatch, Item, Layer, Line, Note, Picture
from slabwright.results.table import Cell, Column, Table
from slabwright.standards.ashrae_fundamentals import R_VALUE
from slabwright.studies import pour_window
from slabwright.studies.curing.blankets import layers_of_blanket
from slabwright.study import Done, Inputs, Presentation
from slabwright.units import PRESSURE, format_quantity

if TYPE_CHECKING:
    from slabwright.studies.curing.study import CuringResult

SHOWN_DAYS = (1.0, 2.0, 3.0, 7.0, 14.0, 28.0)
_WIDE_M, _HIGH_M = 28.0, 14.0


def present(inputs: Inputs, done: Done, result: "CuringResult") -> Presentation:
    """Strength over days with what waits for it, and the lists behind it."""
    tables = [_released(done, result), _strengths(result)]
    if result.protection:
        tables.append(_blankets(result))
    return Presentation(pictures=(_strength(inputs, result),), tables=tuple(tables))


def _strength(inputs: Inputs, result: "CuringResult") -> Picture:
    """Strength over the root of time: a band for each part, a level for each thing that waits."""
    specified = next(iter(result.hardening.values())).history.concrete.specified_pa
    items: list[Item] = [
        Line(layer=Layer.DIMENSION, points=((0.0, 0.0), (_WIDE_M, 0.0))),
        Line(layer=Layer.DIMENSION, points=((0.0, 0.0), (0.0, _HIGH_M))),
    ]

    def place(days: float, strength: float) -> tuple[float, float]:
        return _WIDE_M * math.sqrt(max(days, 0.0) / 28.0), _HIGH_M * strength / (1.25 * specified)

    for number, (name, found) in enumerate(result.hardening.items()):
        kept = found.days <= 28.0
        low, middle, high = (np.quantile(found.strength_pa[:, kept], share, axis=0) for share in (0.1, 0.5, 0.9))
        days = found.days[kept]
        if number == 0:
            ring = (*(place(*p) for p in zip(days, low, strict=True)), *(place(*p) for p in zip(days[::-1], high[::-1], strict=True)))
            items.append(Area(layer=Layer.MAP, outline=ring, hatch=Hatch.MEDIUM, outlined=False, label=name))
        points = tuple(place(*p) for p in zip(days, middle, strict=True))
        items.append(Line(layer=Layer.CONCRETE_SEEN, points=points, dashed=number > 0, weight=1.4, label=name))
        items.append(Note(layer=Layer.TEXT, at=points[-1], text=name, size=0.8, anchor="start"))
    for wait in result.releases:
        if wait.share > 0 and wait.day is not None and wait.day <= 28.0:
            x, y = place(wait.day, wait.strength_pa)
            items.append(Line(layer=Layer.CHALK, points=((x, 0.0), (x, y)), dashed=True, label=wait.what))
            items.append(Note(layer=Layer.CHALK, at=(x, y + 0.4), text=wait.what, size=0.7, anchor="end"))
    for day in SHOWN_DAYS:
        x, _ = place(day, 0.0)
        items.append(Note(layer=Layer.DIMENSION, at=(x, -0.8), text=f"day {day:.0f}", size=0.8))
    for share in (0.5, 1.0):
        text = format_quantity(share * specified, PRESSURE, inputs.job.family, digits=2)
        items.append(Note(layer=Layer.DIMENSION, at=(-0.4, place(0.0, share * specified)[1]), text=text, size=0.8, anchor="end"))
    return Picture(
        key="strength",
        title="Strength in place over days, nine members of ten within the band",
        items=tuple(items),
        alt="Strength of the parts over the first 28 days with the day from which each load may come.",
    )


def _released(done: Done, result: "CuringResult") -> Table:
    weather = done[pour_window.STUDY].conditions.weather
    dated = weather.kind is not WeatherKind.TYPICAL_DAY
    rows: list[list[Cell]] = []
    for wait in result.releases:
        day = "not within two months" if wait.day is None else f"day {wait.day:.1f}"
        on = "" if wait.day is None or not dated else f"{weather.at(result.placed_h + 24.0 * wait.day):%d %b %H:%M}"
        needed = f"{100 * wait.share:.0f} %" if wait.share > 0 else "age only"
        rows.append([wait.what, wait.zone, needed, wait.strength_pa if wait.strength_pa > 0 else None, day, on, wait.clause.source.key])
    return Table.of(
        "What may come when", ["what", "on the strength of", "share", Column("strength", "pa"), "after placing", "that is", "rule"], rows,
        note="Nine members of ten have the strength by then. Cylinders or maturity of the pour itself decide.",
    )  # fmt: skip


def _strengths(result: "CuringResult") -> Table:
    rows: list[list[Cell]] = [[name, *(found.at(days) for days in SHOWN_DAYS)] for name, found in result.hardening.items()]
    return Table.of(
        "Strength in place that nine members of ten reach", ["part", *(Column(f"day {days:.0f}", "pa") for days in SHOWN_DAYS)], rows
    )


def _blankets(result: "CuringResult") -> Table:
    rows: list[list[Cell]] = []
    for kept in result.protection:
        rated = "none tried is enough"
        if kept.resistance_m2k_w is not None:
            rated = f"R {kept.resistance_m2k_w / R_VALUE:.0f}, {layers_of_blanket(kept.resistance_m2k_w)} layers of R 2"
        off = "not within the weather" if kept.off_h is None else f"{kept.off_h:.0f} h after placing"
        rows.append([kept.zone.name, kept.bare_coldest_c, rated, kept.kept_coldest_c, kept.least_c, kept.days, off, kept.drop_k])
    return Table.of(
        "Blankets",
        [
            "part", Column("coldest, bare", "c"), "blanket", Column("coldest, covered", "c"), Column("asked for", "c"),
            Column("days", "days"), "may come off", Column("falls then by", "k"),
        ],
        rows,
    )  # fmt: skip
