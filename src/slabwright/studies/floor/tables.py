"""Tables of the floor."""

from typing import TYPE_CHECKING

from slabwright.results.table import Column, Table
from slabwright.studies.floor.wording import BENDING, GROUND, MOVEMENT, unit_of, value_text
from slabwright.units import Family

if TYPE_CHECKING:
    from slabwright.studies.floor.study import FloorResult


def tables(result: "FloorResult", family: Family) -> tuple[Table, ...]:
    """Headline figures, states, posts, thin floor, wheels, proof."""
    found = [
        _headlines(result, family),
        _states(result, family),
        _posts(result, family),
        _thin(result, family),
        _wheels(result, family),
        _quick(result),
        _proof(result),
    ]
    return tuple(table for table in found if table.rows)


def _headlines(result: "FloorResult", family: Family) -> Table:
    """Values of many kinds in one table: each as text with its unit."""
    figures = [*result.figures.values(), *([result.open_joints] if result.open_joints is not None else [])]
    return Table.of(
        "Headline figures",
        ["Figure", "Value", Column("x", "m"), Column("y", "m"), "Mesh", "State"],
        [
            (figure.name, value_text(figure, family), *(figure.at or (None, None)), f"±{100 * figure.spread:.1f} %", figure.case)
            for figure in figures
        ],
        note="Places from the south-west form corner. Mesh: change against elements of one order less, over three.",
    )


def _states(result: "FloorResult", family: Family) -> Table:
    rows = [
        (one.name, one.top_pa, one.bottom_pa, one.pressure_pa, one.settlement_m, one.rise_m, f"{100 * one.contact:.0f} %")
        for one in result.states
    ]
    return Table.of(
        "States solved",
        [
            "State",
            Column("Top", "pa", unit_of(BENDING, family)),
            Column("Bottom", "pa", unit_of(BENDING, family)),
            Column("Ground", "pa", unit_of(GROUND, family)),
            Column("Settlement", "m", unit_of(MOVEMENT, family)),
            Column("Rise", "m", unit_of(MOVEMENT, family)),
            "In contact",
        ],
        rows,
        note="Tension of the floor; settlement from the slab at rest; dried: curled by drying. First solutions; figures above: finer ones.",
    )


def _posts(result: "FloorResult", family: Family) -> Table:
    return Table.of(
        "Settlement of posts",
        ["Post", Column("Least", "m", unit_of(MOVEMENT, family)), Column("Greatest", "m", unit_of(MOVEMENT, family))],
        [(name, min(values), max(values)) for name, values in result.settlements_m.items()],
    )


def _thin(result: "FloorResult", family: Family) -> Table:
    return Table.of(
        "If the floor comes out thin",
        [
            "Under",
            Column("Thinner by", "m"),
            Column("Greatest tension", "pa", unit_of(BENDING, family)),
            "Of what it may bear",
            "Against drawn",
            "By thickness squared",
        ],
        [
            (one.what, one.less_m, one.stress_pa, f"{100 * one.of_limit:.0f} %", f"{one.ratio:.2f}", f"{one.by_rule:.2f}")
            for one in result.thin
        ],
        note="As thin as the tolerances of the job accept: the average of all samples first, then a single sample.",
    )


def _wheels(result: "FloorResult", family: Family) -> Table:
    return Table.of(
        "Wheels moved over the floor",
        [
            "Wheel",
            "Places",
            Column("Top", "pa", unit_of(BENDING, family)),
            Column("Bottom", "pa", unit_of(BENDING, family)),
            Column("Top, dried", "pa", unit_of(BENDING, family)),
            Column("Bottom, joint open", "pa", unit_of(BENDING, family)),
            Column("x", "m"),
            Column("y", "m"),
        ],
        [
            (
                one.wheel.name,
                f"{one.n_alike}, {one.n_places} of them different",
                one.top.value,
                one.bottom.value,
                one.curled.value,
                one.open_joint.value if one.open_joint is not None else None,
                *one.stands[1],
            )
            for one in result.wheels
        ],
        note="x and y: where the middle of the axle stands when the bottom is worst.",
    )


def _quick(result: "FloorResult") -> Table:
    return Table.of(
        "What a quick model would have said",
        ["Figure", "Quick over true"],
        [(words, f"{ratio:.2f}") for words, ratio in result.quick],
        note=f"Quick: thick parts centred on the floor's middle plane, as if they did not hang below it. State: {result.governing.case}.",
    )


def _proof(result: "FloorResult") -> Table:
    return Table.of(
        "Why these answers are answers",
        ["State", "Unknowns", "Out of balance", "Residual", "Contact settled", "Passes", "Factors"],
        [
            (
                one.name,
                one.proof.n_unknowns,
                f"{one.proof.imbalance:.0e}",
                f"{one.proof.residual:.0e}",
                "yes" if one.proof.settled else "no",
                one.proof.n_passes,
                one.proof.n_factors,
            )
            for one in result.states
            if one.proof.twice
        ],
        note="States that a checked figure hangs on. An answer that does not balance or settle is refused, never shown.",
    )
