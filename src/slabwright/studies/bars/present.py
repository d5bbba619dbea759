"""Pictures and tables of the bars: the sheet with marks, sections, bent shapes to scale, bar list, cut plan."""

import math
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
from shapely import LineString

from slabwright.geometry.drawing import plan_items, section_items
from slabwright.geometry.foundation import Foundation, PartKind
from slabwright.model.steel import Zone
from slabwright.results.picture import Circle, DimensionLine, Item, Layer, Leader, Line, Note, Picture
from slabwright.results.table import Cell, Column, Table
from slabwright.standards.iso_3766 import centre_line
from slabwright.studies import shape
from slabwright.studies.bars.listing import LETTERS, Mark
from slabwright.studies.bars.order import Placed
from slabwright.study import Done, Inputs, Presentation

if TYPE_CHECKING:
    from slabwright.studies.bars.study import BarsResult

Point = tuple[float, float]
_SHAPES_A_PICTURE = 8
_APART_M = 0.04
"""Bars that lap are drawn so far to either side of their line, so that the lap can be seen. [m]"""


def present(inputs: Inputs, done: Done, result: "BarsResult") -> Presentation:  # noqa: ARG001 - one signature for all studies
    """The bar sheet, sections of edge, strips and each kind of pad, bent shapes; bar list, cut plan, tying plan."""
    if not result.marks:
        return Presentation()
    foundation = done[shape.STUDY].foundation
    pictures = [_sheet(foundation, result), *_sections(foundation, result)]
    pictures += _shapes(result)
    tables = [_bar_list(result), _cut_plan(result), _tying(result), _proofs(result)]
    if len(result.ways) > 1:
        tables.append(_ways(result))
    return Presentation(pictures=tuple(pictures), tables=tuple(tables))


def _sheet(foundation: Foundation, result: "BarsResult") -> Picture:
    items: list[Item] = [*plan_items(foundation, hatched=False)]
    named: set[tuple[str, str]] = set()
    for mark in result.marks:
        for number, one in enumerate(mark.bars):
            points = _aside(one, number)
            items.append(Line(layer=Layer.STEEL, points=points, weight=0.8, label=mark.mark))
            if (mark.mark, one.wanted.where) not in named:
                named.add((mark.mark, one.wanted.where))
                items.append(Note(layer=Layer.STEEL, at=_label(points, len(named)), text=mark.mark, size=0.8, boxed=True))
    return Picture(
        key="bars",
        title="Bars with their marks",
        items=tuple(items),
        alt=f"Plan of the floor with {len(result.placed)} bars under {len(result.marks)} marks.",
        notes=("Lapped bars are drawn side by side; the mark stands at the first bar of its kind in each place.",),
    )


def _aside(one: Placed, number: int) -> tuple[Point, ...]:
    points = one.path.rounded() if len(one.path.corners) > 2 else one.path.corners
    if not one.wanted.is_lapped:
        return points
    moved = LineString(points).offset_curve(_APART_M if number % 2 else -_APART_M, join_style="mitre")
    return tuple((float(x), float(y)) for x, y in moved.coords) if isinstance(moved, LineString) and not moved.is_empty else points


def _label(points: tuple[Point, ...], number: int) -> Point:
    """On the longest straight part, a little to one side of its middle so that marks do not meet."""
    a, b = max(pairwise(points), key=lambda ends: math.dist(*ends))
    share = 0.5 + 0.12 * (number % 3 - 1)
    return a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])


def _sections(foundation: Foundation, result: "BarsResult") -> list[Picture]:
    """One cut through the edge, one through each strip, one through each kind of pad."""
    pictures = []
    edge = foundation.edge
    if edge is not None and any(one.wanted.zone is Zone.EDGE for one in result.placed):
        ring = np.asarray(foundation.outline.exterior.coords)
        sides = np.diff(ring, axis=0)
        longest = int(np.argmax(np.hypot(sides[:, 0], sides[:, 1])))
        along = sides[longest] / np.hypot(*sides[longest])
        inward = np.array([-along[1], along[0]])
        middle = ring[longest] + 0.41 * sides[longest]
        pictures.append(
            _section(foundation, result, "edge", middle - 0.02 * inward, middle + (edge.width_m + edge.depth_m * (1 + edge.run)) * inward)
        )
    seen: set[tuple[float, ...]] = set()
    for part in foundation.parts:
        if part.kind not in (PartKind.PAD, PartKind.STRIP):
            continue
        strip = next((one for one in foundation.strips if one.name == part.name), None)
        pad = next((one for one in foundation.pads if one.name == part.name), None)
        if strip is not None and part.kind is PartKind.STRIP:
            a, b = np.asarray(strip.line[0]), np.asarray(strip.line[1])
            across = np.array([-(b - a)[1], (b - a)[0]]) / np.hypot(*(b - a))
            reach = strip.width_m / 2 + strip.depth_m * (1 + strip.run)
            pictures.append(_section(foundation, result, part.name, 0.5 * (a + b) - reach * across, 0.5 * (a + b) + reach * across))
        elif pad is not None:
            kind = (pad.size_x_m, pad.size_y_m, pad.depth_m, pad.run)
            if kind not in seen:
                seen.add(kind)
                reach = pad.size_x_m / 2 + pad.depth_m * (1 + pad.run)
                at = np.array([pad.at[0], _beside_a_bar(result, part.name, pad.at[1])])
                pictures.append(_section(foundation, result, part.name, at - np.array([reach, 0.0]), at + np.array([reach, 0.0])))
    return pictures


def _beside_a_bar(result: "BarsResult", pad: str, middle_m: float) -> float:
    """Where a section through a pad shows a bar along it: beside the one nearest the middle. [m]"""
    ends = [one.path.corners for one in result.placed if one.wanted.where == pad]
    level = [first[1] for first, *_, last in ends if abs(first[1] - last[1]) < 1e-3]
    return min(level, key=lambda y: abs(y - middle_m), default=middle_m) + 0.011


def _section(foundation: Foundation, result: "BarsResult", name: str, start: np.ndarray, end: np.ndarray) -> Picture:
    ends = (float(start[0]), float(start[1])), (float(end[0]), float(end[1]))
    items: list[Item] = section_items(foundation, *ends)
    cut = LineString(ends)
    along = (end - start) / np.hypot(*(end - start))
    names: dict[tuple[float, float], str] = {}
    level: list[Point] = []
    for mark in result.marks:
        for one in mark.bars:
            line = LineString(one.path.corners)
            heading = np.asarray(one.path.corners[-1]) - np.asarray(one.path.corners[0])
            lies = abs(float(heading @ along)) > 0.98 * float(np.hypot(*heading)) if len(one.path.corners) == 2 else False
            if lies and line.distance(cut) < 0.5 * one.wanted.rules.bar.diameter_m + 0.05:
                places = [float((np.asarray(point) - start) @ along) for point in one.path.corners]
                items.append(_lengthwise(one, places))
                level.append((places[0] + 0.2 * (places[1] - places[0]), -one.path.depth_m))
            elif not lies and line.intersects(cut):
                at = line.intersection(cut).centroid
                place = round(float((np.array([at.x, at.y]) - start) @ along), 4), round(-one.path.depth_m, 4)
                names.setdefault(place, mark.mark)
    radius = {mark.mark: mark.diameter_m / 2 for mark in result.marks}
    for (x, y), mark_name in names.items():
        items.append(Circle(layer=Layer.STEEL, centre=(x, y), radius_m=radius[mark_name], filled=True, label=mark_name))
    items += _covers(foundation, ends, list(names), level, max((radius[name] for name in names.values()), default=0.0))
    for number, (place, mark_name) in enumerate(sorted(_first_of_each(names).items(), key=lambda one: one[0])):
        size = next(mark.size for mark in result.marks if mark.mark == mark_name)
        beside = (place[0] + 0.12, place[1] - 0.10 - 0.05 * number)
        items.append(Leader(layer=Layer.TEXT, tip=place, at=beside, text=f"{mark_name}, {size}"))
    return Picture(
        key=f"bars-{name}",
        title=f"Section through {name} with its bars",
        items=tuple(items),
        alt=f"Section through {name}; bars as dots and lines under their marks.",
    )


def _covers(foundation: Foundation, ends: tuple[Point, Point], dots: list[Point], level: list[Point], radius_m: float) -> list[Item]:
    """Cover of the lowest bar, of the highest that is cut across, and of the first from the side where concrete ends there."""
    run = foundation.section(*ends).runs[0]
    found: list[Item] = []
    if dots:
        x, y = min([*dots, *level], key=lambda dot: (round(dot[1], 3), dot[0]))
        bottom = -float(np.interp(x, run.along_m, run.bottom_m))
        found.append(DimensionLine(start=(x, bottom), end=(x, y - radius_m)))
        x, y = max(dots, key=lambda dot: (dot[1], -dot[0]))
        if y > bottom / 2:
            found.append(DimensionLine(start=(x, y + radius_m), end=(x, 0.0)))
        x, y = min(dots, key=lambda dot: (round(dot[0], 3), dot[1]))
        face = float(run.along_m[0])
        if face > 1e-3:
            found.append(DimensionLine(start=(face, y), end=(x - radius_m, y)))
    return found


def _first_of_each(names: dict[tuple[float, float], str]) -> dict[tuple[float, float], str]:
    found: dict[tuple[float, float], str] = {}
    for place, name in names.items():
        if name not in found.values():
            found[place] = name
    return found


def _lengthwise(one: Placed, places: list[float]) -> Line:
    y = -one.path.depth_m
    points: list[Point] = [(places[0], y), (places[1], y)]
    if one.wanted.hooks:
        top = y + one.wanted.rules.hook_leg_m
        points = [(places[0], top), *points, (places[1], top)]
    return Line(layer=Layer.STEEL, points=tuple(points), weight=1.4, label="bar")


def _shapes(result: "BarsResult") -> list[Picture]:
    """Every bent shape to one scale, longest leg level, a few to a picture."""
    bent = [mark for mark in result.marks if mark.turns_rad]
    sheets = [bent[k : k + _SHAPES_A_PICTURE] for k in range(0, len(bent), _SHAPES_A_PICTURE)]
    return [_shape_sheet(sheet, "" if not number else f"-{number + 1}") for number, sheet in enumerate(sheets)]


def _shape_sheet(some: list[Mark], ending: str) -> Picture:
    items: list[Item] = []
    top = 0.0
    for mark in some:
        drawn = _level(
            centre_line(legs_m=mark.legs_m, bends_rad=mark.turns_rad, bar_diameter_m=mark.diameter_m, bend_diameter_m=mark.bend_diameter_m)
        )
        low_x, high_y = min(x for x, _ in drawn), max(y for _, y in drawn)
        moved = tuple((x - low_x, y - high_y + top) for x, y in drawn)
        items.append(Line(layer=Layer.STEEL, points=moved, weight=1.6, label=mark.mark))
        text = f"{mark.mark}: {len(mark.bars)} x {mark.size}, shape {mark.shape}"
        items.append(Note(layer=Layer.TEXT, at=(-0.3, 0.5 * (top + min(y for _, y in moved))), text=text, anchor="end", bold=True))
        items += _letters(mark, moved)
        top = min(y for _, y in moved) - 0.45
    return Picture(
        key=f"bar-shapes{ending}",
        title="Bent bars to scale; letters as in the bar list",
        items=tuple(items),
        alt="Bent bars, one below the other: " + ", ".join(mark.mark for mark in some) + ".",
    )


def _level(points: tuple[Point, ...]) -> tuple[Point, ...]:
    """Turned so that the longest leg lies level."""
    a, b = max(pairwise(points), key=lambda ends: math.dist(*ends))
    angle = -math.atan2(b[1] - a[1], b[0] - a[0])
    return tuple((x * math.cos(angle) - y * math.sin(angle), x * math.sin(angle) + y * math.cos(angle)) for x, y in points)


def _letters(mark: Mark, drawn: tuple[Point, ...]) -> list[Item]:
    """A letter along each leg; legs are the longest straight parts, in their order along the bar."""
    straights = list(pairwise(drawn))
    legs = sorted(sorted(range(len(straights)), key=lambda k: -math.dist(*straights[k]))[: len(mark.legs_m)])
    return [
        DimensionLine(start=straights[k][0], end=straights[k][1], offset_m=0.12, text=letter)
        for letter, k in zip(LETTERS, legs, strict=False)
    ]


def _bar_list(result: "BarsResult") -> Table:
    most = max(len(mark.legs_m) for mark in result.marks)
    letters = LETTERS[: max(1, min(most, len(LETTERS)))]
    rows: list[tuple[Cell, ...]] = []
    for mark in result.marks:
        legs: list[Cell] = [*mark.legs_m[: len(letters)], *[None] * (len(letters) - len(mark.legs_m))]
        rows.append((mark.mark, mark.size, mark.shape, *legs, mark.cut_m, len(mark.bars), mark.mass_kg, ", ".join(mark.places[:6])))
    return Table.of(
        "Bar list",
        [
            "Mark",
            "Size",
            "Shape",
            *[Column(letter, "m") for letter in letters],
            Column("Cut length", "m"),
            "Bars",
            Column("Mass", "kg"),
            "Where",
        ],
        rows,
        note="Shapes by ISO 3766: 00 straight, 11 one bend, 21 two bends; 99 as drawn. Letters over the outside of the bar; "
        "the cut length is that of its centre line, bends deducted. Bars whose legs differ by no more "
        "than 1/2 in. (13 mm) go under one mark.",
    )


def _cut_plan(result: "BarsResult") -> Table:
    rows = [
        (row.size, row.stock_m, row.times, " + ".join(f"{n} {mark}" if n > 1 else mark for mark, _, n in row.pieces), row.left_m)
        for row in result.cuts
    ]
    return Table.of(
        "Cut plan of the bars",
        ["Size", Column("Stock", "m"), "Bars cut so", "Into", Column("Left", "m")],
        rows,
        note="Each line is one way of cutting a stock bar; together they give every bar of the list once.",
    )


def _tying(result: "BarsResult") -> Table:
    return Table.of(
        "Tying plan",
        ["What", "Ties", "Where it is tied", "When"],
        [(row.what, row.n_ties, row.where_tied, row.when) for row in result.tying],
    )


def _proofs(result: "BarsResult") -> Table:
    rows = [
        (
            batch.size,
            sum(batch.n_stock.values()),
            batch.alone,
            f"{100 * batch.plan.cut.gap:.1f} %",
            "yes" if batch.is_staggered else "not all",
        )
        for batch in result.batches
    ]
    return Table.of(
        "Bars to order",
        ["Size", "Stock bars", "Laid line by line", "Above the least by no more than", "Laps of neighbours apart"],
        rows,
        note="Laps and cuts are planned together, so that what is left of one run closes another.",
    )


def _ways(result: "BarsResult") -> Table:
    return Table.of(
        "Bars of the edge: ways round the corners",
        ["Way", "Stock bars in all", "Different bent bars"],
        [(corners.value, n_bars, n_bent) for corners, n_bars, n_bent in result.ways],
        note="The first is drawn: least steel, then fewest different bent bars.",
    )
