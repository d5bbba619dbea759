"""Pictures and tables of moisture: hours of sweating by month, vapour from the soil by sheet."""

from typing import TYPE_CHECKING

import numpy as np

from slabwright.results.picture import Area, Hatch, Item, Layer, Line, Note, Picture
from slabwright.results.table import Cell, Column, Table
from slabwright.standards.vapour_flow import FLOORING_LIMIT_KG_M2_S
from slabwright.study import Done, Inputs, Presentation

if TYPE_CHECKING:
    from slabwright.studies.moisture.study import MoistureResult

MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December")
_HATCHES = (Hatch.DENSE, Hatch.SPARSE, Hatch.MEDIUM, Hatch.NONE)
_HIGH_M, _MONTH_M = 8.0, 2.4


def present(inputs: Inputs, done: Done, result: "MoistureResult") -> Presentation:  # noqa: ARG001 - one signature for all studies
    """Hours of sweating and vapour drive by month."""
    return Presentation(pictures=(_bars(result),), tables=(_hours(result), _drives(result)))


def _bars(result: "MoistureResult") -> Picture:
    months = np.array(result.months)
    counts = [year.hours_by_month(months) for year in result.years]
    most = max(1, *(max(count) for count in counts))
    wide = 0.9 * _MONTH_M / len(counts)
    items: list[Item] = [Line(layer=Layer.DIMENSION, points=((0.0, 0.0), (12 * _MONTH_M, 0.0)))]
    for number, (year, count) in enumerate(zip(result.years, counts, strict=True)):
        for month, hours in enumerate(count):
            left = month * _MONTH_M + number * wide
            ring = ((left, 0.0), (left + wide, 0.0), (left + wide, _HIGH_M * hours / most), (left, _HIGH_M * hours / most))
            if hours > 0:
                items.append(Area(layer=Layer.CONCRETE_SEEN, outline=ring, hatch=_HATCHES[number % 4], label=year.variant.name))
        key = (0.4, _HIGH_M + 1.2 + 0.9 * (len(counts) - 1 - number))
        items.append(Area(layer=Layer.CONCRETE_SEEN, outline=_box(*key), hatch=_HATCHES[number % 4], label=year.variant.name))
        items.append(Note(layer=Layer.TEXT, at=(key[0] + 1.2, key[1] + 0.3), text=year.variant.name, size=0.8, anchor="start"))
    for month, name in enumerate(MONTHS):
        items.append(Note(layer=Layer.DIMENSION, at=((month + 0.45) * _MONTH_M, -0.7), text=name[:3], size=0.8))
    items.append(Note(layer=Layer.DIMENSION, at=(-0.4, _HIGH_M), text=f"{most} h", size=0.8, anchor="end"))
    return Picture(
        key="sweating",
        title="Hours of sweating in each month of a typical year",
        items=tuple(items),
        alt="Bars for twelve months, one for the floor as drawn and one for each way of insulating it.",
    )


def _box(x: float, y: float) -> tuple[tuple[float, float], ...]:
    return ((x, y), (x + 0.8, y), (x + 0.8, y + 0.6), (x, y + 0.6))


def _hours(result: "MoistureResult") -> Table:
    months = np.array(result.months)
    rows: list[list[Cell]] = []
    for year in result.years:
        coldest = float(year.surface_c.min())
        rows.append([year.variant.name, *year.hours_by_month(months), int(year.wet.sum()), coldest])
    gap = max(year.gap for year in result.years)
    return Table.of(
        "Hours of sweating",
        ["floor", *(name[:3] for name in MONTHS), "year", Column("coldest surface", "c")],
        rows,
        note=f"Surface at or below the dew point of the air over it. The energy balance of the year closes to {gap:.0e} of what moved.",
    )


def _drives(result: "MoistureResult") -> Table:
    named = {"as drawn": result.own_drive, **result.drives}
    rows: list[list[Cell]] = [
        [
            name,
            *(drive.flow_kg_m2_s for drive in drives),
            "within" if max(d.flow_kg_m2_s for d in drives) <= FLOORING_LIMIT_KG_M2_S else "above",
        ]
        for name, drives in named.items()
    ]
    return Table.of(
        "Vapour from the soil by retarder, mean of the month",
        ["sheet", *(Column(name[:3], "kg_m2_s") for name in MONTHS), "what coverings stand"],
        rows,
        note="Upward positive; sheet and slab in series, soil wet. Retarder classes at their greatest permeance.",
    )
