"""Pictures and tables of the forms: the section with its pressure triangle, and the list of stakes and kickers."""

from itertools import accumulate
from typing import TYPE_CHECKING

from slabwright.model.supply import Forms
from slabwright.results.picture import Area, DimensionLine, Hatch, Item, Layer, Leader, Line, Picture
from slabwright.results.table import Column, Table
from slabwright.studies.forms.bracing import KICKER_SHARE, FormRun, stakes_along
from slabwright.study import Done, Inputs, Presentation
from slabwright.units import FOOT_M, FORCE, LENGTH, Family, format_quantity

if TYPE_CHECKING:
    from slabwright.studies.forms.study import FormsResult

_MOST_SIDES = 40


def present(inputs: Inputs, done: Done, result: "FormsResult") -> Presentation:  # noqa: ARG001 - one signature for all studies
    """The braced form in section, and tables of runs, sides, lifts and of other heights."""
    family, forms = inputs.job.family, inputs.job.forms
    tables = (_runs(result, family), _sides(result, forms, family), _lifts(result), _by_height(result, family))
    return Presentation(pictures=(_section(inputs, result),), tables=tables)


def _section(inputs: Inputs, result: "FormsResult") -> Picture:
    edge, run = inputs.job.edge, result.runs[0]
    assert edge is not None
    height, depth, floor, board = run.height_m, edge.depth_m, inputs.job.floor.thickness_m, inputs.job.forms.board_thickness_m
    slope = edge.run * (depth - floor)
    right = edge.width_m + slope + 0.4
    concrete = ((0.0, 0.0), (right, 0.0), (right, -floor), (edge.width_m + slope, -floor), (edge.width_m, -depth), (0.0, -depth))
    reach = 0.5 * height
    left = min(-1.2 * height - 0.4, -KICKER_SHARE * height - 0.3)
    bottom = -max(depth, height + run.kicker_embedment_m + 0.05, height + inputs.job.forms.stake_embedment_m + 0.05)
    items: list[Item] = [
        Area(
            layer=Layer.SOIL,
            outline=((left, -height), (0.0, -height), (0.0, bottom), (left, bottom)),
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
        Line(layer=Layer.SOIL, points=((left, -height), (-board, -height))),
        DimensionLine(start=(left, -height), end=(left, 0.0), offset_m=0.08),
        DimensionLine(start=(right, 0.0), end=(right, -depth), offset_m=0.08),
    ]
    if run.kickers:
        rise = KICKER_SHARE * height  # at 45 degrees, as the force triangle has it
        foot = -board - 0.02 - rise
        items += [
            Line(layer=Layer.FORM, points=((-board - 0.02, rise - height), (foot, -height)), weight=2.0, label="kicker"),
            Line(layer=Layer.FORM, points=((foot, 0.1 * height - height), (foot, -height - run.kicker_embedment_m)), weight=2.0),
        ]
    return Picture(
        key="form",
        title="Edge form, braced; cut at a stake, each stake as deep as it is driven",
        items=tuple(items),
        alt="Section through the edge form with its stake, kicker and the triangle of liquid pressure.",
    )


def _runs(result: "FormsResult", family: Family) -> Table:
    columns = (
        "Run", Column("Height", "m"), Column("Length", "m"), Column("Push", "n_m"), Column("Stakes every", "m"), Column("Stakes"),
        "Kickers", "Lift of each", "Hold down at each stake",
    )  # fmt: skip
    rows = [
        (
            run.name, run.height_m, run.length_m, run.thrust_n_m, run.stake_spacing_m, run.n_stakes, _kicker(run, family),
            _force(run.uplift_n, family), _force(run.hold_down_n, family),
        )
        for run in result.runs
    ]  # fmt: skip
    note = "The push is the full liquid head of fresh concrete. Hold down: what is needed beside the form's weight and its own stake."
    return Table.of("Stakes and kickers", columns, rows, note=note)


def _kicker(run: FormRun, family: Family) -> str:
    if not run.kickers:
        return "none"
    return f"at each stake, their own driven {format_quantity(run.kicker_embedment_m, LENGTH, family)}"


def _force(value_n: float, family: Family) -> str:
    return format_quantity(value_n, FORCE, family, unit="lb" if family is Family.US else "kN", digits=2) if value_n > 0 else "none"


def _sides(result: "FormsResult", forms: Forms, family: Family) -> Table:
    """Every straight side by its stations, which run round from the first corner of the outline."""
    stock = _stock_m(forms, family)
    rows = []
    for run in result.runs:
        ends = list(accumulate(run.sides_m, initial=0.0))
        for number, (side, start, end) in enumerate(zip(run.sides_m, ends, ends[1:], strict=False), start=1):
            stakes = stakes_along(side, run.stake_spacing_m)
            rows.append((f"{run.name}, side {number}", start, end, stakes, stakes if run.kickers else 0, _boards(side, stock, family)))
    columns = ("Side", Column("From", "m"), Column("To", "m"), Column("Stakes"), Column("Kickers"), "Boards")
    note = "Stations run along the form from its first corner. A stake stands at both ends of a side; boards meet over a stake."
    if len(rows) > _MOST_SIDES:
        note = f"The first {_MOST_SIDES} of {len(rows)} sides. {note}"
    return Table.of("Stakes, kickers and boards by side", columns, rows[:_MOST_SIDES], note=note)


def _stock_m(forms: Forms, family: Family) -> float:
    """Length that boards or steel forms come in; common practice, no source. [m]"""
    steel = forms.material == "steel"
    return (10 if steel else 16) * FOOT_M if family is Family.US else 3.0 if steel else 4.8


def _boards(side_m: float, stock_m: float, family: Family) -> str:
    whole = int(side_m / stock_m + 1e-6)
    rest = side_m - whole * stock_m
    said = [f"{whole} of {format_quantity(stock_m, LENGTH, family)}"] if whole else []
    return " and ".join([*said, *([f"1 of {format_quantity(rest, LENGTH, family, digits=3)}"] if rest > 1e-3 else [])])


def _lifts(result: "FormsResult") -> Table:
    columns = (
        "State", Column("Against the form", "m"), Column("Push", "n_m"), Column("At the foot, as a liquid", "pa"),
        Column("By the published formula", "pa"), Column("Expected, for information", "pa"),
    )  # fmt: skip
    rows = [(one.name, one.depth_m, one.thrust_n_m, one.head_pa, one.formula_pa, one.rested_pa) for one in result.lifts]
    note = (
        "The formula (ACI 347R) never goes under 600 psf (30 kPa), more than the head of any edge form, so it gives the head itself. "
        "What a lift that has stood is expected to press comes from its slump and from how it stiffens; forms are never designed for it."
    )
    return Table.of("What presses, lift by lift", columns, rows, note=note)


def _by_height(result: "FormsResult", family: Family) -> Table:
    rows = [
        (
            run.height_m, run.stake_spacing_m, _kicker(run, family), _force(run.hold_down_n, family),
            "holds" if all(check.ratio <= 1.0 for check in run.checks) else "does not hold: wider or longer stakes",
        )
        for run in result.by_height
    ]  # fmt: skip
    columns = (Column("Concrete against the form", "m"), Column("Stakes every", "m"), "Kickers", "Hold down at each stake", "")
    return Table.of("Spacing by height of form", columns, rows, note="With the boards and stakes of this job.")
