"""Pictures and tables of the forms: the section with its pressure triangle, and the list of stakes and kickers."""

from typing import TYPE_CHECKING

from slabwright.results.picture import Area, DimensionLine, Hatch, Item, Layer, Leader, Line, Picture
from slabwright.results.table import Column, Table
from slabwright.study import Done, Inputs, Presentation

if TYPE_CHECKING:
    from slabwright.studies.forms.study import FormsResult


def present(inputs: Inputs, done: Done, result: "FormsResult") -> Presentation:  # noqa: ARG001 - one signature for all studies
    """The braced form in section, and a table of runs."""
    return Presentation(pictures=(_section(inputs, result),), tables=(_runs(result),))


def _section(inputs: Inputs, result: "FormsResult") -> Picture:
    edge, run = inputs.job.edge, result.runs[0]
    assert edge is not None
    height, depth, floor, board = run.height_m, edge.depth_m, inputs.job.floor.thickness_m, inputs.job.forms.board_thickness_m
    slope = edge.run * (depth - floor)
    right = edge.width_m + slope + 0.4
    concrete = ((0.0, 0.0), (right, 0.0), (right, -floor), (edge.width_m + slope, -floor), (edge.width_m, -depth), (0.0, -depth))
    reach = 0.5 * height
    items: list[Item] = [
        Area(
            layer=Layer.SOIL,
            outline=((-1.2 * height - 0.4, -height), (0.0, -height), (0.0, -depth), (-1.2 * height - 0.4, -depth)),
            hatch=Hatch.EARTH,
            outlined=False,
        ),
        Area(layer=Layer.CONCRETE_CUT, outline=concrete, hatch=Hatch.MEDIUM),
        Area(layer=Layer.FORM, outline=((-board, 0.0), (0.0, 0.0), (0.0, -height), (-board, -height)), hatch=Hatch.SPARSE),
        Line(layer=Layer.FORM, points=((-board - 0.02, 0.0), (-board - 0.02, -height - inputs.job.forms.stake_embedment_m)), weight=2.0),
        Area(layer=Layer.CHALK, outline=((0.05, 0.0), (0.05 + reach, -height), (0.05, -height)), hatch=Hatch.NONE),
        Leader(
            layer=Layer.CHALK,
            tip=(0.05 + 0.6 * reach, -0.8 * height),
            at=(edge.width_m + 0.3, -0.45 * depth - 0.12),
            text="liquid pressure",
        ),
        Line(layer=Layer.SOIL, points=((-1.2 * height - 0.4, -height), (-board, -height))),
        DimensionLine(start=(-1.2 * height - 0.4, -height), end=(-1.2 * height - 0.4, 0.0), offset_m=0.08),
        DimensionLine(start=(right, 0.0), end=(right, -depth), offset_m=0.08),
    ]
    if run.kickers:
        top = -height / 3
        items.append(Line(layer=Layer.FORM, points=((-board, top), (-board - (height + top) - 0.15, -height)), weight=2.0, label="kicker"))
    return Picture(
        key="form",
        title="Edge form, braced; cut at a stake",
        items=tuple(items),
        alt="Section through the edge form with its stake, kicker and the triangle of liquid pressure.",
    )


def _runs(result: "FormsResult") -> Table:
    return Table.of(
        "Stakes and kickers",
        [
            "Run",
            Column("Height", "m"),
            Column("Length", "m"),
            Column("Push", "n_m"),
            Column("Stakes every", "m"),
            Column("Stakes"),
            "Kicker",
            Column("Lift of a kicker", "n"),
        ],
        [
            (
                run.name,
                run.height_m,
                run.length_m,
                run.thrust_n_m,
                run.stake_spacing_m,
                run.n_stakes,
                "at each stake" if run.kickers else "none",
                run.uplift_n,
            )
            for run in result.runs
        ],
        note="The push is the full liquid head of fresh concrete.",
    )
