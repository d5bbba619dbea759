"""Pictures and tables of the lines: setting-out sheet, stakes as found with their moves, forms, level book."""

import math
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
import shapely

from slabwright.results.picture import Circle, DimensionLine, Item, Layer, Leader, Line, Note, Picture, Scale
from slabwright.results.table import Column, Table
from slabwright.solvers.network import ellipse_factor
from slabwright.studies.lines.forms import FormCheck
from slabwright.studies.lines.layout import CheckRectangle, SettingOut, Stake, StringLine
from slabwright.studies.lines.levels import LevelRun
from slabwright.studies.lines.moves import Verdict
from slabwright.studies.lines.remarks import direction
from slabwright.studies.lines.staked import Staked
from slabwright.study import Done, Inputs, Presentation
from slabwright.units import LENGTH, Family, format_quantity

if TYPE_CHECKING:
    from slabwright.studies.lines.study import LinesResult

_BOARD_M = 1.2
_MANY_CORNERS = 40


def present(inputs: Inputs, done: Done, result: "LinesResult") -> Presentation:  # noqa: ARG001 - one signature for all studies
    """The setting-out sheet always; the rest where something was measured."""
    family = inputs.job.family
    pictures = [_sheet(result.setting_out, family)]
    tables = [_stake_list(result.setting_out), _string_list(result.setting_out), _diagonal_list(result.setting_out)]
    if result.setting_out.offsets:
        tables.append(_offset_list(result.setting_out))
    if result.staked is not None and result.verdict is not None:
        pictures.append(_found(result.setting_out, result.staked, result.verdict, family))
        tables += [_checks(result.verdict), _stakes_found(result.staked, result.verdict), _measurements(result.staked)]
    if result.forms is not None:
        pictures.append(_forms(result.setting_out, result.forms, family))
        tables.append(_form_list(result.forms))
    if result.levels is not None:
        tables.append(_level_list(result.levels))
    return Presentation(pictures=tuple(pictures), tables=tuple(table for table in tables if table.rows))


def _outline(sheet: SettingOut, *, dashed: bool = False) -> Line:
    return Line(layer=Layer.CONCRETE_CUT, points=tuple(stake.at for stake in sheet.corners), closed=True, dashed=dashed)


def _sheet(sheet: SettingOut, family: Family) -> Picture:
    items: list[Item] = [_outline(sheet)]
    for string in sheet.strings:
        items.append(Line(layer=Layer.SETTING_OUT, points=(string.start, string.end), dashed=True, label=string.name))
        items += _boards(string)
        items.append(Note(layer=Layer.SETTING_OUT, at=string.start, text=string.name, boxed=True, bold=True))
    for rectangle in sheet.rectangles:
        items += _diagonals(rectangle, family)
    items += _sides(sheet)
    if len(sheet.corners) <= _MANY_CORNERS:
        items += [_stake_mark(stake, _outward(sheet, number)) for number, stake in enumerate(sheet.corners)]
    for stake in sheet.others:
        items.append(Circle(layer=Layer.SETTING_OUT, centre=stake.at, radius_m=0.08, filled=True, label=stake.name))
    return Picture(
        key="setting-out",
        title="Setting out: strings between batter boards, stakes, diagonals to check",
        items=tuple(items),
        alt=f"Plan of the form line with {len(sheet.strings)} strings, their batter boards and the diagonals to check.",
        notes=(
            "All boards at one level. Strings run from nail to nail; corners are where they cross.",
            f"Boards stand {format_quantity(sheet.board_offset_m, LENGTH, family)} outside the form line.",
        ),
    )


def _boards(string: StringLine) -> list[Item]:
    """A board square to the string at either end."""
    (x1, y1), (x2, y2) = string.start, string.end
    length = math.dist(string.start, string.end)
    nx, ny = -(y2 - y1) / length * _BOARD_M / 2, (x2 - x1) / length * _BOARD_M / 2
    return [Line(layer=Layer.FORM, points=((x - nx, y - ny), (x + nx, y + ny)), weight=2.0) for x, y in (string.start, string.end)]


def _diagonals(rectangle: CheckRectangle, family: Family) -> list[Item]:
    a, b, c, d = rectangle.places
    items: list[Item] = [Line(layer=Layer.CHALK, points=ends, dashed=True, weight=0.7) for ends in ((a, c), (b, d))]
    at = (a[0] + 0.3 * (c[0] - a[0]), a[1] + 0.3 * (c[1] - a[1]))
    angle = math.atan2(c[1] - a[1], c[0] - a[0])
    text = format_quantity(rectangle.diagonal_m, LENGTH, family)
    items.append(Note(layer=Layer.CHALK, at=at, text=text, angle_rad=angle, boxed=True))
    return items


def _sides(sheet: SettingOut) -> list[Item]:
    if len(sheet.corners) > _MANY_CORNERS:
        return []
    ring = [*sheet.corners, sheet.corners[0]]
    return [DimensionLine(start=b.at, end=a.at, offset_m=0.55) for a, b in pairwise(ring)]


def _outward(sheet: SettingOut, number: int) -> tuple[float, float]:
    """Unit direction away from the floor at a corner."""
    corners = sheet.corners
    here, before, after = (np.array(corners[i % len(corners)].at) for i in (number, number - 1, number + 1))
    into = (before - here) / np.linalg.norm(before - here) + (after - here) / np.linalg.norm(after - here)
    size = float(np.linalg.norm(into))
    if size < 1e-6:
        return 0.0, -1.0
    out = -into / size
    inside = shapely.Polygon([corner.at for corner in corners]).contains(shapely.Point(here + 0.05 * out))
    return (float(-out[0]), float(-out[1])) if inside else (float(out[0]), float(out[1]))


def _stake_mark(stake: Stake, out: tuple[float, float]) -> Note:
    at = (stake.at[0] + 0.45 * out[0], stake.at[1] + 0.45 * out[1])
    return Note(layer=Layer.SETTING_OUT, at=at, text=stake.name, bold=True, size=1.2)


def _found(sheet: SettingOut, staked: Staked, verdict: Verdict, family: Family) -> Picture:
    """Stakes as found, errors and ellipses drawn many times enlarged."""
    span = max(np.ptp([stake.at for stake in sheet.corners], axis=0))
    worst = max([point.off_m for point in staked.points] + [3 * point.ellipse_major_m for point in staked.points] + [1e-4])
    enlarged = max(1.0, 10 ** math.floor(math.log10(0.12 * span / worst)))
    items: list[Item] = [_outline(sheet)]
    for point in staked.points:
        out = tuple(point.design[i] + enlarged * (point.found[i] - point.design[i]) for i in range(2))
        ellipse = _ellipse((out[0], out[1]), point.ellipse_major_m, point.ellipse_minor_m, point.ellipse_turn_rad, enlarged)
        items.append(Line(layer=Layer.SETTING_OUT, points=(point.design, (out[0], out[1])), weight=1.2))
        items.append(Line(layer=Layer.SETTING_OUT, points=ellipse, closed=True, weight=0.7))
        items.append(Circle(layer=Layer.SETTING_OUT, centre=point.design, radius_m=0.01 * span, filled=not point.held, label=point.name))
    names = [point.name for point in staked.points]
    for move in verdict.moves:
        here = staked.points[names.index(move.stake)].design
        away = _outward(sheet, next(i for i, corner in enumerate(sheet.corners) if corner.name == move.stake))
        at = (here[0] + 0.12 * span * away[0], here[1] + 0.12 * span * away[1])
        items.append(Leader(layer=Layer.CHALK, tip=here, at=at, text=f"move {move.stake} {direction(move, family)}"))
    moved = {move.stake for move in verdict.moves}
    for number, corner in enumerate(sheet.corners):
        if corner.name in names and corner.name not in moved:
            items.append(_stake_mark(corner, _outward(sheet, number)))
    return Picture(
        key="stakes",
        title="Stakes as found, with the moves",
        items=tuple(items),
        alt=f"Plan of the stakes with their errors; {len(verdict.moves)} to be moved.",
        notes=(f"Errors and 95 % ellipses are drawn {enlarged:,.0f} times too large.",),
    )


def _ellipse(centre: tuple[float, float], major: float, minor: float, turn: float, enlarged: float) -> tuple[tuple[float, float], ...]:
    angles = np.linspace(0, 2 * math.pi, 25)[:-1]
    factor = ellipse_factor(0.95) * enlarged
    x, y = factor * major * np.cos(angles), factor * minor * np.sin(angles)
    cos, sin = math.cos(turn), math.sin(turn)
    return tuple((float(centre[0] + a * cos - b * sin), float(centre[1] + a * sin + b * cos)) for a, b in zip(x, y, strict=True))


def _forms(sheet: SettingOut, forms: FormCheck, family: Family) -> Picture:
    low = min(station.raise_m for station in forms.stations)
    high = max(station.raise_m for station in forms.stations)
    items: list[Item] = [_outline(sheet)]
    for station in forms.stations:
        text = f"{station.name}: {'raise' if station.raise_m > 0 else 'lower'} {format_quantity(abs(station.raise_m), LENGTH, family)}"
        items.append(Circle(layer=Layer.FORM, centre=station.at, radius_m=0.1, filled=True, label=station.name))
        items.append(
            Note(layer=Layer.CHALK, at=station.at, text=text if abs(station.raise_m) > 5e-4 else f"{station.name}: right", boxed=True)
        )
    return Picture(
        key="forms",
        title="Form tops: what to raise or lower",
        items=tuple(items),
        scale=Scale(title="to raise", low=low, high=high, suffix="m"),
        alt="Plan of the form line with what each station must be raised or lowered.",
    )


def _stake_list(sheet: SettingOut) -> Table:
    rows = [(number, stake.name, *stake.at, stake.level_m, stake.what) for number, stake in enumerate(sheet.stakes, start=1)]
    columns: list[Column | str] = ["No.", "Stake", Column("x, east", "m"), Column("y, north", "m"), Column("Level", "m"), "What"]
    return Table.of("Stake-out list", columns, rows, note="Levels count from the finished floor level, up positive.")


def _string_list(sheet: SettingOut) -> Table:
    rows = [(s.name, *s.start, *s.end, math.dist(s.start, s.end), ", ".join(s.corners)) for s in sheet.strings]
    columns: list[Column | str] = [
        "String",
        Column("From x", "m"),
        Column("From y", "m"),
        Column("To x", "m"),
        Column("To y", "m"),
        Column("Length", "m"),
        "Over",
    ]
    return Table.of("Strings from board to board", columns, rows)


def _diagonal_list(sheet: SettingOut) -> Table:
    rows = [(", ".join(one.corners), one.length_m, one.width_m, one.diagonal_m) for one in sheet.rectangles]
    columns: list[Column | str] = ["Rectangle", Column("Length", "m"), Column("Width", "m"), Column("Both diagonals", "m")]
    return Table.of("Rectangles to check", columns, rows, note="S1×S2 is where those strings cross.")


def _offset_list(sheet: SettingOut) -> Table:
    rows = [(one.stake, one.first_string, one.first_m, one.second_string, one.second_m) for one in sheet.offsets]
    columns: list[Column | str] = ["Stake", "From", Column("Square off", "m"), "From", Column("Square off", "m")]
    return Table.of("Offsets from two strings", columns, rows)


def _checks(verdict: Verdict) -> Table:
    rows = [(one.name, one.design_m, one.found_m, one.off_m, one.sd_m, one.tolerance_m, one.after_m) for one in verdict.checks]
    columns: list[Column | str] = [
        "Check", Column("Drawn", "m"), Column("Found", "m"), Column("Off", "m"), Column("Standard error", "m"),
        Column("Allowed", "m"), Column("With the moves", "m"),
    ]  # fmt: skip
    return Table.of("Sides and diagonals", columns, rows)


def _stakes_found(staked: Staked, verdict: Verdict) -> Table:
    moves = {move.stake: move for move in verdict.moves}
    rows = []
    for point in staked.points:
        move = moves.get(point.name)
        rows.append(
            (
                point.name, *point.found, point.off_m, point.ellipse_major_m, point.ellipse_minor_m,
                move.east_m if move else 0.0, move.north_m if move else 0.0,
            )
        )  # fmt: skip
    columns: list[Column | str] = [
        "Stake", Column("x found", "m"), Column("y found", "m"), Column("Off the drawing", "m"), Column("Error, greater axis", "m"),
        Column("Error, smaller axis", "m"), Column("Move east", "m"), Column("Move north", "m"),
    ]  # fmt: skip
    note = f"Standard error of unit weight {staked.unit_error:.2f} with {staked.n_redundant} measurements to spare."
    return Table.of("Stakes as adjusted", columns, rows, note=note)


def _measurements(staked: Staked) -> Table:
    rows = []
    for one in staked.residuals:
        lengthwise = one.measurement.kind.value != "angle"
        rows.append(
            (
                one.measurement.kind.value,
                one.measurement.at,
                ", ".join(name for name in (one.measurement.to, one.measurement.second) if name),
                one.measurement.value if lengthwise else None,
                one.residual if lengthwise else None,
                None if lengthwise else math.degrees(one.residual) * 3600,
                one.standardised,
                "set aside" if one.set_aside else ("unchecked" if one.redundancy < 1e-6 else "kept"),
            )
        )
    columns: list[Column | str] = [
        "Measured", "From", "To", Column("Value", "m"), Column("Residual", "m"), "Residual, seconds", "Over its error", "Verdict",
    ]  # fmt: skip
    return Table.of("Measurements and residuals", columns, rows, note="Residual = adjusted less measured; beyond 3.3 it does not belong.")


def _form_list(forms: FormCheck) -> Table:
    rows = [(one.name, *one.at, one.settled_m, one.raise_m, one.thickness_m, one.edge_depth_m) for one in forms.stations]
    columns: list[Column | str] = [
        "Station", Column("x", "m"), Column("y", "m"), Column("Settled", "m"), Column("Raise", "m"), Column("Floor there", "m"),
        Column("Edge there", "m"),
    ]  # fmt: skip
    return Table.of("Form tops", columns, rows, note="Floor and edge as they would be if placed to the form as it stands.")


def _level_list(levels: LevelRun) -> Table:
    rows = [(one.point, one.rise_m, one.level_m, corrected) for one, corrected in zip(levels.book.levels, levels.levels_m, strict=True)]
    columns: list[Column | str] = ["Point", Column("Rise", "m"), Column("Level", "m"), Column("Level, closed", "m")]
    return Table.of("Level book", columns, rows)
