"""The sheet for the dispatcher."""

from typing import TYPE_CHECKING

from slabwright.results.table import Column, Table
from slabwright.study import Done, Inputs, Presentation
from slabwright.units import INCH_M, LENGTH, PRESSURE, VOLUME, format_quantity

if TYPE_CHECKING:
    from slabwright.studies.mix.study import MixResult

SEEN_SLUMP_M = INCH_M / 4
"""The least change that a slump cone shows; common practice, no source. [m]"""


def present(inputs: Inputs, done: Done, result: "MixResult") -> Presentation:  # noqa: ARG001 - one signature for all studies
    """Stages, the order in words, and what water may still do."""
    return Presentation(tables=(_stages(result), _order(inputs, result)))


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
        ("Strength samples", str(result.n_samples)),
    ]
    if result.water is not None:
        more = format_quantity(result.water.water_m3, VOLUME, family, unit="gal" if family.value == "US" else "L", digits=3)
        slump = format_quantity(result.water.slump_gain_m, LENGTH, family)
        lost = format_quantity(result.water.strength_loss_pa, PRESSURE, family, digits=2)
        told = (
            f"{more}: about {slump} more slump, {lost} less strength" if result.water.slump_gain_m >= SEEN_SLUMP_M else "none worth adding"
        )
        rows.append(("Water that may still go into a full load", told))
    return Table.of(
        "Order for the dispatcher",
        ["", "Asked for"],
        rows,
        note="No water after a significant part of the load is out; name who allowed it on the ticket.",
    )
