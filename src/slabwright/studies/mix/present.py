"""The sheet for the dispatcher."""

from typing import TYPE_CHECKING

from slabwright.results.table import Column, Table
from slabwright.studies.mix.temperature import Means
from slabwright.study import Done, Inputs, Presentation
from slabwright.units import (
    CUBIC_YARD_M3,
    DENSITY,
    GALLON_M3,
    INCH_M,
    LENGTH,
    PRESSURE,
    TEMPERATURE,
    VOLUME,
    Family,
    format_quantity,
)  # fmt: skip

if TYPE_CHECKING:
    from slabwright.studies.mix.study import MixResult

SEEN_SLUMP_M = INCH_M / 4
"""The least change that a slump cone shows; common practice, no source. [m]"""


def present(inputs: Inputs, done: Done, result: "MixResult") -> Presentation:  # noqa: ARG001 - one signature for all studies
    """Stages, the order in words, what the ingredients' heat does, and the mix beside a first proportioning."""
    tables = (_stages(result), _order(inputs, result), _heat(result, inputs.job.family), _beside(inputs, result), _added(inputs))
    return Presentation(tables=tuple(table for table in tables if table.rows))


def _stages(result: "MixResult") -> Table:
    return Table.of(
        "Slump by stage",
        ["Stage", Column("Concrete", "m3"), Column("Slump", "m"), Column("Accept from", "m"), Column("to", "m"), "Why"],
        [(one.name, one.volume_m3, one.slump_m, one.low_m, one.high_m, one.why) for one in result.stages],
        note="Slump as it leaves the chute or the hose.",
    )


def _order(inputs: Inputs, result: "MixResult") -> Table:
    mix, family = inputs.job.mix, inputs.job.family
    assert mix is not None
    rows = [
        ("Strength", format_quantity(mix.strength_pa, PRESSURE, family)),
        ("Exposure classes", ", ".join(mix.exposure) or "none stated"),
        ("Water-cement ratio, highest", f"{mix.w_cm:.2f}" if mix.w_cm else "none stated"),
        ("Air", f"{100 * mix.air:.1f} %" if mix.air else "none added"),
        ("Largest stone", format_quantity(mix.aggregate_size_m, LENGTH, family)),
        ("Cement", mix.cement_type),
        ("Time limit, batch to discharge", f"{mix.time_limit_s / 60:.0f} min" if mix.time_limit_s else "to be agreed before delivery"),
        ("Fibres", _fibres(inputs)),
        *_warmth(inputs, result),
        ("Tests at the chute", f"slump, temperature{', air' if mix.air else ''} of each load"),
        ("Strength samples, unit weight with each", str(result.n_samples)),
    ]
    if result.water is not None:
        unit = ("gal/yd³", GALLON_M3 / CUBIC_YARD_M3) if family is Family.US else ("L/m³", 1e-3)
        each = result.water.water_kg_m3 / 1000 / unit[1]
        more = format_quantity(result.water.water_m3, VOLUME, family, unit="gal" if family.value == "US" else "L", digits=3)
        slump = format_quantity(result.water.slump_gain_m, LENGTH, family, digits=2)
        lost = format_quantity(result.water.strength_loss_pa, PRESSURE, family, digits=2)
        told = (
            f"{more}, {each:.2g} {unit[0]} into any other: about {slump} more slump, {lost} less strength"
            if result.water.slump_gain_m >= SEEN_SLUMP_M
            else "none worth adding"
        )
        rows.append(("Water that may still go into a full load", told))
    return Table.of(
        "Order for the dispatcher",
        ["", "Asked for"],
        rows,
        note="No water after a significant part of the load is out; name who allowed it on the ticket.",
    )


def _fibres(inputs: Inputs) -> str:
    mix, family = inputs.job.mix, inputs.job.family
    assert mix is not None
    if mix.fibre_kg_m3 > 0:
        return f"{format_quantity(mix.fibre_kg_m3, DENSITY, family, unit=family.says('lb/yd3', 'kg/m3'), digits=2)}"
    return "none"


def _added(inputs: Inputs) -> Table:
    """What may be put into the mix, with what it does and does not do."""
    some = inputs.job.family.says("1 lb/yd³", "0.6 kg/m³")
    rows = [
        (f"Fine fibres, about {some}", "keep the cracks of the first hours small", "replace no bar, no mesh and no joint"),
        (
            "Coarse fibres",
            "hold cracks of the hard floor together",
            "replace mesh only where the engineer has designed for them; never bars",
        ),
        ("Water on site", "makes it softer, up to the ratio ordered", "never comes without less strength and more shrinkage"),
    ]
    return Table.of("What may be added", ("", "Does", "Does not"), rows, note="Common practice, no source; the mix is the supplier's.")


def _warmth(inputs: Inputs, result: "MixResult") -> list[tuple[str, str]]:
    """How warm it is ordered, and how the plant gets it so."""
    heat, family = result.heat, inputs.job.family
    if heat is None:
        return []

    def told(temp_c: float) -> str:
        return format_quantity(temp_c, TEMPERATURE, family, digits=2)

    ice = format_quantity(heat.ice_kg_m3, DENSITY, family, unit=family.says("lb/yd3", "kg/m3"), digits=2)
    said = {
        Means.NOTHING: "as it comes",
        Means.HOT_WATER: f"at {told(heat.water_needed_c or 0.0)}",
        Means.HOT_AGGREGATE: f"at {told(heat.water_needed_c or 0.0)}, and aggregate warmed to {told(heat.aggregate_needed_c or 0.0)}",
        Means.CHILLED_WATER: f"chilled to {told(heat.water_needed_c or 0.0)}",
        Means.ICE: f"{ice} of it as ice",
        Means.OUT_OF_REACH: "ice alone does not do it: cooler aggregate, or a start at night",
    }
    return [
        ("Concrete at the chute", f"{told(heat.wanted_c)}; {told(heat.batch_c)} as batched"),
        ("Mixing water", f"{said[heat.means]}{'; to be checked at the plant' if heat.assumed else ''}"),
    ]


def _heat(result: "MixResult", family: Family) -> Table:
    """The balance of heat behind the mixing water."""
    heat = result.heat
    columns = ("", "", "")
    if heat is None:
        return Table.of("Heat of the ingredients", columns, ())
    rows = [
        *(
            (name.capitalize(), value, "assumed" if name in heat.assumed else "stated")
            for name, value in (("aggregate", heat.aggregate_c), ("cement", heat.cement_c), ("water", heat.water_c))
        ),
        ("Concrete from them, as batched", heat.as_it_lies_c, "by their heat"),
        ("Concrete wanted, as batched", heat.batch_c, "with what the trip takes"),
        ("Concrete wanted, at the chute", heat.wanted_c, "ordered"),
    ]
    note = "Ways in turn: hot water to 140 °F (60 °C), then warmed aggregate; chilled water to 41 °F (5 °C), then ice for up to 3/4 of it."
    shown = [(name, format_quantity(value, TEMPERATURE, family, digits=2), how) for name, value, how in rows]
    return Table.of("Heat of the ingredients", columns, shown, note=note)


def _beside(inputs: Inputs, result: "MixResult") -> Table:
    """The supplier's weights beside a first proportioning."""
    mix, first = inputs.job.mix, result.first
    assert mix is not None
    unit = inputs.job.family.says("lb/yd3", "kg/m3")
    columns = ("", Column("The supplier's", "kg_m3", unit), Column("A first trial", "kg_m3", unit))
    if first is None or not (mix.cement_kg_m3 and mix.water_kg_m3 and mix.aggregate_kg_m3):
        return Table.of("The mix beside a first trial", columns, ())
    rows = [
        ("Water", mix.water_kg_m3, first.water_kg_m3),
        ("Cement", mix.cement_kg_m3, first.cement_kg_m3),
        ("Stone and sand", mix.aggregate_kg_m3, first.coarse_kg_m3 + first.fine_kg_m3),
    ]
    note = (
        "ACI 211.1, absolute volumes, plain cement and no admixture, for the mean strength that a supplier without records aims at: "
        "to see whether a mix is plausible, not to order by. A water reducer takes a tenth or more off the water and the cement."
    )
    return Table.of("The mix beside a first trial", columns, rows, note=note)
