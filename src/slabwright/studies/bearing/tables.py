"""Tables of this study: load path, pads, ballast, walls, anchors, sizes that hold, the letter."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, TypeVar

from slabwright.model.load_path import CASE_WORDS
from slabwright.results.table import Cell, Column, Table
from slabwright.studies.bearing.letter import Letter
from slabwright.studies.bearing.suggest import PadSize, Suggestions

if TYPE_CHECKING:
    from slabwright.studies.bearing.study import BearingResult

T = TypeVar("T")


def tables(result: "BearingResult") -> tuple[Table, ...]:
    """All tables that have rows, in reading order."""
    found = (
        load_path(result), pads(result), ballast(result), walls(result), spans(result), anchors(result), sizes(result.suggestions),
        sets(result.suggestions), *letter_tables(result.letter),
    )  # fmt: skip
    return tuple(table for table in found if table.rows)


def load_path(result: "BearingResult") -> Table:
    """Where each load comes from and what it amounts to."""
    rows: list[list[Cell]] = []
    for stand in result.stands:
        rows += [[stand.name, CASE_WORDS[one.case], one.source, one.pressure_pa, one.area_m2, one.down_n] for one in stand.path]
        rows += [[stand.name, CASE_WORDS[case], f"wall {wall} over the pad", None, None, force] for wall, case, force in stand.wall_loads]
    return Table.of(
        "Load path: from roof and walls to the pads",
        ["Post", "Case", "From", Column("Pressure", "pa"), Column("Area", "m2"), Column("Down", "n")],
        rows,
        "Uplift is negative. Pressures are on the horizontal projection.",
    )


def pads(result: "BearingResult") -> Table:
    """Each post's pad: size, pressures, worst ratios, the thin case."""
    rows: list[list[Cell]] = []
    for stand in result.stands:
        one = result.pads[stand.name]
        rows.append(
            [
                stand.name, stand.pad.size_x_m, stand.pad.size_y_m, stand.pad.depth_m, one.strength_n, one.gross_pa, one.net_pa,
                result.bearing_pa, one.bearing_combination, one.design, one.strength_ratio, one.thin_depth_m, one.thin_ratio,
                result.settlements_m.get(stand.name),
            ]
        )  # fmt: skip
    return Table.of(
        "Pads: soil pressure and strength",
        [
            "Post", Column("Length", "m"), Column("Width", "m"), Column("Depth", "m"), Column("Factored load", "n"), Column("Gross", "pa"),
            Column("Net", "pa"), Column("Allowable", "pa"), "Governs", "Checked as", Column("Concrete, worst ratio"),
            Column("Least depth", "m"), Column("Ratio at least depth"), Column("Settlement", "m"),
        ],
        rows,
        "Gross counts the pad's own weight; net takes off the soil dug out. The gross pressure is held against the allowable.",
    )  # fmt: skip


def ballast(result: "BearingResult") -> Table:
    """Every part of the ballast on its own line, with the ratio as it stands with this part and those above."""
    rows: list[list[Cell]] = []
    for stand in result.stands:
        one, total = result.uplift[stand.name], 0.0
        for line in one.lines:
            total += line.weight_n
            ratio = one.net_up_n / (one.dead_factor * total) if total > 0 else None
            counted = "yes" if line.counted else "no"
            rows.append([stand.name, line.part, line.how, line.weight_n, counted, ratio, one.net_up_n, one.combination])
    return Table.of(
        "Ballast of the posts that wind lifts",
        [
            "Post", "Part", "How", Column("Weight", "n"), "Counted", Column("Ratio with all lines so far"), Column("Net uplift", "n"),
            "Combination",
        ],
        rows,
        "Strike out what is not tied to the post. The ratio is net uplift over the ballast times the combination's factor on dead load.",
    )  # fmt: skip


def walls(result: "BearingResult") -> Table:
    """Walls on edge and strips: load, pressure, width needed."""
    rows: list[list[Cell]] = [
        [
            one.part, one.wall, one.line_load_n_m, one.own_weight_n_m, one.pressure_pa, result.bearing_pa, one.width_m, one.needed_width_m,
            one.combination,
        ]
        for one in result.walls
    ]  # fmt: skip
    return Table.of(
        "Walls on the edge and on strips",
        [
            "On", "Wall", Column("Wall load", "n_m"), Column("Own weight", "n_m"), Column("Pressure", "pa"), Column("Allowable", "pa"),
            Column("Width", "m"), Column("Width needed", "m"), "Governs",
        ],
        rows,
    )  # fmt: skip


def spans(result: "BearingResult") -> Table:
    """Edge and strips over a soft spot."""
    rows: list[list[Cell]] = [
        [one.part, one.gap_m, one.load_n_m, face, moment, capacity, moment / capacity]
        for one in result.spans
        for face, moment, capacity in zip(("bottom", "top"), one.moments_nm, one.capacities_nm, strict=True)
    ]
    return Table.of(
        "Bridging a soft spot",
        [
            "Part", Column("Soft spot", "m"), Column("Factored load", "n_m"), "Tension at", Column("Moment", "nm"), Column("Carries", "nm"),
            Column("Ratio"),
        ],
        rows,
    )  # fmt: skip


def anchors(result: "BearingResult") -> Table:
    """Demands on anchors and their weakest modes."""
    rows: list[list[Cell]] = [
        [name, one.tension_n, one.tension_mode, one.shear_n, one.shear_mode, one.ratio] for name, one in result.anchors.items()
    ]
    return Table.of(
        "Anchors",
        ["Post", Column("Tension", "n"), "Weakest in tension", Column("Shear", "n"), "Weakest in shear", Column("Ratio")],
        rows,
    )


def sizes(suggestions: Suggestions) -> Table:
    """The least size for each post alone, and in the set proposed."""
    best = dict(suggestions.best.choice) if suggestions.best is not None else {}
    rows: list[list[Cell]] = []
    for name, least in suggestions.least:
        chosen = best.get(name, least)
        rows.append([name, least.side_m, least.depth_m, chosen.side_m, chosen.depth_m])
    rows += [[name, None, None, None, None] for name in suggestions.none_for]
    return Table.of(
        "Square pads that hold every check",
        ["Post", Column("Least side", "m"), Column("Least depth", "m"), Column("Side in the set", "m"), Column("Depth in the set", "m")],
        rows,
        "Pads centred below their posts, on a grid of 2 in. or 50 mm. The set is the fewest kinds of hole that need at most 5 per cent "
        "more concrete than three kinds.",
    )


def sets(suggestions: Suggestions) -> Table:
    """With one, two and three kinds of pad."""
    rows: list[list[Cell]] = []
    for number, one in enumerate(suggestions.sets, start=1):
        for size in one.sizes:
            rows.append([number, size.side_m, size.depth_m, _count(one.choice, size), one.concrete_m3])
    note = "Proven: no other sizes on the grid need less concrete below the floor with as few kinds."
    return Table.of(
        "Kinds of hole",
        [Column("Kinds at most"), Column("Side", "m"), Column("Depth", "m"), Column("Pads"), Column("Concrete of all pads", "m3")],
        rows,
        note,
    )


def _count(choice: tuple[tuple[str, PadSize], ...], size: PadSize) -> int:
    return sum(one == size for _, one in choice)


def _alike(rows: Mapping[str, T]) -> list[tuple[str, T]]:
    """Posts of which all is alike, named together; in the order of the first of each."""
    groups: dict[tuple[object, ...], list[str]] = {}
    kept: dict[tuple[object, ...], T] = {}
    for name, row in rows.items():
        key = _rounded(row)
        groups.setdefault(key, []).append(name)
        kept.setdefault(key, row)
    return [(_run_together(names), kept[key]) for key, names in groups.items()]


def _rounded(value: object) -> tuple[object, ...]:
    """Values to six digits, so that the last bit of a sum parts nobody."""
    if isinstance(value, tuple):
        return tuple(part for one in value for part in _rounded(one))
    return (f"{value:.6g}" if isinstance(value, float) else value,)


def _run_together(names: Sequence[str]) -> str:
    """Names with those that follow one another by number drawn together.

    >>> _run_together(["P1", "P2", "P3", "P7", "corner"])
    'P1 to P3, P7, corner'
    """
    runs: list[list[str]] = []
    for name in names:
        if runs and _follows(runs[-1][-1], name):
            runs[-1].append(name)
        else:
            runs.append([name])
    return ", ".join(f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(run) for run in runs)


def _follows(before: str, name: str) -> bool:
    head, tail = name.rstrip("0123456789"), name[len(name.rstrip("0123456789")) :]
    return bool(tail) and before == f"{head}{int(tail) - 1}"


def letter_tables(letter: Letter) -> tuple[Table, ...]:
    """The letter to the engineer."""
    cases: dict[str, list[tuple[Cell, ...]]] = {}
    for one in letter.loads:
        row = (CASE_WORDS[one.case], one.down_n, one.shear_x_n, one.shear_y_n, one.moment_x_nm, one.moment_y_nm)
        cases.setdefault(one.post, []).append(row)
    loads: list[list[Cell]] = [
        [names if number == 0 else "", *row]
        for names, rows in _alike({post: tuple(rows) for post, rows in cases.items()})
        for number, row in enumerate(rows)
    ]
    sizes = {
        one.post: (
            one.size_x_m, one.size_y_m, one.depth_m, one.bars or "none", one.design, one.gross_pa, one.strength_ratio, one.uplift_ratio,
        )
        for one in letter.pads
    }  # fmt: skip
    proposed: list[list[Cell]] = [[names, *row, "", ""] for names, row in _alike(sizes)]
    statements: list[list[Cell]] = [["Editions", letter.editions, ""], ["Ground", letter.ground, ""]]
    statements += [["Taken", text, ""] for text in letter.assumptions]
    questions: list[list[Cell]] = [[number, text, ""] for number, text in enumerate(letter.questions, start=1)]
    return (
        Table.of(
            "To the engineer: loads on the posts",
            [
                "Post", "Case", Column("Down", "n"), Column("East", "n"), Column("North", "n"), Column("Moment east", "nm"),
                Column("Moment north", "nm"),
            ],
            loads,
            letter.subject,
        ),
        Table.of(
            "To the engineer: sizes proposed",
            [
                "Post", Column("Length", "m"), Column("Width", "m"), Column("Depth", "m"), "Bars", "Checked as", Column("Gross", "pa"),
                Column("Concrete ratio"), Column("Uplift ratio"), "Approved", "Changed to",
            ],
            proposed,
        ),
        Table.of("To the engineer: what was taken for granted", ["Kind", "Statement", "Approved"], statements),
        Table.of("To the engineer: what is asked", [Column("No."), "Question", "Answer"], questions, "Name, licence, date, signature:"),
    )  # fmt: skip
